#include "cli/past.h"

#include <math.h>
#include <string.h>

#include "base/instant.h"
#include "base/mem.h"
#include "record/hourstore.h"
#include "record/issuestore.h"
#include "record/outbox.h"
#include "record/stationstore.h"

/* Crops differ in leaf; only the bed's air is asked for here, and that does not hang on it. */
static const double ANY_LEAF_M = 0.25;

enum { PAST_EVENINGS = CORRECT_WINDOW_DAYS }; /* evenings looked back on */

/* One number an evening, the oldest first; the last is yesterday's.  NaN: not seen. */
struct seen {
	struct date first;
	double own_c[PAST_EVENINGS], observed_c[PAST_EVENINGS];
	bool own;    /* own readings go */
	bool at_bed; /* and are of the bed's air */
};

static double seen_on(const struct seen *s, int i)
{
	return s->own ? s->own_c[i] : s->observed_c[i];
}

static struct date evening_of(const struct seen *s, int i)
{
	return date_add(s->first, i);
}

enum fault_code past_days(struct context *c, struct date today, struct station_day **days, size_t *n,
			  const char **station, struct fault *f)
{
	int year, month, day, of;
	struct date from = today;
	*days = NULL;
	*n = 0;
	*station = NULL;
	if (c->record == NULL || !c->placed)
		return FAULT_NONE;
	date_parts(today, &year, &month, &day);
	if (!date_of(year - PAST_YEARS, 1, 1, &from))
		return FAULT_NONE;
	if (stationstore_list(c->record, c->place, NULL, from, today, days, n, f) != FAULT_NONE)
		return f->code;
	*station = station_main(&(struct station_days){*days, *n}, &of);
	return FAULT_NONE;
}

static enum fault_code learn_years(struct context *c, struct date today, struct past *p, struct fault *f)
{
	struct station_day *days;
	size_t n;
	const char *station;
	enum fault_code code = past_days(c, today, &days, &n, &station, f);
	if (code == FAULT_NONE && station != NULL) {
		climate_of(days, n, station, &p->climate);
		frostdate_of(days, n, station, c->garden.latitude < 0, &p->frost);
		p->years = p->climate.years;
	}
	if (code == FAULT_NONE)
		mem_free(days);
	return code;
}

/* A low that was read in the morning is of the night that began the evening before. */
static void seen_by_diary(const struct diary *diary, struct seen *s)
{
	for (size_t i = 0; i < diary->n; i++) {
		const struct entry *e = &diary->entry[i];
		int k = date_diff(e->date, s->first) - 1;
		if (verb_of(e) == VERB_LOW && k >= 0 && k < PAST_EVENINGS && !(e->amount >= s->own_c[k]))
			s->own_c[k] = e->amount;
	}
}

/* Nights by the hours of at least one origin alone, where nothing better is there; the others are taken out of h. */
static void seen_by_hours(const struct garden *g, struct hours *h, enum origin least, int64_t cut, struct seen *s,
			  double *low_c)
{
	for (size_t i = 0; i < h->n; i++) {
		int64_t t = h->first + (int64_t)i * HOUR_S;
		if (hours_origin(h, VAR_AIR_TEMPERATURE, t) < least)
			hours_set(h, VAR_AIR_TEMPERATURE, t, (double)NAN, ORIGIN_NONE);
		if (hours_origin(h, VAR_WINDOW_MINIMUM, t) < least)
			hours_set(h, VAR_WINDOW_MINIMUM, t, (double)NAN, ORIGIN_NONE);
	}
	for (int i = 0; i < PAST_EVENINGS; i++) {
		struct night n = night_of(h, evening_of(s, i), g->latitude, g->longitude, cut);
		if (isnan(low_c[i]) && n.phase == NIGHT_PAST)
			low_c[i] = n.low_c;
	}
}

static enum fault_code seen_in_record(struct context *c, int64_t cut, struct seen *s, struct fault *f)
{
	int64_t from = instant_hour(zone_day_start(&c->zone, s->first));
	int64_t to = instant_hour(cut);
	size_t observed = 0;
	struct hours h = {0};
	if (hourstore_count(c->record, c->place, from, to, RANK_OBSERVED, &observed, f) != FAULT_NONE)
		return f->code;
	if (observed == 0)
		return FAULT_NONE;
	enum fault_code code = hourstore_known(c->record, c->place, from, cut, to, &h, NULL, f);
	if (code == FAULT_NONE) {
		seen_by_hours(&c->garden, &h, ORIGIN_OBSERVED, cut, s, s->observed_c);
		seen_by_hours(&c->garden, &h, ORIGIN_READING, cut, s, s->own_c);
		hours_free(&h);
	}
	return code;
}

static int count(const double *low_c)
{
	int n = 0;
	for (int i = 0; i < PAST_EVENINGS; i++)
		n += !isnan(low_c[i]);
	return n;
}

