#include "season/day.h"

#include <stdbool.h>

#include "base/instant.h"
#include "lib/harness.h"

#define NONE ((double)NAN)

/* An invented garden. */
static const double lat = 44.31, lon = -89.90;

static struct date date(int year, int month, int day)
{
	struct date d = date_none();
	ck_assert(date_of(year, month, day, &d));
	return d;
}

static int64_t utc(int year, int month, int day, int hour, int minute)
{
	return instant_at(date(year, month, day), hour * HOUR_S + minute * 60, 0);
}

/* A zone of one rule's year: winter, summer from one instant to another, winter (the south the other way round). */
static struct zone zone_of(int before_s, int64_t from, int between_s, int64_t to)
{
	struct zone z;
	zone_fixed("invented", before_s, &z);
	z.step[z.n++] = (struct zone_step){from, between_s};
	z.step[z.n++] = (struct zone_step){to, before_s};
	return z;
}

static struct zone chicago(void)
{
	return zone_of(-6 * HOUR_S, utc(2026, 3, 8, 8, 0), -5 * HOUR_S, utc(2026, 11, 1, 7, 0));
}

static struct hours hours_of(int64_t first, size_t n)
{
	struct hours h;
	struct fault f;
	ck_assert_int_eq(hours_init(&h, first, n, &f), FAULT_NONE);
	return h;
}

/* The clock changes of 2026 by the rules in force (IANA time zone database), UTC. */
static const struct {
	const char *name;
	int before_min, between_min;
	int from[5], to[5]; /* year, month, day, hour, minute */
	int day[3];
	int hours;
	int start[5], first[5];
} changes[] = {
    {"Chicago, spring",
     -360,
     -300,
     {2026, 3, 8, 8, 0},
     {2026, 11, 1, 7, 0},
     {2026, 3, 8},
     23,
     {2026, 3, 8, 6, 0},
     {2026, 3, 8, 6, 0}},
    {"Chicago, autumn",
     -360,
     -300,
     {2026, 3, 8, 8, 0},
     {2026, 11, 1, 7, 0},
     {2026, 11, 1},
     25,
     {2026, 11, 1, 5, 0},
     {2026, 11, 1, 5, 0}},
    {"Chicago, May",
     -360,
     -300,
     {2026, 3, 8, 8, 0},
     {2026, 11, 1, 7, 0},
     {2026, 5, 12},
     24,
     {2026, 5, 12, 5, 0},
     {2026, 5, 12, 5, 0}},
    {"Sydney, autumn",
     660,
     600,
     {2026, 4, 4, 16, 0},
     {2026, 10, 3, 16, 0},
     {2026, 4, 5},
     25,
     {2026, 4, 4, 13, 0},
     {2026, 4, 4, 13, 0}},
    {"Sydney, spring",
     660,
     600,
     {2026, 4, 4, 16, 0},
     {2026, 10, 3, 16, 0},
     {2026, 10, 4},
     23,
     {2026, 10, 3, 14, 0},
     {2026, 10, 3, 14, 0}},
    {"Dublin, spring",
     0,
     60,
     {2026, 3, 29, 1, 0},
     {2026, 10, 25, 1, 0},
     {2026, 3, 29},
     23,
     {2026, 3, 29, 0, 0},
     {2026, 3, 29, 0, 0}},
    {"Dublin, autumn",
     0,
     60,
     {2026, 3, 29, 1, 0},
     {2026, 10, 25, 1, 0},
     {2026, 10, 25},
     25,
     {2026, 10, 24, 23, 0},
     {2026, 10, 24, 23, 0}},
    {"St. John's, spring",
     -210,
     -150,
     {2026, 3, 8, 5, 30},
     {2026, 11, 1, 4, 30},
     {2026, 3, 8},
     23,
     {2026, 3, 8, 3, 30},
     {2026, 3, 8, 4, 0}},
    {"Kolkata",
     330,
     330,
     {2026, 3, 8, 8, 0},
     {2026, 11, 1, 7, 0},
     {2026, 6, 1},
     24,
     {2026, 5, 31, 18, 30},
     {2026, 5, 31, 19, 0}},
    {"Lord Howe, autumn: 24.5 h",
     660,
     630,
     {2026, 4, 4, 15, 0},
     {2026, 10, 3, 15, 30},
     {2026, 4, 5},
     25,
     {2026, 4, 4, 13, 0},
     {2026, 4, 4, 13, 0}},
    {"Lord Howe, spring: 23.5 h",
     660,
     630,
     {2026, 4, 4, 15, 0},
     {2026, 10, 3, 15, 30},
     {2026, 10, 4},
     23,
     {2026, 10, 3, 13, 30},
     {2026, 10, 3, 14, 0}},
};

