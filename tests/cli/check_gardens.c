#include <signal.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

#include "base/file.h"
#include "base/instant.h"
#include "base/mem.h"
#include "cli/gardens.h"
#include "cli/screen.h"
#include "lib/harness.h"
#include "lib/scratch.h"
#include "lib/server.h"
#include "source/answer.h"

/*
 * Folders of invented gardens that ask an invented service on the loopback: how often it is asked, what is said,
 * with which code a run ends, and whose notes come out.
 */

#define NOW "2026-05-12T05:17:00Z"
#define ANSWER                                                                                                         \
	"{\"made\":\"2026-05-12T05:00:00Z\",\"at\":[\"2026-05-12T05:00:00Z\",\"2026-05-12T06:00:00Z\","                \
	"\"2026-05-12T07:00:00Z\"],\"air\":[50,41,40]}"

enum {
	FILE_MAX = 1 << 20,
	PATH_SIZE = 2 * SCRATCH_SIZE,
	WORDS = 16,
	GARDENS = 8,
	PAUSE_MS = 20,
	DAYS = 6,
	ANSWER_SIZE = 16384,
	DRIP_MS = 10
};

static char base[SCRATCH_SIZE], folder[PATH_SIZE], out[PATH_SIZE], err[PATH_SIZE];
static struct server server;
static struct fault f;

static const char *in_base(const char *name, char path[static PATH_SIZE])
{
	snprintf(path, PATH_SIZE, "%s/%s", base, name);
	return path;
}

static void set_up(void)
{
	char path[PATH_SIZE];
	f = (struct fault){0};
	scratch_make(base);
	ck_assert_int_eq(mkdir(in_base("gardens", folder), 0700), 0);
	ck_assert_int_eq(mkdir(in_base("dewpost", path), 0700), 0);
	ck_assert_int_eq(mkdir(in_base("dewpost/sources", path), 0700), 0);
	in_base("out", out);
	in_base("err", err);
	ck_assert_int_eq(setenv("XDG_CONFIG_HOME", base, 1), 0);
	ck_assert_int_eq(setenv("XDG_STATE_HOME", base, 1), 0);
}

static void tear_down(void)
{
	char path[PATH_SIZE];
	scratch_remove(folder);
	scratch_remove(in_base("dewpost/sources", path));
	scratch_remove(in_base("dewpost", path));
	scratch_remove(base);
}

static void write_file(const char *name, const char *fmt, ...) PRINTF_LIKE(2, 3);
static void write_file(const char *name, const char *fmt, ...)
{
	char path[PATH_SIZE];
	va_list args;
	FILE *to = fopen(in_base(name, path), "w");
	ck_assert_msg(to != NULL, "%s", path);
	va_start(args, fmt);
	vfprintf(to, fmt, args);
	va_end(args);
	ck_assert_int_eq(fclose(to), 0);
}

/* Without an interval of its own: each time it is told to ask, it asks. */
static void write_source(const char *name, int port)
{
	char file[PATH_SIZE];
	snprintf(file, sizeof file, "dewpost/sources/%s.ini", name);
	write_file(file,
		   "[source]\ntitle = The Pond (invented)\ncredit = Invented.\n[step hours]\n"
		   "url = http://127.0.0.1:%d/{lat},{lon}\n[data]\nstep = hours\nupdated = /made\ntimes = /at\n"
		   "time_format = rfc3339\npast = analysed\n[var air_temperature]\nvalues = /air\nunit = degF\nkind = "
		   "instant\n",
		   port);
}

/* Of the source pond; `name` is file and id. */
static void write_garden(const char *name, double latitude, const char *more)
{
	char file[PATH_SIZE];
	snprintf(file, sizeof file, "gardens/%s.ini", name);
	write_file(file,
		   "[garden]\nid = %s\nname = Plot %s\nlatitude = %.2f\nlongitude = -89.90\nelevation = 330 m\n"
		   "timezone = America/Chicago\nunits = us\nsource = pond\n%s",
		   name, name, latitude, more);
}

