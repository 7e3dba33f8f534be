#include "advice/settle.h"

#include <math.h>
#include <string.h>

#include "base/instant.h"

enum { DAY_H = 24, SHADE_HOURS = 3, WARM_DAYS = 3 };

/* See the header. */
static const double RAIN_ENOUGH_MM = 6.35, RAIN_COMING_MM = 10, CHANCE_FRAC = 0.7, HOT_C = 29.4, STRONG_WM2 = 700,
		    WARM_C = 21, SLUG_NIGHT_C = 7.2, SLUG_RAIN_MM = 1, BEETLE_C = 18.3, STRAW_RAIN_MM = 12,
		    KNOWN_FRAC = 0.8, QUART_L = 0.946;

struct settle_in {
	const struct garden *g;
	const struct crop *crop;
	const struct season_state *s;
	size_t planting;
	int days_out; /* since planting out; -1 where it was sown in place */
	int days_up;  /* since it came up, or was planted out; -1 where nobody knows */
};

static const struct planting *planting_of(const struct settle_in *in)
{
	return &in->g->planting[in->planting];
}

static const struct dates *dates_at(const struct settle_in *in)
{
	return &in->s->planting[in->planting].dates;
}

/* -1 where it has not happened. */
static int days_since(const struct settle_in *in, struct date d)
{
	int days = date_is(d) ? date_diff(in->s->today, d) : -1;
	return days >= 0 ? days : -1;
}

static bool in_tub(const struct settle_in *in)
{
	for (size_t i = 0; i < in->g->tubs; i++)
		if (strcmp(in->g->tub[i].name, planting_of(in)->in) == 0)
			return true;
	return false;
}

/* Rain of the hours before an instant; NaN where too few of them are known. */
static double rain_before(const struct settle_in *in, int64_t to, int hours)
{
	int known;
	double mm = dayhours_rain(in->s->hours, STATE_HOURS_DAYS, to - (int64_t)hours * HOUR_S, to, &known);
	return known >= KNOWN_FRAC * hours ? mm : (double)NAN;
}

static double rain_past(const struct settle_in *in, enum verdict v)
{
	return rain_before(in, instant_hour(in->s->cut), settle_looks_back(v));
}

int settle_looks_back(enum verdict v)
{
	return v == VERDICT_WATER ? 2 * DAY_H : v == VERDICT_STRAW ? 3 * DAY_H : DAY_H;
}

double settle_quench_l(int units)
{
	return units == UNIT_US ? QUART_L : 1;
}

static struct advice *add(const struct settle_in *in, enum verdict v, enum crop_figure rule, struct advice_list *out)
{
	struct advice *a = advice_add(out, DECISION_SETTLE, v, in->planting);
	a->day = in->s->today;
	a->rule = rule;
	a->own_line = planting_of(in)->own_line[rule] != 0;
	if (in->days_out >= 0) {
		advice_step(a, STEP_DAYS_OUT, in->days_out, date_none());
		advice_step(a, STEP_SETTLE, in->crop->settle_days, date_none());
	}
	return a;
}

/* ---- WATER ---- */

/* Rain that is as good as certain to fall yet today, and enough. */
static bool rain_comes(const struct settle_in *in)
{
	const struct dayhours *d = season_hours(in->s, in->s->today);
	double mm = 0;
	for (int i = 0; i < d->n && in->s->forecast.trust < TRUST_OLD; i++) {
		const struct dayhour *h = &d->hour[i];
		bool coming = d->first + (int64_t)i * HOUR_S >= in->s->cut && h->rain_chance_frac >= CHANCE_FRAC;
		mm += coming && h->rain_mm > 0 ? h->rain_mm : 0;
	}
	return mm >= RAIN_COMING_MM;
}

static bool water_due(const struct settle_in *in)
{
	int watered = days_since(in, dates_at(in)->last[VERB_WATERED]);
	/* The diary of a day before planting out is of something else. */
	if (watered >= 0 && watered <= in->days_out)
		return watered >= SETTLE_EVERY_DAYS;
	return in->days_out > 0 && in->days_out % SETTLE_EVERY_DAYS == 0;
}

