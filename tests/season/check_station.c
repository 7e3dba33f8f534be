#include "season/station.h"

#include <stdio.h>
#include <string.h>

#include "lib/harness.h"

#define NONE ((double)NAN)

/* Days are counted from one on which nothing else hangs. */
enum { FIRST = 20000, DAYS_MAX = 8 };

static struct date day(int n)
{
	return (struct date){FIRST + n};
}

static struct station_day reported(const char *station, int n, double tmin, double tmax, int hhmm)
{
	struct station_day d = {.date = day(n), .tmin_c = tmin, .tmax_c = tmax, .rain_mm = NONE, .observed_hhmm = hhmm};
	snprintf(d.station, sizeof d.station, "%s", station);
	return d;
}

static bool same(double a, double b)
{
	return isnan(a) ? isnan(b) : fabs(a - b) < 1e-12;
}

static void assert_extremes(const char *row, struct degree_extremes got, double low, double high, double next)
{
	ck_assert_msg(same(got.tmin_c, low) && same(got.tmax_c, high) && same(got.next_tmin_c, next),
		      "%s: %g %g %g, want %g %g %g", row, got.tmin_c, got.tmax_c, got.next_tmin_c, low, high, next);
}

/*
 * What is known of day 1 from entries dated 0, 1, 2 and so on (hhmm -2: no entry).  Rules: GHCN-Daily
 * readme (24 h that end at the time of observation), UK climatological day (low to the day of reading,
 * high thrown back); what is marked "here" is derived here.
 */
static const struct {
	const char *name;
	struct {
		double tmin, tmax;
		int hhmm;
	} entry[3];
	double low, high, next;
} belongs[] = {
    {"UK day, read at 9: the high is thrown back", {{1, 11, 900}, {2, 12, 900}, {3, 13, 900}}, 2, 13, 3},
    {"GHCN, read at 7", {{1, 11, 700}, {2, 12, 700}, {3, 13, 700}}, 2, 13, 3},
    {"GHCN, read at 17", {{1, 11, 1700}, {2, 12, 1700}, {3, 13, 1700}}, 2, 12, 3},
    {"GHCN, civil day to 2400", {{1, 11, 2400}, {2, 12, 2400}, {3, 13, 2400}}, 2, 12, 3},
    {"here: no time is the civil day", {{1, 11, -1}, {2, 12, -1}, {3, 13, -1}}, 2, 12, 3},
    {"here: 0000 is 2400", {{1, 11, 0}, {2, 12, 0}, {3, 13, 0}}, 2, 12, 3},
    {"here: noon is no morning", {{1, 11, 1200}, {2, 12, 1200}, {3, 13, 1200}}, 2, 12, 3},
    {"here: the last minute of the morning", {{1, 11, 1159}, {2, 12, 1159}, {3, 13, 1159}}, 2, 13, 3},
    {"one after midnight is a morning", {{1, 11, 1}, {2, 12, 1}, {3, 13, 1}}, 2, 13, 3},
    {"the hour changed to the morning: both had that afternoon, its own goes first",
     {{1, 11, 1700}, {2, 12, 1700}, {3, 13, 700}},
     2,
     12,
     3},
    {"its own has no high, the morning after has it", {{1, 11, 1700}, {2, NONE, 1700}, {3, 13, 700}}, 2, 13, 3},
    {"the hour changed to the evening: nobody read that afternoon",
     {{1, 11, 700}, {2, 12, 700}, {3, 13, 1700}},
     2,
     NONE,
     3},
    {"no next day, read at 7: its high is not told", {{1, 11, 700}, {2, 12, 700}, {0, 0, -2}}, 2, NONE, NONE},
    {"no next day, read at 17", {{1, 11, 1700}, {2, 12, 1700}, {0, 0, -2}}, 2, 12, NONE},
    {"no entry of its own, read at 7", {{1, 11, 700}, {0, 0, -2}, {3, 13, 700}}, NONE, 13, 3},
    {"no entry of its own, read at 17", {{1, 11, 1700}, {0, 0, -2}, {3, 13, 1700}}, NONE, NONE, 3},
    {"no low", {{1, 11, -1}, {NONE, 12, -1}, {3, 13, -1}}, NONE, 12, 3},
    {"no next low", {{1, 11, -1}, {2, 12, -1}, {NONE, 13, -1}}, 2, 12, NONE},
    {"nothing at all", {{0, 0, -2}, {0, 0, -2}, {0, 0, -2}}, NONE, NONE, NONE},
};

START_TEST(which_day)
{
	struct station_day of[DAYS_MAX];
	size_t n = 0;
	for (int i = 0; i < 3; i++) {
		if (belongs[_i].entry[i].hhmm == -2)
			continue;
		/* Neighbours by name before and after it are no part of it. */
		of[n++] = reported("INV1", i, 90, 99, -1);
		of[n++] = reported("INV2", i, belongs[_i].entry[i].tmin, belongs[_i].entry[i].tmax,
				   belongs[_i].entry[i].hhmm);
	}
	struct station_days days = {of, n};
	assert_extremes(belongs[_i].name, station_extremes(&days, "INV2", day(1)), belongs[_i].low, belongs[_i].high,
			belongs[_i].next);
	assert_extremes(belongs[_i].name, station_extremes(&days, "INV3", day(1)), NONE, NONE, NONE);
}
END_TEST

