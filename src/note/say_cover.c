#include "note/say.h"

#include <math.h>

#include "base/instant.h"
#include "note/head.h"
#include "note/phrase.h"
#include "note/sentence.h"

enum { SAY_HALF_HOUR_S = 1800 }; /* times to act by are named on the half hour before */

static int units_of(const struct note_facts *n)
{
	return n->garden->units;
}

static bool over(const struct note_facts *n, int64_t at)
{
	return at != INSTANT_NONE && at <= n->state->cut;
}

static void cover_when(const struct note_facts *n, const struct advice *a, struct text *t)
{
	if (over(n, a->act_by)) {
		text_add(t, "now");
		return;
	}
	phrase_day(t, a->day, n->state->today);
	if (a->act_by == INSTANT_NONE) {
		text_add(t, " before dark");
		return;
	}
	text_add(t, " by ");
	phrase_clock(t, n->zone, a->act_by - zone_second(n->zone, a->act_by) % SAY_HALF_HOUR_S, units_of(n));
}

static void look_when(const struct note_facts *n, const struct advice *a, struct text *t)
{
	if (over(n, a->sunset)) {
		text_add(t, "now");
		return;
	}
	text_add(t, "at dusk");
	if (a->sunset != INSTANT_NONE) {
		text_add(t, " (sunset ");
		phrase_clock(t, n->zone, a->sunset, units_of(n));
		text_add(t, ")");
	}
}

static void act(const struct note_facts *n, const struct line *l, struct text *t)
{
	if (l->lead->verdict == VERDICT_LOOK) {
		text_add(t, " at the sky ");
		look_when(n, l->lead, t);
		return;
	}
	text_add(t, " ");
	say_plantings(n, l, t);
	text_add(t, " ");
	cover_when(n, l->lead, t);
}

/* " or colder" where hours of the night are missing. */
static void or_colder(const struct note_facts *n, struct date evening, struct text *t)
{
	const struct night *night = season_night(n->state, evening);
	text_add(t, night != NULL && !night->complete ? " or colder" : "");
}

/* What the line means to the plant. */
static void line_words(const struct note_facts *n, const struct advice *a, struct text *t)
{
	text_add(t, a->rule == CROP_STALL ? "under " : "at ");
	phrase_degrees(t, a->line_c, units_of(n));
	text_add(t, a->rule == CROP_STALL  ? " a new plant stalls"
		    : a->rule == CROP_KILL ? " it freezes"
					   : " or less in the bed frost is too near");
}

static bool differs(const struct advice *a, enum step_kind under)
{
	double by_k = advice_step_of(a, under, 0).value;
	return by_k < 0 || by_k > 0;
}

/* ", 31 in the bed, 29 on the leaf": what is another number than the one before; no leaf where it is not what matters.
 */
static void bed_and_leaf(const struct note_facts *n, const struct advice *a, struct text *t)
{
	if (differs(a, STEP_BED_UNDER)) {
		text_add(t, ", ");
		phrase_degrees(t, advice_step_of(a, STEP_BED_LOW, 0).value, units_of(n));
		text_add(t, " in the bed");
	}
	if (differs(a, STEP_LEAF_UNDER) && a->rule != CROP_STALL) {
		text_add(t, ", ");
		phrase_degrees(t, advice_step_of(a, STEP_LEAF_LOW, 0).value, units_of(n));
		text_add(t, " on the leaf");
	}
}

static void days_out(const struct line *l, struct text *t)
{
	double days = advice_step_of(l->lead, STEP_DAYS_OUT, 0).value;
	for (size_t i = 0; i < l->n; i++) {
		double other = advice_step_of(l->of[i], STEP_DAYS_OUT, 0).value;
		if (isnan(other) || other < days || other > days)
			return;
	}
	if (days < 1)
		text_add(t, ", the first night out");
	else
		text_addf(t, ", %.0f day%s after planting out", days, say_plural(days, "", "s"));
}

