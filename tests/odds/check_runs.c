#include "odds/runs.h"

#include "lib/harness.h"
#include "odds/normal.h"

#define NONE        ((double)NAN)
#define COUNT(rows) (sizeof(rows) / sizeof *(rows))

enum { SEVEN = 7 };

/* Nights with spread 1 whose lines lie at[i] over what is expected; line is 0. */
static void standard(const double *at, size_t n, double rho, struct runs_night *nights)
{
	for (size_t i = 0; i < n; i++)
		nights[i] = (struct runs_night){-at[i], 1, rho};
}

static double all_at_mean(double rho, size_t n)
{
	const double at[RUNS_NIGHTS_MAX] = {0};
	struct runs_night nights[RUNS_NIGHTS_MAX];
	standard(at, n, rho, nights);
	return runs_at_least(nights, n, n, 0);
}

/*
 * All of n nights over a line at the mean, AR(1).  n = 2: Sheppard 1899, 3: David 1953, in closed form;
 * n = 4 to 7: derived here, another program's quadrature with 200 points a night.
 */
static const struct {
	double rho, n[SEVEN + 1];
} orthants[] = {
    {0, {1, .5, .25, .125, .0625, .03125, .015625, .0078125}},
    {0.3, {1, .5, .298493, .180665, .109562, .066462, .040319, .024459}},
    {0.5, {1, .5, .333333, .228441, .157663, .109040, .075460, .052232}},
    {0.7, {1, .5, .373408, .289159, .226831, .178969, .141606, .112203}},
    {0.9, {1, .5, .428217, .378350, .338759, .305594, .277003, .251919}},
};

START_TEST(orthant_table)
{
	for (size_t n = 1; n <= SEVEN; n++)
		ROW_NEAR("AR(1) orthant table", all_at_mean(orthants[_i].rho, n), orthants[_i].n[n], 6e-7);
}
END_TEST

static const struct {
	double rho, want;
} pairs[] = {{-.5, .1666667}, {.2, .2820471}, {.6, .3524164}, {.8, .3975836}, {1, .5}};

START_TEST(pair_table)
{
	ROW_NEAR("Sheppard 1899, printed", all_at_mean(pairs[_i].rho, 2), pairs[_i].want, 6e-8);
}
END_TEST

START_TEST(closed_forms)
{
	for (int i = -99; i <= 99; i++) {
		double rho = i / 100.0;
		ROW_NEAR("Sheppard 1899", all_at_mean(rho, 2), 0.25 + asin(rho) / (2 * M_PI), 2e-7);
		ROW_NEAR("David 1953", all_at_mean(rho, 3), 0.125 + (2 * asin(rho) + asin(rho * rho)) / (4 * M_PI),
			 2e-7);
	}
}
END_TEST

static const struct {
	const char *name;
	double at, rho, want;
} off_centre[] = {
    {"bivariate normal, both > -1, derived here", -1, .5, .7452036},
    {"bivariate normal, both > -1, derived here", -1, .3, .7281473},
    {"bivariate normal, both > 1, derived here", 1, .5, .0625141},
};

START_TEST(off_centre_pairs)
{
	const double at[2] = {off_centre[_i].at, off_centre[_i].at};
	struct runs_night nights[2];
	standard(at, 2, off_centre[_i].rho, nights);
	ROW_NEAR(off_centre[_i].name, runs_at_least(nights, 2, 2, 0), off_centre[_i].want, 6e-8);
}
END_TEST

/* Three weeks' forecasts against 10 C; joint chances derived here, by another program (quadrature, with Monte Carlo of
 * 400,000 beside it). */
static const struct forecast {
	const char *name;
	size_t n;
	double low[SEVEN], spread[SEVEN], over[SEVEN];
	double tol; /* of `over` as printed */
	double rho0, rho3, rho5, rho7, rho9;
} forecasts[] = {
    {"A",
     5,
     {12, 11.5, 13, 12.5, 11},
     {1.5, 1.8, 2.1, 2.4, 2.7},
     {.908789, .797672, .923436, .851217, .644447},
     6e-7,
     .367216,
     .413320,
     .458279,
     .518065,
     .599297},
    {"B",
     5,
     {11, 11, 11, 11, 11},
     {1.5, 1.5, 1.5, 1.5, 1.5},
     {.747507, .747507, .747507, .747507, .747507},
     6e-7,
     .233388,
     .299258,
     .362679,
     .448621,
     .578363},
    {"C",
     7,
     {13, 13, 12.5, 12, 12, 12.5, 13},
     {1.34, 1.6, 1.9, 2.2, 2.5, 2.7, 2.9},
     {.98742, .96960, .90588, .81835, .78814, .82276, .84954},
     6e-6,
     .390991,
     .452712,
     .512256,
     .590585,
     NONE},
};

