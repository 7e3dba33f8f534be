#include <stdio.h>
#include <string.h>

#include "base/instant.h"
#include "lib/bed.h"
#include "lib/harness.h"
#include "season/state.h"

enum { OFFSET = -5 * HOUR_S };

static struct crops crops;
static struct garden garden;
static struct zone zone;
static struct hours hours;
static struct issue issue;
static struct station_day station[64];
static size_t stations;
static struct season_state state;
static struct fault fault;

static const struct diary no_diary;

static int64_t at(int day, int hour)
{
	return instant_at(bed_day(day), hour * HOUR_S, OFFSET);
}

static void setup(void)
{
	bed_crops(&crops);
	bed_garden(&garden, UNIT_US);
	zone_fixed("Test/Lane", OFFSET, &zone);
	issue_init(&issue);
	ck_assert_int_eq(hours_init(&hours, at(-40, 0), (size_t)(60 * 24), &fault), FAULT_NONE);
}

static void teardown(void)
{
	hours_free(&hours);
	issue_free(&issue);
}

/* Every hour of [from, to) days at one temperature. */
static void steady(int from, int to, double c, enum origin o)
{
	for (int64_t t = at(from, 0); t < at(to, 0); t += HOUR_S)
		hours_set(&hours, VAR_AIR_TEMPERATURE, t, c, (uint8_t)o);
}

static void known_at(int64_t cut)
{
	struct season_known known = {.hours = &hours, .newest = &issue, .station = {station, stations}};
	correct_prior(&known.past.correction);
	season_state_at(&garden, &zone, &known, cut, &state);
}

/* Days are counted from 19 May 2026. */
#define NONE 9999
static const struct {
	const char *name;
	int sown, planted, ended;
	enum garden_sowing sowing;
	enum planting_where where;
	int since, days, age;
} rows[] = {
    {"no date", NONE, NONE, NONE, GARDEN_SOWN_INDOORS, PLANTING_UNDATED, NONE, 0, -1},
    {"sown tomorrow", 1, NONE, NONE, GARDEN_SOWN_INDOORS, PLANTING_TO_COME, NONE, 0, -1},
    {"sown today", 0, NONE, NONE, GARDEN_SOWN_INDOORS, PLANTING_IN_TRAY, 0, 0, 0},
    {"sown indoors", -29, NONE, NONE, GARDEN_SOWN_INDOORS, PLANTING_IN_TRAY, -29, 29, 29},
    {"sown outdoors", -8, NONE, NONE, GARDEN_SOWN_OUTDOORS, PLANTING_OUT, -8, 8, 8},
    {"to be planted out tomorrow", -29, 1, NONE, GARDEN_SOWN_INDOORS, PLANTING_IN_TRAY, -29, 29, 29},
    {"planted out today", -29, 0, NONE, GARDEN_SOWN_INDOORS, PLANTING_OUT, 0, 0, 29},
    {"planted out", -29, -4, NONE, GARDEN_SOWN_INDOORS, PLANTING_OUT, -4, 4, 29},
    {"bought in", NONE, -4, NONE, GARDEN_SOWN_INDOORS, PLANTING_OUT, -4, 4, -1},
    {"ended", -29, -9, -2, GARDEN_SOWN_INDOORS, PLANTING_ENDED, -2, 2, 29},
    {"ends tomorrow", -29, -9, 1, GARDEN_SOWN_INDOORS, PLANTING_OUT, -9, 9, 29},
    {"where it is to be sown", NONE, NONE, NONE, GARDEN_SOWN_OUTDOORS, PLANTING_TO_COME, NONE, 0, -1},
    {"ended in the tray", -29, NONE, -1, GARDEN_SOWN_INDOORS, PLANTING_ENDED, -1, 1, 29},
};

static struct date day_or_none(int n)
{
	return n == NONE ? date_none() : bed_day(n);
}

