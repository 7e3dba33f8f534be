#include "record/record.h"

#include <errno.h>
#include <fcntl.h>
#include <grp.h>
#include <signal.h>
#include <sqlite3.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include "base/instant.h"
#include "lib/harness.h"
#include "lib/scratch.h"
#include "record/hourstore.h"

static char folder[SCRATCH_SIZE], path[SCRATCH_SIZE];
static const struct place here = {4431, -8990, 330};

static void set_up(void)
{
	scratch_make(folder);
	scratch_path(folder, "record.db", path);
}

/* Where a user without privilege can get to, wherever the tree lies. */
static void set_up_for_all(void)
{
	ck_assert_int_eq(unsetenv("TMPDIR"), 0);
	set_up();
}

static void tear_down(void)
{
	scratch_remove(folder);
}

static struct record *open_fine(enum record_mode mode)
{
	struct record *rec;
	struct fault f;
	ck_assert_msg(record_open_patient(path, mode, 0, &rec, &f) == FAULT_NONE, "%s", f.text);
	return rec;
}

static void assert_refused(const char *row, enum record_mode mode, enum fault_code code, const char *says)
{
	struct record *rec;
	struct fault f = {FAULT_NONE, ""};
	ROW_INT(row, record_open_patient(path, mode, 0, &rec, &f), code);
	ck_assert_msg(strstr(f.text, says) && strstr(f.text, path) && !strchr(f.text, '\n'), "%s: says \"%s\"", row,
		      f.text);
	ck_assert_ptr_null(rec);
}

/* Run SQL on the file behind the room's back. */
static void behind(const char *sql)
{
	sqlite3 *db;
	ck_assert_int_eq(sqlite3_open(path, &db), SQLITE_OK);
	ck_assert_msg(sqlite3_exec(db, sql, NULL, NULL, NULL) == SQLITE_OK, "%s", sqlite3_errmsg(db));
	sqlite3_close(db);
}

static void write_file(const char *bytes, size_t n)
{
	FILE *out = fopen(path, "wb");
	ck_assert_ptr_nonnull(out);
	ck_assert_uint_eq(fwrite(bytes, 1, n, out), n);
	fclose(out);
}

/* n hours of an invented station, temperature x. */
static enum fault_code put_hours(struct record *rec, size_t n, double x, struct fault *f)
{
	struct hours h;
	int64_t place;
	if (record_place(rec, &here, &place, f))
		return f->code;
	ck_assert_int_eq(hours_init(&h, 0, n, f), FAULT_NONE);
	for (size_t i = 0; i < n; i++)
		hours_set(&h, VAR_AIR_TEMPERATURE, (int64_t)i * HOUR_S, x, ORIGIN_OBSERVED);
	enum fault_code code = hourstore_put(rec, place, &h, RANK_OBSERVED, 1, f);
	hours_free(&h);
	return code;
}

static void assert_hours(struct record *rec, size_t n, double x)
{
	struct hours h;
	struct fault f;
	int64_t place;
	ck_assert_msg(record_place(rec, &here, &place, &f) == FAULT_NONE, "%s", f.text);
	ck_assert_msg(hourstore_known(rec, place, 0, 1000000 * (int64_t)HOUR_S, (int64_t)n * HOUR_S, &h, NULL, &f) == 0,
		      "%s", f.text);
	for (size_t i = 0; i < n; i++)
		ck_assert_double_eq(h.value[VAR_AIR_TEMPERATURE][i], x);
	hours_free(&h);
}

START_TEST(a_new_record)
{
	struct stat st;
	struct fault f;
	uint8_t head[100];
	record_close(open_fine(RECORD_READ_WRITE));
	ck_assert_int_eq(stat(path, &st), 0);
	ck_assert_int_eq(st.st_mode & 0777, 0600);
	FILE *in = fopen(path, "rb");
	ck_assert_uint_eq(fread(head, 1, sizeof head, in), sizeof head);
	fclose(in);
	/* SQLite's file format 1.3: user version (the schema) at byte 60, application id at 68; 1 and 1 at 18 is no
	 * write-ahead log.
	 */
	ck_assert_mem_eq(head + 60, "\0\0\0\4", 4);
	ck_assert_mem_eq(head + 68, "dewp", 4);
	ck_assert_mem_eq(head + 18, "\1\1", 2);
	/* Opened again it is taken as it is. */
	struct record *rec = open_fine(RECORD_READ_WRITE);
	ck_assert_str_eq(record_path(rec), path);
	ck_assert_msg(record_check(rec, &f) == FAULT_NONE, "%s", f.text);
	record_close(rec);
	record_close(NULL);
}
END_TEST

