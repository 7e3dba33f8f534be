#include "odds/yeardate.h"

#include <stdbool.h>
#include <string.h>

#include "lib/harness.h"

#define NONE        ((double)NAN)
#define COUNT(rows) (sizeof(rows) / sizeof *(rows))

static const char DERIVED[] = "derived here";

/* Thirty last frosts of spring, days of the year, invented. */
static const double spring[] = {112, 98,  121, 105, 109, 117, 94,  103, 126, 110, 101, 115, 108, 119, 97,
				106, 113, 104, 122, 100, 111, 107, 116, 95,  118, 102, 114, 99,  120, 109};

static void fill(struct yeardate *y, enum yeardate_side side, const double *day, size_t n, int without)
{
	yeardate_start(y, side);
	for (size_t i = 0; i < n; i++)
		yeardate_add(y, day[i]);
	for (int i = 0; i < without; i++)
		yeardate_add(y, NONE);
	yeardate_close(y);
}

/* A date of chance p by the normal curve, types 7 and 6 (Weibull) of Hyndman & Fan. */
static const struct {
	double p, normal, ends, weibull;
} dates[] = {
    {0.9, 97.925, 97.900, 97.100},
    {0.5, 109.033, 109.000, 109.000},
    {0.1, 120.142, 120.100, 120.900},
};

START_TEST(date_of_chance)
{
	struct yeardate y;
	fill(&y, YEARDATE_LAST, spring, COUNT(spring), 0);
	ROW_NEAR("mean, derived here", y.mean, 109.0333, 5e-5);
	ROW_NEAR("spread, derived here", y.spread, 8.6681, 5e-5);
	ROW_NEAR("normal, derived here", yeardate_normal(&y, dates[_i].p), dates[_i].normal, 6e-4);
	ROW_NEAR("type 7, derived here", yeardate_counted(&y, dates[_i].p, YEARDATE_RANK_ENDS), dates[_i].ends, 1e-9);
	ROW_NEAR("Weibull, derived here", yeardate_counted(&y, dates[_i].p, YEARDATE_RANK_WEIBULL), dates[_i].weibull,
		 1e-9);
}
END_TEST

static const struct {
	double day, normal, counted;
} chances[] = {{105, 0.6791, 0.6333}, {115, 0.2456, 0.2667}, {125, 0.0327, 0.0333}};

START_TEST(chance_of_date)
{
	struct yeardate y;
	fill(&y, YEARDATE_LAST, spring, COUNT(spring), 0);
	ROW_NEAR(DERIVED, yeardate_normal_chance(&y, chances[_i].day), chances[_i].normal, 6e-5);
	ROW_NEAR(DERIVED, yeardate_counted_chance(&y, chances[_i].day), chances[_i].counted, 6e-5);
}
END_TEST

/* Seven years of ten with frost: curve given, dates made to have its mean and spread. */
static const struct {
	enum yeardate_side side;
	double mean, spread, p, want;
} mixed[] = {
    {YEARDATE_LAST, 60, 14, 0.5, 52.077},    {YEARDATE_LAST, 60, 14, 0.3, 62.520},
    {YEARDATE_LAST, 60, 14, 0.1, 74.946},    {YEARDATE_LAST, 60, 14, 0.9, NONE},
    {YEARDATE_LAST, 60, 14, 0.7, NONE},      {YEARDATE_FIRST, 330, 12, 0.5, 336.791},
    {YEARDATE_FIRST, 330, 12, 0.3, 327.840}, {YEARDATE_FIRST, 330, 12, 0.1, 317.189},
    {YEARDATE_FIRST, 330, 12, 0.9, NONE},
};

START_TEST(mixed_years)
{
	double day[7] = {mixed[_i].mean};
	struct yeardate y;
	/* One in the middle and three pairs round it: the squares add up to 6 spread^2. */
	for (int i = 1; i < 7; i++)
		day[i] = mixed[_i].mean + (i % 2 ? 1 : -1) * mixed[_i].spread;
	fill(&y, mixed[_i].side, day, COUNT(day), 3);
	double got = yeardate_normal(&y, mixed[_i].p);
	if (isnan(mixed[_i].want)) {
		ROW_TRUE(DERIVED, isnan(got));
		return;
	}
	ROW_NEAR(DERIVED, got, mixed[_i].want, 6e-4);
	ROW_NEAR("and back", yeardate_normal_chance(&y, got), mixed[_i].p, 1e-12);
}
END_TEST

/* By hand: four dates 10, 20, 30, 40 and a year without; ranks m/6, the year without 1st (last) or 5th (first). */
static const struct {
	enum yeardate_side side;
	double p, want;
} by_hand[] = {
    {YEARDATE_LAST, 1 / 6.0, 40},   {YEARDATE_LAST, 1 / 4.0, 35},  {YEARDATE_LAST, 2 / 3.0, 10},
    {YEARDATE_LAST, 5 / 6.0, NONE}, {YEARDATE_LAST, 0.1, NONE},    {YEARDATE_FIRST, 1 / 6.0, 10},
    {YEARDATE_FIRST, 0.25, 15},     {YEARDATE_FIRST, 2 / 3.0, 40}, {YEARDATE_FIRST, 0.7, NONE},
    {YEARDATE_FIRST, 0.1, NONE},
};