START_TEST(where_it_stands)
{
	size_t i = bed_planting(&garden, &crops, "a", "gourdlet", "", "");
	garden.planting[i].sown = day_or_none(rows[_i].sown);
	garden.planting[i].planted = day_or_none(rows[_i].planted);
	garden.planting[i].ended = day_or_none(rows[_i].ended);
	garden.planting[i].sowing = (int)rows[_i].sowing;
	if (rows[_i].sown == NONE && rows[_i].sowing == GARDEN_SOWN_OUTDOORS)
		garden.planting[i].start = GARDEN_START_OUTDOORS;
	known_at(at(0, 6));
	const struct planting_state *ps = &state.planting[i];
	ROW_INT(rows[_i].name, ps->where, rows[_i].where);
	ROW_INT(rows[_i].name, date_is(ps->since) ? date_diff(ps->since, bed_day(0)) : NONE, rows[_i].since);
	ROW_INT(rows[_i].name, ps->days, rows[_i].days);
	ROW_INT(rows[_i].name, ps->age_days, rows[_i].age);
}
END_TEST

/* Base 10, cap 30: a day at 20 C is 10 degree days. */
START_TEST(warmth_outside)
{
	size_t i = bed_planting(&garden, &crops, "a", "gourdlet", "2026-04-20", "2026-05-09");
	steady(-12, 0, 20, ORIGIN_ANALYSED);
	steady(0, 3, 15, ORIGIN_FORECAST);
	known_at(at(0, 6));
	const struct planting_state *ps = &state.planting[i];
	ROW_INT("days", ps->warmth.days, 10);
	ROW_INT("missing", ps->warmth.missing_days, 0);
	ROW_NEAR("warmth", ps->warmth.dd_c, 100, 1e-9);
	ROW_INT("week", ps->last_week.days, 7);
	ROW_NEAR("week", ps->last_week.dd_c, 70, 1e-9);
	ROW_INT("coming", ps->coming.days, 3);
	ROW_NEAR("coming", ps->coming.dd_c, 15, 1e-9);
	ROW_INT("coming is forecast", ps->coming.forecast_days, 3);
}
END_TEST

START_TEST(warmth_with_holes)
{
	size_t i = bed_planting(&garden, &crops, "a", "gourdlet", "2026-04-20", "2026-05-09");
	steady(-10, -6, 20, ORIGIN_ANALYSED);
	steady(-4, 0, 20, ORIGIN_ANALYSED);
	/* Three hours of one more day gone: filled at the mean rate of the rest. */
	for (int h = 3; h < 6; h++)
		hours_set(&hours, VAR_AIR_TEMPERATURE, at(-2, h), (double)NAN, ORIGIN_NONE);
	known_at(at(0, 6));
	const struct degree_sum *w = &state.planting[i].warmth;
	ROW_INT("days", w->days, 10);
	ROW_INT("missing", w->missing_days, 2);
	ROW_INT("filled", w->filled_days, 1);
	ROW_INT("whole", w->hours_days, 7);
	ROW_NEAR("known days", w->dd_c, 80, 1e-9);
}
END_TEST

static void station_day(const char *name, int n, double tmin, double tmax, int hhmm)
{
	struct station_day *d = &station[stations++];
	*d = (struct station_day){
	    .date = bed_day(n), .tmin_c = tmin, .tmax_c = tmax, .rain_mm = (double)NAN, .observed_hhmm = hhmm};
	snprintf(d->station, sizeof d->station, "%s", name);
}

/*
 * Ten days out: five of seen hours, one without any, two that only a forecast told, two without any.  The station
 * has 12 and 28 C, ten degree days by the sine as by the mean, for six of the days.
 */
