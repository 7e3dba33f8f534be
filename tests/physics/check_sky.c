#include "physics/sky.h"

#include "lib/harness.h"

/* Brutsaert 1975, from the formula, e by WMO-No. 8; printed to 4 places. */
static const struct {
	const char *name;
	double t_c, e_hpa, want;
} clear[] = {
    {"Brutsaert -5 C, 80 %", -5, 3.377, 0.6638},  {"Brutsaert 0 C, 90 %", 0, 5.501, 0.7098},
    {"Brutsaert 5 C, 50 %", 5, 4.359, 0.6848},    {"Brutsaert 5 C, 80 %", 5, 6.974, 0.7324},
    {"Brutsaert 10 C, 50 %", 10, 6.130, 0.7172},  {"Brutsaert 10 C, 80 %", 10, 9.808, 0.7670},
    {"Brutsaert 15 C, 60 %", 15, 10.210, 0.7695}, {"Brutsaert 20 C, 60 %", 20, 13.996, 0.8030},
};

START_TEST(clear_sky)
{
	ROW_NEAR(clear[_i].name, sky_emissivity(clear[_i].e_hpa / 10, clear[_i].t_c, 0), clear[_i].want, 0.5001e-4);
}
END_TEST

/* Unsworth & Monteith 1975 from a clear 0.7324. */
static const struct {
	const char *name;
	double cloud, want;
} cloudy[] = {
    {"Unsworth & Monteith, clear", 0, 0.7324},
    {"Unsworth & Monteith, half", 0.5, 0.8448},
    {"Unsworth & Monteith, overcast", 1, 0.9572},
};

START_TEST(cloud)
{
	ROW_NEAR(cloudy[_i].name, sky_emissivity(0.6974, 5, cloudy[_i].cloud), cloudy[_i].want, 0.5001e-4);
}
END_TEST

/* Long waves down and net loss of a surface as warm as the air, W/m2; a published clear sky at 0 C sends about 230. */
static const struct {
	const char *name;
	double t_c, e_hpa, down, net;
} flux[] = {
    {"5 C, 80 %", 5, 6.974, 248.6, -88.1},
    {"0 C, 90 %", 0, 5.501, 224.1, -88.9},
    {"10 C, 50 %", 10, 6.130, 261.4, -100.0},
};

START_TEST(fluxes)
{
	double black = SKY_STEFAN_BOLTZMANN * pow(flux[_i].t_c + SKY_ZERO_K, 4);
	double sky = sky_emissivity(flux[_i].e_hpa / 10, flux[_i].t_c, 0);
	ROW_NEAR(flux[_i].name, sky * black, flux[_i].down, 0.05);
	ROW_NEAR(flux[_i].name, SKY_SURFACE_EMISSIVITY * (sky - 1) * black, flux[_i].net, 0.05);
}
END_TEST

START_TEST(bad)
{
	ROW_TRUE("no vapour known", isnan(sky_emissivity(NAN, 10, 0)));
	ROW_TRUE("vapour under 0", isnan(sky_emissivity(-0.1, 10, 0)));
	ROW_TRUE("no temperature", isnan(sky_emissivity(1, NAN, 0)));
	ROW_TRUE("no cloud known", isnan(sky_emissivity(1, 10, NAN)));
	ROW_TRUE("cloud over 1", isnan(sky_emissivity(1, 10, 1.01)));
	ROW_TRUE("cloud under 0", isnan(sky_emissivity(1, 10, -0.01)));
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("sky");
	TCase *tc = tcase_create("sky");
	tcase_add_loop_test(tc, clear_sky, 0, sizeof clear / sizeof *clear);
	tcase_add_loop_test(tc, cloud, 0, sizeof cloudy / sizeof *cloudy);
	tcase_add_loop_test(tc, fluxes, 0, sizeof flux / sizeof *flux);
	tcase_add_test(tc, bad);
	suite_add_tcase(s, tc);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
