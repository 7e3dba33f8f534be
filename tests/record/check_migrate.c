#include <signal.h>
#include <sqlite3.h>
#include <stdio.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

#include "base/file.h"
#include "base/instant.h"
#include "base/mem.h"
#include "lib/faultvfs.h"
#include "lib/harness.h"
#include "lib/scratch.h"
#include "record/fetchlog.h"
#include "record/hourstore.h"
#include "record/stationstore.h"

/*
 * Records of every schema that was ever shipped, as dumps: each must open, keep
 * all it had and take in more.
 */

/* The schema, and what it does not have yet: a table, and a statement that puts one of a later step in its way. */
static const struct old {
	int schema;
	const char *dump, *later, *in_the_way, *copy;
} olds[] = {
    {1, "fixtures/record/schema-1.sql", "SELECT count(*) FROM sqlite_schema WHERE name IN ('discovered', 'run')",
     "CREATE TABLE supply (x)", "record.db.schema-1"},
    {2, "fixtures/record/schema-2.sql", "SELECT count(*) FROM pragma_table_info('letter') WHERE name = 'subject'",
     "CREATE TABLE new_letter (x)", "record.db.schema-2"},
    {3, "fixtures/record/schema-3.sql", "SELECT count(*) FROM pragma_table_info('diary_line') WHERE name = 'taken'",
     "CREATE TABLE diary_line (x)", "record.db.schema-3"},
};

enum { DUMP_MAX = 1 << 20 };

/* 2026-05-12 05:00 UTC, the first hour of the invented answer in it. */
#define FIRST_HOUR INT64_C(1778562000)

static char folder[SCRATCH_SIZE], path[SCRATCH_SIZE];
static struct fault f;
static const struct old *old;

static void set_up(void)
{
	char *sql;
	size_t n;
	sqlite3 *db;
	f = (struct fault){0};
	scratch_make(folder);
	scratch_path(folder, "record.db", path);
	ck_assert_msg(file_read(old->dump, DUMP_MAX, &sql, &n, &f) == FAULT_NONE, "%s", f.text);
	ck_assert_int_eq(sqlite3_open(path, &db), SQLITE_OK);
	ck_assert_msg(sqlite3_exec(db, sql, NULL, NULL, NULL) == SQLITE_OK, "%s", sqlite3_errmsg(db));
	sqlite3_close(db);
	mem_free(sql);
}

static void set_up_1(void)
{
	old = &olds[0];
	set_up();
}

static void set_up_2(void)
{
	old = &olds[1];
	set_up();
}

static void set_up_3(void)
{
	old = &olds[2];
	set_up();
}

static void tear_down(void)
{
	scratch_remove(folder);
}

static struct record *opened(enum record_mode mode)
{
	struct record *rec;
	ck_assert_msg(record_open(path, mode, &rec, &f) == FAULT_NONE, "%s", f.text);
	return rec;
}

/* One number of the file, asked behind the room's back. */
static int asked(const char *sql)
{
	sqlite3 *db;
	sqlite3_stmt *q;
	int n = -1;
	ck_assert_int_eq(sqlite3_open(path, &db), SQLITE_OK);
	ck_assert_int_eq(sqlite3_prepare_v2(db, sql, -1, &q, NULL), SQLITE_OK);
	if (sqlite3_step(q) == SQLITE_ROW)
		n = sqlite3_column_int(q, 0);
	sqlite3_finalize(q);
	sqlite3_close(db);
	return n;
}

START_TEST(readers_wait_for_a_writer)
{
	struct record *rec;
	ck_assert_int_eq(record_open(path, RECORD_READ_ONLY, &rec, &f), FAULT_CONFIG);
	ck_assert_ptr_nonnull(strstr(f.text, "made by an older dewpost"));
	ck_assert_int_eq(asked("PRAGMA user_version"), old->schema);
	record_close(opened(RECORD_READ_WRITE));
	record_close(opened(RECORD_READ_ONLY));
}
END_TEST