START_TEST(warmth_beside_a_station)
{
	size_t i = bed_planting(&garden, &crops, "a", "gourdlet", "2026-04-20", "2026-05-09");
	steady(-10, -5, 20, ORIGIN_ANALYSED);
	steady(-4, -2, 15, ORIGIN_FORECAST);
	steady(0, 3, 15, ORIGIN_FORECAST);
	known_at(at(0, 6));
	ROW_STR("no station", state.station, "");
	ROW_INT("no station", state.planting[i].warmth.missing_days, 3);
	ROW_INT("no station: the kept forecast", state.planting[i].warmth.forecast_days, 2);
	for (int n = -7; n < -1; n++)
		station_day("INV1", n, 12, 28, -1);
	known_at(at(0, 6));
	const struct degree_sum *w = &state.planting[i].warmth;
	ROW_STR("station", state.station, "INV1");
	ROW_INT("stations", state.stations, 1);
	ROW_INT("days", w->days, 10);
	ROW_INT("seen hours go before the station", w->hours_days, 5);
	ROW_INT("the station before a kept forecast", w->extremes_days, 4);
	ROW_INT("nobody knows", w->missing_days, 1);
	ROW_INT("none rests on a forecast", w->forecast_days, 0);
	ROW_NEAR("warmth", w->dd_c, 90, 1e-9);
	ROW_INT("week", state.planting[i].last_week.extremes_days, 4);
	ROW_NEAR("week", state.planting[i].last_week.dd_c, 60, 1e-9);
	ROW_INT("what comes is the forecast's", state.planting[i].coming.days, 3);
	ROW_NEAR("what comes is the forecast's", state.planting[i].coming.dd_c, 15, 1e-9);
}
END_TEST

/* What a station says of today or later is not looked at, whenever it came in: not as a day, not as a next low. */
START_TEST(a_station_never_looks_ahead)
{
	size_t i = bed_planting(&garden, &crops, "a", "gourdlet", "2026-04-20", "2026-05-17");
	garden.planting[i].figures.rule.method = DEGREE_SINE_DOUBLE;
	station_day("INV1", -2, 4, 24, -1);
	station_day("INV1", -1, 4, 24, -1);
	known_at(at(0, 6));
	double without = state.planting[i].warmth.dd_c;
	ROW_NEAR("two single sines: check row 6, twice", without, 2 * 5.4413, 1.2e-4);
	for (int n = 0; n < 5; n++)
		station_day("INV1", n, 9, 40, -1);
	known_at(at(0, 6));
	ROW_NEAR("today's low", state.planting[i].warmth.dd_c, without, 1e-12);
	ROW_INT("coming", state.planting[i].coming.days, 0);
	/* The morning after, check row 23: 4 to 24 C, then 9. */
	known_at(at(1, 6));
	ROW_INT("a day later", state.planting[i].warmth.extremes_days, 3);
	struct degree_rule sine = garden.planting[i].figures.rule;
	double today = degree_day(&sine, 9, 40, (double)NAN);
	ROW_NEAR("a day later", state.planting[i].warmth.dd_c, 5.4413 + 6.0258 + today, 1.8e-4);
}
END_TEST

/* A morning reader's high of yesterday stands in this morning's entry: yesterday is over, so it counts. */
START_TEST(yesterday_of_a_morning_reader)
{
	size_t i = bed_planting(&garden, &crops, "a", "gourdlet", "2026-04-20", "2026-05-18");
	station_day("INV1", -1, 12, 15, 700);
	station_day("INV1", 0, 2, 28, 700);
	known_at(at(0, 8));
	ROW_INT("yesterday", state.planting[i].warmth.extremes_days, 1);
	ROW_NEAR("yesterday", state.planting[i].warmth.dd_c, 10, 1e-9);
}
END_TEST

/* The station with the most days speaks alone, also for the days it does not have. */
START_TEST(one_station_a_season)
{
	size_t i = bed_planting(&garden, &crops, "a", "gourdlet", "2026-04-20", "2026-05-09");
	for (int n = -10; n < 0; n++) {
		if (n < -6)
			station_day("INV1", n, 12, 30, -1);
		if (n > -9)
			station_day("INV2", n, 12, 28, -1);
	}
	known_at(at(0, 6));
	ROW_STR("station", state.station, "INV2");
	ROW_INT("stations", state.stations, 2);
	ROW_INT("days", state.planting[i].warmth.extremes_days, 8);
	ROW_INT("missing", state.planting[i].warmth.missing_days, 2);
	ROW_NEAR("warmth", state.planting[i].warmth.dd_c, 80, 1e-9);
}
END_TEST

