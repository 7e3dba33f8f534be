#include <fcntl.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

#include "base/file.h"
#include "base/mem.h"
#include "cli/command.h"
#include "cli/context.h"
#include "cli/options.h"
#include "cli/screen.h"
#include "lib/harness.h"
#include "lib/scratch.h"
#include "lib/smtpserver.h"
#include "lib/tlsserver.h"
#include "lib/unmail.h"
#include "source/answer.h"

/*
 * The morning command of an invented garden against mail servers that play a script: what its exit code is,
 * what it says, and how many mails arrive in how many runs.
 */

#define NOW    "2026-05-19T05:17:00-05:00"
#define ANSWER "fixtures/demo/answer-2026-05-19.json"
#define GARDEN "fixtures/demo/config/dewpost/garden.ini"

enum { FILE_MAX = 1 << 20, PATH_SIZE = 2 * SCRATCH_SIZE };

static char folder[SCRATCH_SIZE], garden[SCRATCH_SIZE], errors[SCRATCH_SIZE];
static struct smtpserver server;
static struct fault f;

/* The demo's garden with its record, sources and a [mail] in this folder. */
static void write_garden(const char *mail)
{
	char *demo, record[SCRATCH_SIZE];
	size_t n;
	ck_assert_msg(file_read(GARDEN, FILE_MAX, &demo, &n, &f) == FAULT_NONE, "%s", f.text);
	scratch_path(folder, "record.db", record);
	FILE *out = fopen(garden, "w");
	ck_assert_ptr_nonnull(out);
	/* Into its first section, which is [garden]. */
	char *section = strstr(demo, "[garden]\n");
	ck_assert_ptr_nonnull(section);
	section += strlen("[garden]\n");
	fwrite(demo, 1, (size_t)(section - demo), out);
	fprintf(out, "record = %s\n%s\n[mail]\n%s", record, section, mail);
	ck_assert_int_eq(fclose(out), 0);
	mem_free(demo);
}

static void set_up(void)
{
	f = (struct fault){0};
	scratch_make(folder);
	scratch_path(folder, "garden.ini", garden);
	scratch_path(folder, "errors", errors);
	char config[PATH_SIZE];
	ck_assert_ptr_nonnull(getcwd(config, sizeof config));
	(void)strncat(config, "/fixtures/demo/config", sizeof config - strlen(config) - 1);
	ck_assert_int_eq(setenv("XDG_CONFIG_HOME", config, 1), 0);
}

static void tear_down(void)
{
	scratch_remove(folder);
}

static int run_here(int n, char **words)
{
	struct options o;
	struct context *c;
	answer_init();
	signal(SIGPIPE, SIG_IGN);
	enum fault_code code = options_parse(n, words, &o, &f);
	if (code == FAULT_NONE && context_new(&o, &c, &f) == FAULT_NONE) {
		code = command_row(o.command)->run(c, &f);
		screen_faults(&c->wrong);
		context_free(c);
	}
	if (code != FAULT_NONE && f.text[0] != '\0')
		screen_fault(f.text);
	return (int)code;
}

/* A command in a process of its own, standard error in a file; its process. */
static pid_t begin(const char *command, const char *at)
{
	pid_t pid = fork();
	ck_assert_int_ge(pid, 0);
	if (pid != 0)
		return pid;
	if (freopen(errors, "w", stderr) == NULL || freopen("/dev/null", "w", stdout) == NULL)
		_exit(99);
	char mem[8][PATH_SIZE];
	const char *fetch[] = {"dewpost", command, "--garden", garden, "--at", at, "--answer", ANSWER};
	const char *morning[] = {"dewpost", command, "--garden", garden, "--at", at, "--offline", "--patience"};
	char *words[10];
	bool is_fetch = strcmp(command, "fetch") == 0;
	for (int i = 0; i < 8; i++) {
		(void)snprintf(mem[i], sizeof mem[i], "%s", is_fetch ? fetch[i] : morning[i]);
		words[i] = mem[i];
	}
	char none[] = "0min";
	words[8] = none;
	words[is_fetch ? 8 : 9] = NULL;
	int code = run_here(is_fetch ? 8 : 9, words);
	fflush(stderr);
	_exit(code);
}

static int ended(pid_t pid)
{
	int status;
	ck_assert_int_eq(waitpid(pid, &status, 0), pid);
	ck_assert(WIFEXITED(status));
	return WEXITSTATUS(status);
}

static int run(const char *command, const char *at)
{
	return ended(begin(command, at));
}

static void says(const char *row, const char *want)
{
	char *said;
	size_t n;
	ck_assert_msg(file_read(errors, FILE_MAX, &said, &n, &f) == FAULT_NONE, "%s", f.text);
	ROW_MSG(want == NULL ? n == 0 : strstr(said, want) != NULL, "%s: said\n%s, want\n%s", row, said,
		want == NULL ? "nothing" : want);
	/* One line a thing, so that cron's mail and the journal can be read. */
	ROW_MSG(n == 0 || strncmp(said, "dewpost: ", 9) == 0, "%s: %s", row, said);
	mem_free(said);
}

