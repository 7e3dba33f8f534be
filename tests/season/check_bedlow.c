#include "season/bedlow.h"

#include <string.h>

#include "base/instant.h"
#include "lib/bed.h"
#include "lib/harness.h"
#include "physics/bed.h"

/* The night of 19 May 2026 at 44.31 N 89.90 W: hours from 18:00 to 09:00 of standard time, six hours behind UTC. */
#define LAT 44.31
#define LON (-89.90)

enum { SERIES_H = 48 };

static struct hours h;
static struct fault f;
static const double width_m[] = {0.10, 0.05};
static struct bedlow low[2];

static void set_up(void)
{
	int64_t noon = instant_at(bed_day(0), 12 * HOUR_S, -6 * HOUR_S);
	ck_assert_int_eq(hours_init(&h, noon, SERIES_H, &f), FAULT_NONE);
}

static void tear_down(void)
{
	hours_free(&h);
}

static void all(enum var v, double x)
{
	for (size_t i = 0; i < h.n; i++)
		hours_set(&h, v, h.first + (int64_t)i * HOUR_S, x, ORIGIN_FORECAST);
}

static void weather(double air_c, double rh, double wind_ms, double cloud)
{
	all(VAR_AIR_TEMPERATURE, air_c);
	all(VAR_HUMIDITY, rh);
	all(VAR_WIND, wind_ms);
	all(VAR_CLOUD, cloud);
	all(VAR_PRECIPITATION, 0);
}

static struct night judge(void)
{
	struct night n = night_of(&h, bed_day(0), LAT, LON, h.first);
	bedlow_of(&h, &n, LAT, LON, width_m, 2, low);
	return n;
}

/*
 * 10 C, 50 %, clear, 0.5 m/s at the leaf (1.2048 m/s at 10 m by the factor 0.415), 0.10 m wide: the balance of Campbell
 * & Norman 1998 solved without linearisation gives 7.439 C.  The bed lies 0.55 of that under the air.
 */
START_TEST(a_clear_calm_night)
{
	weather(10, 0.50, 1.2048, 0);
	judge();
	ROW_NEAR("air", low[0].air_c, 10, 1e-12);
	ROW_NEAR("leaf", low[0].leaf_c, 7.439, 0.05);
	ROW_NEAR("bed", low[0].bed_c, 10 - 0.55 * (10 - 7.439), 0.03);
	ck_assert(!low[0].by_class && !low[0].frost);
	ROW_NEAR("wind", low[0].wind_ms, 1.2048, 1e-12);
	/* 6.130 hPa is half of saturation at 10 C (WMO-No. 8): the dew point of ice's melting, nearly. */
	ROW_NEAR("dew point", low[0].dew_point_c, 0.05, 0.05);
	/* A narrow leaf stays nearer to the air, and so does what is reckoned from it. */
	ck_assert(low[1].leaf_c > low[0].leaf_c && low[1].bed_c > low[0].bed_c);
}
END_TEST

/* Rows of wind and cloud from still and clear to stormy and overcast: the order that any grower knows. */
START_TEST(wind_and_cloud_keep_it_warm)
{
	static const double wind[] = {0.5, 2, 5, 12}, cloud[] = {0, 0.5, 1};
	double before = -99;
	for (size_t w = 0; w < 4; w++) {
		weather(3, 0.7, wind[w], 0);
		judge();
		ck_assert(low[0].leaf_c > before);
		before = low[0].leaf_c;
	}
	before = -99;
	for (size_t k = 0; k < 3; k++) {
		weather(3, 0.7, 1, cloud[k]);
		judge();
		ck_assert(low[0].leaf_c > before);
		before = low[0].leaf_c;
	}
	ck_assert(before > 3 - 1);
}
END_TEST