START_TEST(warmth_in_the_tray)
{
	size_t i = bed_planting(&garden, &crops, "a", "gourdlet", "2026-05-09", "");
	known_at(at(0, 6));
	ROW_INT("days", state.planting[i].warmth.days, 10);
	ROW_NEAR("20 C in the room", state.planting[i].warmth.dd_c, 100, 1e-9);
	ROW_INT("coming", state.planting[i].coming.days, STATE_PACE_DAYS);
	garden.indoor_c = (double)NAN;
	known_at(at(0, 6));
	ROW_INT("room not known", state.planting[i].warmth.missing_days, 10);
	ROW_INT("room not known", state.planting[i].coming.days, 0);
	garden.indoor_c = 45;
	known_at(at(0, 6));
	ROW_NEAR("held at the cap", state.planting[i].warmth.dd_c, 200, 1e-9);
}
END_TEST

/* Tonight is the night that begins on the date of the cut, whatever the hour. */
/* Local standard time is six hours behind UTC here, an hour less than the clock: the night ends at 10 by the clock. */
static const struct {
	const char *name;
	int day, hour;
	int today; /* days from 19 May */
	enum night_phase tonight, last;
} cuts[] = {
    {"midnight", 0, 0, 0, NIGHT_COMING, NIGHT_RUNNING},
    {"early", 0, 5, 0, NIGHT_COMING, NIGHT_RUNNING},
    {"an hour before the night ends", 0, 9, 0, NIGHT_COMING, NIGHT_RUNNING},
    {"its last hour has come", 0, 10, 0, NIGHT_COMING, NIGHT_PAST},
    {"noon", 0, 12, 0, NIGHT_COMING, NIGHT_PAST},
    {"an hour before the night begins", 0, 18, 0, NIGHT_COMING, NIGHT_PAST},
    {"evening", 0, 20, 0, NIGHT_RUNNING, NIGHT_PAST},
    {"late", 0, 23, 0, NIGHT_RUNNING, NIGHT_PAST},
    {"past midnight", 1, 1, 1, NIGHT_COMING, NIGHT_RUNNING},
};

START_TEST(tonight)
{
	known_at(at(cuts[_i].day, cuts[_i].hour));
	ROW_INT(cuts[_i].name, date_diff(state.today, bed_day(0)), cuts[_i].today);
	ROW_INT(cuts[_i].name, date_diff(season_tonight(&state)->evening, state.today), 0);
	ROW_INT(cuts[_i].name, season_tonight(&state)->phase, cuts[_i].tonight);
	ROW_INT(cuts[_i].name, state.night[STATE_NIGHTS_BEFORE - 1].phase, cuts[_i].last);
	ROW_TRUE(cuts[_i].name, season_night(&state, state.today) == season_tonight(&state));
	ROW_TRUE(cuts[_i].name, season_night(&state, date_add(state.today, -STATE_NIGHTS_BEFORE)) == state.night);
	ROW_TRUE(cuts[_i].name, season_night(&state, date_add(state.today, -STATE_NIGHTS_BEFORE - 1)) == NULL);
	ROW_TRUE(cuts[_i].name, season_night(&state, date_add(state.today, STATE_AHEAD)) == NULL);
	for (int i = 1; i < STATE_NIGHTS; i++)
		ROW_INT(cuts[_i].name, date_diff(state.night[i].evening, state.night[i - 1].evening), 1);
	ROW_INT(cuts[_i].name, date_diff(state.day[0].date, state.today), 0);
}
END_TEST

