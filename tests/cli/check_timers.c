/*
 * Timers and crontab lines in folders that stand for /etc and for the user's own; no service manager, no cron.
 */
#include "cli/timers.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "lib/harness.h"
#include "lib/scratch.h"

#define MORNING "17 5 * * *    /usr/bin/dewpost morning\n"
#define FETCH   "41 */3 * * *  /usr/bin/dewpost fetch --spread 40min\n"

enum { FOLDERS = 8 };

/* From the top down; removed from the bottom up. */
static const char *const folders[FOLDERS] = {
    "systemd",
    "systemd/system",
    "systemd/system/timers.target.wants",
    "systemd/user",
    "systemd/user/timers.target.wants",
    "cron.d",
    "bin",
    "none",
};

static char top[SCRATCH_SIZE];
static struct timers t;

static void in_top(const char *name, char path[static SCRATCH_SIZE])
{
	scratch_path(top, name, path);
}

static void write_file(const char *name, const char *words, mode_t mode)
{
	char path[SCRATCH_SIZE];
	in_top(name, path);
	FILE *file = fopen(path, "w");
	ck_assert_ptr_nonnull(file);
	fputs(words, file);
	fclose(file);
	ck_assert_int_eq(chmod(path, mode), 0);
}

/* The same folder is /etc and the user's configuration; the only program there is may be its crontab. */
static void set_up(void)
{
	char path[SCRATCH_SIZE];
	scratch_make(top);
	for (size_t i = 0; i < FOLDERS; i++) {
		in_top(folders[i], path);
		ck_assert_int_eq(mkdir(path, 0700), 0);
	}
	in_top("none", path);
	ck_assert_int_eq(setenv("XDG_CONFIG_HOME", path, 1), 0);
	in_top("bin", path);
	ck_assert_int_eq(setenv("PATH", path, 1), 0);
}

static void tear_down(void)
{
	for (size_t i = FOLDERS; i-- > 0;) {
		char path[SCRATCH_SIZE];
		in_top(folders[i], path);
		scratch_remove(path);
	}
	scratch_remove(top);
}

static void find(void)
{
	timers_find(top, &t);
}

static void found(size_t i, const char *end, const char *command)
{
	ck_assert_uint_gt(t.n, i);
	size_t n = strlen(t.at[i].where), m = strlen(end);
	ck_assert_msg(n >= m && strcmp(t.at[i].where + n - m, end) == 0, "%s is not %s", t.at[i].where, end);
	ck_assert_str_eq(t.at[i].command, command);
}

START_TEST(finds_nothing)
{
	find();
	ck_assert_uint_eq(t.n, 0);
	ck_assert(!t.crontab_asked);
}
END_TEST

/* Links of systemctl enable, also where what they lead to is not to be seen from here. */
START_TEST(finds_timers_that_are_enabled)
{
	char path[SCRATCH_SIZE];
	in_top("systemd/system/timers.target.wants/dewpost-morning.timer", path);
	ck_assert_int_eq(symlink("/nowhere/dewpost-morning.timer", path), 0);
	in_top("systemd/system/timers.target.wants/dewpost-evening.timer", path);
	ck_assert_int_eq(symlink("/nowhere/dewpost-evening.timer", path), 0);
	in_top("systemd/user/timers.target.wants/dewpost-fetch.timer", path);
	ck_assert_int_eq(symlink("/nowhere/dewpost-fetch.timer", path), 0);
	find();
	ck_assert_uint_eq(t.n, 3);
	found(0, "systemd/system/timers.target.wants/dewpost-morning.timer", "morning");
	found(1, "systemd/system/timers.target.wants/dewpost-evening.timer", "evening");
	found(2, "systemd/user/timers.target.wants/dewpost-fetch.timer", "fetch");
}
END_TEST

START_TEST(finds_the_users_own_timers)
{
	char path[SCRATCH_SIZE];
	ck_assert_int_eq(setenv("XDG_CONFIG_HOME", top, 1), 0);
	in_top("systemd/user/timers.target.wants/dewpost-morning.timer", path);
	ck_assert_int_eq(symlink("/nowhere/dewpost-morning.timer", path), 0);
	find();
	ck_assert_uint_ge(t.n, 1);
	found(0, "systemd/user/timers.target.wants/dewpost-morning.timer", "morning");
}
END_TEST

START_TEST(finds_lines_of_cron)
{
	write_file("crontab", "# m h dom mon dow user command\n17 5 * * * grower dewpost morning\n", 0644);
	write_file("cron.d/garden", FETCH, 0644);
	write_file("cron.d/.hidden", MORNING, 0644);
	find();
	ck_assert_uint_eq(t.n, 2);
	found(0, "/crontab", "morning");
	found(1, "/cron.d/garden", "fetch");
}
END_TEST

START_TEST(takes_no_remark_for_a_line)
{
	write_file("crontab", "#" MORNING "  # " FETCH "0 1 * * * echo dewpost\n", 0644);
	find();
	ck_assert_uint_eq(t.n, 0);
}
END_TEST

START_TEST(asks_crontab)
{
	write_file("bin/crontab", "#!/bin/sh\n[ \"$*\" = -l ] && echo '" MORNING "' && echo '" FETCH "'\n", 0755);
	find();
	ck_assert(t.crontab_asked);
	ck_assert_uint_eq(t.n, 2);
	found(0, "your crontab", "morning");
	found(1, "your crontab", "fetch");
}
END_TEST

/* "no crontab for grower", on standard error, and 1. */
START_TEST(a_user_without_a_crontab_has_none)
{
	write_file("bin/crontab", "#!/bin/sh\necho no crontab for grower: dewpost morning >&2; exit 1\n", 0755);
	find();
	ck_assert(t.crontab_asked);
	ck_assert_uint_eq(t.n, 0);
}
END_TEST

/* More than there is room for is no harm. */
START_TEST(finds_only_so_many)
{
	for (char c = 'a'; c <= 'z'; c++) {
		char name[] = "cron.d/?";
		name[sizeof name - 2] = c;
		write_file(name, MORNING FETCH, 0644);
	}
	find();
	ck_assert_uint_eq(t.n, TIMERS_FOUND_MAX);
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("timers");
	TCase *c = tcase_create("timers");
	tcase_add_checked_fixture(c, set_up, tear_down);
	tcase_add_test(c, finds_nothing);
	tcase_add_test(c, finds_timers_that_are_enabled);
	tcase_add_test(c, finds_the_users_own_timers);
	tcase_add_test(c, finds_lines_of_cron);
	tcase_add_test(c, takes_no_remark_for_a_line);
	tcase_add_test(c, asks_crontab);
	tcase_add_test(c, a_user_without_a_crontab_has_none);
	tcase_add_test(c, finds_only_so_many);
	suite_add_tcase(s, c);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
