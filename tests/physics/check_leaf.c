#include "physics/leaf.h"

#include <stddef.h>

#include "lib/harness.h"
#include "physics/leafday.h"

#define MOCK_M 0.07 /* the standard mock leaf */

/* 1e-5 relative, or half a unit of the last of so many printed places. */
static double tolerance(double want, int places)
{
	return fmax(1e-5 * fabs(want), 0.5001 * pow(10, -places));
}

/* Computed twice, in two languages, from the formulas; a leaf of 0.07 m with the resistance 307 sqrt(d / u). */
static const struct {
	const char *name;
	double t_c, rh, u10, rs, cloud, net, latent, mm;
} vector[] = {
    {"15 C 95 % 1.5 m/s clear", 15, 95, 1.5, 0, 0, -67.5199, -22.7636, -0.033449},
    {"15 C 95 % 1.5 m/s overcast", 15, 95, 1.5, 0, 1, -10.8032, 8.5446, 0.012555},
    {"15 C 85 % 1.5 m/s clear", 15, 85, 1.5, 0, 0, -72.4330, 3.5403, 0.005202},
    {"20 C 90 % 1 m/s clear", 20, 90, 1.0, 0, 0, -60.4680, -7.0673, -0.010385},
    {"20 C 90 % 6 m/s clear", 20, 90, 6.0, 0, 0, -60.4680, 21.4849, 0.031570},
    {"20 C 75 % 1 m/s clear", 20, 75, 1.0, 0, 0, -69.3568, 31.2913, 0.045979},
    {"20 C 80 % 2 m/s, sun 300", 20, 80, 2.0, 300, 0, 83.7633, 129.2010, 0.189846},
    {"25 C 50 % 3 m/s, sun 700", 25, 50, 3.0, 700, 0.2, 283.2117, 456.7285, 0.671111},
    {"8 C 100 % 0.5 m/s clear", 8, 100, 0.5, 0, 0, -76.4113, -32.5465, -0.047823},
};

START_TEST(vectors)
{
	struct leaf_env env = leafday_env(vector[_i].t_c, vector[_i].rh, vector[_i].rs, vector[_i].cloud);
	struct leaf_heat heat = leaf_balance(&env, leafday_exchange(leafday_wind(vector[_i].u10), MOCK_M));
	const char *name = vector[_i].name;

	ROW_NEAR(name, heat.net_wm2, vector[_i].net, tolerance(vector[_i].net, 4));
	ROW_NEAR(name, heat.latent_wm2, vector[_i].latent, tolerance(vector[_i].latent, 4));
	struct leaf_water water = {0.3, 0.3};
	leaf_water_hour(&water, heat.latent_wm2, heat.frost, 0);
	ROW_NEAR(name, water.least_mm, fmax(0.3 - vector[_i].mm, 0), tolerance(vector[_i].mm, 6));
}
END_TEST

/* The first row's intermediate numbers. */
START_TEST(intermediate)
{
	struct leaf_env env = leafday_env(15, 95, 0, 0);
	ROW_NEAR("es", 10 * humid_saturation(15), 17.0535, 0.5001e-4);
	ROW_NEAR("ea", 10 * env.vapour_kpa, 16.2008, 0.5001e-4);
	ROW_NEAR("slope", 10 * humid_slope(15, humid_saturation(15)), 1.0979, 0.5001e-4);
	ROW_NEAR("sky", env.sky_emissivity, 0.8219, 0.5001e-4);
	ROW_NEAR("wind", leaf_wind(1.5, 1), 0.6225, 0.5001e-4);
	ROW_NEAR("resistance", 1200 / leafday_exchange(leafday_wind(1.5), MOCK_M), 102.9499, 0.5001e-4);
}
END_TEST

/* Campbell & Norman's balance of a dry leaf, solved without linearisation; width and wind at the leaf. */
static const struct {
	const char *name;
	double t_c, rh, wind, width, cloud, view, ground_c, leaf_c;
} dry[] = {
    {"5 C, 0.1 m/s", 5, 80, 0.1, 0.10, 0, 1, 5, 1.053},
    {"5 C, 0.5 m/s", 5, 80, 0.5, 0.10, 0, 1, 5, 2.714},
    {"5 C, 1 m/s", 5, 80, 1, 0.10, 0, 1, 5, 3.261},
    {"5 C, 2 m/s", 5, 80, 2, 0.10, 0, 1, 5, 3.700},
    {"5 C, 4 m/s", 5, 80, 4, 0.10, 0, 1, 5, 4.042},
    {"5 C, leaf of 0.25 m", 5, 80, 0.5, 0.25, 0, 1, 5, 1.827},
    {"5 C, half the sky", 5, 80, 0.5, 0.10, 0, 0.5, 5, 3.859},
    {"5 C, cloud 0.5", 5, 80, 0.5, 0.10, 0.5, 1, 5, 3.676},
    {"5 C, overcast", 5, 80, 0.5, 0.10, 1, 1, 5, 4.635},
    {"10 C 50 %", 10, 50, 0.5, 0.10, 0, 1, 10, 7.439},
    {"2 C 90 %", 2, 90, 0.5, 0.10, 0, 1, 2, -0.277},
    {"5 C over soil of 8", 5, 80, 0.5, 0.10, 0, 1, 8, 3.089},
};

