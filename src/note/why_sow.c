#include "note/why_sow.h"

#include <math.h>

#include "advice/sow.h"
#include "note/phrase.h"
#include "note/say.h"

static void on(const struct note_facts *n, struct date d, struct text *t)
{
	phrase_date(t, d, n->state->today);
}

static void years(const struct step *s, const char *what, struct text *t)
{
	text_addf(t, "of %.0f years %s", s->value, what);
}

/* Of the calendar of frosts and sowings. */
static void calendar_words(const struct note_facts *n, const struct step *s, struct text *t)
{
	switch ((int)s->kind) {
	case STEP_SOW_FROM:
		text_add(t, isnan(s->value) ? "it is to be sown from here on" : "sown from here on it is");
		if (!isnan(s->value))
			text_addf(t, " at most %.0f days old in the middle of that", s->value);
		break;
	case STEP_SOW_TO:
		text_addf(t, "sown up to here it is %.0f days old by then, as many as it wants", s->value);
		break;
	case STEP_FROST_HALF:
		years(s, "half had a frost after it, at the station", t);
		break;
	case STEP_FROST_TENTH:
		years(s, "one in ten had a frost after it, at the station", t);
		break;
	case STEP_FROST_FIRST:
		years(s, "half had a frost by then, at the station", t);
		break;
	case STEP_LAST_SOWING:
		text_add(t, "the last sowing that pays: ");
		phrase_degree_days(t, s->value, n->garden->units);
		text_add(t, " to the first pick, at the warmth that years have had");
		break;
	case STEP_PICK:
		text_addf(t, "that pick, after %.0f days; two weeks of picking before the frost", s->value);
		break;
	default:
		break;
	}
}

static void seed_words(const struct note_facts *n, const struct step *s, struct text *t)
{
	switch ((int)s->kind) {
	case STEP_TEST_DAYS:
		text_add(t, "the test takes: begun today, counted on ");
		on(n, s->date, t);
		break;
	case STEP_SPROUTED:
		text_addf(t, "of %d seeds sprouted in your test of ", SOW_TEST_OF);
		on(n, s->date, t);
		break;
	case STEP_UP_DAYS:
		text_add(t, "from sowing till seedlings are up, by the warmth they lie in: ");
		on(n, s->date, t);
		break;
	case STEP_SEED_SOIL:
		text_add(t, "soil at the depth of seed, ");
		phrase_length(t, SAY_SEED_M, n->garden->units);
		text_add(t, ", at 8 am on ");
		on(n, s->date, t);
		text_add(t, isnan(s->value) ? ": not known" : "");
		break;
	case STEP_SEED_COLDEST:
		text_add(t, "the coldest such morning to come, ");
		on(n, s->date, t);
		break;
	case STEP_SPACING:
		phrase_length(t, s->value, n->garden->units);
		text_add(t, " is the least distance in the row");
		break;
	default:
		break;
	}
}

static void tray_words(const struct note_facts *n, const struct advice *a, const struct step *s, struct text *t)
{
	if (s->kind == STEP_TRUE_LEAF) {
		bool told = n->state->planting[a->planting].dates.told[VERB_TRUE_LEAF];
		text_add(t, told ? "the first true leaf, by your diary"
				 : "the first true leaf is likely by now: a week to two after they are up");
	} else if (s->kind == STEP_TRAY_FULL) {
		text_addf(t, "its tray is full: %.0f days, or two weeks after potting on", s->value);
	} else if (s->kind == STEP_GREY_DAYS) {
		text_add(t, "grey one after the other, up to ");
		on(n, s->date, t);
	}
}

void why_sow_step(const struct note_facts *n, const struct advice *a, const struct step *s, struct text *t)
{
	calendar_words(n, s, t);
	seed_words(n, s, t);
	tray_words(n, a, s, t);
}

const char *why_sow_not_judged(const struct advice *a)
{
	switch ((int)a->verdict) {
	case VERDICT_SOW:
	case VERDICT_WAIT_SOWING:
		return "how early frost leaves your own ground: low ground runs later than the station; how fresh the "
		       "seed is.";
	case VERDICT_DIG:
	case VERDICT_TEST:
		return "birds, mice and slugs; crusted soil; how the seed was kept.";
	default:
		return "how big your pots are, and how much light they get.";
	}
}
