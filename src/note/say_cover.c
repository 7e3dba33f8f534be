#include "note/say.h"

#include <math.h>
#include <string.h>

#include "base/instant.h"
#include "note/chance.h"
#include "note/head.h"
#include "note/phrase.h"
#include "note/sentence.h"

enum { SAY_HALF_HOUR_S = 1800 }; /* times to act by are named on the half hour before */

/* Even covered it is as likely to freeze as not; a gain that no thermometer shows (judgement). */
static const double SAY_EVEN_CHANCE = 0.5, SAY_NO_GAIN_C = 0.1;

static int units_of(const struct note_facts *n)
{
	return n->garden->units;
}

static bool over(const struct note_facts *n, int64_t at)
{
	return at != INSTANT_NONE && at <= n->state->cut;
}

static bool has(const struct advice *a, enum step_kind kind)
{
	return !isnan(advice_step_of(a, kind, 0).value);
}

static void on_the_half_hour(const struct note_facts *n, int64_t at, struct text *t)
{
	phrase_clock(t, n->zone, at - zone_second(n->zone, at) % SAY_HALF_HOUR_S, units_of(n));
}

static void act_when(const struct note_facts *n, const struct advice *a, struct text *t)
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
	on_the_half_hour(n, a->act_by, t);
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

static const struct crop *crop_of(const struct note_facts *n, const struct advice *a)
{
	return &n->garden->planting[a->planting].figures;
}

/* What is picked first stands first. */
static struct line by_frost_order(const struct note_facts *n, const struct line *l)
{
	struct line sorted = *l;
	for (size_t i = 1; i < sorted.n; i++) {
		const struct advice *a = sorted.of[i];
		size_t k = i;
		for (; k > 0 && crop_of(n, sorted.of[k - 1])->frost_order > crop_of(n, a)->frost_order; k--)
			sorted.of[k] = sorted.of[k - 1];
		sorted.of[k] = a;
	}
	return sorted;
}

static void act(const struct note_facts *n, const struct line *l, struct text *t)
{
	if (l->lead->verdict == VERDICT_LOOK) {
		text_add(t, " at the sky ");
		look_when(n, l->lead, t);
		return;
	}
	struct line sorted = l->lead->verdict == VERDICT_PICK ? by_frost_order(n, l) : *l;
	text_add(t, " ");
	say_plantings(n, &sorted, t);
	text_add(t, " ");
	act_when(n, l->lead, t);
}

/* " or colder" where hours of the night are missing. */
static void or_colder(const struct note_facts *n, struct date evening, struct text *t)
{
	const struct night *night = season_night(n->state, evening);
	text_add(t, night != NULL && !night->complete ? " or colder" : "");
}

/* What the line, or the chance, means to the plant. */
static void line_words(const struct note_facts *n, const struct advice *a, struct text *t)
{
	double freeze = advice_step_of(a, STEP_FREEZE, 0).value;
	if (a->rule == CROP_KILL && !isnan(freeze)) {
		chance_words(t, freeze);
		text_add(t, " to freeze");
		return;
	}
	text_add(t, a->rule == CROP_STALL ? "under " : "at ");
	phrase_degrees(t, a->line_c, units_of(n));
	text_add(t, a->rule == CROP_STALL  ? " a new plant stalls"
		    : a->rule == CROP_KILL ? " it freezes"
					   : " or less in the bed frost is too near");
	if (a->rule == CROP_COVER && !isnan(freeze)) {
		text_add(t, ", ");
		chance_words(t, freeze);
	}
}

/* ", covered 1 in 15" */
static void covered_words(const struct advice *a, struct text *t)
{
	double covered = advice_step_of(a, STEP_COVERED, 0).value;
	if (isnan(covered) || advice_step_of(a, STEP_GAIN, 0).value < SAY_NO_GAIN_C)
		return;
	text_add(t, ", covered ");
	chance_words(t, covered);
}

static bool other_degree(const struct note_facts *n, double a_c, double b_c)
{
	return !isnan(a_c) && !isnan(b_c) && advice_degrees(a_c, units_of(n)) != advice_degrees(b_c, units_of(n));
}

/* ", 31 in the bed, 29 on the leaf": what is another number than the one before; no leaf where it is not what matters.
 */
