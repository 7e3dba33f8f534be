/*
 * Set-up and check live against a forecast service and a mail server that play a script, on this machine alone.
 */
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include "base/file.h"
#include "base/mem.h"
#include "base/text.h"
#include "cli/command.h"
#include "cli/context.h"
#include "cli/options.h"
#include "cli/screen.h"
#include "lib/harness.h"
#include "lib/scratch.h"
#include "lib/server.h"
#include "lib/smtpserver.h"
#include "source/answer.h"

/* 2026-05-19 10:17 UTC: the demo's morning. */
#define NOW      "2026-05-19T05:17:00-05:00"
#define NOW_HTTP "Date: Tue, 19 May 2026 10:17:00 GMT\r\n"
#define ANSWER   "fixtures/demo/answer-2026-05-19.json"
#define SERVICE  "fixtures/demo/config/dewpost/sources/valley.ini"

enum { BYTES_MAX = 1 << 20, WORDS_MAX = 12, NOBODY = 65534 };

static char top[SCRATCH_SIZE], ours[SCRATCH_SIZE], sources[SCRATCH_SIZE];
static char in[SCRATCH_SIZE], out[SCRATCH_SIZE], err[SCRATCH_SIZE], garden[SCRATCH_SIZE];
static char *answer, *said, *faults;
static bool as_nobody;
static struct server service;
static struct smtpserver post;

static char *slurp(const char *path)
{
	struct fault f = {0};
	char *bytes;
	size_t n;
	ck_assert_msg(file_read(path, BYTES_MAX, &bytes, &n, &f) == FAULT_NONE, "%s", f.text);
	return bytes;
}

static void spill(const char *path, const char *words)
{
	FILE *file = fopen(path, "w");
	ck_assert_ptr_nonnull(file);
	ck_assert_int_ge(fputs(words, file), 0);
	ck_assert_int_eq(fclose(file), 0);
}

static void set_up(void)
{
	scratch_make(top);
	scratch_path(top, "dewpost", ours);
	scratch_path(ours, "sources", sources);
	ck_assert_int_eq(mkdir(ours, 0700), 0);
	ck_assert_int_eq(mkdir(sources, 0700), 0);
	scratch_path(top, "in", in);
	scratch_path(top, "out", out);
	scratch_path(top, "err", err);
	scratch_path(ours, "garden.ini", garden);
	ck_assert_int_eq(setenv("XDG_CONFIG_HOME", top, 1), 0);
	ck_assert_int_eq(setenv("XDG_STATE_HOME", top, 1), 0);
	answer = slurp(ANSWER);
	said = faults = NULL;
	as_nobody = false;
	service = (struct server){0};
	post = (struct smtpserver){0};
}

static void tear_down(void)
{
	if (service.pid > 0)
		server_stop(&service);
	if (post.pid > 0)
		smtpserver_stop(&post);
	mem_free(answer);
	mem_free(said);
	mem_free(faults);
	scratch_remove(sources);
	scratch_remove(ours);
	scratch_remove(top);
}

/* The invented service, at the port that was found for it. */
static void serve(const struct server_row *row)
{
	static const char mark[] = "127.0.0.1:1/";
	char path[SCRATCH_SIZE], *form = slurp(SERVICE), *at = strstr(form, mark);
	struct text t;
	ck_assert_ptr_nonnull(at);
	server_start(&service, row, 1);
	text_init(&t, BYTES_MAX);
	text_add_n(&t, form, (size_t)(at - form));
	text_addf(&t, "127.0.0.1:%d/", service.port);
	text_add(&t, at + sizeof mark - 1);
	scratch_path(sources, "valley.ini", path);
	spill(path, t.at);
	text_free(&t);
	mem_free(form);
}

/* ---- one run, in a process of its own ---- */

static int run_here(int n, char **words)
{
	struct options o;
	struct context *c;
	struct fault f = {0};
	answer_init();
	signal(SIGPIPE, SIG_IGN);
	umask(077);
	enum fault_code code = options_parse(n, words, &o, &f);
	if (code == FAULT_NONE && context_new(&o, &c, &f) == FAULT_NONE) {
		code = command_row(o.command)->run(c, &f);
		screen_faults(&c->wrong);
		context_free(c);
	}
	if (code != FAULT_NONE && f.text[0] != '\0')
		screen_fault(f.text);
	fflush(stdout);
	fflush(stderr);
	return (int)code;
}

