#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "base/file.h"
#include "base/instant.h"
#include "base/mem.h"
#include "cli/fetchrun.h"
#include "lib/harness.h"
#include "lib/server.h"
#include "record/fetchlog.h"
#include "record/hourstore.h"

#define NOW INT64_C(1778562000) /* 2026-05-12T05:00:00Z */

#define DESCRIPTION "fixtures/net/marsh.ini"
#define WHERE       "fixtures/net/where.json"
#define GRID        "fixtures/net/grid.json"

enum { FILE_MAX = 100000, TOTAL_MS = 500, HOURS = 4 };

/* ---- what every test needs ---- */

static char folder[32];
static struct record *rec;
static struct description *marsh;
static char *where_body, *grid_body;
static struct net_limits limits;

static char *slurp(const char *path)
{
	struct fault f = {0};
	char *bytes;
	size_t n;
	ck_assert_msg(file_read(path, FILE_MAX, &bytes, &n, &f) == FAULT_NONE, "%s", f.text);
	return bytes;
}

static int64_t test_now(void *context)
{
	(void)context;
	return NOW;
}

static void setup(void)
{
	struct fault f = {0};
	char path[64];
	snprintf(folder, sizeof folder, "/tmp/dewpost-XXXXXX");
	ck_assert_ptr_nonnull(mkdtemp(folder));
	snprintf(path, sizeof path, "%s/record.db", folder);
	ck_assert_msg(record_open(path, RECORD_READ_WRITE, &rec, &f) == FAULT_NONE, "%s", f.text);
	where_body = slurp(WHERE);
	grid_body = slurp(GRID);
	marsh = mem_new(1, sizeof *marsh);
	limits = net_limits_default();
	limits.connect_ms = limits.total_ms = TOTAL_MS;
	limits.max_bytes = FILE_MAX;
	limits.now = test_now;
}

static void teardown(void)
{
	char path[64];
	snprintf(path, sizeof path, "%s/record.db", folder);
	record_close(rec);
	unlink(path);
	rmdir(folder);
	mem_free(where_body);
	mem_free(grid_body);
	mem_free(marsh);
}

/* The description with the server's address in the place of @HOST@. */
static void describe_at(int port)
{
	char *form = slurp(DESCRIPTION), *mark = strstr(form, "http://@HOST@");
	ck_assert_ptr_nonnull(mark);
	struct text t;
	struct faults all = {0};
	text_init(&t, FILE_MAX);
	text_add_n(&t, form, (size_t)(mark - form));
	text_addf(&t, "http://127.0.0.1:%d", port);
	text_add(&t, mark + strlen("http://@HOST@"));
	ck_assert_msg(describe_parse("marsh.ini", t.at, t.len, marsh, &all) == FAULT_NONE, "%s", all.at[0].text);
	text_free(&t);
	mem_free(form);
}

static struct fetch_job job_over_net(void)
{
	return (struct fetch_job){.source = marsh,
				  .place = place_at(44.31, -89.9, 330),
				  .now = NOW,
				  .record = rec,
				  .contact = "grower@example.org",
				  .limits = &limits};
}

static struct fetch_job job_from(const char *const *files, size_t n)
{
	struct fetch_job job = job_over_net();
	job.limits = NULL;
	job.contact = NULL;
	job.answers = files;
	job.n_answers = n;
	return job;
}

static int64_t place_key(void)
{
	struct fault f = {0};
	struct place p = place_at(44.31, -89.9, 330);
	int64_t key;
	ck_assert_int_eq(record_place(rec, &p, &key, &f), FAULT_NONE);
	return key;
}

