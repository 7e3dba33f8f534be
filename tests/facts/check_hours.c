#include <string.h>

#include "base/instant.h"
#include "base/mem.h"
#include "facts/hours.h"
#include "lib/harness.h"

#define NONE ((double)NAN)

enum { H = HOUR_S };

static void make(struct hours *h, int64_t first, size_t n)
{
	struct fault f;
	ck_assert_int_eq(hours_init(h, first, n, &f), FAULT_NONE);
}

START_TEST(starts_all_missing)
{
	struct hours h;
	make(&h, 7 * H, 50);
	ck_assert_int_eq(hours_end(&h), 57 * H);
	for (int v = 0; v < VARS; v++) {
		int64_t first, last;
		ck_assert(!hours_span(&h, (enum var)v, &first, &last));
		for (int64_t t = 7 * H; t < hours_end(&h); t += H) {
			ck_assert(isnan(hours_get(&h, (enum var)v, t)));
			ck_assert_int_eq(hours_origin(&h, (enum var)v, t), ORIGIN_NONE);
			ck_assert(!hours_whole(&h, (enum var)v, t));
		}
	}
	hours_free(&h);
	ck_assert_uint_eq(h.n, 0);
	ck_assert_ptr_null(h.block);
}
END_TEST

START_TEST(every_cell_is_its_own)
{
	struct hours h;
	make(&h, -3 * H, 40);
	for (int v = 0; v < VARS; v++) {
		for (int i = 0; i < 40; i++)
			hours_set(&h, (enum var)v, (i - 3) * H + i * 90, v * 1000 + i,
				  (uint8_t)(1 + (v + i) % 6) | (i % 2 ? ORIGIN_WHOLE_HOUR : 0));
	}
	for (int v = 0; v < VARS; v++) {
		for (int i = 0; i < 40; i++) {
			int64_t t = (i - 3) * H;
			ck_assert_double_eq(hours_get(&h, (enum var)v, t), v * 1000 + i);
			ck_assert_double_eq(hours_get(&h, (enum var)v, t + H - 1), v * 1000 + i);
			ck_assert_int_eq(hours_origin(&h, (enum var)v, t), 1 + (v + i) % 6);
			ck_assert_int_eq(hours_whole(&h, (enum var)v, t), i % 2);
		}
	}
	hours_free(&h);
}
END_TEST

START_TEST(ended_hours)
{
	static const struct {
		int64_t t;
		size_t ended;
	} row[] = {{INT64_MIN, 0},  {10 * H, 0},     {11 * H - 1, 0}, {11 * H, 1},
		   {12 * H - 1, 1}, {13 * H - 1, 2}, {13 * H, 3},     {99 * H, 3}};
	struct hours h;
	make(&h, 10 * H, 3);
	for (size_t i = 0; i < sizeof row / sizeof *row; i++)
		ck_assert_uint_eq(hours_ended(&h, row[i].t), row[i].ended);
	hours_free(&h);
	make(&h, 10 * H, 0);
	ck_assert_uint_eq(hours_ended(&h, 99 * H), 0);
	hours_free(&h);
}
END_TEST

START_TEST(index_and_borders)
{
	struct hours h;
	size_t i = 99;
	make(&h, 10 * H, 3);
	ck_assert(!hours_index(&h, 10 * H - 1, &i));
	ck_assert(!hours_index(&h, 13 * H, &i));
	ck_assert(!hours_index(&h, INT64_MIN, &i));
	ck_assert(!hours_index(&h, INT64_MAX, &i));
	ck_assert_uint_eq(i, 99);
	ck_assert(hours_index(&h, 10 * H, &i));
	ck_assert_uint_eq(i, 0);
	ck_assert(hours_index(&h, 13 * H - 1, &i));
	ck_assert_uint_eq(i, 2);
	hours_set(&h, VAR_WIND, 13 * H, 4, ORIGIN_FORECAST);
	hours_set(&h, VAR_WIND, 10 * H - 1, 4, ORIGIN_FORECAST);
	int64_t first, last;
	ck_assert(!hours_span(&h, VAR_WIND, &first, &last));
	ck_assert(isnan(hours_get(&h, VAR_WIND, 13 * H)));
	ck_assert_int_eq(hours_origin(&h, VAR_WIND, 13 * H), ORIGIN_NONE);
	hours_free(&h);
}
END_TEST

