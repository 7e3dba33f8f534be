#include <fcntl.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/text.h"
#include "cli/screen.h"
#include "lib/harness.h"
#include "lib/scratch.h"

enum { SAID_SIZE = 1024 };

/* Standard error into a file; its device and inode as $JOURNAL_STREAM has them, moved on by `off`. */
static void redirect(const char *path, char stream[static SCRATCH_SIZE], unsigned off)
{
	struct stat st;
	struct text t;
	int fd = open(path, O_CREAT | O_TRUNC | O_WRONLY, 0600);
	ck_assert_int_ge(fd, 0);
	ck_assert_int_eq(dup2(fd, STDERR_FILENO), STDERR_FILENO);
	ck_assert_int_eq(fstat(fd, &st), 0);
	close(fd);
	text_over(&t, stream, SCRATCH_SIZE);
	text_addf(&t, "%ju:%ju", (uintmax_t)st.st_dev, (uintmax_t)st.st_ino + off);
}

static void read_back(const char *path, char said[static SAID_SIZE])
{
	FILE *in = fopen(path, "r");
	ck_assert_ptr_nonnull(in);
	said[fread(said, 1, SAID_SIZE - 1, in)] = '\0';
	fclose(in);
}

#define PLAIN "dewpost: fails\ndewpost: goes on\ndewpost: one\ndewpost: and 2 more\ndewpost: one\ndewpost: and 2 more\n"

/* sd-daemon(3): "<N>" before a line, syslog's 3 error and 4 warning; systemd.exec(5), $JOURNAL_STREAM: DEVICE:INODE. */
static const struct {
	const char *name;
	unsigned off;
	bool set, garbled;
	const char *want;
} ROWS[] = {
    {"no journal", 0, false, false, PLAIN},
    {"the journal is another stream", 1, true, false, PLAIN},
    {"no stream's number", 0, true, true, PLAIN},
    {"the journal", 0, true, false,
     "<3>dewpost: fails\n<4>dewpost: goes on\n<3>dewpost: one\n<3>dewpost: and 2 more\n"
     "<4>dewpost: one\n<4>dewpost: and 2 more\n"},
};

START_TEST(levels)
{
	char folder[SCRATCH_SIZE], path[SCRATCH_SIZE], stream[SCRATCH_SIZE], said[SAID_SIZE];
	struct faults all = {.n = 1, .more = 2, .at = {{FAULT_DATA, "one"}}};
	scratch_make(folder);
	scratch_path(folder, "said", path);
	redirect(path, stream, ROWS[_i].off);
	unsetenv("JOURNAL_STREAM");
	if (ROWS[_i].set)
		ck_assert_int_eq(setenv("JOURNAL_STREAM", ROWS[_i].garbled ? "8:" : stream, 1), 0);
	screen_fault("fails");
	screen_warning("goes on");
	screen_faults(&all);
	screen_warnings(&all);
	read_back(path, said);
	scratch_remove(folder);
	ROW_STR(ROWS[_i].name, said, ROWS[_i].want);
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("cli/screen");
	TCase *t = tcase_create("screen");
	tcase_add_loop_test(t, levels, 0, sizeof ROWS / sizeof ROWS[0]);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