/* ---- runs ---- */

static int run_here(int n, char **words)
{
	struct options o;
	struct context *c;
	answer_init();
	enum fault_code code = options_parse(n, words, &o, &f);
	if (code == FAULT_NONE && context_new(&o, &c, &f) == FAULT_NONE) {
		command_run *command = command_row(o.command)->run;
		code = o.gardens != NULL ? gardens_run(c, command, &f) : command(c, &f);
		screen_faults(&c->wrong);
		context_free(c);
	}
	if (code != FAULT_NONE && f.text[0] != '\0')
		screen_fault(f.text);
	return (int)code;
}

/* A run in a process of its own; more words end with NULL. */
static pid_t begin_with(const char *command, const char *option, const char *value, const char *const *more)
{
	const char *first[] = {"dewpost", command, option, value, "--at", NOW};
	static char mem[WORDS][PATH_SIZE];
	char *words[WORDS + 1];
	int n = 0;
	for (size_t i = 0; i < sizeof first / sizeof *first; i++, n++)
		snprintf(mem[n], PATH_SIZE, "%s", first[i]);
	for (; more != NULL && *more != NULL; more++, n++)
		snprintf(mem[n], PATH_SIZE, "%s", *more);
	for (int i = 0; i < n; i++)
		words[i] = mem[i];
	words[n] = NULL;
	pid_t pid = fork();
	if (pid != 0)
		return pid;
	if (freopen(err, "w", stderr) == NULL || freopen(out, "w", stdout) == NULL)
		_exit(99);
	int code = run_here(n, words);
	fflush(stderr);
	_exit(code);
}

static pid_t begin(const char *command, const char *const *more)
{
	return begin_with(command, "--gardens", folder, more);
}

static int ended(pid_t pid)
{
	int status;
	ck_assert_int_eq(waitpid(pid, &status, 0), pid);
	ck_assert(WIFEXITED(status));
	return WEXITSTATUS(status);
}

static int run(const char *command, const char *const *more)
{
	return ended(begin(command, more));
}

static int run_one(const char *garden, const char *const *more)
{
	return ended(begin_with("morning", "--garden", garden, more));
}

static char *read_all(const char *path)
{
	char *said;
	size_t n;
	ck_assert_msg(file_read(path, FILE_MAX, &said, &n, &f) == FAULT_NONE, "%s", f.text);
	return said;
}

static size_t count(const char *path, const char *what)
{
	size_t n = 0;
	char *said = read_all(path);
	for (const char *at = said; (at = strstr(at, what)) != NULL; at += strlen(what))
		n++;
	mem_free(said);
	return n;
}

#define SAYS(path, n, what)                                                                                            \
	do {                                                                                                           \
		char *whole = read_all(path);                                                                          \
		size_t found = count(path, what);                                                                      \
		ck_assert_msg(found == (size_t)(n), "\"%s\" stands %zu times, want %d, in\n%s", what, found, (int)(n), \
			      whole);                                                                                  \
		mem_free(whole);                                                                                       \
	} while (0)

/* ---- one fetch a place ---- */

static const struct server_row all_fine[] = {{.path = "/", .body = ANSWER}};

START_TEST(one_fetch_a_place)
{
	static const char *const command[] = {"morning", "fetch"};
	server_start(&server, all_fine, 1);
	write_source("pond", server.port);
	write_garden("a", 44.31, "");
	write_garden("b", 44.40, "");
	write_garden("c", 44.31, "");
	write_garden("d", 44.31, "");
	ck_assert_int_eq(run(command[_i], NULL), 0);
	ck_assert_uint_eq(server_asked(&server), 2);
	SAYS(err, 0, "dewpost");
	SAYS(out, _i == 0 ? 4 : 0, "Plot ");
	/* Notes stand apart: a blank line before each but the first. */
	SAYS(out, _i == 0 ? 3 : 0, "\n\nPlot ");
	server_stop(&server);
}
END_TEST

