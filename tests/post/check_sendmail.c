#include "post/sendmail.h"

#include <fcntl.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sysexits.h>
#include <unistd.h>

#include "base/file.h"
#include "base/mem.h"
#include "lib/harness.h"
#include "lib/scratch.h"

#define FROM "garden@example.org"
#define TO   "grower@example.org"

enum { PATIENCE_MS = 20000, SHORT_MS = 200 };

static const char LETTER[] = "Subject: a\n\nfrost tonight\n.\nFrom here\n";

static char folder[SCRATCH_SIZE], program[SCRATCH_SIZE], got[SCRATCH_SIZE];

static void set_up(void)
{
	scratch_make(folder);
	scratch_path(folder, "program", program);
	scratch_path(folder, "got", got);
}

static void tear_down(void)
{
	scratch_remove(folder);
}

/* A shell script in the place of the program; it begins in our folder. */
static void script(const char *body)
{
	FILE *to = fopen(program, "w");
	ck_assert_ptr_nonnull(to);
	fprintf(to, "#!/bin/sh\ncd '%s' || exit 99\n%s\n", folder, body);
	ck_assert_int_eq(fclose(to), 0);
	ck_assert_int_eq(chmod(program, 0700), 0);
}

static char *read_got(size_t *n)
{
	struct fault f = {0};
	char *bytes = NULL;
	ck_assert_msg(file_read(got, 1 << 20, &bytes, n, &f) == FAULT_NONE, "%s", f.text);
	return bytes;
}

START_TEST(taken)
{
	enum post_result result;
	struct fault f = {0};
	size_t n;
	script("for a in \"$@\"; do echo \"$a\"; done >got; echo --- >>got; cat >>got; echo noise; echo noise >&2");
	ck_assert_msg(sendmail_put(program, PATIENCE_MS, FROM, TO, LETTER, sizeof LETTER - 1, &result, &f) ==
			  FAULT_NONE,
		      "%s", f.text);
	ck_assert_int_eq(result, POST_SENT);
	char *bytes = read_got(&n);
	ck_assert_str_eq(bytes, "-i\n-f\n" FROM "\n--\n" TO "\n---\n"
				"Subject: a\n\nfrost tonight\n.\nFrom here\n");
	mem_free(bytes);
}
END_TEST

/* No shell looks at it. */
START_TEST(no_shell)
{
	enum post_result result;
	struct fault f = {0};
	size_t n;
	script("for a in \"$@\"; do echo \"$a\"; done >got");
	ck_assert_int_eq(
	    sendmail_put(program, PATIENCE_MS, "$(id)@example.org", "`id`;*|&@example.org", "a\n", 2, &result, &f),
	    FAULT_NONE);
	char *bytes = read_got(&n);
	ck_assert_str_eq(bytes, "-i\n-f\n$(id)@example.org\n--\n`id`;*|&@example.org\n");
	mem_free(bytes);
}
END_TEST

/* Larger than any pipe, and nobody reads it: no signal, no waiting. */
START_TEST(not_read)
{
	static char letter[1 << 20];
	enum post_result result;
	struct fault f = {0};
	memset(letter, 'x', sizeof letter);
	script("exit 0");
	ck_assert_int_eq(sendmail_put(program, PATIENCE_MS, FROM, TO, letter, sizeof letter, &result, &f), FAULT_NONE);
	ck_assert_int_eq(result, POST_SENT);
}
END_TEST

static const struct {
	const char *name, *body;
	enum post_result result;
	enum fault_code code;
	const char *says;
} ends[] = {
    {"EX_TEMPFAIL", "exit 75", POST_LATER, FAULT_TRY_LATER, "did not take the letter, exit status 75"},
    {"EX_UNAVAILABLE", "exit 69", POST_LATER, FAULT_TRY_LATER, "exit status 69"},
    {"EX_OSERR", "exit 71", POST_LATER, FAULT_TRY_LATER, "exit status 71"},
    {"EX_IOERR", "exit 74", POST_LATER, FAULT_TRY_LATER, "exit status 74"},
    {"no code of sysexits", "exit 1", POST_LATER, FAULT_TRY_LATER, "exit status 1"},
    {"a script whose command is not there", "exec /nonexistent/program", POST_LATER, FAULT_CONFIG,
     "cannot be started ("},
    {"EX_USAGE", "exit 64", POST_REFUSED, FAULT_UNAVAILABLE, "exit status 64"},
    {"EX_DATAERR", "exit 65", POST_REFUSED, FAULT_UNAVAILABLE, "exit status 65"},
    {"EX_NOUSER", "exit 67", POST_REFUSED, FAULT_UNAVAILABLE, "exit status 67"},
    {"EX_NOHOST", "exit 68", POST_REFUSED, FAULT_UNAVAILABLE, "exit status 68"},
    {"EX_NOPERM", "exit 77", POST_REFUSED, FAULT_UNAVAILABLE, "exit status 77"},
    {"EX_CONFIG", "exit 78", POST_REFUSED, FAULT_UNAVAILABLE, "exit status 78"},
    {"what it says", "echo 'queue full' >&2; echo more >&2; exit 75", POST_LATER, FAULT_TRY_LATER,
     "exit status 75 (queue full)"},
    {"what it says on standard output", "echo 'no such user'; exit 67", POST_REFUSED, FAULT_UNAVAILABLE,
     "(no such user)"},
    {"control characters in it", "printf '\\033[31mred\\n' >&2; exit 75", POST_LATER, FAULT_TRY_LATER, "(?[31mred)"},
    {"more than it may say", "yes | head -c 1000000 >&2; exit 75", POST_LATER, FAULT_TRY_LATER, "75 (y)"},
    {"ended by a signal", "kill -9 $$", POST_UNKNOWN, FAULT_TRY_LATER,
     "ended by signal 9; whether the letter went out"},
};

