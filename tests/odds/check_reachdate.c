#include "odds/reachdate.h"

#include <stdbool.h>
#include <string.h>

#include "base/text.h"
#include "lib/harness.h"
#include "odds/frostdate.h"

#define NONE        ((double)NAN)
#define COUNT(rows) (sizeof(rows) / sizeof *(rows))

enum { FIRST_YEAR = 1991, YEARS = 6, DAYS_MAX = (YEARS + 1) * 366 };

/* An invented station: nights of 5 C. */
static struct station_day days[DAYS_MAX];
static size_t n;
static struct yeardate y;

static void cool(bool south)
{
	n = 0;
	struct date end = frostdate_date(south, FIRST_YEAR + YEARS, 1);
	for (struct date d = frostdate_date(south, FIRST_YEAR, 1); d.n < end.n; d = date_add(d, 1)) {
		days[n] = (struct station_day){.date = d, .tmin_c = 5, .tmax_c = NONE, .rain_mm = NONE};
		ck_assert(text_copy(days[n++].station, STATION_ID_SIZE, "meadow"));
	}
}

static void set(bool south, int year, int from, int count, double low_c)
{
	int i = date_diff(frostdate_date(south, year, from), days[0].date);
	for (int j = i; j < i + count; j++) {
		ck_assert(j >= 0 && (size_t)j < n);
		days[j].tmin_c = low_c;
	}
}

/* Worked out by hand: what is done to one year of six, in all of which days 150 to 159 have 11 C. */
static const struct {
	const char *name;
	int from, count;
	double low_c;
	int nights;
	double day; /* of that year; 0: it is a year without; NaN: not used */
} rows[] = {
    {"as the others", 1, 0, 0, 5, 154},
    {"one night", 1, 0, 0, 1, 150},
    {"ten nights", 1, 0, 0, 10, 159},
    {"eleven nights", 1, 0, 0, 11, 0},
    {"a cold night in it", 152, 1, 9.9, 5, 157},
    {"a night missing in it", 152, 1, NONE, 5, 157},
    {"an early run", 101, 5, 10, 5, 105},
    {"an early run too short", 101, 4, 10, 5, 154},
    {"a run in tenths under", 101, 5, 9.9, 5, 154},
    {"cold all through", 150, 10, 9, 5, 0},
    {"ten missing before", 40, 10, NONE, 5, 154},
    {"eleven missing before", 40, 11, NONE, 5, NONE},
    {"a month missing after", 170, 30, NONE, 5, 154},
};

START_TEST(run_rows)
{
	for (int south = 0; south < 2; south++) {
		cool(south);
		for (int i = 0; i < YEARS; i++)
			set(south, FIRST_YEAR + i, 150, 10, 11);
		set(south, FIRST_YEAR + 2, rows[_i].from, rows[_i].count, rows[_i].low_c);
		reachdate_of(days, n, "meadow", south, 10, rows[_i].nights, &y);
		double others = rows[_i].nights <= 10 ? 149 + rows[_i].nights : 0, want = rows[_i].day;
		int with = (others > 0 ? YEARS - 1 : 0) + (want > 0);
		ROW_INT(rows[_i].name, y.years, isnan(want) ? YEARS - 1 : YEARS);
		ROW_INT(rows[_i].name, y.with, with);
		for (int i = 0; i < y.with; i++)
			ROW_TRUE(rows[_i].name, y.day[i] == others || y.day[i] == want);
		if (want > 0)
			ROW_NEAR(rows[_i].name, y.mean, (others * (YEARS - 1) + want) / YEARS, 1e-12);
	}
}
END_TEST

/* Where the days end: a year that still runs is not used, though its nights have come. */
static const struct {
	int last_day, years;
} ends[] = {{365, 6}, {355, 6}, {354, 5}, {160, 5}, {100, 5}};

START_TEST(running_year)
{
	cool(false);
	for (int i = 0; i < YEARS; i++)
		set(false, FIRST_YEAR + i, 150, 10, 11);
	n = (size_t)date_diff(frostdate_date(false, FIRST_YEAR + YEARS - 1, ends[_i].last_day), days[0].date) + 1;
	reachdate_of(days, n, "meadow", false, 10, 5, &y);
	ROW_INT("years", y.years, ends[_i].years);
	ROW_INT("with", y.with, ends[_i].years);
}
END_TEST

START_TEST(nothing_to_go_by)
{
	cool(false);
	reachdate_of(days, n, "nobody", false, 10, 5, &y);
	ROW_INT("unknown station", y.years, 0);
	reachdate_of(days, 0, "meadow", false, 10, 5, &y);
	ROW_INT("no days", y.years, 0);
	reachdate_of(days, n, "meadow", false, NONE, 5, &y);
	ROW_INT("no line", y.with, 0);
	/* A run does not begin in the year before. */
	set(false, FIRST_YEAR + 1, 363, 6, 12);
	reachdate_of(days, n, "meadow", false, 10, 5, &y);
	ROW_INT("over the new year", y.with, 0);
}
END_TEST

#define LOOP(tc, fn, rows) tcase_add_loop_test(tc, fn, 0, COUNT(rows))

static Suite *suite(void)
{
	Suite *s = suite_create("reachdate");
	TCase *tc = tcase_create("reachdate");
	LOOP(tc, run_rows, rows);
	LOOP(tc, running_year, ends);
	tcase_add_test(tc, nothing_to_go_by);
	suite_add_tcase(s, tc);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
