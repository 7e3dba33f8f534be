#include "odds/climate.h"

#include <stdbool.h>

#include "base/text.h"
#include "lib/harness.h"

#define NONE ((double)NAN)

enum { FIRST_YEAR = 1991, DAYS_MAX = 31 * 366 };

static struct station_day days[DAYS_MAX];
static size_t n;
static struct climate c;

static struct date on(int year, int month, int day)
{
	struct date d;
	ck_assert(date_of(year, month, day, &d));
	return d;
}

static void add(struct date d, double low_c, const char *station)
{
	struct station_day s = {.date = d, .tmin_c = low_c, .tmax_c = NONE, .rain_mm = NONE};
	ck_assert(text_copy(s.station, sizeof s.station, station));
	ck_assert(n < DAYS_MAX);
	days[n++] = s;
}

/* Every day of so many years, its low a function of the date. */
static void years(int count, double (*low)(struct date))
{
	n = 0;
	for (struct date d = on(FIRST_YEAR, 1, 1); d.n < on(FIRST_YEAR + count, 1, 1).n; d = date_add(d, 1))
		add(d, low(d), "meadow");
}

/* By hand: odd days of the epoch 2 K over, even days 2 K under a level of 10. */
static double alternating(struct date d)
{
	return d.n % 2 ? 12 : 8;
}

static double steady(struct date d)
{
	(void)d;
	return -3.3;
}

static double of_year(struct date d)
{
	return yearday_of(d).year - FIRST_YEAR;
}

static double of_day(struct date d)
{
	return yearday_of(d).day;
}

START_TEST(mean_and_spread)
{
	years(30, alternating);
	climate_of(days, n, "meadow", &c);
	struct runs_night night = climate_night(&c, on(2026, 5, 22));
	ROW_INT("years", c.years, 30);
	ROW_NEAR("by hand", night.low_c, 10, 0.02);
	ROW_NEAR("by hand", night.spread_c, 2 * sqrt(450 / 449.0), 1e-3);
	ROW_NEAR("lag 1 of Seattle and New York", night.rho, (0.721 + 0.671) / 2, 0.005);

	years(30, steady);
	climate_of(days, n, "meadow", &c);
	night = climate_night(&c, on(2026, 12, 31));
	ROW_NEAR("no spread", night.low_c, -3.3, 1e-12);
	ROW_NEAR("no spread", night.spread_c, 0, 1e-6);

	/* Years 0 to 29, once each a day: mean 14.5, variance (900 - 1) / 12 of the population. */
	years(30, of_year);
	climate_of(days, n, "meadow", &c);
	night = climate_night(&c, on(2026, 5, 22));
	ROW_NEAR("uniform", night.low_c, 14.5, 1e-12);
	ROW_NEAR("uniform", night.spread_c, sqrt(899 / 12.0 * 450 / 449), 1e-12);
}
END_TEST

/* The low of a night is dated the morning after; the days round the new year are neighbours. */
static const struct {
	const char *name;
	int month, day;
	double mean;
} mornings[] = {
    {"the night of 22 May is dated 23 May, day 143", 5, 22, 143},
    {"28 February: 1 March", 2, 28, 60},
    {"24 December: day 358 and seven days to each side", 12, 23, 358},
    {"30 December: 31 December, seven days after it of the new year", 12, 30, (365 * 8 - 28 + 28) / 15.0},
};

START_TEST(dated_by_the_morning)
{
	years(29, of_day); /* 29 February is one more of day 59: within 0.15 */
	climate_of(days, n, "meadow", &c);
	struct runs_night night = climate_night(&c, on(2026, mornings[_i].month, mornings[_i].day));
	ROW_NEAR(mornings[_i].name, night.low_c, mornings[_i].mean, mornings[_i].month == 2 ? 0.15 : 1e-9);
}
END_TEST

