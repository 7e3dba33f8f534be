#include "physics/humid.h"

#include <stdio.h>

#include "lib/harness.h"
#include "physics/psychro.h"

static const double NONE = (double)NAN;

/* FAO-56 is Allen, Pereira, Raes & Smith 1998. */
static const struct {
	const char *name;
	double (*of)(double);
	double x, want, tol; /* half a unit of the last printed place */
} printed[] = {
    {"FAO-56 example 2 and table 2.1, 1800 m", humid_pressure, 1800, 81.8, 0.05},
    {"FAO-56 table 2.1, sea", humid_pressure, 0, 101.3, 0.05},
    {"FAO-56 table 2.1, 100 m", humid_pressure, 100, 100.1, 0.05},
    {"FAO-56 table 2.1, 200 m", humid_pressure, 200, 99.0, 0.05},
    {"FAO-56 table 2.1, 500 m", humid_pressure, 500, 95.5, 0.05},
    {"FAO-56 table 2.1, 1000 m", humid_pressure, 1000, 90.0, 0.05},
    {"FAO-56 table 2.1, 1200 m", humid_pressure, 1200, 87.9, 0.05},
    {"FAO-56 table 2.1, 2000 m", humid_pressure, 2000, 79.8, 0.05},
    {"FAO-56 table 2.1, 3000 m", humid_pressure, 3000, 70.5, 0.05},
    {"FAO-56 table 2.1, 4000 m", humid_pressure, 4000, 62.1, 0.05},
    {"FAO-56 eq. 7 in double precision, 1800 m", humid_pressure, 1800, 81.7558, 0.00005},
    {"FAO-56 eq. 7 in double precision, 1000 m", humid_pressure, 1000, 90.0246, 0.00005},
    {"FAO-56 eq. 7 in double precision, 1200 m", humid_pressure, 1200, 87.8966, 0.00005},
    {"FAO-56 example 3, 15 C", humid_saturation, 15, 1.705, 0.0005},
    {"FAO-56 example 3, 24.5 C", humid_saturation, 24.5, 3.075, 0.0005},
    {"FAO-56 example 3, 19.75 C", humid_saturation, 19.75, 2.30, 0.005},
    {"FAO-56 eq. 11 in double precision, 24.5 C", humid_saturation, 24.5, 3.07465, 0.000005},
    {"FAO-56 eq. 11 in double precision, 15 C", humid_saturation, 15, 1.70535, 0.000005},
    {"FAO-56 eq. 11 in double precision, 19.75 C", humid_saturation, 19.75, 2.30234, 0.000005},
    {"FAO-56 example 4, wet bulb 19.5 C", humid_saturation, 19.5, 2.267, 0.0005},
    {"FAO-56 example 5, 18 C", humid_saturation, 18, 2.064, 0.0005},
    {"FAO-56 example 5, 25 C", humid_saturation, 25, 3.168, 0.0005},
    {"FAO-56 table 2.3, 1 C", humid_saturation, 1, 0.657, 0.0005},
    {"FAO-56 table 2.3, 5 C", humid_saturation, 5, 0.872, 0.0005},
    {"FAO-56 table 2.3, 10 C", humid_saturation, 10, 1.228, 0.0005},
    {"FAO-56 table 2.3, 15 C", humid_saturation, 15, 1.705, 0.0005},
    {"FAO-56 table 2.3, 20 C", humid_saturation, 20, 2.338, 0.0005},
    {"FAO-56 table 2.3, 25 C", humid_saturation, 25, 3.168, 0.0005},
    {"FAO-56 table 2.3, 30 C", humid_saturation, 30, 4.243, 0.0005},
    {"FAO-56 table 2.3, 35 C", humid_saturation, 35, 5.623, 0.0005},
    {"FAO-56 table 2.3, 40 C", humid_saturation, 40, 7.376, 0.0005},
    {"FAO-56 table 2.3, 45 C", humid_saturation, 45, 9.582, 0.0005},
    {"FAO-56 table 2.3, 48.5 C", humid_saturation, 48.5, 11.447, 0.0005},
    {"FAO-56 eq. 11 in double precision, 10 C", humid_saturation, 10, 1.22796, 0.000005},
    {"FAO-56 eq. 11 in double precision, 20 C", humid_saturation, 20, 2.33828, 0.000005},
    {"FAO-56 eq. 11 in double precision, 30 C", humid_saturation, 30, 4.24307, 0.000005},
    {"FAO-56 eq. 11 in double precision, 40 C", humid_saturation, 40, 7.37561, 0.000005},
};