START_TEST(counted_by_hand)
{
	const double day[] = {30, 10, 40, 20};
	struct yeardate y;
	fill(&y, by_hand[_i].side, day, COUNT(day), 1);
	double got = yeardate_counted(&y, by_hand[_i].p, YEARDATE_RANK_WEIBULL);
	ROW_MSG(isnan(by_hand[_i].want) ? isnan(got) : fabs(got - by_hand[_i].want) < 1e-6,
		"by hand: p %g is %g, want %g", by_hand[_i].p, got, by_hand[_i].want);
}
END_TEST

START_TEST(counted_chance_by_hand)
{
	const double day[] = {30, 10, 40, 20};
	struct yeardate last, first;
	fill(&last, YEARDATE_LAST, day, COUNT(day), 1);
	fill(&first, YEARDATE_FIRST, day, COUNT(day), 1);
	ROW_NEAR("later than 20: two of five", yeardate_counted_chance(&last, 20), 0.4, 1e-15);
	ROW_NEAR("later than 19.5: three", yeardate_counted_chance(&last, 19.5), 0.6, 1e-15);
	ROW_NEAR("by 20: two", yeardate_counted_chance(&first, 20), 0.4, 1e-15);
	ROW_NEAR("by 400: all that have one", yeardate_counted_chance(&first, 400), 0.8, 1e-15);
	ROW_TRUE("no day", isnan(yeardate_counted_chance(&first, NONE)));
}
END_TEST

static const struct {
	const char *name;
	size_t with;
	int without;
	bool told;
} few[] = {
    {"no year", 0, 0, false},
    {"four years", 4, 0, false},
    {"two with, two without", 2, 2, false},
    {"five years", 5, 0, true},
    {"two with, three without", 2, 3, true},
};

START_TEST(too_few_years)
{
	struct yeardate y;
	fill(&y, YEARDATE_LAST, spring, few[_i].with, few[_i].without);
	ROW_INT(few[_i].name, y.years, (int)few[_i].with + few[_i].without);
	ROW_TRUE(few[_i].name, isnan(yeardate_normal(&y, 0.3)) == !few[_i].told);
	ROW_TRUE(few[_i].name, isnan(yeardate_normal_chance(&y, 105)) == !few[_i].told);
	ROW_TRUE(few[_i].name, isnan(yeardate_counted(&y, 0.3, YEARDATE_RANK_WEIBULL)) == !few[_i].told);
	ROW_TRUE(few[_i].name, isnan(yeardate_counted_chance(&y, 105)) == !few[_i].told);
}
END_TEST

START_TEST(never_and_once)
{
	struct yeardate y;
	fill(&y, YEARDATE_FIRST, spring, 0, 20);
	ROW_TRUE("never: chance 0", yeardate_normal_chance(&y, 200) == 0 && yeardate_counted_chance(&y, 200) == 0);
	ROW_TRUE("never: no date",
		 isnan(yeardate_normal(&y, 0.1)) && isnan(yeardate_counted(&y, 0.1, YEARDATE_RANK_WEIBULL)));
	fill(&y, YEARDATE_FIRST, spring, 1, 19);
	ROW_TRUE("once: no spread, no curve",
		 isnan(y.spread) && isnan(yeardate_normal(&y, 0.01)) && isnan(yeardate_normal_chance(&y, 110)));
	ROW_NEAR("once: counted", yeardate_counted_chance(&y, 112), 0.05, 1e-15);
	fill(&y, YEARDATE_LAST, (const double[]){90, 90, 90, 90, 90, 90}, 6, 0);
	ROW_NEAR("always the same day", yeardate_normal(&y, 0.1), 90, 1e-12);
	ROW_TRUE("later than that", yeardate_normal_chance(&y, 90) == 0 && yeardate_normal_chance(&y, 89) == 1);
}
END_TEST

/* Nine years are the fewest whose tenth part can be counted by Weibull's ranks: m / 10, whatever 1 - 0.9 is in binary.
 */
START_TEST(nine_years)
{
	struct yeardate last, first;
	fill(&last, YEARDATE_LAST, (const double[]){1, 2, 3, 4, 5, 6, 7, 8, 9}, 9, 0);
	fill(&first, YEARDATE_FIRST, (const double[]){1, 2, 3, 4, 5, 6, 7, 8, 9}, 9, 0);
	for (int m = 1; m <= 9; m++) {
		ROW_NEAR("first", yeardate_counted(&first, m / 10.0, YEARDATE_RANK_WEIBULL), m, 1e-8);
		ROW_NEAR("last", yeardate_counted(&last, m / 10.0, YEARDATE_RANK_WEIBULL), 10 - m, 1e-8);
	}
	ROW_TRUE("under a tenth", isnan(yeardate_counted(&first, 0.09, YEARDATE_RANK_WEIBULL)));
	ROW_TRUE("over nine tenths", isnan(yeardate_counted(&last, 0.91, YEARDATE_RANK_WEIBULL)));
}
END_TEST