static void child(const char *const *words)
{
	char *argv[WORDS_MAX + 1];
	int n = 0;
	if (freopen(in, "r", stdin) == NULL || freopen(out, "w", stdout) == NULL || freopen(err, "w", stderr) == NULL)
		_exit(99);
	/* What root may not do, root cannot try. */
	if (as_nobody && geteuid() == 0 && setuid(NOBODY) != 0)
		_exit(98);
	for (; words[n] != NULL; n++)
		argv[n] = (char *)(uintptr_t)words[n];
	argv[n] = NULL;
	_exit(run_here(n, argv));
}

/* dewpost WORDS... --at NOW with these answers; the exit code, what it said in `said` and `faults`. */
static int run(const char *one, const char *two, const char *answers)
{
	const char *words[] = {"dewpost", one, "--patience", "0min", "--at", NOW, two, NULL};
	int status;
	spill(in, answers);
	pid_t pid = fork();
	ck_assert_int_ge(pid, 0);
	if (pid == 0)
		child(words);
	ck_assert_int_eq(waitpid(pid, &status, 0), pid);
	ck_assert(WIFEXITED(status));
	mem_free(said);
	mem_free(faults);
	said = slurp(out);
	faults = slurp(err);
	return WEXITSTATUS(status);
}

static void has(const char *what)
{
	ck_assert_msg(strstr(said, what) != NULL, "\"%s\" is not in\n%s\n%s", what, said, faults);
}

static void lacks(const char *what)
{
	ck_assert_msg(strstr(said, what) == NULL, "\"%s\" is in\n%s", what, said);
}

#define SITE                                                                                                           \
	"name = Quarry Lane\ntimezone = America/Chicago\ncoordinates = 44.31, -89.90\nelevation = 330 m\n"             \
	"source = valley\nhistory = -\nbed = south, 40 sq ft\n"                                                        \
	"planting = tomato, south, sown 2026-04-01 indoors, planted 2026-05-15\n"

/* ---- set-up ---- */

START_TEST(asks_the_service_once_and_shows_the_note)
{
	const struct server_row row = {.path = "/valley?lat=44.31&lon=-89.9", .headers = NOW_HTTP, .body = answer};
	struct stat st;
	serve(&row);
	ck_assert_msg(run("setup", NULL, SITE) == FAULT_NONE, "%s", faults);
	ck_assert_str_eq(faults, "");
	has("/garden.ini is written.\n");
	has("fetch     fine: ");
	has("clock     fine: ");
	has("cell      its forecast is for a cell 2 km from the garden");
	has("Your first note:\n\nQuarry Lane, Tue 19 May");
	has("2 COVER tomato-1");
	has("What is left to do");
	ck_assert_uint_eq(server_asked(&service), 1);
	ck_assert_int_eq(stat(garden, &st), 0);
	ck_assert_uint_eq(st.st_mode & 07777, 0600);
}
END_TEST

/* What was fetched in set-up holds for the check after it. */
START_TEST(and_check_finds_it_well)
{
	const struct server_row row = {.path = "/", .headers = NOW_HTTP, .body = answer};
	serve(&row);
	ck_assert_int_eq(run("setup", NULL, SITE), FAULT_NONE);
	ck_assert_msg(run("check", NULL, "") == FAULT_NONE, "%s", said);
	has("garden    fine: ");
	has("record    fine: ");
	lacks("fetch  ");
	lacks("mail  ");
	ck_assert_uint_eq(server_asked(&service), 1);
}
END_TEST

static const struct {
	const char *row, *status, *body, *says;
} refusals[] = {
    {"no such place", "404 Not Found", "", "answers 404"},
    {"no data", NULL, "<html>sorry</html>", "fetch     valley: "},
};

START_TEST(a_service_that_fails_is_not_the_end)
{
	const struct server_row row = {.path = "/", .status = refusals[_i].status, .body = refusals[_i].body};
	serve(&row);
	ck_assert_int_eq(run("setup", NULL, SITE), FAULT_NONE);
	has(refusals[_i].says);
	has("No forecast in the record.");
	has("What is left to do");
	ck_assert(file_is(garden));
}
END_TEST

START_TEST(a_second_set_up_leaves_the_first)
{
	const struct server_row row = {.path = "/", .body = answer};
	serve(&row);
	ck_assert_int_eq(run("setup", NULL, SITE), FAULT_NONE);
	char *before = slurp(garden);
	ck_assert_int_eq(run("setup", NULL, SITE "bed = north, 10 m2\n"), FAULT_CREATE);
	ck_assert_ptr_nonnull(strstr(faults, "garden.ini: is there already, and stays as it is"));
	char *after = slurp(garden);
	ck_assert_str_eq(after, before);
	ck_assert_uint_eq(server_asked(&service), 1);
	mem_free(before);
	mem_free(after);
}
END_TEST

