#include "lib/harness.h"

#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/file.h"
#include "base/mem.h"

/* A folder for one test; each runs in a process of its own and clears up behind it. */
static char folder[64];

static void make_temporary(void)
{
	snprintf(folder, sizeof folder, "/tmp/check_file.XXXXXX");
	ck_assert_ptr_nonnull(mkdtemp(folder));
}

static void remove_temporary(void)
{
	char command[128];
	snprintf(command, sizeof command, "rm -rf '%s'", folder);
	ck_assert_int_eq(system(command), 0);
}

static const char *path_of(const char *name, char path[static 256])
{
	snprintf(path, 256, "%s/%s", folder, name);
	return path;
}

static void write_file(const char *path, const char *bytes, size_t n)
{
	FILE *file = fopen(path, "wb");
	ck_assert_ptr_nonnull(file);
	ck_assert_uint_eq(fwrite(bytes, 1, n, file), n);
	ck_assert_int_eq(fclose(file), 0);
}

START_TEST(reads_all_bytes)
{
	static const size_t sizes[] = {0, 1, 255, 256, 16383, 16384, 16385, 100000};
	char path[256], *want = mem_new(100000, 1);
	for (size_t i = 0; i < 100000; i++)
		want[i] = (char)(i * 31 % 251);
	for (size_t i = 0; i < sizeof sizes / sizeof *sizes; i++) {
		size_t n = sizes[i], got;
		write_file(path_of("f", path), want, n);
		char *bytes;
		struct fault f;
		ck_assert_int_eq(file_read(path, n, &bytes, &got, &f), FAULT_NONE);
		ck_assert_uint_eq(got, n);
		ck_assert_int_eq(memcmp(bytes, want, n), 0);
		ck_assert_int_eq(bytes[n], '\0');
		mem_free(bytes);
		if (n == 0)
			continue;
		ck_assert_int_eq(file_read(path, n - 1, &bytes, &got, &f), FAULT_DATA);
		ck_assert_ptr_nonnull(strstr(f.text, "/f: the file is longer than "));
	}
	mem_free(want);
}
END_TEST

/* As a shell's <(...) hands it over. */
START_TEST(reads_a_pipe)
{
	int end[2];
	ck_assert_int_eq(pipe(end), 0);
	ck_assert_int_eq(write(end[1], "from a pipe", 11), 11);
	close(end[1]);
	char path[64], *bytes;
	snprintf(path, sizeof path, "/dev/fd/%d", end[0]);
	size_t n;
	struct fault f;
	ck_assert_int_eq(file_read(path, 100, &bytes, &n, &f), FAULT_NONE);
	ck_assert_str_eq(bytes, "from a pipe");
	mem_free(bytes);
}
END_TEST

static const struct {
	const char *path, *text;
} refused[] = {
    {"/dev/null/x", "/dev/null/x: there is no such file"},
    {"/nowhere/at/all", "/nowhere/at/all: there is no such file"},
    {"", ": there is no such file"},
    {"/tmp", "/tmp: is a folder; a file is wanted"},
    {"/dev/null", "/dev/null: is a device; a file or a pipe is wanted"},
};

START_TEST(refuses_what_is_no_file)
{
	char *bytes;
	size_t n;
	struct fault f;
	ROW_INT(refused[_i].path, file_read(refused[_i].path, 100, &bytes, &n, &f), FAULT_NO_INPUT);
	ROW_STR(refused[_i].path, f.text, refused[_i].text);
	ROW_TRUE(refused[_i].path, !file_is(refused[_i].path));
}
END_TEST

/* Permissions do not bind root, so the test gives them up first. */
START_TEST(says_what_may_not_be_read)
{
	char path[256], *bytes;
	write_file(path_of("secret", path), "x", 1);
	ck_assert_int_eq(chmod(path, 0), 0);
	ck_assert_int_eq(chmod(folder, 0755), 0);
	ck_assert(geteuid() != 0 || seteuid(65534) == 0);
	size_t n;
	struct fault f, made;
	enum fault_code code = file_read(path, 10, &bytes, &n, &f);
	bool is = file_is(path);
	enum fault_code folder_code = file_make_folder_of("/dewpost-check/x", &made);
	ck_assert(getuid() != 0 || seteuid(0) == 0);
	ck_assert_int_eq(code, FAULT_PERMISSION);
	ck_assert_ptr_nonnull(strstr(f.text, "/secret: may not be read: "));
	ck_assert(!is);
	ck_assert_int_eq(folder_code, FAULT_PERMISSION);
	ck_assert_int_eq(strncmp(made.text, "/dewpost-check: the folder cannot be made: ", 43), 0);
}
END_TEST

