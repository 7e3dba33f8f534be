#include "record/prune.h"

#include <sqlite3.h>
#include <stdio.h>
#include <string.h>

#include "base/instant.h"
#include "lib/harness.h"
#include "lib/scratchrecord.h"
#include "record/diary.h"
#include "record/fetchlog.h"
#include "record/hourstore.h"

/*
 * Row by row, what goes and what stays.  That no note changes by it is in tests/cli/check_prune.c.
 */

#define NOW INT64_C(1780000000) /* 2026-05-28 20:26:40 UTC */

static const int64_t KEEP_S = (int64_t)20 * DAY_S;

static struct scratchrecord scratch;
static struct record *rec;
static struct fault f;

static void set_up(void)
{
	scratchrecord_open(&scratch);
	rec = scratch.rec;
}

static void tear_down(void)
{
	scratchrecord_close(&scratch);
}

/* One number of the file, asked behind the room's back. */
static int asked(const char *sql)
{
	sqlite3 *db;
	sqlite3_stmt *q;
	int n = -1;
	ck_assert_int_eq(sqlite3_open(scratch.path, &db), SQLITE_OK);
	ck_assert_msg(sqlite3_prepare_v2(db, sql, -1, &q, NULL) == SQLITE_OK, "%s", sqlite3_errmsg(db));
	if (sqlite3_step(q) == SQLITE_ROW)
		n = sqlite3_column_int(q, 0);
	sqlite3_finalize(q);
	sqlite3_close(db);
	return n;
}

static struct pruned prune(void)
{
	struct pruned p;
	ck_assert_msg(record_prune(rec, NOW, KEEP_S, &p, &f) == FAULT_NONE, "%s", f.text);
	return p;
}

/* ---- hours ---- */

enum { NONE = 0, AIR = 1, RAIN = 2, WINDOW = 4, CHANCE = 8 };

static void put(unsigned what, enum rank rank, int days_old, bool elsewhere)
{
	struct hours h;
	int64_t place = scratch.place, hour = instant_hour(NOW) - (int64_t)days_old * DAY_S;
	struct place other = place_at(50, 10, 100);
	if (what == NONE)
		return;
	ck_assert(!elsewhere || record_place(rec, &other, &place, &f) == FAULT_NONE);
	ck_assert_int_eq(hours_init(&h, hour, 1, &f), FAULT_NONE);
	if (what & AIR)
		hours_set(&h, VAR_AIR_TEMPERATURE, hour, 10, ORIGIN_FORECAST);
	if (what & RAIN)
		hours_set(&h, VAR_PRECIPITATION, hour, 1, ORIGIN_FORECAST);
	if (what & CHANCE)
		hours_set(&h, VAR_PRECIPITATION_CHANCE, hour, 0.5, ORIGIN_FORECAST);
	if (what & WINDOW) {
		hours_set(&h, VAR_WINDOW_MINIMUM, hour, 5, ORIGIN_FORECAST);
		hours_set(&h, VAR_WINDOW_MINIMUM_SPAN, hour, 6, ORIGIN_FORECAST);
	}
	ck_assert_msg(hourstore_put(rec, place, &h, rank, NOW, &f) == FAULT_NONE, "%s", f.text);
	hours_free(&h);
}

static const struct {
	const char *row;
	unsigned forecast, analysed, observed, reading;
	int days_old;
	bool elsewhere; /* the better ones are of another place */
	int goes;
} HOURS[] = {
    {"nothing better", AIR | RAIN, NONE, NONE, NONE, 30, false, 0},
    {"all better", AIR | RAIN, AIR | RAIN, NONE, NONE, 30, false, 1},
    {"all better by two", AIR | RAIN, NONE, AIR, RAIN, 30, false, 1},
    {"one of two better", AIR | RAIN, NONE, AIR, AIR, 30, false, 0},
    {"a chance that nobody measures", AIR | CHANCE, AIR | RAIN, NONE, NONE, 30, false, 0},
    {"a window foreseen says nothing any more", AIR | WINDOW, AIR, NONE, NONE, 30, false, 1},
    {"all better, elsewhere", AIR, AIR, NONE, NONE, 30, true, 0},
    {"all better, too young", AIR, AIR, NONE, NONE, 19, false, 0},
    {"all better, just old enough", AIR, AIR, NONE, NONE, 20, false, 1},
    {"no forecast", NONE, AIR, AIR | RAIN, AIR, 30, false, 0},
};

START_TEST(hours)
{
	const char *row = HOURS[_i].row;
	put(HOURS[_i].forecast, RANK_FORECAST, HOURS[_i].days_old, false);
	put(HOURS[_i].analysed, RANK_ANALYSED, HOURS[_i].days_old, HOURS[_i].elsewhere);
	put(HOURS[_i].observed, RANK_OBSERVED, HOURS[_i].days_old, HOURS[_i].elsewhere);
	put(HOURS[_i].reading, RANK_READING, HOURS[_i].days_old, HOURS[_i].elsewhere);
	int better = asked("SELECT count(*) FROM hours WHERE rank > 1");
	int all = asked("SELECT count(*) FROM hours");
	ROW_TRUE(row, all > 0);
	struct pruned p = prune();
	ROW_INT(row, p.hours, HOURS[_i].goes);
	ROW_INT(row, p.hours_left, all - HOURS[_i].goes);
	ROW_INT(row, asked("SELECT count(*) FROM hours WHERE rank > 1"), better);
	ROW_INT(row, asked("SELECT count(*) FROM hours"), all - HOURS[_i].goes);
}
END_TEST

