#include "plant/degree.h"

#include "lib/harness.h"

#define NONE ((double)NAN)

/* McMaster & Wilhelm 1997, table 1, base 0 C: readings 1 and 2; printed sums 46.5 and 51.0. */
static const struct {
	double tmax, tmin, mean, ends;
} mcmaster[] = {
    {20, 10, 15, 15}, {10, 1, 5.5, 5.5}, {8, -2, 3, 4},   {6, 0, 3, 3},   {10, 5, 7.5, 7.5},
    {5, -5, 0, 2.5},  {-2, -7, 0, 0},    {-5, -10, 0, 0}, {10, -2, 4, 5}, {15, 2, 8.5, 8.5},
};

START_TEST(mcmaster_table)
{
	const struct degree_rule mean = {0, NONE, DEGREE_AVERAGE_MEAN, DEGREE_NO_CUTOFF};
	const struct degree_rule ends = {0, NONE, DEGREE_AVERAGE_ENDS, DEGREE_NO_CUTOFF};
	double sum_mean = 0, sum_ends = 0;

	for (size_t i = 0; i < sizeof mcmaster / sizeof *mcmaster; i++) {
		double m = degree_day(&mean, mcmaster[i].tmin, mcmaster[i].tmax, NONE);
		double e = degree_day(&ends, mcmaster[i].tmin, mcmaster[i].tmax, NONE);
		ROW_NEAR("reading 1", m, mcmaster[i].mean, 1e-12);
		ROW_NEAR("reading 2", e, mcmaster[i].ends, 1e-12);
		sum_mean += m;
		sum_ends += e;
	}
	ROW_NEAR("reading 1, sum", sum_mean, 46.5, 1e-12);
	ROW_NEAR("reading 2, sum", sum_ends, 51.0, 1e-12);
}
END_TEST

/* Both thresholds, by hand from the three readings; the last five in Fahrenheit. */
static const struct {
	const char *name;
	double tmin, tmax, base, cap, mean, ends, high;
} averages[] = {
    {"4,24", 4, 24, 10, 30, 4, 7, 4},          {"16,36", 16, 36, 10, 30, 16, 13, 13},
    {"6,38", 6, 38, 10, 30, 12, 10, 8},        {"32,40", 32, 40, 10, 30, 20, 20, 20},
    {"45,75 F", 45, 75, 50, 86, 10, 12.5, 10}, {"60,95 F", 60, 95, 50, 86, 27.5, 23, 23},
    {"40,92 F", 40, 92, 50, 86, 16, 18, 13},   {"40,55 F", 40, 55, 50, 86, 0, 2.5, 0},
    {"45,48 F", 45, 48, 50, 86, 0, 0, 0},
};

START_TEST(average_thresholds)
{
	const double want[] = {averages[_i].mean, averages[_i].ends, averages[_i].high};
	for (int i = 0; i < 3; i++) {
		struct degree_rule r = {averages[_i].base, averages[_i].cap,
					DEGREE_AVERAGE_MEAN + (enum degree_method)i, DEGREE_HORIZONTAL};
		ROW_NEAR(averages[_i].name, degree_day(&r, averages[_i].tmin, averages[_i].tmax, NONE), want[i], 1e-12);
	}
}
END_TEST

/*
 * Zalom et al. 1983, table 7: 55 and 90 F, horizontal.  Order here: single sine, single triangle,
 * double sine, double triangle.  The paper prints 24.88 where 27.125 stands (see misprint).
 */
static const struct {
	double tmin, tmax, next;
	double want[4];
} zalom[] = {
    {96, 110, 91, {35, 35, 35, 35}},
    {91, 105, 96, {35, 35, 35, 35}},
    {45, 54, 38, {0, 0, 0, 0}},
    {38, 50, 45, {0, 0, 0, 0}},
    {60, 80, 75, {15, 15, 18.75, 18.75}},
    {75, 88, 60, {26.5, 26.5, 22.75, 22.75}},
    {50, 82, 45, {11.85, 11.39, 11.31, 10.62}},
    {45, 70, 50, {5.31, 4.5, 5.70, 5.06}},
    {60, 100, 75, {22.82, 23.75, 26.26, 27.125}},
    {75, 95, 60, {28.91, 29.38, 25.30, 25.76}},
    {50, 101, 48, {18.95, 19.56, 18.69, 19.19}},
    {48, 95, 50, {16.96, 16.76, 17.23, 17.13}},
};