static void water(const struct settle_in *in, struct advice_list *out)
{
	bool tub = in_tub(in);
	double past_mm = rain_past(in, VERDICT_WATER);
	bool rained = past_mm >= RAIN_ENOUGH_MM || rain_comes(in);
	bool due = tub ? in->days_out > 0 : water_due(in) && !rained;
	if (!due)
		return;
	struct advice *a = add(in, VERDICT_WATER, CROP_SETTLE, out);
	struct date watered = dates_at(in)->last[VERB_WATERED];
	advice_step(a, STEP_QUENCH, settle_quench_l(in->g->units) * planting_of(in)->plants, date_none());
	if (tub) {
		advice_step(a, STEP_TUB, 1, date_none());
		return;
	}
	advice_step(a, STEP_RAIN_PAST, past_mm, date_none());
	advice_step(a, STEP_RAIN_ENOUGH, RAIN_ENOUGH_MM, date_none());
	if (days_since(in, watered) >= 0 && days_since(in, watered) <= in->days_out)
		advice_step(a, STEP_WATERED, 1, watered);
}

/* ---- SHADE ---- */

struct sun_span {
	int hours; /* of strong sun */
	int64_t from, to;
	double hottest_c;
};

static struct sun_span strong_sun(const struct settle_in *in, double air_c)
{
	const struct dayhours *d = season_hours(in->s, in->s->today);
	struct sun_span span = {.from = INSTANT_NONE, .to = INSTANT_NONE, .hottest_c = (double)NAN};
	for (int i = 0; i < d->n; i++) {
		const struct dayhour *h = &d->hour[i];
		int64_t t = d->first + (int64_t)i * HOUR_S;
		span.hottest_c = fmax(span.hottest_c, h->air_c);
		if (t + HOUR_S <= in->s->cut || !(h->sun_wm2 >= STRONG_WM2) || !(h->air_c >= air_c))
			continue;
		span.from = span.hours == 0 ? t : span.from;
		span.to = t + HOUR_S;
		span.hours++;
	}
	return span;
}

static void shade(const struct settle_in *in, struct advice_list *out)
{
	struct sun_span span = strong_sun(in, WARM_C);
	int units = in->g->units;
	bool hot = !isnan(span.hottest_c) && advice_degrees(span.hottest_c, units) >= advice_degrees(HOT_C, units);
	bool tender = in->days_out <= SETTLE_TENDER_DAYS && span.hours >= SHADE_HOURS;
	if (in->s->forecast.trust >= TRUST_OLD || span.hours == 0 || !(hot || tender))
		return;
	struct advice *a = add(in, VERDICT_SHADE, CROP_SETTLE, out);
	a->number_c = span.hottest_c;
	a->act_by = span.from;
	advice_step(a, STEP_HOTTEST, span.hottest_c, in->s->today);
	advice_step(a, STEP_SHADE_FROM, (double)span.from, date_none());
	advice_step(a, STEP_SHADE_TO, (double)span.to, date_none());
}

/* ---- LOOK for slugs, for beetles ---- */

/* Whether the night that ended on a morning was mild, and wet or after rain. */
static bool slug_night(const struct settle_in *in, int back)
{
	const struct night *n = season_night(in->s, date_add(in->s->today, -1 - back));
	if (n == NULL || isnan(advice_low_c(n)) || !n->complete)
		return false;
	double mm = rain_before(in, instant_hour(in->s->cut) - (int64_t)back * DAY_S, DAY_H);
	int units = in->g->units;
	return mm >= SLUG_RAIN_MM && advice_degrees(n->low_c, units) >= advice_degrees(SLUG_NIGHT_C, units);
}

static void slugs(const struct settle_in *in, struct advice_list *out)
{
	int row = 0, units = in->g->units;
	double tonight_c = season_tonight(in->s)->low_c;
	/* They stay in the ground in a cold one. */
	if (!isnan(tonight_c) && advice_degrees(tonight_c, units) < advice_degrees(SLUG_NIGHT_C, units))
		return;
	while (row < STATE_NIGHTS_BEFORE && slug_night(in, row))
		row++;
	if (row % SETTLE_AGAIN_DAYS != 1)
		return;
	struct advice *a = add(in, VERDICT_SLUGS, CROP_SETTLE, out);
	a->number_c = season_night(in->s, date_add(in->s->today, -1))->low_c;
	advice_step(a, STEP_NIGHT_PAST, a->number_c, date_none());
	advice_step(a, STEP_RAIN_PAST, rain_past(in, VERDICT_SLUGS), date_none());
}