static void forecast_nights(const struct forecast *f, const double *rho, struct runs_night *nights)
{
	for (size_t i = 0; i < f->n; i++)
		nights[i] = (struct runs_night){f->low[i], f->spread[i], rho[i]};
}

static void even_rho(const struct forecast *f, double rho, struct runs_night *nights)
{
	double all[SEVEN];
	for (size_t i = 0; i < SEVEN; i++)
		all[i] = rho;
	forecast_nights(f, all, nights);
}

START_TEST(forecast_table)
{
	const struct forecast *f = &forecasts[_i];
	const double rho[] = {0, .3, .5, .7, .9};
	const double want[] = {f->rho0, f->rho3, f->rho5, f->rho7, f->rho9};
	struct runs_night nights[SEVEN];

	for (size_t i = 0; i < COUNT(rho); i++) {
		even_rho(f, rho[i], nights);
		if (!isnan(want[i]))
			ROW_NEAR(f->name, runs_at_least(nights, f->n, f->n, 10), want[i], 6e-7);
	}
	for (size_t i = 0; i < f->n; i++)
		ROW_NEAR(f->name, runs_over(&nights[i], 10), f->over[i], f->tol);
}
END_TEST

/* At least k of the nights, by scipy 1.10 (Genz's integration of the multivariate normal, summed over all patterns). */
static const double RISING[SEVEN] = {0, .2, .3, .33, .37, .42, .45};

static const struct {
	size_t forecast;
	double rho;                 /* NaN: RISING */
	double at_least[SEVEN + 1]; /* from k = 1 */
} counts[] = {
    {0, .35, {.998636, .987133, .937977, .778449, .423365}},  {0, NONE, {.999108, .989288, .941832, .778811, .416522}},
    {0, .7, {.986607, .953494, .895685, .771710, .518065}},   {1, .35, {.992369, .954800, .847049, .629889, .313431}},
    {1, NONE, {.994168, .960067, .853796, .629960, .299546}}, {1, .7, {.957368, .891415, .791349, .648784, .448621}},
};

START_TEST(count_table)
{
	const struct forecast *f = &forecasts[counts[_i].forecast];
	struct runs_night nights[SEVEN];
	if (isnan(counts[_i].rho))
		forecast_nights(f, RISING, nights);
	else
		even_rho(f, counts[_i].rho, nights);
	for (size_t k = 1; k <= f->n; k++)
		ROW_NEAR("multivariate normal, scipy", runs_at_least(nights, f->n, k, 10), counts[_i].at_least[k - 1],
			 1e-6);
}
END_TEST

/* rho 0: all 2^n patterns written out (Poisson-binomial). */
START_TEST(independent_nights)
{
	for (size_t i = 0; i < COUNT(forecasts); i++) {
		const struct forecast *f = &forecasts[i];
		double want[SEVEN + 1] = {0};
		struct runs_night nights[SEVEN];
		even_rho(f, 0, nights);
		for (unsigned pattern = 0; pattern < 1u << f->n; pattern++) {
			double chance = 1;
			size_t over = 0;
			for (size_t j = 0; j < f->n; j++) {
				double p = runs_over(&nights[j], 10);
				over += pattern >> j & 1;
				chance *= pattern >> j & 1 ? p : 1 - p;
			}
			for (size_t k = 0; k <= over; k++)
				want[k] += chance;
		}
		for (size_t k = 0; k <= f->n; k++)
			ROW_NEAR(f->name, runs_at_least(nights, f->n, k, 10), want[k], 1e-6);
	}
}
END_TEST

/* rho 1 and one spread: the k-th warmest night decides alone. */
START_TEST(one_error_for_all)
{
	struct runs_night nights[5] = {{11, 2, 1}, {9, 2, 1}, {12, 2, 1}, {10, 2, 1}, {11, 2, 1}};
	const double warmest[] = {12, 11, 11, 10, 9};
	for (size_t k = 1; k <= 5; k++)
		ROW_NEAR("one night", runs_at_least(nights, 5, k, 10), normal_over((10 - warmest[k - 1]) / 2), 1e-15);
	/* Near it the way there is smooth: what is lost from 0.99 to 1 is what the closed form says. */
	ROW_NEAR("held at 0.99", all_at_mean(0.9999, 2), 0.25 + asin(0.99) / (2 * M_PI), 2e-7);
}
END_TEST