/* Told before anything is asked. */
START_TEST(says_that_the_folder_may_not_be_written_to)
{
	as_nobody = true;
	ck_assert_int_eq(chmod(ours, 0500), 0);
	int code = run("setup", "--offline", "nonsense");
	ck_assert_int_eq(chmod(ours, 0700), 0);
	ck_assert_msg(code == FAULT_PERMISSION, "%d: %s", code, faults);
	ck_assert_ptr_nonnull(strstr(faults, "garden.ini: cannot be made, for "));
	ck_assert_ptr_null(strstr(faults, "nonsense"));
	ck_assert(!file_is(garden));
}
END_TEST

/* ---- the clock ---- */

static const struct {
	const char *row, *headers, *says;
} clocks[] = {
    {"right", NOW_HTTP, "clock     fine: "},
    {"two minutes", "Date: Tue, 19 May 2026 10:19:00 GMT\r\n", "clock     fine: "},
    {"behind", "Date: Tue, 19 May 2026 10:29:00 GMT\r\n",
     "clock     this machine's clock is 12 minutes behind the service's"},
    {"ahead", "Date: Tue, 19 May 2026 08:17:00 GMT\r\n",
     "clock     this machine's clock is 2 hours ahead of the service's"},
    {"out of a cache", "Date: Tue, 19 May 2026 08:17:00 GMT\r\nAge: 7200\r\n", "clock     fine: "},
    {"an age that is none", "Date: Tue, 19 May 2026 08:17:00 GMT\r\nAge: soon\r\n", "2 hours ahead"},
    {"not told", NULL, "clock     cannot be told: no service said what time it is"},
};

START_TEST(compares_the_clock)
{
	const struct server_row row = {.path = "/", .headers = clocks[_i].headers, .body = answer};
	serve(&row);
	ck_assert_int_eq(run("setup", NULL, SITE), FAULT_NONE);
	ck_assert_msg(strstr(said, clocks[_i].says) != NULL, "%s: %s", clocks[_i].row, said);
}
END_TEST

/* ---- check live: mail ---- */

/* A garden whose notes go by mail to the loopback, without encryption; its file is written by hand. */
static void write_garden(const char *mail)
{
	char words[2048];
	snprintf(words, sizeof words,
		 "[garden]\nid = quarry-lane\nname = Quarry Lane\nlatitude = 44.31\nlongitude = -89.90\n"
		 "elevation = 330 m\ntimezone = America/Chicago\nunits = us\nsource = valley\n%s",
		 mail);
	spill(garden, words);
}

static void write_smtp_garden(const struct smtpserver_how *how)
{
	char mail[512];
	smtpserver_start(&post, how);
	snprintf(mail, sizeof mail,
		 "[mail]\nway = smtp\nserver = smtp://127.0.0.1:%d\nclear = yes\nto = grower@example.org\n"
		 "to = neighbour@example.org\n",
		 post.port);
	write_garden(mail);
}

START_TEST(sends_each_a_test_message)
{
	const struct server_row row = {.path = "/", .headers = NOW_HTTP, .body = answer};
	const struct smtpserver_how how = {.row = NULL};
	size_t n;
	serve(&row);
	write_smtp_garden(&how);
	ck_assert_msg(run("check", "live", "") == FAULT_NONE, "%s", said);
	has("fetch     fine: ");
	has("mail      fine: a test message to grower@example.org was taken");
	has("mail      fine: a test message to neighbour@example.org was taken");
	ck_assert_uint_eq(server_asked(&service), 1);
	ck_assert_uint_eq(smtpserver_mails(&post), 2);
	const char *mail = smtpserver_mail(&post, 1, &n);
	ck_assert_ptr_nonnull(strstr(mail, "\nTo: neighbour@example.org\r\n"));
	ck_assert_ptr_nonnull(strstr(mail, "\nSubject: A test of your garden's morning note\r\n"));
	ck_assert_ptr_nonnull(strstr(mail, "\nAuto-Submitted: auto-generated\r\n"));
	ck_assert_ptr_nonnull(strstr(mail, "This is a test of dewpost, for the garden Quarry Lane."));
}
END_TEST

