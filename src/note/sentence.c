#include "note/sentence.h"

#include <math.h>

#include "base/instant.h"
#include "note/phrase.h"

/* Times to act by are named on the half hour before. */
enum { SENTENCE_HALF_HOUR_S = 1800 };

static int units_of(const struct note_facts *n)
{
	return n->garden->units;
}

static const struct crop *crop_of(const struct note_facts *n, size_t planting)
{
	return &n->crops->at[n->garden->planting[planting].crop_index];
}

static void plantings(const struct note_facts *n, const struct line *l, struct text *t)
{
	for (size_t i = 0; i < l->n; i++) {
		phrase_listed(t, n->garden->planting[l->of[i]->planting].name, i, l->n);
	}
}

/* Step number `skip` of a kind; where there is none its value is NaN and its date none. */
static struct step step_of(const struct advice *a, enum step_kind kind, size_t skip)
{
	for (size_t i = 0; i < a->steps; i++) {
		if (a->step[i].kind == kind && skip-- == 0) {
			return a->step[i];
		}
	}
	return (struct step){.kind = kind, .value = (double)NAN, .date = date_none()};
}

static const char *plural(double n, const char *one, const char *more)
{
	return n > 1 || n < 1 ? more : one;
}

static void by_clock(const struct note_facts *n, const struct advice *a, struct text *t)
{
	if (a->act_by == INSTANT_NONE) {
		text_add(t, " before dark");
	} else if (a->act_by <= n->state->cut) {
		text_add(t, " now");
	} else {
		text_add(t, " by ");
		int64_t past = zone_second(n->zone, a->act_by) % SENTENCE_HALF_HOUR_S;
		phrase_clock(t, n->zone, a->act_by - past, units_of(n));
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
		phrase_day(t, a->day, n->state->today);
		by_clock(n, a, t);
		break;
	case VERDICT_LOOK:
		text_add(t, " at the sky at dusk");
		break;
	case VERDICT_PLANT:
		text_add(t, " ");
		plantings(n, l, t);
		text_add(t, " today, late in the afternoon");
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

static void cover_numbers(const struct note_facts *n, const struct line *l, struct text *t)
{
	const struct advice *a = l->lead;
	struct step out = step_of(a, STEP_DAYS_OUT, 0);
	phrase_degrees_unit(t, a->number_c, units_of(n));
	text_add(t, " forecast for ");
	phrase_night(t, a->day, n->state->today);
	if (!isnan(out.value)) {
		text_addf(t, ", %.0f day%s after planting out; under ", out.value, plural(out.value, "", "s"));
		phrase_degrees(t, a->line_c, units_of(n));
		text_add(t, " a new plant stalls");
	} else {
		text_add(t, "; at ");
		phrase_degrees(t, a->line_c, units_of(n));
		text_add(t, " or less a clear night can freeze the leaf");
	}
	for (size_t i = 0; i < l->again_n; i++) {
		text_add(t, i == 0 ? ". Again " : ", ");
		phrase_night(t, l->again[i]->day, n->state->today);
		text_add(t, " (");
		phrase_degrees(t, l->again[i]->number_c, units_of(n));
		text_add(t, ")");
	}
	text_add(t, ".");
}

/* In full with the first of a run of cold nights; the manner is known the morning after. */
static void cover_caution(const struct advice *a, struct text *t)
{
	if (a->news) {
		text_add(t, " Fleece or sheets on hoops, edges weighted, nothing touching the leaves, plastic least of "
			    "all. No heater, lamp or candle under it. Off in the morning, before the sun is strong.");
	} else {
		text_add(t, " Clear of the leaves; off in the morning.");
	}
}

static void forecast_age(const struct note_facts *n, struct text *t)
{
	text_add(t, "the forecast is ");
	phrase_age(t, n->state->forecast.age_s);
	text_add(t, " old");
}

static void look_rest(const struct note_facts *n, const struct line *l, struct text *t)
{
	const struct night *tonight = season_tonight(n->state);
	if (tonight->known == 0) {
		text_add(t, ": I have no forecast for tonight");
	} else if (!tonight->complete) {
		text_addf(t, ": I cannot judge tonight, %d of its %d hours are missing",
			  tonight->wanted - tonight->known, tonight->wanted);
	} else {
		text_add(t, ": I cannot judge tonight, ");
		forecast_age(n, t);
	}
	text_add(t, ". If it is clear and calm, cover ");
	plantings(n, l, t);
	text_add(t, ", clear of the leaves.");
}

static void nights_that_reach(const struct note_facts *n, const struct advice *a, size_t window, struct text *t)
{
	struct step reached = step_of(a, STEP_REACHED, window), coldest = step_of(a, STEP_COLDEST, window);
	double unknown = step_of(a, STEP_UNKNOWN, window).value;
	text_addf(t, "%.0f of %s %d nights reach%s ", reached.value, window == 0 ? "the next" : "its",
		  ADVICE_PLANT_NIGHTS, plural(reached.value, "es", ""));
	phrase_degrees_unit(t, a->line_c, units_of(n));
	if (unknown > 0) {
		text_addf(t, ", %.0f not known", unknown);
	}
	if (date_is(coldest.date)) {
		text_add(t, ", the coldest ");
		phrase_degrees(t, coldest.value, units_of(n));
		text_add(t, " (");
		phrase_date(t, coldest.date, n->state->today);
		text_add(t, ")");
	}
}

static void not_judged(struct text *t)
{
	text_add(t, " Soil and frost date are not judged yet.");
}

static void plant_rest(const struct note_facts *n, const struct advice *a, struct text *t)
{
	text_add(t, ", or the next grey, still day: ");
	nights_that_reach(n, a, 0, t);
	text_add(t, ".");
	not_judged(t);
	text_add(t, " Try the soil with a thermometer, and ask your local extension office for the last frost.");
}

static void wait_rest(const struct note_facts *n, const struct advice *a, struct text *t)
{
	double unknown = step_of(a, STEP_UNKNOWN, 0).value, age = step_of(a, STEP_AGE, 0).value;
	text_add(t, ": ");
	if (!isnan(age)) {
		text_addf(t, "%.0f days old, and it wants %.0f in its tray. Till then ", age,
			  step_of(a, STEP_TRAY, 0).value);
	}
	if (a->cannot_tell && !(unknown > 0)) {
		text_add(t, "I cannot tell, ");
		forecast_age(n, t);
	} else if (a->cannot_tell) {
		text_addf(t, "I cannot tell, %.0f of the next %d nights are not known", unknown, ADVICE_PLANT_NIGHTS);
	} else {
		nights_that_reach(n, a, 0, t);
	}
	if (date_is(a->day)) {
		text_add(t, "; from ");
		phrase_date(t, a->day, n->state->today);
		text_add(t, " on ");
		nights_that_reach(n, a, 1, t);
	} else if (!a->cannot_tell && n->state->forecast.reaches > n->state->cut) {
		text_add(t, "; no such run before ");
		phrase_date(t, zone_date(n->zone, n->state->forecast.reaches), n->state->today);
		text_add(t, ", where the forecast ends");
	}
	text_add(t, ".");
	not_judged(t);
}

void sentence_line(const struct note_facts *n, const struct line *l, struct text *t)
{
	sentence_act(n, l, t);
	switch (l->lead->verdict) {
	case VERDICT_COVER:
		text_add(t, ": ");
		cover_numbers(n, l, t);
		cover_caution(l->lead, t);
		break;
	case VERDICT_LOOK:
		look_rest(n, l, t);
		break;
	case VERDICT_PLANT:
		plant_rest(n, l->lead, t);
		break;
	case VERDICT_WAIT:
		wait_rest(n, l->lead, t);
		break;
	}
}

static void was_now(const struct note_facts *n, const struct change *c, struct text *t)
{
	text_add(t, " (was ");
	phrase_degrees(t, c->was_c, units_of(n));
	text_add(t, ", now ");
	phrase_degrees(t, c->now_c, units_of(n));
	text_add(t, ")");
}

static void day_or_none(const struct note_facts *n, struct date d, struct text *t)
{
	if (date_is(d)) {
		phrase_date(t, d, n->state->today);
	} else {
		text_add(t, "no day in sight");
	}
}

static void change_night(const struct note_facts *n, const struct change *c, struct text *t)
{
	phrase_night(t, c->night, n->state->today);
	text_add(t, c->now_c < c->was_c ? " fell " : " rose ");
	int moved = advice_degrees(c->now_c, units_of(n)) - advice_degrees(c->was_c, units_of(n));
	phrase_difference(t, advice_difference_c(moved, units_of(n)), units_of(n));
	was_now(n, c, t);
}

static void change_verdict(const struct note_facts *n, const struct change *c, struct text *t)
{
	text_add(t, n->garden->planting[c->planting].name);
	if (c->now == VERDICT_PLANT) {
		text_add(t, " can go out today (was ");
		day_or_none(n, c->was_day, t);
		text_add(t, ")");
		return;
	}
	text_add(t, " should not go out yet; yesterday I said plant. Coldest night to come");
	was_now(n, c, t);
}

void sentence_change(const struct note_facts *n, const struct change *c, struct text *t)
{
	switch (c->kind) {
	case CHANGE_NIGHT:
		change_night(n, c, t);
		break;
	case CHANGE_COVER_OFF:
		phrase_night(t, c->night, n->state->today);
		text_add(t, " no longer needs a cover");
		was_now(n, c, t);
		break;
	case CHANGE_DATE:
		text_add(t, n->garden->planting[c->planting].name);
		text_add(t, " goes out later than I said: ");
		day_or_none(n, c->now_day, t);
		text_add(t, " (was ");
		day_or_none(n, c->was_day, t);
		text_add(t, ")");
		break;
	case CHANGE_VERDICT:
		change_verdict(n, c, t);
		break;
	}
	text_add(t, ".");
}

static void head_cover(const struct note_facts *n, const struct advice *a, struct text *t)
{
	int low = advice_degrees(a->number_c, units_of(n));
	int kill = advice_degrees(crop_of(n, a->planting)->kill_c, units_of(n));
	text_add(t, low <= kill ? "frost likely " : "cold ");
	phrase_night(t, a->day, n->state->today);
	text_add(t, ", ");
	phrase_degrees_unit(t, a->number_c, units_of(n));
}

void sentence_head(const struct note_facts *n, struct text *t)
{
	const struct forecast_state *fs = &n->state->forecast;
	if (!fs->any) {
		text_add(t, "no forecast");
		return;
	}
	if (fs->stale || n->trouble != NULL) {
		forecast_age(n, t);
		return;
	}
	if (n->lines->n == 0) {
		text_add(t, "nothing to do today");
		return;
	}
	const struct line *l = &n->lines->at[0];
	switch (l->lead->verdict) {
	case VERDICT_COVER:
		head_cover(n, l->lead, t);
		break;
	case VERDICT_LOOK:
		text_add(t, "tonight cannot be judged");
		break;
	case VERDICT_PLANT:
		text_add(t, "planting weather");
		break;
	case VERDICT_WAIT:
		text_add(t, "nothing goes out today");
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
	if (date_diff(n->state->today, made) != 0) {
		phrase_date(t, made, n->state->today);
		text_add(t, " ");
	}
	phrase_clock(t, n->zone, fs->made, units_of(n));
	if (date_diff(n->state->today, made) == 0) {
		text_add(t, " today");
	}
	text_add(t, ".");
}