/* ---- the log ---- */

static void ran(int days_ago)
{
	struct run run = {.source = "vale", .started = NOW - (int64_t)days_ago * DAY_S, .said = "fine"};
	/* Behind the room's own thinning, which goes by the newest: the oldest first. */
	ck_assert_int_eq(fetchlog_run(rec, scratch.place, &run, &f), FAULT_NONE);
}

START_TEST(runs)
{
	for (int d = 29; d > 0; d -= 4) /* 29, 25, 21, 17 ... 1 */
		ran(d);
	ck_assert_int_eq(prune().runs, 3);
	ck_assert_int_eq(asked("SELECT count(*) FROM run"), 5);
	ck_assert_int_eq(prune().runs, 0);
}
END_TEST

START_TEST(the_last_runs_stay)
{
	for (int d = 50; d > 40; d--)
		ran(d);
	ck_assert_int_eq(prune().runs, 7);
	ck_assert_int_eq(asked("SELECT count(*) FROM run WHERE started >= 1780000000 - 43 * 86400"), PRUNE_RUNS_LEFT);
}
END_TEST

static void asked_step(const char *source, const char *step, int days_ago, int shut_for_days)
{
	struct memo m = {
	    .asked = NOW - (int64_t)days_ago * DAY_S, .answered = INSTANT_NONE, .not_before = INSTANT_NONE};
	struct memo_found found = {.name = "grid", .value = "12,34", .since = m.asked};
	(void)snprintf(m.source, sizeof m.source, "%s", source);
	(void)snprintf(m.step, sizeof m.step, "%s", step);
	if (shut_for_days != 0)
		m.not_before = NOW + (int64_t)shut_for_days * DAY_S;
	ck_assert_int_eq(fetchlog_put(rec, scratch.place, &m, &f), FAULT_NONE);
	ck_assert_int_eq(fetchlog_keep(rec, scratch.place, source, step, &found, 1, &f), FAULT_NONE);
}

START_TEST(memos)
{
	asked_step("asked", "where", 90, 0); /* its addresses hold long */
	asked_step("asked", "grid", 1, 0);
	asked_step("left", "where", 90, 0);
	asked_step("left", "grid", 21, -5);
	asked_step("shut-out", "grid", 90, 3);
	struct pruned p = prune();
	ck_assert_int_eq(p.memos, 2);
	ck_assert_int_eq(p.found, 2);
	ck_assert_int_eq(asked("SELECT count(*) FROM fetch WHERE source IN ('asked', 'shut-out')"), 3);
	ck_assert_int_eq(asked("SELECT count(*) FROM discovered WHERE source IN ('asked', 'shut-out')"), 3);
}
END_TEST

/* ---- what never goes ---- */

START_TEST(the_rest_stays)
{
	static const char rest[] = "SELECT (SELECT count(*) FROM diary) + 100 * (SELECT count(*) FROM supply)"
				   " + 10000 * (SELECT count(*) FROM place)";
	struct entry e = {.written = 1, .date = {1}, .verb = "watered", .amount = 5};
	struct supply s = {.source = "vale", .first = 0, .end = 3600};
	ck_assert_int_eq(diary_append(rec, "g", &e, &f), FAULT_NONE);
	ck_assert_int_eq(fetchlog_supplied(rec, scratch.place, &s, &f), FAULT_NONE);
	struct pruned p = prune();
	ck_assert_int_eq(p.hours + p.issues + p.runs + p.memos + p.found, 0);
	ck_assert_int_eq(p.after, INSTANT_NONE);
	ck_assert_int_eq(record_shrink(rec, &p, &f), FAULT_NONE);
	ck_assert_int_eq(asked(rest), 10101);
}
END_TEST

START_TEST(only_to_write)
{
	struct record *reader;
	struct pruned p;
	ck_assert_int_eq(record_open(scratch.path, RECORD_READ_ONLY, &reader, &f), FAULT_NONE);
	ck_assert_int_eq(record_prune(reader, NOW, KEEP_S, &p, &f), FAULT_PERMISSION);
	record_close(reader);
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("record/prune");
	TCase *t = tcase_create("prune");
	tcase_add_checked_fixture(t, set_up, tear_down);
	tcase_add_loop_test(t, hours, 0, sizeof HOURS / sizeof *HOURS);
	tcase_add_test(t, runs);
	tcase_add_test(t, the_last_runs_stay);
	tcase_add_test(t, memos);
	tcase_add_test(t, the_rest_stays);
	tcase_add_test(t, only_to_write);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
