#include "note/why_plant.h"

#include <math.h>

#include "advice/plantday.h"
#include "note/chance.h"
#include "note/phrase.h"

void why_not_known(const struct note_facts *n, const struct night *night, struct text *t)
{
	text_add(t, "not known: ");
	phrase_night(t, night->evening, n->state->today);
	if (!isnan(night->lowest_seen_c)) {
		text_add(t, ", of which the lowest hour known is ");
		phrase_degrees_unit(t, night->lowest_seen_c, n->garden->units);
	}
}

/* "in the bed tonight, give or take 3 F": two nights in three. */
static void bed_words(const struct note_facts *n, const struct step *s, struct text *t)
{
	const struct outlook_night o = season_expect(n->state, s->date);
	const struct night *night = season_night(n->state, s->date);
	if (o.basis == OUTLOOK_NONE && night != NULL) {
		why_not_known(n, night, t);
		return;
	}
	text_add(t, o.basis == OUTLOOK_NONE ? "not known: " : "in the bed ");
	phrase_night(t, s->date, n->state->today);
	if (o.basis == OUTLOOK_NONE)
		return;
	text_add(t, o.basis == OUTLOOK_YEARS ? ", by the station's years, give or take " : ", give or take ");
	phrase_difference(t, o.bed.spread_c, n->garden->units);
}

static void soil_words(const struct note_facts *n, const struct advice *a, const struct step *s, struct text *t)
{
	struct soil soil = season_soil(n->state, a->planting, s->date);
	text_add(t, n->garden->units == UNIT_US ? "soil 4 in down at 8 am " : "soil 10 cm down at 8:00 ");
	phrase_day(t, s->date, n->state->today);
	if (soil.basis == SOIL_READ) {
		text_add(t, ", from your reading of ");
		phrase_date(t, soil.read, n->state->today);
	} else {
		text_add(t, soil.basis == SOIL_RECKONED ? ", reckoned for bare soil" : ": not known");
	}
}

void why_plant_step(const struct note_facts *n, const struct advice *a, const struct step *s, struct text *t)
{
	if (s->kind == STEP_WANTED) {
		text_addf(t, "of %d nights are wanted at it or over", ADVICE_PLANT_NIGHTS);
	} else if (s->kind == STEP_BED_NIGHT) {
		bed_words(n, s, t);
	} else if (s->kind == STEP_HOLD) {
		text_addf(t, "that %d of the %d nights from ", ADVICE_PLANT_WANTED, ADVICE_PLANT_NIGHTS);
		phrase_day(t, s->date, n->state->today);
		text_add(t, " on are at it or over");
	} else if (s->kind == STEP_FROST && date_is(s->date)) {
		text_add(t, "of frost on a leaf, up to ");
		phrase_night(t, s->date, n->state->today);
	} else if (s->kind == STEP_FROST) {
		text_add(t, "of frost: cannot tell");
	} else if (s->kind == STEP_SOIL) {
		soil_words(n, a, s, t);
	} else if (s->kind == STEP_FREE) {
		text_add(t, "of a stall under a cover, planted on ");
		phrase_date(t, s->date, n->state->today);
		text_add(t, ", the better of the free days");
	}
}

void why_plant_wants(const struct note_facts *n, struct text *t)
{
	text_add(t, "PLANT OUT at ");
	chance_words(t, PLANTDAY_HOLD);
	text_add(t, " or more for the nights, a stall under ");
	chance_words(t, PLANTDAY_STALL);
	text_addf(t, ", frost within %d days under ", PLANTDAY_FROST_DAYS);
	chance_words(t, PLANTDAY_FROST);
	text_add(t, ", soil of ");
	phrase_degrees_unit(t, PLANTDAY_SOIL_C, n->garden->units);
	text_add(t, " or what the crop is content with (judgement).");
}
