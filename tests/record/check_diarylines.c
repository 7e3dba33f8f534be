#include <stdio.h>

#include "base/mem.h"
#include "lib/harness.h"
#include "lib/scratchrecord.h"
#include "record/diary.h"

/* What is remembered of the lines of a grower's file, and entries that come in with it. */

static struct scratchrecord scratch;
static struct fault f;

static void set_up(void)
{
	f = (struct fault){0};
	scratchrecord_open(&scratch);
}

static void tear_down(void)
{
	scratchrecord_close(&scratch);
}

static size_t entry_count(const char *garden)
{
	struct entry *all;
	size_t n;
	ck_assert_int_eq(diary_list(scratch.rec, garden, DIARY_ALL, &all, &n, &f), FAULT_NONE);
	mem_free(all);
	return n;
}

static bool remembered(const char *garden, const struct diary_line *want, size_t n)
{
	struct diary_line *lines;
	size_t got;
	ck_assert_int_eq(diary_lines(scratch.rec, garden, &lines, &got, &f), FAULT_NONE);
	bool same = got == n;
	for (size_t i = 0; i < n && same; i++)
		same = lines[i].line == want[i].line && lines[i].taken == want[i].taken &&
		       lines[i].refused == want[i].refused;
	mem_free(lines);
	return same;
}

static const struct diary_line ONE[] = {{-5, 1, 0}}, TWO[] = {{-5, 2, 0}, {7, 0, 1}};
static const struct entry ENTRIES[] = {{.written = 1, .text = "a", .verb = "note"},
				       {.written = 1, .text = "a", .verb = "note"}};

static enum fault_code take(const struct diary_line *before, size_t n, bool *done)
{
	return diary_take_lines(scratch.rec, "g", ENTRIES, 2, before, n, TWO, 2, done, &f);
}

START_TEST(what_it_was_like)
{
	bool done = false;
	ck_assert(remembered("g", NULL, 0));
	ck_assert_int_eq(take(NULL, 0, &done), FAULT_NONE);
	ck_assert(done && remembered("g", TWO, 2) && entry_count("g") == 2);
	/* What is no longer in the file is forgotten. */
	ck_assert_int_eq(diary_take_lines(scratch.rec, "g", NULL, 0, TWO, 2, ONE, 1, &done, &f), FAULT_NONE);
	ck_assert(done && remembered("g", ONE, 1) && entry_count("g") == 2);
	/* Another garden's file is its own. */
	ck_assert(remembered("h", NULL, 0) && entry_count("h") == 0);
}
END_TEST

START_TEST(another_run_was_here)
{
	bool done = true;
	ck_assert_int_eq(take(ONE, 1, &done), FAULT_NONE);
	ck_assert(!done && remembered("g", NULL, 0) && entry_count("g") == 0);
	ck_assert_int_eq(take(NULL, 0, &done), FAULT_NONE);
	ck_assert_int_eq(take(NULL, 0, &done), FAULT_NONE);
	ck_assert(!done && entry_count("g") == 2);
}
END_TEST

START_TEST(all_or_nothing)
{
	const struct entry bad[] = {{.text = "a", .verb = "note"}, {.text = "two\nlines", .verb = "note"}};
	bool done;
	ck_assert_int_eq(diary_take_lines(scratch.rec, "g", bad, 2, NULL, 0, ONE, 1, &done, &f), FAULT_DATA);
	ck_assert(remembered("g", NULL, 0) && entry_count("g") == 0);
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("record/diarylines");
	TCase *t = tcase_create("lines of a file");
	tcase_add_checked_fixture(t, set_up, tear_down);
	tcase_add_test(t, what_it_was_like);
	tcase_add_test(t, another_run_was_here);
	tcase_add_test(t, all_or_nothing);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