START_TEST(value_and_mark_go_together)
{
	struct hours h;
	make(&h, 0, 4);
	hours_set(&h, VAR_CLOUD, 0, 0.5, ORIGIN_FORECAST | ORIGIN_WHOLE_HOUR);
	hours_set(&h, VAR_CLOUD, 0, NONE, ORIGIN_FORECAST);
	hours_set(&h, VAR_CLOUD, H, (double)INFINITY, ORIGIN_FORECAST);
	hours_set(&h, VAR_CLOUD, 2 * H, 0.5, ORIGIN_NONE);
	hours_set(&h, VAR_CLOUD, 3 * H, 0, ORIGIN_OBSERVED);
	for (int i = 0; i < 3; i++) {
		ck_assert(isnan(hours_get(&h, VAR_CLOUD, i * H)));
		ck_assert_int_eq(hours_origin(&h, VAR_CLOUD, i * H), ORIGIN_NONE);
		ck_assert(!hours_whole(&h, VAR_CLOUD, i * H));
	}
	ck_assert_double_eq(hours_get(&h, VAR_CLOUD, 3 * H), 0);
	ck_assert_int_eq(hours_origin(&h, VAR_CLOUD, 3 * H), ORIGIN_OBSERVED);
	hours_free(&h);
}
END_TEST

START_TEST(span_of_a_variable)
{
	struct hours h;
	int64_t first, last;
	make(&h, 100 * H, 20);
	hours_set(&h, VAR_PRECIPITATION, 105 * H, 0, ORIGIN_FORECAST);
	ck_assert(hours_span(&h, VAR_PRECIPITATION, &first, &last));
	ck_assert_int_eq(first, 105 * H);
	ck_assert_int_eq(last, 105 * H);
	hours_set(&h, VAR_PRECIPITATION, 119 * H, 1, ORIGIN_FORECAST);
	hours_set(&h, VAR_PRECIPITATION, 100 * H, 1, ORIGIN_FORECAST);
	ck_assert(hours_span(&h, VAR_PRECIPITATION, &first, &last));
	ck_assert_int_eq(first, 100 * H);
	ck_assert_int_eq(last, 119 * H);
	ck_assert(!hours_span(&h, VAR_CLOUD, &first, &last));
	hours_free(&h);
}
END_TEST

/* The plain statement of what laying over means, cell by cell. */
static double laid(const struct hours *below, const struct hours *above, enum var v, int64_t t, int64_t from,
		   int64_t to)
{
	double x = t >= from && t < to ? hours_get(above, v, t) : NONE;
	return isnan(x) ? hours_get(below, v, t) : x;
}

static const struct {
	const char *row;
	int64_t first;
	size_t n;
	int64_t from, to;
} overlaps[] = {
    {"inside", 10 * H, 5, INT64_MIN, INT64_MAX},
    {"the same span", 0, 24, INT64_MIN, INT64_MAX},
    {"hangs out before", -10 * H, 20, INT64_MIN, INT64_MAX},
    {"hangs out after", 20 * H, 20, INT64_MIN, INT64_MAX},
    {"around all", -50 * H, 200, INT64_MIN, INT64_MAX},
    {"wholly before", -50 * H, 50, INT64_MIN, INT64_MAX},
    {"wholly after", 24 * H, 50, INT64_MIN, INT64_MAX},
    {"a window of hours", -50 * H, 200, 5 * H, 9 * H},
    {"a window within an hour's run: its first hour has begun", -50 * H, 200, 5 * H + 1, 9 * H},
    {"a window to within an hour: that hour starts before its end", -50 * H, 200, 5 * H, 9 * H + 1},
    {"an empty window", -50 * H, 200, 5 * H, 5 * H},
    {"a window turned round", -50 * H, 200, 9 * H, 5 * H},
    {"a window from the end of time", -50 * H, 200, INT64_MAX, INT64_MAX},
    {"nothing above", 0, 0, INT64_MIN, INT64_MAX},
};

START_TEST(laying_over)
{
	struct hours below, above, before;
	make(&below, 0, 24);
	make(&before, 0, 24);
	make(&above, overlaps[_i].first, overlaps[_i].n);
	/* Gaps of three kinds: below, above, both; the mark says which series a value is from. */
	for (int v = 0; v < VARS; v++) {
		for (int64_t t = 0; t < hours_end(&below); t += H) {
			double x = (t / H + v) % 3 ? (double)(t / H) : NONE;
			hours_set(&below, (enum var)v, t, x, ORIGIN_FORECAST);
			hours_set(&before, (enum var)v, t, x, ORIGIN_FORECAST);
		}
		for (int64_t t = above.first; t < hours_end(&above); t += H)
			hours_set(&above, (enum var)v, t, (t / H + v) % 4 ? 1000 + (double)(t / H) : NONE,
				  ORIGIN_OBSERVED);
	}
	hours_lay_over(&below, &above, overlaps[_i].from, overlaps[_i].to);
	for (int v = 0; v < VARS; v++) {
		for (int64_t t = 0; t < hours_end(&below); t += H) {
			double want = laid(&before, &above, (enum var)v, t, overlaps[_i].from, overlaps[_i].to);
			double got = hours_get(&below, (enum var)v, t);
			ROW_TRUE(overlaps[_i].row, isnan(want) ? isnan(got) : got == want);
			enum origin mark = isnan(want) ? ORIGIN_NONE : want < 900 ? ORIGIN_FORECAST : ORIGIN_OBSERVED;
			ROW_INT(overlaps[_i].row, hours_origin(&below, (enum var)v, t), mark);
		}
	}
	hours_free(&below);
	hours_free(&before);
	hours_free(&above);
}
END_TEST

