#include <stdlib.h>
#include <string.h>

#include "cli/paths.h"
#include "lib/harness.h"

/* XDG Base Directory Specification 0.8: defaults, and relative paths count as not set. */
static const struct {
	const char *name, *home, *xdg, *config, *state; /* NULL: not set, refused */
} ROWS[] = {
    {"both", "/home/ann", "/etc/x", "/etc/x/dewpost/a.ini", "/etc/x/dewpost/a.ini"},
    {"home alone", "/home/ann", NULL, "/home/ann/.config/dewpost/a.ini", "/home/ann/.local/state/dewpost/a.ini"},
    {"relative", "/home/ann", "x", "/home/ann/.config/dewpost/a.ini", "/home/ann/.local/state/dewpost/a.ini"},
    {"empty", "/home/ann", "", "/home/ann/.config/dewpost/a.ini", "/home/ann/.local/state/dewpost/a.ini"},
    {"no home", NULL, "/etc/x", "/etc/x/dewpost/a.ini", "/etc/x/dewpost/a.ini"},
    {"neither", NULL, NULL, NULL, NULL},
    {"home is relative", "ann", NULL, NULL, NULL},
};

static void set(const char *name, const char *value)
{
	ck_assert_int_eq(value != NULL ? setenv(name, value, 1) : unsetenv(name), 0);
}

static void holds(const char *name, enum fault_code code, const char *buf, const struct fault *f, const char *want)
{
	if (want != NULL) {
		ck_assert_msg(code == FAULT_NONE, "%s: %s", name, f->text);
		ROW_STR(name, buf, want);
		return;
	}
	ROW_INT(name, code, FAULT_CONFIG);
	ck_assert_msg(strncmp(f->text, "neither HOME nor XDG_", 21) == 0, "%s: %s", name, f->text);
}

START_TEST(folders)
{
	char buf[PATHS_SIZE];
	struct fault f;
	const char *name = ROWS[_i].name;
	set("HOME", ROWS[_i].home);
	set("XDG_CONFIG_HOME", ROWS[_i].xdg);
	set("XDG_STATE_HOME", ROWS[_i].xdg);
	holds(name, paths_config("a.ini", buf, &f), buf, &f, ROWS[_i].config);
	holds(name, paths_state("a.ini", buf, &f), buf, &f, ROWS[_i].state);
}
END_TEST

START_TEST(beside)
{
	static const struct {
		const char *file, *path, *want;
	} row[] = {
	    {"garden.ini", "w.db", "w.db"},         {"/etc/garden.ini", "w.db", "/etc/w.db"},
	    {"a/garden.ini", "b/w.db", "a/b/w.db"}, {"/etc/garden.ini", "/var/w.db", "/var/w.db"},
	    {"/garden.ini", "w.db", "/w.db"},
	};
	char buf[PATHS_SIZE];
	struct fault f;
	for (size_t i = 0; i < sizeof row / sizeof row[0]; i++) {
		ck_assert_int_eq(paths_beside(row[i].file, row[i].path, buf, &f), FAULT_NONE);
		ROW_STR(row[i].path, buf, row[i].want);
	}
}
END_TEST

START_TEST(too_long)
{
	static char home[PATHS_SIZE + 2], buf[PATHS_SIZE];
	struct fault f;
	memset(home, 'a', PATHS_SIZE);
	home[0] = '/';
	set("HOME", home);
	set("XDG_CONFIG_HOME", NULL);
	ck_assert_int_eq(paths_config("a.ini", buf, &f), FAULT_CONFIG);
	ck_assert_ptr_nonnull(strstr(f.text, "is too long"));
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("paths");
	TCase *tc = tcase_create("paths");
	tcase_add_loop_test(tc, folders, 0, (int)(sizeof ROWS / sizeof ROWS[0]));
	tcase_add_test(tc, beside);
	tcase_add_test(tc, too_long);
	suite_add_tcase(s, tc);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