static const enum degree_method zalom_methods[] = {DEGREE_SINE, DEGREE_TRIANGLE, DEGREE_SINE_DOUBLE,
						   DEGREE_TRIANGLE_DOUBLE};

START_TEST(zalom_table)
{
	for (int i = 0; i < 4; i++) {
		struct degree_rule r = {55, 90, zalom_methods[i], DEGREE_HORIZONTAL};
		ROW_NEAR("Zalom table 7", degree_day(&r, zalom[_i].tmin, zalom[_i].tmax, zalom[_i].next),
			 zalom[_i].want[i], 0.0101);
	}
}
END_TEST

/* The one cell of Zalom's table that is misprinted: 60-100 F, then 75 F, double triangle. */
START_TEST(misprint)
{
	const struct degree_rule r = {55, 90, DEGREE_TRIANGLE_DOUBLE, DEGREE_HORIZONTAL};
	double got = degree_day(&r, 60, 100, 75);
	ROW_TRUE("misprint", fabs(got - 24.88) > 2);
	ROW_NEAR("by hand: (23.75 + 30.5) / 2", got, 27.125, 1e-9);
}
END_TEST

/*
 * Closed form and 400,000-step midpoint integration, independent of this code and of each other,
 * agree on these within 6e-5.  Rows 35 to 41 in Fahrenheit.
 */
