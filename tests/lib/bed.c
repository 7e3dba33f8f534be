#include "lib/bed.h"

#include <check.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/instant.h"

double bed_c(double f)
{
	return (f - 32) / 1.8;
}

struct date bed_day(int n)
{
	struct date d;
	ck_assert(date_of(2026, 5, 19, &d));
	return date_add(d, n);
}

static void crop_row(struct crops *crops, const char *name, double line_f, double slow_f, double stall_f)
{
	struct crop *c = &crops->at[crops->n];
	struct crop_basis *basis = &crops->basis[crops->n++];
	snprintf(c->name, sizeof c->name, "%s", name);
	snprintf(c->title, sizeof c->title, "%s", name);
	c->rule = (struct degree_rule){.base_c = 10, .cap_c = 30, .method = DEGREE_HOURLY, .cutoff = DEGREE_HORIZONTAL};
	c->night_line_c = bed_c(line_f);
	c->slow_c = bed_c(slow_f);
	c->stall_c = bed_c(stall_f);
	c->kill_c = 0;
	c->cover_c = bed_c(36);
	c->settle_days = 10;
	c->cover_at = 0.1;
	c->tray_days = 21;
	c->harden_day_c = c->harden_night_c = c->straw_soil_c = (double)NAN;
	c->emerge_base_c = c->emerge_dd = c->sow_soil_c = c->sow_soil_good_c = (double)NAN;
	struct spread none = {(double)NAN, (double)NAN, (double)NAN};
	c->male_sown_dd = c->female_sown_dd = c->pick_sown_dd = none;
	c->male_planted_dd = c->female_planted_dd = c->pick_planted_dd = c->fruit_dd = none;
	for (int i = 0; i < CROP_FIGURES; i++) {
		snprintf(basis->of[i], sizeof basis->of[i], "invented for a test (%s)",
			 crop_figure_key((enum crop_figure)i));
	}
}

void bed_crops(struct crops *crops)
{
	memset(crops, 0, sizeof *crops);
	crop_row(crops, "gourdlet", 60, 50, 45);
	crop_row(crops, "redberry", 55, 50, 42);
}

void bed_garden(struct garden *g, int units)
{
	memset(g, 0, sizeof *g);
	snprintf(g->id, sizeof g->id, "test-lane");
	snprintf(g->name, sizeof g->name, "Test Lane");
	g->latitude = 44.31;
	g->longitude = -89.90;
	g->units = units;
	g->indoor_c = 20;
	g->heat_mat_c = (double)NAN;
}

size_t bed_planting(struct garden *g, const struct crops *crops, const char *name, const char *crop, const char *sown,
		    const char *planted)
{
	struct planting *p = &g->planting[g->plantings];
	struct fault f = {0};
	snprintf(p->name, sizeof p->name, "%s", name);
	snprintf(p->crop, sizeof p->crop, "%s", crop);
	p->crop_index = crop_index(crops, crop);
	ck_assert_uint_lt(p->crop_index, crops->n);
	p->plants = 1;
	p->sowing = GARDEN_SOWN_INDOORS;
	p->sown = p->planted = p->ended = date_none();
	p->figures = crops->at[p->crop_index];
	ck_assert(*sown == '\0' || date_parse(sown, &p->sown, &f) == FAULT_NONE);
	ck_assert(*planted == '\0' || date_parse(planted, &p->planted, &f) == FAULT_NONE);
	return g->plantings++;
}

static void no_night(struct night *n)
{
	n->known = 0;
	n->complete = false;
	n->low_c = n->lowest_seen_c = n->hours_low_c = (double)NAN;
	n->cloud_frac = n->wind_ms = (double)NAN;
	n->cloud_known = n->wind_known = 0;
}

/* On a windy, overcast night bed and leaf are as warm as the air. */
static void no_difference(struct season_state *s, int i)
{
	double low_c = s->night[i].lowest_seen_c;
	s->bedlow[i][0] = (struct bedlow){.air_c = low_c,
					  .bed_c = low_c,
					  .leaf_c = low_c,
					  .at = INSTANT_NONE,
					  .wind_ms = (double)NAN,
					  .cloud_frac = (double)NAN,
					  .dew_point_c = (double)NAN,
					  .deposit_mm = (double)NAN};
}

static void no_day(struct day *d)
{
	d->tmin_c = d->tmax_c = d->tmean_c = d->rain_mm = d->rain_chance_frac = (double)NAN;
	d->cloud_frac = d->wind_ms = d->gust_ms = d->radiation_mj = (double)NAN;
	d->rain_known = d->rain_chance_known = d->cloud_known = d->wind_known = d->gust_known = 0;
}

static void no_hours(struct dayhours *d, struct date date)
{
	*d = (struct dayhours){.date = date, .n = 24, .first = instant_at(date, 0, -5 * HOUR_S)};
	for (int i = 0; i < d->n; i++) {
		d->hour[i] = (struct dayhour){(double)NAN, (double)NAN, (double)NAN, (double)NAN,
					      (double)NAN, (double)NAN, (double)NAN, i >= 5 && i < 20};
	}
}