/* Three days before and after the run: each hour another temperature, and each day. */
static void write_days(int air_f, char answer[static ANSWER_SIZE])
{
	char at[INSTANT_TEXT_SIZE];
	const int64_t first = INT64_C(1778284800); /* 2026-05-09T00:00:00Z */
	struct text t;
	text_over(&t, answer, ANSWER_SIZE);
	text_add(&t, "{\"made\":\"2026-05-12T05:00:00Z\",\"at\":[");
	for (int h = 0; h < DAYS * 24; h++)
		text_addf(&t, "%s\"%s\"", h == 0 ? "" : ",", instant_text(first + h * (int64_t)HOUR_S, at));
	text_add(&t, "],\"air\":[");
	for (int h = 0; h < DAYS * 24; h++)
		text_addf(&t, "%s%d", h == 0 ? "" : ",", air_f + h % 24 + h / 24);
	text_add(&t, "]}");
	ck_assert(!t.full);
}

/*
 * What a garden keeps for the next must not show: each note is the one that a run of its own prints, wherever the
 * season of either begins, and though a fetch comes between.
 */
START_TEST(a_round_says_what_single_runs_say)
{
	static const char *const planted[] = {"2026-05-10", "2026-04-02", "2026-05-08", "2026-03-15", "2026-05-11"};
	static const char *const print[] = {"--print", NULL}, *const offline[] = {"--print", "--offline", NULL};
	static char warm[ANSWER_SIZE], cold[ANSWER_SIZE];
	const struct server_row rows[] = {{.path = "/44.31", .body = warm}, {.path = "/", .body = cold}};
	char more[PATH_SIZE], one[2 * PATH_SIZE], name[2] = "a";
	write_days(48, warm);
	write_days(30, cold);
	server_start(&server, rows, 2);
	write_source("pond", server.port);
	for (size_t i = 0; i < GARDENS; i++, name[0]++) {
		snprintf(more, sizeof more, "[bed south]\n[planting tom]\ncrop = tomato\nin = south\nplanted = %s\n",
			 planted[i % (sizeof planted / sizeof *planted)]);
		write_garden(name, i % 2 == 0 ? 44.31 : 44.40, more);
	}
	ck_assert_int_eq(run("morning", print), 0);
	ck_assert_int_eq(run("morning", offline), 0);
	char *whole = read_all(out);
	for (name[0] = 'a'; name[0] < 'a' + GARDENS; name[0]++) {
		snprintf(one, sizeof one, "%s/%s.ini", folder, name);
		ck_assert_int_eq(run_one(one, offline), 0);
		char *single = read_all(out);
		ck_assert_msg(strstr(whole, single) != NULL, "%s is not in\n%s", single, whole);
		mem_free(single);
	}
	mem_free(whole);
	server_stop(&server);
}
END_TEST

/* Two records know two things of a place. */
START_TEST(two_records)
{
	char path[PATH_SIZE];
	server_start(&server, all_fine, 1);
	write_source("pond", server.port);
	write_garden("a", 44.31, "record = ../one.db\n");
	write_garden("b", 44.31, "record = ../two.db\n");
	write_garden("c", 44.31, "record = ../one.db\n");
	ck_assert_int_eq(run("morning", NULL), 0);
	ck_assert_uint_eq(server_asked(&server), 2);
	SAYS(out, 3, "Plot ");
	ck_assert(file_is(in_base("one.db", path)) && file_is(in_base("two.db", path)));
	server_stop(&server);
}
END_TEST

/* ---- a service that fails ---- */

static const struct server_row one_dead[] = {{.path = "/44.31", .status = "404 Not Found", .body = "{}"},
					     {.path = "/", .body = ANSWER}};

static void one_place_dead(void)
{
	server_start(&server, one_dead, 2);
	write_source("pond", server.port);
	write_garden("a", 44.31, "");
	write_garden("b", 44.40, "");
	write_garden("c", 44.31, "");
}