START_TEST(dry_leaf)
{
	struct leaf_env env = leafday_env(dry[_i].t_c, dry[_i].rh, 0, dry[_i].cloud);
	env.sky_view_frac = dry[_i].view;
	env.ground_c = dry[_i].ground_c;
	struct leaf_heat heat = leaf_balance(&env, leaf_exchange(dry[_i].wind, dry[_i].width));
	ROW_NEAR(dry[_i].name, heat.dry_c, dry[_i].leaf_c, 0.05);
	ROW_INT(dry[_i].name, heat.frost, dry[_i].leaf_c < 0);
}
END_TEST

/* Heat in is heat out, and what evaporates follows the difference of vapour, on the leaf's own temperature. */
START_TEST(both_budgets)
{
	for (double t_c = -12; t_c <= 30; t_c += 3)
		for (double rh = 30; rh <= 100; rh += 10)
			for (double rs = 0; rs <= 600; rs += 200) {
				struct leaf_env env = leafday_env(t_c, rh, rs, 0.3);
				env.held_mm = 5;
				double h = leaf_exchange(0.8, 0.2);
				struct leaf_heat x = leaf_balance(&env, h);
				double k = t_c + 273.15, es = humid_saturation(t_c), s = humid_slope(t_c, es);
				if (x.dry_c < 0) {
					es = humid_saturation_ice(t_c);
					s = humid_slope_ice(t_c, es);
				}
				double warming = x.leaf_c - t_c;
				double sensible = (2 * h + 8 * 0.97 * 5.670374e-8 * k * k * k) * warming;
				double vapour = 2 * h / 0.93 / 0.066 * (es + s * warming - env.vapour_kpa);
				ROW_NEAR("heat", x.net_wm2 - x.taken_wm2 - sensible, 0, 1e-9);
				ROW_NEAR("vapour", x.taken_wm2 - vapour, 0, 1e-9);
				ROW_INT("phase", x.frost, x.dry_c < 0);
			}
}
END_TEST

/* What is not there cannot evaporate: dew always counts, evaporation up to what is held. */
START_TEST(held)
{
	double h = leaf_exchange(0.6, 0.25);
	struct leaf_env env = leafday_env(20, 60, 0, 0);
	struct leaf_heat none = leaf_balance(&env, h);
	ROW_TRUE("evaporates", none.latent_wm2 > 0);
	ROW_NEAR("nothing held", none.taken_wm2, 0, 0);
	ROW_NEAR("nothing held", none.leaf_c, none.dry_c, 0);
	env.held_mm = 0.01;
	struct leaf_heat some = leaf_balance(&env, h);
	ROW_NEAR("0.01 mm in an hour", some.taken_wm2, 0.01 * 2.45e6 / 3600, 1e-9);
	env.held_mm = 0.6;
	struct leaf_heat enough = leaf_balance(&env, h);
	ROW_NEAR("all of it", enough.taken_wm2, enough.latent_wm2, 0);
	ROW_TRUE("colder the wetter", enough.leaf_c < some.leaf_c && some.leaf_c < none.leaf_c);

	env = leafday_env(8, 100, 0, 0);
	struct leaf_heat dew = leaf_balance(&env, h);
	ROW_NEAR("dew", dew.taken_wm2, dew.latent_wm2, 0);
	ROW_TRUE("dew warms", dew.leaf_c > dew.dry_c + 0.5);
}
END_TEST

static const struct leaf_setup squash = {.width_m = 0.25, .sky_view_frac = 1, .shelter_frac = 1};

static struct leaf_hour hour_of(double t_c, double rh_percent, double u10, double cloud, double rs)
{
	double ea = rh_percent / 100 * humid_saturation(t_c);
	return (struct leaf_hour){
	    .air_c = t_c,
	    .vapour_kpa = ea,
	    .wind10_ms = u10,
	    .cloud_frac = cloud,
	    .sky_emissivity = sky_emissivity(ea, t_c, cloud),
	    .shortwave_wm2 = rs,
	    .ground_c = t_c,
	};
}

