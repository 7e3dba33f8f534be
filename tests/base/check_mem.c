#include "lib/harness.h"

#include <stdint.h>
#include <string.h>

#include "base/mem.h"

START_TEST(new_memory_is_zero)
{
	unsigned char *p = mem_new(100, 3);
	ck_assert_ptr_nonnull(p);
	for (size_t i = 0; i < 300; i++)
		ck_assert_uint_eq(p[i], 0);
	mem_free(p);
}
END_TEST

START_TEST(resizing_keeps_the_bytes)
{
	char *p = mem_resize(NULL, 4, 1);
	ck_assert_ptr_nonnull(p);
	memcpy(p, "abc", 4);
	char *more = mem_resize(p, 1000, 2);
	ck_assert_ptr_nonnull(more);
	ck_assert_str_eq(more, "abc");
	mem_free(more);
}
END_TEST

/* The product would come out as 0 or as a small number. */
START_TEST(overflow_is_no_memory)
{
	char keep[] = "kept";
	size_t half = SIZE_MAX / 2 + 1;
	ck_assert_ptr_null(mem_new(half, 2));
	ck_assert_ptr_null(mem_new(2, half));
	ck_assert_ptr_null(mem_new(SIZE_MAX / 8 + 2, 8));
	ck_assert_ptr_null(mem_resize(keep, half, 2));
	ck_assert_str_eq(keep, "kept");
}
END_TEST

START_TEST(nothing_wanted_is_no_failure)
{
	void *p = mem_new(0, 8);
	ck_assert_ptr_nonnull(p);
	p = mem_resize(p, 0, 8);
	ck_assert_ptr_nonnull(p);
	mem_free(p);
	p = mem_raw(0);
	ck_assert_ptr_nonnull(p);
	mem_free(p);
	mem_free(NULL);
}
END_TEST

/* Which of six allocations pass, each by another door of the gate. */
static void six_calls(bool passed[static 6])
{
	void *kept = mem_raw(8);
	void *p[6];
	p[0] = mem_new(1, 8);
	p[1] = mem_resize(NULL, 1, 8);
	p[2] = mem_raw(8);
	p[3] = mem_raw_resize(NULL, 8);
	p[4] = mem_new(1, 8);
	p[5] = mem_raw(8);
	for (size_t i = 0; i < 6; i++) {
		passed[i] = p[i] != NULL;
		mem_free(p[i]);
	}
	mem_free(kept);
}

START_TEST(the_gate_fails_the_nth)
{
	for (int sticky = 0; sticky < 2; sticky++) {
		bool passed[6];
		mem_fail_after(_i + 1, sticky != 0);
		six_calls(passed);
		long refused = mem_refused();
		for (int i = 0; i < 6; i++) {
			bool want = sticky ? i < _i : i != _i;
			ck_assert_msg(passed[i] == want, "sticky %d, fail after %d: call %d", sticky, _i, i);
		}
		ck_assert_int_eq(refused, sticky ? 6 - _i : _i < 6);
	}
	mem_fail_after(-1, true);
	ck_assert_int_eq(mem_refused(), 0);
	void *p = mem_new(1, 1);
	ck_assert_ptr_nonnull(p);
	mem_free(p);
}
END_TEST

START_TEST(a_refused_resize_leaves_the_old_block)
{
	char *p = mem_raw(4);
	ck_assert_ptr_nonnull(p);
	memcpy(p, "abc", 4);
	mem_fail_after(0, false);
	ck_assert_ptr_null(mem_resize(p, 100, 1));
	ck_assert_str_eq(p, "abc");
	mem_free(p);
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("base/mem");
	TCase *t = tcase_create("mem");
	tcase_add_test(t, new_memory_is_zero);
	tcase_add_test(t, resizing_keeps_the_bytes);
	tcase_add_test(t, overflow_is_no_memory);
	tcase_add_test(t, nothing_wanted_is_no_failure);
	tcase_add_loop_test(t, the_gate_fails_the_nth, 0, 7);
	tcase_add_test(t, a_refused_resize_leaves_the_old_block);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