START_TEST(as_printed)
{
	ROW_NEAR(printed[_i].name, printed[_i].of(printed[_i].x), printed[_i].want, printed[_i].tol);
}
END_TEST

/* FAO-56 table 2.2 and example 2 (by elevation), table 2.4 (by temperature). */
START_TEST(constant_and_slope)
{
	static const struct {
		double elevation_m, gamma, tol;
	} gamma[] = {{0, 0.067, 0.0005},    {1000, 0.060, 0.0005}, {2000, 0.053, 0.0005},      {3000, 0.047, 0.0005},
		     {4000, 0.041, 0.0005}, {1800, 0.054, 0.0005}, {1800, 0.054368, 0.0000005}};
	static const struct {
		double t_c, slope, tol;
	} slope[] = {{1, 0.047, 0.0005},  {10, 0.082, 0.0005}, {20, 0.145, 0.0005},   {25, 0.189, 0.0005},
		     {30, 0.243, 0.0005}, {40, 0.393, 0.0005}, {48.5, 0.574, 0.0005}, {20, 0.14474, 0.000005}};

	for (size_t i = 0; i < sizeof gamma / sizeof *gamma; i++)
		ROW_NEAR("FAO-56 table 2.2", humid_psychrometric(humid_pressure(gamma[i].elevation_m)), gamma[i].gamma,
			 gamma[i].tol);
	for (size_t i = 0; i < sizeof slope / sizeof *slope; i++)
		ROW_NEAR("FAO-56 table 2.4", humid_slope(slope[i].t_c, humid_saturation(slope[i].t_c)), slope[i].slope,
			 slope[i].tol);
}
END_TEST

/* FAO-56 examples 3, 5 and 6: a day by its ends; the printed figure, then double precision. */
START_TEST(days)
{
	ROW_NEAR("example 3", humid_saturation_day(15, 24.5), 2.39, 0.005);
	ROW_NEAR("example 3", humid_saturation_day(15, 24.5), 2.39000, 0.000005);
	double both = humid_vapour_day(18, 25, 0.82, 0.54, NONE), mean = humid_vapour_day(18, 25, NONE, NONE, 0.68);
	ROW_NEAR("example 5, eq. 17", both, 1.70, 0.005);
	ROW_NEAR("example 5, eq. 17", both, 1.70154, 0.000005);
	ROW_NEAR("example 5, eq. 18", humid_vapour_day(18, 25, 0.82, NONE, 0.68), 1.69247, 0.000005);
	ROW_NEAR("example 5, eq. 19", mean, 1.78, 0.005);
	ROW_NEAR("example 5, eq. 19", mean, 1.77880, 0.000005);
	ROW_NEAR("example 6", humid_saturation_day(18, 25) - both, 0.91, 0.005);
	ROW_NEAR("example 6", humid_saturation_day(18, 25) - both, 0.91435, 0.000005);
	ROW_NEAR("the best goes first", humid_vapour_day(18, 25, 0.82, 0.54, 0.1), both, 0);
	ROW_TRUE("none", isnan(humid_vapour_day(18, 25, NONE, NONE, NONE)));
	ROW_TRUE("the lowest alone is not used", isnan(humid_vapour_day(18, 25, NONE, 0.54, NONE)));
}
END_TEST

/*
 * Saturation in hPa: over water FAO-56 eq. 11 and, beside it, Sonntag 1990 in full; over ice the
 * formula of WMO-No. 8 annex 4.B and Sonntag 1990.  Computed from the published equations.
 */