/* ---- servers ---- */

static const struct smtpserver_row later[] = {{".", SMTPSERVER_SAY, "451 try again later\r\n"}};
static const struct smtpserver_row no_more[] = {{"RCPT", SMTPSERVER_SAY, "550 no such mailbox\r\n"}};
static const struct smtpserver_row dropped[] = {{".", SMTPSERVER_CUT, NULL}};
static const struct smtpserver_row busy[] = {{"", SMTPSERVER_CLOSE, "421 busy\r\n"}};

static const struct {
	const char *name;
	struct smtpserver_how how;
	const char *scheme, *more; /* lines of [mail] */
	enum fault_code code;
	const char *says; /* NULL: nothing */
	size_t mails[2];  /* after the first run, and the second */
} rows[] = {
    {"taken", {.row = NULL}, "smtp", "clear = yes\n", FAULT_NONE, NULL, {1, 1}},
    {"4xx to the message",
     {.row = later, .rows = 1},
     "smtp",
     "clear = yes\n",
     FAULT_TRY_LATER,
     "grower@example.org: 127.0.0.1:*: the server refuses for now: 451 try again later",
     {1, 2}},
    {"5xx to the recipient",
     {.row = no_more, .rows = 1},
     "smtp",
     "clear = yes\n",
     FAULT_UNAVAILABLE,
     "the server refuses: 550 no such mailbox",
     {0, 0}},
    {"421 to begin with",
     {.row = busy, .rows = 1},
     "smtp",
     "clear = yes\n",
     FAULT_TRY_LATER,
     "the server refuses for now: 421 busy",
     {0, 0}},
    /* The one case of two mails: the second run's is the last. */
    {"gone after the message",
     {.row = dropped, .rows = 1},
     "smtp",
     "clear = yes\n",
     FAULT_TRY_LATER,
     "whether it was taken is not known",
     {1, 2}},
    {"no STARTTLS", {.row = NULL}, "smtp", "", FAULT_UNAVAILABLE, "the server offers no STARTTLS", {0, 0}},
    {"no authentication",
     {.starttls = true, .certificate = "right"},
     "smtp",
     "user = grower\npassword_file = secret\n",
     FAULT_UNAVAILABLE,
     "the server offers no authentication",
     {0, 0}},
    {"a certificate of another name",
     {.starttls = true, .certificate = "other-name"},
     "smtp",
     "",
     FAULT_UNAVAILABLE,
     "certificate",
     {0, 0}},
};

static void start(const struct smtpserver_how *how)
{
	static struct smtpserver_how mine;
	mine = *how;
	mine.folder = folder;
	if (how->certificate != NULL)
		tlsserver_certificates(folder);
	smtpserver_start(&server, &mine);
}

START_TEST(servers)
{
	char mail[PATH_SIZE], ca[SCRATCH_SIZE], secret[SCRATCH_SIZE], port[32], want[PATH_SIZE];
	start(&rows[_i].how);
	scratch_path(folder, "ca.pem", ca);
	scratch_path(folder, "secret", secret);
	int fd = open(secret, O_WRONLY | O_CREAT | O_EXCL, 0600);
	ck_assert_int_eq(write(fd, "marrow\n", 7), 7);
	close(fd);
	(void)snprintf(mail, sizeof mail, "way = smtp\nto = grower@example.org\nserver = %s://%s:%d\n%s%s%s\n",
		       rows[_i].scheme, rows[_i].how.certificate ? "localhost" : "127.0.0.1", server.port,
		       rows[_i].more, rows[_i].how.certificate ? "ca_file = " : "", rows[_i].how.certificate ? ca : "");
	write_garden(mail);
	ROW_INT(rows[_i].name, run("fetch", "2026-05-19T04:10:00-05:00"), FAULT_NONE);
	ROW_INT(rows[_i].name, run("morning", NOW), rows[_i].code);
	(void)snprintf(port, sizeof port, ":%d: ", server.port);
	const char *star = rows[_i].says != NULL ? strstr(rows[_i].says, ":*: ") : NULL;
	if (star != NULL)
		(void)snprintf(want, sizeof want, "%.*s%s%s", (int)(star - rows[_i].says), rows[_i].says, port,
			       star + 4);
	says(rows[_i].name, star != NULL ? want : rows[_i].says);
	ROW_INT(rows[_i].name, smtpserver_mails(&server), rows[_i].mails[0]);
	ROW_INT(rows[_i].name, run("morning", "2026-05-19T06:17:00-05:00"), rows[_i].code);
	ROW_INT(rows[_i].name, smtpserver_mails(&server), rows[_i].mails[1]);
	smtpserver_stop(&server);
}
END_TEST

/* ---- runs at once ---- */