/* grid.json by hand: 50, 41, -, 32 F and 0, 0.5, 1.5, 0 mm. */
static void check_hours(const char *row, bool there)
{
	static const double air_c[HOURS] = {10, 5, NAN, 0}, rain_mm[HOURS] = {0, 0.5, 1.5, 0};
	struct hours h;
	struct fault f = {0};
	ck_assert_msg(hourstore_known(rec, place_key(), NOW, NOW, NOW + HOURS * HOUR_S, &h, NULL, &f) == FAULT_NONE,
		      "%s", f.text);
	for (int i = 0; i < HOURS; i++) {
		double air = hours_get(&h, VAR_AIR_TEMPERATURE, NOW + i * HOUR_S);
		if (there && !isnan(air_c[i]))
			ROW_NEAR(row, air, air_c[i], 1e-9);
		else
			ROW_TRUE(row, isnan(air));
		if (there)
			ROW_NEAR(row, hours_get(&h, VAR_PRECIPITATION, NOW + i * HOUR_S), rain_mm[i], 1e-9);
	}
	hours_free(&h);
}

static struct memo logged(const char *step)
{
	struct memo m;
	struct fault f = {0};
	bool found;
	ck_assert_int_eq(fetchlog_get(rec, place_key(), "marsh", step, &m, &found, &f), FAULT_NONE);
	ck_assert_msg(found, "no log of step %s", step);
	return m;
}

static void take_saved(void)
{
	static const char *const files[] = {WHERE, GRID};
	struct fetch_job job = job_from(files, 2);
	struct fetch_result result;
	struct fault f = {0};
	ck_assert_msg(fetch_run(&job, &result, &f) == FAULT_NONE, "%s", f.text);
}

/* ---- over the network ---- */

START_TEST(two_steps)
{
	const struct server_row script[] = {
	    {.path = "/where/44.31,-89.9", .body = where_body},
	    {.path = "/grid/7/12?layers=all",
	     .headers = "ETag: \"g1\"\r\nLast-Modified: Tue, 12 May 2026 04:30:00 GMT\r\n"
			"Date: Tue, 12 May 2026 06:00:00 GMT\r\nExpires: Tue, 12 May 2026 06:20:00 GMT\r\n",
	     .body = grid_body},
	};
	struct server s;
	server_start(&s, script, 2);
	describe_at(s.port);
	struct fetch_job job = job_over_net();
	struct fetch_result result;
	struct fault f = {0};
	ck_assert_msg(fetch_run(&job, &result, &f) == FAULT_NONE, "%s", f.text);
	ck_assert_uint_eq(server_asked(&s), 2);
	for (size_t i = 0; i < 2; i++) {
		const char *asked = server_request(&s, i);
		ck_assert_ptr_nonnull(strstr(asked, "\r\nUser-Agent: dewpost/"));
		ck_assert_ptr_nonnull(strstr(asked, " (+grower@example.org)\r\n"));
	}
	ck_assert_ptr_nonnull(strstr(server_request(&s, 0), "\r\nAccept: application/json\r\n"));
	ck_assert_ptr_nonnull(strstr(server_request(&s, 1), "\r\nAccept: application/vnd.marsh+json\r\n"));
	ck_assert_ptr_nonnull(strstr(server_request(&s, 1), "\r\nX-Wants: hours\r\n"));
	ck_assert_int_eq(result.issued, NOW - 1800);
	ck_assert_int_eq(result.first, NOW);
	ck_assert_uint_eq(result.hours, HOURS);
	ck_assert(!result.warned);
	check_hours("two steps", true);

	struct memo m = logged("grid");
	ck_assert_int_eq(m.status, 200);
	ck_assert_int_eq(m.asked, NOW);
	ck_assert_int_eq(m.answered, NOW);
	ck_assert_int_eq(m.not_before, NOW + 1200); /* 20 min by the service's clock, which is an hour ahead */
	ck_assert_str_eq(m.etag, "\"g1\"");
	ck_assert_str_eq(m.last_modified, "Tue, 12 May 2026 04:30:00 GMT");
	m = logged("where");
	ck_assert_int_eq(m.status, 200);
	ck_assert_str_eq(m.etag, "");

	/* Once more changes nothing. */
	ck_assert_msg(fetch_run(&job, &result, &f) == FAULT_NONE, "%s", f.text);
	check_hours("twice", true);
	server_stop(&s);
}
END_TEST