START_TEST(its_folder_is_made)
{
	struct record *rec;
	struct fault f;
	char deep[SCRATCH_SIZE], file[SCRATCH_SIZE];
	struct stat st;
	scratch_path(folder, "deep", deep);
	scratch_path(deep, "record.db", file);
	ck_assert_msg(record_open(file, RECORD_READ_WRITE, &rec, &f) == FAULT_NONE, "%s", f.text);
	record_close(rec);
	ck_assert_int_eq(stat(deep, &st), 0);
	ck_assert_int_eq(st.st_mode & 0777, 0700);
	scratch_remove(deep);
}
END_TEST

START_TEST(places)
{
	static const struct place others[] = {
	    {4431, -8990, PLACE_ELEVATION_NONE}, {4431, -8990, 340}, {4432, -8990, 330}, {4431, -8991, 330}};
	struct record *rec = open_fine(RECORD_READ_WRITE);
	struct fault f;
	int64_t first, again, other, seen[4];
	ck_assert_int_eq(record_place(rec, &here, &first, &f), FAULT_NONE);
	for (size_t i = 0; i < 4; i++) {
		ck_assert_int_eq(record_place(rec, &others[i], &seen[i], &f), FAULT_NONE);
		ck_assert_int_ne(seen[i], first);
		ck_assert(i == 0 || seen[i] != seen[i - 1]);
		ck_assert_int_eq(record_place(rec, &others[i], &other, &f), FAULT_NONE);
		ck_assert_int_eq(other, seen[i]);
	}
	ck_assert_int_eq(record_place(rec, &here, &again, &f), FAULT_NONE);
	ck_assert_int_eq(again, first);
	record_close(rec);

	rec = open_fine(RECORD_READ_ONLY);
	ck_assert_int_eq(record_place(rec, &others[0], &again, &f), FAULT_NONE);
	ck_assert_int_eq(again, seen[0]);
	ck_assert_int_eq(record_place(rec, &(struct place){1, 2, 30}, &again, &f), FAULT_NO_INPUT);
	record_close(rec);
}
END_TEST

/* What lies at the path, and what is said of it. */
static const struct {
	const char *row;
	const char *sql;   /* run on a file that is not there yet, or */
	const char *bytes; /* written as they are, or */
	const char *after; /* run on a record of ours */
	enum fault_code code;
	const char *says;
} strangers[] = {
    {"another program's", "CREATE TABLE t (x)", NULL, NULL, FAULT_DATA, "is not a dewpost record"},
    {"another's application id", "PRAGMA application_id = 252006673; CREATE TABLE t (x)", NULL, NULL, FAULT_DATA,
     "is not a dewpost record"},
    {"another's schema version alone", "PRAGMA user_version = 1", NULL, NULL, FAULT_DATA, "is not a dewpost record"},
    {"a text", NULL, "This is a letter to my aunt, and long enough to be a header of a database file, surely it is.",
     NULL, FAULT_DATA, "is not a dewpost record"},
    {"the next schema", NULL, NULL, "PRAGMA user_version = 5", FAULT_CONFIG, "made by a newer dewpost"},
    {"a far schema", NULL, NULL, "PRAGMA user_version = 2147483647", FAULT_CONFIG, "made by a newer dewpost"},
    {"ours without a schema", NULL, NULL, "PRAGMA user_version = 0", FAULT_DATA, "is not a dewpost record"},
    {"ours from before time", NULL, NULL, "PRAGMA user_version = -1", FAULT_DATA, "is not a dewpost record"},
};

static size_t read_file(uint8_t *buf, size_t size)
{
	FILE *in = fopen(path, "rb");
	ck_assert_ptr_nonnull(in);
	size_t n = fread(buf, 1, size, in);
	fclose(in);
	return n;
}

