#include "odds/normal.h"

#include "lib/harness.h"

/* Abramowitz & Stegun 1964: table 26.1 (P and Z to 15 decimals), 26.2 (-log10 Q to 5). */
static const struct {
	double z, under, density;
} table_26_1[] = {
    {0, 0.5, 0.398942280401433},
    {0.5, 0.691462461274013, 0.352065326764300},
    {1, 0.841344746068543, 0.241970724519143},
    {1.5, 0.933192798731142, 0.129517595665892},
    {2, 0.977249868051821, 0.053990966513188},
    {2.5, 0.993790334674224, 0.017528300493569},
    {3, 0.998650101968370, 0.004431848411938},
};

START_TEST(under_and_over)
{
	double z = table_26_1[_i].z, p = table_26_1[_i].under;
	ROW_NEAR("A&S 26.1: P", normal_under(z), p, 6e-16);
	ROW_NEAR("A&S 26.1: Q(x) = 1 - P(x)", normal_over(z), 1 - p, 6e-16);
	ROW_NEAR("A&S 26.2.5: P(-x) = Q(x)", normal_under(-z), 1 - p, 6e-16);
	ROW_NEAR("A&S 26.2.5: Q(-x) = P(x)", normal_over(-z), p, 6e-16);
	ROW_NEAR("A&S 26.1: Z", normal_density(z), table_26_1[_i].density, 6e-16);
	ROW_NEAR("A&S 26.1 backwards", normal_quantile(p), z, 1e-12);
	ROW_NEAR("A&S 26.1 backwards, other tail", normal_quantile(1 - p), -z, 1e-12);
}
END_TEST

static const struct {
	double z, minus_log;
} table_26_2[] = {{5, 6.54265}, {10, 23.11805}, {20, 88.56010}};

START_TEST(tails)
{
	double z = table_26_2[_i].z;
	ROW_NEAR("A&S 26.2", -log10(normal_over(z)), table_26_2[_i].minus_log, 5e-6);
	ROW_NEAR("A&S 26.2", -log10(normal_under(-z)), table_26_2[_i].minus_log, 5e-6);
	ROW_NEAR("A&S 26.2 backwards", normal_quantile(normal_over(z)), -z, 1e-12 * z);
}
END_TEST

static const struct {
	const char *name;
	double p, z, tol;
} quantiles[] = {
    {"Wichura 1988, AS 241, p 0.25", 0.25, -0.6744897501960817, 1e-14},
    {"Wichura 1988, AS 241, p 0.001", 0.001, -3.090232306167814, 1e-14},
    {"Wichura 1988, AS 241, p 1e-20", 1e-20, -9.262340089798408, 1e-13},
    {"A&S 26.5, Q 0.1", 0.9, 1.28155, 5e-6},
    {"A&S 26.5, Q 0.05", 0.95, 1.64485, 5e-6},
    {"A&S 26.5, Q 0.025", 0.975, 1.95996, 5e-6},
    {"A&S 26.5, Q 0.01", 0.99, 2.32635, 5e-6},
    {"A&S 26.5, Q 0.005", 0.995, 2.57583, 5e-6},
    {"A&S 26.5, Q 0.001", 0.999, 3.09023, 5e-6},
    {"derived here: to seven places", 0.9, 1.2815516, 5e-8},
    {"derived here: the median", 0.5, 0, 1e-15},
};

START_TEST(quantile_rows)
{
	ROW_NEAR(quantiles[_i].name, normal_quantile(quantiles[_i].p), quantiles[_i].z, quantiles[_i].tol);
}
END_TEST

/* Property: the quantile undoes the distribution, rises, and is odd about one half. */
START_TEST(quantile_undoes)
{
	double before = -HUGE_VAL;
	for (int i = 1; i < 20000; i++) {
		double p = i / 20000.0, z = normal_quantile(p);
		ROW_NEAR("there and back", normal_under(z), p, 1e-15);
		ROW_NEAR("odd", normal_quantile(1 - p), -z, 1e-11);
		ROW_TRUE("rises", z > before);
		before = z;
	}
	for (int e = -300; e < 0; e++) {
		double p = pow(10, e);
		ROW_NEAR("far tail, relative", normal_under(normal_quantile(p)) / p, 1, 1e-11);
	}
}
END_TEST

START_TEST(ends)
{
	ROW_TRUE("0", normal_quantile(0) == -HUGE_VAL && normal_quantile(1) == HUGE_VAL);
	ROW_TRUE("outside", isnan(normal_quantile(-0.01)) && isnan(normal_quantile(1.01)));
	ROW_TRUE("NaN", isnan(normal_quantile((double)NAN)) && isnan(normal_under((double)NAN)) &&
			    isnan(normal_over((double)NAN)) && isnan(normal_density((double)NAN)));
	ROW_TRUE("infinities", normal_under(HUGE_VAL) == 1 && normal_over(HUGE_VAL) == 0 &&
				   normal_under(-HUGE_VAL) == 0 && normal_density(HUGE_VAL) == 0);
}
END_TEST

#define LOOP(tc, fn, rows) tcase_add_loop_test(tc, fn, 0, sizeof(rows) / sizeof *(rows))

static Suite *suite(void)
{
	Suite *s = suite_create("normal");
	TCase *tc = tcase_create("normal");
	LOOP(tc, under_and_over, table_26_1);
	LOOP(tc, tails, table_26_2);
	LOOP(tc, quantile_rows, quantiles);
	tcase_add_test(tc, quantile_undoes);
	tcase_add_test(tc, ends);
	suite_add_tcase(s, tc);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
