#include "note/say.h"

#include <math.h>

#include "base/instant.h"
#include "note/phrase.h"
#include "note/sentence.h"

enum { SAY_LATE_S = 17 * HOUR_S }; /* from then on a planting is tomorrow's (judgement) */

static int units_of(const struct note_facts *n)
{
	return n->garden->units;
}

static void act(const struct note_facts *n, const struct line *l, struct text *t)
{
	bool plant = l->lead->verdict == VERDICT_PLANT;
	text_add(t, plant ? " " : " with ");
	say_plantings(n, l, t);
	if (plant) {
		text_add(t, zone_second(n->zone, n->state->cut) < SAY_LATE_S ? " today" : " tomorrow");
		text_add(t, ", late in the afternoon");
	} else if (date_is(l->lead->day)) {
		text_add(t, " till ");
		phrase_date(t, l->lead->day, n->state->today);
	}
}

/* Nights are counted in words where there is none. */
static void count_words(double count, struct text *t)
{
	if (count > 0)
		text_addf(t, "%.0f", count);
	else
		text_add(t, "none");
}

static bool stalls(const struct note_facts *n, const struct advice *a, double coldest_c)
{
	double stall_c = advice_step_of(a, STEP_STALL_LINE, 0).value;
	return !isnan(coldest_c) && !isnan(stall_c) &&
	       advice_degrees(coldest_c, units_of(n)) < advice_degrees(stall_c, units_of(n));
}

static void coldest_words(const struct note_facts *n, const struct advice *a, size_t window, struct text *t)
{
	struct step coldest = advice_step_of(a, STEP_COLDEST, window);
	double reached = advice_step_of(a, STEP_REACHED, window).value;
	if (!date_is(coldest.date))
		return;
	/* Enough nights reach the line, but one would set the plant back: that is the reason, not the count. */
	if (reached >= ADVICE_PLANT_WANTED && stalls(n, a, coldest.value)) {
		text_add(t, ", but ");
		phrase_night(t, coldest.date, n->state->today);
		text_add(t, " has ");
		phrase_degrees(t, coldest.value, units_of(n));
		text_add(t, ": under ");
		phrase_degrees(t, advice_step_of(a, STEP_STALL_LINE, 0).value, units_of(n));
		text_add(t, " a new plant stalls");
		return;
	}
	text_add(t, advice_step_of(a, STEP_UNKNOWN, window).value > 0 ? " (coldest known " : " (coldest ");
	phrase_degrees(t, coldest.value, units_of(n));
	text_add(t, ", ");
	phrase_date(t, coldest.date, n->state->today);
	text_add(t, ")");
}

/* "4 of the next 5 nights reach 60 F (coldest 58, Fri 22)". */
static void nights_that_reach(const struct note_facts *n, const struct advice *a, struct text *t)
{
	double reached = advice_step_of(a, STEP_REACHED, 0).value, unknown = advice_step_of(a, STEP_UNKNOWN, 0).value;
	count_words(reached, t);
	text_addf(t, " of the next %d nights reach%s ", ADVICE_PLANT_NIGHTS, say_plural(reached, "es", ""));
	phrase_degrees_unit(t, a->line_c, units_of(n));
	if (unknown > 0)
		text_addf(t, ", %.0f not known", unknown);
	coldest_words(n, a, 0, t);
}

/* Soil and frost date go for all plantings: said once a note. */
static void not_judged(const struct note_facts *n, const struct line *l, struct text *t)
{
	if (!say_told_before(n, l))
		text_add(t, " Soil and frost date are not judged yet.");
}

static void plant_rest(const struct note_facts *n, const struct line *l, struct text *t)
{
	text_add(t, ", or the next grey, still day: ");
	nights_that_reach(n, l->lead, t);
	text_add(t, ".");
	if (!say_told_before(n, l)) {
		text_add(t, " Soil and frost date are not judged yet: try the soil with a thermometer, and ask your "
			    "local extension office for the last frost.");
	}
}

static void cannot_tell(const struct note_facts *n, const struct advice *a, struct text *t)
{
	double unknown = advice_step_of(a, STEP_UNKNOWN, 0).value;
	if (!n->state->forecast.any) {
		text_add(t, "I cannot tell without a forecast");
		return;
	}
	text_add(t, "I cannot tell, ");
	if (unknown > 0 && n->state->forecast.trust <= TRUST_AGED) {
		text_addf(t, "%.0f of the next %d nights %s not known", unknown, ADVICE_PLANT_NIGHTS,
			  say_plural(unknown, "is", "are"));
	} else {
		sentence_age(n, t);
	}
}

/* "14 days old, 21 wanted in the tray (till Tue 26)". */
static void young(const struct note_facts *n, const struct advice *a, struct text *t)
{
	double age = advice_step_of(a, STEP_AGE, 0).value, tray = advice_step_of(a, STEP_TRAY, 0).value;
	struct date ready = date_add(n->state->today, (int)(tray - age));
	text_addf(t, "%.0f day%s old, %.0f wanted in the tray (till ", age, say_plural(age, "", "s"), tray);
	phrase_date(t, ready, n->state->today);
	text_add(t, ")");
	struct date end = zone_date(n->zone, n->state->forecast.reaches);
	if (!date_is(a->day)) {
		bool known = date_diff(end, ready) > ADVICE_PLANT_NIGHTS && n->state->forecast.trust <= TRUST_AGED;
		text_add(t,
			 known ? "; no fit run of nights after that yet" : "; the nights after that are not known yet");
	}
}

static void wait_rest(const struct note_facts *n, const struct line *l, struct text *t)
{
	const struct advice *a = l->lead;
	bool is_young = !isnan(advice_step_of(a, STEP_AGE, 0).value);
	text_add(t, ": ");
	if (is_young)
		young(n, a, t);
	else if (a->cannot_tell)
		cannot_tell(n, a, t);
	else
		nights_that_reach(n, a, t);
	if (date_is(a->day)) {
		text_addf(t, "; then %.0f of %d", advice_step_of(a, STEP_REACHED, 1).value, ADVICE_PLANT_NIGHTS);
		if (is_young || a->cannot_tell) {
			text_add(t, " nights reach ");
			phrase_degrees_unit(t, a->line_c, units_of(n));
		}
		coldest_words(n, a, 1, t);
	} else if (!is_young && !a->cannot_tell && n->state->forecast.reaches > n->state->cut) {
		text_add(t, "; no fit run in sight (forecast known to ");
		phrase_date(t, zone_date(n->zone, n->state->forecast.reaches), n->state->today);
		text_add(t, ")");
	}
	text_add(t, ".");
	not_judged(n, l, t);
}

static void rest(const struct note_facts *n, const struct line *l, struct text *t)
{
	if (l->lead->verdict == VERDICT_PLANT)
		plant_rest(n, l, t);
	else
		wait_rest(n, l, t);
}

static void head(const struct note_facts *n, const struct line *l, struct text *t)
{
	(void)n;
	text_add(t, l->lead->verdict == VERDICT_PLANT ? "planting weather" : "nothing goes out today");
}

const struct saying say_plantout = {act, rest, head};
