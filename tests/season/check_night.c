#include "season/night.h"

#include "base/instant.h"
#include "lib/harness.h"

#define NONE ((double)NAN)

enum { SAMPLES = 16 };

/* An invented garden: local standard time is UTC - 6 h. */
static const double lat = 44.31, lon = -89.90;

static struct date date(int year, int month, int day)
{
	struct date d = date_none();
	ck_assert(date_of(year, month, day, &d));
	return d;
}

static int64_t utc(int year, int month, int day, int hour)
{
	return instant_at(date(year, month, day), hour * HOUR_S, 0);
}

static struct hours hours_of(int64_t first, size_t n)
{
	struct hours h;
	struct fault f;
	ck_assert_int_eq(hours_init(&h, first, n, &f), FAULT_NONE);
	return h;
}

/*
 * Spans.  Those of 60 N 0 E and 60 S 150 W rest on sunrises of the Naval Observatory's tables for
 * 2019: 09:02, 07:42, 19:06 UT; the others have it well before 09:00.
 */
static const struct {
	const char *name;
	double lat, lon;
	int evening[3];
	int first[4], last[4]; /* UTC */
	int wanted;
} spans[] = {
    {"May", 44.31, -89.90, {2026, 5, 12}, {2026, 5, 13, 0}, {2026, 5, 13, 15}, 16},
    {"clock goes forward", 44.31, -89.90, {2026, 3, 7}, {2026, 3, 8, 0}, {2026, 3, 8, 15}, 16},
    {"clock goes back", 44.31, -89.90, {2026, 10, 31}, {2026, 11, 1, 0}, {2026, 11, 1, 15}, 16},
    {"south, clock goes back", -33.87, 151.21, {2026, 4, 4}, {2026, 4, 4, 8}, {2026, 4, 4, 23}, 16},
    {"south, clock goes forward", -33.87, 151.21, {2026, 10, 3}, {2026, 10, 3, 8}, {2026, 10, 3, 23}, 16},
    {"half-hour zone, whole-hour standard time", 28.6, 77.2, {2026, 6, 1}, {2026, 6, 1, 13}, {2026, 6, 2, 4}, 16},
    {"Dublin", 53.35, -6.26, {2026, 10, 24}, {2026, 10, 24, 18}, {2026, 10, 25, 9}, 16},
    {"sunrise 09:02", 60, 0, {2018, 12, 31}, {2018, 12, 31, 18}, {2019, 1, 1, 10}, 17},
    {"sunrise 07:42", 60, 0, {2019, 2, 13}, {2019, 2, 13, 18}, {2019, 2, 14, 9}, 16},
    {"sunrise 09:06 in the south", -60, -150, {2019, 6, 20}, {2019, 6, 21, 4}, {2019, 6, 21, 20}, 17},
    {"polar night", 69.65, 18.96, {2025, 12, 20}, {2025, 12, 20, 17}, {2025, 12, 21, 8}, 16},
    {"midnight sun", 69.65, 18.96, {2025, 6, 20}, {2025, 6, 20, 17}, {2025, 6, 21, 8}, 16},
};

START_TEST(span)
{
	const char *row = spans[_i].name;
	const int *e = spans[_i].evening, *a = spans[_i].first, *b = spans[_i].last;
	struct hours h = hours_of(0, 0);
	struct night n = night_of(&h, date(e[0], e[1], e[2]), spans[_i].lat, spans[_i].lon, 0);

	ROW_INT(row, n.first, utc(a[0], a[1], a[2], a[3]));
	ROW_INT(row, n.last, utc(b[0], b[1], b[2], b[3]));
	ROW_INT(row, n.wanted, spans[_i].wanted);
	ROW_INT(row, n.known, 0);
	ROW_TRUE(row, !n.complete && isnan(n.low_c) && isnan(n.lowest_seen_c) && isnan(n.hours_low_c));
	ROW_TRUE(row, n.hours_low_at == INSTANT_NONE && isnan(n.cloud_frac) && isnan(n.wind_ms));
}
END_TEST

/* The night of 12 May: samples from 13 May 00:00 to 15:00 UTC, 8 C but 5 C at 05:00 standard time (11:00 UTC). */
static struct hours may_night(uint8_t origin)
{
	struct hours h = hours_of(utc(2026, 5, 12, 0), 96);
	for (int64_t t = h.first; t < hours_end(&h); t += HOUR_S)
		hours_set(&h, VAR_AIR_TEMPERATURE, t, 8, origin);
	hours_set(&h, VAR_AIR_TEMPERATURE, utc(2026, 5, 13, 11), 5, origin);
	return h;
}