static void cover_numbers(const struct note_facts *n, const struct line *l, struct text *t)
{
	const struct advice *a = l->lead;
	phrase_degrees_unit(t, advice_air_c(a), units_of(n));
	or_colder(n, a->day, t);
	text_add(t, " forecast for ");
	phrase_night(t, a->day, n->state->today);
	bed_and_leaf(n, a, t);
	if (a->rule == CROP_STALL)
		days_out(l, t);
	text_add(t, "; ");
	line_words(n, a, t);
	for (size_t i = 0; i < l->again_n; i++) {
		const struct advice *again = l->again[i];
		text_add(t, i == 0 ? ". Again " : ", ");
		phrase_night(t, again->day, n->state->today);
		text_add(t, " (");
		phrase_degrees(t, again->number_c, units_of(n));
		or_colder(n, again->day, t);
		if ((again->rule == CROP_KILL) != (a->rule == CROP_KILL))
			text_add(t, again->rule == CROP_KILL ? " on the leaf" : " in the bed");
		if (!advice_same_danger(again, a)) {
			text_add(t, "; ");
			line_words(n, again, t);
		}
		text_add(t, ")");
	}
	text_add(t, ".");
}

/* In full with the first of a run of cold nights, and once a note; the manner is known the morning after. */
static void cover_caution(const struct note_facts *n, const struct line *l, struct text *t)
{
	if (say_is_news(l) && !say_told_before(n, l)) {
		text_add(t, " Fleece or sheets on hoops, edges weighted, nothing touching the leaves, plastic least of "
			    "all. No heater, lamp or candle under it. Off in the morning, before the sun is strong.");
	} else {
		text_add(t, " Nothing touching the leaves; off in the morning.");
	}
}

/* Why tonight cannot be judged, and what is known of it all the same. */
static void look_why(const struct note_facts *n, bool cold, struct text *t)
{
	const struct night *tonight = season_tonight(n->state);
	const struct forecast_state *fs = &n->state->forecast;
	int missing = tonight->wanted - tonight->known;
	bool spent = fs->any && fs->trust == TRUST_SPENT;
	if (spent || cold || tonight->complete) {
		text_add(t, ": I cannot judge tonight, ");
		sentence_age(n, t);
	} else if (tonight->known == 0) {
		text_add(t, ": I have no forecast for tonight");
	} else {
		text_addf(t, ": I cannot judge tonight, %d of its %d hours %s missing", missing, tonight->wanted,
			  say_plural(missing, "is", "are"));
	}
	if (!spent && !cold && tonight->complete) {
		text_add(t, " (it said ");
		phrase_degrees(t, tonight->low_c, units_of(n));
		text_add(t, ")");
	}
}

static void look_rest(const struct note_facts *n, const struct line *l, struct text *t)
{
	/* Held against the line only where it called for a cover. */
	bool cold = !isnan(advice_step_of(l->lead, STEP_MARGIN, 0).value);
	look_why(n, cold, t);
	if (cold) {
		text_add(t, ". It said ");
		phrase_degrees_unit(t, advice_air_c(l->lead), units_of(n));
		or_colder(n, l->lead->day, t);
		bed_and_leaf(n, l->lead, t);
		text_add(t, ", and ");
		line_words(n, l->lead, t);
		text_add(t, ": cover ");
		say_plantings(n, l, t);
		text_add(t, " unless it is cloudy or windy at dusk");
	} else {
		text_add(t, ". If it is clear and calm, cover ");
		say_plantings(n, l, t);
	}
	text_add(t, ", nothing touching the leaves.");
}

static void rest(const struct note_facts *n, const struct line *l, struct text *t)
{
	if (l->lead->verdict == VERDICT_LOOK) {
		look_rest(n, l, t);
		return;
	}
	text_add(t, ": ");
	cover_numbers(n, l, t);
	cover_caution(n, l, t);
}

static void head(const struct note_facts *n, const struct line *l, struct text *t)
{
	if (l->lead->verdict == VERDICT_LOOK)
		text_add(t, "tonight cannot be judged");
	else
		head_cold(n, l->lead, t);
}

const struct saying say_cover = {act, rest, head};
