/* Reference evapotranspiration of whole records: hours on end, gaps, days. */
#include <stdbool.h>

#include "base/date.h"
#include "base/instant.h"
#include "greeley.h"
#include "lib/harness.h"
#include "physics/evapo.h"
#include "physics/humid.h"
#include "physics/wind.h"

#define NONE    ((double)NAN)
#define ROWS(a) ((int)(sizeof(a) / sizeof(a)[0]))

enum { DAYS = 5, N = DAYS * 24 };

static double air[N], vapour[N], wind[N], light_given[N], cloud_given[N];
static double light[N], clear[N], cloud[N], mm[N];
static uint8_t sun_mark[N], mark[N];
static const struct insolation sun = {light, clear, cloud, sun_mark};

static const struct insolation_site greeley_sky = {GREELEY_LAT, GREELEY_LON, GREELEY_ELEVATION, RADIATION_RANGE_INLAND};
static const struct evapo_site greeley = {GREELEY_LON, GREELEY_ELEVATION, GREELEY_WIND_HEIGHT, EVAPO_DEW_UNDER_LOW_DRY};

static struct date date(int year, int month, int day)
{
	struct date d = date_none();
	ck_assert(date_of(year, month, day, &d));
	return d;
}

static void run(enum evapo_form form, const struct insolation_site *sky, const struct evapo_site *site, int64_t first,
		size_t n)
{
	struct insolation_given above = {first, n, light_given, cloud_given, air};
	struct evapo_given below = {first, n, air, vapour, wind};
	insolation_hours(sky, &above, &sun);
	evapo_hours(form, site, &below, &sun, mm, mark);
}

static void run_greeley(enum evapo_form form)
{
	for (int i = 0; i < GREELEY_HOURS; i++) {
		air[i] = greeley_hours[i].temp_c;
		vapour[i] = greeley_hours[i].ea_kpa;
		wind[i] = greeley_hours[i].wind_ms;
		light_given[i] = greeley_hours[i].rs_mj / RADIATION_MJ_PER_WM2_HOUR;
		cloud_given[i] = NONE;
	}
	int64_t first = instant_at(date(2000, 7, 1), GREELEY_FIRST_HOUR * HOUR_S, GREELEY_ZONE_H * HOUR_S);
	run(form, &greeley_sky, &greeley, first, GREELEY_HOURS);
}

/* ASCE-EWRI 2005 app. C, thirty hours: sunlight, cloudiness through the night, short and tall, as one record. */
START_TEST(greeley_hour)
{
	const struct greeley_hour *g = &greeley_hours[_i];
	run_greeley(EVAPO_TALL);
	ROW_NEAR(g->name, mm[_i], g->tall_mm, 0.0051);
	ROW_NEAR(g->name, mm[_i], g->tall_unrounded, 6e-5);
	run_greeley(EVAPO_SHORT);
	ROW_NEAR(g->name, mm[_i], g->short_mm, 0.0051);
	ROW_NEAR(g->name, mm[_i], g->short_unrounded, 6e-5);
	ROW_INT(g->name, mark[_i], 0);
	if (!isnan(g->ra_mj))
		ROW_NEAR(g->name, clear[_i] * RADIATION_MJ_PER_WM2_HOUR / radiation_clear_share(GREELEY_ELEVATION),
			 g->ra_mj, 0.0051);
}
END_TEST

/* Net radiation of the same hours, with the cloudiness that rows 3 and 27 set for the nights. */
START_TEST(greeley_net)
{
	const struct greeley_hour *g = &greeley_hours[_i];
	run_greeley(EVAPO_SHORT);
	double cloudiness = 0;
	for (int i = 0; i <= _i; i++)
		if (sun_mark[i] & INSOLATION_HIGH_SUN)
			cloudiness = radiation_cloudiness(light[i] / clear[i]);
	struct evapo_hour h = {g->temp_c, g->ea_kpa,  wind_at(g->wind_ms, GREELEY_WIND_HEIGHT, WIND_LOW_M),
			       g->rs_mj,  cloudiness, humid_psychrometric(humid_pressure(GREELEY_ELEVATION))};
	struct evapo e = evapo_hour(EVAPO_SHORT, &h);
	ROW_NEAR("one hour or many", e.mm, mm[_i], 1e-15);
	if (!isnan(g->rn_mj))
		ROW_NEAR(g->name, e.net_mj, g->rn_mj, 0.0015);
	if (_i > 2 && _i < 15)
		ROW_NEAR("overcast evening", cloudiness, 0.055, 1e-12);
	if (_i > 26)
		ROW_NEAR("second evening", cloudiness, 0.465, 0.0005);
}
END_TEST

