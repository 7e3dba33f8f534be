#include "record/copy.h"

#include <dirent.h>
#include <signal.h>
#include <sqlite3.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include "base/instant.h"
#include "base/mem.h"
#include "lib/faultvfs.h"
#include "lib/harness.h"
#include "lib/scratchrecord.h"
#include "record/diary.h"
#include "record/hourstore.h"
#include "record/stationstore.h"

/*
 * A copy is whole or is not there, whatever happens: another program that writes, a full disk, no memory, SIGKILL.
 */

enum { T0 = 1747008000, HOURS = 96, MOST_POINTS = 20000, DIARY_TEXTS = 60 };

static struct scratchrecord scratch;
static char to[SCRATCH_SIZE];
static struct fault f;

static void diary_line(struct record *rec, int day)
{
	struct entry e = {.written = T0 + day, .date = {day}, .verb = "watered", .text = "watered south", .amount = 5};
	ck_assert_msg(diary_append(rec, "g", &e, &f) == FAULT_NONE, "%s", f.text);
}

/* An invented record of some pages, closed: no connection may go over a fork. */
static void set_up(void)
{
	struct issue i;
	f = (struct fault){0};
	scratchrecord_open(&scratch);
	scratch_path(scratch.folder, "copy.db", to);
	issue_init(&i);
	(void)snprintf(i.source, sizeof i.source, "invented");
	i.received = T0;
	ck_assert_int_eq(hours_init(&i.hours, T0, HOURS, &f), FAULT_NONE);
	for (int k = 0; k < HOURS; k++)
		hours_set(&i.hours, VAR_AIR_TEMPERATURE, T0 + k * HOUR_S, k / 4.0, ORIGIN_FORECAST);
	ck_assert_int_eq(hourstore_ingest(scratch.rec, scratch.place, &i, &f), FAULT_NONE);
	issue_free(&i);
	for (int d = 0; d < DIARY_TEXTS; d++)
		diary_line(scratch.rec, d);
	record_close(scratch.rec);
	scratch.rec = NULL;
	faultvfs_install();
}

static void tear_down(void)
{
	faultvfs_off();
	scratchrecord_close(&scratch);
}

static struct record *opened(const char *path, enum record_mode mode)
{
	struct record *rec;
	ck_assert_msg(record_open_patient(path, mode, 0, &rec, &f) == FAULT_NONE, "%s", f.text);
	return rec;
}

static enum fault_code copied(void)
{
	struct record *rec = opened(scratch.path, RECORD_AS_IS);
	enum fault_code code = record_copy(rec, to, &f);
	record_close(rec);
	return code;
}

static bool there(const char *path)
{
	struct stat st;
	return lstat(path, &st) == 0;
}

static size_t entries_in(const char *path)
{
	struct record *rec = opened(path, RECORD_READ_ONLY);
	struct entry *all;
	size_t n;
	ck_assert_msg(record_check(rec, &f) == FAULT_NONE, "%s", f.text);
	ck_assert_int_eq(diary_list(rec, "g", DIARY_ALL, &all, &n, &f), FAULT_NONE);
	mem_free(all);
	record_close(rec);
	return n;
}

/* Names in the folder beside the record itself. */
static size_t others(void)
{
	size_t n = 0;
	DIR *d = opendir(scratch.folder);
	for (struct dirent *e = readdir(d); e; e = readdir(d))
		n += e->d_name[0] != '.' && strcmp(e->d_name, "record.db") != 0;
	closedir(d);
	return n;
}

static void remove_others(void)
{
	DIR *d = opendir(scratch.folder);
	for (struct dirent *e = readdir(d); e; e = readdir(d)) {
		char path[SCRATCH_SIZE];
		if (e->d_name[0] == '.' || strcmp(e->d_name, "record.db") == 0)
			continue;
		scratch_path(scratch.folder, e->d_name, path);
		ck_assert_int_eq(unlink(path), 0);
	}
	closedir(d);
}