/* What comes is told up to the first day that nobody knows, though days after it are known. */
START_TEST(coming_stops_at_a_hole)
{
	size_t i = bed_planting(&garden, &crops, "a", "gourdlet", "2026-04-20", "2026-05-19");
	steady(0, 2, 15, ORIGIN_FORECAST);
	steady(3, 7, 15, ORIGIN_FORECAST);
	known_at(at(0, 6));
	ROW_INT("coming", state.planting[i].coming.days, 2);
	ROW_NEAR("coming", state.planting[i].coming.dd_c, 10, 1e-9);
	ROW_INT("coming has no holes", state.planting[i].coming.missing_days, 0);
	ROW_INT("planted today: no day is over", state.planting[i].warmth.days, 0);
	ROW_INT("planted today: no day is over", state.planting[i].last_week.days, 0);
	steady(2, 12, 15, ORIGIN_FORECAST);
	known_at(at(0, 6));
	ROW_INT("at most a week", state.planting[i].coming.days, STATE_PACE_DAYS);
	ROW_INT("reaches", state.forecast.reaches, at(12, 0));
}
END_TEST

/* What has ended, or not begun, gathers no warmth, and says nothing of what was before. */
START_TEST(no_warmth_outside_its_span)
{
	size_t i = bed_planting(&garden, &crops, "a", "gourdlet", "2026-04-20", "2026-05-01");
	steady(-30, 5, 20, ORIGIN_ANALYSED);
	garden.planting[i].ended = bed_day(-2);
	known_at(at(0, 6));
	ROW_INT("ended", state.planting[i].warmth.days, 0);
	ROW_INT("ended", state.planting[i].coming.days, 0);
	garden.planting[i].ended = date_none();
	garden.planting[i].sown = garden.planting[i].planted = bed_day(3);
	known_at(at(0, 6));
	ROW_INT("to come", state.planting[i].warmth.days, 0);
	ROW_INT("to come", state.planting[i].coming.days, 0);
}
END_TEST

/* Weeks in which the clock changes: days of 23 and 25 hours, and no hour twice or left out. */
static const struct {
	const char *name, *zone;
	double latitude, longitude;
	int year, month, day; /* of the change, in the middle of the week */
	int hours;
} changes[] = {
    {"spring, Chicago", "America/Chicago", 44.31, -89.90, 2026, 3, 8, 23},
    {"autumn, Chicago", "America/Chicago", 44.31, -89.90, 2026, 11, 1, 25},
    {"spring, Hobart", "Australia/Hobart", -42.88, 147.33, 2026, 10, 4, 23},
    {"autumn, Hobart", "Australia/Hobart", -42.88, 147.33, 2026, 4, 5, 25},
    {"spring, Lord Howe: half an hour", "Australia/Lord_Howe", -31.55, 159.08, 2026, 10, 4, 23},
    {"spring, Dublin", "Europe/Dublin", 53.35, -6.26, 2026, 3, 29, 23},
};