static int64_t at(const int x[5])
{
	return utc(x[0], x[1], x[2], x[3], x[4]);
}

static struct zone changes_zone(int i)
{
	return zone_of(changes[i].before_min * 60, at(changes[i].from), changes[i].between_min * 60, at(changes[i].to));
}

START_TEST(clock_changes)
{
	const char *row = changes[_i].name;
	struct zone z = changes_zone(_i);
	struct date d = date(changes[_i].day[0], changes[_i].day[1], changes[_i].day[2]);
	int64_t first;

	ROW_INT(row, day_hours(&z, d, &first), changes[_i].hours);
	ROW_INT(row, first, at(changes[_i].first));

	/* A steady 20 C over a base of 10: every hour is 1/24 of 10. */
	const struct degree_rule rule = {10, 30, DEGREE_HOURLY, DEGREE_HORIZONTAL};
	struct hours h = hours_of(first - 48 * HOUR_S, 120);
	for (int64_t t = h.first; t < hours_end(&h); t += HOUR_S)
		hours_set(&h, VAR_AIR_TEMPERATURE, t, 20, ORIGIN_OBSERVED);
	struct day day = day_of(&h, &z, d, lat, lon);
	struct degree_count c = day_degrees(&h, &z, d, &rule, NULL);
	hours_free(&h);
	ROW_INT(row, day.start, at(changes[_i].start));
	ROW_INT(row, day.t_known, changes[_i].hours);
	ROW_INT(row, c.how, DEGREE_HOURS);
	ROW_NEAR(row, c.dd_c, 10.0 * changes[_i].hours / 24, 1e-12);
}
END_TEST

/* The days of a year hold each of its hours once, and every hour starts in its day. */
START_TEST(days_tile_the_year)
{
	const char *row = changes[_i].name;
	struct zone z = changes_zone(_i);
	int64_t next = 0;

	for (struct date d = date(2026, 1, 1); d.n < date(2027, 1, 1).n; d = date_add(d, 1)) {
		int64_t first;
		int n = day_hours(&z, d, &first);
		ROW_TRUE(row, next == 0 || first == next);
		for (int i = 0; i < n; i++)
			ROW_INT(row, zone_date(&z, first + i * HOUR_S).n, d.n);
		next = first + n * HOUR_S;
	}
}
END_TEST

/* 24 hours of 12 May by the Chicago clock, temperature 0 .. 23. */
static struct hours may_day(void)
{
	struct hours h = hours_of(utc(2026, 5, 12, 5, 0), 24);
	for (int i = 0; i < 24; i++)
		hours_set(&h, VAR_AIR_TEMPERATURE, h.first + i * HOUR_S, i,
			  i < 6    ? ORIGIN_OBSERVED
			  : i < 10 ? ORIGIN_ANALYSED
				   : ORIGIN_FORECAST);
	return h;
}

static struct day may(const struct hours *h)
{
	struct zone z = chicago();
	return day_of(h, &z, date(2026, 5, 12), lat, lon);
}