/* One letter a day: which stations told both a low and a high of it; small: the low alone. */
static const struct {
	const char *name, *days[4];
	const char *want; /* NULL: none */
	int of;
} choices[] = {
    {"none", {"", "", "", ""}, NULL, 0},
    {"one", {"A", "", "", ""}, "A", 1},
    {"the most days", {"AB", "B", "AB", "B"}, "B", 2},
    {"the most days, whoever comes first", {"B", "AB", "B", "A"}, "B", 2},
    {"equal: by name", {"B", "A", "A", "B"}, "A", 2},
    {"three", {"C", "BC", "ABC", "AB"}, "B", 3},
    {"half days do not count", {"aB", "a", "a", "a"}, "B", 1},
    {"half days alone", {"a", "a", "ab", "a"}, NULL, 0},
};

START_TEST(which_station)
{
	struct station_day of[4 * DAYS_MAX];
	size_t n = 0;
	for (int i = 0; i < 4; i++) {
		for (const char *p = choices[_i].days[i]; *p != '\0'; p++) {
			bool half = *p >= 'a';
			char name[] = {half ? (char)(*p - 'a' + 'A') : *p, '\0'};
			of[n++] = reported(name, i, 1, half ? NONE : 11, -1);
		}
	}
	struct station_days days = {of, n};
	int stations = -1;
	const char *got = station_main(&days, &stations);
	ROW_TRUE(choices[_i].name, (got == NULL) == (choices[_i].want == NULL));
	if (got != NULL)
		ROW_STR(choices[_i].name, got, choices[_i].want);
	ROW_INT(choices[_i].name, stations, choices[_i].of);
}
END_TEST

START_TEST(very_many_stations)
{
	struct station_day of[2 * STATIONS_MAX];
	for (int i = 0; i < 2 * STATIONS_MAX; i++) {
		char name[STATION_ID_SIZE];
		snprintf(name, sizeof name, "INV%03d", i);
		of[i] = reported(name, 0, 1, 11, -1);
	}
	struct station_days days = {of, 2 * STATIONS_MAX};
	int stations;
	ROW_STR("equal", station_main(&days, &stations), "INV000");
	ROW_INT("the first met", stations, STATIONS_MAX);
}
END_TEST

/* Zalom et al. 1983 table 7, degrees F over 55 under 90, horizontal: double triangle, double sine.  The ninth double
 * triangle is printed 24.88, a misprint of 27.125. */
static const struct {
	double tmin, tmax, next, triangle, sine;
} zalom[] = {
    {96, 110, 91, 35, 35},        {91, 105, 96, 35, 35},      {45, 54, 38, 0, 0},          {38, 50, 45, 0, 0},
    {60, 80, 75, 18.75, 18.75},   {75, 88, 60, 22.75, 22.75}, {50, 82, 45, 10.62, 11.31},  {45, 70, 50, 5.06, 5.70},
    {60, 100, 75, 27.125, 26.26}, {75, 95, 60, 25.76, 25.30}, {50, 101, 48, 19.19, 18.69}, {48, 95, 50, 17.13, 17.23},
};

/* The double forms from a station's days, as a morning reader and as an evening reader reports the same weather. */
START_TEST(double_forms)
{
	const struct degree_rule triangle = {55, 90, DEGREE_TRIANGLE_DOUBLE, DEGREE_HORIZONTAL};
	const struct degree_rule sine = {55, 90, DEGREE_SINE_DOUBLE, DEGREE_HORIZONTAL};
	static const int times[] = {-1, 700, 1800, 2400};
	for (size_t i = 0; i < sizeof times / sizeof *times; i++) {
		bool thrown = times[i] == 700;
		double high = zalom[_i].tmax, low = zalom[_i].tmin, next = zalom[_i].next;
		const struct station_day of[] = {
		    reported("INV1", 0, low, thrown ? low + 1 : high, times[i]),
		    reported("INV1", 1, next, thrown ? high : next + 1, times[i]),
		};
		struct station_days days = {of, 2};
		struct degree_extremes e = station_extremes(&days, "INV1", day(0));
		ROW_NEAR("Zalom table 7", degree_day(&triangle, e.tmin_c, e.tmax_c, e.next_tmin_c), zalom[_i].triangle,
			 0.0101);
		ROW_NEAR("Zalom table 7", degree_day(&sine, e.tmin_c, e.tmax_c, e.next_tmin_c), zalom[_i].sine, 0.0101);
	}
}
END_TEST

#define LOOP(c, test, rows) tcase_add_loop_test(c, test, 0, (int)(sizeof(rows) / sizeof *(rows)))

static Suite *suite(void)
{
	Suite *s = suite_create("season station");
	TCase *c = tcase_create("station");
	LOOP(c, which_day, belongs);
	LOOP(c, which_station, choices);
	tcase_add_test(c, very_many_stations);
	LOOP(c, double_forms, zalom);
	suite_add_tcase(s, c);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