/* An invented garden by a lake; clear days with a breeze. */
static const struct insolation_site lake_sky = {44.31, -89.90, 330, RADIATION_RANGE_INLAND};
static const struct evapo_site lake = {-89.90, 330, WIND_HIGH_M, EVAPO_DEW_UNDER_LOW_HUMID};

static int64_t fill(void)
{
	for (int i = 0; i < N; i++) {
		air[i] = 20 + 6 * cos((i - 15) * M_PI / 12);
		vapour[i] = humid_saturation(13);
		wind[i] = 3;
		light_given[i] = NONE;
		cloud_given[i] = 0.3;
	}
	return instant_at(date(2031, 6, 18), 0, -6 * HOUR_S);
}

START_TEST(gaps_are_marked)
{
	int64_t first = fill();
	light_given[36] = 700;
	wind[40] = NONE;
	wind[41] = -3;
	vapour[42] = NONE;
	air[60] = NONE;
	cloud_given[64] = NONE;
	run(EVAPO_SHORT, &lake_sky, &lake, first, N);

	ROW_INT("from cloud", mark[37], EVAPO_SUN_ESTIMATED);
	ROW_INT("measured", mark[36], 0);
	ROW_INT("no wind", mark[40], EVAPO_WIND_ASSUMED | EVAPO_SUN_ESTIMATED);
	ROW_INT("wind under 0", mark[41], EVAPO_WIND_ASSUMED | EVAPO_SUN_ESTIMATED);
	ROW_INT("no humidity", mark[42], EVAPO_HUMIDITY_ASSUMED | EVAPO_SUN_ESTIMATED);
	ROW_TRUE("no air", isnan(mm[60]));
	ROW_TRUE("filled", mm[40] > 0 && mm[41] > 0 && mm[42] > 0 && mm[64] > 0);

	struct evapo_hour h = {air[42],
			       humid_saturation(14), /* the low of the day */
			       3 * wind_factor(WIND_HIGH_M, WIND_LOW_M),
			       light[42] * RADIATION_MJ_PER_WM2_HOUR,
			       radiation_cloudiness(light[42] / clear[42]),
			       humid_psychrometric(humid_pressure(330))};
	ROW_NEAR("FAO-56 eq. 48", mm[42], evapo_hour(EVAPO_SHORT, &h).mm, 1e-12);
	h.vapour_kpa = vapour[40];
	h.air_c = air[40];
	h.wind_ms = 2;
	h.shortwave_mj = light[40] * RADIATION_MJ_PER_WM2_HOUR;
	h.cloudiness = radiation_cloudiness(light[40] / clear[40]);
	ROW_NEAR("FAO-56 p. 63", mm[40], evapo_hour(EVAPO_SHORT, &h).mm, 1e-12);
}
END_TEST

START_TEST(dry_country)
{
	struct evapo_site dry = lake;
	int64_t first = fill();
	dry.dew_under_low_k = EVAPO_DEW_UNDER_LOW_DRY;
	vapour[42] = NONE;
	run(EVAPO_SHORT, &lake_sky, &lake, first, N);
	double humid_mm = mm[42];
	run(EVAPO_SHORT, &lake_sky, &dry, first, N);
	ROW_TRUE("more", mm[42] > humid_mm);
}
END_TEST

START_TEST(lows_need_a_day)
{
	int64_t first = fill();
	for (int i = 24; i < 24 + 5; i++)
		air[i] = NONE;
	vapour[30] = vapour[60] = NONE;
	run(EVAPO_SHORT, &lake_sky, &lake, first, N);
	ROW_TRUE("19 hours have no low", isnan(mm[30]));
	ROW_TRUE("24 hours", mm[60] > 0);
}
END_TEST

/* The sky of a night is that of the evening before, for a day; then reported cloud, then FAO-56's middle. */
START_TEST(sky_at_night)
{
	int64_t first = fill();
	run(EVAPO_SHORT, &lake_sky, &lake, first, N);
	ROW_INT("before the first sun", mark[2], EVAPO_SKY_ASSUMED);
	ROW_INT("the first night", mark[23], 0);
	ROW_INT("and morning", mark[26], 0);
	double clear_mm = mm[26];

	for (int i = 24; i < N; i++)
		air[i] = cloud_given[i] = NONE;
	air[26] = air[2];
	air[50] = air[2];
	run(EVAPO_SHORT, &lake_sky, &lake, first, N);
	ROW_INT("carried", mark[26], 0);
	ROW_NEAR("carried", mm[26], clear_mm, 1e-12);
	ROW_INT("too old", mark[50], EVAPO_SKY_ASSUMED);
	struct evapo_hour h = {air[50],
			       vapour[50],
			       3 * wind_factor(WIND_HIGH_M, WIND_LOW_M),
			       0,
			       radiation_cloudiness(EVAPO_NIGHT_SHARE),
			       humid_psychrometric(humid_pressure(330))};
	ROW_NEAR("FAO-56 p. 75", mm[50], evapo_hour(EVAPO_SHORT, &h).mm, 1e-12);
}
END_TEST