static const struct {
	const char *name;
	double tmin, tmax, next;
	struct degree_rule rule;
	double want;
} rows[] = {
    {"check row 1", 32, 40, NONE, {10, 30, DEGREE_SINE, DEGREE_HORIZONTAL}, 20.0000},
    {"check row 2", 32, 40, NONE, {10, 30, DEGREE_SINE, DEGREE_INTERMEDIATE}, 14.0000},
    {"check row 3", 32, 40, NONE, {10, 30, DEGREE_SINE, DEGREE_VERTICAL}, 0.0000},
    {"check row 4 horizontal", 2, 9, NONE, {10, 30, DEGREE_SINE, DEGREE_HORIZONTAL}, 0.0000},
    {"check row 4 vertical", 2, 9, NONE, {10, 30, DEGREE_SINE, DEGREE_VERTICAL}, 0.0000},
    {"check row 4 intermediate", 2, 9, NONE, {10, 30, DEGREE_SINE, DEGREE_INTERMEDIATE}, 0.0000},
    {"check row 4 intermediate_floored", 2, 9, NONE, {10, 30, DEGREE_SINE, DEGREE_INTERMEDIATE_FLOORED}, 0.0000},
    {"check row 5 horizontal", 12, 28, NONE, {10, 30, DEGREE_SINE, DEGREE_HORIZONTAL}, 10.0000},
    {"check row 5 vertical", 12, 28, NONE, {10, 30, DEGREE_SINE, DEGREE_VERTICAL}, 10.0000},
    {"check row 5 intermediate", 12, 28, NONE, {10, 30, DEGREE_SINE, DEGREE_INTERMEDIATE}, 10.0000},
    {"check row 5 intermediate_floored", 12, 28, NONE, {10, 30, DEGREE_SINE, DEGREE_INTERMEDIATE_FLOORED}, 10.0000},
    {"check row 6 horizontal", 4, 24, NONE, {10, 30, DEGREE_SINE, DEGREE_HORIZONTAL}, 5.4413},
    {"check row 6 vertical", 4, 24, NONE, {10, 30, DEGREE_SINE, DEGREE_VERTICAL}, 5.4413},
    {"check row 6 intermediate", 4, 24, NONE, {10, 30, DEGREE_SINE, DEGREE_INTERMEDIATE}, 5.4413},
    {"check row 6 intermediate_floored", 4, 24, NONE, {10, 30, DEGREE_SINE, DEGREE_INTERMEDIATE_FLOORED}, 5.4413},
    {"check row 7", 16, 36, NONE, {10, 30, DEGREE_SINE, DEGREE_HORIZONTAL}, 14.5587},
    {"check row 8", 16, 36, NONE, {10, 30, DEGREE_SINE, DEGREE_INTERMEDIATE}, 13.1174},
    {"check row 9", 16, 36, NONE, {10, 30, DEGREE_SINE, DEGREE_VERTICAL}, 7.1785},
    {"check row 10", 6, 38, NONE, {10, 30, DEGREE_SINE, DEGREE_HORIZONTAL}, 10.8641},
    {"check row 11", 6, 38, NONE, {10, 30, DEGREE_SINE, DEGREE_INTERMEDIATE}, 9.1201},
    {"check row 12", 6, 38, NONE, {10, 30, DEGREE_SINE, DEGREE_VERTICAL}, 4.1974},
    {"check row 13", 5, 20, NONE, {10, NONE, DEGREE_SINE, DEGREE_NO_CUTOFF}, 3.7712},
    {"check row 14", 9.5, 10.5, NONE, {10, 30, DEGREE_SINE, DEGREE_HORIZONTAL}, 0.1592},
    {"check row 15", -3, 11, NONE, {10, 30, DEGREE_SINE, DEGREE_HORIZONTAL}, 0.1143},
    {"check row 16", 16, 36, NONE, {10, 30, DEGREE_TRIANGLE, DEGREE_HORIZONTAL}, 15.1000},
    {"check row 17", 16, 36, NONE, {10, 30, DEGREE_TRIANGLE, DEGREE_INTERMEDIATE}, 14.2000},
    {"check row 18", 16, 36, NONE, {10, 30, DEGREE_TRIANGLE, DEGREE_VERTICAL}, 9.1000},
    {"check row 19", 6, 38, NONE, {10, 30, DEGREE_TRIANGLE, DEGREE_HORIZONTAL}, 11.2500},
    {"check row 20", 6, 38, NONE, {10, 30, DEGREE_TRIANGLE, DEGREE_INTERMEDIATE}, 10.2500},
    {"check row 21", 6, 38, NONE, {10, 30, DEGREE_TRIANGLE, DEGREE_VERTICAL}, 6.2500},
    {"check row 22", 4, 24, NONE, {10, 30, DEGREE_TRIANGLE, DEGREE_HORIZONTAL}, 4.9000},
    {"check row 23", 4, 24, 9, {10, 30, DEGREE_SINE_DOUBLE, DEGREE_HORIZONTAL}, 6.0258},
    {"check row 24", 6, 38, 18, {10, 30, DEGREE_SINE_DOUBLE, DEGREE_HORIZONTAL}, 13.3085},
    {"check row 25", 6, 38, 18, {10, 30, DEGREE_SINE_DOUBLE, DEGREE_INTERMEDIATE}, 11.3131},
    {"check row 26", 6, 38, 18, {10, 30, DEGREE_SINE_DOUBLE, DEGREE_VERTICAL}, 5.6162},
    {"check row 27", 6, 38, 18, {10, 30, DEGREE_TRIANGLE_DOUBLE, DEGREE_HORIZONTAL}, 13.8250},
    {"check row 28", 6, 38, 18, {10, 30, DEGREE_TRIANGLE_DOUBLE, DEGREE_INTERMEDIATE}, 12.5250},
    {"check row 29", 6, 38, 18, {10, 30, DEGREE_TRIANGLE_DOUBLE, DEGREE_VERTICAL}, 7.3250},
    {"check row 30", 4, 24, 9, {10, 30, DEGREE_TRIANGLE_DOUBLE, DEGREE_HORIZONTAL}, 5.7167},
    {"check row 31", 7, 23, NONE, {8, 32, DEGREE_SINE, DEGREE_HORIZONTAL}, 7.1068},
    {"check row 32", 11, 35, NONE, {8, 32, DEGREE_SINE, DEGREE_HORIZONTAL}, 14.5440},
    {"check row 33", 11, 35, NONE, {8, 32, DEGREE_SINE, DEGREE_INTERMEDIATE}, 14.0879},
    {"check row 34", 5, 36, NONE, {8, 32, DEGREE_SINE, DEGREE_VERTICAL}, 6.6682},
    {"check row 35", 45, 75, NONE, {50, 86, DEGREE_SINE, DEGREE_HORIZONTAL}, 10.8816},
    {"check row 36", 60, 95, NONE, {50, 86, DEGREE_SINE, DEGREE_HORIZONTAL}, 25.5086},
    {"check row 37", 60, 95, NONE, {50, 86, DEGREE_SINE, DEGREE_INTERMEDIATE}, 23.5171},
    {"check row 38", 60, 95, NONE, {50, 86, DEGREE_SINE, DEGREE_VERTICAL}, 13.3204},
    {"check row 39", 40, 92, NONE, {50, 86, DEGREE_SINE, DEGREE_HORIZONTAL}, 17.0240},
    {"check row 40", 40, 92, NONE, {50, 86, DEGREE_SINE, DEGREE_INTERMEDIATE}, 16.1487},
    {"check row 41", 40, 92, NONE, {50, 86, DEGREE_SINE, DEGREE_VERTICAL}, 9.0810},
    {"check row 42", 20, 55, NONE, {10, 30, DEGREE_SINE, DEGREE_INTERMEDIATE}, 7.8194},
    {"check row 43", 20, 55, NONE, {10, 30, DEGREE_SINE, DEGREE_INTERMEDIATE_FLOORED}, 8.6335},
    /* degree_days help page of the TrenchR library prints 0.47 and 0.29; exact values. */
    {"TrenchR sine", 7, 14, NONE, {12, 33, DEGREE_SINE, DEGREE_HORIZONTAL}, 0.4681},
    {"TrenchR triangle", 7, 14, NONE, {12, 33, DEGREE_TRIANGLE, DEGREE_HORIZONTAL}, 0.2857},
};