START_TEST(dead_for_one_place_morning)
{
	one_place_dead();
	ck_assert_int_eq(run("morning", NULL), 0);
	ck_assert_uint_eq(server_asked(&server), 2);
	SAYS(out, 3, "Plot ");
	/* Also the one that did not ask knows why it has nothing. */
	SAYS(out, 2, "answers 404");
	SAYS(err, 0, "failed");
	server_stop(&server);
}
END_TEST

START_TEST(dead_for_one_place_fetch)
{
	char line[2 * PATH_SIZE];
	one_place_dead();
	ck_assert_int_eq(run("fetch", NULL), FAULT_UNAVAILABLE);
	ck_assert_uint_eq(server_asked(&server), 2);
	snprintf(line, sizeof line, "dewpost: %s/a.ini: pond, step hours: ", folder);
	SAYS(err, 1, line);
	SAYS(err, 1, "answers 404");
	SAYS(err, 1, "dewpost: gardens: 1 of 3 fetched, 2 failed\n");
	server_stop(&server);
}
END_TEST

static const struct server_row all_busy[] = {{.path = "/", .status = "503 Busy", .body = "{}"}};

START_TEST(dead_at_all_places)
{
	static const char *const at_once[] = {"--patience", "0min", NULL};
	char name[2] = "a";
	server_start(&server, all_busy, 1);
	write_source("pond", server.port);
	for (int i = 0; i < GARDENS; i++, name[0]++)
		write_garden(name, 44 + 0.1 * i, "");
	ck_assert_int_eq(run("morning", at_once), 0);
	ck_assert_uint_eq(server_asked(&server), ROUND_SILENT_MAX);
	SAYS(out, GARDENS, "Plot ");
	SAYS(out, ROUND_SILENT_MAX, "answers 503");
	server_stop(&server);
}
END_TEST

/* ---- gardens that fail ---- */

#define BROKEN  "elevation = tall\n"
#define NO_MAIL "[mail]\nway = maildir\nto = grower@example.org\nfolder = /dev/null/maildir\n"

/* Of three gardens, the middle one; the code is that of the first that failed. */
static const struct {
	const char *name, *more[3]; /* lines of each garden file */
	int code;
	const char *says; /* behind the middle garden's file */
	size_t notes;
	const char *sum;
} MIDDLE[] = {
    {"a key unknown", {"", "colour = red\n", ""}, FAULT_CONFIG, ":10: key \"colour\"", 2, "2 of 3 delivered, 1 failed"},
    {"two faults are one line",
     {"", "colour = red\nsize = 3\n", ""},
     FAULT_CONFIG,
     "(and 1 more)",
     2,
     "2 of 3 delivered, 1 failed"},
    {"record no file",
     {"", "record = /dev/null/r.db\n", ""},
     FAULT_CREATE,
     "/dev/null",
     2,
     "2 of 3 delivered, 1 failed"},
    {"mail with no way", {"", NO_MAIL, ""}, FAULT_CREATE, "grower@example.org", 2, "2 of 3 delivered, 1 failed"},
    {"the first that failed has the say",
     {"", NO_MAIL, BROKEN},
     FAULT_CREATE,
     "grower@example.org",
     1,
     "1 of 3 delivered, 2 failed"},
};

START_TEST(the_middle_one_fails)
{
	const char *row = MIDDLE[_i].name;
	static const char *const offline[] = {"--offline", NULL};
	static const char *const name[] = {"a", "b", "c"};
	char line[2 * PATH_SIZE];
	write_source("pond", 1);
	for (int i = 0; i < 3; i++)
		write_garden(name[i], 44.31, MIDDLE[_i].more[i]);
	ROW_INT(row, run("morning", offline), MIDDLE[_i].code);
	ROW_INT(row, count(out, "Plot "), MIDDLE[_i].notes);
	snprintf(line, sizeof line, "dewpost: %s/b.ini:", folder);
	ROW_INT(row, count(err, line), 1);
	SAYS(err, 1, MIDDLE[_i].says);
	SAYS(err, 1, MIDDLE[_i].sum);
}
END_TEST