START_TEST(strangers_are_refused_and_left_alone)
{
	static uint8_t before[1 << 20], after[1 << 20];
	if (strangers[_i].sql)
		behind(strangers[_i].sql);
	if (strangers[_i].bytes)
		write_file(strangers[_i].bytes, strlen(strangers[_i].bytes));
	if (strangers[_i].after) {
		record_close(open_fine(RECORD_READ_WRITE));
		behind(strangers[_i].after);
	}
	size_t n = read_file(before, sizeof before);
	assert_refused(strangers[_i].row, RECORD_READ_WRITE, strangers[_i].code, strangers[_i].says);
	assert_refused(strangers[_i].row, RECORD_READ_ONLY, strangers[_i].code, strangers[_i].says);
	ck_assert_uint_eq(read_file(after, sizeof after), n);
	ck_assert_mem_eq(before, after, n);
}
END_TEST

START_TEST(an_empty_file_becomes_a_record)
{
	write_file("", 0);
	assert_refused("empty", RECORD_READ_ONLY, FAULT_NO_INPUT, "the record is empty");
	record_close(open_fine(RECORD_READ_WRITE));
	record_close(open_fine(RECORD_READ_ONLY));
}
END_TEST

START_TEST(read_only_makes_nothing)
{
	assert_refused("none", RECORD_READ_ONLY, FAULT_NO_INPUT, "there is no record yet");
	ck_assert_int_ne(access(path, F_OK), 0);
}
END_TEST

START_TEST(read_only_writes_nothing)
{
	struct fault f;
	struct record *rec = open_fine(RECORD_READ_WRITE);
	ck_assert_int_eq(put_hours(rec, 10, 5, &f), FAULT_NONE);
	record_close(rec);
	rec = open_fine(RECORD_READ_ONLY);
	ck_assert_int_eq(put_hours(rec, 10, 6, &f), FAULT_PERMISSION);
	assert_hours(rec, 10, 5);
	record_close(rec);
}
END_TEST

START_TEST(a_folder_is_no_record)
{
	ck_assert_int_eq(mkdir(path, 0700), 0);
	struct record *rec;
	struct fault f;
	ck_assert_int_ne(record_open(path, RECORD_READ_WRITE, &rec, &f), FAULT_NONE);
	ck_assert_int_ne(record_open(path, RECORD_READ_ONLY, &rec, &f), FAULT_NONE);
	ck_assert_int_eq(rmdir(path), 0);
}
END_TEST

START_TEST(held_by_another)
{
	struct fault f;
	struct record *rec = open_fine(RECORD_READ_WRITE);
	ck_assert_int_eq(put_hours(rec, 10, 5, &f), FAULT_NONE);
	sqlite3 *other;
	ck_assert_int_eq(sqlite3_open(path, &other), SQLITE_OK);

	/* Another is writing: reading goes on, writing must wait. */
	ck_assert_int_eq(sqlite3_exec(other, "BEGIN IMMEDIATE", NULL, NULL, NULL), SQLITE_OK);
	ck_assert_int_eq(put_hours(rec, 10, 6, &f), FAULT_TRY_LATER);
	ck_assert_msg(strstr(f.text, "in use by another program; try again") != NULL, "%s", f.text);
	assert_hours(rec, 10, 5);
	ck_assert_int_eq(sqlite3_exec(other, "ROLLBACK", NULL, NULL, NULL), SQLITE_OK);

	/* Another keeps everybody out. */
	ck_assert_int_eq(sqlite3_exec(other, "BEGIN EXCLUSIVE", NULL, NULL, NULL), SQLITE_OK);
	assert_refused("exclusive", RECORD_READ_WRITE, FAULT_TRY_LATER, "in use by another program");
	assert_refused("exclusive", RECORD_READ_ONLY, FAULT_TRY_LATER, "in use by another program");
	ck_assert_int_eq(sqlite3_exec(other, "ROLLBACK", NULL, NULL, NULL), SQLITE_OK);

	/* Another is reading: the writer gets to the end of its work and then cannot commit; nothing is kept. */
	ck_assert_int_eq(sqlite3_exec(other, "BEGIN; SELECT count(*) FROM hours", NULL, NULL, NULL), SQLITE_OK);
	ck_assert_int_eq(put_hours(rec, 10, 6, &f), FAULT_TRY_LATER);
	ck_assert_int_eq(sqlite3_exec(other, "ROLLBACK", NULL, NULL, NULL), SQLITE_OK);
	assert_hours(rec, 10, 5);

	ck_assert_msg(put_hours(rec, 10, 6, &f) == FAULT_NONE, "%s", f.text);
	assert_hours(rec, 10, 6);
	sqlite3_close(other);
	record_close(rec);
}
END_TEST