START_TEST(nothing_from_nothing)
{
	int64_t first = fill();
	struct insolation_given above = {first, N, NULL, NULL, NULL};
	struct evapo_given below = {first, N, NULL, vapour, wind};
	insolation_hours(&lake_sky, &above, &sun);
	evapo_hours(EVAPO_SHORT, &lake, &below, &sun, mm, mark);
	for (int i = 0; i < N; i++)
		ROW_TRUE("no air", isnan(mm[i]));
	below = (struct evapo_given){first, N, air, NULL, NULL};
	evapo_hours(EVAPO_SHORT, &lake, &below, &sun, mm, mark);
	for (int i = 0; i < N; i++)
		ROW_TRUE("no sun by day", isnan(mm[i]) == (clear[i] > 0));
	above.air_c = air;
	insolation_hours(&lake_sky, &above, &sun);
	evapo_hours(EVAPO_SHORT, &lake, &below, &sun, mm, mark);
	for (int i = 0; i < N; i++)
		ROW_TRUE("air alone", isfinite(mm[i]) && (mark[i] & (EVAPO_WIND_ASSUMED | EVAPO_HUMIDITY_ASSUMED)) ==
							     (EVAPO_WIND_ASSUMED | EVAPO_HUMIDITY_ASSUMED));
	below.n = above.n = 1;
	insolation_hours(&lake_sky, &above, &sun);
	evapo_hours(EVAPO_SHORT, &lake, &below, &sun, mm, mark);
	ROW_TRUE("a single hour of air", isnan(mm[0]));
	below.vapour_kpa = vapour;
	evapo_hours(EVAPO_SHORT, &lake, &below, &sun, mm, mark);
	ROW_INT("a single night hour", mark[0], EVAPO_WIND_ASSUMED | EVAPO_SKY_ASSUMED);
	ROW_TRUE("a single night hour", isfinite(mm[0]));
}
END_TEST

START_TEST(far_places)
{
	static const double lats[] = {-90, -70, 70, 90};
	int64_t first = fill();
	for (int l = 0; l < ROWS(lats); l++) {
		struct insolation_site sky = {lats[l], 25, 10, RADIATION_RANGE_COAST};
		struct evapo_site site = {25, 10, WIND_HIGH_M, 0};
		run(EVAPO_SHORT, &sky, &site, first, N);
		for (int i = 0; i < N; i++)
			ROW_TRUE("a number", isfinite(mm[i]) && mm[i] > -0.1 && mm[i] < 1.5);
	}
	struct evapo_site nowhere = {NONE, 10, WIND_HIGH_M, 0};
	run(EVAPO_SHORT, &lake_sky, &nowhere, first, N);
	ROW_TRUE("no longitude", isfinite(mm[12]));
	nowhere.elevation_m = NONE;
	run(EVAPO_SHORT, &lake_sky, &nowhere, first, N);
	ROW_TRUE("no elevation", isnan(mm[12]));
}
END_TEST

START_TEST(sums)
{
	int64_t first = fill();
	double sum = 0;
	run(EVAPO_SHORT, &lake_sky, &lake, first, N);
	for (int i = 0; i < 24; i++)
		sum += mm[24 + i];
	struct evapo_sum s = evapo_sum(mm + 24, mark + 24, 24);
	ROW_NEAR("parts", s.mm, sum, 1e-12);
	ROW_INT("known", s.known, 24);
	ROW_TRUE("estimated by day", s.estimated > 10 && s.estimated < 24);

	double noon = mm[36];
	mm[36] = NONE;
	s = evapo_sum(mm + 24, mark + 24, 24);
	ROW_NEAR("one hour", s.mm, sum - noon + (mm[35] + mm[37]) / 2, 1e-12);
	ROW_INT("known", s.known, 23);
	mm[24] = mm[47] = mm[46] = NONE;
	s = evapo_sum(mm + 24, mark + 24, 24);
	ROW_TRUE("four hours", isfinite(s.mm) && s.known == 20);
	mm[40] = NONE;
	s = evapo_sum(mm + 24, mark + 24, 24);
	ROW_TRUE("five hours", isnan(s.mm) && s.known == 19);
	ROW_TRUE("a day of 23 h", evapo_sum(mm + 48, mark + 48, 23).mm > 0);
	ROW_TRUE("no day", isnan(evapo_sum(mm + 48, mark + 48, 0).mm) && isnan(evapo_sum(mm + 48, mark + 48, 19).mm));
	for (int i = 0; i < 24; i++)
		mm[i] = -0.01;
	ROW_NEAR("a day of dew", evapo_sum(mm, mark, 24).mm, 0, 0);
}
END_TEST