static struct night may(const struct hours *h, int64_t cut)
{
	return night_of(h, date(2026, 5, 12), lat, lon, cut);
}

START_TEST(low)
{
	struct hours h = may_night(ORIGIN_OBSERVED);
	/* An hour before the night and one after it are colder: other nights' business. */
	hours_set(&h, VAR_AIR_TEMPERATURE, utc(2026, 5, 12, 23), -3, ORIGIN_OBSERVED);
	hours_set(&h, VAR_AIR_TEMPERATURE, utc(2026, 5, 13, 16), -4, ORIGIN_OBSERVED);
	struct night n = may(&h, utc(2026, 5, 14, 0));
	hours_free(&h);

	ROW_TRUE("low", n.complete && !n.bounded);
	ROW_NEAR("low", n.low_c, 5, 0);
	ROW_NEAR("low", n.hours_low_c, 5, 0);
	ROW_INT("low", n.hours_low_at, utc(2026, 5, 13, 11));
	ROW_INT("low", n.low_origin, ORIGIN_OBSERVED);
	ROW_INT("low", n.known, SAMPLES);
}
END_TEST

START_TEST(phases)
{
	struct hours h = hours_of(0, 0);
	ROW_INT("hour before", may(&h, utc(2026, 5, 12, 23)).phase, NIGHT_COMING);
	ROW_INT("first sample", may(&h, utc(2026, 5, 13, 0)).phase, NIGHT_RUNNING);
	ROW_INT("in the morning", may(&h, utc(2026, 5, 13, 15) - 1).phase, NIGHT_RUNNING);
	ROW_INT("last sample", may(&h, utc(2026, 5, 13, 15)).phase, NIGHT_PAST);
}
END_TEST

/*
 * One sample missing at each place.  The sun rises about 04:33 standard time, so 02:00 to 07:00
 * (places 8 to 13) must all be there; any other alone may be missing.
 */
START_TEST(one_missing)
{
	struct hours h = may_night(ORIGIN_FORECAST);
	hours_set(&h, VAR_AIR_TEMPERATURE, utc(2026, 5, 13, _i), NONE, ORIGIN_NONE);
	struct night n = may(&h, utc(2026, 5, 12, 11));
	hours_free(&h);

	ROW_INT("known", n.known, SAMPLES - 1);
	ck_assert_msg(n.complete == (_i < 8 || _i > 13), "place %d: complete is %d", _i, n.complete);
	ROW_TRUE("no low without it", n.complete || isnan(n.low_c));
	if (n.complete)
		ROW_NEAR("low", n.low_c, 5, 0);
}
END_TEST

/* Without a sunrise it is 03:00 to 09:00 of standard time (UTC + 1 h) that must be there. */
START_TEST(one_missing_in_polar_night)
{
	struct hours h = hours_of(utc(2025, 12, 20, 0), 48);
	for (int64_t t = h.first; t < hours_end(&h); t += HOUR_S)
		hours_set(&h, VAR_AIR_TEMPERATURE, t, -8, ORIGIN_OBSERVED);
	hours_set(&h, VAR_AIR_TEMPERATURE, utc(2025, 12, 20, 17 + _i), NONE, ORIGIN_NONE);
	struct night n = night_of(&h, date(2025, 12, 20), 69.65, 18.96, utc(2025, 12, 22, 0));
	hours_free(&h);

	ROW_TRUE("polar night", n.sunrise == INSTANT_NONE);
	ROW_INT("polar night", n.dark_hours, SAMPLES);
	ck_assert_msg(n.complete == (_i < 9), "place %d: complete is %d", _i, n.complete);
}
END_TEST

START_TEST(midnight_sun_is_not_dark)
{
	struct hours h = hours_of(0, 0);
	ROW_INT("midnight sun", night_of(&h, date(2025, 6, 20), 69.65, 18.96, 0).dark_hours, 0);
}
END_TEST

/* Three of sixteen may be missing, four may not; the evening's places 0 to 7 are outside the guard. */
START_TEST(count_missing)
{
	struct hours h = may_night(ORIGIN_FORECAST);
	for (int missing = 0; missing <= 8; missing++) {
		struct night n = may(&h, utc(2026, 5, 12, 11));
		ck_assert_msg(n.complete == (missing <= 3), "%d missing: complete is %d", missing, n.complete);
		ROW_NEAR("seen", n.lowest_seen_c, 5, 0);
		ROW_TRUE("low only when complete", isnan(n.low_c) == !n.complete);
		hours_set(&h, VAR_AIR_TEMPERATURE, utc(2026, 5, 13, missing), NONE, ORIGIN_NONE);
	}
	hours_free(&h);
}
END_TEST