START_TEST(temperature)
{
	struct hours h = may_day();
	struct day day = may(&h);
	ROW_INT("whole", day.hours, 24);
	ROW_NEAR("whole", day.tmin_c, 0, 0);
	ROW_NEAR("whole", day.tmax_c, 23, 0);
	ROW_NEAR("whole", day.tmean_c, 11.5, 1e-12);
	ROW_INT("whole", day.t_from[ORIGIN_OBSERVED], 6);
	ROW_INT("whole", day.t_from[ORIGIN_ANALYSED], 4);
	ROW_INT("whole", day.t_from[ORIGIN_FORECAST], 14);
	ROW_INT("whole", day.t_from[ORIGIN_NONE], 0);

	for (int i = 0; i < 4; i++)
		hours_set(&h, VAR_AIR_TEMPERATURE, h.first + i * HOUR_S, NONE, ORIGIN_NONE);
	day = may(&h);
	ROW_INT("20 of 24", day.t_known, 20);
	ROW_NEAR("20 of 24", day.tmin_c, 4, 0);
	ROW_INT("20 of 24", day.t_from[ORIGIN_NONE], 4);

	hours_set(&h, VAR_AIR_TEMPERATURE, h.first + 4 * HOUR_S, NONE, ORIGIN_NONE);
	day = may(&h);
	hours_free(&h);
	ROW_INT("19 of 24", day.t_known, 19);
	ROW_TRUE("19 of 24", isnan(day.tmin_c) && isnan(day.tmax_c) && isnan(day.tmean_c));
}
END_TEST

START_TEST(nothing_known)
{
	struct hours h = hours_of(utc(2026, 5, 1, 0, 0), 0);
	struct day day = may(&h);
	ROW_INT("no series", day.hours, 24);
	ROW_INT("no series", day.t_known, 0);
	ROW_TRUE("no series", isnan(day.tmin_c) && isnan(day.rain_mm) && isnan(day.rain_chance_frac));
	ROW_TRUE("no series", isnan(day.cloud_frac) && isnan(day.wind_ms) && isnan(day.gust_ms));
	ROW_TRUE("no series", isnan(day.radiation_mj));

	struct zone tromso = zone_of(HOUR_S, utc(2026, 3, 29, 1, 0), 2 * HOUR_S, utc(2026, 10, 25, 1, 0));
	day = day_of(&h, &tromso, date(2026, 12, 21), 69.65, 18.96);
	ROW_INT("polar night", day.daylight_hours, 0);
	ROW_TRUE("polar night", isnan(day.radiation_mj));

	const struct degree_rule rule = {10, 30, DEGREE_HOURLY, DEGREE_HORIZONTAL};
	const struct degree_extremes station = {4, 24, NONE};
	struct zone z = chicago();
	ROW_INT("no series", day_degrees(&h, &z, date(2026, 5, 12), &rule, NULL).how, DEGREE_UNKNOWN);
	ROW_NEAR("station", day_degrees(&h, &z, date(2026, 5, 12), &rule, &station).dd_c, 5.4413, 6e-5);
}
END_TEST

/* Check rows 23 to 30 of the double forms, 10 to 30 C: the next low comes from the next day's hours. */
static const struct {
	const char *name;
	double tmin, tmax, next, want;
	enum degree_method method;
	enum degree_cutoff cutoff;
} doubles[] = {
    {"check row 23", 4, 24, 9, 6.0258, DEGREE_SINE_DOUBLE, DEGREE_HORIZONTAL},
    {"check row 24", 6, 38, 18, 13.3085, DEGREE_SINE_DOUBLE, DEGREE_HORIZONTAL},
    {"check row 25", 6, 38, 18, 11.3131, DEGREE_SINE_DOUBLE, DEGREE_INTERMEDIATE},
    {"check row 26", 6, 38, 18, 5.6162, DEGREE_SINE_DOUBLE, DEGREE_VERTICAL},
    {"check row 27", 6, 38, 18, 13.8250, DEGREE_TRIANGLE_DOUBLE, DEGREE_HORIZONTAL},
    {"check row 28", 6, 38, 18, 12.5250, DEGREE_TRIANGLE_DOUBLE, DEGREE_INTERMEDIATE},
    {"check row 29", 6, 38, 18, 7.3250, DEGREE_TRIANGLE_DOUBLE, DEGREE_VERTICAL},
    {"check row 30", 4, 24, 9, 5.7167, DEGREE_TRIANGLE_DOUBLE, DEGREE_HORIZONTAL},
};

