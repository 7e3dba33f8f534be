#include "odds/correct.h"

#include "lib/harness.h"

#define NONE        ((double)NAN)
#define COUNT(rows) (sizeof(rows) / sizeof *(rows))

enum { PAIRS_MAX = 4 * CORRECT_WINDOW_DAYS, TODAY = 20000 };

static const struct date today = {TODAY};
static struct correct_pair pairs[PAIRS_MAX];
static size_t n;

static void add(int age, int night, double error)
{
	ck_assert(n < PAIRS_MAX);
	pairs[n++] = (struct correct_pair){{TODAY - age}, night, 6 + error, 6, true};
}

/* The same error on each of the last `count` nights. */
static void steady(int count, double error)
{
	n = 0;
	for (int age = count; age >= 1; age--)
		add(age, 1, error);
}

static struct correct_lead learned(int night)
{
	struct correction c;
	correct_of(pairs, n, today, &c);
	return c.lead[night - 1];
}

/* Forecast less observed of ten nights, and their quartiles: 1.175, 1.65, 2.05 (derived here). */
static const double errors[] = {1.8, 1.5, 1.1, 2.2, 0.8, 2.1, 0.7, 1.9, 2.4, 1.4};

/* With all pairs of one evening none weighs more: the usual median. */
START_TEST(usual_median)
{
	n = 0;
	for (int i = 0; i < 20; i++)
		add(1, 1, errors[i % 10]);
	ROW_NEAR("median of the ten, derived here", learned(1).bias_c, 1.65, 1e-12);
}
END_TEST

/*
 * Errors of -2 to 3.9 K in no order, the last night youngest, by another program in exact fractions: what has
 * the least weighted pinball loss.  The weights show: without them the biases are 0.8, 0.85, 0.9, 0.9, 0.95.
 */
static const struct {
	int nights;
	double bias, spread;
} series[] = {{15, 0.8, 1.9}, {20, 0.9, 2.2}, {33, 1, 2.1}, {47, 1, 1.9}, {60, 1.1, 2}};

START_TEST(weighted_series)
{
	n = 0;
	for (int i = 0; i < series[_i].nights; i++)
		add(series[_i].nights - i, 3, (i * 37 % 60 - 20) / 10.0);
	struct correct_lead got = learned(3);
	ROW_TRUE("own", got.own && got.pairs == series[_i].nights);
	ROW_NEAR("weighted median, derived here", got.bias_c, series[_i].bias, 1e-9);
	ROW_NEAR("68.27 % point, derived here", got.spread_c, series[_i].spread, 1e-9);
	ROW_TRUE("other nights keep the prior", !learned(2).own && !learned(4).own);
}
END_TEST

/* By hand: what the last month says outweighs the month before; a third of it does not. */
static const struct {
	const char *name;
	int older, younger;
	double bias;
} turns[] = {
    {"a month of 3 K, then a month of none", 30, 30, 0},
    {"a month of 3 K, then a fortnight of none", 30, 14, 0},
    {"a month of 3 K, then ten nights of none", 30, 10, 3},
};

START_TEST(recent_weighs_more)
{
	n = 0;
	for (int i = 0; i < turns[_i].older; i++)
		add(turns[_i].older + turns[_i].younger - i, 1, 3);
	for (int i = 0; i < turns[_i].younger; i++)
		add(turns[_i].younger - i, 1, 0);
	ROW_NEAR(turns[_i].name, round(learned(1).bias_c), turns[_i].bias, 0);
}
END_TEST

/* A few wild nights do not move a median. */
START_TEST(wild_nights)
{
	steady(30, 1);
	pairs[12].forecast_c += 20;
	pairs[20].forecast_c -= 20;
	pairs[25].forecast_c += 20;
	ROW_NEAR("by hand", learned(1).bias_c, 1, 1e-12);
	ROW_NEAR("by hand", learned(1).spread_c, CORRECT_SPREAD_MIN_C, 0);
}
END_TEST

static void none(void)
{
	steady(0, 2);
}
static void fourteen(void)
{
	steady(CORRECT_PAIRS_MIN - 1, 2);
}
static void fifteen(void)
{
	steady(CORRECT_PAIRS_MIN, 2);
}

static void one_unseen(void)
{
	fifteen();
	pairs[4].seen = false;
}

static void one_missing(void)
{
	fifteen();
	pairs[4].seen_c = NONE;
}

static void one_forecast_missing(void)
{
	fifteen();
	pairs[4].forecast_c = NONE;
}

static void one_tonight(void)
{
	fifteen();
	pairs[n - 1].evening = today;
}

static void one_old(void)
{
	fifteen();
	pairs[0].evening.n = TODAY - CORRECT_WINDOW_DAYS - 1;
}

