#include "cli/check_climate.h"

#include <math.h>

#include "base/mem.h"
#include "cli/past.h"
#include "note/frostline.h"
#include "note/phrase.h"
#include "odds/reachdate.h"

static const double HALF = 0.5;
#define PROPOSED_C                                                                                                     \
	(23 / 1.8) /* 55 F: under the 60 F of common practice, and safe (published tables of transplant care) */

/* The days that are looked at. */
struct years {
	const struct station_day *day;
	size_t n;
	const char *station;
	bool south;
	struct date today;
	int units;
};

static int years_of(const struct years *y)
{
	struct climate c;
	climate_of(y->day, y->n, y->station, &c);
	return c.years;
}

static void say_years(const struct years *y, int years, struct findings *w)
{
	findings_head(w, "climate");
	text_addf(&w->lines, "%d year%s of station %s", years, years == 1 ? "" : "s", y->station);
	text_add(&w->lines, years < YEARDATE_SOME     ? ": too few for chances, from 5 on they are told\n"
			    : years < YEARDATE_ENOUGH ? ": dates are rough, from 10 on they are good\n"
						      : "\n");
}

static void say_frost(const struct years *y, struct findings *w)
{
	struct frostdate f;
	frostdate_of(y->day, y->n, y->station, y->south, &f);
	const struct frostdate_line *l = &f.at[FROSTDATE_32F];
	if (l->kind == FROSTDATE_TOO_FEW)
		return;
	findings_head(w, "frost");
	if (l->kind == FROSTDATE_NEVER) {
		text_addf(&w->lines, "none in %d years\n", l->spring.years);
		return;
	}
	if (l->kind == FROSTDATE_EVERY_MONTH) {
		text_add(&w->lines,
			 "in every month of half the years: no season lies between, cover is for every night\n");
		return;
	}
	if (!frostline_spring(&f, y->today, y->units, &w->lines))
		text_add(&w->lines, "in spring in fewer than one year in ten");
	text_add(&w->lines, "\n");
	findings_head(w, "");
	if (!frostline_autumn(&f, y->today, y->units, &w->lines))
		text_add(&w->lines, "in autumn in fewer than one year in ten");
	text_add(&w->lines, "; low ground has it more often\n");
}

static void reach(const struct years *y, double line_c, struct yeardate *r)
{
	double at_station_c = line_c + outlook_years_under().bed_k;
	reachdate_of(y->day, y->n, y->station, y->south, at_station_c, CHECK_CLIMATE_NIGHTS, r);
}

static bool seldom(const struct yeardate *r)
{
	return yeardate_normal_chance(r, CHECK_CLIMATE_DAY) < HALF;
}

/* "from about 8 Jun in half the years (27 of 30 reach it)" */
static void reach_words(const struct years *y, const struct yeardate *r, struct text *t)
{
	int year, month, day;
	struct date d = frostdate_date(y->south, frostdate_year(y->south, y->today),
				       yeardate_normal(r, HALF) - CHECK_CLIMATE_NIGHTS);
	if (date_is(d)) {
		date_parts(d, &year, &month, &day);
		text_addf(t, "from about %d %s in half the years (%d of %d reach it)", day, date_month_short(month),
			  r->with, r->years);
	} else {
		text_addf(t, "in %d of %d years", r->with, r->years);
	}
}

static void propose(const struct years *y, double line_c, struct findings *w)
{
	struct yeardate r;
	reach(y, PROPOSED_C, &r);
	findings_head(w, "");
	text_add(&w->lines, "that is seldom or late");
	if (advice_degrees(line_c, y->units) > advice_degrees(PROPOSED_C, y->units) && r.with > 0) {
		text_add(&w->lines, "; night_line = ");
		phrase_degrees_unit(&w->lines, PROPOSED_C, y->units);
		text_add(&w->lines, " in the planting comes ");
		reach_words(y, &r, &w->lines);
	}
	text_add(&w->lines, "\n");
}

static bool same_line(const struct garden *g, size_t a, size_t b)
{
	return advice_degrees(g->planting[a].figures.night_line_c, g->units) ==
	       advice_degrees(g->planting[b].figures.night_line_c, g->units);
}

static bool told(const struct garden *g, size_t i)
{
	for (size_t k = 0; k < i; k++)
		if (same_line(g, i, k))
			return true;
	return false;
}

static void say_line(const struct garden *g, const struct years *y, size_t i, struct findings *w)
{
	double line_c = g->planting[i].figures.night_line_c;
	size_t count = 0, said = 0;
	struct yeardate r;
	reach(y, line_c, &r);
	if (r.years < YEARDATE_SOME)
		return;
	for (size_t k = i; k < g->plantings; k++)
		count += same_line(g, i, k);
	findings_head(w, "nights");
	phrase_degrees_unit(&w->lines, line_c, g->units);
	text_addf(&w->lines, " and over, %d in a row: ", CHECK_CLIMATE_NIGHTS);
	reach_words(y, &r, &w->lines);
	text_add(&w->lines, "; ");
	for (size_t k = i; k < g->plantings; k++)
		if (same_line(g, i, k))
			phrase_listed(&w->lines, g->planting[k].name, said++, count);
	text_add(&w->lines, "\n");
	if (seldom(&r))
		propose(y, line_c, w);
}

static void say_climate(const struct context *c, const struct years *y, struct findings *w)
{
	const struct garden *g = &c->garden;
	int years = years_of(y);
	say_years(y, years, w);
	say_frost(y, w);
	for (size_t i = 0; i < g->plantings; i++)
		if (!told(g, i))
			say_line(g, y, i, w);
}

void check_climate(struct context *c, struct findings *w)
{
	struct fault f = {0};
	struct station_day *days = NULL;
	struct years y = {
	    .south = c->garden.latitude < 0, .today = zone_date(&c->zone, c->now), .units = c->garden.units};
	if (c->record == NULL || !c->placed)
		return;
	if (past_days(c, y.today, &days, &y.n, &y.station, &f) != FAULT_NONE) {
		findings_wrong(w, "climate", &f);
		return;
	}
	y.day = days;
	if (y.station != NULL) {
		say_climate(c, &y, w);
	} else {
		findings_head(w, "climate");
		text_add(&w->lines,
			 "no past years of a station: dewpost import FILE brings frost dates and chances beyond "
			 "the forecast\n");
	}
	mem_free(days);
}