START_TEST(the_clock_changes)
{
	const char *row = changes[_i].name;
	struct date change;
	ck_assert(date_of(changes[_i].year, changes[_i].month, changes[_i].day, &change));
	int64_t noon = instant_at(change, 12 * HOUR_S, 0);
	ck_assert_int_eq(zone_load(changes[_i].zone, noon - 60 * DAY_S, noon + 60 * DAY_S, &zone, &fault), FAULT_NONE);
	garden.latitude = changes[_i].latitude;
	garden.longitude = changes[_i].longitude;
	size_t p = bed_planting(&garden, &crops, "a", "gourdlet", "", "");
	garden.planting[p].planted = date_add(change, -3);
	int64_t cut = zone_day_start(&zone, date_add(change, 4)) + 6 * HOUR_S;
	hours_free(&hours);
	ck_assert_int_eq(hours_init(&hours, instant_hour(noon) - 40 * DAY_S, (size_t)(80 * 24), &fault), FAULT_NONE);
	for (int64_t t = instant_hour(noon) - 40 * DAY_S; t < noon + 39 * DAY_S; t += HOUR_S)
		hours_set(&hours, VAR_AIR_TEMPERATURE, t, 20, ORIGIN_ANALYSED);
	known_at(cut);
	ROW_INT(row, date_diff(state.today, change), 4);
	/* A day's warmth is its mean's, whatever its hours: seven days of 10. */
	ROW_INT(row, state.planting[p].warmth.days, 7);
	ROW_INT(row, state.planting[p].warmth.missing_days, 0);
	ROW_INT(row, season_begins(&garden, &no_diary, &zone, cut),
		instant_hour(zone_day_start(&zone, date_add(change, -10))));
	for (int i = 0; i < STATE_NIGHTS; i++) {
		ROW_INT(row, state.night[i].wanted, 16);
		ROW_TRUE(row, state.night[i].complete);
	}
	for (int i = 1; i < STATE_AHEAD; i++)
		ROW_INT(row, state.day[i].start, state.day[i - 1].end);
	known_at(zone_day_start(&zone, change) + 6 * HOUR_S);
	ROW_INT(row, state.day[0].hours, changes[_i].hours);
}
END_TEST

START_TEST(forecast_head)
{
	known_at(at(0, 6));
	ROW_TRUE("none", !state.forecast.any);
	ROW_INT("reaches nothing", state.forecast.reaches, at(0, 6));
	snprintf(issue.source, sizeof issue.source, "valley");
	snprintf(issue.credit, sizeof issue.credit, "Invented.");
	issue.received = at(0, 4);
	issue.issued = at(-1, 18);
	issue.max_age_s = 12 * HOUR_S;
	steady(-1, 3, 15, ORIGIN_FORECAST);
	known_at(at(0, 6));
	ROW_TRUE("any", state.forecast.any);
	ROW_INT("age from its making", state.forecast.age_s, 12 * HOUR_S);
	ROW_INT("as old as it may be", state.forecast.trust, TRUST_FULL);
	ROW_INT("reaches", state.forecast.reaches, at(3, 0));
	known_at(at(0, 6) + 1);
	ROW_INT("older", state.forecast.trust, TRUST_AGED);
	issue.max_age_s = 0;
	known_at(at(0, 12));
	ROW_INT("no age is given: 18 h", state.forecast.trust, TRUST_FULL);
	known_at(at(0, 12) + 1);
	ROW_INT("no age is given, older", state.forecast.trust, TRUST_AGED);
	ROW_STR("credit", state.forecast.credit, "Invented.");
	issue.issued = INSTANT_NONE;
	known_at(at(0, 6));
	ROW_INT("age from its receipt", state.forecast.age_s, 2 * HOUR_S);
}
END_TEST

/* A spent forecast's hours from the running one on are not looked at; those before stand, whoever told them. */
START_TEST(spent)
{
	size_t i = bed_planting(&garden, &crops, "a", "gourdlet", "2026-04-20", "2026-05-17");
	snprintf(issue.source, sizeof issue.source, "valley");
	steady(-6, 10, 20, ORIGIN_FORECAST);
	for (int over = 0; over < 2; over++) {
		issue.received = at(0, 6) - 96 * HOUR_S - over;
		known_at(at(0, 6));
		ROW_INT("trust", state.forecast.trust, over ? TRUST_SPENT : TRUST_OLD);
		ROW_INT("reaches", state.forecast.reaches, over ? at(0, 6) : at(10, 0));
		ROW_INT("tonight", season_tonight(&state)->known, over ? 0 : 16);
		ROW_INT("today", state.day[0].t_known, over ? 6 : 24);
		ROW_INT("coming", state.planting[i].coming.days, over ? 0 : STATE_PACE_DAYS);
		ROW_INT("so far", state.planting[i].warmth.hours_days, 2);
		ROW_INT("so far", state.planting[i].warmth.forecast_days, 2);
	}
}
END_TEST