START_TEST(check_rows)
{
	ROW_NEAR(rows[_i].name, degree_day(&rows[_i].rule, rows[_i].tmin, rows[_i].tmax, rows[_i].next), rows[_i].want,
		 6e-5);
}
END_TEST

/* Fahrenheit degree days turn into Celsius by 1/1.8, with no 32 in it (row 35: 6.0453). */
START_TEST(fahrenheit)
{
	const struct degree_rule f = {50, 86, DEGREE_SINE, DEGREE_HORIZONTAL};
	const struct degree_rule c = {10, 30, DEGREE_SINE, DEGREE_HORIZONTAL};
	ROW_NEAR("row 35", degree_day(&f, 45, 75, NONE) / 1.8, 6.0453, 6e-5);
	ROW_NEAR("row 35", degree_day(&c, (45 - 32) / 1.8, (75 - 32) / 1.8, NONE), 6.0453, 6e-5);
}
END_TEST

/* Single sine, horizontal, computed independently; empty cells have the low over the high. */
static const double grid_f_low[] = {30, 40, 45, 50, 55, 60, 65, 70, 80};
static const struct {
	double tmax;
	double want[9];
} grid_f[] = {
    {55, {0.97, 1.27, 1.59, 2.50, 5.00, NONE, NONE, NONE, NONE}},
    {60, {2.54, 3.18, 3.77, 5.00, 7.50, 10.00, NONE, NONE, NONE}},
    {70, {6.37, 7.54, 8.47, 10.00, 12.50, 15.00, 17.50, 20.00, NONE}},
    {80, {10.62, 12.18, 13.31, 15.00, 17.50, 20.00, 22.50, 25.00, 30.00}},
    {90, {14.64, 16.45, 17.70, 19.46, 21.92, 24.37, 26.81, 29.22, 33.88}},
    {100, {16.97, 18.82, 20.06, 21.76, 24.07, 26.35, 28.57, 30.71, 34.56}},
    {110, {18.59, 20.43, 21.64, 23.26, 25.43, 27.54, 29.57, 31.51, 34.84}},
};
static const double grid_c_low[] = {0, 4, 8, 10, 12, 16, 20};
static const struct {
	double tmax;
	double want[7];
} grid_c[] = {
    {14, {0.94, 1.12, 1.51, 2.00, 3.00, NONE, NONE}},       {18, {2.38, 2.75, 3.39, 4.00, 5.00, 7.00, NONE}},
    {22, {4.02, 4.53, 5.33, 6.00, 7.00, 9.00, 11.00}},      {26, {5.75, 6.37, 7.29, 8.00, 9.00, 11.00, 13.00}},
    {30, {7.54, 8.25, 9.26, 10.00, 11.00, 13.00, 15.00}},   {34, {8.79, 9.53, 10.56, 11.29, 12.26, 14.18, 16.06}},
    {38, {9.65, 10.40, 11.42, 12.13, 13.05, 14.87, 16.62}},
};

static void grid_cell(const char *name, const struct degree_rule *r, double tmin, double tmax, double want)
{
	double got = degree_day(r, tmin, tmax, NONE);
	if (tmin > tmax)
		ROW_TRUE(name, isnan(got));
	else if (!isnan(want))
		ROW_NEAR(name, got, want, 0.005001);
}