/* ---- one id twice ---- */

START_TEST(an_id_twice)
{
	static const char *const parts[][5] = {
	    {"--offline", NULL}, {"--offline", "--part", "1/2", NULL}, {"--offline", "--part", "2/2", NULL}};
	char line[2 * PATH_SIZE];
	size_t notes = 0, said = 0;
	write_source("pond", 1);
	for (char c = 'a'; c <= 'f'; c++) {
		char name[] = {c, '\0'};
		write_garden(name, 44.31, "");
	}
	/* The later by name is at fault, whichever part either is of. */
	write_file("gardens/e.ini", "[garden]\nid = b\nname = Plot e\nlatitude = 44\nlongitude = -89\nelevation = 3 m\n"
				    "timezone = America/Chicago\nunits = us\nsource = pond\n");
	snprintf(line, sizeof line, "%s/e.ini: has the id b, as b.ini has", folder);
	ck_assert_int_eq(run("morning", parts[0]), FAULT_CONFIG);
	SAYS(err, 1, line);
	SAYS(out, 5, "Plot ");
	for (int i = 1; i <= 2; i++) {
		(void)run("morning", parts[i]);
		said += count(err, line);
		notes += count(out, "Plot ");
	}
	ck_assert_uint_eq(said, 1);
	ck_assert_uint_eq(notes, 5);
}
END_TEST

/* ---- JSON ---- */

START_TEST(json_is_an_object_a_line)
{
	static const char *const words[] = {"--offline", "--json", NULL};
	write_source("pond", 1);
	write_garden("a", 44.31, "");
	write_garden("b", 44.31, "");
	ck_assert_int_eq(run("morning", words), 0);
	SAYS(out, 2, "{\"garden\":{\"id\":");
	SAYS(out, 2, "\n");
}
END_TEST

/* ---- a signal ---- */

static const struct server_row slow[] = {{.path = "/", .act = SERVER_DRIP, .body = ANSWER, .pause_ms = DRIP_MS}};

START_TEST(a_signal_ends_it_between_two)
{
	static const int signals[] = {SIGTERM, SIGINT};
	const struct timespec pause = {0, PAUSE_MS * 1000000L};
	server_start(&server, slow, 1);
	write_source("pond", server.port);
	write_garden("a", 44.31, "");
	write_garden("b", 44.40, "");
	write_garden("c", 44.50, "");
	pid_t pid = begin("morning", NULL);
	while (server_asked(&server) == 0)
		nanosleep(&pause, NULL);
	ck_assert_int_eq(kill(pid, signals[_i]), 0);
	/* The garden at work is not left half done. */
	ck_assert_int_eq(ended(pid), FAULT_TRY_LATER);
	SAYS(out, 1, "Plot a");
	SAYS(out, 1, "Plot ");
	SAYS(err, 1, "dewpost: gardens: 1 of 3 delivered, 2 not begun: ended by a signal\n");
	server_stop(&server);
}
END_TEST

static Suite *suite(void)
{
	Suite *suite = suite_create("gardens");
	TCase *t = tcase_create("gardens");
	tcase_set_timeout(t, SERVER_LIFE_S);
	tcase_add_checked_fixture(t, set_up, tear_down);
	tcase_add_loop_test(t, one_fetch_a_place, 0, 2);
	tcase_add_test(t, a_round_says_what_single_runs_say);
	tcase_add_test(t, two_records);
	tcase_add_test(t, dead_for_one_place_morning);
	tcase_add_test(t, dead_for_one_place_fetch);
	tcase_add_test(t, dead_at_all_places);
	tcase_add_loop_test(t, the_middle_one_fails, 0, sizeof MIDDLE / sizeof *MIDDLE);
	tcase_add_test(t, an_id_twice);
	tcase_add_test(t, json_is_an_object_a_line);
	tcase_add_loop_test(t, a_signal_ends_it_between_two, 0, 2);
	suite_add_tcase(suite, t);
	return suite;
}

int main(void)
{
	return harness_run(suite());
}