/* Leuning & Cremer 1988: leaves under a clear sky 1 to 3 K under the air beside them. */
START_TEST(clear_night)
{
	for (double width = 0.15; width < 0.26; width += 0.05)
		for (double t_c = 5; t_c <= 10; t_c += 1)
			for (double rh = 80; rh <= 95; rh += 5) {
				struct leaf_setup setup = squash;
				struct leaf_hour hour = hour_of(t_c, rh, 1.5, 0, 0);
				struct leaf_water water = LEAF_WATER_DRY;
				setup.width_m = width;
				struct leaf_now now = leaf_step(&water, &hour, &setup);
				double k = t_c - now.heat.leaf_c;
				ROW_MSG(k >= 1 && k <= 3, "width %.2f, %.0f C, %.0f %%: %.2f K", width, t_c, rh, k);
			}
}
END_TEST

/* Garratt & Segal 1988 (from memory): dew at most 0.06 to 0.07 mm/h, saturated air under a clear sky. */
START_TEST(most_dew)
{
	double most = 0;
	for (double t_c = 0; t_c <= 30; t_c += 1)
		for (double u10 = 0; u10 <= 6; u10 += 0.5) {
			struct leaf_hour hour = hour_of(t_c, 100, u10, 0, 0);
			struct leaf_water water = LEAF_WATER_DRY;
			most = fmax(most, leaf_step(&water, &hour, &squash).deposit_mm);
		}
	ROW_TRUE("dew of an hour", most <= 0.07 && most > 0.04);
}
END_TEST

/* The depression of the dew point at which dew begins, on a leaf of 0.07 m. */
static double onset_k(double t_c, double exchange)
{
	double lo = 0, hi = 6;
	for (int i = 0; i < 50; i++) {
		double k = (lo + hi) / 2;
		struct leaf_env env = leafday_env(t_c, 100 * humid_saturation(t_c - k) / humid_saturation(t_c), 0, 0);
		if (leaf_balance(&env, exchange).latent_wm2 < 0)
			lo = k;
		else
			hi = k;
	}
	return lo;
}

/* The 2 K rule of the field, found by either exchange; the production one on the same small leaf. */
START_TEST(dew_onset)
{
	for (double t_c = 15; t_c <= 20; t_c += 1)
		for (double u10 = 1; u10 <= 2; u10 += 0.25) {
			double old = onset_k(t_c, leafday_exchange(leafday_wind(u10), MOCK_M));
			double ours = onset_k(t_c, leaf_exchange(leaf_wind(u10, 1), MOCK_M));
			ROW_MSG(old >= 1.6 && old <= 2.7, "%.0f C, %.2f m/s: %.2f K", t_c, u10, old);
			ROW_MSG(ours >= 1.0 && ours <= 1.8, "%.0f C, %.2f m/s: %.2f K", t_c, u10, ours);
		}
}
END_TEST

/* Frost needs its own latent heat: the same watts leave less ice than water. */
START_TEST(frost)
{
	struct leaf_hour hour = hour_of(1, 98, 1, 0, 0);
	struct leaf_water water = LEAF_WATER_DRY;
	struct leaf_now now = leaf_step(&water, &hour, &squash);
	ROW_TRUE("white morning", now.heat.frost && now.heat.latent_wm2 < 0);
	ROW_NEAR("frost", now.deposit_mm, -now.heat.latent_wm2 * 3600 / 2.834e6, 1e-12);
	ROW_NEAR("frost", water.least_mm, now.deposit_mm, 1e-12);

	hour = hour_of(8, 98, 1, 0, 0);
	water = LEAF_WATER_DRY;
	now = leaf_step(&water, &hour, &squash);
	ROW_TRUE("dewy morning", !now.heat.frost && now.heat.latent_wm2 < 0);
	ROW_NEAR("dew", now.deposit_mm, -now.heat.latent_wm2 * 3600 / 2.45e6, 1e-12);

	/* Over ice the air is saturated earlier than over water: -6 C at 96 % leaves more frost than water would. */
	hour = hour_of(-6, 96, 1, 0, 0);
	water = LEAF_WATER_DRY;
	ROW_TRUE("ice at -6", leaf_step(&water, &hour, &squash).heat.latent_wm2 < 0);
}
END_TEST

/* By day: half of the sun, the wind among leaves, the crop's width. */
START_TEST(production)
{
	struct leaf_hour hour = hour_of(22, 55, 3, 0.2, 650);
	struct leaf_water water = LEAF_WATER_DRY;
	struct leaf_env env = leafday_env(22, 55, 650, 0.2);
	double h = 29.3 * 1.4 * 0.135 * sqrt(0.415 * 3 / (0.72 * 0.25));
	ROW_NEAR("day", leaf_step(&water, &hour, &squash).heat.leaf_c, leaf_balance(&env, h).dry_c, 1e-9);
}
END_TEST

