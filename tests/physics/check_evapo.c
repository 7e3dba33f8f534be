#include "physics/evapo.h"

#include <stdbool.h>

#include "greeley.h"
#include "lib/harness.h"
#include "physics/humid.h"
#include "physics/wind.h"

#define DEG(degrees, minutes) ((degrees) + (minutes) / 60.0)
#define NONE                  ((double)NAN)
#define ROWS(a)               ((int)(sizeof(a) / sizeof(a)[0]))

static double gamma_at(double elevation_m)
{
	return humid_psychrometric(humid_pressure(elevation_m));
}

/* The aerodynamic part of a form's result, by taking the energy out of it. */
static double energy_part(enum evapo_form form, struct evapo_day d)
{
	double all = evapo_day(form, &d).mm;
	d.ground_mj += 1; /* takes 0.408 slope / denominator */
	double a_mj = all - evapo_day(form, &d).mm;
	d.ground_mj -= 1;
	return a_mj * (evapo_day(form, &d).net_mj - d.ground_mj);
}

/* FAO-56 (Allen et al. 1998) example 17: Bangkok, April, a month's mean day. */
START_TEST(bangkok)
{
	struct radiation_day day = radiation_day(DEG(13, 44), 105);
	struct evapo_day d = {.tmin_c = 25.6,
			      .tmax_c = 34.8,
			      .vapour_kpa = 2.85,
			      .wind_ms = 2,
			      .shortwave_mj = radiation_from_sunshine(&day, 8.5),
			      .clear_mj = radiation_clear_share(2) * day.extraterrestrial_mj,
			      .ground_mj = evapo_ground_month(29.2, 30.2, 1),
			      .psychrometric_kpa_k = gamma_at(2)};
	struct evapo e = evapo_day(EVAPO_FAO56, &d);
	double slope = humid_slope(30.2, humid_saturation(30.2)), es = humid_saturation_day(25.6, 34.8);

	ROW_NEAR("FAO-56 example 17", slope, 0.246, 0.0005);
	ROW_NEAR("FAO-56 example 17, unrounded", slope, 0.24580, 5e-6);
	ROW_NEAR("FAO-56 example 17", d.psychrometric_kpa_k, 0.0674, 0.00006);
	ROW_NEAR("FAO-56 example 17, unrounded", d.psychrometric_kpa_k, 0.067349, 5e-7);
	ROW_NEAR("FAO-56 example 17", es, 4.42, 0.005);
	ROW_NEAR("FAO-56 example 17, unrounded", es, 4.42180, 5e-6);
	ROW_NEAR("FAO-56 example 17", e.ground_mj, 0.14, 0.005);
	ROW_NEAR("FAO-56 example 17", e.net_mj, 14.33, 0.005);
	ROW_NEAR("FAO-56 example 17, unrounded", e.net_mj, 14.3327, 5e-5);
	ROW_NEAR("FAO-56 example 17, energy", energy_part(EVAPO_FAO56, d), 3.97, 0.005);
	ROW_NEAR("FAO-56 example 17, wind", e.mm - energy_part(EVAPO_FAO56, d), 1.75, 0.005);
	ROW_NEAR("FAO-56 example 17", e.mm, 5.72, 0.005);
	ROW_NEAR("FAO-56 example 17, unrounded", e.mm, 5.7161, 5e-5);
}
END_TEST