/* Two that make the record at once: the second, held up, finds it made. */
START_TEST(made_by_another_meanwhile)
{
	write_file("", 0);
	sqlite3 *other;
	ck_assert_int_eq(sqlite3_open(path, &other), SQLITE_OK);
	ck_assert_int_eq(sqlite3_exec(other, "BEGIN IMMEDIATE", NULL, NULL, NULL), SQLITE_OK);
	assert_refused("being made", RECORD_READ_WRITE, FAULT_TRY_LATER, "in use");
	sqlite3_close(other);
	record_close(open_fine(RECORD_READ_WRITE));
}
END_TEST

/* --- rights ---------------------------------------------------------------------------------------------------------
 */

enum { NOBODY = 65534 };

static const struct {
	const char *row;
	mode_t file, folder; /* file 0: there is none */
	enum record_mode mode;
	enum fault_code code;
	const char *says;
} rights[] = {
    {"may be read", 0444, 0555, RECORD_READ_ONLY, FAULT_NONE, ""},
    {"may not be written", 0444, 0755, RECORD_READ_WRITE, FAULT_PERMISSION, "may not be written"},
    {"may not be read", 0200, 0755, RECORD_READ_ONLY, FAULT_PERMISSION, "cannot be opened"},
    {"may not be looked for", 0444, 0600, RECORD_READ_ONLY, FAULT_PERMISSION, "cannot be opened"},
    {"may not be made", 0, 0555, RECORD_READ_WRITE, FAULT_PERMISSION, "cannot be made"},
};

/* What a user without privilege meets; the exit status of the child. */
static int as_nobody(int i)
{
	struct record *rec;
	struct fault f = {FAULT_NONE, ""};
	if (geteuid() == 0 && (setgroups(0, NULL) != 0 || setgid(NOBODY) != 0 || setuid(NOBODY) != 0))
		return 2;
	enum fault_code code = record_open_patient(path, rights[i].mode, 0, &rec, &f);
	if (code == FAULT_NONE)
		assert_hours(rec, 10, 5);
	record_close(rec);
	if (code == rights[i].code && strstr(f.text, rights[i].says))
		return 0;
	(void)fprintf(stderr, "%s: %d \"%s\"\n", rights[i].row, (int)code, f.text);
	return 1;
}

START_TEST(without_the_right)
{
	int status;
	struct fault f;
	if (rights[_i].file) {
		struct record *rec = open_fine(RECORD_READ_WRITE);
		ck_assert_int_eq(put_hours(rec, 10, 5, &f), FAULT_NONE);
		record_close(rec);
		ck_assert_int_eq(chmod(path, rights[_i].file), 0);
	}
	/* Root's own folder is made over to nobody, so that its bits speak of them. */
	if (geteuid() == 0) {
		ck_assert_int_eq(chown(folder, NOBODY, NOBODY), 0);
		ck_assert(!rights[_i].file || chown(path, NOBODY, NOBODY) == 0);
	}
	ck_assert_int_eq(chmod(folder, rights[_i].folder), 0);
	pid_t pid = fork();
	if (pid == 0)
		_exit(as_nobody(_i));
	ck_assert_int_eq(waitpid(pid, &status, 0), pid);
	ck_assert_int_eq(chmod(folder, 0700), 0);
	ROW_INT(rights[_i].row, status, 0);
}
END_TEST

/* --- damage ---------------------------------------------------------------------------------------------------------
 */

static void make_large(void)
{
	struct fault f;
	struct record *rec = open_fine(RECORD_READ_WRITE);
	ck_assert_msg(put_hours(rec, 2000, 5, &f) == FAULT_NONE, "%s", f.text);
	record_close(rec);
}

