#include <math.h>

#include "base/instant.h"
#include "lib/harness.h"
#include "season/dayhours.h"

static struct hours hours;
static struct zone zone;
static struct fault fault;

static struct date day(int year, int month, int d)
{
	struct date out;
	ck_assert(date_of(year, month, d, &out));
	return out;
}

/* Days on which the clock is changed, and others; where noon's light is known. */
static const struct {
	const char *name, *zone;
	double lat, lon;
	int year, month, day;
	int n;
} rows[] = {
    {"an ordinary day", "America/Chicago", 44.3, -89.9, 2026, 5, 19, 24},
    {"spring forward", "America/Chicago", 44.3, -89.9, 2026, 3, 8, 23},
    {"fall back", "America/Chicago", 44.3, -89.9, 2026, 11, 1, 25},
    {"spring forward in the south", "Australia/Hobart", -42.9, 147.3, 2026, 10, 4, 23},
    {"half an hour of it", "Australia/Lord_Howe", -31.5, 159.1, 2026, 10, 4, 23},
    {"a zone of half hours", "Asia/Kolkata", 22.6, 88.4, 2026, 5, 19, 24},
};

START_TEST(hours_of_a_day)
{
	const char *row = rows[_i].name;
	static struct dayhours got[3];
	struct date d = day(rows[_i].year, rows[_i].month, rows[_i].day);
	ck_assert_int_eq(
	    zone_load(rows[_i].zone, instant_at(d, 0, 0) - 5 * DAY_S, instant_at(d, 0, 0) + 5 * DAY_S, &zone, &fault),
	    FAULT_NONE);
	ck_assert_int_eq(hours_init(&hours, instant_at(d, 0, 0) - 3 * DAY_S, 7 * 24, &fault), FAULT_NONE);
	for (size_t i = 0; i < hours.n; i++) {
		int64_t t = hours.first + (int64_t)i * HOUR_S;
		hours_set(&hours, VAR_AIR_TEMPERATURE, t, (double)i / 10, ORIGIN_FORECAST);
		hours_set(&hours, VAR_WIND, t, 4, ORIGIN_FORECAST);
		hours_set(&hours, VAR_CLOUD, t, 0, ORIGIN_FORECAST);
		hours_set(&hours, VAR_PRECIPITATION, t, 0.5, ORIGIN_FORECAST);
	}
	dayhours_of(&hours, &zone, date_add(d, -1), 3, rows[_i].lat, rows[_i].lon, 100, got);
	ROW_INT(row, got[1].date.n, d.n);
	ROW_INT(row, got[1].n, rows[_i].n);
	for (int k = 0; k < 2; k++)
		ROW_INT(row, got[k].first + (int64_t)got[k].n * HOUR_S, got[k + 1].first);
	int light = 0;
	for (int i = 0; i < got[1].n; i++) {
		const struct dayhour *h = &got[1].hour[i];
		int64_t t = got[1].first + (int64_t)i * HOUR_S;
		ROW_NEAR(row, h->air_c, hours_get(&hours, VAR_AIR_TEMPERATURE, t), 0);
		ROW_NEAR(row, h->gust_ms, 6, 1e-12);
		/* A clear sky, and light where there is sun; at the edges of the day the two round differently. */
		ROW_NEAR(row, h->sun_wm2, h->clear_wm2, 1e-9);
		ROW_TRUE(row, h->light || h->sun_wm2 < 60);
		light += h->light;
	}
	ROW_TRUE(row, light >= 10 && light <= 15);
	int known;
	ROW_NEAR(row, dayhours_rain(got, 3, got[1].first, got[2].first, &known), 0.5 * rows[_i].n, 1e-9);
	ROW_INT(row, known, rows[_i].n);
	hours_free(&hours);
}
END_TEST

/* What came in as sun and gust is taken before what is reckoned; what the series does not reach is not known. */
START_TEST(given_and_missing)
{
	static struct dayhours got[2];
	struct date d = day(2026, 5, 19);
	zone_fixed("Test/Lane", -5 * HOUR_S, &zone);
	ck_assert_int_eq(hours_init(&hours, instant_at(d, 12 * HOUR_S, -5 * HOUR_S), 2, &fault), FAULT_NONE);
	hours_set(&hours, VAR_SHORTWAVE, hours.first, 432, ORIGIN_FORECAST);
	hours_set(&hours, VAR_GUST, hours.first, 3, ORIGIN_FORECAST);
	hours_set(&hours, VAR_WIND, hours.first, 4, ORIGIN_FORECAST);
	dayhours_of(&hours, &zone, d, 2, 44.3, -89.9, (double)NAN, got);
	ROW_NEAR("sun", got[0].hour[12].sun_wm2, 432, 0);
	ROW_NEAR("gust", got[0].hour[12].gust_ms, 3, 0);
	ROW_TRUE("missing", isnan(got[0].hour[12].air_c) && isnan(got[0].hour[12].rain_mm));
	ROW_TRUE("before the series", isnan(got[0].hour[11].gust_ms) && isnan(got[0].hour[11].sun_wm2));
	ROW_TRUE("after the series", isnan(got[1].hour[3].air_c));
	int known;
	ROW_TRUE("no rain told", isnan(dayhours_rain(got, 2, got[0].first, got[1].first, &known)) && known == 0);
	hours_free(&hours);
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("dayhours");
	TCase *t = tcase_create("dayhours");
	tcase_add_loop_test(t, hours_of_a_day, 0, sizeof rows / sizeof *rows);
	tcase_add_test(t, given_and_missing);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