/* FAO-56 example 18: Uccle, 6 July. */
START_TEST(uccle)
{
	struct radiation_day day = radiation_day(50.80, 187);
	struct evapo_day d = {.tmin_c = 12.3,
			      .tmax_c = 21.5,
			      .vapour_kpa = humid_vapour_day(12.3, 21.5, 0.84, 0.63, NONE),
			      .wind_ms = wind_at(10 / 3.6, 10, 2),
			      .shortwave_mj = radiation_from_sunshine(&day, 9.25),
			      .clear_mj = radiation_clear_share(100) * day.extraterrestrial_mj,
			      .psychrometric_kpa_k = gamma_at(100)};
	struct evapo e = evapo_day(EVAPO_FAO56, &d);
	double slope = humid_slope(16.9, humid_saturation(16.9)), es = humid_saturation_day(12.3, 21.5);

	ROW_NEAR("FAO-56 example 18", d.wind_ms, 2.078, 0.0005);
	ROW_NEAR("FAO-56 example 18, unrounded", d.wind_ms, 2.07764, 5e-6);
	ROW_NEAR("FAO-56 example 18", humid_pressure(100), 100.1, 0.05);
	ROW_NEAR("FAO-56 example 18, unrounded", humid_pressure(100), 100.1235, 5e-5);
	ROW_NEAR("FAO-56 example 18", slope, 0.122, 0.0005);
	ROW_NEAR("FAO-56 example 18, unrounded", slope, 0.122113, 5e-7);
	ROW_NEAR("FAO-56 example 18", d.psychrometric_kpa_k, 0.0666, 0.00005);
	ROW_NEAR("FAO-56 example 18, unrounded", d.psychrometric_kpa_k, 0.066582, 5e-7);
	ROW_NEAR("FAO-56 example 18", es, 1.997, 0.0005);
	ROW_NEAR("FAO-56 example 18, unrounded", es, 1.99749, 5e-6);
	ROW_NEAR("FAO-56 example 18", d.vapour_kpa, 1.409, 0.0005);
	ROW_NEAR("FAO-56 example 18, unrounded", d.vapour_kpa, 1.40862, 5e-6);
	ROW_NEAR("FAO-56 example 18", e.net_mj, 13.28, 0.005);
	ROW_NEAR("FAO-56 example 18, unrounded", e.net_mj, 13.2832, 5e-5);
	ROW_NEAR("FAO-56 example 18, energy", energy_part(EVAPO_FAO56, d), 2.81, 0.005);
	ROW_NEAR("FAO-56 example 18, wind", e.mm - energy_part(EVAPO_FAO56, d), 1.07, 0.005);
	ROW_NEAR("FAO-56 example 18", e.mm, 3.88, 0.005);
	ROW_NEAR("FAO-56 example 18, rounded", e.mm, 3.9, 0.05);
	ROW_NEAR("FAO-56 example 18, unrounded", e.mm, 3.8803, 5e-5);
}
END_TEST