START_TEST(grids)
{
	const struct degree_rule f = {50, 86, DEGREE_SINE, DEGREE_HORIZONTAL};
	const struct degree_rule c = {10, 30, DEGREE_SINE, DEGREE_HORIZONTAL};
	for (size_t i = 0; i < sizeof grid_f / sizeof *grid_f; i++)
		for (size_t k = 0; k < sizeof grid_f_low / sizeof *grid_f_low; k++)
			grid_cell("50/86 F", &f, grid_f_low[k], grid_f[i].tmax, grid_f[i].want[k]);
	for (size_t i = 0; i < sizeof grid_c / sizeof *grid_c; i++)
		for (size_t k = 0; k < sizeof grid_c_low / sizeof *grid_c_low; k++)
			grid_cell("10/30 C", &c, grid_c_low[k], grid_c[i].tmax, grid_c[i].want[k]);
}
END_TEST

/*
 * The single sine written out in its six cases (Zalom et al. 1983 for the horizontal cut-off, the others
 * derived): L base, U cap, M mean, a half range, p and q the angles of base and cap.
 */
static double six_cases(double lo, double hi, double L, double U, enum degree_cutoff cutoff)
{
	double M = (lo + hi) / 2, a = (hi - lo) / 2, half = M_PI / 2;
	bool V = cutoff == DEGREE_VERTICAL, I = cutoff == DEGREE_INTERMEDIATE;

	if (lo >= U)
		return V ? 0 : I ? fmax(0, 2 * U - L - M) : U - L;
	if (hi <= L)
		return 0;
	if (lo >= L && hi <= U)
		return M - L;
	double p = asin((L - M) / a), q = asin((U - M) / a), sum = 0;
	if (hi <= U)
		return ((M - L) * (half - p) + a * cos(p)) / M_PI;
	if (lo >= L)
		sum = (M - L) * (q + half) - (I ? 2 : 1) * a * cos(q);
	else
		sum = (M - L) * (q - p) + a * (cos(p) - (I ? 2 : 1) * cos(q));
	double above = V ? 0 : I ? 2 * U - L - M : U - L;
	return fmax(0, (sum + above * (half - q)) / M_PI);
}

START_TEST(six_cases_agree)
{
	const enum degree_cutoff cutoffs[] = {DEGREE_HORIZONTAL, DEGREE_VERTICAL, DEGREE_INTERMEDIATE};
	for (int lo = -20; lo <= 50; lo++) {
		for (int hi = lo; hi <= 70; hi++) {
			for (int k = 0; k < 3; k++) {
				struct degree_rule r = {10, 30, DEGREE_SINE, cutoffs[k]};
				ROW_NEAR("six cases", degree_day(&r, lo * 0.9, hi * 0.9, NONE),
					 six_cases(lo * 0.9, hi * 0.9, 10, 30, cutoffs[k]), 1e-9);
			}
		}
	}
}
END_TEST

/* The rate by its definition, and the mean of it over a day sampled finely: both shapes, every cut-off. */
static double defined_rate(double t, double L, double U, enum degree_cutoff cutoff)
{
	if (t <= L)
		return 0;
	if (t <= U || cutoff == DEGREE_NO_CUTOFF)
		return t - L;
	if (cutoff == DEGREE_HORIZONTAL)
		return U - L;
	if (cutoff == DEGREE_VERTICAL)
		return 0;
	return cutoff == DEGREE_INTERMEDIATE ? 2 * U - L - t : fmax(0, 2 * U - L - t);
}

static double integral(double lo, double hi, enum degree_method shape, enum degree_cutoff cutoff)
{
	enum { STEPS = 20000 };
	double sum = 0;
	for (int i = 0; i < STEPS; i++) {
		double x = (i + 0.5) / STEPS; /* half a period: from low to high */
		double up = shape == DEGREE_SINE ? (1 - cos(M_PI * x)) / 2 : x;
		sum += defined_rate(lo + up * (hi - lo), 10, 30, cutoff);
	}
	return fmax(0, sum / STEPS);
}

START_TEST(integrals_agree)
{
	const enum degree_method shapes[] = {DEGREE_SINE, DEGREE_TRIANGLE};
	for (int lo = -5; lo <= 40; lo += 9) {
		for (int hi = lo; hi <= 66; hi += 7) {
			for (int k = 0; k < 2 * DEGREE_CUTOFFS; k++) {
				struct degree_rule r = {10, 30, shapes[k % 2], (enum degree_cutoff)(k / 2)};
				ROW_NEAR("integral", degree_day(&r, lo, hi, NONE), integral(lo, hi, r.method, r.cutoff),
					 0.002);
			}
		}
	}
}
END_TEST

