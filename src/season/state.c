#include "season/state.h"

#include <math.h>
#include <string.h>

#include "base/instant.h"

/* Where a planting stands on a day, and since when. */
static void place_of(const struct planting *p, struct date today, struct planting_state *ps)
{
	struct date sown = ps->dates.first[VERB_SOWN], planted = ps->dates.first[VERB_PLANTED_OUT];
	struct date ended = ps->dates.last[VERB_ENDED];
	bool outdoors = p->sowing == GARDEN_SOWN_OUTDOORS;
	ps->since = date_none();
	ps->age_days = dates_by(sown, today) ? date_diff(today, sown) : -1;
	if (dates_by(ended, today)) {
		ps->where = PLANTING_ENDED;
		ps->since = ended;
	} else if (dates_by(planted, today)) {
		ps->where = PLANTING_OUT;
		ps->since = planted;
	} else if (dates_by(sown, today)) {
		ps->where = outdoors ? PLANTING_OUT : PLANTING_IN_TRAY;
		ps->since = sown;
	} else {
		bool planned = date_is(sown) || date_is(planted) || p->start != GARDEN_START_NO;
		ps->where = planned ? PLANTING_TO_COME : PLANTING_UNDATED;
	}
	ps->days = date_is(ps->since) ? date_diff(today, ps->since) : 0;
}

struct warmth_in {
	const struct season_known *k;
	const struct zone *z;
	const struct degree_rule *rule;
	const char *station; /* "" where there is none */
	struct date today;
	double indoor_c; /* of a tray; NaN where it is not known */
	bool tray;
};

/* What the station says of a day that is over; of its next day only where that is over too. */
static struct degree_extremes station_of(const struct warmth_in *in, struct date d)
{
	struct degree_extremes e = {(double)NAN, (double)NAN, (double)NAN};
	int past = date_diff(in->today, d);
	if (past > 0 && in->station[0] != '\0')
		e = station_extremes(&in->k->station, in->station, d);
	if (past == 1)
		e.next_tmin_c = (double)NAN;
	return e;
}

static struct degree_count warmth_of(const struct warmth_in *in, struct date d)
{
	if (!in->tray) {
		struct degree_extremes e = station_of(in, d);
		return day_degrees(in->k->hours, in->z, d, in->rule, &e);
	}
	/* A room at one temperature: the day's low and high are the same. */
	double dd = degree_day(in->rule, in->indoor_c, in->indoor_c, in->indoor_c);
	return (struct degree_count){.dd_c = dd, .how = isnan(dd) ? DEGREE_UNKNOWN : DEGREE_EXTREMES};
}

static struct degree_sum warmth_between(const struct warmth_in *in, struct date from, struct date to)
{
	struct degree_sum sum = {0};
	for (struct date d = from; date_diff(to, d) > 0; d = date_add(d, 1)) {
		struct degree_count day = warmth_of(in, d);
		degree_sum_add(&sum, &day);
	}
	return sum;
}

/* Days ahead whose warmth can be told, from today on. */
static struct degree_sum warmth_coming(const struct warmth_in *in, struct date today)
{
	struct degree_sum sum = {0};
	for (int i = 0; i < STATE_PACE_DAYS; i++) {
		struct degree_count day = warmth_of(in, date_add(today, i));
		if (day.how == DEGREE_UNKNOWN)
			break;
		degree_sum_add(&sum, &day);
	}
	return sum;
}

/* Warmth so far and a day's at the pace to come, else at that of the week before; NaN where it is no total. */
static void stage_at(const struct stages_in *base, const struct season_known *k, struct planting_state *ps)
{
	struct stages_in in = *base;
	const struct degree_sum *pace = ps->coming.days > 0 ? &ps->coming : &ps->last_week;
	in.hours = k->hours;
	in.seed = &k->seed;
	in.reading = &ps->soil;
	in.dates = &ps->dates;
	in.so_far_dd = ps->warmth.missing_days > 0 ? (double)NAN : ps->warmth.dd_c;
	in.pace_dd = pace->days > 0 && pace->missing_days == 0 ? pace->dd_c / pace->days : (double)NAN;
	stages_at(&in, &ps->stage);
}

static void warm_at(const struct garden *g, const struct zone *z, const struct season_known *k, size_t i,
		    struct season_state *s)
{
	struct planting_state *ps = &s->planting[i];
	struct warmth_in in = {.k = k,
			       .z = z,
			       .rule = &g->planting[i].figures.rule,
			       .station = s->station,
			       .today = s->today,
			       .indoor_c = g->indoor_c,
			       .tray = ps->where == PLANTING_IN_TRAY};
	struct date week = date_add(s->today, -STATE_PACE_DAYS);
	ps->warmth = warmth_between(&in, ps->since, s->today);
	ps->last_week = warmth_between(&in, date_diff(week, ps->since) > 0 ? week : ps->since, s->today);
	ps->coming = warmth_coming(&in, s->today);
}