static void one_just_young(void)
{
	fifteen();
	pairs[0].evening.n = TODAY - CORRECT_WINDOW_DAYS;
}

static void one_of_another_night(void)
{
	fifteen();
	pairs[4].night = 2;
}

static void nights_outside(void)
{
	fifteen();
	pairs[3].night = 0;
	pairs[4].night = CORRECT_NIGHTS + 1;
}

static const struct {
	const char *name;
	void (*make)(void);
	int pairs;
} few[] = {
    {"none", none, 0},
    {"one too few", fourteen, 14},
    {"enough", fifteen, 15},
    {"one analysed by a service", one_unseen, 14},
    {"one low not known", one_missing, 14},
    {"one forecast not known", one_forecast_missing, 14},
    {"one night not over", one_tonight, 14},
    {"one of another season", one_old, 14},
    {"one just of this", one_just_young, 15},
    {"one of another night of its issue", one_of_another_night, 14},
    {"nights that no issue has", nights_outside, 13},
};

START_TEST(enough_pairs)
{
	struct correction prior;
	few[_i].make();
	correct_prior(&prior);
	struct correct_lead got = learned(1);
	bool own = few[_i].pairs >= CORRECT_PAIRS_MIN;
	ROW_INT(few[_i].name, got.pairs, few[_i].pairs);
	ROW_INT(few[_i].name, got.own, own);
	ROW_NEAR(few[_i].name, got.bias_c, own ? 2 : prior.lead[0].bias_c, 1e-12);
	ROW_NEAR(few[_i].name, got.spread_c, own ? CORRECT_SPREAD_MIN_C : prior.lead[0].spread_c, 1e-12);
}
END_TEST

/* More pairs than are kept: the youngest count. */
START_TEST(many_pairs)
{
	n = 0;
	for (int age = CORRECT_WINDOW_DAYS; age >= 1; age--)
		for (int i = 0; i < 4; i++)
			add(age, 1, age > CORRECT_WINDOW_DAYS / 2 ? 5 : 1);
	ROW_INT("two a day of the window", learned(1).pairs, 2 * CORRECT_WINDOW_DAYS);
	ROW_NEAR("the younger half", learned(1).bias_c, 1, 1e-12);
}
END_TEST

/* Spread and correlation by night: as measured to night 6 (23 US stations, 2014-17), carried on from there. */
static const double spreads[] = {1.6, 1.6, 1.75, 1.9, 2.15, 2.45, 2.7, 2.9, 3.05, 3.2};
static const double rhos[] = {0, .2, .3, .33, .37, .42};

START_TEST(prior_by_night)
{
	struct correction c;
	correct_prior(&c);
	for (size_t i = 0; i < CORRECT_NIGHTS; i++) {
		ROW_NEAR("spread, derived here", c.lead[i].spread_c, spreads[i], 0);
		ROW_NEAR("rho, derived here; 0.2 to 0.45", c.lead[i].rho, i < COUNT(rhos) ? rhos[i] : 0.45, 0);
		ROW_TRUE("no night is better known, or colder seen, than the one before",
			 i == 0 || (c.lead[i].spread_c >= c.lead[i - 1].spread_c &&
				    c.lead[i].bias_c >= c.lead[i - 1].bias_c));
	}
}
END_TEST

/*
 * What came of forecast lows of 23 US stations, 2014-17, by the nearest whole C of the forecast: shares at or
 * under 0 C (March to June, September to November), at or under 36 F and at or over 10 C (April to June,
 * September and October).  Forecasts and lows are in whole F.  Plausible: within 0.08.
 */
enum what { UNDER, OVER };

static const struct {
	const char *name;
	enum what what;
	double line_f;
	int night, from_c;
	double share[8];
} shares[] = {
    {"at or under 0 C, night 1", UNDER, 32, 1, 0, {.52, .35, .15, .08, .03, .02, .02, .02}},
    {"at or under 0 C, night 3", UNDER, 32, 3, 0, {.58, .43, .21, .12, .07, .02, .02, .01}},
    {"at or under 0 C, night 6", UNDER, 32, 6, 0, {.55, .50, .36, .23, .11, .09, .04, .01}},
    {"at or under 36 F, night 1", UNDER, 36, 1, 0, {.86, .75, .53, .29, .13, .09, .02, .04}},
    {"at or under 36 F, night 3", UNDER, 36, 3, 0, {.90, .82, .65, .37, .22, .12, .06, .03}},
    {"at or under 36 F, night 6", UNDER, 36, 6, 0, {.89, .85, .65, .45, .33, .20, .16, .07}},
    {"at or over 10 C, night 1", OVER, 50, 1, 8, {.17, .35, .55, .72, .86, .93, .95, NONE}},
    {"at or over 10 C, night 3", OVER, 50, 3, 8, {.15, .33, .48, .67, .81, .90, .97, NONE}},
    {"at or over 10 C, night 6", OVER, 50, 6, 8, {.25, .34, .46, .60, .74, .85, .95, NONE}},
};