static const struct {
	double t_c, fao, sonntag, ice_wmo, ice_sonntag;
} curves[] = {
    {-20, 1.2462, 1.2559, 1.0326, 1.0324}, {-10, 2.8571, 2.8652, 2.5987, 2.5989}, {-5, 4.2118, 4.2180, 4.0174, 4.0176},
    {-2, 5.2741, 5.2791, 5.1772, 5.1772},  {0, 6.1080, 6.1121, 6.1120, 6.1115},   {5, 8.7231, 8.7254, NAN, NAN},
    {10, 12.2796, 12.2813, NAN, NAN},      {15, 17.0535, 17.0571, NAN, NAN},      {20, 23.3828, 23.3925, NAN, NAN},
    {24.5, 30.7465, 30.7663, NAN, NAN},    {30, 42.4307, 42.4703, NAN, NAN},      {40, 73.7561, 73.8530, NAN, NAN},
};

START_TEST(saturation_curves)
{
	double t = curves[_i].t_c, water = 10 * humid_saturation(t), ice = 10 * humid_saturation_ice(t);

	ROW_NEAR("FAO-56 eq. 11", water, curves[_i].fao, 0.00005);
	ROW_NEAR("Sonntag 1990", water / curves[_i].sonntag, 1, t < 0 ? 0.008 : 0.0014);
	if (isnan(curves[_i].ice_wmo))
		return;
	ROW_NEAR("WMO-No. 8 over ice, but for its 6.112", ice * 6.112 / 6.108, curves[_i].ice_wmo, 0.00005);
	ROW_NEAR("Sonntag 1990 over ice", ice / curves[_i].ice_sonntag, 1, 0.001);
}
END_TEST

/* psychrolib 1.1.1 (thermodynamic wet bulb; over ice, frost point and ice bulb below 0 C). */
static const struct {
	double t_c, rh, hpa, es_hpa, e_hpa, point_c, bulb_c;
} psychrolib[] = {
    {-10, 80, 1013.25, 2.599, 2.079, -12.49, -10.65}, {-5, 90, 1013.25, 4.018, 3.616, -6.23, -5.44},
    {-2, 60, 1013.25, 5.177, 3.106, -7.98, -4.12},    {0, 90, 1013.25, 6.112, 5.500, -1.27, -0.57},
    {0.5, 95, 1000, 6.338, 6.021, -0.18, 0.21},       {1, 70, 1013.25, 6.571, 4.599, -3.41, -0.88},
    {2, 100, 1013.25, 7.060, 7.060, 2.00, 2.00},      {3, 40, 980, 7.580, 3.032, -8.25, -1.36},
    {4, 85, 1013.25, 8.135, 6.915, 1.71, 2.99},       {5, 80, 1013.25, 8.725, 6.980, 1.84, 3.59},
    {6, 60, 950, 9.352, 5.611, -1.03, 2.88},          {8, 95, 1013.25, 10.728, 10.192, 7.25, 7.61},
    {10, 50, 1013.25, 12.280, 6.140, 0.06, 5.54},     {10, 90, 850, 12.280, 11.052, 8.44, 9.09},
    {12, 75, 1013.25, 14.026, 10.519, 7.71, 9.69},    {14, 65, 990, 15.987, 10.391, 7.53, 10.45},
    {15, 60, 1013.25, 17.054, 10.233, 7.31, 10.82},   {18, 85, 1013.25, 20.643, 17.546, 15.44, 16.37},
    {20, 50, 1013.25, 23.388, 11.694, 9.27, 13.78},   {20, 100, 1013.25, 23.388, 23.388, 20.00, 20.00},
    {22, 35, 900, 26.448, 9.257, 5.85, 12.68},        {25, 60, 1013.25, 31.692, 19.015, 16.70, 19.47},
    {28, 75, 1005, 37.822, 28.367, 23.15, 24.45},     {30, 40, 1013.25, 42.460, 16.984, 14.94, 20.06},
    {35, 25, 970, 56.278, 14.070, 12.05, 20.03},      {38, 15, 1013.25, 66.315, 9.947, 6.89, 19.19},
};

