#include <stdio.h>
#include <string.h>

#include "base/mem.h"
#include "base/names.h"
#include "lib/harness.h"

enum { MANY = 20000, NAME_SIZE = 32, TRIES = 40 };

static const char *nth(int i, char name[static NAME_SIZE])
{
	snprintf(name, NAME_SIZE, "plot-%d", i);
	return name;
}

START_TEST(numbers_stay)
{
	struct names s = {0};
	struct fault f;
	char name[NAME_SIZE];
	size_t number;
	for (int round = 0; round < 2; round++)
		for (int i = 0; i < MANY; i++) {
			nth(i, name);
			ROW_INT(name, names_add(&s, name, &number, &f), FAULT_NONE);
			ROW_INT(name, number, i);
			ROW_STR(name, s.at[i], name);
		}
	ck_assert_uint_eq(s.n, MANY);
	names_free(&s);
	ck_assert_uint_eq(s.n, 0);
}
END_TEST

START_TEST(near_names_are_apart)
{
	static const char *const name[] = {"", "a", "A", "a ", "aa", "\xc3\xa4", "a\n"};
	struct names s = {0};
	struct fault f;
	size_t number;
	for (size_t i = 0; i < sizeof name / sizeof *name; i++) {
		ck_assert_int_eq(names_add(&s, name[i], &number, &f), FAULT_NONE);
		ck_assert_uint_eq(number, i);
	}
	names_free(&s);
}
END_TEST

/* Wherever memory runs out, what was there stays, and the same call works later. */
START_TEST(short_of_memory)
{
	for (long after = 0; after < TRIES; after++) {
		struct names s = {0};
		struct fault f;
		char name[NAME_SIZE];
		size_t number;
		mem_fail_after(after, false);
		for (int i = 0; i < TRIES * 4; i++) {
			if (names_add(&s, nth(i, name), &number, &f) != FAULT_NONE) {
				ck_assert_int_eq(f.code, FAULT_MEMORY);
				ck_assert_uint_eq(s.n, (size_t)i);
				ck_assert_int_eq(names_add(&s, name, &number, &f), FAULT_NONE);
			}
			ck_assert_uint_eq(number, (size_t)i);
		}
		ck_assert_int_eq(mem_refused(), 1);
		mem_fail_after(-1, false);
		names_free(&s);
	}
}
END_TEST

static Suite *suite(void)
{
	Suite *suite = suite_create("names");
	TCase *t = tcase_create("names");
	tcase_add_test(t, numbers_stay);
	tcase_add_test(t, near_names_are_apart);
	tcase_add_test(t, short_of_memory);
	suite_add_tcase(suite, t);
	return suite;
}

int main(void)
{
	return harness_run(suite());
}
