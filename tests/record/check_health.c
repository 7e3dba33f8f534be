#include "record/health.h"

#include <sqlite3.h>
#include <stdio.h>
#include <string.h>

#include "base/instant.h"
#include "lib/harness.h"
#include "lib/scratchrecord.h"
#include "record/hourstore.h"

/*
 * Damage of each kind, done behind the room's back, is found, and more than one at a time.
 */

enum { T0 = 1747008000, HOURS = 96, DAMAGE_FROM = 4096, DAMAGE_TO = 5 * 4096 };

static struct scratchrecord scratch;
static struct fault f;

static void set_up(void)
{
	struct issue i;
	f = (struct fault){0};
	scratchrecord_open(&scratch);
	for (int k = 0; k < 3; k++) {
		issue_init(&i);
		(void)snprintf(i.source, sizeof i.source, "vale-%d", k);
		i.received = T0 + k * HOUR_S;
		ck_assert_int_eq(hours_init(&i.hours, T0, HOURS, &f), FAULT_NONE);
		for (int h = 0; h < HOURS; h++)
			hours_set(&i.hours, VAR_AIR_TEMPERATURE, T0 + h * HOUR_S, k, ORIGIN_FORECAST);
		ck_assert_int_eq(hourstore_ingest(scratch.rec, scratch.place, &i, &f), FAULT_NONE);
		issue_free(&i);
	}
	record_close(scratch.rec);
	scratch.rec = NULL;
}

static void tear_down(void)
{
	scratchrecord_close(&scratch);
}

static struct faults found(void)
{
	struct faults list = {0};
	struct record *rec;
	ck_assert_msg(record_open(scratch.path, RECORD_AS_IS, &rec, &f) == FAULT_NONE, "%s", f.text);
	ck_assert_msg(record_examine(rec, &list, &f) == FAULT_NONE, "%s", f.text);
	record_close(rec);
	return list;
}

START_TEST(sound)
{
	struct record_counts n;
	struct record *rec;
	ck_assert_uint_eq(found().n, 0);
	ck_assert_int_eq(record_open(scratch.path, RECORD_AS_IS, &rec, &f), FAULT_NONE);
	ck_assert_int_eq(record_count(rec, &n, &f), FAULT_NONE);
	record_close(rec);
	ck_assert_int_eq(n.places, 1);
	ck_assert_int_eq(n.issues, 3);
	ck_assert_int_eq(n.hours, HOURS);
	ck_assert_int_eq(n.entries + n.letters + n.station_days, 0);
	FILE *in = fopen(scratch.path, "rb");
	ck_assert_int_eq(fseek(in, 0, SEEK_END), 0);
	ck_assert_int_eq(n.bytes, ftell(in));
	fclose(in);
}
END_TEST

static const struct {
	const char *row, *sql, *says;
	size_t n;
} DAMAGES[] = {
    {"a byte of an issue",
     "UPDATE issue SET hours = CAST(substr(hours, 1, 40) || x'ff' || substr(hours, 42) AS BLOB) WHERE source = "
     "'vale-1'",
     "forecast of vale-1 that came in 2025-05-12T01:00:00Z", 1},
    {"an issue cut short", "UPDATE issue SET hours = substr(hours, 1, 99)", "forecast of vale-0", 3},
    {"an empty issue", "UPDATE issue SET hours = x'' WHERE source = 'vale-2'", "forecast of vale-2", 1},
    {"one that has other hours", "UPDATE issue SET n = 7 WHERE source = 'vale-0'", "not those that its row", 1},
    {"one that begins elsewhere", "UPDATE issue SET first = 0 WHERE source = 'vale-0'", "not those that its row", 1},
    {"rows of no place", "PRAGMA foreign_keys = OFF; UPDATE issue SET place = 9 WHERE source = 'vale-0'",
     "a row of issue (1) is of a place that is not there", 1},
    {"a value out of its range",
     "PRAGMA ignore_check_constraints = ON; UPDATE hours SET air_temperature = 400 WHERE hour = 1747008000",
     "CHECK constraint failed in hours", 1},
    {"an index that lacks a row",
     "PRAGMA writable_schema = ON; DELETE FROM sqlite_schema WHERE name = 'run_by_place'; PRAGMA writable_schema = OFF",
     "damaged: ", 1},
};

START_TEST(damage)
{
	const char *row = DAMAGES[_i].row;
	sqlite3 *db;
	ck_assert_int_eq(sqlite3_open(scratch.path, &db), SQLITE_OK);
	ck_assert_msg(sqlite3_exec(db, DAMAGES[_i].sql, NULL, NULL, NULL) == SQLITE_OK, "%s: %s", row,
		      sqlite3_errmsg(db));
	sqlite3_close(db);
	struct faults list = found();
	ROW_TRUE(row, list.n > 0);
	ROW_INT(row, list.n, DAMAGES[_i].n);
	ROW_INT(row, faults_code(&list), FAULT_DATA);
	ck_assert_msg(strstr(list.at[0].text, DAMAGES[_i].says) != NULL, "%s: %s", row, list.at[0].text);
}
END_TEST

/* Whole pages gone over: it says so, however far it can look, and comes to an end. */
START_TEST(pages_gone)
{
	FILE *out = fopen(scratch.path, "r+b");
	ck_assert_int_eq(fseek(out, DAMAGE_FROM, SEEK_SET), 0);
	for (int i = DAMAGE_FROM; i < DAMAGE_TO; i++)
		ck_assert_int_eq(fputc(0x5a, out), 0x5a);
	fclose(out);
	struct faults list = found();
	ck_assert_uint_gt(list.n, 1);
	for (size_t i = 0; i < list.n; i++)
		ck_assert_int_eq(list.at[i].code, FAULT_DATA);
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("record/health");
	TCase *t = tcase_create("health");
	tcase_add_checked_fixture(t, set_up, tear_down);
	tcase_add_test(t, sound);
	tcase_add_loop_test(t, damage, 0, sizeof DAMAGES / sizeof *DAMAGES);
	tcase_add_test(t, pages_gone);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