/* FAO-56 example 19: N'Diaye, 1 October, two hours. */
START_TEST(ndiaye)
{
	struct radiation_day day = radiation_day(DEG(16, 13), 274);
	double angle = radiation_hour_angle(&day, -16.25, 15.5);
	double rso = radiation_clear_share(8) * radiation_extraterrestrial(&day, angle - M_PI / 24, angle + M_PI / 24);
	double es[2] = {humid_saturation(28), humid_saturation(38)};
	struct evapo_hour night = {28, 0.90 * es[0], 1.9, 0, radiation_cloudiness(0.8), gamma_at(8)};
	struct evapo_hour noon = {38, 0.52 * es[1], 3.3, 2.450, radiation_cloudiness(2.450 / rso), gamma_at(8)};
	struct evapo e = evapo_hour(EVAPO_FAO56, &night);

	ROW_NEAR("FAO-56 example 19, 02-03 h", humid_slope(28, es[0]), 0.220, 0.0005);
	ROW_NEAR("FAO-56 example 19, 02-03 h", night.psychrometric_kpa_k, 0.0673, 0.00005);
	ROW_NEAR("FAO-56 example 19, 02-03 h", es[0], 3.780, 0.0005);
	ROW_NEAR("FAO-56 example 19, 02-03 h", night.vapour_kpa, 3.402, 0.0005);
	ROW_NEAR("FAO-56 example 19, 02-03 h", e.net_mj, -0.100, 0.0005);
	ROW_NEAR("FAO-56 example 19, 02-03 h", e.ground_mj, -0.050, 0.0005);
	ROW_NEAR("FAO-56 example 19, 02-03 h", e.mm, 0.00, 0.005);
	ROW_NEAR("FAO-56 example 19, 02-03 h, unrounded", e.mm, 0.00434, 1e-5);
	e = evapo_hour(EVAPO_FAO56, &noon);
	ROW_NEAR("FAO-56 example 19, 14-15 h", humid_slope(38, es[1]), 0.358, 0.0005);
	ROW_NEAR("FAO-56 example 19, 14-15 h", es[1], 6.625, 0.0005);
	ROW_NEAR("FAO-56 example 19, 14-15 h", noon.vapour_kpa, 3.445, 0.0005);
	ROW_NEAR("FAO-56 example 19, 14-15 h", e.net_mj, 1.749, 0.0005);
	ROW_NEAR("FAO-56 example 19, 14-15 h", e.ground_mj, 0.175, 0.0005);
	ROW_NEAR("FAO-56 example 19, 14-15 h", e.mm, 0.63, 0.005);
	ROW_NEAR("FAO-56 example 19, 14-15 h, unrounded", e.mm, 0.62693, 1e-5);
	/* 0.46 + 0.17 */
	double gamma = noon.psychrometric_kpa_k, slope = humid_slope(38, es[1]);
	double wind_part = gamma * 37 / 311 * 3.3 * (es[1] - noon.vapour_kpa) / (slope + gamma * (1 + 0.34 * 3.3));
	ROW_NEAR("FAO-56 example 19, 14-15 h, wind", wind_part, 0.17, 0.005);
	ROW_NEAR("FAO-56 example 19, 14-15 h, energy", e.mm - wind_part, 0.46, 0.005);
}
END_TEST

/* FAO-56 example 13: Algiers, April between March and May. */
START_TEST(ground)
{
	ROW_NEAR("FAO-56 example 13", evapo_ground_month(14.1, 18.8, 2), 0.33, 0.005);
	ROW_NEAR("FAO-56 example 13, unrounded", evapo_ground_month(14.1, 18.8, 2), 0.329, 1e-9);
	ROW_NEAR("FAO-56 example 13, in mm", 0.408 * evapo_ground_month(14.1, 18.8, 2), 0.13, 0.005);
}
END_TEST

/* FAO-56 example 20: Lyon, July, from low and high alone; the second column computed elsewhere. */
static const struct {
	double wind_ms, printed, tol, unrounded;
} lyon[] = {{2, 4.56, 0.005, 4.5604}, {1, 4.2, 0.05, 4.2277}, {3, 4.8, 0.05, 4.8406}};

static const struct evapo_known nothing = {NONE, NONE, NONE, NONE, NONE, NONE, NONE, NONE, NONE, NONE};
static const struct evapo_site at_lyon = {4.83, 200, 2, EVAPO_DEW_UNDER_LOW_HUMID};

START_TEST(lyon_wind)
{
	struct radiation_day day = radiation_day(DEG(45, 43), 196);
	struct evapo_known k = nothing;
	k.tmin_c = 14.8;
	k.tmax_c = 26.6;
	k.wind_ms = lyon[_i].wind_ms;
	struct evapo_told e = evapo_day_known(&at_lyon, &day, RADIATION_RANGE_INLAND, &k);
	ROW_NEAR("FAO-56 example 20", e.mm, lyon[_i].printed, lyon[_i].tol);
	ROW_NEAR("FAO-56 example 20, unrounded", e.mm, lyon[_i].unrounded, 5e-5);
	ROW_INT("FAO-56 example 20", e.mark, EVAPO_SUN_ESTIMATED | EVAPO_HUMIDITY_ASSUMED);
	ROW_INT("FAO-56 example 20", e.sun, RADIATION_FROM_RANGE);
}
END_TEST

