#include <fcntl.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/mem.h"
#include "cli/gardenlist.h"
#include "lib/harness.h"
#include "lib/scratch.h"

static char folder[SCRATCH_SIZE];

static void set_up(void)
{
	scratch_make(folder);
}

static void tear_down(void)
{
	scratch_remove(folder);
}

static void make(const char *name)
{
	char path[SCRATCH_SIZE];
	scratch_path(folder, name, path);
	int fd = open(path, O_CREAT | O_WRONLY, 0600);
	ck_assert_int_ge(fd, 0);
	close(fd);
}

START_TEST(by_bytes_and_no_others)
{
	static const char *const files[] = {"b.ini", "a.ini",     ".hidden.ini",  "notes.txt", "B.ini", "a-1.ini",
					    ".ini",  "c.ini.bak", "\xc3\xa4.ini", "ini",       "d.INI"};
	static const char *const want[] = {"B.ini", "a-1.ini", "a.ini", "b.ini", "\xc3\xa4.ini"};
	struct gardenlist l;
	struct fault f;
	for (size_t i = 0; i < sizeof files / sizeof *files; i++)
		make(files[i]);
	ck_assert_int_eq(gardenlist_read(folder, &l, &f), FAULT_NONE);
	ck_assert_uint_eq(l.n, sizeof want / sizeof *want);
	for (size_t i = 0; i < l.n; i++)
		ck_assert_str_eq(l.name[i], want[i]);
	gardenlist_free(&l);
}
END_TEST

START_TEST(what_is_no_folder_of_gardens)
{
	struct gardenlist l;
	struct fault f;
	char path[SCRATCH_SIZE];
	make("notes.txt");
	ck_assert_int_eq(gardenlist_read(folder, &l, &f), FAULT_NO_INPUT);
	ck_assert_msg(strstr(f.text, "no garden is in it") != NULL, "%s", f.text);
	gardenlist_free(&l);
	scratch_path(folder, "notes.txt", path);
	ck_assert_int_eq(gardenlist_read(path, &l, &f), FAULT_NO_INPUT);
	gardenlist_free(&l);
	scratch_path(folder, "none", path);
	ck_assert_int_eq(gardenlist_read(path, &l, &f), FAULT_NO_INPUT);
	ck_assert_msg(strstr(f.text, "No such file") != NULL, "%s", f.text);
	gardenlist_free(&l);
	if (geteuid() == 0)
		return; /* root may read all */
	ck_assert_int_eq(chmod(folder, 0), 0);
	ck_assert_int_eq(gardenlist_read(folder, &l, &f), FAULT_PERMISSION);
	ck_assert_int_eq(chmod(folder, 0700), 0);
	gardenlist_free(&l);
}
END_TEST

START_TEST(short_of_memory)
{
	struct gardenlist l;
	struct fault f;
	make("a.ini");
	make("b.ini");
	for (long after = 0;; after++) {
		mem_fail_after(after, false);
		enum fault_code code = gardenlist_read(folder, &l, &f);
		bool refused = mem_refused() > 0;
		mem_fail_after(-1, false);
		gardenlist_free(&l);
		ck_assert_int_eq(code, refused ? FAULT_MEMORY : FAULT_NONE);
		if (!refused)
			break;
	}
}
END_TEST

static Suite *suite(void)
{
	Suite *suite = suite_create("gardenlist");
	TCase *t = tcase_create("gardenlist");
	tcase_add_checked_fixture(t, set_up, tear_down);
	tcase_add_test(t, by_bytes_and_no_others);
	tcase_add_test(t, what_is_no_folder_of_gardens);
	tcase_add_test(t, short_of_memory);
	suite_add_tcase(suite, t);
	return suite;
}

int main(void)
{
	return harness_run(suite());
}
