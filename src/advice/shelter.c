#include "advice/shelter.h"

#include <math.h>

#include "base/instant.h"

/* Hours of the morning; the first is what covers.ini has for plastic, the second for all else (judgement). */
enum { OFF_PLASTIC_S = 8 * HOUR_S, OFF_LATEST_S = 10 * HOUR_S, DAY_H = 24 };

double shelter_leaf_gain(double gain_c, double leaf_under_k)
{
	static const double HIDDEN_FRAC = 0.5;
	return gain_c > 0 && leaf_under_k > 0 ? gain_c + HIDDEN_FRAC * leaf_under_k : gain_c;
}

double shelter_wind(const struct night *n)
{
	return night_wind_told(n) ? n->wind_ms : (double)NAN;
}

/* Sun of a day as a share of a clear day's; NaN: not known. */
static double sun_share(const struct season_state *s, struct date day)
{
	const struct dayhours *d = season_hours(s, day);
	double sun = 0, clear = 0;
	for (int i = 0; d != NULL && i < d->n; i++) {
		const struct dayhour *h = &d->hour[i];
		if (!h->light || isnan(h->sun_wm2) || isnan(h->clear_wm2))
			continue;
		sun += h->sun_wm2;
		clear += h->clear_wm2;
	}
	return clear > 0 ? sun / clear : (double)NAN;
}

static bool surer(const struct shelter *a, const struct shelter *b)
{
	return b->cover == NULL || (isnan(b->gain_c) && !isnan(a->gain_c)) || a->gain_c > b->gain_c;
}

struct shelter shelter_at_hand(const struct garden *g, const struct season_state *s, size_t planting,
			       struct date evening)
{
	struct shelter best = {.cover = NULL, .gain_c = (double)NAN};
	const struct night *n = season_night(s, evening);
	double wind_ms = n != NULL ? shelter_wind(n) : (double)NAN, sun = sun_share(s, evening);
	const char *name;
	for (size_t i = 0; g->cover_table != NULL && (name = garden_cover(g, &g->planting[planting], i)) != NULL; i++) {
		struct shelter one = {.cover = cover_find(g->cover_table, name)};
		if (one.cover == NULL)
			continue;
		struct spread gain = cover_gain(one.cover, wind_ms, sun);
		one.kind = cover_index(g->cover_table, name);
		one.gain_c = isnan(gain.least) ? gain.likely : gain.least;
		if (surer(&one, &best))
			best = one;
	}
	return best;
}

static bool flowers(const struct garden *g, const struct season_state *s, size_t planting)
{
	const struct planting_state *ps = &s->planting[planting];
	const struct crop *c = &g->planting[planting].figures;
	if (date_is(ps->dates.first[VERB_FEMALE]))
		return true;
	bool planted = date_is(ps->dates.first[VERB_PLANTED_OUT]);
	return ps->warmth.dd_c >= (planted ? c->female_planted_dd.likely : c->female_sown_dd.likely);
}

double shelter_stays_to_c(const struct cover *cover, const struct garden *g, const struct season_state *s,
			  size_t planting)
{
	if (cover == NULL || cover->day == COVER_NIGHT_ONLY ||
	    (cover->day == COVER_UNTIL_FLOWER && flowers(g, s, planting)))
		return (double)NAN;
	bool hour = !isnan(cover->off_by_s);
	return isnan(cover->off_over_c) || hour ? (double)INFINITY : cover->off_over_c;
}

double shelter_high(const struct season_state *s, struct date day)
{
	int ahead = date_diff(day, s->today);
	return ahead >= 0 && ahead < STATE_AHEAD ? s->day[ahead].tmax_c : (double)NAN;
}

int64_t shelter_off(const struct cover *cover, const struct season_state *s, struct date day)
{
	const struct dayhours *d = season_hours(s, day);
	double high_c = shelter_high(s, day), by_s = OFF_LATEST_S;
	if (d == NULL || d->n == 0)
		return INSTANT_NONE;
	if (cover == NULL)
		by_s = OFF_PLASTIC_S;
	else if (!isnan(cover->off_by_s) && !(high_c <= cover->off_over_c))
		by_s = cover->off_by_s;
	/* Clocks are set before the hour. */
	return d->first + (int64_t)by_s + (int64_t)(d->n - DAY_H) * HOUR_S;
}

struct date shelter_lies(const struct season_state *s, size_t planting)
{
	const struct dates *d = &s->planting[planting].dates;
	struct date on = d->last[VERB_COVERED], off = d->last[VERB_UNCOVERED];
	/* On one day it came off in the morning and went on in the evening. */
	return date_is(on) && date_is(off) && date_diff(off, on) > 0 ? date_none() : on;
}