/* Both standards on one clear summer day: the hours' sum lies within a tenth of FAO-56's day. */
START_TEST(hours_against_day)
{
	int64_t first = fill();
	for (int i = 0; i < N; i++)
		cloud_given[i] = 0;
	run(EVAPO_SHORT, &lake_sky, &lake, first, N);
	double by_hours = evapo_sum(mm + 48, mark + 48, 24).mm, shortwave = 0;
	for (int i = 48; i < 72; i++)
		shortwave += light[i] * RADIATION_MJ_PER_WM2_HOUR;
	struct radiation_day day = radiation_day(44.31, date_day_of_year(date(2031, 6, 20)));
	struct evapo_known k = {14, 26, 13, NONE, NONE, NONE, 3, shortwave, NONE, NONE};
	struct evapo_told by_day = evapo_day_known(&lake, &day, RADIATION_RANGE_INLAND, &k);
	ROW_INT("all known", by_day.mark, 0);
	ROW_TRUE("within a tenth", fabs(by_hours / by_day.mm - 1) < 0.1);
}
END_TEST

static const struct evapo_known nothing = {NONE, NONE, NONE, NONE, NONE, NONE, NONE, NONE, NONE, NONE};

/* One day, more and more of it known. */
START_TEST(known_days)
{
	struct radiation_day day = radiation_day(44.31, 172);
	struct evapo_known k = nothing;
	struct evapo_told e = evapo_day_known(&lake, &day, RADIATION_RANGE_INLAND, &k);
	ROW_TRUE("nothing", isnan(e.mm));
	k.wind_ms = 3;
	k.shortwave_mj = 25;
	e = evapo_day_known(&lake, &day, RADIATION_RANGE_INLAND, &k);
	ROW_TRUE("no temperature", isnan(e.mm));
	k = nothing;
	k.tmin_c = 12;
	k.tmax_c = 27;
	e = evapo_day_known(&lake, &day, RADIATION_RANGE_INLAND, &k);
	ROW_INT("extremes", e.mark, EVAPO_SUN_ESTIMATED | EVAPO_FROM_EXTREMES_ALONE);
	k.cloud_frac = 0.4;
	e = evapo_day_known(&lake, &day, RADIATION_RANGE_INLAND, &k);
	ROW_INT("cloud", e.mark, EVAPO_SUN_ESTIMATED | EVAPO_WIND_ASSUMED | EVAPO_HUMIDITY_ASSUMED);
	ROW_INT("cloud", e.sun, RADIATION_FROM_CLOUD);
	k.sunshine_h = 10;
	k.rh_mean = 0.7;
	e = evapo_day_known(&lake, &day, RADIATION_RANGE_INLAND, &k);
	ROW_INT("sunshine, humidity", e.mark, EVAPO_SUN_ESTIMATED | EVAPO_WIND_ASSUMED);
	ROW_INT("sunshine, humidity", e.sun, RADIATION_FROM_SUNSHINE);
	k.shortwave_mj = 25;
	k.dew_point_c = 11;
	k.wind_ms = -1;
	e = evapo_day_known(&lake, &day, RADIATION_RANGE_INLAND, &k);
	ROW_INT("all but wind", e.mark, EVAPO_WIND_ASSUMED);
	k.wind_ms = 3;
	e = evapo_day_known(&lake, &day, RADIATION_RANGE_INLAND, &k);
	ROW_INT("all", e.mark, 0);
	ROW_INT("all", e.sun, RADIATION_MEASURED);
	k.tmin_c = 28;
	e = evapo_day_known(&lake, &day, RADIATION_RANGE_INLAND, &k);
	ROW_TRUE("low over high", isnan(e.mm));
	struct radiation_day night = radiation_day(80, 355);
	k = (struct evapo_known){-25, -20, -26, NONE, NONE, NONE, 3, NONE, NONE, NONE};
	e = evapo_day_known(&lake, &night, RADIATION_RANGE_INLAND, &k);
	ROW_TRUE("polar night", e.mm >= 0 && e.mm < 0.5);
	ROW_INT("polar night", e.sun, RADIATION_DARK);
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("evapo_hours");
	TCase *tc = tcase_create("evapo_hours");
	tcase_add_loop_test(tc, greeley_hour, 0, GREELEY_HOURS);
	tcase_add_loop_test(tc, greeley_net, 0, GREELEY_HOURS);
	tcase_add_test(tc, gaps_are_marked);
	tcase_add_test(tc, dry_country);
	tcase_add_test(tc, lows_need_a_day);
	tcase_add_test(tc, sky_at_night);
	tcase_add_test(tc, nothing_from_nothing);
	tcase_add_test(tc, far_places);
	tcase_add_test(tc, sums);
	tcase_add_test(tc, hours_against_day);
	tcase_add_test(tc, known_days);
	suite_add_tcase(s, tc);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