/* Nothing of a test is taken for a note. */
START_TEST(and_the_note_still_goes_out)
{
	const struct server_row row = {.path = "/", .headers = NOW_HTTP, .body = answer};
	const struct smtpserver_how how = {.row = NULL};
	size_t n;
	serve(&row);
	write_smtp_garden(&how);
	ck_assert_int_eq(run("check", "live", ""), FAULT_NONE);
	ck_assert_msg(run("morning", NULL, "") == FAULT_NONE, "%s", faults);
	ck_assert_uint_eq(smtpserver_mails(&post), 4);
	ck_assert_ptr_null(strstr(smtpserver_mail(&post, 3, &n), "This is a test"));
}
END_TEST

START_TEST(says_that_the_mail_server_refuses)
{
	static const struct smtpserver_row no_more[] = {{"RCPT", SMTPSERVER_SAY, "550 no such mailbox\r\n"}};
	const struct server_row row = {.path = "/", .headers = NOW_HTTP, .body = answer};
	const struct smtpserver_how how = {.row = no_more, .rows = 1};
	serve(&row);
	write_smtp_garden(&how);
	ck_assert_int_eq(run("check", "live", ""), FAULT_UNAVAILABLE);
	has("mail      grower@example.org: ");
	has("550 no such mailbox");
	has("fetch     fine: ");
	has("timer     ");
	ck_assert_uint_eq(smtpserver_mails(&post), 0);
}
END_TEST

START_TEST(says_that_the_service_fails_and_goes_on)
{
	const struct server_row row = {.path = "/", .status = "503 Service Unavailable", .body = ""};
	const struct smtpserver_how how = {.row = NULL};
	serve(&row);
	write_smtp_garden(&how);
	ck_assert_int_eq(run("check", "live", ""), FAULT_TRY_LATER);
	has("answers 503");
	ck_assert_uint_eq(smtpserver_mails(&post), 2);
}
END_TEST

static const struct {
	const char *row, *mail;
	enum fault_code code;
	const char *says;
} ways[] = {
    {"none", "", FAULT_NONE, "mail      fine: no mail; the note is printed"},
    {"a file", "[mail]\nway = file\nfile = note.txt\n", FAULT_NONE, "mail      fine: no mail; the note goes into "},
    {"a file in no folder", "[mail]\nway = file\nfile = /nowhere/note.txt\n", FAULT_PERMISSION,
     "mail      /nowhere/note.txt: its folder is not there, or may not be written to"},
    {"no password",
     "[mail]\nway = smtp\nserver = smtps://127.0.0.1:1\nto = a@example.org\nuser = a\n"
     "password_file = secret\n",
     FAULT_NO_INPUT, "there is no such file; write the password into it"},
    {"no such program", "[mail]\nway = sendmail\nprogram = /nowhere/sendmail\nto = a@example.org\n", FAULT_CONFIG,
     "/nowhere/sendmail"},
};

START_TEST(tries_every_way)
{
	const struct server_row row = {.path = "/", .headers = NOW_HTTP, .body = answer};
	char note[SCRATCH_SIZE];
	serve(&row);
	write_garden(ways[_i].mail);
	int code = run("check", "live", "");
	ck_assert_msg(strstr(said, ways[_i].says) != NULL, "%s: %s", ways[_i].row, said);
	ROW_INT(ways[_i].row, code, ways[_i].code);
	scratch_path(ours, "note.txt", note);
	ck_assert(!file_is(note)); /* a test is no note */
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("setup");
	TCase *t = tcase_create("setup");
	tcase_add_checked_fixture(t, set_up, tear_down);
	tcase_add_test(t, asks_the_service_once_and_shows_the_note);
	tcase_add_test(t, and_check_finds_it_well);
	tcase_add_loop_test(t, a_service_that_fails_is_not_the_end, 0, sizeof refusals / sizeof refusals[0]);
	tcase_add_test(t, a_second_set_up_leaves_the_first);
	tcase_add_test(t, says_that_the_folder_may_not_be_written_to);
	tcase_add_loop_test(t, compares_the_clock, 0, sizeof clocks / sizeof clocks[0]);
	tcase_add_test(t, sends_each_a_test_message);
	tcase_add_test(t, and_the_note_still_goes_out);
	tcase_add_test(t, says_that_the_mail_server_refuses);
	tcase_add_test(t, says_that_the_service_fails_and_goes_on);
	tcase_add_loop_test(t, tries_every_way, 0, sizeof ways / sizeof ways[0]);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