static void bed_and_leaf(const struct note_facts *n, const struct advice *a, struct text *t)
{
	double bed_c = advice_step_of(a, STEP_BED_LOW, 0).value, leaf_c = advice_step_of(a, STEP_LEAF_LOW, 0).value;
	if (other_degree(n, advice_air_c(a), bed_c)) {
		text_add(t, ", ");
		phrase_degrees(t, bed_c, units_of(n));
		text_add(t, " in the bed");
	}
	if (other_degree(n, bed_c, leaf_c) && a->rule != CROP_STALL) {
		text_add(t, ", ");
		phrase_degrees(t, leaf_c, units_of(n));
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

static void again_words(const struct note_facts *n, const struct advice *lead, const struct advice *again,
			struct text *t)
{
	text_add(t, " (");
	phrase_degrees(t, again->number_c, units_of(n));
	or_colder(n, again->day, t);
	if ((again->rule == CROP_KILL) != (lead->rule == CROP_KILL))
		text_add(t, again->rule == CROP_KILL ? " on the leaf" : " in the bed");
	if (!advice_same_danger(again, lead)) {
		text_add(t, "; ");
		line_words(n, again, t);
	} else if (has(again, STEP_FREEZE)) {
		text_add(t, ", ");
		chance_words(t, advice_step_of(again, STEP_FREEZE, 0).value);
	}
	text_add(t, ")");
}

static void cold_numbers(const struct note_facts *n, const struct line *l, struct text *t)
{
	const struct advice *a = l->lead;
	phrase_degrees_unit(t, advice_air_c(a), units_of(n));
	or_colder(n, a->day, t);
	text_add(t, " forecast for ");
	phrase_night(t, a->day, n->state->today);
	bed_and_leaf(n, a, t);
	days_out(l, t);
	text_add(t, "; ");
	line_words(n, a, t);
	covered_words(a, t);
	for (size_t i = 0; i < l->again_n; i++) {
		text_add(t, i == 0 ? ". Again " : ", ");
		phrase_night(t, l->again[i]->day, n->state->today);
		again_words(n, a, l->again[i], t);
	}
	text_add(t, ".");
}

/* ---- what is picked before a frost ---- */

static bool told_what(const struct note_facts *n, const struct line *l, size_t i)
{
	for (size_t k = 0; k < i; k++)
		if (strcmp(crop_of(n, l->of[k])->frost_pick, crop_of(n, l->of[i])->frost_pick) == 0)
			return true;
	return false;
}

/* "this; then that": in the order of what spoils first; how many were said. */
static size_t pick_words(const struct note_facts *n, const struct line *l, const char *before, struct text *t)
{
	struct line sorted = by_frost_order(n, l);
	size_t said = 0;
	for (size_t i = 0; i < sorted.n; i++) {
		const char *what = crop_of(n, sorted.of[i])->frost_pick;
		if (what[0] != '\0' && !told_what(n, &sorted, i))
			text_addf(t, "%s%s", said++ == 0 ? before : "; then ", what);
	}
	return said;
}

/* ---- what goes with covering ---- */

static const struct cover *cover_of(const struct note_facts *n, const struct advice *a)
{
	double kind = advice_step_of(a, STEP_COVER_KIND, 0).value;
	return isnan(kind) || n->garden->cover_table == NULL ? NULL : &n->garden->cover_table->at[(size_t)kind];
}

/* What weighs for or against the trouble. */
static void worth_words(const struct note_facts *n, const struct line *l, struct text *t)
{
	const struct advice *a = l->lead;
	if (has(a, STEP_COLD_WIND)) {
		text_add(t, " The cold comes with wind, ");
		phrase_wind(t, advice_step_of(a, STEP_COLD_WIND, 0).value, units_of(n));
		text_add(t, ": a cover helps little; weight it all round.");
	} else if (has(a, STEP_TIP_LEAF) && date_diff(a->day, n->state->today) == 0) {
		text_add(t, " Cloud or wind after dusk: leave it off.");
	}
	if (has(a, STEP_WARM_AFTER)) {
		text_add(t, " Worth it: ");
		phrase_degrees_unit(t, advice_step_of(a, STEP_WARM_AFTER, 0).value, units_of(n));
		text_add(t, " on average in the week after.");
		if (pick_words(n, l, " Pick before that: ", t) > 0)
			text_add(t, ".");
	}
	if (advice_step_of(a, STEP_COVERED, 0).value >= SAY_EVEN_CHANCE)
		text_add(t, " Covered it may freeze all the same: two layers, or more.");
}

/* Whether its females are flowers of their own. */
static bool has_female(const struct note_facts *n, const struct advice *a)
{
	return !isnan(crop_of(n, a)->female_sown_dd.likely) || !isnan(crop_of(n, a)->female_planted_dd.likely);
}

/* What the plantings of a line have in common: off by the earliest hour, or on up to the least high. */
struct off {
	struct step by, stays; /* values NaN where there is none */
	bool lies, female;
};

static struct off off_of(const struct note_facts *n, const struct line *l)
{
	struct off o = {.by = advice_step_of(l->lead, STEP_OFF, 0), .stays = advice_step_of(l->lead, STEP_MAY_STAY, 0)};
	for (size_t i = 0; i < l->n; i++) {
		const struct cover *c = cover_of(n, l->of[i]);
		struct step by = advice_step_of(l->of[i], STEP_OFF, 0),
			    stays = advice_step_of(l->of[i], STEP_MAY_STAY, 0);
		if (isnan(o.by.value) || by.value < o.by.value)
			o.by = by;
		if (isnan(o.stays.value) || stays.value < o.stays.value)
			o.stays = stays;
		o.lies = o.lies || has(l->of[i], STEP_LIES);
		o.female = o.female || (c != NULL && c->day == COVER_UNTIL_FLOWER && has_female(n, l->of[i]));
	}
	return o;
}

static void stays_words(const struct note_facts *n, const struct off *o, bool full, struct text *t)
{
	text_add(t, o->lies ? " What lies on it may stay by day" : " It may stay on by day");
	if (full && o->female)
		text_add(t, " till the first female flower");
	if (full && isfinite(o->stays.value)) {
		text_add(t, o->female ? ", while it is under " : " while it is under ");
		phrase_degrees_unit(t, o->stays.value, units_of(n));
	}
	text_add(t, ".");
}

/* When it comes off. */
static void off_words(const struct note_facts *n, const struct line *l, bool full, struct text *t)
{
	struct off o = off_of(n, l);
	if (!isnan(o.by.value)) {
		text_add(t, " Off ");
		phrase_day(t, o.by.date, n->state->today);
		text_add(t, " by ");
		on_the_half_hour(n, (int64_t)o.by.value, t);
		text_add(t, ".");
	} else if (!isnan(o.stays.value)) {
		stays_words(n, &o, full, t);
	} else {
		text_add(t, full ? " Off in the morning, before the sun is strong." : " Off in the morning.");
	}
}

/* Whether a line before this one tells of covering, too. */
static bool after_another(const struct note_facts *n, const struct line *l)
{
	for (size_t k = 0; k < n->lines->n && &n->lines->at[k] != l; k++)
		if (advice_shelters(n->lines->at[k].lead->verdict))
			return true;
	return false;
}

/* Whether one of its plantings has been covered, by the diary: the manner is known. */
static bool has_done_it(const struct note_facts *n, const struct line *l)
{
	for (size_t i = 0; i < l->n; i++)
		if (date_is(n->state->planting[l->of[i]->planting].dates.first[VERB_COVERED]))
			return true;
	return false;
}

/* In full with the first of a run of cold nights, and once a note; the manner is known the morning after. */
static void cover_caution(const struct note_facts *n, const struct line *l, struct text *t)
{
	const struct cover *c = cover_of(n, l->lead);
	bool full = say_is_news(l) && !after_another(n, l) && !has_done_it(n, l);
	if (full) {
		text_addf(t, " %s, edges weighted, nothing touching the leaves, plastic least of all.",
			  c == NULL ? "Fleece or sheets on hoops" : "Held off by hoops or canes");
		if (advice_step_of(l->lead, STEP_GAIN, 0).value < SAY_NO_GAIN_C)
			text_addf(t, " Your %s may gain nothing on such a night: two layers, or a heavier one.",
				  c->title);
		text_add(t, " No fuel heater, lamp or candle under it; electric heat only if rated for outdoors, on a "
			    "residual-current protected socket.");
	} else {
		text_add(t, " Nothing touching the leaves.");
	}
	off_words(n, l, full, t);
}

static void pick_rest(const struct note_facts *n, const struct line *l, struct text *t)
{
	text_add(t, pick_words(n, l, ": ", t) > 0 ? ". " : ": ");
	cold_numbers(n, l, t);
	text_add(t, " Not worth a cover: ");
	phrase_degrees_unit(t, advice_step_of(l->lead, STEP_WARM_AFTER, 0).value, units_of(n));
	text_add(t, " on average in the week after.");
}

static void uncover_rest(const struct note_facts *n, const struct line *l, struct text *t)
{
	const struct cover *c = cover_of(n, l->lead);
	double high_c = advice_step_of(l->lead, STEP_WARMEST, 0).value;
	text_addf(t, ": %s over it since ", c != NULL ? c->title : "covered");
	phrase_date(t, advice_step_of(l->lead, STEP_LIES, 0).date, n->state->today);
	if (!isnan(high_c)) {
		text_add(t, "; ");
		phrase_degrees_unit(t, high_c, units_of(n));
		text_add(t, " today");
	}
	text_addf(t, ". Off already? Note it: dewpost diary add \"uncovered %s\".",
		  n->garden->planting[l->lead->planting].name);
}

/* ---- tonight that cannot be judged ---- */

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
	bool cold = has(l->lead, STEP_MARGIN);
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
	} else if (l->lead->verdict == VERDICT_PICK) {
		pick_rest(n, l, t);
	} else if (l->lead->verdict == VERDICT_UNCOVER) {
		uncover_rest(n, l, t);
	} else {
		text_add(t, ": ");
		cold_numbers(n, l, t);
		if (l->lead->verdict == VERDICT_CARRY_IN) {
			text_add(t, " Out again in the morning.");
			return;
		}
		worth_words(n, l, t);
		cover_caution(n, l, t);
	}
}

static void head(const struct note_facts *n, const struct line *l, struct text *t)
{
	if (l->lead->verdict == VERDICT_LOOK)
		text_add(t, "tonight cannot be judged");
	else if (l->lead->verdict == VERDICT_UNCOVER)
		text_add(t, "covers off this morning");
	else
		head_cold(n, l->lead, t);
}

const struct saying say_cover = {act, rest, head};
