#include "record/hourstore.h"

#include <stdio.h>

#include "base/instant.h"
#include "lib/harness.h"
#include "lib/scratchrecord.h"

/* Services that give observations and forecast in one list: what of it goes into the record as observed. */

enum { T0 = 1747008000, H = HOUR_S }; /* 2025-05-12T00:00Z */

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

/* Temperature `base` + an eighth for each hour since T0. */
static void make_issue(struct issue *i, int64_t received, int64_t observed_after_s, int64_t first, size_t n,
		       double base)
{
	struct fault f;
	issue_init(i);
	(void)snprintf(i->source, sizeof i->source, "invented");
	i->received = received;
	i->past = ISSUE_PAST_OBSERVED;
	i->observed_after_s = observed_after_s;
	ck_assert_int_eq(hours_init(&i->hours, first, n, &f), FAULT_NONE);
	for (size_t k = 0; k < n; k++) {
		int64_t t = first + (int64_t)k * H;
		hours_set(&i->hours, VAR_AIR_TEMPERATURE, t, base + (double)((t - T0) / H) / 8, ORIGIN_FORECAST);
	}
}

/* From far later all of it is past, so only the ranks speak. */
static void known(struct hours *out, int64_t from, int64_t to)
{
	struct fault f;
	ck_assert_msg(hourstore_known(rec, place, from, T0 + 999 * H, to, out, NULL, &f) == FAULT_NONE, "%s", f.text);
}

/*
 * Two answers of one service, six hours apart: the hours that the first took from a forecast are observed in
 * the second.  In either order, and by either way in.
 */
START_TEST(observations_come_later)
{
	static const int64_t received[] = {T0, T0 + 6 * H};
	static const double base[] = {10, 20};
	for (int order = 0; order < 2; order++) {
		struct hours out;
		tear_down();
		set_up();
		for (int k = 0; k < 2; k++) {
			int which = k ^ order;
			struct issue i;
			struct fault f;
			make_issue(&i, received[which], 6 * H, T0 - 12 * H, 18, base[which]);
			ck_assert_int_eq(_i == 0 ? hourstore_ingest(rec, place, &i, &f)
						 : hourstore_past(rec, place, &i, &f),
					 FAULT_NONE);
			issue_free(&i);
		}
		known(&out, T0 - 12 * H, T0 + 6 * H);
		for (int h = -12; h < 6; h++) {
			int64_t t = T0 + h * H;
			ck_assert_int_eq(hours_origin(&out, VAR_AIR_TEMPERATURE, t),
					 h < 0 ? ORIGIN_OBSERVED : ORIGIN_ANALYSED);
			/* All of it from the second answer: it knows of every hour, and is the later. */
			ck_assert_double_eq(hours_get(&out, VAR_AIR_TEMPERATURE, t), 20 + h / 8.0);
		}
		hours_free(&out);
	}
}
END_TEST

/* An answer alone: what it may have from a forecast is not counted as observed. */
START_TEST(a_forecast_is_no_observation)
{
	struct issue i;
	struct hours out;
	struct fault f;
	make_issue(&i, T0, H, T0 - 3 * H, 6, 10);
	/* A window of two hours is over in time, one of three is not. */
	hours_set(&i.hours, VAR_WINDOW_MINIMUM, T0 - 3 * H, 4, ORIGIN_OBSERVED);
	hours_set(&i.hours, VAR_WINDOW_MINIMUM_SPAN, T0 - 3 * H, _i == 0 ? 2 : 3, ORIGIN_OBSERVED);
	ck_assert_int_eq(hourstore_ingest(rec, place, &i, &f), FAULT_NONE);
	issue_free(&i);
	size_t observed = 0;
	ck_assert_int_eq(hourstore_count(rec, place, T0 - 3 * H, T0 + 3 * H, RANK_OBSERVED, &observed, &f), FAULT_NONE);
	ck_assert_uint_eq(observed, 2);
	known(&out, T0 - 3 * H, T0 + 3 * H);
	ck_assert_int_eq(hours_origin(&out, VAR_WINDOW_MINIMUM, T0 - 3 * H), _i == 0 ? ORIGIN_OBSERVED : ORIGIN_NONE);
	hours_free(&out);
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("observed");
	TCase *t = tcase_create("observed");
	tcase_add_checked_fixture(t, set_up, tear_down);
	tcase_add_loop_test(t, observations_come_later, 0, 2);
	tcase_add_loop_test(t, a_forecast_is_no_observation, 0, 2);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