static void planting_at(const struct garden *g, const struct zone *z, const struct season_known *k, size_t i,
			struct season_state *s)
{
	struct planting_state *ps = &s->planting[i];
	dates_of(g, i, &k->diary, s->today, &ps->dates);
	place_of(&g->planting[i], s->today, ps);
	ps->soil = soil_reading(&k->diary, g->planting[i].in, s->today);
	if (ps->where == PLANTING_OUT || ps->where == PLANTING_IN_TRAY)
		warm_at(g, z, k, i, s);
	const struct stages_in in = {.garden = g, .planting = i, .zone = z, .today = s->today};
	stage_at(&in, k, ps);
}

/* Where the air temperature known after the cut ends. */
static int64_t reach(const struct hours *h, int64_t cut)
{
	int64_t t = instant_hour(cut);
	while (!isnan(hours_get(h, VAR_AIR_TEMPERATURE, t)))
		t += HOUR_S;
	return t > cut ? t : cut;
}

static void forecast_at(const struct issue *newest, int64_t cut, struct forecast_state *fs)
{
	fs->any = newest->source[0] != '\0';
	fs->trust = TRUST_SPENT;
	if (!fs->any)
		return;
	fs->made = issue_made(newest);
	fs->received = newest->received;
	fs->age_s = cut - fs->made;
	fs->trust = trust_of(fs->age_s, newest->max_age_s);
	memcpy(fs->title, newest->title, sizeof fs->title);
	memcpy(fs->credit, newest->credit, sizeof fs->credit);
}

/* A view of the hours that ends before the running one where the forecast is spent.  It owns nothing. */
static struct hours trusted(const struct hours *h, const struct forecast_state *fs, int64_t cut)
{
	struct hours view = *h;
	int64_t running = instant_hour(cut);
	view.block = NULL;
	if (fs->any && fs->trust == TRUST_SPENT && running < hours_end(h))
		view.n = running > h->first ? (size_t)((running - h->first) / HOUR_S) : 0;
	return view;
}

/* Soil as far as the hours that are looked at. */
static struct soil_hours told_soil(const struct soil_hours *soil, const struct hours *view)
{
	struct soil_hours told = *soil;
	int64_t n = (hours_end(view) - soil->first) / HOUR_S;
	if (n < (int64_t)soil->n)
		told.n = n > 0 ? (size_t)n : 0;
	return told;
}

/* Where nobody gives a crop's: that of squash, the widest grown here, whose leaf is never warmer than a narrower one.
 */
static const double STATE_LEAF_M = 0.25;

/* Widths of leaf: each kept once, as many as there is room for. */
static size_t leaf_of(struct season_state *s, double leaf_m)
{
	size_t widest = 0;
	for (size_t i = 0; i < s->leaves; i++) {
		if (!(s->leaf_m[i] < leaf_m) && !(s->leaf_m[i] > leaf_m))
			return i;
		widest = s->leaf_m[i] > s->leaf_m[widest] ? i : widest;
	}
	if (s->leaves == STATE_LEAVES) {
		s->leaf_m[widest] = leaf_m > s->leaf_m[widest] ? leaf_m : s->leaf_m[widest];
		return widest;
	}
	s->leaf_m[s->leaves] = leaf_m;
	return s->leaves++;
}

static void bedlows_at(const struct garden *g, const struct hours *h, struct season_state *s)
{
	for (size_t i = 0; i < g->plantings; i++) {
		double leaf_m = g->planting[i].figures.leaf_width_m;
		s->planting[i].leaf = leaf_of(s, isnan(leaf_m) ? STATE_LEAF_M : leaf_m);
	}
	for (int i = 0; i < STATE_NIGHTS; i++)
		bedlow_of(h, &s->night[i], g->latitude, g->longitude, s->leaf_m, s->leaves, s->bedlow[i]);
}

static void outlooks_at(const struct garden *g, const struct season_known *k, struct season_state *s)
{
	for (int i = 0; i < STATE_AHEAD; i++) {
		const struct night *n = &s->night[STATE_NIGHTS_BEFORE + i];
		int number = s->forecast.any ? outlook_number(s->forecast.made, n->evening, g->longitude) : 0;
		outlook_of(n, s->bedlow[STATE_NIGHTS_BEFORE + i], s->leaves, number, &k->past, &s->outlook[i]);
	}
}

static void station_at(const struct season_known *k, struct season_state *s)
{
	const char *name = station_main(&k->station, &s->stations);
	if (name != NULL)
		memcpy(s->station, name, sizeof s->station);
}