/*
 * Window minima over a night whose samples go down to 5 C.  start: hours after its first sample
 * (18:00 standard time; the last is 15); cut: likewise.
 */
static const struct {
	const char *name;
	int start;
	double span_h, value;
	uint8_t origin;
	int cut;
	double want_low;
} windows[] = {
    {"the service's night, coming", 1, 13, 3, ORIGIN_FORECAST, -7, 3},
    {"warmer than the samples", 1, 13, 6, ORIGIN_FORECAST, -7, 5},
    {"six hours within", 6, 6, 2, ORIGIN_FORECAST, -7, 2},
    {"half of it in the night: evening", -3, 6, 1, ORIGIN_FORECAST, -7, 1},
    {"less than half: evening", -4, 6, 1, ORIGIN_FORECAST, -7, 5},
    {"half of it in the night: morning", 12, 6, 1, ORIGIN_FORECAST, -7, 1},
    {"less than half: morning", 13, 6, 1, ORIGIN_FORECAST, -7, 5},
    {"a whole day, half of it night and more", -6, 24, 1, ORIGIN_FORECAST, -7, 1},
    {"a day and little night", -15, 24, 1, ORIGIN_FORECAST, -17, 5},
    {"a whole day, from 06:00", -12, 24, 1, ORIGIN_FORECAST, -17, 1},
    {"longer than a day", -7, 30, 1, ORIGIN_FORECAST, -17, 5},
    {"span of nothing", 6, 0, 1, ORIGIN_FORECAST, -7, 5},
    {"no span", 6, NONE, 1, ORIGIN_FORECAST, -7, 5},
    {"window of the night before", -23, 13, 1, ORIGIN_OBSERVED, 40, 5},
    {"forecast, over by the cut", 6, 6, 1, ORIGIN_FORECAST, 12, 5},
    {"forecast, an hour to run", 6, 6, 1, ORIGIN_FORECAST, 11, 1},
    {"forecast, long over", 1, 13, 1, ORIGIN_FORECAST, 40, 5},
    {"analysed, over", 6, 6, 1, ORIGIN_ANALYSED, 12, 1},
    {"observed, long over", 1, 13, 1, ORIGIN_OBSERVED | ORIGIN_WHOLE_HOUR, 40, 1},
    {"interpolated, over", 6, 6, 1, ORIGIN_INTERPOLATED, 40, 5},
};

START_TEST(window_minima)
{
	const char *row = windows[_i].name;
	struct hours h = may_night(ORIGIN_FORECAST);
	int64_t first = utc(2026, 5, 13, 0), start = first + windows[_i].start * HOUR_S;
	hours_set(&h, VAR_WINDOW_MINIMUM, start, windows[_i].value, windows[_i].origin);
	hours_set(&h, VAR_WINDOW_MINIMUM_SPAN, start, windows[_i].span_h, windows[_i].origin);
	struct night n = may(&h, first + windows[_i].cut * HOUR_S);
	hours_free(&h);

	ROW_NEAR(row, n.low_c, windows[_i].want_low, 0);
	ROW_TRUE(row, n.bounded == (windows[_i].want_low < 5));
	ROW_NEAR(row, n.hours_low_c, 5, 0);
	ROW_INT(row, n.hours_low_at, utc(2026, 5, 13, 11));
	ROW_INT(row, n.low_origin, n.bounded ? windows[_i].origin & ORIGIN_MASK : ORIGIN_FORECAST);
}
END_TEST

/* A window alone is no night: nothing but "at least as cold as". */
START_TEST(window_alone)
{
	struct hours h = hours_of(utc(2026, 5, 12, 0), 96);
	hours_set(&h, VAR_WINDOW_MINIMUM, utc(2026, 5, 13, 1), 3, ORIGIN_FORECAST);
	hours_set(&h, VAR_WINDOW_MINIMUM_SPAN, utc(2026, 5, 13, 1), 13, ORIGIN_FORECAST);
	struct night n = may(&h, utc(2026, 5, 12, 11));
	hours_free(&h);
	ROW_TRUE("window alone", !n.complete && isnan(n.low_c) && n.bounded);
	ROW_NEAR("window alone", n.lowest_seen_c, 3, 0);
	ROW_INT("over its line", night_holds(&n, 2), NIGHT_CANNOT_TELL);
	ROW_INT("under its line", night_holds(&n, 4), NIGHT_NO);
}
END_TEST

/*
 * The two-nights problem.  13 May has its civil minimum at 23:00, after a front; that cold belongs to the
 * night of the 13th, and the night of the 12th keeps its own.
 */
