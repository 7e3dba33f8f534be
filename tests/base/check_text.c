#include "lib/harness.h"

#include <string.h>

#include "base/mem.h"
#include "base/text.h"
#include "base/utf8.h"

START_TEST(adds_in_every_way)
{
	struct text t;
	text_init(&t, 100);
	ck_assert_str_eq(t.at, "");
	text_add(&t, "one");
	text_add_n(&t, " two three", 4);
	text_add_char(&t, '.', 3);
	text_addf(&t, " %d %s", 4, "five");
	struct fault f;
	ck_assert_int_eq(text_ok(&t, "it", &f), FAULT_NONE);
	ck_assert_str_eq(t.at, "one two... 4 five");
	ck_assert_uint_eq(t.len, strlen(t.at));
	text_clear(&t);
	ck_assert_str_eq(t.at, "");
	text_add(&t, "again");
	ck_assert_str_eq(t.at, "again");
	text_free(&t);
	ck_assert_str_eq(t.at, "");
	text_free(&t);
}
END_TEST

static void add_some_way(struct text *t, const char *s, size_t way)
{
	if (way % 3 == 0)
		text_add(t, s);
	else if (way % 3 == 1)
		text_add_n(t, s, strlen(s));
	else
		text_addf(t, "%s", s);
}

/*
 * For every upper size, over memory and grown: what is there is the beginning
 * of the whole, whole characters, never longer than max, and full says so.
 */
START_TEST(never_exceeds_max)
{
	static const char *const piece[] = {"k\xC3\xBC", "rbis ", "\xE2\x82\xAC", "", "\xF0\x9F\x8C\xB1", "x"};
	enum { PIECES = 6, ROUNDS = 12, MAX = 200 };
	for (size_t max = 1; max <= MAX; max++) {
		char mem[MAX + 1], whole[1000] = "";
		memset(mem, '~', sizeof mem);
		struct text t;
		if (_i == 0)
			text_over(&t, mem, max);
		else
			text_init(&t, max);
		size_t len = 0;
		for (size_t i = 0; i < (size_t)PIECES * ROUNDS; i++) {
			const char *s = piece[i % PIECES];
			add_some_way(&t, s, i / PIECES);
			memcpy(whole + len, s, strlen(s) + 1);
			len += strlen(s);
		}
		ck_assert_msg(t.len < max && t.at[t.len] == '\0' && t.cap <= max, "max %zu: len %zu", max, t.len);
		ck_assert_msg(strncmp(t.at, whole, t.len) == 0, "max %zu: not the beginning", max);
		ck_assert_msg(utf8_bad(t.at, t.len) == t.len, "max %zu: a character was cut", max);
		ck_assert_msg(t.len + 4 >= (len < max ? len : max), "max %zu: room for more than a character left",
			      max);
		ck_assert_msg(t.full == (len >= max), "max %zu: full is %d", max, t.full);
		ck_assert_msg(mem[max] == '~', "max %zu: written past the end", max);
		struct fault f;
		ck_assert_int_eq(text_ok(&t, "it", &f), len >= max ? FAULT_DATA : FAULT_NONE);
		text_free(&t);
	}
}
END_TEST

/* A character that comes in two halves, of which the second does not fit. */
START_TEST(drops_the_half_of_a_character)
{
	char mem[3];
	struct text t;
	text_over(&t, mem, sizeof mem);
	text_add(&t, "a");
	text_add_char(&t, '\xC3', 1);
	text_add_char(&t, '\xBC', 1);
	ck_assert_str_eq(mem, "a");
	ck_assert(t.full);
}
END_TEST

START_TEST(a_full_text_takes_nothing_more)
{
	char mem[6];
	struct text t;
	text_over(&t, mem, sizeof mem);
	text_add(&t, "abc");
	text_add(&t, "\xF0\x9F\x8C\xB1");
	text_add(&t, "d");
	text_add_char(&t, 'e', 1);
	text_addf(&t, "f");
	ck_assert_str_eq(mem, "abc");
	struct fault f;
	ck_assert_int_eq(text_ok(&t, "the note", &f), FAULT_DATA);
	ck_assert_str_eq(f.text, "the note is longer than 5 bytes");
}
END_TEST

START_TEST(exactly_full_is_not_too_long)
{
	char mem[4];
	struct text t;
	text_over(&t, mem, sizeof mem);
	text_addf(&t, "%d", 123);
	text_add(&t, "");
	ck_assert(!t.full);
	ck_assert_str_eq(mem, "123");
}
END_TEST

START_TEST(keeps_bytes_with_nul)
{
	struct text t;
	text_init(&t, 100);
	text_add_n(&t, "a\0b", 3);
	ck_assert_uint_eq(t.len, 3);
	ck_assert_mem_eq(t.at, "a\0b", 4);
	text_free(&t);
}
END_TEST

START_TEST(says_when_memory_ran_out)
{
	for (long after = 0; after < 4; after++) {
		struct text t;
		text_init(&t, 100000);
		mem_fail_after(after, true);
		for (int i = 0; i < 5000; i++)
			text_addf(&t, "%d,", i);
		long refused = mem_refused();
		mem_fail_after(-1, false);
		ck_assert_int_eq(refused, 1);
		struct fault f;
		ck_assert_int_eq(text_ok(&t, "the note", &f), FAULT_MEMORY);
		ck_assert_uint_eq(strlen(t.at), t.len);
		ck_assert_int_eq(strncmp(t.at, "0,1,2,3,4,5,", t.len < 12 ? t.len : 12), 0);
		text_free(&t);
	}
}
END_TEST

static const struct {
	const char *from, *to;
	size_t size;
	bool whole;
} COPIES[] = {
    {"", "", 1, true},
    {"a", "", 1, false},
    {"marsh", "marsh", 6, true},
    {"marsh", "mars", 5, false},
    {"caf\xc3\xa9", "caf", 5, false}, /* no half of a character */
};

START_TEST(copies_what_fits)
{
	char to[8] = "xxxxxxx";
	ROW_TRUE(COPIES[_i].from, text_copy(to, COPIES[_i].size, COPIES[_i].from) == COPIES[_i].whole);
	ROW_STR(COPIES[_i].from, to, COPIES[_i].to);
	ROW_TRUE(COPIES[_i].from, to[COPIES[_i].size] == 'x');
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("base/text");
	TCase *t = tcase_create("text");
	tcase_add_test(t, adds_in_every_way);
	tcase_add_loop_test(t, never_exceeds_max, 0, 2);
	tcase_add_test(t, drops_the_half_of_a_character);
	tcase_add_test(t, a_full_text_takes_nothing_more);
	tcase_add_test(t, exactly_full_is_not_too_long);
	tcase_add_test(t, keeps_bytes_with_nul);
	tcase_add_test(t, says_when_memory_ran_out);
	tcase_add_loop_test(t, copies_what_fits, 0, sizeof COPIES / sizeof *COPIES);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