/* The chain without the nights that are not in the pattern: its rho are products. */
static double all_of(const struct runs_night *nights, size_t n, unsigned pattern, double line_c)
{
	struct runs_night some[SEVEN];
	size_t m = 0;
	double rho = 1;
	for (size_t i = 0; i < n; i++) {
		rho *= nights[i].rho;
		if (!(pattern >> i & 1))
			continue;
		some[m] = nights[i];
		some[m++].rho = rho;
		rho = 1;
	}
	return m == 0 ? 1 : runs_at_least(some, m, m, line_c);
}

/* Inclusion and exclusion: chances of counts from chances of "all of these" alone. */
START_TEST(inclusion_exclusion)
{
	for (size_t f = 0; f < COUNT(forecasts); f++) {
		size_t n = forecasts[f].n;
		struct runs_night nights[SEVEN];
		double exactly[SEVEN + 1] = {0};
		forecast_nights(&forecasts[f], RISING, nights);
		for (unsigned pattern = 0; pattern < 1u << n; pattern++) {
			double all = all_of(nights, n, pattern, 10);
			int m = __builtin_popcount(pattern);
			double choose = 1; /* sum over k <= m of (-1)^(m-k) C(m,k) all */
			for (int k = m; k >= 0; k--) {
				exactly[k] += ((m - k) % 2 ? -1 : 1) * choose * all;
				choose = choose * k / (m - k + 1);
			}
		}
		double at_least = 0;
		for (size_t k = n; k >= 1; k--) {
			at_least += exactly[k];
			ROW_NEAR(forecasts[f].name, runs_at_least(nights, n, k, 10), at_least, 1e-6);
		}
	}
}
END_TEST

/* Property: whatever rho is, the chances of at least 1 .. n add up to the nights to be expected. */
START_TEST(counts_add_up)
{
	for (int r = -90; r <= 90; r += 15)
		for (double line = 4; line <= 16; line += 2) {
			struct runs_night nights[SEVEN];
			even_rho(&forecasts[2], r / 100.0, nights);
			double sum = 0, before = 1;
			for (size_t k = 1; k <= SEVEN; k++) {
				double p = runs_at_least(nights, SEVEN, k, line);
				ROW_TRUE("falls with k", p <= before + 1e-9 && p >= 0);
				before = p;
				sum += p;
			}
			ROW_NEAR("sum of chances", sum, runs_expected(nights, SEVEN, line), SEVEN * 2e-6);
		}
}
END_TEST

/* Property: for rho >= 0 between the product and the least of the chances (Slepian 1962). */
START_TEST(bounds)
{
	for (size_t f = 0; f < COUNT(forecasts); f++) {
		double product = 1, least = 1, before = 0;
		for (size_t i = 0; i < forecasts[f].n; i++) {
			product *= forecasts[f].over[i];
			least = fmin(least, forecasts[f].over[i]);
		}
		for (int r = 0; r <= 100; r++) {
			struct runs_night nights[SEVEN];
			even_rho(&forecasts[f], r / 100.0, nights);
			double p = runs_at_least(nights, forecasts[f].n, forecasts[f].n, 10);
			ROW_TRUE(forecasts[f].name, p >= product - 1e-5 && p <= least + 1e-5 && p >= before - 1e-8);
			before = p;
		}
	}
}
END_TEST

/* A fortnight: the longest that plant-out asks for, and the most the recursion takes. */
START_TEST(long_runs)
{
	struct runs_night nights[RUNS_NIGHTS_MAX + 1];
	for (size_t i = 0; i < COUNT(nights); i++)
		nights[i] = (struct runs_night){2, 1, 0};
	double one = normal_over(-2);
	for (size_t n = 1; n <= RUNS_NIGHTS_MAX; n++) {
		ROW_NEAR("binomial, all", runs_at_least(nights, n, n, 0), pow(one, (double)n), 2e-6);
		ROW_NEAR("binomial, one", runs_at_least(nights, n, 1, 0), 1 - pow(1 - one, (double)n), 2e-6);
		ROW_NEAR("any under", runs_any_under(nights, n, 0), 1 - pow(one, (double)n), 2e-6);
	}
	ROW_TRUE("too many", isnan(runs_at_least(nights, RUNS_NIGHTS_MAX + 1, 1, 0)));
	ROW_TRUE("none", isnan(runs_at_least(nights, 0, 0, 0)));
}
END_TEST

/* The widest grid: every panel that the room is made for. */
START_TEST(steepest_rho)
{
	struct runs_night nights[RUNS_NIGHTS_MAX];
	for (int at = -56; at <= 56; at++) {
		for (size_t i = 0; i < RUNS_NIGHTS_MAX; i++)
			nights[i] = (struct runs_night){-at / 8.0, 1, i % 2 ? 0.99 : -0.99};
		double p = runs_at_least(nights, 3, 2, 0);
		ROW_TRUE("a chance", p >= 0 && p <= 1);
	}
}
END_TEST