START_TEST(hargreaves)
{
	struct radiation_day day = radiation_day(DEG(45, 43), 196);
	struct evapo_known k = nothing;
	k.tmin_c = 14.8;
	k.tmax_c = 26.6;
	struct evapo_told e = evapo_day_known(&at_lyon, &day, RADIATION_RANGE_INLAND, &k);
	ROW_NEAR("FAO-56 example 20", e.mm, 5.0, 0.05);
	ROW_NEAR("FAO-56 example 20, unrounded", e.mm, 5.0331, 5e-5);
	ROW_INT("FAO-56 example 20", e.mark, EVAPO_SUN_ESTIMATED | EVAPO_FROM_EXTREMES_ALONE);
	ROW_NEAR("the same", evapo_hargreaves(14.8, 26.6, day.extraterrestrial_mj), e.mm, 0);
	ROW_NEAR("no range", evapo_hargreaves(14.8, 14.8, 40), 0, 0);
	ROW_NEAR("deep frost", evapo_hargreaves(-40, -20, 2), 0, 0);
	ROW_TRUE("low over high", isnan(evapo_hargreaves(15, 14, 40)));
	ROW_TRUE("no low", isnan(evapo_hargreaves(NONE, 14, 40)));
	ROW_TRUE("no radiation", isnan(evapo_hargreaves(4, 14, NONE)));
}
END_TEST

/* ASCE-EWRI 2005 app. C, ten days; the inputs are rounded. */
START_TEST(greeley_day)
{
	const struct greeley_day *g = &greeley_days[_i];
	struct radiation_day day = radiation_day(GREELEY_LAT, GREELEY_FIRST_DAY + _i);
	struct evapo_day d = {.tmin_c = g->tmin_c,
			      .tmax_c = g->tmax_c,
			      .vapour_kpa = g->ea_kpa,
			      .wind_ms = wind_at(g->wind_ms, GREELEY_WIND_HEIGHT, WIND_LOW_M),
			      .shortwave_mj = g->rs_mj,
			      .clear_mj = radiation_clear_share(GREELEY_ELEVATION) * day.extraterrestrial_mj,
			      .psychrometric_kpa_k = gamma_at(GREELEY_ELEVATION)};
	struct evapo low = evapo_day(EVAPO_SHORT, &d), tall = evapo_day(EVAPO_TALL, &d);
	double mean = (g->tmin_c + g->tmax_c) / 2;

	ROW_NEAR(g->name, humid_slope(mean, humid_saturation(mean)), g->slope, 0.0006);
	ROW_NEAR(g->name, low.net_mj, g->rn_mj, 0.05);
	ROW_NEAR(g->name, low.mm, g->short_mm, 0.025);
	ROW_NEAR(g->name, tall.mm, g->tall_mm, 0.025);
	ROW_NEAR(g->name, low.mm, g->short_unrounded, 6e-5);
	ROW_NEAR(g->name, tall.mm, g->tall_unrounded, 6e-5);
}
END_TEST

START_TEST(greeley_air)
{
	ROW_NEAR("ASCE-EWRI 2005 app. C", humid_pressure(GREELEY_ELEVATION), 85.17, 0.005);
	ROW_NEAR("ASCE-EWRI 2005 app. C", gamma_at(GREELEY_ELEVATION), 0.0566, 0.00005);
	ROW_NEAR("ASCE-EWRI 2005 app. C", wind_factor(GREELEY_WIND_HEIGHT, WIND_LOW_M), 0.921, 0.0005);
}
END_TEST