START_TEST(taking_moves_the_memory)
{
	struct hours a, b;
	make(&a, H, 4);
	hours_set(&a, VAR_WIND, 2 * H, 3, ORIGIN_READING);
	hours_take(&b, &a);
	ck_assert_uint_eq(a.n, 0);
	ck_assert_ptr_null(a.block);
	ck_assert_double_eq(hours_get(&b, VAR_WIND, 2 * H), 3);
	hours_free(&a);
	hours_free(&b);
}
END_TEST

START_TEST(middles)
{
	struct hours h;
	double mid[6];
	const uint8_t whole = ORIGIN_FORECAST | ORIGIN_WHOLE_HOUR;
	make(&h, 0, 6);
	hours_set(&h, VAR_WIND, 0, 2, ORIGIN_FORECAST);
	hours_set(&h, VAR_WIND, H, 5, ORIGIN_OBSERVED);
	hours_set(&h, VAR_WIND, 2 * H, 1, whole);
	hours_set(&h, VAR_WIND, 4 * H, 3, ORIGIN_FORECAST);
	hours_set(&h, VAR_WIND, 5 * H, 4, ORIGIN_FORECAST);
	hours_middle(&h, VAR_WIND, mid);
	ck_assert_double_eq(mid[0], 3.5);
	ck_assert_double_eq(mid[1], 3);
	ck_assert_double_eq(mid[2], 1);
	ck_assert(isnan(mid[3]));
	ck_assert_double_eq(mid[4], 3.5);
	ck_assert(isnan(mid[5]));
	hours_set(&h, VAR_WIND, 5 * H, 4, whole);
	hours_middle(&h, VAR_WIND, mid);
	ck_assert_double_eq(mid[5], 4);

	hours_set(&h, VAR_PRECIPITATION, 0, 2, ORIGIN_FORECAST);
	hours_set(&h, VAR_PRECIPITATION, H, 7, ORIGIN_FORECAST);
	hours_middle(&h, VAR_PRECIPITATION, mid);
	ck_assert_double_eq(mid[0], 2);
	ck_assert_double_eq(mid[1], 7);
	ck_assert(isnan(mid[2]));
	hours_free(&h);
}
END_TEST

START_TEST(limits_and_no_memory)
{
	struct hours h;
	struct fault f;
	make(&h, 0, 0);
	ck_assert_int_eq(hours_end(&h), 0);
	ck_assert(isnan(hours_get(&h, VAR_WIND, 0)));
	hours_free(&h);
	ck_assert_int_eq(hours_init(&h, 0, (size_t)HOURS_MAX + 1, &f), FAULT_DATA);
	hours_free(&h);
	ck_assert_int_eq(hours_init(&h, 0, SIZE_MAX, &f), FAULT_DATA);
	mem_fail_after(0, false);
	ck_assert_int_eq(hours_init(&h, 0, 24, &f), FAULT_MEMORY);
	ck_assert_int_eq(mem_refused(), 1);
	mem_fail_after(-1, false);
	ck_assert_uint_eq(h.n, 0);
	hours_free(&h);
}
END_TEST

START_TEST(marks_have_names_and_rise_in_worth)
{
	static const char *const names[] = {"none",     "estimated", "interpolated", "forecast",
					    "analysed", "observed",  "reading"};
	for (int o = 0; o <= ORIGIN_READING; o++) {
		ck_assert_str_eq(origin_name((enum origin)o), names[o]);
		ck_assert_str_eq(origin_name((enum origin)(o | ORIGIN_WHOLE_HOUR)), names[o]);
	}
	ck_assert_str_eq(origin_name((enum origin)9), "unknown");
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("hours");
	TCase *c = tcase_create("hours");
	tcase_add_test(c, starts_all_missing);
	tcase_add_test(c, every_cell_is_its_own);
	tcase_add_test(c, ended_hours);
	tcase_add_test(c, index_and_borders);
	tcase_add_test(c, value_and_mark_go_together);
	tcase_add_test(c, span_of_a_variable);
	tcase_add_loop_test(c, laying_over, 0, (int)(sizeof overlaps / sizeof overlaps[0]));
	tcase_add_test(c, taking_moves_the_memory);
	tcase_add_test(c, middles);
	tcase_add_test(c, limits_and_no_memory);
	tcase_add_test(c, marks_have_names_and_rise_in_worth);
	suite_add_tcase(s, c);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
