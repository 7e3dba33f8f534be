#include "physics/psychro.h"

#include <stdio.h>

#include "lib/harness.h"
#include "physics/humid.h"

static const double NONE = (double)NAN;
static const double SEA_KPA = 101.325;

/* FAO-56 (Allen et al. 1998) example 4: 1200 m, dry bulb 25.6, wet bulb 19.5, ventilated. */
START_TEST(fao_example_4)
{
	double gamma = PSYCHRO_VENTILATED * humid_pressure(1200);
	ROW_NEAR("gamma in double precision", gamma, 0.0581876, 0.00000005);
	double ea = psychro_vapour(25.6, 19.5, gamma);
	ROW_NEAR("printed", ea, 1.91, 0.005);
	ROW_NEAR("in double precision", ea, 1.91194, 0.000005);
	ROW_NEAR("and back", psychro_wet_bulb(25.6, ea, gamma), 19.5, 1e-9);
}
END_TEST

/*
 * The air temperature at which the wet bulb is 0 C, by dew point, at 1013.25 hPa; computed with the Magnus
 * form and the coefficient 6.53e-4 of WMO-No. 8 annex 4.B, whose curve is not FAO-56's.
 */
START_TEST(wet_bulb_at_freezing)
{
	static const struct {
		double dew_point_c, t_c;
	} rows[] = {{-1, 0.648}, {-2, 1.256}, {-3, 1.825}, {-4, 2.358},
		    {-5, 2.857}, {-6, 3.323}, {-8, 4.165}, {-10, 4.899}};
	for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
		double ea = humid_saturation(rows[i].dew_point_c);
		double got = psychro_wet_bulb(rows[i].t_c, ea, 0.000653 * SEA_KPA);
		ROW_NEAR("WMO-No. 8 annex 4.B", got, 0, 0.01);
		got = psychro_wet_bulb(rows[i].t_c, ea, PSYCHRO_VENTILATED * SEA_KPA);
		ROW_NEAR("FAO-56's coefficient", got, 0, 0.04);
	}
}
END_TEST

/*
 * Dew point and wet bulb over water throughout, computed with the Magnus form and the coefficient 6.53e-4
 * (1 + 0.000944 tw) of WMO-No. 8 annex 4.B; the tolerances are the distance between that curve and FAO-56's.
 */
static const struct {
	double t_c, rh, hpa, e_hpa, dew_point_c, wet_bulb_c;
} over_water[] = {
    {-10, 80, 1013.25, 2.296, -12.80, -10.66}, {-5, 90, 1013.25, 3.800, -6.39, -5.43},
    {-2, 60, 1013.25, 3.169, -8.74, -4.06},    {0, 90, 1013.25, 5.501, -1.45, -0.56},
    {0.5, 95, 1000, 6.020, -0.21, 0.21},       {1, 70, 1013.25, 4.599, -3.86, -0.78},
    {2, 100, 1013.25, 7.057, 2.00, 2.00},      {3, 40, 980, 3.031, -9.31, -1.09},
    {4, 85, 1013.25, 6.910, 1.70, 3.00},       {5, 80, 1013.25, 6.974, 1.83, 3.60},
    {6, 60, 950, 5.606, -1.19, 2.91},          {8, 95, 1013.25, 10.179, 7.25, 7.61},
    {10, 50, 1013.25, 6.130, 0.04, 5.58},      {10, 90, 850, 11.034, 8.43, 9.10},
    {12, 75, 1013.25, 10.500, 7.70, 9.71},     {14, 65, 990, 10.369, 7.52, 10.49},
    {15, 60, 1013.25, 10.210, 7.29, 10.86},    {18, 85, 1013.25, 17.503, 15.44, 16.38},
    {20, 50, 1013.25, 11.663, 9.26, 13.84},    {20, 100, 1013.25, 23.326, 20.00, 20.00},
    {22, 35, 900, 9.231, 5.83, 12.77},         {25, 60, 1013.25, 18.960, 16.69, 19.53},
    {28, 75, 1005, 28.284, 23.15, 24.48},      {30, 40, 1013.25, 16.935, 14.93, 20.17},
    {35, 25, 970, 14.032, 12.04, 20.19},       {38, 15, 1013.25, 9.923, 6.88, 19.39},
};