START_TEST(all_is_in_it)
{
	struct stat st;
	struct hours h;
	ck_assert_msg(copied() == FAULT_NONE, "%s", f.text);
	ck_assert_uint_eq(entries_in(to), DIARY_TEXTS);
	ck_assert_int_eq(stat(to, &st), 0);
	ck_assert_int_eq(st.st_mode & 07777, 0600);
	ck_assert_uint_eq(others(), 1);
	struct record *rec = opened(to, RECORD_READ_WRITE);
	ck_assert_int_eq(hourstore_known(rec, scratch.place, T0, T0, T0 + HOURS * HOUR_S, &h, NULL, &f), FAULT_NONE);
	ROW_NEAR("last hour", hours_get(&h, VAR_AIR_TEMPERATURE, T0 + (HOURS - 1) * HOUR_S), (HOURS - 1) / 4.0, 0);
	hours_free(&h);
	diary_line(rec, 999); /* it is a record like any other */
	record_close(rec);
	ck_assert_uint_eq(entries_in(to), DIARY_TEXTS + 1);
	ck_assert_uint_eq(entries_in(scratch.path), DIARY_TEXTS);
}
END_TEST

START_TEST(never_over_a_file)
{
	char link_to[SCRATCH_SIZE];
	FILE *out = fopen(to, "wb");
	ck_assert_int_eq(fputs("the grower's own", out), 1);
	fclose(out);
	ck_assert_int_eq(copied(), FAULT_CREATE);
	ck_assert_ptr_nonnull(strstr(f.text, "is there already"));
	struct stat st;
	ck_assert_int_eq(stat(to, &st), 0);
	ck_assert_int_eq(st.st_size, (off_t)strlen("the grower's own"));
	ck_assert_uint_eq(others(), 1);
	/* A link to nowhere is a name that is taken. */
	ck_assert_int_eq(unlink(to), 0);
	scratch_path(scratch.folder, "nowhere", link_to);
	ck_assert_int_eq(symlink(link_to, to), 0);
	ck_assert_int_eq(copied(), FAULT_CREATE);
	ck_assert(!there(link_to));
	ck_assert_uint_eq(others(), 1);
}
END_TEST

START_TEST(no_folder_no_copy)
{
	scratch_path(scratch.folder, "nowhere/copy.db", to);
	ck_assert_int_eq(copied(), FAULT_CREATE);
	ck_assert_uint_eq(others(), 0);
}
END_TEST

/* Two station days at a time, for ever. */
static void write_pairs(void)
{
	struct record *rec;
	if (record_open(scratch.path, RECORD_READ_WRITE, &rec, &f) != FAULT_NONE)
		_exit(1);
	for (int k = 0;; k += 2) {
		struct station_day pair[] = {{"INV1", {k}, 1, 2, 3, 700}, {"INV1", {k + 1}, 1, 2, 3, 700}};
		if (stationstore_put(rec, scratch.place, pair, 2, &f) != FAULT_NONE)
			_exit(1);
	}
}

static size_t days_in(const char *path)
{
	struct record *rec = opened(path, RECORD_READ_ONLY);
	struct station_day *days;
	size_t n;
	ck_assert_msg(record_check(rec, &f) == FAULT_NONE, "%s", f.text);
	ck_assert_int_eq(
	    stationstore_list(rec, scratch.place, NULL, (struct date){0}, (struct date){INT32_MAX}, &days, &n, &f),
	    FAULT_NONE);
	mem_free(days);
	record_close(rec);
	return n;
}

