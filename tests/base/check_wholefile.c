#include "base/wholefile.h"

#include <signal.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/file.h"
#include "base/mem.h"
#include "lib/harness.h"
#include "lib/scratch.h"

static char folder[SCRATCH_SIZE], path[SCRATCH_SIZE], part[SCRATCH_SIZE];
static struct fault f;

static void set_up(void)
{
	f = (struct fault){0};
	scratch_make(folder);
	scratch_path(folder, "note.txt", path);
	scratch_path(folder, "note.txt.part", part);
}

static void tear_down(void)
{
	scratch_remove(folder);
}

static void put(const char *s)
{
	ck_assert_msg(wholefile_put(path, s, strlen(s), &f) == FAULT_NONE, "%s", f.text);
}

static void holds(const char *want)
{
	char *bytes;
	size_t n;
	ck_assert_msg(file_read(path, 1 << 16, &bytes, &n, &f) == FAULT_NONE, "%s", f.text);
	ck_assert_str_eq(bytes, want);
	mem_free(bytes);
	ck_assert_int_ne(access(part, F_OK), 0);
}

START_TEST(made_and_put_over)
{
	struct stat st;
	put("one\n");
	holds("one\n");
	ck_assert_int_eq(stat(path, &st), 0);
	ck_assert_int_eq(st.st_mode & 0777, 0600);
	put("another, longer\n");
	holds("another, longer\n");
	put("");
	holds("");
}
END_TEST

START_TEST(its_folder_is_made)
{
	char sub[SCRATCH_SIZE];
	scratch_path(folder, "sub/note.txt", path);
	scratch_path(folder, "sub/note.txt.part", part);
	put("one\n");
	holds("one\n");
	scratch_path(folder, "sub", sub);
	ck_assert_int_eq(unlink(path), 0);
	ck_assert_int_eq(rmdir(sub), 0);
}
END_TEST

/* What a run that was killed left is in nobody's way. */
START_TEST(over_a_part_that_was_left)
{
	ck_assert_int_eq(wholefile_write(part, part, "half", 4, &f), FAULT_NONE);
	put("one\n");
	holds("one\n");
}
END_TEST

/* RLIMIT_FSIZE stands for a full disk: the old bytes stay. */
START_TEST(no_room)
{
	static char large[8192];
	put("one\n");
	memset(large, 'x', sizeof large);
	signal(SIGXFSZ, SIG_IGN);
	ck_assert_int_eq(setrlimit(RLIMIT_FSIZE, &(struct rlimit){4096, RLIM_INFINITY}), 0);
	enum fault_code code = wholefile_put(path, large, sizeof large, &f);
	ck_assert_int_eq(setrlimit(RLIMIT_FSIZE, &(struct rlimit){RLIM_INFINITY, RLIM_INFINITY}), 0);
	ck_assert_int_eq(code, FAULT_IO);
	ck_assert_ptr_nonnull(strstr(f.text, "note.txt: cannot be written: "));
	holds("one\n");
}
END_TEST

START_TEST(not_over_what_is_no_file)
{
	ck_assert_int_eq(mkdir(path, 0700), 0);
	ck_assert_int_eq(wholefile_put(path, "x", 1, &f), FAULT_CREATE);
	ck_assert_ptr_nonnull(strstr(f.text, "note.txt: is no regular file"));
	ck_assert_int_eq(rmdir(path), 0);
	ck_assert_int_eq(symlink("/etc/passwd", path), 0);
	ck_assert_int_eq(wholefile_put(path, "x", 1, &f), FAULT_CREATE);
	ck_assert_int_eq(unlink(path), 0);
	ck_assert_int_eq(symlink("/etc/passwd", part), 0);
	ck_assert_int_eq(wholefile_put(path, "x", 1, &f), FAULT_CREATE);
	ck_assert_ptr_nonnull(strstr(f.text, "cannot be made"));
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("wholefile");
	TCase *t = tcase_create("wholefile");
	tcase_add_checked_fixture(t, set_up, tear_down);
	tcase_add_test(t, made_and_put_over);
	tcase_add_test(t, its_folder_is_made);
	tcase_add_test(t, over_a_part_that_was_left);
	tcase_add_test(t, no_room);
	tcase_add_test(t, not_over_what_is_no_file);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