START_TEST(all_is_kept)
{
	struct record *rec = opened(RECORD_READ_WRITE);
	struct place here = place_at(44.31, -89.90, 330);
	int64_t place, cut = FIRST_HOUR + 2 * HOUR_S;
	struct hours hours;
	struct issue newest;
	ck_assert_int_eq(record_place(rec, &here, &place, &f), FAULT_NONE);
	ck_assert_int_eq(hourstore_known(rec, place, FIRST_HOUR, cut, cut + HOUR_S, &hours, &newest, &f), FAULT_NONE);
	/* 50 F, 41 F, and one that the answer did not have. */
	ROW_NEAR("first hour", hours_get(&hours, VAR_AIR_TEMPERATURE, FIRST_HOUR), 10, 1e-9);
	ROW_NEAR("second hour", hours_get(&hours, VAR_AIR_TEMPERATURE, FIRST_HOUR + HOUR_S), 5, 1e-9);
	ck_assert(isnan(hours_get(&hours, VAR_AIR_TEMPERATURE, cut)));
	ck_assert_str_eq(newest.title, "Marsh Weather");
	hours_free(&hours);

	struct memo m;
	bool found = false;
	ck_assert_int_eq(fetchlog_get(rec, place, "marsh", "where", &m, &found, &f), FAULT_NONE);
	ck_assert(found && m.address == 0 && m.status == 0);

	struct station_day *days;
	size_t n;
	struct date all = {INT32_MIN}, end = {INT32_MAX};
	ck_assert_int_eq(stationstore_list(rec, place, "XX00001", all, end, &days, &n, &f), FAULT_NONE);
	ck_assert_uint_eq(n, 1);
	ROW_NEAR("station's low", days[0].tmin_c, 1.5, 0);
	mem_free(days);
	record_close(rec);
	ck_assert_int_eq(asked("SELECT count(*) FROM diary"), 1);
	ck_assert_int_eq(
	    asked("SELECT count(*) FROM letter WHERE garden = 'quarry-lane' AND date = 20585 AND kind = 0"
		  " AND way = 'screen' AND cut = 1778566800 AND state = 2 AND changed = 1778566800"
		  " AND subject = '' AND resent = 0 AND said = '' AND text LIKE 'Quarry Lane, Tue 12 May %'"),
	    1);
	ck_assert_int_eq(asked("SELECT count(*) FROM issue"), 2);
}
END_TEST

START_TEST(it_is_of_today)
{
	record_close(opened(RECORD_READ_WRITE));
	ck_assert_int_eq(asked("PRAGMA user_version"), RECORD_SCHEMA);
	ck_assert_int_eq(asked("SELECT count(*) FROM pragma_foreign_key_check"), 0);
	struct record *rec = opened(RECORD_READ_WRITE);
	ck_assert_msg(record_check(rec, &f) == FAULT_NONE, "%s", f.text);
	record_close(rec);
}
END_TEST

/* What a record made anew holds and what one brought up to date holds are the same tables. */
START_TEST(no_other_than_a_new_one)
{
	static const char tables[] = "SELECT count(*) FROM sqlite_schema";
	static const char columns[] =
	    "SELECT count(*) FROM sqlite_schema s, pragma_table_info(s.name) WHERE s.type = 'table'";
	record_close(opened(RECORD_READ_WRITE));
	int old_tables = asked(tables), old_columns = asked(columns);
	scratch_path(folder, "new.db", path);
	record_close(opened(RECORD_READ_WRITE));
	ck_assert_int_eq(asked(tables), old_tables);
	ck_assert_int_eq(asked(columns), old_columns);
}
END_TEST

/* A step that fails half-way leaves the record as it was: here a table of the next schema is in the way. */
START_TEST(half_a_step_is_none)
{
	struct record *rec;
	ck_assert_int_eq(asked(old->in_the_way), -1);
	ck_assert_int_ne(record_open(path, RECORD_READ_WRITE, &rec, &f), FAULT_NONE);
	ck_assert_int_eq(asked("PRAGMA user_version"), old->schema);
	ck_assert_int_eq(asked(old->later), 0);
	ck_assert_int_eq(asked("SELECT count(*) FROM hours"), 4);
}
END_TEST

static int asked_of(const char *name, const char *sql)
{
	char kept[SCRATCH_SIZE];
	memcpy(kept, path, sizeof kept);
	scratch_path(folder, name, path);
	int n = asked(sql);
	memcpy(path, kept, sizeof kept);
	return n;
}

/* Beside the record lies what it was before. */
START_TEST(a_copy_is_kept)
{
	int hours = asked("SELECT count(*) FROM hours");
	record_close(opened(RECORD_READ_WRITE));
	ck_assert_int_eq(asked_of(old->copy, "PRAGMA user_version"), old->schema);
	ck_assert_int_eq(asked_of(old->copy, "SELECT count(*) FROM hours"), hours);
	/* No other once it is of today, and none of one made anew. */
	record_close(opened(RECORD_READ_WRITE));
	scratch_path(folder, "new.db", path);
	record_close(opened(RECORD_READ_WRITE));
	char other[SCRATCH_SIZE];
	for (int i = 0; i <= RECORD_SCHEMA; i++) {
		char name[32];
		(void)snprintf(name, sizeof name, "new.db.schema-%d", i);
		scratch_path(folder, name, other);
		ck_assert(!file_is(other));
	}
	for (int i = 0; i <= RECORD_SCHEMA; i++) {
		char name[32];
		(void)snprintf(name, sizeof name, "record.db.schema-%d", i);
		scratch_path(folder, name, other);
		ck_assert_int_eq(file_is(other), i == old->schema);
	}
}
END_TEST