/* What one issue said of the nights that were seen: into low_c[evening][number in the issue]. */
static void said(const struct garden *g, const struct issue *issue, int from, const struct seen *s, int64_t cut,
		 double low_c[][CORRECT_NIGHTS])
{
	for (int i = from; i < PAST_EVENINGS && i < from + CORRECT_NIGHTS; i++) {
		struct date evening = evening_of(s, i);
		int number = outlook_number(issue_made(issue), evening, g->longitude);
		if (isnan(seen_on(s, i)) || number < 1 || number > CORRECT_NIGHTS)
			continue;
		struct night n = night_of(&issue->hours, evening, g->latitude, g->longitude, cut);
		double said_c = n.low_c;
		if (s->at_bed && n.complete) {
			struct bedlow low;
			bedlow_of(&issue->hours, &n, g->latitude, g->longitude, &ANY_LEAF_M, 1, &low);
			said_c = low.bed_c;
		}
		if (!isnan(said_c))
			low_c[i][number - 1] = said_c;
	}
}

/* Whether an issue of that day's morning could have told of a night that was seen. */
static bool asked(const struct seen *s, int day)
{
	for (int i = day; i < PAST_EVENINGS && i < day + CORRECT_NIGHTS; i++)
		if (!isnan(seen_on(s, i)))
			return true;
	return false;
}

static enum fault_code forecast_lows(struct context *c, const struct seen *s, double low_c[][CORRECT_NIGHTS],
				     struct fault *f)
{
	for (int day = 0; day < PAST_EVENINGS; day++) {
		struct issue issue;
		int64_t cut = INSTANT_NONE;
		if (!asked(s, day))
			continue;
		if (outbox_cut(c->record, c->garden.id, evening_of(s, day), LETTER_MORNING, &cut, f) != FAULT_NONE)
			return f->code;
		if (cut == INSTANT_NONE)
			continue;
		if (issuestore_at(c->record, c->place, cut, 0, &issue, f) != FAULT_NONE)
			return f->code;
		if (issue.source[0] != '\0')
			said(&c->garden, &issue, day, s, cut, low_c);
		issue_free(&issue);
	}
	return FAULT_NONE;
}

static enum fault_code learn_forecasts(struct context *c, const struct seen *s, struct past *p, struct fault *f)
{
	double low_c[PAST_EVENINGS][CORRECT_NIGHTS];
	for (int i = 0; i < PAST_EVENINGS; i++)
		for (int k = 0; k < CORRECT_NIGHTS; k++)
			low_c[i][k] = (double)NAN;
	if (forecast_lows(c, s, low_c, f) != FAULT_NONE)
		return f->code;
	p->pair = mem_new((size_t)PAST_EVENINGS * CORRECT_NIGHTS, sizeof *p->pair);
	if (p->pair == NULL)
		return fault_set(f, FAULT_MEMORY, "out of memory");
	for (int i = 0; i < PAST_EVENINGS; i++)
		for (int k = 0; k < CORRECT_NIGHTS; k++)
			if (!isnan(low_c[i][k]))
				p->pair[p->pairs++] = (struct correct_pair){.evening = evening_of(s, i),
									    .night = k + 1,
									    .forecast_c = low_c[i][k],
									    .seen_c = seen_on(s, i),
									    .seen = true};
	return FAULT_NONE;
}

enum fault_code past_learn(struct context *c, const struct diary *diary, int64_t cut, struct past *p, struct fault *f)
{
	struct date today = zone_date(&c->zone, cut);
	struct seen s = {.first = date_add(today, -PAST_EVENINGS)};
	*p = (struct past){0};
	if (c->record == NULL || !c->placed)
		return FAULT_NONE;
	for (int i = 0; i < PAST_EVENINGS; i++)
		s.own_c[i] = s.observed_c[i] = (double)NAN;
	seen_by_diary(diary, &s);
	if (learn_years(c, today, p, f) != FAULT_NONE || seen_in_record(c, cut, &s, f) != FAULT_NONE)
		return f->code;
	s.own = count(s.own_c) >= CORRECT_PAIRS_MIN || count(s.observed_c) == 0;
	s.at_bed = s.own && c->garden.thermometer == GARDEN_AT_BED;
	bool any = count(s.own ? s.own_c : s.observed_c) > 0;
	return any ? learn_forecasts(c, &s, p, f) : FAULT_NONE;
}

void past_free(struct past *p)
{
	mem_free(p->pair);
	p->pair = NULL;
	p->pairs = 0;
}

void past_at(const struct past *p, struct date today, struct season_known *k)
{
	correct_of(p->pair, p->pairs, today, &k->past.correction);
	k->past.climate = p->years > 0 ? &p->climate : NULL;
	k->frost = p->years > 0 ? &p->frost : NULL;
}