START_TEST(always_over_water)
{
	char row[48];
	struct psychro air = {over_water[_i].t_c, NONE, NONE, over_water[_i].rh / 100, NONE};
	snprintf(row, sizeof row, "WMO-No. 8, %g C, %g %%", air.t_c, over_water[_i].rh);
	ROW_TRUE(row, psychro_fill(&air, PSYCHRO_VENTILATED * over_water[_i].hpa / 10));
	ROW_NEAR(row, 10 * air.ea_kpa / over_water[_i].e_hpa, 1, 0.006);
	ROW_NEAR(row, air.dew_point_c, over_water[_i].dew_point_c, 0.06);
	ROW_NEAR(row, air.wet_bulb_c, over_water[_i].wet_bulb_c, 0.06);
}
END_TEST

static void same(const char *row, const struct psychro *got, const struct psychro *want, double tol)
{
	ROW_NEAR(row, got->t_c, want->t_c, tol);
	ROW_NEAR(row, got->dew_point_c, want->dew_point_c, tol);
	ROW_NEAR(row, got->wet_bulb_c, want->wet_bulb_c, tol);
	ROW_NEAR(row, got->rh, want->rh, tol);
	ROW_NEAR(row, got->ea_kpa, want->ea_kpa, tol);
}

static double *field(struct psychro *air, int i)
{
	double *all[] = {&air->t_c, &air->dew_point_c, &air->wet_bulb_c, &air->rh, &air->ea_kpa};
	return all[i];
}

enum { FIELDS = 5, DEW_POINT = 1, VAPOUR = 4 };

/* Every pair gives back the air it was taken of, over the whole range of weather. */
static void every_pair(const struct psychro *air, double gamma)
{
	static const char *const NAMES[FIELDS] = {"temperature", "dew point", "wet bulb", "humidity",
						  "vapour pressure"};
	char row[64];

	for (int a = 0; a < FIELDS; a++) {
		for (int b = a + 1; b < FIELDS; b++) {
			struct psychro given = *air, pair = {NONE, NONE, NONE, NONE, NONE};
			*field(&pair, a) = *field(&given, a);
			*field(&pair, b) = *field(&given, b);
			bool told = psychro_fill(&pair, gamma);
			snprintf(row, sizeof row, "%s and %s at %g C, %g", NAMES[a], NAMES[b], air->t_c, air->rh);
			ROW_INT(row, told, !(a == DEW_POINT && b == VAPOUR));
			if (told)
				same(row, &pair, air, 1e-8);
			else
				ROW_TRUE(row, isnan(pair.t_c) && isnan(pair.dew_point_c) && isnan(pair.ea_kpa));
		}
	}
}

START_TEST(pairs_are_inverse)
{
	const double kpa[] = {60, 85, SEA_KPA};
	for (size_t p = 0; p < sizeof kpa / sizeof *kpa; p++) {
		double gamma = PSYCHRO_VENTILATED * kpa[p];
		for (int t = -30; t <= 50; t += 4) {
			for (int percent = 5; percent <= 100; percent += 5) {
				struct psychro air = {t, NONE, NONE, percent / 100.0, NONE};
				ROW_TRUE("whole", psychro_fill(&air, gamma));
				ROW_TRUE("dew point under wet bulb", air.dew_point_c <= air.wet_bulb_c + 1e-9);
				ROW_TRUE("wet bulb under air", air.wet_bulb_c <= air.t_c + 1e-9);
				ROW_NEAR("the psychrometer's equation", psychro_vapour(air.t_c, air.wet_bulb_c, gamma),
					 air.ea_kpa, 1e-9);
				every_pair(&air, gamma);
			}
		}
	}
}
END_TEST