START_TEST(two_runs_at_once)
{
	char mail[PATH_SIZE];
	pid_t pid[4];
	start(&(struct smtpserver_how){.row = NULL});
	(void)snprintf(mail, sizeof mail,
		       "way = smtp\nto = grower@example.org\nto = neighbour@example.org\nserver = "
		       "smtp://127.0.0.1:%d\nclear = yes\n",
		       server.port);
	write_garden(mail);
	ck_assert_int_eq(run("fetch", "2026-05-19T04:10:00-05:00"), FAULT_NONE);
	for (size_t i = 0; i < 4; i++)
		pid[i] = begin("morning", NOW);
	for (size_t i = 0; i < 4; i++)
		ck_assert_int_eq(ended(pid[i]), FAULT_NONE);
	ck_assert_uint_eq(smtpserver_mails(&server), 2);
	ck_assert_int_eq(run("morning", "2026-05-19T09:00:00-05:00"), FAULT_NONE);
	ck_assert_uint_eq(smtpserver_mails(&server), 2);
	/* The next day's note is another. */
	ck_assert_int_eq(run("morning", "2026-05-20T05:17:00-05:00"), FAULT_NONE);
	ck_assert_uint_eq(smtpserver_mails(&server), 4);
	smtpserver_stop(&server);
}
END_TEST

/* The mail, read as its reader does: subject first, and what the note says with its credit at the foot. */
START_TEST(what_arrives)
{
	char mail[PATH_SIZE];
	struct text t, subject;
	size_t n;
	start(&(struct smtpserver_how){.row = NULL});
	(void)snprintf(mail, sizeof mail,
		       "way = smtp\nto = grower@example.org\nserver = smtp://127.0.0.1:%d\nclear = yes\n", server.port);
	write_garden(mail);
	ck_assert_int_eq(run("fetch", "2026-05-19T04:10:00-05:00"), FAULT_NONE);
	ck_assert_int_eq(run("morning", NOW), FAULT_NONE);
	ck_assert_uint_eq(smtpserver_mails(&server), 1);
	const char *bytes = smtpserver_mail(&server, 0, &n);
	text_init(&t, FILE_MAX);
	ck_assert(unmail_field(bytes, "Subject", &t));
	text_init(&subject, FILE_MAX);
	unmail_words(t.at, t.len, &subject);
	ck_assert_str_eq(subject.at, "KEEP IN green-1 and pep-1 today, and 4 more (Quarry Lane, Tue 19 May)");
	text_free(&subject);
	text_clear(&t);
	ck_assert(unmail_field(bytes, "Date", &t));
	ck_assert_str_eq(t.at, "Tue, 19 May 2026 05:17:00 -0500");
	text_clear(&t);
	ck_assert(unmail_field(bytes, "From", &t));
	ck_assert_str_eq(t.at, "\"Quarry Lane\" <grower@example.org>");
	ck_assert_ptr_nonnull(strstr(bytes, "\r\n3 COVER tom-1 tomorrow by 7 pm"));
	ck_assert_ptr_nonnull(strstr(bytes, "Invented weather of the demo"));
	text_free(&t);
	smtpserver_stop(&server);
}
END_TEST

/* ---- the other ways ---- */

START_TEST(to_a_file)
{
	char mail[PATH_SIZE], note[SCRATCH_SIZE], *bytes;
	size_t n;
	scratch_path(folder, "note.txt", note);
	(void)snprintf(mail, sizeof mail, "way = file\nfile = note.txt\n"); /* beside the garden file */
	write_garden(mail);
	ck_assert_int_eq(run("fetch", "2026-05-19T04:10:00-05:00"), FAULT_NONE);
	ck_assert_int_eq(run("morning", NOW), FAULT_NONE);
	says("file", NULL);
	ck_assert_int_eq(file_read(note, FILE_MAX, &bytes, &n, &f), FAULT_NONE);
	ck_assert_int_eq(strncmp(bytes, "Quarry Lane, Tue 19 May", 23), 0);
	mem_free(bytes);
}
END_TEST

START_TEST(a_file_that_cannot_be)
{
	char note[SCRATCH_SIZE];
	write_garden("way = file\nfile = record.db/note.txt\n");
	scratch_path(folder, "note.txt", note);
	ck_assert_int_eq(run("fetch", "2026-05-19T04:10:00-05:00"), FAULT_NONE);
	ck_assert_int_eq(run("morning", NOW), FAULT_CREATE);
	says("file", "record.db: the folder cannot be made");
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("cli/mailing");
	TCase *t = tcase_create("mailing");
	tcase_add_checked_fixture(t, set_up, tear_down);
	tcase_set_timeout(t, 60);
	tcase_add_loop_test(t, servers, 0, (int)(sizeof rows / sizeof *rows));
	tcase_add_test(t, two_runs_at_once);
	tcase_add_test(t, what_arrives);
	tcase_add_test(t, to_a_file);
	tcase_add_test(t, a_file_that_cannot_be);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