/* More than are kept: the oldest go, and do not count. */
START_TEST(more_than_kept)
{
	struct yeardate y;
	yeardate_start(&y, YEARDATE_LAST);
	for (int i = 0; i < YEARDATE_MAX + 50; i++)
		yeardate_add(&y, i);
	yeardate_close(&y);
	ROW_INT("years", y.years, YEARDATE_MAX);
	ROW_INT("with", y.with, YEARDATE_MAX);
	ROW_NEAR("the oldest", y.day[0], 50, 0);
	ROW_NEAR("the newest", y.day[YEARDATE_MAX - 1], YEARDATE_MAX + 49, 0);
}
END_TEST

/* Property: a date is later the smaller its chance of a later one, and date and chance undo each other. */
START_TEST(there_and_back)
{
	struct yeardate last, first;
	fill(&last, YEARDATE_LAST, spring, COUNT(spring), 4);
	fill(&first, YEARDATE_FIRST, spring, COUNT(spring), 4);
	double later = HUGE_VAL, earlier = -HUGE_VAL;
	for (double p = 0.02; p < 0.88; p += 0.02) {
		double l = yeardate_normal(&last, p), f = yeardate_normal(&first, p);
		ROW_TRUE("in order", l < later && f > earlier);
		ROW_NEAR("last and back", yeardate_normal_chance(&last, l), p, 1e-12);
		ROW_NEAR("first and back", yeardate_normal_chance(&first, f), p, 1e-12);
		later = l;
		earlier = f;
	}
}
END_TEST

static const struct {
	const char *date;
	int year, month, day;
	bool leap_day;
} yeardays[] = {
    {"2026-01-01", 2026, 1, 1, false},    {"2026-02-28", 2026, 2, 59, false},   {"2024-02-28", 2024, 2, 59, false},
    {"2024-02-29", 2024, 2, 59, true},    {"2024-03-01", 2024, 3, 60, false},   {"2026-03-01", 2026, 3, 60, false},
    {"2026-12-31", 2026, 12, 365, false}, {"2024-12-31", 2024, 12, 365, false}, {"2023-07-01", 2023, 7, 182, false},
};

START_TEST(calendar_rows)
{
	struct date d;
	struct fault f;
	ck_assert(!date_parse(yeardays[_i].date, &d, &f));
	struct yearday y = yearday_of(d);
	ROW_INT(yeardays[_i].date, y.year, yeardays[_i].year);
	ROW_INT(yeardays[_i].date, y.month, yeardays[_i].month);
	ROW_INT(yeardays[_i].date, y.day, yeardays[_i].day);
	ROW_INT(yeardays[_i].date, y.leap_day, yeardays[_i].leap_day);
	if (!y.leap_day)
		ROW_INT(yeardays[_i].date, yearday_date(y.year, y.day).n, d.n);
}
END_TEST

static const struct {
	int year;
	double day;
	const char *want;
} backwards[] = {
    {2026, 126.4, "2026-05-06"}, {2026, 126.5, "2026-05-07"}, {2026, 0, "2025-12-31"}, {2024, -364, "2023-01-01"},
    {2026, 366, "2027-01-01"},   {2024, 60, "2024-03-01"},    {2026, NONE, "no date"}, {2026, 1e9, "no date"},
    {9999, 366, "no date"},      {2026, HUGE_VAL, "no date"},
};

START_TEST(calendar_backwards)
{
	char text[DATE_TEXT_SIZE];
	ROW_STR(backwards[_i].want, date_text(yearday_date(backwards[_i].year, backwards[_i].day), text),
		backwards[_i].want);
}
END_TEST

#define LOOP(tc, fn, rows) tcase_add_loop_test(tc, fn, 0, COUNT(rows))

static Suite *suite(void)
{
	Suite *s = suite_create("yeardate");
	TCase *tc = tcase_create("yeardate");
	LOOP(tc, calendar_rows, yeardays);
	LOOP(tc, calendar_backwards, backwards);
	LOOP(tc, date_of_chance, dates);
	LOOP(tc, chance_of_date, chances);
	LOOP(tc, mixed_years, mixed);
	LOOP(tc, counted_by_hand, by_hand);
	tcase_add_test(tc, counted_chance_by_hand);
	LOOP(tc, too_few_years, few);
	tcase_add_test(tc, never_and_once);
	tcase_add_test(tc, nine_years);
	tcase_add_test(tc, more_than_kept);
	tcase_add_test(tc, there_and_back);
	suite_add_tcase(s, tc);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