START_TEST(a_status_to_warn_of)
{
	const struct server_row script[] = {
	    {.path = "/where", .body = where_body},
	    {.path = "/grid",
	     .status = "203 Deprecated",
	     .headers = "Expires: Mon, 18 Jan 2038 00:00:00 GMT\r\n",
	     .body = grid_body},
	};
	struct server s;
	server_start(&s, script, 2);
	describe_at(s.port);
	struct fetch_job job = job_over_net();
	struct fetch_result result;
	struct fault f = {0};
	ck_assert_msg(fetch_run(&job, &result, &f) == FAULT_NONE, "%s", f.text);
	ck_assert(result.warned);
	check_hours("203", true);
	ck_assert_int_eq(logged("grid").not_before, NOW + 86400); /* not in 2038 */
	server_stop(&s);
}
END_TEST

START_TEST(no_contact_no_traffic)
{
	struct server_row script = {.path = "/"};
	struct server s;
	server_start(&s, &script, 1);
	describe_at(s.port);
	static const char *const contacts[] = {NULL, ""};
	for (size_t i = 0; i < 2; i++) {
		struct fetch_job job = job_over_net();
		struct fetch_result result;
		struct fault f = {0};
		job.contact = contacts[i];
		ck_assert_int_eq(fetch_run(&job, &result, &f), FAULT_CONFIG);
		ck_assert_msg(strstr(f.text, "contact =") != NULL, "%s", f.text);
	}
	ck_assert_uint_eq(server_asked(&s), 0);
	server_stop(&s);
}
END_TEST

START_TEST(contact_of_two_lines)
{
	describe_at(server_refused_port());
	struct fetch_job job = job_over_net();
	struct fetch_result result;
	struct fault f = {0};
	job.contact = "grower@example.org)\r\nX-Evil: 1";
	ck_assert_int_eq(fetch_run(&job, &result, &f), FAULT_CONFIG);
}
END_TEST

static const struct bad_row {
	const char *name;
	struct server_row where, grid; /* path NULL: the good one */
	enum fault_code code;
	const char *says, *step; /* of the log */
	int status;
} bad_rows[] = {
    {"where: 404 with the service's own words",
     {.path = "/where", .status = "404 Not Found", .body = "{\"sorry\":\"no grid out at sea\"}"},
     {0},
     FAULT_UNAVAILABLE,
     "marsh, step where: 127.0.0.1:@PORT@/where/*: answers 404: no grid out at sea",
     "where",
     404},
    {"where: says nothing of a grid",
     {.path = "/where", .body = "{\"about\":{}}"},
     {0},
     FAULT_UNAVAILABLE,
     "marsh, step where: ",
     "where",
     200},
    {"where: another host",
     {.path = "/where", .body = "{\"about\":{\"grid\":\"http://127.0.0.2/grid\"}}"},
     {0},
     FAULT_UNAVAILABLE,
     "marsh, step where: ",
     "where",
     200},
    {"where: closed", {.path = "/where", .act = SERVER_CLOSE}, {0}, FAULT_TRY_LATER, "marsh, step where: ", "where", 0},
    {"grid: 503", {0}, {.path = "/grid", .status = "503 Busy"}, FAULT_TRY_LATER, "answers 503", "grid", 503},
    {"grid: 429", {0}, {.path = "/grid", .status = "429 Slow down"}, FAULT_TRY_LATER, "answers 429", "grid", 429},
    {"grid: 403 in HTML",
     {0},
     {.path = "/grid", .status = "403 Forbidden", .body = "<html>no</html>"},
     FAULT_UNAVAILABLE,
     "answers 403",
     "grid",
     403},
    {"grid: HTML", {0}, {.path = "/grid", .body = "<html>sorry</html>"}, FAULT_UNAVAILABLE, "marsh: ", "grid", 200},
    {"grid: empty", {0}, {.path = "/grid", .body = ""}, FAULT_UNAVAILABLE, "marsh: ", "grid", 200},
    {"grid: wrong root", {0}, {.path = "/grid", .body = "[1]"}, FAULT_UNAVAILABLE, "marsh: ", "grid", 200},
    {"grid: short",
     {0},
     {.path = "/grid", .act = SERVER_RAW, .body = "HTTP/1.1 200 OK\r\nContent-Length: 999\r\n\r\n{\"made\":"},
     FAULT_TRY_LATER,
     "broke off",
     "grid",
     0},
    {"grid: flood",
     {0},
     {.path = "/grid", .act = SERVER_FLOOD, .size = 8 << 20},
     FAULT_UNAVAILABLE,
     "larger",
     "grid",
     0},
};