/* More vapour, warmer bulb; warmer air, warmer bulb; poorer airing, warmer bulb. */
START_TEST(bulbs_are_monotone)
{
	double gamma = PSYCHRO_VENTILATED * SEA_KPA;
	for (int t = -40; t <= 50; t += 2) {
		double before = -100;
		for (int percent = 0; percent <= 100; percent++) {
			double ea = humid_saturation(t) * percent / 100;
			double bulb = psychro_wet_bulb(t, ea, gamma);
			ROW_TRUE("by vapour", bulb > before);
			ROW_TRUE("by temperature", psychro_wet_bulb(t + 1, ea, gamma) > bulb);
			ROW_TRUE("by airing", psychro_wet_bulb(t, ea, PSYCHRO_INDOOR * SEA_KPA) >= bulb - 1e-9);
			double iced = psychro_freezing_bulb(t, ea, SEA_KPA);
			ROW_TRUE("freezes where it is below 0 C", bulb < 0 ? iced < 0 : iced == bulb);
			/* In supersaturation over ice the deposit warms the bulb over the air. */
			ROW_TRUE("under the air", iced <= t + 1e-9 || ea > humid_saturation_ice(t));
			before = bulb;
		}
	}
	ROW_NEAR("order of the coefficients", PSYCHRO_NATURAL / PSYCHRO_VENTILATED, 1.2085, 0.0001);
}
END_TEST

START_TEST(nothing_from_nothing)
{
	double gamma = PSYCHRO_VENTILATED * SEA_KPA;
	ROW_TRUE("NaN", isnan(psychro_vapour(NONE, 1, gamma)) && isnan(psychro_vapour(1, NONE, gamma)));
	ROW_TRUE("NaN", isnan(psychro_wet_bulb(NONE, 1, gamma)) && isnan(psychro_wet_bulb(20, NONE, gamma)));
	ROW_TRUE("NaN", isnan(psychro_wet_bulb(20, 1, NONE)));
	ROW_TRUE("NaN", isnan(psychro_freezing_bulb(NONE, 1, 100)) && isnan(psychro_freezing_bulb(1, NONE, 100)));
	ROW_TRUE("NaN", isnan(psychro_freezing_bulb(1, 0.5, NONE)));

	struct psychro air = {NONE, NONE, NONE, NONE, NONE};
	ROW_TRUE("nothing", !psychro_fill(&air, gamma));
	for (int i = 0; i < FIELDS; i++) {
		air = (struct psychro){NONE, NONE, NONE, NONE, NONE};
		*field(&air, i) = 0.5;
		ROW_TRUE("one", !psychro_fill(&air, gamma) && isnan(air.t_c) && isnan(*field(&air, i)));
	}
	air = (struct psychro){20, NONE, NONE, 0, NONE};
	ROW_TRUE("no vapour has no dew point", !psychro_fill(&air, gamma));
	air = (struct psychro){20, NONE, 0, NONE, NONE};
	ROW_TRUE("no air is as dry as that", !psychro_fill(&air, gamma));
	air = (struct psychro){20, NONE, NONE, 0.5, NONE};
	ROW_TRUE("no pressure", !psychro_fill(&air, NONE));
	air = (struct psychro){20, 10, 99, 99, NONE};
	ROW_TRUE("three known", psychro_fill(&air, gamma));
	ROW_NEAR("the dew point goes first", air.ea_kpa, humid_saturation(10), 1e-12);
	ROW_NEAR("the rest is written over", air.rh, humid_saturation(10) / humid_saturation(20), 1e-12);
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("psychro");
	TCase *c = tcase_create("psychro");
	tcase_add_test(c, fao_example_4);
	tcase_add_test(c, wet_bulb_at_freezing);
	tcase_add_loop_test(c, always_over_water, 0, (int)(sizeof over_water / sizeof *over_water));
	tcase_add_test(c, pairs_are_inverse);
	tcase_add_test(c, bulbs_are_monotone);
	tcase_add_test(c, nothing_from_nothing);
	suite_add_tcase(s, c);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