void season_state_at(const struct garden *g, const struct zone *z, const struct season_known *k, int64_t cut,
		     struct season_state *s)
{
	memset(s, 0, sizeof *s);
	s->cut = cut;
	s->today = zone_date(z, cut);
	forecast_at(k->newest, cut, &s->forecast);
	station_at(k, s);
	struct hours view = trusted(k->hours, &s->forecast, cut);
	struct season_known known = *k;
	known.hours = &view;
	known.soil = told_soil(&k->soil, &view);
	known.seed = told_soil(&k->seed, &view);
	s->forecast.reaches = reach(&view, cut);
	for (int i = 0; i < STATE_NIGHTS; i++) {
		struct date evening = date_add(s->today, i - STATE_NIGHTS_BEFORE);
		s->night[i] = night_of(&view, evening, g->latitude, g->longitude, cut);
		s->soil_c[i] = soil_reckoned(&known.soil, z, evening);
		s->seed_c[i] = soil_reckoned(&known.seed, z, evening);
	}
	bedlows_at(g, &view, s);
	outlooks_at(g, k, s);
	if (k->frost != NULL)
		s->frost = *k->frost;
	if (k->past.climate != NULL)
		s->climate = *k->past.climate;
	for (int i = 0; i < STATE_AHEAD; i++)
		s->day[i] = day_of(&view, z, date_add(s->today, i), g->latitude, g->longitude);
	dayhours_of(&view, z, date_add(s->today, -STATE_HOURS_BEFORE), STATE_HOURS_DAYS, g->latitude, g->longitude,
		    g->elevation_m, s->hours);
	s->plantings = g->plantings;
	for (size_t i = 0; i < g->plantings; i++)
		planting_at(g, z, &known, i, s);
}

/* The first day that a planting asks for; DATE_NONE where it asks for none. */
static struct date asks_from(const struct garden *g, size_t i, const struct diary *diary, struct date today)
{
	struct planting_state ps = {.age_days = -1};
	dates_of(g, i, diary, today, &ps.dates);
	place_of(&g->planting[i], today, &ps);
	struct date soil = stages_soil_from(&g->planting[i], &ps.dates, today);
	/* What is to be sown or planted out asks how warm the soil is. */
	if (ps.where == PLANTING_IN_TRAY || ps.where == PLANTING_TO_COME)
		return date_add(today, -SOIL_BEFORE_DAYS);
	if (ps.where != PLANTING_OUT)
		return date_none();
	return date_is(soil) ? soil : ps.since;
}

int64_t season_begins(const struct garden *g, const struct diary *diary, const struct zone *z, int64_t cut)
{
	struct date today = zone_date(z, cut);
	struct date first = date_add(today, -STATE_HOURS_BEFORE);
	for (size_t i = 0; i < g->plantings; i++) {
		struct date from = asks_from(g, i, diary, today);
		if (date_is(from) && date_diff(first, from) > 0)
			first = from;
	}
	return instant_hour(zone_day_start(z, first));
}

int64_t season_soil_begins(const struct garden *g, const struct diary *diary, const struct zone *z, int64_t cut)
{
	struct date today = zone_date(z, cut), first = date_add(today, -SOIL_BEFORE_DAYS);
	for (size_t i = 0; i < g->plantings; i++) {
		struct dates dates;
		dates_of(g, i, diary, today, &dates);
		struct date from = stages_soil_from(&g->planting[i], &dates, today);
		if (date_is(from) && date_diff(first, from) > 0)
			first = from;
	}
	return instant_hour(zone_day_start(z, first));
}

const struct night *season_tonight(const struct season_state *s)
{
	return &s->night[STATE_NIGHTS_BEFORE];
}

const struct night *season_night(const struct season_state *s, struct date evening)
{
	int i = date_diff(evening, s->night[0].evening);
	return i >= 0 && i < STATE_NIGHTS ? &s->night[i] : NULL;
}

const struct bedlow *season_bedlow(const struct season_state *s, size_t planting, struct date evening)
{
	int i = date_diff(evening, s->night[0].evening);
	return i >= 0 && i < STATE_NIGHTS ? &s->bedlow[i][s->planting[planting].leaf] : NULL;
}

const struct outlook_night *season_outlook(const struct season_state *s, struct date evening)
{
	int i = date_diff(evening, s->today);
	return i >= 0 && i < STATE_AHEAD ? &s->outlook[i] : NULL;
}

struct outlook_night season_expect(const struct season_state *s, struct date evening)
{
	struct outlook_night years;
	const struct outlook_night *held = season_outlook(s, evening);
	if (held != NULL)
		return *held;
	outlook_by_years(&s->climate, evening, &years);
	return years;
}

static struct soil carried(const struct season_state *s, size_t planting, struct date d,
			   const double reckoned_c[static STATE_NIGHTS])
{
	const struct soil *reading = &s->planting[planting].soil;
	int then = date_is(reading->read) ? date_diff(reading->read, s->night[0].evening) : -1;
	int now = date_diff(d, s->night[0].evening);
	double then_c = then >= 0 && then < STATE_NIGHTS ? reckoned_c[then] : (double)NAN;
	double now_c = now >= 0 && now < STATE_NIGHTS ? reckoned_c[now] : (double)NAN;
	return soil_carried(reading, then_c, now_c);
}

struct soil season_soil(const struct season_state *s, size_t planting, struct date d)
{
	return carried(s, planting, d, s->soil_c);
}

struct soil season_seed_soil(const struct season_state *s, size_t planting, struct date d)
{
	return carried(s, planting, d, s->seed_c);
}

const struct dayhours *season_hours(const struct season_state *s, struct date d)
{
	int i = date_diff(d, s->today) + STATE_HOURS_BEFORE;
	return i >= 0 && i < STATE_HOURS_DAYS ? &s->hours[i] : NULL;
}
