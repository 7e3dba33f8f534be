#define _GNU_SOURCE /* posix_openpt */

/*
 * Set-up on a terminal: a pseudo-terminal, with somebody who types the answers, wrong ones too.
 */
#include <fcntl.h>
#include <poll.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include "base/file.h"
#include "base/mem.h"
#include "cli/command.h"
#include "cli/context.h"
#include "cli/options.h"
#include "cli/screen.h"
#include "garden/garden.h"
#include "garden/tables.h"
#include "lib/harness.h"
#include "lib/scratch.h"
#include "source/answer.h"

enum { SEEN_SIZE = 64 * 1024, WAIT_MS = 20000, BYTES_MAX = 1 << 20 };

static char folder[SCRATCH_SIZE], path[SCRATCH_SIZE], password[SCRATCH_SIZE];
static char seen[SEEN_SIZE];
static size_t n_seen;
static int master = -1;
static pid_t pid;

static void set_up(void)
{
	scratch_make(folder);
	scratch_path(folder, "garden.ini", path);
	scratch_path(folder, "mail.password", password);
	ck_assert_int_eq(setenv("XDG_CONFIG_HOME", folder, 1), 0);
	ck_assert_int_eq(setenv("XDG_STATE_HOME", folder, 1), 0);
	n_seen = 0;
	seen[0] = '\0';
}

static void tear_down(void)
{
	if (master >= 0)
		close(master);
	master = -1;
	scratch_remove(folder);
}

static int run_here(void)
{
	char words[][64] = {"dewpost", "setup", "--offline", "--tables", "config", "--at", "2026-05-19T05:17:00-05:00",
			    "--garden"};
	char *argv[10];
	struct options o;
	struct context *c;
	struct fault f = {0};
	for (size_t i = 0; i < 8; i++)
		argv[i] = words[i];
	argv[8] = path;
	argv[9] = NULL;
	answer_init();
	umask(077);
	enum fault_code code = options_parse(9, argv, &o, &f);
	if (code == FAULT_NONE && context_new(&o, &c, &f) == FAULT_NONE) {
		code = command_row(o.command)->run(c, &f);
		screen_faults(&c->wrong);
		context_free(c);
	}
	if (code != FAULT_NONE && f.text[0] != '\0')
		screen_fault(f.text);
	fflush(stdout);
	return (int)code;
}

static void begin(void)
{
	master = posix_openpt(O_RDWR | O_NOCTTY);
	ck_assert_int_ge(master, 0);
	ck_assert_int_eq(grantpt(master), 0);
	ck_assert_int_eq(unlockpt(master), 0);
	pid = fork();
	ck_assert_int_ge(pid, 0);
	if (pid != 0)
		return;
	setsid();
	int terminal = open(ptsname(master), O_RDWR);
	if (terminal < 0 || dup2(terminal, 0) < 0 || dup2(terminal, 1) < 0 || dup2(terminal, 2) < 0)
		_exit(99);
	close(master);
	_exit(run_here());
}

/* What it says until `what` has come (NULL: to the end); false where it ends before. */
static bool wait_for(const char *what)
{
	for (;;) {
		struct pollfd p = {.fd = master, .events = POLLIN};
		if (what != NULL && strstr(seen, what) != NULL)
			return true;
		ck_assert_msg(poll(&p, 1, WAIT_MS) == 1, "nothing more after\n%s",
			      seen + (n_seen > 1500 ? n_seen - 1500 : 0));
		ssize_t n = read(master, seen + n_seen, sizeof seen - 1 - n_seen);
		if (n <= 0)
			return what == NULL;
		n_seen += (size_t)n;
		seen[n_seen] = '\0';
	}
}

/* As much of the end as a failure may say. */
static const char *tail(void)
{
	enum { SHOWN = 1500 };
	return seen + (n_seen > SHOWN ? n_seen - SHOWN : 0);
}

static void type(const char *line)
{
	ck_assert_int_eq(write(master, line, strlen(line)), (ssize_t)strlen(line));
	ck_assert_int_eq(write(master, "\n", 1), 1);
}

static int ended(void)
{
	int status;
	(void)wait_for(NULL);
	ck_assert_int_eq(waitpid(pid, &status, 0), pid);
	ck_assert(WIFEXITED(status));
	return WEXITSTATUS(status);
}

static void saw(const char *what)
{
	ck_assert_msg(strstr(seen, what) != NULL, "\"%s\" is not in\n%s", what, tail());
}