/* Three years cannot tell, nor four; five can, even with a few lows missing. */
static const struct {
	const char *name;
	int years, months; /* of each year, from January */
	bool may;
} few[] = {
    {"no year", 0, 12, false},   {"three years", 3, 12, false},    {"four years", 4, 12, false},
    {"five years", 5, 12, true}, {"thirty winters", 30, 3, false},
};

START_TEST(too_few)
{
	n = 0;
	for (struct date d = on(FIRST_YEAR, 1, 1); d.n < on(FIRST_YEAR + few[_i].years, 1, 1).n; d = date_add(d, 1))
		if (yearday_of(d).month <= few[_i].months)
			add(d, 5, "meadow");
	climate_of(days, n, "meadow", &c);
	struct runs_night night = climate_night(&c, on(2026, 5, 22));
	ROW_INT(few[_i].name, c.years, few[_i].years);
	ROW_TRUE(few[_i].name, isnan(night.low_c) == !few[_i].may);
	ROW_TRUE(few[_i].name, isnan(night.spread_c) == !few[_i].may);
	/* And a chance that needs it cannot be told either. */
	ROW_TRUE(few[_i].name, isnan(runs_over(&night, 5)) == !few[_i].may);
}
END_TEST

START_TEST(one_station_and_known_lows)
{
	n = 0;
	for (struct date d = on(FIRST_YEAR, 1, 1); d.n < on(FIRST_YEAR + 10, 1, 1).n; d = date_add(d, 1)) {
		add(d, d.n % 3 ? 7 : NONE, "meadow");
		add(d, 30, "other");
	}
	climate_of(days, n, "meadow", &c);
	ROW_NEAR("the station alone", climate_night(&c, on(2026, 5, 22)).low_c, 7, 1e-12);
	climate_of(days, n, "nobody", &c);
	ROW_INT("unknown station", c.years, 0);
	ROW_TRUE("unknown station", isnan(climate_night(&c, on(2026, 5, 22)).low_c));
}
END_TEST

#define LOOP(tc, fn, rows) tcase_add_loop_test(tc, fn, 0, sizeof(rows) / sizeof *(rows))

/* A high of 20 over each low of 10 on the whole, some missing. */
START_TEST(of_a_day)
{
	years(6, alternating);
	for (size_t i = 0; i < n; i++)
		days[i].tmax_c = i % 10 == 0 ? NONE : days[i].date.n % 2 ? 21 : 19;
	climate_of(days, n, "meadow", &c);
	struct climate_day d = climate_day(&c, on(2020, 7, 1));
	ROW_NEAR("low", d.low_c, climate_night(&c, on(2020, 6, 30)).low_c, 1e-12);
	ROW_NEAR("high", d.high_c, 20, 0.2);
	for (size_t i = 0; i < n; i++)
		days[i].tmax_c = NONE;
	climate_of(days, n, "meadow", &c);
	ROW_TRUE("no highs", isnan(climate_day(&c, on(2020, 7, 1)).high_c));
	ROW_TRUE("lows all the same", !isnan(climate_day(&c, on(2020, 7, 1)).low_c));
	climate_of(days, n, "nobody", &c);
	ROW_TRUE("nothing", isnan(climate_day(&c, on(2020, 7, 1)).low_c));
}
END_TEST

/* Highs that only have a date's own number tell which date was looked at. */
START_TEST(of_its_date)
{
	years(6, steady);
	for (size_t i = 0; i < n; i++)
		days[i].tmax_c = of_day(days[i].date);
	climate_of(days, n, "meadow", &c);
	ROW_NEAR("1 July", climate_day(&c, on(2020, 7, 1)).high_c, 182, 0.5);
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("climate");
	TCase *tc = tcase_create("climate");
	tcase_add_test(tc, mean_and_spread);
	LOOP(tc, dated_by_the_morning, mornings);
	LOOP(tc, too_few, few);
	tcase_add_test(tc, one_station_and_known_lows);
	tcase_add_test(tc, of_a_day);
	tcase_add_test(tc, of_its_date);
	suite_add_tcase(s, tc);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