START_TEST(while_another_writes)
{
	enum { COPIES_MOST = 2000, GROWN = 4 };
	int grown = 0;
	size_t last = 0;
	pid_t writer = fork();
	ck_assert_int_ge(writer, 0);
	if (writer == 0)
		write_pairs();
	for (int k = 0; k < COPIES_MOST && grown < GROWN; k++) {
		struct record *rec;
		ck_assert_msg(record_open(scratch.path, RECORD_AS_IS, &rec, &f) == FAULT_NONE, "%s", f.text);
		ck_assert_msg(record_copy(rec, to, &f) == FAULT_NONE, "%s", f.text);
		record_close(rec);
		size_t n = days_in(to);
		ck_assert_msg(n % 2 == 0 && n >= last, "%zu days after %zu", n, last);
		grown += n > last;
		last = n;
		ck_assert_int_eq(unlink(to), 0);
	}
	int status;
	ck_assert_int_eq(waitpid(writer, &status, WNOHANG), 0); /* it did not give up */
	ck_assert_int_eq(kill(writer, SIGKILL), 0);
	ck_assert_int_eq(waitpid(writer, &status, 0), writer);
	ck_assert_int_eq(grown, GROWN);
}
END_TEST

START_TEST(held_for_too_long)
{
	sqlite3 *db;
	struct record *rec = opened(scratch.path, RECORD_AS_IS);
	ck_assert_int_eq(sqlite3_open(scratch.path, &db), SQLITE_OK);
	ck_assert_int_eq(sqlite3_exec(db, "BEGIN EXCLUSIVE", NULL, NULL, NULL), SQLITE_OK);
	ck_assert_int_eq(record_copy(rec, to, &f), FAULT_TRY_LATER);
	ck_assert_ptr_nonnull(strstr(f.text, scratch.path));
	sqlite3_close(db);
	record_close(rec);
	char journal[SCRATCH_SIZE];
	scratch_path(scratch.folder, "record.db-journal", journal);
	(void)unlink(journal);
	ck_assert_uint_eq(others(), 0);
}
END_TEST

enum way { MEMORY_ONCE, DISK_ONCE, DISK_FROM_THEN_ON, FULL_ONCE, FULL_FROM_THEN_ON, WAYS };

static bool try_point(enum way w, long point)
{
	struct record *rec = opened(scratch.path, RECORD_AS_IS);
	if (w == MEMORY_ONCE)
		mem_fail_after(point, false);
	else
		faultvfs_fail_after(point, w == DISK_FROM_THEN_ON || w == FULL_FROM_THEN_ON, w >= FULL_ONCE);
	enum fault_code code = record_copy(rec, to, &f);
	long refused = w == MEMORY_ONCE ? mem_refused() : faultvfs_refused();
	mem_fail_after(-1, false);
	faultvfs_off();
	record_close(rec);
	/* A page that cannot be read is damage to the look that a copy gets at its end. */
	bool unread = code == FAULT_DATA && strstr(f.text, "unable to get the page") != NULL;
	enum fault_code want = w == MEMORY_ONCE ? FAULT_MEMORY : FAULT_IO;
	ck_assert_msg(code == FAULT_NONE || ((code == want || (unread && w != MEMORY_ONCE)) && refused > 0),
		      "way %d, point %ld: %d %s", (int)w, point, (int)code, f.text);
	ck_assert_msg(there(to) == (code == FAULT_NONE), "way %d, point %ld: said %d", (int)w, point, (int)code);
	ck_assert_msg(others() == (code == FAULT_NONE), "way %d, point %ld: %zu files", (int)w, point, others());
	if (code == FAULT_NONE)
		ck_assert_uint_eq(entries_in(to), DIARY_TEXTS);
	ck_assert_uint_eq(entries_in(scratch.path), DIARY_TEXTS);
	remove_others();
	return refused > 0;
}

START_TEST(each_point_fails)
{
	long point = 0;
	while (try_point((enum way)_i, point)) {
		point += getenv("DEWPOST_EVERY_POINT") ? 1 : 1 + point / 8;
		ck_assert_msg(point < MOST_POINTS, "it never ends");
	}
	ck_assert_int_gt(point, 10);
}
END_TEST

