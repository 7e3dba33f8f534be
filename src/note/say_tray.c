#include "note/say.h"

#include <math.h>

#include "note/phrase.h"

static int units_of(const struct note_facts *n)
{
	return n->garden->units;
}

static struct step step(const struct advice *a, enum step_kind kind)
{
	return advice_step_of(a, kind, 0);
}

static void on(const struct note_facts *n, struct date d, struct text *t)
{
	phrase_date(t, d, n->state->today);
}

static void act(const struct note_facts *n, const struct line *l, struct text *t)
{
	const struct advice *a = l->lead;
	text_add(t, a->verdict == VERDICT_HEAT_OFF ? " under "
		    : a->verdict == VERDICT_DRIER  ? " in the trays of "
						   : " ");
	say_plantings(n, l, t);
	if (a->verdict == VERDICT_POT_ON) {
		text_add(t, " by ");
		on(n, a->day, t);
	} else if (a->verdict == VERDICT_DRIER) {
		text_add(t, " till ");
		on(n, step(a, STEP_GREY_DAYS).date, t);
	} else if (a->verdict == VERDICT_FEED) {
		text_add(t, " once, half strength");
	}
}

static void pot_on_rest(const struct note_facts *n, const struct line *l, struct text *t)
{
	const struct advice *a = l->lead;
	struct step full = step(a, STEP_TRAY_FULL);
	bool us = units_of(n) == UNIT_US;
	text_addf(t, ": %.0f days old, ", step(a, STEP_SOWN).value);
	if (isnan(full.value)) {
		text_addf(t,
			  "first true leaf. One to a pot of %s, down to its seed leaves, held by a leaf and not "
			  "by the stem.",
			  us ? "3 in" : "8 cm");
		return;
	}
	text_addf(t,
		  "over %.0f in its pot, and I can name no day to plant out yet. A size bigger, roots unbroken: "
		  "root-bound plants stall.",
		  full.value);
}

static void heat_off_rest(const struct note_facts *n, const struct line *l, struct text *t)
{
	const struct advice *a = l->lead;
	bool told = date_is(step(a, STEP_UP).date);
	text_add(t, told ? ": seedlings are up." : " once the first are up, likely by now.");
	text_addf(t, " Warmth draws them thin: under %s from here on, and all the light there is.",
		  units_of(n) == UNIT_US ? "70 F" : "21 C");
}

static void drier_rest(const struct note_facts *n, const struct line *l, struct text *t)
{
	(void)n;
	text_addf(t,
		  ": %.0f grey days. Let the top go pale, then water from below. Wet and dim is what rots "
		  "seedlings at the neck.",
		  step(l->lead, STEP_GREY_DAYS).value);
}

static void feed_rest(const struct note_facts *n, const struct line *l, struct text *t)
{
	const struct advice *a = l->lead;
	text_addf(t, ": %.0f days in the pot, and I can name no day to plant out yet. Past ", step(a, STEP_SOWN).value);
	on(n, step(a, STEP_TRAY_FULL).date, t);
	text_add(t, " pot on, or growth stalls.");
}

static void rest(const struct note_facts *n, const struct line *l, struct text *t)
{
	switch ((int)l->lead->verdict) {
	case VERDICT_POT_ON:
		pot_on_rest(n, l, t);
		break;
	case VERDICT_HEAT_OFF:
		heat_off_rest(n, l, t);
		break;
	case VERDICT_DRIER:
		drier_rest(n, l, t);
		break;
	default:
		feed_rest(n, l, t);
		break;
	}
}

static void head(const struct note_facts *n, const struct line *l, struct text *t)
{
	(void)n;
	switch ((int)l->lead->verdict) {
	case VERDICT_POT_ON:
		text_add(t, "time to pot on");
		break;
	case VERDICT_HEAT_OFF:
		text_add(t, "seedlings are coming up");
		break;
	case VERDICT_DRIER:
		text_add(t, "grey days: water less");
		break;
	default:
		text_add(t, "trays are filling up");
		break;
	}
}

const struct saying say_tray = {act, rest, head};