/* RefET's tests, full digits: Fallon, Nevada, 2015-07-01. */
START_TEST(fallon_day)
{
	struct radiation_day day = radiation_day(39.4575, 182);
	double tmin = (66.65 - 32) / 1.8, tmax = (102.80 - 32) / 1.8, mean = (tmin + tmax) / 2;
	struct evapo_day d = {.tmin_c = tmin,
			      .tmax_c = tmax,
			      .vapour_kpa = humid_saturation((49.84 - 32) / 1.8),
			      .wind_ms = wind_at(2.145792, 3, WIND_LOW_M),
			      .shortwave_mj = 674.07 * 0.041868,
			      .clear_mj = radiation_clear_share(1208.5) * day.extraterrestrial_mj,
			      .psychrometric_kpa_k = gamma_at(1208.5)};

	ROW_NEAR("Fallon", humid_pressure(1208.5), 87.80710537, 5e-9);
	ROW_NEAR("Fallon", d.vapour_kpa, 1.2206674170, 5e-10);
	ROW_NEAR("Fallon", humid_saturation_day(tmin, tmax), 4.6747236227, 5e-9);
	ROW_NEAR("Fallon, with FAO-56's 4098", humid_slope(mean, humid_saturation(mean)), 0.23488582, 6e-6);
	ROW_NEAR("Fallon", d.wind_ms, 1.97611176, 5e-9);
	ROW_NEAR("Fallon", evapo_day(EVAPO_TALL, &d).mm, 10.62608767, 5e-8);
	ROW_NEAR("Fallon", evapo_day(EVAPO_SHORT, &d).mm, 7.99796891, 5e-8);
}
END_TEST

START_TEST(fallon_hour)
{
	struct evapo_hour h = {.air_c = (91.80 - 32) / 1.8,
			       .vapour_kpa = humid_saturation((49.36 - 32) / 1.8),
			       .wind_ms = wind_at(3.33 * 0.44704, 3, WIND_LOW_M),
			       .shortwave_mj = 61.16 * 0.041868,
			       .cloudiness = 0.68690109,
			       .psychrometric_kpa_k = gamma_at(1208.5)};
	struct evapo low = evapo_hour(EVAPO_SHORT, &h), tall = evapo_hour(EVAPO_TALL, &h);
	ROW_NEAR("Fallon, 18 to 19 h UTC", low.net_mj, 1.74094330, 5e-9);
	ROW_NEAR("Fallon, 18 to 19 h UTC", low.mm, 0.60635154, 5e-8);
	ROW_NEAR("Fallon, 18 to 19 h UTC", tall.mm, 0.719637, 1e-6);
}
END_TEST

static struct evapo_day some_day(void)
{
	return (struct evapo_day){15, 28, 1.5, 2, 22, 30, 0, 0.066};
}

static struct evapo_hour some_hour(void)
{
	return (struct evapo_hour){24, 1.5, 2, 2.2, 0.8, 0.066};
}

/* More sun, drier air (until its clear sky costs more heat): more water goes; saturated air has no use for wind. */
START_TEST(monotone)
{
	for (enum evapo_form form = EVAPO_FAO56; form < EVAPO_FORMS; form++) {
		struct evapo_hour h = some_hour(), dry = h, bright = h, windy = h;
		struct evapo_day d = some_day(), dry_day = d, bright_day = d;
		for (int i = 0; i < 10; i++) {
			dry.vapour_kpa = h.vapour_kpa - 0.1 * i;
			bright.shortwave_mj = h.shortwave_mj + 0.1 * i;
			dry_day.vapour_kpa = d.vapour_kpa - 0.1 * i;
			bright_day.shortwave_mj = d.shortwave_mj + 0.5 * i;
			struct evapo_hour drier = dry, brighter = bright;
			struct evapo_day drier_day = dry_day, brighter_day = bright_day;
			drier.vapour_kpa -= 0.05;
			brighter.shortwave_mj += 0.05;
			drier_day.vapour_kpa -= 0.05;
			brighter_day.shortwave_mj += 0.25;
			ROW_TRUE("drier hour", evapo_hour(form, &drier).mm > evapo_hour(form, &dry).mm);
			ROW_TRUE("brighter hour", evapo_hour(form, &brighter).mm > evapo_hour(form, &bright).mm);
			ROW_TRUE("drier day", evapo_day(form, &drier_day).mm > evapo_day(form, &dry_day).mm);
			ROW_TRUE("brighter day", evapo_day(form, &brighter_day).mm > evapo_day(form, &bright_day).mm);
		}
		windy.vapour_kpa = humid_saturation(windy.air_c);
		double calm_mm = evapo_hour(form, &windy).mm;
		windy.wind_ms = 6;
		ROW_TRUE("wind in saturated air", evapo_hour(form, &windy).mm < calm_mm);
		windy.vapour_kpa += 0.2;
		ROW_TRUE("over saturation as at it", evapo_hour(form, &windy).mm > 0);
	}
}
END_TEST