/* A child that is killed at the point-th call to the disk of `act`; false: it came to its end. */
static bool killed(long point, void (*act)(struct record *rec), enum record_mode mode)
{
	int status;
	pid_t pid = fork();
	ck_assert_int_ge(pid, 0);
	if (pid == 0) {
		struct record *rec = opened(scratch.path, mode);
		faultvfs_kill_after(point);
		act(rec);
		_exit(0);
	}
	ck_assert_int_eq(waitpid(pid, &status, 0), pid);
	ck_assert(WIFEXITED(status) ? WEXITSTATUS(status) == 0 : WTERMSIG(status) == SIGKILL);
	return WIFSIGNALED(status);
}

static void act_copy(struct record *rec)
{
	if (record_copy(rec, to, &f) != FAULT_NONE)
		_exit(1);
}

static void act_write(struct record *rec)
{
	diary_line(rec, 1000);
}

START_TEST(killed_while_copying)
{
	long point = 0;
	for (; killed(point, act_copy, RECORD_AS_IS); point += 1 + point / 8) {
		ck_assert_int_lt(point, MOST_POINTS);
		/* The calls to SQLite's files are all before the copy has its name. */
		ck_assert_msg(!there(to), "point %ld", point);
		ck_assert_uint_eq(entries_in(scratch.path), DIARY_TEXTS);
	}
	ck_assert_int_gt(point, 10);
	ck_assert_uint_eq(entries_in(to), DIARY_TEXTS);
	/* What the killed ones left is not in the way of the next. */
	ck_assert_int_eq(unlink(to), 0);
	ck_assert_msg(copied() == FAULT_NONE, "%s", f.text);
}
END_TEST

/* A run that was killed while it wrote: the copy has its entry wholly, or not at all. */
START_TEST(of_what_a_killed_run_left)
{
	size_t had = DIARY_TEXTS;
	long point = 0;
	for (bool dies = true; dies; point++) {
		ck_assert_int_lt(point, MOST_POINTS);
		dies = killed(point, act_write, RECORD_READ_WRITE);
		ck_assert_msg(copied() == FAULT_NONE, "point %ld: %s", point, f.text);
		size_t n = entries_in(to);
		ck_assert_msg(n == had || n == had + 1, "point %ld: %zu after %zu", point, n, had);
		had = n;
		ck_assert_int_eq(unlink(to), 0);
	}
	ck_assert_uint_gt(had, DIARY_TEXTS);
	ck_assert_int_gt(point, 5);
}
END_TEST

/* Bytes of the file gone over, at an offset of the file. */
static void damage(long at, size_t n)
{
	FILE *out = fopen(scratch.path, "r+b");
	ck_assert_int_eq(fseek(out, at, SEEK_SET), 0);
	for (size_t i = 0; i < n; i++)
		ck_assert_int_eq(fputc(0x5a, out), 0x5a);
	fclose(out);
}

START_TEST(not_of_a_damaged_record)
{
	enum { PAGE = 4096 };
	damage(PAGE, 4L * PAGE); /* the pages after the schema's */
	ck_assert_int_eq(copied(), FAULT_DATA);
	ck_assert_ptr_nonnull(strstr(f.text, "damaged"));
	ck_assert_uint_eq(others(), 0);
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("record/copy");
	TCase *t = tcase_create("copy");
	tcase_add_checked_fixture(t, set_up, tear_down);
	tcase_set_timeout(t, 120);
	tcase_add_test(t, all_is_in_it);
	tcase_add_test(t, never_over_a_file);
	tcase_add_test(t, no_folder_no_copy);
	tcase_add_test(t, while_another_writes);
	tcase_add_test(t, held_for_too_long);
	tcase_add_loop_test(t, each_point_fails, 0, WAYS);
	tcase_add_test(t, killed_while_copying);
	tcase_add_test(t, of_what_a_killed_run_left);
	tcase_add_test(t, not_of_a_damaged_record);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