/* Each page in turn is overwritten: found at once, or on looking over the file; never a crash. */
START_TEST(damaged_pages_are_found)
{
	static uint8_t whole[1 << 20];
	enum { PAGE = 4096 };
	make_large();
	size_t n = read_file(whole, sizeof whole);
	ck_assert_uint_gt(n / PAGE, 10);
	for (size_t page = 0; page < n / PAGE; page++) {
		struct record *rec;
		struct fault f = {FAULT_NONE, ""};
		uint8_t kept[PAGE];
		memcpy(kept, whole + page * PAGE, PAGE);
		for (size_t i = 0; i < PAGE; i++)
			whole[page * PAGE + i] = (uint8_t)(i * 7 + 0x5a);
		write_file((const char *)whole, n);
		enum fault_code code = record_open(path, RECORD_READ_WRITE, &rec, &f);
		if (code == FAULT_NONE)
			code = record_check(rec, &f);
		ck_assert_msg(code == FAULT_DATA, "page %zu: %d \"%s\"", page, (int)code, f.text);
		record_close(rec);
		memcpy(whole + page * PAGE, kept, PAGE);
	}
	write_file((const char *)whole, n);
	struct record *rec = open_fine(RECORD_READ_WRITE);
	assert_hours(rec, 2000, 5);
	record_close(rec);
}
END_TEST

START_TEST(a_cut_file_is_found)
{
	static const off_t lengths[] = {50, 100, 4096, 3 * 4096, 3 * 4096 + 100};
	for (size_t i = 0; i < sizeof lengths / sizeof *lengths; i++) {
		struct record *rec;
		struct fault f = {FAULT_NONE, ""};
		unlink(path);
		make_large();
		ck_assert_int_eq(truncate(path, lengths[i]), 0);
		enum fault_code code = record_open(path, RECORD_READ_WRITE, &rec, &f);
		if (code == FAULT_NONE)
			code = record_check(rec, &f);
		ck_assert_msg(code == FAULT_DATA, "%lld bytes: %d \"%s\"", (long long)lengths[i], (int)code, f.text);
		record_close(rec);
	}
}
END_TEST

/* The file may not grow past 64 KiB: what a full disk does. */
START_TEST(no_room_left)
{
	struct fault f;
	struct rlimit was, now;
	struct record *rec = open_fine(RECORD_READ_WRITE);
	ck_assert_int_eq(put_hours(rec, 10, 5, &f), FAULT_NONE);
	ck_assert_int_eq(getrlimit(RLIMIT_FSIZE, &was), 0);
	ck_assert(signal(SIGXFSZ, SIG_IGN) != SIG_ERR);
	now = was;
	now.rlim_cur = 64 * 1024;
	ck_assert_int_eq(setrlimit(RLIMIT_FSIZE, &now), 0);
	enum fault_code code = put_hours(rec, 5000, 6, &f);
	ck_assert_int_eq(setrlimit(RLIMIT_FSIZE, &was), 0);
	ck_assert_int_eq(code, FAULT_IO);
	assert_hours(rec, 10, 5);
	ck_assert_int_eq(record_check(rec, &f), FAULT_NONE);
	/* And with room it goes on. */
	ck_assert_int_eq(put_hours(rec, 5000, 6, &f), FAULT_NONE);
	assert_hours(rec, 5000, 6);
	record_close(rec);
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("record");
	TCase *t = tcase_create("record");
	tcase_add_checked_fixture(t, set_up, tear_down);
	tcase_add_test(t, a_new_record);
	tcase_add_test(t, its_folder_is_made);
	tcase_add_test(t, places);
	tcase_add_loop_test(t, strangers_are_refused_and_left_alone, 0, sizeof strangers / sizeof *strangers);
	tcase_add_test(t, an_empty_file_becomes_a_record);
	tcase_add_test(t, read_only_makes_nothing);
	tcase_add_test(t, read_only_writes_nothing);
	tcase_add_test(t, a_folder_is_no_record);
	tcase_add_test(t, held_by_another);
	tcase_add_test(t, made_by_another_meanwhile);
	tcase_add_test(t, damaged_pages_are_found);
	tcase_add_test(t, a_cut_file_is_found);
	tcase_add_test(t, no_room_left);
	suite_add_tcase(s, t);
	t = tcase_create("rights");
	tcase_add_checked_fixture(t, set_up_for_all, tear_down);
	tcase_add_loop_test(t, without_the_right, 0, sizeof rights / sizeof *rights);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
