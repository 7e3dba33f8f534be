#include "record/stationstore.h"

#include <string.h>

#include "base/mem.h"
#include "lib/harness.h"
#include "lib/scratchrecord.h"

static struct scratchrecord scratch;
static struct record *rec;
static int64_t place;

static void set_up(void)
{
	scratchrecord_open(&scratch);
	rec = scratch.rec;
	place = scratch.place;
}

static void tear_down(void)
{
	scratchrecord_close(&scratch);
}

/* Invented stations and days. */
static const struct station_day days[] = {
    {"INV00000001", {20001}, 4.4, 18.9, 0, 700},
    {"INV00000001", {20000}, -1.1, NAN, 2.5, -1},
    {"INV00000002", {20000}, 0, 15, NAN, 2400},
};

static void list(const char *station, int from, int to, struct station_day **out, size_t *n)
{
	struct fault f;
	ck_assert_msg(stationstore_list(rec, place, station, (struct date){from}, (struct date){to}, out, n, &f) == 0,
		      "%s", f.text);
}

static void assert_day(const struct station_day *d, const char *station, int day, double tmin, double tmax, double rain,
		       int hhmm)
{
	ck_assert_str_eq(d->station, station);
	ck_assert_int_eq(d->date.n, day);
	const double got[] = {d->tmin_c, d->tmax_c, d->rain_mm}, want[] = {tmin, tmax, rain};
	for (size_t i = 0; i < 3; i++)
		ck_assert_msg((isnan(got[i]) && isnan(want[i])) || got[i] == want[i], "%s %d: %zu is %g", station, day,
			      i, got[i]);
	ck_assert_int_eq(d->observed_hhmm, hhmm);
}

START_TEST(put_and_list)
{
	struct fault f;
	struct station_day *out;
	size_t n;
	ck_assert_int_eq(stationstore_put(rec, place, days, 3, &f), FAULT_NONE);
	ck_assert_int_eq(stationstore_put(rec, place, days, 3, &f), FAULT_NONE);
	list(NULL, 0, 30000, &out, &n);
	ck_assert_uint_eq(n, 3);
	assert_day(&out[0], "INV00000001", 20000, -1.1, NAN, 2.5, -1);
	assert_day(&out[1], "INV00000002", 20000, 0, 15, NAN, 2400);
	assert_day(&out[2], "INV00000001", 20001, 4.4, 18.9, 0, 700);
	mem_free(out);
	list("INV00000001", 20000, 20001, &out, &n);
	ck_assert_uint_eq(n, 1);
	mem_free(out);
	list("INV00000003", 0, 30000, &out, &n);
	ck_assert_uint_eq(n, 0);
	mem_free(out);
}
END_TEST

START_TEST(a_later_report_goes_over_what_it_has)
{
	struct fault f;
	struct station_day *out, d = {"INV00000001", {20000}, NAN, 17, 3, 1800};
	size_t n;
	ck_assert_int_eq(stationstore_put(rec, place, days, 3, &f), FAULT_NONE);
	ck_assert_int_eq(stationstore_put(rec, place, &d, 1, &f), FAULT_NONE);
	list("INV00000001", 20000, 20001, &out, &n);
	assert_day(&out[0], "INV00000001", 20000, -1.1, 17, 3, 1800);
	mem_free(out);
}
END_TEST

START_TEST(one_bad_day_keeps_all_out)
{
	struct fault f;
	struct station_day *out, bad[2] = {days[0], days[1]};
	size_t n;
	bad[1].tmax_c = 189;
	ck_assert_int_eq(stationstore_put(rec, place, bad, 2, &f), FAULT_DATA);
	ck_assert_msg(strstr(f.text, "station INV00000001, 2024-10-04") && strstr(f.text, "tmax_c"), "%s", f.text);
	list(NULL, 0, 30000, &out, &n);
	ck_assert_uint_eq(n, 0);
	mem_free(out);
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("stationstore");
	TCase *t = tcase_create("stationstore");
	tcase_add_checked_fixture(t, set_up, tear_down);
	tcase_add_test(t, put_and_list);
	tcase_add_test(t, a_later_report_goes_over_what_it_has);
	tcase_add_test(t, one_bad_day_keeps_all_out);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