START_TEST(what_is_asked_of_the_record)
{
	ROW_INT("no planting: the days whose hours are kept", season_begins(&garden, &no_diary, &zone, at(0, 6)),
		at(-14, 0));
	bed_planting(&garden, &crops, "tray", "gourdlet", "2026-03-01", "");
	ROW_INT("a tray: for the soil", season_begins(&garden, &no_diary, &zone, at(0, 6)), at(-18, 0));
	bed_planting(&garden, &crops, "out", "gourdlet", "2026-03-01", "2026-04-30");
	ROW_INT("since planting out", season_begins(&garden, &no_diary, &zone, at(0, 6)), at(-19, 0));
	garden.planting[1].ended = bed_day(-1);
	ROW_INT("not for what has ended", season_begins(&garden, &no_diary, &zone, at(0, 6)), at(-18, 0));
}
END_TEST

/* Plantings of one width share their lows; a width that nobody gives is a squash leaf's. */
START_TEST(leaves)
{
	size_t a = bed_planting(&garden, &crops, "a", "gourdlet", "2026-04-20", "2026-05-17");
	size_t b = bed_planting(&garden, &crops, "b", "gourdlet", "2026-04-20", "2026-05-17");
	size_t c = bed_planting(&garden, &crops, "c", "redberry", "2026-04-20", "2026-05-17");
	garden.planting[a].figures.leaf_width_m = garden.planting[b].figures.leaf_width_m = (double)NAN;
	garden.planting[c].figures.leaf_width_m = 0.05;
	known_at(at(0, 6));
	ck_assert_uint_eq(state.leaves, 2);
	ROW_NEAR("not given", state.leaf_m[state.planting[a].leaf], 0.25, 0);
	ck_assert_uint_eq(state.planting[a].leaf, state.planting[b].leaf);
	ROW_NEAR("its own", state.leaf_m[state.planting[c].leaf], 0.05, 0);
	ck_assert_ptr_null(season_bedlow(&state, a, bed_day(STATE_AHEAD)));
}
END_TEST

/* More widths than there is room for: the widest stands for those without. */
START_TEST(many_widths)
{
	for (int i = 0; i < STATE_LEAVES + 3; i++) {
		char name[] = "p-0";
		name[2] = (char)('a' + i);
		size_t p = bed_planting(&garden, &crops, name, "gourdlet", "2026-04-20", "2026-05-17");
		garden.planting[p].figures.leaf_width_m = 0.05 + 0.02 * i;
	}
	known_at(at(0, 6));
	ck_assert_uint_eq(state.leaves, STATE_LEAVES);
	for (int i = 0; i < STATE_LEAVES + 3; i++)
		ck_assert(state.leaf_m[state.planting[i].leaf] >= garden.planting[i].figures.leaf_width_m - 1e-12);
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("state");
	TCase *t = tcase_create("state");
	tcase_add_checked_fixture(t, setup, teardown);
	tcase_add_loop_test(t, where_it_stands, 0, sizeof rows / sizeof *rows);
	tcase_add_test(t, warmth_outside);
	tcase_add_test(t, warmth_with_holes);
	tcase_add_test(t, warmth_beside_a_station);
	tcase_add_test(t, a_station_never_looks_ahead);
	tcase_add_test(t, yesterday_of_a_morning_reader);
	tcase_add_test(t, one_station_a_season);
	tcase_add_test(t, warmth_in_the_tray);
	tcase_add_loop_test(t, tonight, 0, sizeof cuts / sizeof *cuts);
	tcase_add_test(t, coming_stops_at_a_hole);
	tcase_add_test(t, no_warmth_outside_its_span);
	tcase_add_loop_test(t, the_clock_changes, 0, sizeof changes / sizeof *changes);
	tcase_add_test(t, forecast_head);
	tcase_add_test(t, spent);
	tcase_add_test(t, what_is_asked_of_the_record);
	tcase_add_test(t, leaves);
	tcase_add_test(t, many_widths);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
