#include "physics/wind.h"

#include "lib/harness.h"

static const double NONE = (double)NAN;

static const struct {
	const char *name;
	double from_m, to_m, factor, tol;
} factors[] = {
    {"FAO-56 (Allen et al. 1998) example 14, printed", 10, 2, 0.75, 0.005},
    {"FAO-56 eq. 47 in double precision, 10 m", 10, 2, 0.747951, 0.0000005},
    {"FAO-56 eq. 47 in double precision, 3 m", 3, 2, 0.920924, 0.0000005},
    {"FAO-56 eq. 47 in double precision, 1 m", 1, 2, 1.178251, 0.0000005},
    {"ASCE-EWRI 2005 app. C, Greeley, wind at 3 m", 3, 2, 0.921, 0.0005},
    {"RefET's test data of Fallon 2015-07-01, 2.145792 m/s at 3 m", 3, 2, 1.97611176 / 2.145792, 5e-9},
    {"grass with displacement 0.08 m and roughness 0.01476 m, 10 to 0.3 m", 10, 0.3, 0.41498, 0.0002},
};

START_TEST(published)
{
	ROW_NEAR(factors[_i].name, wind_factor(factors[_i].from_m, factors[_i].to_m), factors[_i].factor,
		 factors[_i].tol);
}
END_TEST

/* Printed results of whole winds. */
START_TEST(winds)
{
	ROW_NEAR("FAO-56 example 14", wind_at(3.2, 10, 2), 2.4, 0.05);
	ROW_NEAR("FAO-56 example 14 in double precision", wind_at(3.2, 10, 2), 2.39344, 0.000005);
	ROW_NEAR("FAO-56 example 18, 10 km/h", wind_at(10 / 3.6, 10, 2), 2.078, 0.0005);
	ROW_NEAR("Fallon", wind_at(2.145792, 3, 2), 1.97611176, 5e-9);
}
END_TEST

START_TEST(profile_is_sound)
{
	double before = 0;
	for (int dm = 1; dm <= 1000; dm++) {
		double z = dm / 10.0, up = wind_factor(2, z);
		ROW_TRUE("more wind higher up", up > before);
		ROW_NEAR("there and back", up * wind_factor(z, 2), 1, 1e-12);
		ROW_NEAR("by a third height", wind_factor(2, 7.3) * wind_factor(7.3, z), up, 1e-9 * up);
		ROW_TRUE("same height", wind_factor(z, z) == 1);
		/* FAO-56's 4.87 is ln(67.8 x 2 - 5.42) rounded: no step is seen at 2 m. */
		if (dm > 19 && dm < 22)
			ROW_NEAR("about 2 m", up, 1, 0.02);
		before = up;
	}
}
END_TEST

START_TEST(nothing_from_nothing)
{
	ROW_TRUE("NaN", isnan(wind_factor(NONE, 2)) && isnan(wind_factor(10, NONE)));
	ROW_TRUE("on the ground", isnan(wind_factor(0, 2)) && isnan(wind_factor(10, 0)) && isnan(wind_factor(-3, 2)));
	ROW_TRUE("in the grass", isnan(wind_factor(0.09, 2)));
	ROW_TRUE("negative wind", isnan(wind_at(-0.1, 10, 2)));
	ROW_TRUE("NaN", isnan(wind_at(NONE, 10, 2)));
	ROW_NEAR("calm", wind_at(0, 10, 2), 0, 0);
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("wind");
	TCase *c = tcase_create("wind");
	tcase_add_loop_test(c, published, 0, (int)(sizeof factors / sizeof *factors));
	tcase_add_test(c, winds);
	tcase_add_test(c, profile_is_sound);
	tcase_add_test(c, nothing_from_nothing);
	suite_add_tcase(s, c);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