static double celsius(double f)
{
	return (f - 32) / 1.8;
}

/* The chance after a forecast in whole F whose nearest whole C is c, one of these as good as another. */
static double after(size_t row, const struct correction *prior, int c)
{
	double sum = 0, line_c = celsius(shares[row].line_f);
	int forecasts = 0;
	for (int f = 0; f < 100; f++) {
		if (lround(celsius(f)) != c)
			continue;
		struct runs_night night = correct_night(prior, shares[row].night, celsius(f), NONE);
		sum += shares[row].what == UNDER ? runs_under(&night, runs_reads_under_c(line_c, RUNS_WHOLE_F_C))
						 : runs_over(&night, runs_reads_over_c(line_c, RUNS_WHOLE_F_C));
		forecasts++;
	}
	return sum / forecasts;
}

START_TEST(plausible_prior)
{
	struct correction prior;
	correct_prior(&prior);
	for (int i = 0; i < 8; i++)
		if (!isnan(shares[_i].share[i]))
			ROW_NEAR(shares[_i].name, after((size_t)_i, &prior, shares[_i].from_c + i), shares[_i].share[i],
				 0.08);
}
END_TEST

static const struct {
	const char *name;
	int night;
	double forecast, climate, low, spread, rho;
} nights[] = {
    {"prior, night 1", 1, 5, NONE, 5.15, 1.6, 0},   {"prior, night 6", 6, 5, NONE, 4.5, 2.45, .42},
    {"prior, last night", 10, 5, 4, 4.5, 3.2, .45}, {"no wider than climate", 10, 5, 2.5, 4.5, 2.5, .45},
    {"own, not held to it", 2, 5, 0.5, 3, 1, .2},   {"night 0", 0, 5, NONE, NONE, NONE, NONE},
    {"beyond", 11, 5, NONE, NONE, NONE, NONE},      {"no forecast", 1, NONE, NONE, NONE, 1.6, 0},
};

START_TEST(night_of_a_forecast)
{
	struct correction c;
	n = 0;
	for (int age = 20; age >= 1; age--)
		add(age, 2, 2);
	correct_of(pairs, n, today, &c);
	struct runs_night got = correct_night(&c, nights[_i].night, nights[_i].forecast, nights[_i].climate);
	const double have[] = {got.low_c, got.spread_c, got.rho};
	const double want[] = {nights[_i].low, nights[_i].spread, nights[_i].rho};
	for (int i = 0; i < 3; i++)
		ROW_MSG(isnan(want[i]) ? isnan(have[i]) : fabs(have[i] - want[i]) < 1e-12,
			"%s: number %d is %g, want %g", nights[_i].name, i, have[i], want[i]);
}
END_TEST

/* Forecasts 3.6 F over a line of 50 F, five nights long: all five hold in some 56 of 100 (derived here, rougher
 * spreads). */
START_TEST(five_of_five_is_hard)
{
	struct correction prior;
	struct runs_night five[5];
	correct_prior(&prior);
	for (int i = 0; i < 5; i++)
		five[i] = correct_night(&prior, i + 1, celsius(53.6), NONE);
	double line_c = runs_reads_over_c(celsius(50), RUNS_WHOLE_F_C);
	double all = runs_at_least(five, 5, 5, line_c), four = runs_at_least(five, 5, 4, line_c);
	ROW_NEAR("derived here", all, 0.56, 0.08);
	ROW_TRUE("four of five is fair", four > 0.8 && four < 0.95);
}
END_TEST

#define LOOP(tc, fn, rows) tcase_add_loop_test(tc, fn, 0, COUNT(rows))

static Suite *suite(void)
{
	Suite *s = suite_create("correct");
	TCase *tc = tcase_create("correct");
	tcase_add_test(tc, usual_median);
	LOOP(tc, weighted_series, series);
	LOOP(tc, recent_weighs_more, turns);
	tcase_add_test(tc, wild_nights);
	LOOP(tc, enough_pairs, few);
	tcase_add_test(tc, many_pairs);
	tcase_add_test(tc, prior_by_night);
	LOOP(tc, plausible_prior, shares);
	LOOP(tc, night_of_a_forecast, nights);
	tcase_add_test(tc, five_of_five_is_hard);
	suite_add_tcase(s, tc);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