START_TEST(not_over_a_copy_that_is_there)
{
	char copy[SCRATCH_SIZE], *bytes;
	size_t n;
	scratch_path(folder, old->copy, copy);
	FILE *out = fopen(copy, "wb");
	ck_assert_int_ge(fputs("an older copy", out), 0);
	fclose(out);
	record_close(opened(RECORD_READ_WRITE));
	ck_assert_int_eq(asked("PRAGMA user_version"), RECORD_SCHEMA);
	ck_assert_int_eq(file_read(copy, DUMP_MAX, &bytes, &n, &f), FAULT_NONE);
	ck_assert_str_eq(bytes, "an older copy");
	mem_free(bytes);
}
END_TEST

/* The copy's name would be longer than a name may be (255 bytes), the record's journal's is not. */
START_TEST(no_copy_no_change)
{
	enum { NAME = 244 };
	char name[NAME + 1], long_path[2 * SCRATCH_SIZE];
	struct record *rec;
	memset(name, 'r', NAME);
	name[NAME] = '\0';
	(void)snprintf(long_path, sizeof long_path, "%s/%s", folder, name);
	ck_assert_int_eq(rename(path, long_path), 0);
	ck_assert_int_ne(record_open(long_path, RECORD_READ_WRITE, &rec, &f), FAULT_NONE);
	ck_assert_msg(strstr(f.text, "no copy can be kept") != NULL, "%s", f.text);
	ck_assert_int_eq(rename(long_path, path), 0);
	ck_assert_int_eq(asked("PRAGMA user_version"), old->schema);
	ck_assert_int_eq(asked(old->later), 0);
}
END_TEST

/* Killed at any call to the disk: the record is of before or of today, and a copy that has its name is whole. */
START_TEST(killed_at_any_point)
{
	enum { MOST_POINTS = 10000 };
	char copy[SCRATCH_SIZE];
	long point = 0;
	faultvfs_install();
	for (int status = SIGKILL; WIFSIGNALED(status); point++) {
		tear_down();
		set_up();
		pid_t pid = fork();
		ck_assert_int_ge(pid, 0);
		if (pid == 0) {
			struct record *rec;
			faultvfs_kill_after(point);
			_exit(record_open(path, RECORD_READ_WRITE, &rec, &f) == FAULT_NONE ? 0 : 1);
		}
		ck_assert_int_eq(waitpid(pid, &status, 0), pid);
		ck_assert(WIFEXITED(status) ? WEXITSTATUS(status) == 0 : WTERMSIG(status) == SIGKILL);
		scratch_path(folder, old->copy, copy);
		int schema = asked("PRAGMA user_version");
		ck_assert_msg(schema == old->schema || (schema == RECORD_SCHEMA && file_is(copy)),
			      "point %ld: schema %d", point, schema);
		if (file_is(copy))
			ck_assert_int_eq(asked_of(old->copy, "SELECT count(*) FROM hours"), 4);
		record_close(opened(RECORD_READ_WRITE));
		ck_assert_int_eq(asked("SELECT count(*) FROM hours"), 4);
		ck_assert_int_eq(asked_of(old->copy, "PRAGMA user_version"), old->schema);
		ck_assert_int_lt(point, MOST_POINTS);
	}
	ck_assert_int_gt(point, 20);
	ck_assert_int_eq(asked("PRAGMA user_version"), RECORD_SCHEMA);
}
END_TEST

/* An older one, and one that a newer dewpost made, can be looked at as they are, and are not changed by it. */
START_TEST(as_it_is)
{
	record_close(opened(RECORD_AS_IS));
	ck_assert_int_eq(asked("PRAGMA user_version"), old->schema);
	ck_assert_int_eq(asked("PRAGMA user_version = 99"), -1);
	struct record *rec = opened(RECORD_AS_IS);
	struct place there = place_at(1, 2, 3);
	int64_t place;
	ck_assert_int_eq(record_place(rec, &there, &place, &f), FAULT_NO_INPUT);
	record_close(rec);
	ck_assert_int_eq(record_open(path, RECORD_READ_ONLY, &rec, &f), FAULT_CONFIG);
}
END_TEST

static void add(Suite *s, const char *name, void (*up)(void))
{
	TCase *t = tcase_create(name);
	tcase_add_checked_fixture(t, up, tear_down);
	tcase_set_timeout(t, 120); /* hundreds of runs that are killed */
	tcase_add_test(t, readers_wait_for_a_writer);
	tcase_add_test(t, all_is_kept);
	tcase_add_test(t, it_is_of_today);
	tcase_add_test(t, no_other_than_a_new_one);
	tcase_add_test(t, half_a_step_is_none);
	tcase_add_test(t, a_copy_is_kept);
	tcase_add_test(t, not_over_a_copy_that_is_there);
	tcase_add_test(t, no_copy_no_change);
	tcase_add_test(t, killed_at_any_point);
	tcase_add_test(t, as_it_is);
	suite_add_tcase(s, t);
}

static Suite *suite(void)
{
	Suite *s = suite_create("record/migrate");
	add(s, "schema 1", set_up_1);
	add(s, "schema 2", set_up_2);
	add(s, "schema 3", set_up_3);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