/* With good hours in the record before: they are there after, and nothing else. */
START_TEST(failures)
{
	const struct bad_row *row = &bad_rows[_i];
	const struct server_row script[] = {
	    row->where.path != NULL ? row->where : (struct server_row){.path = "/where", .body = where_body},
	    row->grid.path != NULL ? row->grid : (struct server_row){.path = "/grid", .body = grid_body},
	};
	struct server s;
	server_start(&s, script, 2);
	describe_at(s.port);
	take_saved();
	struct fetch_job job = job_over_net();
	struct fetch_result result;
	struct fault f = {0};
	ROW_INT(row->name, fetch_run(&job, &result, &f), row->code);
	char says[256], port[8];
	snprintf(port, sizeof port, "%d", s.port);
	const char *mark = strstr(row->says, "@PORT@");
	if (mark != NULL)
		snprintf(says, sizeof says, "%.*s%s%s", (int)(mark - row->says), row->says, port, mark + 6);
	else
		snprintf(says, sizeof says, "%s", row->says);
	ck_assert_msg(strstr(f.text, says) != NULL, "%s: \"%s\" is not in \"%s\"", row->name, says, f.text);
	check_hours(row->name, true);
	struct memo m = logged(row->step);
	ROW_INT(row->name, m.status, row->status);
	ROW_STR(row->name, m.outcome, f.text);
	ROW_INT(row->name, m.answered, INSTANT_NONE);
	ROW_STR(row->name, m.etag, "");
	if (strcmp(row->step, "grid") == 0)
		ROW_STR(row->name, logged("where").outcome, "answered, but a later step failed");
	server_stop(&s);
}
END_TEST

START_TEST(a_failure_keeps_what_was_remembered)
{
	const struct server_row script[] = {
	    {.path = "/where", .body = where_body},
	    {.path = "/grid", .headers = "ETag: \"g1\"\r\n", .body = grid_body, .times = 1},
	    {.path = "/grid", .status = "503 Busy", .headers = "ETag: \"e\"\r\nRetry-After: 600\r\n"},
	};
	struct server s;
	server_start(&s, script, 3);
	describe_at(s.port);
	struct fetch_job job = job_over_net();
	struct fetch_result result;
	struct fault f = {0};
	ck_assert_msg(fetch_run(&job, &result, &f) == FAULT_NONE, "%s", f.text);
	job.now = NOW + 3600;
	ck_assert_int_eq(fetch_run(&job, &result, &f), FAULT_TRY_LATER);
	struct memo m = logged("grid");
	ck_assert_int_eq(m.asked, NOW + 3600);
	ck_assert_int_eq(m.answered, NOW);
	ck_assert_int_eq(m.not_before, NOW + 3600 + 600);
	ck_assert_str_eq(m.etag, "\"g1\"");
	check_hours("after a failure", true);
	server_stop(&s);
}
END_TEST