START_TEST(double_forms_of_hours)
{
	const char *row = doubles[_i].name;
	const struct degree_rule rule = {10, 30, doubles[_i].method, doubles[_i].cutoff};
	struct zone z = chicago();
	struct date d = date(2026, 5, 12);
	struct hours h;
	int64_t first;
	ck_assert_int_eq(day_hours(&z, d, &first), 24);
	struct fault f;
	ck_assert_int_eq(hours_init(&h, first, 48, &f), FAULT_NONE);
	for (int i = 0; i < 48; i++) {
		double c = i < 24 ? (i == 4 ? doubles[_i].tmin : doubles[_i].tmax) : i == 28 ? doubles[_i].next : 40;
		hours_set(&h, VAR_AIR_TEMPERATURE, first + i * HOUR_S, c, i < 30 ? ORIGIN_ANALYSED : ORIGIN_FORECAST);
	}
	struct degree_count c = day_degrees(&h, &z, d, &rule, NULL);
	ROW_NEAR(row, c.dd_c, doubles[_i].want, 6e-5);
	ROW_INT(row, c.how, DEGREE_HOURS);
	ROW_TRUE("the next day is foreseen in part", c.any_forecast);

	/* A station's low and high go with the station's next low alone, else with their own. */
	struct degree_extremes station = {doubles[_i].tmin, doubles[_i].tmax, doubles[_i].next};
	hours_set(&h, VAR_AIR_TEMPERATURE, first + 28 * HOUR_S, -20, ORIGIN_ANALYSED);
	c = day_degrees(&h, &z, d, &rule, &station);
	ROW_NEAR(row, c.dd_c, doubles[_i].want, 6e-5);
	ROW_TRUE("seen", !c.any_forecast);
	station.next_tmin_c = NONE;
	struct degree_rule single = rule;
	single.method = rule.method == DEGREE_SINE_DOUBLE ? DEGREE_SINE : DEGREE_TRIANGLE;
	ROW_NEAR(row, day_degrees(&h, &z, d, &rule, &station).dd_c,
		 degree_day(&single, station.tmin_c, station.tmax_c, NONE), 1e-12);

	/* Nineteen hours of the next day have no low that would count. */
	for (int i = 24; i < 29; i++)
		hours_set(&h, VAR_AIR_TEMPERATURE, first + i * HOUR_S, NONE, ORIGIN_NONE);
	c = day_degrees(&h, &z, d, &rule, NULL);
	ROW_NEAR(row, c.dd_c, degree_day(&single, station.tmin_c, station.tmax_c, NONE), 1e-12);
	hours_free(&h);
}
END_TEST

START_TEST(rain)
{
	struct hours h = may_day();
	hours_set(&h, VAR_PRECIPITATION, h.first, 0, ORIGIN_FORECAST);
	struct day day = may(&h);
	ROW_NEAR("a known dry hour", day.rain_mm, 0, 0);
	ROW_INT("a known dry hour", day.rain_known, 1);

	hours_set(&h, VAR_PRECIPITATION, h.first + 5 * HOUR_S, 1.5, ORIGIN_FORECAST);
	hours_set(&h, VAR_PRECIPITATION, h.first + 23 * HOUR_S, 0.25, ORIGIN_FORECAST);
	day = may(&h);
	ROW_NEAR("rain", day.rain_mm, 1.75, 1e-12);
	ROW_INT("rain", day.rain_known, 3);

	/* The clock's hours 06 to 20 count, 05 and 21 do not. */
	hours_set(&h, VAR_PRECIPITATION_CHANCE, h.first + 5 * HOUR_S, 0.9, ORIGIN_FORECAST);
	hours_set(&h, VAR_PRECIPITATION_CHANCE, h.first + 21 * HOUR_S, 0.8, ORIGIN_FORECAST);
	ROW_TRUE("at night alone", isnan(may(&h).rain_chance_frac));
	hours_set(&h, VAR_PRECIPITATION_CHANCE, h.first + 6 * HOUR_S, 0.3, ORIGIN_FORECAST);
	ROW_NEAR("from 06", may(&h).rain_chance_frac, 0.3, 0);
	hours_set(&h, VAR_PRECIPITATION_CHANCE, h.first + 20 * HOUR_S, 0.4, ORIGIN_FORECAST);
	day = may(&h);
	hours_free(&h);
	ROW_NEAR("to 21", day.rain_chance_frac, 0.4, 0);
	ROW_INT("to 21", day.rain_chance_known, 2);
}
END_TEST

