/*
 * New files: whole or not at all, and nothing written over.
 */
#include "base/newfile.h"

#include <dirent.h>
#include <signal.h>
#include <stdio.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/file.h"
#include "base/mem.h"
#include "lib/harness.h"
#include "lib/scratch.h"

static char folder[SCRATCH_SIZE], path[SCRATCH_SIZE];

static void setup(void)
{
	scratch_make(folder);
	scratch_path(folder, "a", path);
}

static void teardown(void)
{
	scratch_remove(folder);
}

static size_t files(void)
{
	size_t n = 0;
	DIR *d = opendir(folder);
	ck_assert_ptr_nonnull(d);
	for (const struct dirent *e; (e = readdir(d)) != NULL;)
		n += e->d_name[0] != '.';
	closedir(d);
	return n;
}

static void holds(const char *want)
{
	struct fault f = {0};
	char *bytes;
	size_t n;
	ck_assert_msg(file_read(path, 100, &bytes, &n, &f) == FAULT_NONE, "%s", f.text);
	ck_assert_str_eq(bytes, want);
	mem_free(bytes);
}

START_TEST(is_whole_and_the_users_alone)
{
	struct fault f = {0};
	struct stat st;
	ck_assert_int_eq(newfile_put(path, "what it says\n", 13, &f), FAULT_NONE);
	holds("what it says\n");
	ck_assert_int_eq(stat(path, &st), 0);
	ck_assert_uint_eq(st.st_mode & 07777, 0600);
	ck_assert_uint_eq(files(), 1);
}
END_TEST

START_TEST(leaves_what_is_there)
{
	struct fault f = {0};
	ck_assert_int_eq(newfile_put(path, "first", 5, &f), FAULT_NONE);
	ck_assert_int_eq(newfile_put(path, "second", 6, &f), FAULT_CREATE);
	ck_assert_ptr_nonnull(strstr(f.text, "/a: is there already"));
	holds("first");
	ck_assert_uint_eq(files(), 1);
}
END_TEST

/* Somebody takes the name between the begin and the end. */
START_TEST(leaves_what_came_meanwhile)
{
	struct fault f = {0};
	char temporary[NEWFILE_PATH_SIZE];
	ck_assert_int_eq(newfile_begin(path, temporary, &f), FAULT_NONE);
	ck_assert_int_eq(newfile_put(path, "other", 5, &f), FAULT_NONE);
	ck_assert_int_eq(newfile_finish(temporary, path, &f), FAULT_CREATE);
	holds("other");
	ck_assert_uint_eq(files(), 1);
}
END_TEST

/* A link that leads nowhere is a name that is taken, too. */
START_TEST(follows_no_link)
{
	struct fault f = {0};
	ck_assert_int_eq(symlink("/nowhere/at/all", path), 0);
	ck_assert_int_eq(newfile_put(path, "x", 1, &f), FAULT_CREATE);
	ck_assert_uint_eq(files(), 1);
}
END_TEST

START_TEST(says_that_the_folder_is_missing)
{
	struct fault f = {0};
	ck_assert_int_eq(newfile_put("/nowhere/at/all/a", "x", 1, &f), FAULT_CREATE);
	ck_assert_str_eq(f.text, "/nowhere/at/all/a: cannot be made: No such file or directory");
}
END_TEST

/* A limit of the file's size stands for a disk that is full. */
START_TEST(leaves_nothing_on_a_full_disk)
{
	struct fault f = {0};
	const struct rlimit little = {4, 4};
	signal(SIGXFSZ, SIG_IGN);
	ck_assert_int_eq(setrlimit(RLIMIT_FSIZE, &little), 0);
	ck_assert_int_eq(newfile_put(path, "more than four", 14, &f), FAULT_IO);
	ck_assert_uint_eq(files(), 0);
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("newfile");
	TCase *t = tcase_create("newfile");
	tcase_add_checked_fixture(t, setup, teardown);
	tcase_add_test(t, is_whole_and_the_users_alone);
	tcase_add_test(t, leaves_what_is_there);
	tcase_add_test(t, leaves_what_came_meanwhile);
	tcase_add_test(t, follows_no_link);
	tcase_add_test(t, says_that_the_folder_is_missing);
	tcase_add_test(t, leaves_nothing_on_a_full_disk);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