/* 8 mm the day before yesterday: what was just planted out wants no water. */
static void rain_past(struct season_state *s)
{
	for (int day = 0; day < STATE_HOURS_BEFORE; day++)
		for (int i = 0; i < 24; i++)
			s->hours[day].hour[i].rain_mm = day == STATE_HOURS_BEFORE - 2 && i >= 8 && i < 16 ? 1 : 0;
}

/* The outlook by the prior, as a place has it that nothing was learned of. */
static void look_ahead(struct season_state *s)
{
	struct outlook_past past = {.climate = NULL};
	correct_prior(&past.correction);
	for (int i = 0; i < STATE_AHEAD; i++) {
		int k = STATE_NIGHTS_BEFORE + i;
		outlook_of(&s->night[k], s->bedlow[k], s->leaves, i + 1, &past, &s->outlook[i]);
	}
}

/* By the garden file alone, without an hour of weather. */
static void stand(const struct garden *g, size_t i, struct planting_state *ps, struct date today)
{
	static const struct hours no_hours_at_all;
	static const struct soil_hours no_soil;
	struct zone z;
	zone_fixed("Test/Lane", -5 * HOUR_S, &z);
	ps->soil = (struct soil){(double)NAN, SOIL_UNKNOWN, date_none()};
	const struct stages_in in = {.garden = g,
				     .planting = i,
				     .zone = &z,
				     .hours = &no_hours_at_all,
				     .seed = &no_soil,
				     .reading = &ps->soil,
				     .dates = &ps->dates,
				     .today = today,
				     .so_far_dd = (double)NAN,
				     .pace_dd = (double)NAN};
	stages_at(&in, &ps->stage);
}

void bed_state(const struct garden *g, struct season_state *s)
{
	memset(s, 0, sizeof *s);
	s->today = bed_day(0);
	s->cut = instant_at(s->today, 5 * HOUR_S + 17 * 60, -5 * HOUR_S);
	s->forecast = (struct forecast_state){.any = true,
					      .made = s->cut - HOUR_S,
					      .received = s->cut - HOUR_S,
					      .age_s = HOUR_S,
					      .trust = TRUST_FULL,
					      .reaches = s->cut + 9 * DAY_S};
	snprintf(s->forecast.credit, sizeof s->forecast.credit, "Invented forecast.");
	for (int i = 0; i < STATE_NIGHTS; i++) {
		struct night *n = &s->night[i];
		n->evening = bed_day(i - STATE_NIGHTS_BEFORE);
		n->phase = i < STATE_NIGHTS_BEFORE ? NIGHT_PAST : NIGHT_COMING;
		n->first = s->cut - DAY_S; /* seen in time by the forecast, as far as that matters */
		n->wanted = 16;
		n->dark_hours = 8;
		no_night(n);
		no_difference(s, i);
		s->soil_c[i] = s->seed_c[i] = (double)NAN;
	}
	s->leaves = 1;
	for (int i = 0; i < STATE_AHEAD; i++) {
		struct day *d = &s->day[i];
		d->date = bed_day(i);
		d->hours = 24;
		d->daylight_hours = 15;
		no_day(d);
	}
	for (int i = 0; i < STATE_HOURS_DAYS; i++)
		no_hours(&s->hours[i], bed_day(i - STATE_HOURS_BEFORE));
	rain_past(s);
	s->plantings = g->plantings;
	for (size_t i = 0; i < g->plantings; i++) {
		const struct planting *p = &g->planting[i];
		struct planting_state *ps = &s->planting[i];
		dates_of(g, i, &(struct diary){NULL, 0}, s->today, &ps->dates);
		bool out = date_is(p->planted) && date_diff(s->today, p->planted) >= 0;
		bool to_come = p->start != GARDEN_START_NO && !date_is(p->sown);
		ps->where = to_come ? PLANTING_TO_COME : out ? PLANTING_OUT : PLANTING_IN_TRAY;
		ps->since = out ? p->planted : p->sown;
		ps->days = date_diff(s->today, ps->since);
		ps->age_days = date_is(p->sown) ? date_diff(s->today, p->sown) : -1;
		ps->soil = (struct soil){(double)NAN, SOIL_UNKNOWN, date_none()};
		stand(g, i, ps, s->today);
	}
	look_ahead(s);
}

void bed_nights(struct season_state *s, int from, const double *low_f, size_t n)
{
	for (size_t i = 0; i < n; i++) {
		struct night *night = &s->night[STATE_NIGHTS_BEFORE + from + (int)i];
		if (isnan(low_f[i]))
			continue;
		night->known = night->wanted;
		night->complete = true;
		night->low_c = night->lowest_seen_c = night->hours_low_c = bed_c(low_f[i]);
		no_difference(s, STATE_NIGHTS_BEFORE + from + (int)i);
	}
	look_ahead(s);
}