START_TEST(end)
{
	enum post_result result;
	struct fault f = {0};
	script(ends[_i].body);
	ROW_INT(ends[_i].name, sendmail_put(program, PATIENCE_MS, FROM, TO, LETTER, sizeof LETTER - 1, &result, &f),
		ends[_i].code);
	ROW_INT(ends[_i].name, result, ends[_i].result);
	ROW_MSG(strstr(f.text, ends[_i].says) != NULL, "%s: %s", ends[_i].name, f.text);
	ROW_MSG(strncmp(f.text, program, strlen(program)) == 0, "%s: %s", ends[_i].name, f.text);
}
END_TEST

/* With what it started: none of them holds us up. */
START_TEST(too_slow)
{
	enum post_result result;
	struct fault f = {0};
	size_t n;
	script("sleep 1000 & echo $! >got; wait");
	ck_assert_int_eq(sendmail_put(program, SHORT_MS * 5, FROM, TO, LETTER, sizeof LETTER - 1, &result, &f),
			 FAULT_TRY_LATER);
	ck_assert_int_eq(result, POST_UNKNOWN);
	ck_assert_ptr_nonnull(strstr(f.text, "its end was not seen within 1 s"));
	mem_free(read_got(&n));
}
END_TEST

/* Where the ends of children are ignored, nobody can tell. */
START_TEST(end_not_told)
{
	enum post_result result;
	struct fault f = {0};
	script("exit 0");
	signal(SIGCHLD, SIG_IGN);
	ck_assert_int_eq(sendmail_put(program, PATIENCE_MS, FROM, TO, LETTER, sizeof LETTER - 1, &result, &f),
			 FAULT_TRY_LATER);
	signal(SIGCHLD, SIG_DFL);
	ck_assert_int_eq(result, POST_UNKNOWN);
}
END_TEST

static const struct {
	const char *name;
	bool made;
	mode_t mode;
	const char *says;
} unstarted[] = {
    {"not there", false, 0, "cannot be started"},
    {"not to be run", true, 0600, "cannot be started"},
};

START_TEST(cannot_start)
{
	enum post_result result;
	struct fault f = {0};
	if (unstarted[_i].made) {
		script("exit 0");
		ck_assert_int_eq(chmod(program, unstarted[_i].mode), 0);
	}
	ROW_INT(unstarted[_i].name,
		sendmail_put(program, PATIENCE_MS, FROM, TO, LETTER, sizeof LETTER - 1, &result, &f), FAULT_CONFIG);
	ROW_INT(unstarted[_i].name, result, POST_LATER);
	ROW_MSG(strstr(f.text, unstarted[_i].says) != NULL, "%s: %s", unstarted[_i].name, f.text);
}
END_TEST

/* What we ignore is not ignored by the program, and the letter is open in it as its standard input alone. */
START_TEST(clean_start)
{
	enum post_result result;
	struct fault f = {0};
	size_t n;
	signal(SIGPIPE, SIG_IGN);
	script(
	    "sed -n 's/^SigIgn:[^0-9a-f]*/0x/p' /proc/$$/status >got; ls -l /proc/$$/fd | grep -c memfd:letter >>got");
	ck_assert_int_eq(sendmail_put(program, PATIENCE_MS, FROM, TO, LETTER, sizeof LETTER - 1, &result, &f),
			 FAULT_NONE);
	char *bytes = read_got(&n), *rest = NULL;
	unsigned long long ignored = strtoull(bytes, &rest, 16);
	ck_assert_msg((ignored >> (SIGPIPE - 1) & 1) == 0, "%s", bytes);
	ck_assert_str_eq(rest, "\n1\n");
	mem_free(bytes);
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("post: sendmail");
	TCase *c = tcase_create("sendmail");
	tcase_set_timeout(c, 60);
	tcase_add_checked_fixture(c, set_up, tear_down);
#define LOOP(test, rows) tcase_add_loop_test(c, test, 0, (int)(sizeof(rows) / sizeof((rows)[0])))
	tcase_add_test(c, taken);
	tcase_add_test(c, no_shell);
	tcase_add_test(c, not_read);
	LOOP(end, ends);
	tcase_add_test(c, too_slow);
	tcase_add_test(c, end_not_told);
	LOOP(cannot_start, unstarted);
#undef LOOP
	tcase_add_test(c, clean_start);
	suite_add_tcase(s, c);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