/* What must hold whatever the numbers: between vertical and none, double of equal lows is single, no negative. */
START_TEST(orderly)
{
	for (int lo = -20; lo <= 50; lo += 3) {
		for (int hi = lo; hi <= 60; hi += 2) {
			double by[DEGREE_CUTOFFS];
			for (int k = 0; k < DEGREE_CUTOFFS; k++) {
				struct degree_rule one = {10, 30, DEGREE_SINE, (enum degree_cutoff)k};
				struct degree_rule two = {10, 30, DEGREE_SINE_DOUBLE, (enum degree_cutoff)k};
				by[k] = degree_day(&one, lo, hi, NONE);
				ROW_TRUE("not negative", by[k] >= 0);
				ROW_NEAR("no tomorrow", degree_day(&two, lo, hi, NONE), by[k], 0);
				ROW_NEAR("same low", degree_day(&two, lo, hi, lo), by[k], 0);
			}
			ROW_TRUE("none >= horizontal", by[DEGREE_NO_CUTOFF] >= by[DEGREE_HORIZONTAL]);
			ROW_TRUE("horizontal >= floored",
				 by[DEGREE_HORIZONTAL] >= by[DEGREE_INTERMEDIATE_FLOORED] - 1e-12);
			ROW_TRUE("floored >= plain",
				 by[DEGREE_INTERMEDIATE_FLOORED] >= by[DEGREE_INTERMEDIATE] - 1e-12);
			ROW_TRUE("floored >= vertical", by[DEGREE_INTERMEDIATE_FLOORED] >= by[DEGREE_VERTICAL] - 1e-12);
			if (hi <= 50)
				ROW_NEAR("the same up to 2 cap - base", by[DEGREE_INTERMEDIATE],
					 by[DEGREE_INTERMEDIATE_FLOORED], 1e-12);
		}
	}
}
END_TEST

START_TEST(refused)
{
	struct degree_rule r = {10, 30, DEGREE_SINE, DEGREE_HORIZONTAL};
	ROW_TRUE("NaN low", isnan(degree_day(&r, NONE, 20, NONE)));
	ROW_TRUE("NaN high", isnan(degree_day(&r, 5, NONE, NONE)));
	ROW_TRUE("infinite", isnan(degree_day(&r, 5, HUGE_VAL, NONE)));
	ROW_TRUE("low over high", isnan(degree_day(&r, 21, 20, NONE)));
	r.cap_c = 10;
	ROW_TRUE("cap at base", isnan(degree_day(&r, 5, 20, NONE)) && !degree_rule_ok(&r));
	r.cutoff = DEGREE_NO_CUTOFF;
	ROW_TRUE("a cap that is not used", degree_rule_ok(&r));
	r = (struct degree_rule){10, NONE, DEGREE_SINE, DEGREE_VERTICAL};
	ROW_NEAR("no cap (row 13)", degree_day(&r, 5, 20, NONE), 3.7712, 6e-5);
	r = (struct degree_rule){NONE, 30, DEGREE_SINE, DEGREE_HORIZONTAL};
	ROW_TRUE("no base", isnan(degree_day(&r, 5, 20, NONE)));
	r = (struct degree_rule){10, 30, DEGREE_AVERAGE_MEAN, DEGREE_VERTICAL};
	ROW_TRUE("average with vertical cut-off", isnan(degree_day(&r, 5, 20, NONE)) && !degree_rule_ok(&r));
}
END_TEST

#define LOOP(c, test, rows) tcase_add_loop_test(c, test, 0, (int)(sizeof(rows) / sizeof *(rows)))

static Suite *suite(void)
{
	Suite *s = suite_create("degree");
	TCase *c = tcase_create("a day from its extremes");
	tcase_add_test(c, mcmaster_table);
	LOOP(c, average_thresholds, averages);
	LOOP(c, zalom_table, zalom);
	tcase_add_test(c, misprint);
	LOOP(c, check_rows, rows);
	tcase_add_test(c, fahrenheit);
	tcase_add_test(c, grids);
	tcase_add_test(c, six_cases_agree);
	tcase_add_test(c, integrals_agree);
	tcase_add_test(c, orderly);
	tcase_add_test(c, refused);
	suite_add_tcase(s, c);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