/* On 12 May the sun is up there from about 05:32 to 20:13 by the clock: the hours 06 to 20 start in light. */
/* Four fifths of the hours, not one less: 20 of 24, 19 of 23, 12 of the 15 that rain's chance is of. */
START_TEST(enough_is_told)
{
	struct day d = {.hours = 24, .daylight_hours = 15, .rain_known = 20, .cloud_known = 12, .wind_known = 20};
	ROW_TRUE("enough", day_rain_told(&d) && day_cloud_told(&d) && day_wind_told(&d));
	d.rain_known = d.wind_known = 19;
	d.cloud_known = 11;
	ROW_TRUE("one less", !day_rain_told(&d) && !day_cloud_told(&d) && !day_wind_told(&d));
	d.hours = 23;
	ROW_TRUE("a short day", day_rain_told(&d) && day_wind_told(&d));
	d.rain_known = 0;
	d.rain_chance_known = 12;
	ROW_TRUE("its chance will do", day_rain_told(&d));
	d.rain_chance_known = 11;
	ROW_TRUE("its chance, one less", !day_rain_told(&d));
	d.daylight_hours = d.cloud_known = 0;
	ROW_TRUE("a day without sun has no sky to tell", day_cloud_told(&d));
	d = (struct day){0};
	ROW_TRUE("nothing", !day_rain_told(&d) && !day_cloud_told(&d) && !day_wind_told(&d));
}
END_TEST

START_TEST(sky)
{
	struct hours h = may_day();
	for (int i = 0; i < 24; i++) {
		bool light = i >= 6 && i <= 20;
		hours_set(&h, VAR_CLOUD, h.first + i * HOUR_S, light ? 0.2 : 1, ORIGIN_FORECAST);
		if (light)
			hours_set(&h, VAR_SHORTWAVE, h.first + i * HOUR_S, 400, ORIGIN_FORECAST);
	}
	struct day day = may(&h);
	ROW_INT("light", day.daylight_hours, 15);
	ROW_INT("light", day.cloud_known, 15);
	ROW_NEAR("light", day.cloud_frac, 0.2, 1e-12);
	ROW_NEAR("15 h of 400 W/m2", day.radiation_mj, 15 * 400 * 3600 / 1e6, 1e-9);

	for (int i = 6; i < 9; i++)
		hours_set(&h, VAR_SHORTWAVE, h.first + i * HOUR_S, NONE, ORIGIN_NONE);
	ROW_NEAR("12 of 15", may(&h).radiation_mj, 12 * 400 * 3600 / 1e6, 1e-9);
	hours_set(&h, VAR_SHORTWAVE, h.first + 9 * HOUR_S, NONE, ORIGIN_NONE);
	day = may(&h);
	hours_free(&h);
	ROW_TRUE("11 of 15", isnan(day.radiation_mj));
	ROW_INT("11 of 15", day.radiation_known, 11);
}
END_TEST

START_TEST(wind)
{
	struct hours h = may_day();
	hours_set(&h, VAR_WIND, h.first, 3, ORIGIN_FORECAST);
	hours_set(&h, VAR_WIND, h.first + 20 * HOUR_S, 7, ORIGIN_FORECAST);
	hours_set(&h, VAR_GUST, h.first + HOUR_S, 12, ORIGIN_FORECAST);
	struct day day = may(&h);
	hours_free(&h);
	ROW_NEAR("wind", day.wind_ms, 7, 0);
	ROW_INT("wind", day.wind_known, 2);
	ROW_NEAR("gust", day.gust_ms, 12, 0);
	ROW_INT("gust", day.gust_known, 1);
}
END_TEST

static Suite *suite(void)
{
	const int rows = (int)(sizeof changes / sizeof *changes);
	Suite *s = suite_create("day");
	TCase *c = tcase_create("day");
	tcase_add_loop_test(c, clock_changes, 0, rows);
	tcase_add_loop_test(c, days_tile_the_year, 0, rows);
	tcase_add_test(c, temperature);
	tcase_add_test(c, nothing_known);
	tcase_add_loop_test(c, double_forms_of_hours, 0, sizeof doubles / sizeof *doubles);
	tcase_add_test(c, rain);
	tcase_add_test(c, enough_is_told);
	tcase_add_test(c, sky);
	tcase_add_test(c, wind);
	suite_add_tcase(s, c);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