START_TEST(against_psychrolib)
{
	const double ice_up_to_c = 0.01; /* psychrolib's own border */
	char row[48];
	double t = psychrolib[_i].t_c, kpa = psychrolib[_i].hpa / 10;
	snprintf(row, sizeof row, "psychrolib, %g C, %g %%", t, psychrolib[_i].rh);

	double es = t <= ice_up_to_c ? humid_saturation_ice(t) : humid_saturation(t);
	double ea = es * psychrolib[_i].rh / 100;
	double dew = humid_dew_point(ea);

	ROW_NEAR(row, 10 * es / psychrolib[_i].es_hpa, 1, 0.0012);
	ROW_NEAR(row, 10 * ea / psychrolib[_i].e_hpa, 1, 0.0012);
	ROW_NEAR(row, dew < 0 ? humid_frost_point(ea) : dew, psychrolib[_i].point_c, 0.05);
	ROW_NEAR(row, psychro_freezing_bulb(t, ea, kpa), psychrolib[_i].bulb_c, t < 25 ? 0.1 : 0.2);
}
END_TEST

/* Both ways over the whole range, slopes against differences, ice against water. */
START_TEST(curves_are_sound)
{
	double before = 0, before_ice = 0;
	for (int tenth = -900; tenth <= 600; tenth++) {
		double t = tenth / 10.0, es = humid_saturation(t), ei = humid_saturation_ice(t), h = 1e-3;
		ROW_TRUE("rising", es > before && ei > before_ice);
		before = es;
		before_ice = ei;
		ROW_NEAR("dew point", humid_dew_point(es), t, 1e-9);
		ROW_NEAR("frost point", humid_frost_point(ei), t, 1e-9);
		double rise = (humid_saturation(t + h) - humid_saturation(t - h)) / (2 * h);
		ROW_NEAR("slope", humid_slope(t, es) / rise, 1, 1e-4);
		rise = (humid_saturation_ice(t + h) - humid_saturation_ice(t - h)) / (2 * h);
		ROW_NEAR("slope over ice", humid_slope_ice(t, ei) / rise, 1, 1e-6);
		if (t < 0) {
			ROW_TRUE("ice holds its vapour faster", ei < es);
			ROW_TRUE("frost before dew", humid_frost_point(es) > t);
		}
	}
	ROW_NEAR("both meet at 0 C", humid_saturation(0), humid_saturation_ice(0), 0);
	for (int m = -400; m < 9000; m += 100)
		ROW_TRUE("thinner higher up", humid_pressure(m) > humid_pressure(m + 100));
}
END_TEST

START_TEST(deficits)
{
	ROW_NEAR("saturated", humid_deficit(12, humid_saturation(12)), 0, 0);
	ROW_NEAR("over it", humid_deficit(12, 2), 0, 0);
	for (int t = -40; t <= 50; t += 5)
		for (int percent = 0; percent <= 110; percent += 10)
			ROW_TRUE("never negative", humid_deficit(t, humid_saturation(t) * percent / 100) >= 0);
	ROW_NEAR("dry air", humid_deficit(20, 0), humid_saturation(20), 0);
}
END_TEST

/* What an hour may report, and what becomes of it.  es(20) = 2.33828, es(19) = 2.1973 kPa (FAO-56 table 2.3). */
static const struct {
	const char *name;
	double t_c, dew_point_c, rh;
	enum humid_verdict verdict;
	double same_as_c; /* the vapour pressure is saturation there; NaN: none */
} hours[] = {
    {"dew point", 20, 10, NAN, HUMID_SOUND, 10},
    {"dew point before humidity", 20, 10, 0.9, HUMID_SOUND, 10},
    {"fog", 20, 20, NAN, HUMID_SOUND, 20},
    {"0.1 K over", 20, 20.1, NAN, HUMID_CLAMPED, 20},
    {"just 0.5 K over", 20, 20.5, NAN, HUMID_CLAMPED, 20},
    {"0.6 K over", 20, 20.6, NAN, HUMID_REFUSED, NAN},
    {"0.6 K over, humidity sound", 20, 20.6, 0.5, HUMID_REFUSED, NAN},
    {"frosty fog", -5, -4.75, NAN, HUMID_CLAMPED, -5},
    {"saturated by humidity", 20, NAN, 1, HUMID_SOUND, 20},
    {"103 %, a dew point of 20.48", 20, NAN, 1.03, HUMID_CLAMPED, 20},
    {"104 %, a dew point of 20.63", 20, NAN, 1.04, HUMID_REFUSED, NAN},
    {"a percentage taken for a fraction", 20, NAN, 85, HUMID_REFUSED, NAN},
    {"negative humidity", 20, NAN, -0.01, HUMID_REFUSED, NAN},
    {"no humidity", 20, NAN, NAN, HUMID_MISSING, NAN},
    {"no temperature", NAN, 10, 0.5, HUMID_MISSING, NAN},
    {"infinite", 20, INFINITY, NAN, HUMID_REFUSED, NAN},
    {"infinite humidity", 20, NAN, INFINITY, HUMID_REFUSED, NAN},
};