static double high_of(const struct dayhours *d)
{
	double high_c = (double)NAN;
	for (int i = 0; i < d->n; i++)
		high_c = fmax(high_c, d->hour[i].air_c);
	return high_c;
}

static bool warm_days(const struct settle_in *in)
{
	for (int back = 1; back <= WARM_DAYS; back++)
		if (!(high_of(season_hours(in->s, date_add(in->s->today, -back))) >= BEETLE_C))
			return false;
	return true;
}

/* A cover lies on, by the diary. */
static bool covered(const struct settle_in *in)
{
	struct date on = dates_at(in)->last[VERB_COVERED], off = dates_at(in)->last[VERB_UNCOVERED];
	return date_is(on) && (!date_is(off) || date_diff(on, off) > 0);
}

static void beetles(const struct settle_in *in, struct advice_list *out)
{
	bool due = in->days_up > 0 && in->days_up <= in->crop->beetle_days && in->days_up % SETTLE_AGAIN_DAYS == 0;
	if (!due || covered(in) || !warm_days(in))
		return;
	struct advice *a = add(in, VERDICT_BEETLES, CROP_BEETLES, out);
	a->number_c = high_of(season_hours(in->s, date_add(in->s->today, -1)));
	a->line_c = BEETLE_C;
	advice_step(a, STEP_BEETLE_LINE, BEETLE_C, date_none());
}

/* ---- STRAW ---- */

static void straw(const struct settle_in *in, struct advice_list *out)
{
	int units = in->g->units;
	struct soil soil = season_soil(in->s, in->planting, in->s->today);
	double line_c = in->crop->straw_soil_c, mm = rain_past(in, VERDICT_STRAW);
	int watered = days_since(in, dates_at(in)->last[VERB_WATERED]);
	bool wet = mm >= STRAW_RAIN_MM || (watered >= 0 && watered <= 1);
	bool when = in->days_out >= SETTLE_TENDER_DAYS && in->days_out <= SETTLE_STRAW_DAYS;
	if (!when || !wet || in_tub(in) || date_is(dates_at(in)->last[VERB_STRAWED]) || isnan(soil.c) ||
	    isnan(line_c) || advice_degrees(soil.c, units) < advice_degrees(line_c, units))
		return;
	struct advice *a = add(in, VERDICT_STRAW, CROP_STRAW, out);
	a->day = date_none();
	a->number_c = soil.c;
	a->line_c = line_c;
	advice_step(a, STEP_SOIL, soil.c, soil.read);
	advice_step(a, STEP_STRAW_LINE, line_c, date_none());
	if (mm >= STRAW_RAIN_MM)
		advice_step(a, STEP_RAIN_PAST, mm, date_none());
	else
		advice_step(a, STEP_WATERED, 1, dates_at(in)->last[VERB_WATERED]);
}

/* The day it came up where it was sown, told or reckoned; DATE_NONE where it has not, or nobody knows. */
static struct date up_since(const struct settle_in *in)
{
	const struct stage_state *stage = &in->s->planting[in->planting].stage;
	return stage->now >= STAGE_UP && stage->now < STAGE_ENDED ? stage->up.likely : date_none();
}

void settle_advise(const struct garden *g, const struct season_state *s, size_t planting, struct advice_list *out)
{
	struct settle_in in = {.g = g, .crop = &g->planting[planting].figures, .s = s, .planting = planting};
	in.days_out = days_since(&in, dates_at(&in)->first[VERB_PLANTED_OUT]);
	in.days_up = in.days_out >= 0 ? in.days_out : days_since(&in, up_since(&in));
	bool settling = in.days_out >= 0 && in.days_out <= in.crop->settle_days;
	if (settling) {
		water(&in, out);
		shade(&in, out);
	}
	if (settling || (in.days_out < 0 && in.days_up >= 0 && in.days_up <= SETTLE_UP_DAYS))
		slugs(&in, out);
	beetles(&in, out);
	straw(&in, out);
}

bool settle_says_same(const struct advice *a, const struct advice *b)
{
	return advice_same_step(a, b, STEP_TUB) && advice_same_step(a, b, STEP_RAIN_PAST) &&
	       advice_same_step(a, b, STEP_SOIL);
}