START_TEST(nobody_listens)
{
	describe_at(server_refused_port());
	struct fetch_job job = job_over_net();
	struct fetch_result result;
	struct fault f = {0};
	ck_assert_int_eq(fetch_run(&job, &result, &f), FAULT_TRY_LATER);
	ck_assert_msg(strstr(f.text, "marsh, step where: ") == f.text, "%s", f.text);
	check_hours("nobody", false);
}
END_TEST

/* ---- from saved answers ---- */

#define LOST "fixtures/net/no-such-answer.json"

static const struct saved_row {
	const char *name, *files[3];
	size_t n;
	enum fault_code code;
	const char *says;
} saved_rows[] = {
    {"one a step", {WHERE, GRID}, 2, FAULT_NONE, NULL},
    {"the data step's alone", {GRID}, 1, FAULT_NONE, NULL},
    {"three", {WHERE, GRID, GRID}, 3, FAULT_USAGE, "give 2"},
    {"none", {NULL}, 0, FAULT_USAGE, "give 2"},
    {"not there", {WHERE, LOST}, 2, FAULT_NO_INPUT, LOST},
    {"in the wrong order", {GRID, WHERE}, 2, FAULT_DATA, WHERE ": "},
    {"no JSON", {DESCRIPTION}, 1, FAULT_DATA, DESCRIPTION ": "},
    {"compressed", {"fixtures/net/answer.json.gz"}, 1, FAULT_DATA, "fixtures/net/answer.json.gz: "},
};

START_TEST(saved)
{
	const struct saved_row *row = &saved_rows[_i];
	describe_at(1);
	struct fetch_job job = job_from(row->files, row->n);
	struct fetch_result result;
	struct fault f = {0};
	ROW_INT(row->name, fetch_run(&job, &result, &f), row->code);
	if (row->says != NULL)
		ck_assert_msg(strstr(f.text, row->says) != NULL, "%s: \"%s\"", row->name, f.text);
	check_hours(row->name, row->code == FAULT_NONE);
	struct memo *memos;
	size_t n;
	ROW_INT(row->name, fetchlog_list(rec, place_key(), &memos, &n, &f), FAULT_NONE);
	ROW_INT(row->name, (long long)n, 0); /* no service was asked */
	mem_free(memos);
}
END_TEST

/* Each allocation in turn is refused: a fault and no hours, or all of them, until none is hit. */
START_TEST(memory_runs_out)
{
	static const char *const files[] = {GRID};
	bool hit = true, there = false;
	long n = 0;
	describe_at(1);
	for (; hit && n < 5000; n++) {
		struct fetch_job job = job_from(files, 1);
		struct fetch_result result;
		struct fault f = {0};
		mem_fail_after(n, false);
		enum fault_code code = fetch_run(&job, &result, &f);
		hit = mem_refused() > 0;
		mem_fail_after(-1, false);
		there = there || code == FAULT_NONE;
		ck_assert_msg(code == FAULT_NONE || (hit && f.text[0] != '\0'), "allocation %ld: %d \"%s\"", n, code,
			      f.text);
		check_hours("memory", there);
	}
	ck_assert_msg(!hit && n > 10, "%ld allocations tried", n);
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("fetchrun");
	TCase *t = tcase_create("fetchrun");
	tcase_set_timeout(t, 120);
	tcase_add_checked_fixture(t, setup, teardown);
#define LOOP(test, rows) tcase_add_loop_test(t, test, 0, (int)(sizeof(rows) / sizeof((rows)[0])))
	LOOP(failures, bad_rows);
	LOOP(saved, saved_rows);
#undef LOOP
	tcase_add_test(t, two_steps);
	tcase_add_test(t, a_status_to_warn_of);
	tcase_add_test(t, no_contact_no_traffic);
	tcase_add_test(t, contact_of_two_lines);
	tcase_add_test(t, a_failure_keeps_what_was_remembered);
	tcase_add_test(t, nobody_listens);
	tcase_add_test(t, memory_runs_out);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