START_TEST(two_nights)
{
	struct hours h = may_night(ORIGIN_OBSERVED);
	for (int64_t t = utc(2026, 5, 14, 5); t < utc(2026, 5, 14, 7); t += HOUR_S)
		hours_set(&h, VAR_AIR_TEMPERATURE, t, 1, ORIGIN_OBSERVED);
	struct night before = may(&h, utc(2026, 5, 15, 0));
	struct night after = night_of(&h, date(2026, 5, 13), lat, lon, utc(2026, 5, 15, 0));
	hours_free(&h);
	ROW_NEAR("night of the 12th", before.low_c, 5, 0);
	ROW_NEAR("night of the 13th", after.low_c, 1, 0);
	ROW_INT("the first of equals", after.hours_low_at, utc(2026, 5, 14, 5));
}
END_TEST

/* Sun down from about 19:13 to 04:33 standard time: 20:00 to 04:00 are dark, 9 samples. */
START_TEST(dark_means)
{
	struct hours h = may_night(ORIGIN_FORECAST);
	for (int i = 0; i < SAMPLES; i++) {
		bool dark = i >= 2 && i <= 10;
		hours_set(&h, VAR_CLOUD, utc(2026, 5, 13, i), dark ? 0.25 : 1, ORIGIN_FORECAST);
		hours_set(&h, VAR_WIND, utc(2026, 5, 13, i), dark ? 2 : 9, ORIGIN_FORECAST);
	}
	hours_set(&h, VAR_CLOUD, utc(2026, 5, 13, 5), NONE, ORIGIN_NONE);
	struct night n = may(&h, utc(2026, 5, 12, 11));
	hours_free(&h);
	ROW_INT("dark", n.dark_hours, 9);
	ROW_INT("dark", n.cloud_known, 8);
	ROW_INT("dark", n.wind_known, 9);
	ROW_NEAR("dark", n.cloud_frac, 0.25, 1e-12);
	ROW_NEAR("dark", n.wind_ms, 2, 1e-12);
}
END_TEST

/* A line of 50 F is met by a reading of 10 C. */
/* Four fifths of the dark: eight samples of ten, not seven; of no dark nothing. */
START_TEST(sky_is_told)
{
	struct night n = {.dark_hours = 10, .cloud_known = 8, .wind_known = 7};
	ROW_TRUE("8 of 10", night_cloud_told(&n));
	ROW_TRUE("7 of 10", !night_wind_told(&n));
	n.dark_hours = n.cloud_known = n.wind_known = 0;
	ROW_TRUE("no dark", !night_cloud_told(&n) && !night_wind_told(&n));
}
END_TEST

START_TEST(touch)
{
	struct night n = {.complete = true, .low_c = 10, .lowest_seen_c = 10};
	ROW_INT("meets the line", night_holds(&n, (50 - 32) / 1.8), NIGHT_YES);
	for (int f = 20; f <= 80; f++) {
		n.low_c = n.lowest_seen_c = (f - 32) * (5.0 / 9);
		ROW_INT("two ways to Celsius", night_holds(&n, (f - 32) / 1.8), NIGHT_YES);
	}
	n.low_c = n.lowest_seen_c = 10;
	ROW_INT("a tenth under", night_holds(&n, 10.1), NIGHT_NO);
	ROW_INT("no line", night_holds(&n, NONE), NIGHT_CANNOT_TELL);
}
END_TEST

START_TEST(evening)
{
	ROW_INT("before noon", night_evening(utc(2026, 5, 13, 18) - 1, lon).n, date(2026, 5, 12).n);
	ROW_INT("noon", night_evening(utc(2026, 5, 13, 18), lon).n, date(2026, 5, 13).n);
	ROW_INT("after midnight", night_evening(utc(2026, 5, 13, 8), lon).n, date(2026, 5, 12).n);
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("night");
	TCase *c = tcase_create("night");
	tcase_add_loop_test(c, span, 0, (int)(sizeof spans / sizeof *spans));
	tcase_add_test(c, low);
	tcase_add_test(c, phases);
	tcase_add_loop_test(c, one_missing, 0, SAMPLES);
	tcase_add_loop_test(c, one_missing_in_polar_night, 0, SAMPLES);
	tcase_add_test(c, midnight_sun_is_not_dark);
	tcase_add_test(c, count_missing);
	tcase_add_loop_test(c, window_minima, 0, (int)(sizeof windows / sizeof *windows));
	tcase_add_test(c, window_alone);
	tcase_add_test(c, two_nights);
	tcase_add_test(c, dark_means);
	tcase_add_test(c, sky_is_told);
	tcase_add_test(c, touch);
	tcase_add_test(c, evening);
	suite_add_tcase(s, c);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