void bed_hours(struct season_state *s, int day, const struct bed_weather *w)
{
	struct dayhours *d = &s->hours[STATE_HOURS_BEFORE + day];
	for (int i = 0; i < d->n; i++) {
		struct dayhour *h = &d->hour[i];
		/* coldest at 5, warmest at 15, straight between */
		double up = i < 5 ? (double)(5 - i) / 14 : i <= 15 ? (double)(i - 5) / 10 : 1 - (double)(i - 15) / 14;
		bool wet = i >= w->wet_from && i < w->wet_to;
		h->air_c = bed_c(w->low_f + (w->high_f - w->low_f) * up);
		h->wind_ms = w->gust_mph * 0.44704 / 1.5;
		h->gust_ms = (i >= w->gusty_from && i < w->gusty_to ? w->gusty_mph : w->gust_mph) * 0.44704;
		h->rain_mm = wet ? w->rain_mm : 0;
		h->rain_chance_frac = wet ? 0.8 : 0.1;
		h->clear_wm2 = h->light ? 950 * sin(M_PI * (i + 0.5 - 5) / 15) : 0;
		h->sun_wm2 = w->sun * h->clear_wm2;
	}
	if (day < 0)
		return;
	s->day[day].tmin_c = bed_c(w->low_f);
	s->day[day].tmax_c = bed_c(w->high_f);
	s->day[day].rain_mm = w->rain_mm * (w->wet_to - w->wet_from);
	s->day[day].rain_known = 24;
}

void bed_done(struct season_state *s, size_t planting, enum verb v, int first, int last, int days)
{
	struct dates *d = &s->planting[planting].dates;
	d->first[v] = bed_day(first);
	d->last[v] = bed_day(last);
	d->told[v] = true;
	d->days[v] = days;
}

void bed_harden(struct crops *crops, const char *crop, double day_f, double night_f)
{
	struct crop *c = &crops->at[crop_index(crops, crop)];
	c->harden_day_c = bed_c(day_f);
	c->harden_night_c = bed_c(night_f);
}

double bed_expected(int night, double low_f)
{
	struct correction c;
	correct_prior(&c);
	return correct_night(&c, night + 1, bed_c(low_f), (double)NAN).low_c;
}

void bed_age(struct season_state *s, int64_t age_s)
{
	s->forecast.age_s = age_s;
	s->forecast.made = s->cut - age_s;
	s->forecast.trust = trust_of(age_s, 0);
	if (s->forecast.trust < TRUST_SPENT)
		return;
	for (int i = 0; i < STATE_AHEAD; i++) {
		no_night(&s->night[STATE_NIGHTS_BEFORE + i]);
		no_difference(s, STATE_NIGHTS_BEFORE + i);
		no_day(&s->day[i]);
	}
	s->forecast.reaches = s->cut;
	look_ahead(s);
}

static void frosts(struct frostdate_line *at, double last, double first)
{
	/* Half of them early, half late: the mean is the one given, the spread a little over ten days. */
	at->kind = FROSTDATE_DATED;
	yeardate_start(&at->spring, YEARDATE_LAST);
	yeardate_start(&at->autumn, YEARDATE_FIRST);
	for (int i = 0; i < 30; i++) {
		yeardate_add(&at->spring, last + (i % 2 ? 10 : -10));
		yeardate_add(&at->autumn, first + (i % 2 ? 10 : -10));
	}
	yeardate_close(&at->spring);
	yeardate_close(&at->autumn);
}

void bed_years(struct season_state *s, double last, double first, double coldest_c, double warmest_c)
{
	enum { COLDEST_DAY = 20 };
	struct climate *c = &s->climate;
	for (int i = 0; i < FROSTDATE_LINES; i++)
		frosts(&s->frost.at[i], last, first);
	c->years = 30;
	for (int i = 0; i < YEAR_DAYS; i++) {
		double up = (1 - cos(2 * M_PI * (i - COLDEST_DAY) / YEAR_DAYS)) / 2;
		double mean_c = coldest_c + (warmest_c - coldest_c) * up, low_c = mean_c - 5.5;
		c->lows[i] = c->highs[i] = c->years;
		c->sum_c[i] = c->years * low_c;
		c->squares[i] = c->years * (low_c * low_c + 9);
		c->high_sum_c[i] = c->years * (mean_c + 5.5);
	}
}

void bed_seen(struct season_state *s, int night, int known, double seen_f)
{
	struct night *n = &s->night[STATE_NIGHTS_BEFORE + night];
	n->known = known;
	n->complete = false;
	n->low_c = (double)NAN;
	n->lowest_seen_c = bed_c(seen_f);
	no_difference(s, STATE_NIGHTS_BEFORE + night);
	look_ahead(s);
}

void bed_clear(struct season_state *s, int night, double bed_k, double leaf_k)
{
	struct bedlow *low = &s->bedlow[STATE_NIGHTS_BEFORE + night][0];
	low->bed_c = low->air_c - bed_k;
	low->leaf_c = low->air_c - leaf_k;
	low->at = instant_at(bed_day(night + 1), 5 * HOUR_S, -5 * HOUR_S);
	low->wind_ms = 1;
	low->cloud_frac = 0;
	low->dew_point_c = low->air_c - 1;
	look_ahead(s);
}

void bed_soil(struct season_state *s, double f)
{
	for (int i = 0; i < STATE_NIGHTS; i++)
		s->soil_c[i] = bed_c(f);
}