START_TEST(hour_verdicts)
{
	double ea = 99;
	ROW_INT(hours[_i].name, humid_hour(hours[_i].t_c, hours[_i].dew_point_c, hours[_i].rh, &ea), hours[_i].verdict);
	if (isnan(hours[_i].same_as_c))
		ROW_TRUE(hours[_i].name, isnan(ea));
	else
		ROW_NEAR(hours[_i].name, ea, humid_saturation(hours[_i].same_as_c), 1e-12);
}
END_TEST

START_TEST(hour_by_humidity)
{
	double ea;
	ROW_INT("half", humid_hour(20, NONE, 0.5, &ea), HUMID_SOUND);
	ROW_NEAR("half of FAO-56 table 2.3", ea, 2.338 / 2, 0.0005);
	ROW_INT("bone dry", humid_hour(20, NONE, 0, &ea), HUMID_SOUND);
	ROW_NEAR("bone dry", ea, 0, 0);
}
END_TEST

START_TEST(nothing_from_nothing)
{
	ROW_TRUE("NaN", isnan(humid_saturation(NONE)) && isnan(humid_saturation_ice(NONE)));
	ROW_TRUE("NaN", isnan(humid_slope(NONE, 1)) && isnan(humid_slope(1, NONE)));
	ROW_TRUE("NaN", isnan(humid_slope_ice(NONE, 1)) && isnan(humid_slope_ice(1, NONE)));
	ROW_TRUE("NaN", isnan(humid_dew_point(NONE)) && isnan(humid_frost_point(NONE)));
	ROW_TRUE("no vapour", isnan(humid_dew_point(0)) && isnan(humid_frost_point(-1)));
	ROW_TRUE("NaN", isnan(humid_saturation_day(NONE, 1)) && isnan(humid_saturation_day(1, NONE)));
	ROW_TRUE("NaN", isnan(humid_vapour_day(NONE, 1, 1, 1, 1)) && isnan(humid_vapour_day(1, NONE, 1, 1, 1)));
	ROW_TRUE("NaN", isnan(humid_deficit(NONE, 1)) && isnan(humid_deficit(1, NONE)));
	ROW_TRUE("NaN", isnan(humid_pressure(NONE)) && isnan(humid_psychrometric(NONE)));
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("humid");
	TCase *c = tcase_create("humid");
	tcase_add_loop_test(c, as_printed, 0, (int)(sizeof printed / sizeof *printed));
	tcase_add_test(c, constant_and_slope);
	tcase_add_test(c, days);
	tcase_add_loop_test(c, saturation_curves, 0, (int)(sizeof curves / sizeof *curves));
	tcase_add_loop_test(c, against_psychrolib, 0, (int)(sizeof psychrolib / sizeof *psychrolib));
	tcase_add_test(c, curves_are_sound);
	tcase_add_test(c, deficits);
	tcase_add_loop_test(c, hour_verdicts, 0, (int)(sizeof hours / sizeof *hours));
	tcase_add_test(c, hour_by_humidity);
	tcase_add_test(c, nothing_from_nothing);
	suite_add_tcase(s, c);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