START_TEST(a_failing_allocation_is_said)
{
	char path[256];
	char big[2000];
	memset(big, 'x', sizeof big);
	write_file(path_of("f", path), big, sizeof big);
	long after = 0;
	for (;; after++) {
		char *bytes;
		size_t n;
		struct fault f;
		mem_fail_after(after, false);
		enum fault_code code = file_read(path, 5000, &bytes, &n, &f);
		long refusals = mem_refused();
		mem_fail_after(-1, false);
		ck_assert_int_eq(code, refusals > 0 ? FAULT_MEMORY : FAULT_NONE);
		if (refusals == 0) {
			mem_free(bytes);
			break;
		}
	}
	ck_assert_int_ge(after, 2);
}
END_TEST

START_TEST(knows_files)
{
	char path[256], link[256];
	write_file(path_of("f", path), "x", 1);
	ck_assert(file_is(path));
	ck_assert_int_eq(symlink(path, path_of("link", link)), 0);
	ck_assert(file_is(link));
	ck_assert_int_eq(unlink(path), 0);
	ck_assert(!file_is(link));
}
END_TEST

static unsigned mode_of(const char *path)
{
	struct stat st;
	ck_assert_int_eq(stat(path, &st), 0);
	return st.st_mode;
}

START_TEST(makes_folders_where_missing)
{
	char path[256];
	struct fault f;
	umask(022);
	ck_assert_int_eq(chmod(folder, 0755), 0);
	for (int twice = 0; twice < 2; twice++)
		ck_assert_int_eq(file_make_folder_of(path_of("a/b//c/record.db", path), &f), FAULT_NONE);
	ck_assert_uint_eq(mode_of(path_of("a", path)), S_IFDIR | 0700);
	ck_assert_uint_eq(mode_of(path_of("a/b/c", path)), S_IFDIR | 0700);
	ck_assert_int_eq(access(path_of("a/b/c/record.db", path), F_OK), -1);
	ck_assert_uint_eq(mode_of(folder), S_IFDIR | 0755);
	ck_assert_int_eq(file_make_folder_of("record.db", &f), FAULT_NONE);
	ck_assert_int_eq(file_make_folder_of("/record.db", &f), FAULT_NONE);
	ck_assert_int_eq(file_make_folder_of("", &f), FAULT_NONE);
}
END_TEST

START_TEST(says_where_no_folder_can_be)
{
	char path[256];
	struct fault f;
	write_file(path_of("f", path), "x", 1);
	ck_assert_int_eq(file_make_folder_of(path_of("f/g/record.db", path), &f), FAULT_CREATE);
	ck_assert_ptr_nonnull(strstr(f.text, "/f: the folder cannot be made: "));
	char endless[10000];
	memset(endless, 'a', sizeof endless - 1);
	endless[sizeof endless - 1] = '\0';
	ck_assert_int_eq(file_make_folder_of(endless, &f), FAULT_CREATE);
	ck_assert_ptr_nonnull(strstr(f.text, "the path is longer than "));
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("base/file");
	TCase *t = tcase_create("file");
	tcase_add_checked_fixture(t, make_temporary, remove_temporary);
	tcase_add_test(t, reads_all_bytes);
	tcase_add_test(t, reads_a_pipe);
	tcase_add_loop_test(t, refuses_what_is_no_file, 0, (int)(sizeof refused / sizeof *refused));
	tcase_add_test(t, says_what_may_not_be_read);
	tcase_add_test(t, a_failing_allocation_is_said);
	tcase_add_test(t, knows_files);
	tcase_add_test(t, makes_folders_where_missing);
	tcase_add_test(t, says_where_no_folder_can_be);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