START_TEST(wind_floor)
{
	struct evapo_hour h = some_hour(), calm = h;
	h.wind_ms = 0.5;
	calm.wind_ms = 0;
	ROW_NEAR("FAO-56", evapo_hour(EVAPO_FAO56, &calm).mm, evapo_hour(EVAPO_FAO56, &h).mm, 0);
	ROW_TRUE("ASCE", evapo_hour(EVAPO_SHORT, &calm).mm < evapo_hour(EVAPO_SHORT, &h).mm);
}
END_TEST

START_TEST(nothing_from_nothing)
{
	double *of_hour[6], *of_day[8];
	struct evapo_hour h;
	struct evapo_day d;
	of_hour[0] = &h.air_c;
	of_hour[1] = &h.vapour_kpa;
	of_hour[2] = &h.wind_ms;
	of_hour[3] = &h.shortwave_mj;
	of_hour[4] = &h.cloudiness;
	of_hour[5] = &h.psychrometric_kpa_k;
	of_day[0] = &d.tmin_c;
	of_day[1] = &d.tmax_c;
	of_day[2] = &d.vapour_kpa;
	of_day[3] = &d.wind_ms;
	of_day[4] = &d.shortwave_mj;
	of_day[5] = &d.clear_mj;
	of_day[6] = &d.ground_mj;
	of_day[7] = &d.psychrometric_kpa_k;
	for (int form = 0; form < EVAPO_FORMS; form++) {
		for (int i = 0; i < ROWS(of_hour); i++) {
			h = some_hour();
			*of_hour[i] = NONE;
			ROW_TRUE("hour", isnan(evapo_hour((enum evapo_form)form, &h).mm));
		}
		for (int i = 0; i < ROWS(of_day); i++) {
			d = some_day();
			*of_day[i] = NONE;
			ROW_TRUE("day", isnan(evapo_day((enum evapo_form)form, &d).mm));
		}
		h = some_hour();
		d = some_day();
		h.wind_ms = d.wind_ms = -1;
		ROW_TRUE("wind under 0", isnan(evapo_hour((enum evapo_form)form, &h).mm) &&
					     isnan(evapo_day((enum evapo_form)form, &d).mm));
	}
	d = some_day();
	d.shortwave_mj = d.clear_mj = 0;
	ROW_TRUE("polar night", isfinite(evapo_day(EVAPO_FAO56, &d).mm));
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("evapo");
	TCase *tc = tcase_create("evapo");
	tcase_add_test(tc, bangkok);
	tcase_add_test(tc, uccle);
	tcase_add_test(tc, ndiaye);
	tcase_add_test(tc, ground);
	tcase_add_loop_test(tc, lyon_wind, 0, ROWS(lyon));
	tcase_add_test(tc, hargreaves);
	tcase_add_loop_test(tc, greeley_day, 0, GREELEY_DAYS);
	tcase_add_test(tc, greeley_air);
	tcase_add_test(tc, fallon_day);
	tcase_add_test(tc, fallon_hour);
	tcase_add_test(tc, monotone);
	tcase_add_test(tc, wind_floor);
	tcase_add_test(tc, nothing_from_nothing);
	suite_add_tcase(s, tc);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