/* More wind brings a leaf closer to the air; more cloud too; a wider leaf strays further. */
START_TEST(monotone)
{
	struct leaf_water water;
	double before = -1;
	for (double u10 = 0; u10 <= 10; u10 += 0.5) {
		struct leaf_hour hour = hour_of(6, 70, u10, 0, 0);
		water = LEAF_WATER_DRY;
		double depression = 6 - leaf_step(&water, &hour, &squash).heat.dry_c;
		ROW_TRUE("wind", before < 0 || depression <= before);
		before = depression;
	}
	before = -1;
	for (double cloud = 0; cloud <= 1; cloud += 0.125) {
		struct leaf_hour hour = hour_of(6, 70, 1, cloud, 0);
		water = LEAF_WATER_DRY;
		double depression = 6 - leaf_step(&water, &hour, &squash).heat.dry_c;
		ROW_TRUE("cloud", before < 0 || depression < before);
		before = depression;
	}
	ROW_TRUE("width", leaf_exchange(1, 0.1) > leaf_exchange(1, 0.25));
	ROW_NEAR("shelter", leaf_wind(8, 0.5), leaf_wind(4, 1), 1e-12);
	ROW_NEAR("calm", leaf_wind(0, 1), 0.3, 0);
	ROW_NEAR("calm", leaf_exchange(0, 0.1), leaf_exchange(0.1, 0.1), 0);
}
END_TEST

static const struct {
	const char *name;
	size_t member;
	double value;
} bad[] = {
    {"no air", offsetof(struct leaf_hour, air_c), NAN},
    {"no humidity", offsetof(struct leaf_hour, vapour_kpa), NAN},
    {"no wind", offsetof(struct leaf_hour, wind10_ms), NAN},
    {"wind under 0", offsetof(struct leaf_hour, wind10_ms), -1},
    {"no sky", offsetof(struct leaf_hour, sky_emissivity), NAN},
    {"no sun known", offsetof(struct leaf_hour, shortwave_wm2), NAN},
    {"sun under 0", offsetof(struct leaf_hour, shortwave_wm2), -5},
    {"no ground", offsetof(struct leaf_hour, ground_c), NAN},
};

START_TEST(missing)
{
	struct leaf_hour hour = hour_of(12, 70, 1, 0, 0);
	struct leaf_water water = LEAF_WATER_DRY;
	ROW_TRUE(bad[_i].name, isfinite(leaf_step(&water, &hour, &squash).heat.leaf_c));

	*(double *)(void *)((char *)&hour + bad[_i].member) = bad[_i].value;
	struct leaf_now now = leaf_step(&water, &hour, &squash);
	ROW_TRUE(bad[_i].name, isnan(now.heat.leaf_c) && isnan(now.deposit_mm));
	ROW_INT(bad[_i].name, now.wet, WETNESS_CANNOT_TELL);
	ROW_TRUE(bad[_i].name, water.least_mm == 0 && water.most_mm == LEAF_HOLDS_MM);
}
END_TEST

START_TEST(missing_setup)
{
	ROW_TRUE("no width", isnan(leaf_exchange(1, NAN)) && isnan(leaf_exchange(1, 0)));
	ROW_TRUE("no wind", isnan(leaf_exchange(NAN, 0.1)) && isnan(leaf_exchange(-0.1, 0.1)));
	ROW_TRUE("no wind at 10 m", isnan(leaf_wind(NAN, 1)) && isnan(leaf_wind(-0.1, 1)));
	ROW_TRUE("no shelter", isnan(leaf_wind(1, NAN)) && isnan(leaf_wind(1, -0.1)));
	struct leaf_env env = leafday_env(20, 60, 0, 0);
	env.held_mm = NAN;
	ROW_TRUE("water nobody knows", isnan(leaf_balance(&env, 10).leaf_c) && isfinite(leaf_balance(&env, 10).dry_c));
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("leaf");
	TCase *tc = tcase_create("leaf");
	tcase_add_loop_test(tc, vectors, 0, sizeof vector / sizeof *vector);
	tcase_add_test(tc, intermediate);
	tcase_add_loop_test(tc, dry_leaf, 0, sizeof dry / sizeof *dry);
	tcase_add_test(tc, both_budgets);
	tcase_add_test(tc, held);
	tcase_add_test(tc, clear_night);
	tcase_add_test(tc, most_dew);
	tcase_add_test(tc, dew_onset);
	tcase_add_test(tc, frost);
	tcase_add_test(tc, production);
	tcase_add_test(tc, monotone);
	tcase_add_loop_test(tc, missing, 0, sizeof bad / sizeof *bad);
	tcase_add_test(tc, missing_setup);
	suite_add_tcase(s, tc);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