/* Lows keep their order whatever the night: leaf and bed at most as warm as the air, the bed at most 1.7 K down. */
START_TEST(in_order)
{
	for (int i = 0; i < 400; i++) {
		weather(-8 + i % 21, 0.3 + 0.07 * (i % 11), 0.4 * (i % 17), (i % 5) / 4.0);
		struct night n = judge();
		ROW_TRUE("leaf", low[0].leaf_c <= n.low_c + 1e-9);
		ROW_TRUE("bed", low[0].bed_c <= n.low_c + 1e-9 && low[0].bed_c >= n.low_c - BED_MOST_K - 1e-9);
		ROW_TRUE("frost", low[0].frost == (low[0].leaf_c <= 0));
	}
}
END_TEST

/* Without humidity, wind and cloud the class of calm, clear nights: 1.5 and 2.5 K (Rahn & Brown 1971). */
START_TEST(temperature_alone)
{
	all(VAR_AIR_TEMPERATURE, 4);
	judge();
	ROW_NEAR("bed", low[0].bed_c, 2.5, 1e-9);
	ROW_NEAR("leaf", low[0].leaf_c, 1.5, 1e-9);
	ck_assert(low[0].by_class);
	ck_assert(isnan(low[0].dew_point_c) && isnan(low[0].deposit_mm));
}
END_TEST

START_TEST(a_windows_minimum_lowers_all)
{
	weather(5, 0.80, 1.2048, 0);
	judge();
	struct bedlow before = low[0];
	int64_t evening = instant_at(bed_day(0), 20 * HOUR_S, -6 * HOUR_S);
	hours_set(&h, VAR_WINDOW_MINIMUM, evening, 2, ORIGIN_FORECAST);
	hours_set(&h, VAR_WINDOW_MINIMUM_SPAN, evening, 12, ORIGIN_FORECAST);
	judge();
	ROW_NEAR("air", low[0].air_c, 2, 1e-9);
	ROW_NEAR("bed", low[0].bed_c, before.bed_c - 3, 1e-9);
	ROW_NEAR("leaf", low[0].leaf_c, before.leaf_c - 3, 1e-9);
	ck_assert(low[0].frost);
	/* And one without any hour under it. */
	all(VAR_AIR_TEMPERATURE, (double)NAN);
	judge();
	ROW_NEAR("bed", low[0].bed_c, 0.5, 1e-9);
	ROW_NEAR("leaf", low[0].leaf_c, -0.5, 1e-9);
	ck_assert(low[0].at == INSTANT_NONE);
}
END_TEST

START_TEST(nothing_known)
{
	judge();
	ck_assert(isnan(low[0].air_c) && isnan(low[0].bed_c) && isnan(low[0].leaf_c));
	ck_assert(low[0].at == INSTANT_NONE && !low[0].frost);
}
END_TEST

/* The sun of the morning warms the leaf; that it is not known does not. */
START_TEST(sun)
{
	weather(5, 0.80, 1, 0);
	judge();
	double dark_c = low[0].leaf_c;
	all(VAR_SHORTWAVE, 400);
	judge();
	ROW_NEAR("the hours before sunrise decide", low[0].leaf_c, dark_c, 1e-9);
	/* With the coldest air after sunrise: sun on the leaf. */
	int64_t eight = instant_at(bed_day(1), 8 * HOUR_S, -6 * HOUR_S);
	hours_set(&h, VAR_AIR_TEMPERATURE, eight, 3, ORIGIN_FORECAST);
	judge();
	ck_assert(low[0].leaf_c > 3 - 3.2);
	ck_assert_int_ne(low[0].at, eight);
	hours_set(&h, VAR_SHORTWAVE, eight, (double)NAN, ORIGIN_NONE);
	judge();
	ck_assert_int_eq(low[0].at, eight);
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("season/bedlow");
	TCase *t = tcase_create("bedlow");
	tcase_add_checked_fixture(t, set_up, tear_down);
	tcase_add_test(t, a_clear_calm_night);
	tcase_add_test(t, wind_and_cloud_keep_it_warm);
	tcase_add_test(t, in_order);
	tcase_add_test(t, temperature_alone);
	tcase_add_test(t, a_windows_minimum_lowers_all);
	tcase_add_test(t, nothing_known);
	tcase_add_test(t, sun);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