static const struct {
	const char *name;
	double low, spread;
	double over, under;
} certain[] = {
    {"certain, over", 10.1, 0, 1, 0},       {"certain, under", 9.9, 0, 0, 1}, {"certain, on the line", 10, 0, 1, 1},
    {"nearly certain", 11, 1e-3, 1, 0},     {"no low", NONE, 1, NONE, NONE},  {"no spread", 10, NONE, NONE, NONE},
    {"spread under 0", 10, -1, NONE, NONE},
};

#define SAME(row, got, want) ROW_TRUE(row, isnan(want) ? isnan(got) : fabs((got) - (want)) < 5e-7)

START_TEST(certain_nights)
{
	struct runs_night mixed[3] = {{10, 2, 0}, {certain[_i].low, certain[_i].spread, .4}, {10, 2, .4}};
	const char *row = certain[_i].name;
	double over = certain[_i].over, under = certain[_i].under;
	SAME(row, runs_over(&mixed[1], 10), over);
	SAME(row, runs_under(&mixed[1], 10), under);
	SAME(row, runs_at_least(&mixed[1], 1, 1, 10), over);
	SAME(row, runs_any_under(&mixed[1], 1, 10), under);
	/* Beside it two nights two links apart, .16: Sheppard 1899. */
	double both = 0.25 + asin(.16) / (2 * M_PI);
	SAME(row, runs_at_least(mixed, 3, 3, 10), over * both);
	SAME(row, runs_at_least(mixed, 3, 2, 10), isnan(over) ? NONE : over > 0 ? 1 - both : both);
	SAME(row, runs_any_under(mixed, 3, 10), isnan(under) ? NONE : under > 0 ? 1 : 1 - both);
}
END_TEST

START_TEST(cannot_tell)
{
	struct runs_night nights[2] = {{10, 1, NONE}, {10, 1, .3}};
	ROW_TRUE("rho of the first night is not looked at", runs_at_least(nights, 2, 2, 10) > 0.29);
	ROW_TRUE("no line", isnan(runs_at_least(nights, 2, 2, NONE)));
	nights[1].rho = 1.01;
	ROW_TRUE("rho over 1", isnan(runs_at_least(nights, 2, 1, 10)));
	nights[1].rho = NONE;
	ROW_TRUE("no rho", isnan(runs_at_least(nights, 2, 1, 10)) && isnan(runs_any_under(nights, 2, 10)));
	nights[1].low_c = NONE;
	ROW_TRUE("one night missing", isnan(runs_expected(nights, 2, 10)));
}
END_TEST

static const struct {
	const char *name;
	double line_f, step_c, over_f, under_f;
} readings[] = {
    {"common practice: 50 F read in whole degrees", 50, RUNS_WHOLE_F_C, 49.5, 50.5},
    {"common practice: 32 F in tenths of C", 32, 0.1, 31.91, 32.09},
    {"a line that nobody reads", 32, 0, 32, 32},
};

START_TEST(reading_rule)
{
	double line_c = (readings[_i].line_f - 32) / 1.8, step_c = readings[_i].step_c;
	ROW_NEAR(readings[_i].name, runs_reads_over_c(line_c, step_c) * 1.8 + 32, readings[_i].over_f, 1e-12);
	ROW_NEAR(readings[_i].name, runs_reads_under_c(line_c, step_c) * 1.8 + 32, readings[_i].under_f, 1e-12);
}
END_TEST

#define LOOP(tc, fn, rows) tcase_add_loop_test(tc, fn, 0, COUNT(rows))

static Suite *suite(void)
{
	Suite *s = suite_create("runs");
	TCase *tc = tcase_create("runs");
	LOOP(tc, orthant_table, orthants);
	LOOP(tc, pair_table, pairs);
	tcase_add_test(tc, closed_forms);
	LOOP(tc, off_centre_pairs, off_centre);
	LOOP(tc, forecast_table, forecasts);
	LOOP(tc, count_table, counts);
	tcase_add_test(tc, independent_nights);
	tcase_add_test(tc, one_error_for_all);
	tcase_add_test(tc, inclusion_exclusion);
	tcase_add_test(tc, counts_add_up);
	tcase_add_test(tc, bounds);
	tcase_add_test(tc, long_runs);
	tcase_add_test(tc, steepest_rho);
	LOOP(tc, certain_nights, certain);
	tcase_add_test(tc, cannot_tell);
	LOOP(tc, reading_rule, readings);
	suite_add_tcase(s, tc);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
