#include "note/sentence.h"

#include <math.h>

#include "base/instant.h"
#include "note/phrase.h"

enum {
	SENTENCE_HALF_HOUR_S = 1800,   /* times to act by are named on the half hour before */
	SENTENCE_LATE_S = 17 * HOUR_S, /* from then on a planting is tomorrow's (judgement) */
};

static int units_of(const struct note_facts *n)
{
	return n->garden->units;
}

static void plantings(const struct note_facts *n, const struct line *l, struct text *t)
{
	for (size_t i = 0; i < l->n; i++)
		phrase_listed(t, n->garden->planting[l->of[i]->planting].name, i, l->n);
}

static const char *plural(double n, const char *one, const char *more)
{
	return n > 1 || n < 1 ? more : one;
}

static bool any_news(const struct line *l)
{
	for (size_t i = 0; i < l->n; i++)
		if (l->of[i]->news)
			return true;
	return false;
}

/* Has a line before this one told in full what goes for all of its decision? */
static bool told_before(const struct note_facts *n, const struct line *l)
{
	for (size_t k = 0; k < n->lines->n && &n->lines->at[k] != l; k++) {
		const struct line *before = &n->lines->at[k];
		if (before->lead->decision == l->lead->decision && before->lead->verdict != VERDICT_LOOK &&
		    any_news(before))
			return true;
	}
	return false;
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
	phrase_clock(t, n->zone, a->act_by - zone_second(n->zone, a->act_by) % SENTENCE_HALF_HOUR_S, units_of(n));
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

const char *sentence_verb(enum verdict v)
{
	static const char *const verb[] = {
	    [VERDICT_COVER] = "COVER", [VERDICT_LOOK] = "LOOK", [VERDICT_PLANT] = "PLANT OUT", [VERDICT_WAIT] = "WAIT"};
	return verb[v];
}

void sentence_act(const struct note_facts *n, const struct line *l, struct text *t)
{
	const struct advice *a = l->lead;
	text_add(t, sentence_verb(a->verdict));
	switch (a->verdict) {
	case VERDICT_COVER:
		text_add(t, " ");
		plantings(n, l, t);
		text_add(t, " ");
		cover_when(n, a, t);
		break;
	case VERDICT_LOOK:
		text_add(t, " at the sky ");
		look_when(n, a, t);
		break;
	case VERDICT_PLANT:
		text_add(t, " ");
		plantings(n, l, t);
		text_add(t, zone_second(n->zone, n->state->cut) < SENTENCE_LATE_S ? " today" : " tomorrow");
		text_add(t, ", late in the afternoon");
		break;
	case VERDICT_WAIT:
		text_add(t, " with ");
		plantings(n, l, t);
		if (date_is(a->day)) {
			text_add(t, " till ");
			phrase_date(t, a->day, n->state->today);
		}
		break;
	}
}

void sentence_age(const struct note_facts *n, struct text *t)
{
	text_add(t, "the forecast is ");
	phrase_age(t, n->state->forecast.age_s);
	text_add(t, " old");
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
		text_addf(t, ", %.0f day%s after planting out", days, plural(days, "", "s"));
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
	if (any_news(l) && !told_before(n, l)) {
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
			  plural(missing, "is", "are"));
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
		plantings(n, l, t);
		text_add(t, " unless it is cloudy or windy at dusk");
	} else {
		text_add(t, ". If it is clear and calm, cover ");
		plantings(n, l, t);
	}
	text_add(t, ", nothing touching the leaves.");
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
	text_addf(t, " of the next %d nights reach%s ", ADVICE_PLANT_NIGHTS, plural(reached, "es", ""));
	phrase_degrees_unit(t, a->line_c, units_of(n));
	if (unknown > 0)
		text_addf(t, ", %.0f not known", unknown);
	coldest_words(n, a, 0, t);
}

/* Soil and frost date go for all plantings: said once a note. */
static void not_judged(const struct note_facts *n, const struct line *l, struct text *t)
{
	if (!told_before(n, l))
		text_add(t, " Soil and frost date are not judged yet.");
}

static void plant_rest(const struct note_facts *n, const struct line *l, struct text *t)
{
	text_add(t, ", or the next grey, still day: ");
	nights_that_reach(n, l->lead, t);
	text_add(t, ".");
	if (!told_before(n, l)) {
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
			  plural(unknown, "is", "are"));
	} else {
		sentence_age(n, t);
	}
}

/* "14 days old, 21 wanted in the tray (till Tue 26)". */
static void young(const struct note_facts *n, const struct advice *a, struct text *t)
{
	double age = advice_step_of(a, STEP_AGE, 0).value, tray = advice_step_of(a, STEP_TRAY, 0).value;
	struct date ready = date_add(n->state->today, (int)(tray - age));
	text_addf(t, "%.0f day%s old, %.0f wanted in the tray (till ", age, plural(age, "", "s"), tray);
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

void sentence_line(const struct note_facts *n, const struct line *l, struct text *t)
{
	sentence_act(n, l, t);
	switch (l->lead->verdict) {
	case VERDICT_COVER:
		text_add(t, ": ");
		cover_numbers(n, l, t);
		cover_caution(n, l, t);
		break;
	case VERDICT_LOOK:
		look_rest(n, l, t);
		break;
	case VERDICT_PLANT:
		plant_rest(n, l, t);
		break;
	case VERDICT_WAIT:
		wait_rest(n, l, t);
		break;
	}
}

void sentence_forecast(const struct note_facts *n, struct text *t)
{
	const struct forecast_state *fs = &n->state->forecast;
	if (!fs->any) {
		text_add(t, "No forecast in the record.");
		return;
	}
	text_add(t, "Forecast of ");
	struct date made = zone_date(n->zone, fs->made);
	bool today = date_diff(n->state->today, made) == 0;
	if (!today) {
		phrase_date(t, made, n->state->today);
		text_add(t, ", ");
	}
	phrase_clock(t, n->zone, fs->made, units_of(n));
	text_add(t, today ? " today" : "");
	if (fs->trust > TRUST_FULL) {
		text_add(t, ", ");
		phrase_age(t, fs->age_s);
		text_add(t, " old");
	}
	text_add(t, fs->trust == TRUST_SPENT ? ", too old to go by" : "");
	text_add(t, ".");
}
