#include "record/diary.h"

#include <sqlite3.h>
#include <stdio.h>
#include <string.h>

#include "base/mem.h"
#include "lib/harness.h"
#include "lib/scratchrecord.h"

static struct scratchrecord scratch;
static struct record *rec;

static void set_up(void)
{
	scratchrecord_open(&scratch);
	rec = scratch.rec;
}

static void tear_down(void)
{
	scratchrecord_close(&scratch);
}

static struct entry entry(int day, const char *verb, double amount)
{
	struct entry e = {.written = 1747008000 + day, .date = {day}, .amount = amount};
	(void)snprintf(e.planting, sizeof e.planting, "%s", "green-1");
	(void)snprintf(e.crop, sizeof e.crop, "%s", "zucchini");
	(void)snprintf(e.variety, sizeof e.variety, "%s", "an invented one");
	(void)snprintf(e.bed, sizeof e.bed, "%s", "south");
	(void)snprintf(e.verb, sizeof e.verb, "%s", verb);
	(void)snprintf(e.text, sizeof e.text, "%s", "watered 10 mm; 'quotes' and caf\xc3\xa9");
	return e;
}

static int64_t append(const char *garden, struct entry e)
{
	struct fault f;
	ck_assert_msg(diary_append(rec, garden, &e, &f) == FAULT_NONE, "%s", f.text);
	ck_assert_int_gt(e.id, 0);
	return e.id;
}

static int64_t undo(const char *garden, int64_t id)
{
	struct entry e = entry(50, "undo", NAN);
	e.undoes = id;
	return append(garden, e);
}

START_TEST(an_entry_comes_back_whole)
{
	struct fault f;
	struct entry in = entry(20000, "watered", 10), *out;
	size_t n;
	in.id = append("quarry-lane", in);
	ck_assert_int_eq(diary_list(rec, "quarry-lane", DIARY_STANDING, &out, &n, &f), FAULT_NONE);
	ck_assert_uint_eq(n, 1);
	ck_assert_int_eq(out->id, in.id);
	ck_assert_int_eq(out->written, in.written);
	ck_assert_int_eq(out->date.n, 20000);
	ck_assert_str_eq(out->planting, in.planting);
	ck_assert_str_eq(out->crop, in.crop);
	ck_assert_str_eq(out->variety, in.variety);
	ck_assert_str_eq(out->bed, in.bed);
	ck_assert_str_eq(out->verb, in.verb);
	ck_assert_str_eq(out->text, in.text);
	ck_assert_double_eq(out->amount, 10);
	ck_assert_int_eq(out->undoes, 0);
	mem_free(out);
}
END_TEST

static void assert_days(enum diary_view view, const char *garden, const int *days, size_t count)
{
	struct fault f;
	struct entry *out;
	size_t n;
	ck_assert_int_eq(diary_list(rec, garden, view, &out, &n, &f), FAULT_NONE);
	ck_assert_uint_eq(n, count);
	for (size_t i = 0; i < n; i++)
		ck_assert_int_eq(out[i].date.n, days[i]);
	mem_free(out);
}

START_TEST(by_date_and_without_what_was_taken_back)
{
	int64_t late = append("a", entry(12, "picked", 3));
	append("a", entry(10, "watered", NAN));
	append("b", entry(11, "watered", 5));
	append("a", entry(11, "watered", 5));
	assert_days(DIARY_STANDING, "a", (const int[]){10, 11, 12}, 3);
	undo("a", late);
	assert_days(DIARY_STANDING, "a", (const int[]){10, 11}, 2);
	assert_days(DIARY_ALL, "a", (const int[]){10, 11, 12, 50}, 4);
	assert_days(DIARY_STANDING, "b", (const int[]){11}, 1);
	assert_days(DIARY_STANDING, "nobody's", NULL, 0);
}
END_TEST

START_TEST(what_cannot_be_taken_back)
{
	int64_t theirs = append("b", entry(9, "watered", 5));
	int64_t mine = append("a", entry(10, "watered", 5));
	int64_t gone = append("a", entry(11, "watered", 5));
	int64_t back = undo("a", gone);
	const struct {
		const char *row;
		int64_t id;
		const char *says;
	} rows[] = {
	    {"another garden's", theirs, "there is no diary entry"},
	    {"none", 999, "there is no diary entry 999"},
	    {"an undo", back, "takes another back"},
	    {"twice", gone, "was taken back already"},
	};
	for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
		struct fault f;
		struct entry e = entry(50, "undo", NAN);
		e.undoes = rows[i].id;
		ROW_INT(rows[i].row, diary_append(rec, "a", &e, &f), FAULT_USAGE);
		ck_assert_msg(strstr(f.text, rows[i].says) != NULL, "%s: %s", rows[i].row, f.text);
		ROW_INT(rows[i].row, e.id, 0);
	}
	assert_days(DIARY_ALL, "a", (const int[]){10, 11, 50}, 3);
	undo("a", mine);
	assert_days(DIARY_STANDING, "a", NULL, 0);
}
END_TEST

/* Not even another program changes a line of it by mistake. */
START_TEST(nothing_is_changed_or_removed)
{
	sqlite3 *db;
	append("a", entry(10, "watered", 5));
	ck_assert_int_eq(sqlite3_open(scratch.path, &db), SQLITE_OK);
	ck_assert_int_eq(sqlite3_exec(db, "UPDATE diary SET amount = 6", NULL, NULL, NULL), SQLITE_CONSTRAINT);
	ck_assert_int_eq(sqlite3_exec(db, "DELETE FROM diary", NULL, NULL, NULL), SQLITE_CONSTRAINT);
	sqlite3_close(db);
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("diary");
	TCase *t = tcase_create("diary");
	tcase_add_checked_fixture(t, set_up, tear_down);
	tcase_add_test(t, an_entry_comes_back_whole);
	tcase_add_test(t, by_date_and_without_what_was_taken_back);
	tcase_add_test(t, what_cannot_be_taken_back);
	tcase_add_test(t, nothing_is_changed_or_removed);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