/* Each wrong answer with the line that it draws, before the right one. */
static const struct {
	const char *wait, *typed, *says;
} talk[] = {
    {"garden called? [Garden] ", "Quarry Lane", NULL},
    {"time zone is it in?", "America/Chigago", "did you mean \"America/Chicago\"?"},
    {"  time zone \"America/Chigago\"", "America/Chicago", NULL},
    {"as a map shows them:", "44.31 89.90", "km from where the clock is America/Chicago; south and west are negative"},
    {"south and west", "somewhere", "\"somewhere\" is no latitude and longitude"},
    {"\"somewhere\" is no", "44.31 N, 89.90 W", NULL},
    {"above the sea", "330", "330: a unit is missing; 330 ft or 330 m"},
    {"a unit is missing", "330 m", NULL},
    {"us or metric? [us] ", "imperial", "units \"imperial\" is not known; metric or us"},
    {"\"imperial\" is not", "", NULL},
    {"Whose forecast? [", "nowhere", "source \"nowhere\" is not known, or not for there"},
    {"\"nowhere\" is not", "1", NULL},
    {"of yours, for the weather service", "", "it is needed; as grower@example.org"},
    {"it is needed", "grower@example.org", NULL},
    {"A bed: ", "south bed, 40 sq ft", "bed \"south bed\" is no fit name"},
    {"is no fit name", "south, 40 sq ft", NULL},
    {"A bed: ", "", NULL},
    {"A tub: ", "", NULL},
    {"A planting: ", "zuchini", "did you mean \"zucchini\"?"},
    {"crop \"zuchini\"", "zucchini", NULL},
    {"In which bed or tub? [south] ", "north", "\"north\" is no bed, tub or day; did you mean"},
    {"\"north\" is no", "", NULL},
    {"Sown when and where", "2026-04-20", "sown or planted before a day"},
    {"sown or planted before", "sown 2026-04-20 indoors", NULL},
    {"A planting: ", "", NULL},
    {"where the trays stand?", "168 F", "indoor 168 F is outside 0..45 C"},
    {"indoor 168 F", "68 F", NULL},
    {"(- for none) [", "-", NULL},
    {"Which way? [print] ", "mail", "way \"mail\" is not known"},
    {"way \"mail\"", "smtp", NULL},
    {"Your mail address: [grower@example.org] ", "me", "to: "},
    {"  to: ", "", NULL},
    {"provider's mail server:", "mail.example.org", "server \"mail.example.org\" is no server"},
    {"is no server", "smtps://mail.example.org", NULL},
    {"The address it comes from: [grower@example.org] ", "", NULL},
    {"Your user name there", "", NULL},
    {"beside the garden file: [mail.password] ", "", NULL},
};

static void talk_all(void)
{
	begin();
	for (size_t i = 0; i < sizeof talk / sizeof talk[0]; i++) {
		ck_assert_msg(wait_for(talk[i].wait), "it ended before \"%s\":\n%s", talk[i].wait, tail());
		type(talk[i].typed);
	}
}

START_TEST(asks_again_until_right)
{
	struct faults all = {0};
	struct crops crops;
	struct garden *g = mem_new(1, sizeof *g);
	talk_all();
	ck_assert(wait_for("Password (it is not shown; empty: later): "));
	type("");
	ck_assert_msg(ended() == FAULT_NONE, "%s", tail());
	for (size_t i = 0; i < sizeof talk / sizeof talk[0]; i++)
		if (talk[i].says != NULL)
			saw(talk[i].says);
	saw("Your first note:");
	saw("(umask 077; cat >");
	ck_assert_int_eq(tables_crops("config", NULL, &crops, &all), FAULT_NONE);
	ck_assert_msg(garden_load(path, &crops, g, &all) == FAULT_NONE, "%s", all.at[0].text);
	ck_assert_str_eq(g->id, "quarry-lane");
	ROW_NEAR("longitude", g->longitude, -89.90, 1e-9);
	ck_assert_uint_eq(g->beds, 1);
	ck_assert_uint_eq(g->plantings, 1);
	ck_assert_str_eq(g->planting[0].in, "south");
	ck_assert_str_eq(g->mail.server, "smtps://mail.example.org");
	ck_assert_str_eq(g->history, "");
	mem_free(g);
}
END_TEST

START_TEST(keeps_the_password_unseen)
{
	struct fault f = {0};
	struct stat st;
	char *bytes;
	size_t n;
	talk_all();
	ck_assert(wait_for("Password (it is not shown; empty: later): "));
	type("twelve gourds in a row");
	ck_assert_msg(ended() == FAULT_NONE, "%s", tail());
	ck_assert_ptr_null(strstr(seen, "gourds"));
	ck_assert_ptr_null(strstr(seen, "(umask 077"));
	ck_assert_int_eq(stat(password, &st), 0);
	ck_assert_uint_eq(st.st_mode & 07777, 0600);
	ck_assert_int_eq(file_read(password, BYTES_MAX, &bytes, &n, &f), FAULT_NONE);
	ck_assert_str_eq(bytes, "twelve gourds in a row\n");
	mem_free(bytes);
	ck_assert_int_eq(file_read(path, BYTES_MAX, &bytes, &n, &f), FAULT_NONE);
	ck_assert_ptr_null(strstr(bytes, "gourds"));
	mem_free(bytes);
}
END_TEST

/* Ctrl-D in the midst of it. */
START_TEST(ends_with_nothing_written)
{
	begin();
	ck_assert(wait_for("garden called? [Garden] "));
	ck_assert_int_eq(write(master, "\004", 1), 1);
	ck_assert_int_eq(ended(), FAULT_DATA);
	saw("the answers ended; nothing is written");
	ck_assert(!file_is(path));
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("setup on a terminal");
	TCase *t = tcase_create("terminal");
	tcase_add_checked_fixture(t, set_up, tear_down);
	tcase_add_test(t, asks_again_until_right);
	tcase_add_test(t, keeps_the_password_unseen);
	tcase_add_test(t, ends_with_nothing_written);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
