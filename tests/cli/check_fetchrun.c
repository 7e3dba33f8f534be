#include "cli/fetchrun.h"

#include <stdio.h>
#include <string.h>

#include "base/instant.h"
#include "base/mem.h"
#include "cli/ask.h"
#include "lib/harness.h"
#include "lib/marsh.h"
#include "lib/server.h"
#include "record/fetchlog.h"

/* What a fetch takes in and remembers where all goes well; faults are check_fetchfaults'. */

static struct marsh m;
static struct server s;

static void setup(void)
{
	marsh_open(&m);
}

static void teardown(void)
{
	marsh_close(&m);
}

#define FINE(call) ck_assert_msg((call) == FAULT_NONE, "%s", m.f.text)

static void serve(const struct server_row *script, size_t n)
{
	server_start(&s, script, n);
	marsh_at(&m, s.port);
}

START_TEST(two_steps)
{
	const struct server_row script[] = {
	    {.path = "/where/44.31,-89.9", .body = m.where},
	    {.path = "/grid/7/12?layers=all",
	     .headers = "ETag: \"g1\"\r\nLast-Modified: Tue, 12 May 2026 04:30:00 GMT\r\n"
			"Date: Tue, 12 May 2026 06:00:00 GMT\r\nExpires: Tue, 12 May 2026 06:20:00 GMT\r\n",
	     .body = m.grid},
	};
	serve(script, 2);
	FINE(marsh_fetch(&m));
	ck_assert_uint_eq(server_asked(&s), 2);
	for (size_t i = 0; i < 2; i++) {
		const char *asked = server_request(&s, i);
		ck_assert_ptr_nonnull(strstr(asked, "\r\nUser-Agent: dewpost/"));
		ck_assert_ptr_nonnull(strstr(asked, " (+" MARSH_CONTACT ")\r\n"));
		ck_assert_ptr_null(strstr(asked, "If-"));
	}
	ck_assert_ptr_nonnull(strstr(server_request(&s, 0), "\r\nAccept: application/json\r\n"));
	ck_assert_ptr_nonnull(strstr(server_request(&s, 1), "\r\nAccept: application/vnd.marsh+json\r\n"));
	ck_assert_ptr_nonnull(strstr(server_request(&s, 1), "\r\nX-Wants: hours\r\n"));
	ck_assert_int_eq(m.result.outcome, FETCH_TAKEN);
	ck_assert_int_eq(m.result.issued, MARSH_NOW - 1800);
	ck_assert_int_eq(m.result.first, MARSH_NOW);
	ck_assert_uint_eq(m.result.hours, MARSH_HOURS);
	ck_assert_uint_eq(m.result.gained, MARSH_HOURS - 1); /* one has no temperature */
	ck_assert_int_eq(m.result.requests, 2);
	ck_assert_int_ge(m.result.bytes, (int64_t)strlen(m.grid));
	ck_assert(!m.result.warned);
	marsh_check_hours(&m, "two steps", true);

	struct memo memo = marsh_memo(&m, "grid");
	ck_assert_int_eq(memo.status, 200);
	ck_assert_int_eq(memo.asked, MARSH_NOW);
	ck_assert_int_eq(memo.answered, MARSH_NOW);
	ck_assert_int_eq(memo.not_before, MARSH_NOW + 1200); /* 20 min by the service's clock, an hour ahead */
	ck_assert_str_eq(memo.etag, "\"g1\"");
	ck_assert_str_eq(memo.last_modified, "Tue, 12 May 2026 04:30:00 GMT");
	memo = marsh_memo(&m, "where");
	ck_assert_int_eq(memo.status, 200);
	ck_assert_str_eq(memo.etag, "");

	struct run *runs;
	size_t n;
	FINE(fetchlog_runs(m.scratch.rec, m.scratch.place, 9, &runs, &n, &m.f));
	ck_assert_uint_eq(n, 1);
	ck_assert_int_eq(runs[0].code, 0);
	ck_assert_int_eq(runs[0].requests, 2);
	ck_assert_int_eq(runs[0].gained, MARSH_HOURS - 1);
	mem_free(runs);
	server_stop(&s);
}
END_TEST

START_TEST(a_status_to_warn_of)
{
	const struct server_row script[] = {
	    {.path = "/where", .body = m.where},
	    {.path = "/grid",
	     .status = "203 Deprecated",
	     .headers = "Expires: Mon, 18 Jan 2038 00:00:00 GMT\r\n",
	     .body = m.grid},
	};
	serve(script, 2);
	FINE(marsh_fetch(&m));
	ck_assert(m.result.warned);
	marsh_check_hours(&m, "203", true);
	ck_assert_int_eq(marsh_memo(&m, "grid").not_before, MARSH_NOW + DAY_S); /* not in 2038 */
	server_stop(&s);
}
END_TEST

/* ---- when it is asked again, and how ---- */

static const char FRESH[] = "ETag: \"g1\"\r\nLast-Modified: Tue, 12 May 2026 04:30:00 GMT\r\n"
			    "Date: Tue, 12 May 2026 06:00:00 GMT\r\nExpires: Tue, 12 May 2026 08:00:00 GMT\r\n";

static const struct {
	const char *row;
	const char *headers; /* of the first answer */
	int64_t after_s;     /* until the second fetch */
	enum fetch_outcome outcome;
	int64_t until_s; /* after the first fetch; 0: asked */
	int requests;    /* the address is kept, so the grid alone is asked */
} AGAIN[] = {
    {"within the interval", "", 1, FETCH_TOO_EARLY, HOUR_S, 0},
    {"a second before it ends", "", HOUR_S - 1, FETCH_TOO_EARLY, HOUR_S, 0},
    {"as it ends", "", HOUR_S, FETCH_TAKEN, 0, 1},
    {"before Expires", FRESH, 2 * HOUR_S - 1, FETCH_TOO_EARLY, 2 * HOUR_S, 0},
    {"at Expires, only whether anything is new", FRESH, 2 * HOUR_S, FETCH_UNCHANGED, 0, 1},
    {"the clock was set back: the address too is of no known time", "", -DAY_S, FETCH_TAKEN, 0, 2},
};

START_TEST(not_before_its_time)
{
	const struct server_row script[] = {
	    {.path = "/where", .body = m.where},
	    {.path = "/grid", .headers = AGAIN[_i].headers, .body = m.grid, .times = 1},
	    {.path = "/grid",
	     .status = AGAIN[_i].outcome == FETCH_UNCHANGED ? "304 Not Modified" : NULL,
	     .body = m.grid},
	};
	serve(script, 3);
	FINE(marsh_fetch(&m));
	m.now += AGAIN[_i].after_s;
	FINE(marsh_fetch(&m));
	ROW_INT(AGAIN[_i].row, m.result.outcome, AGAIN[_i].outcome);
	if (AGAIN[_i].until_s != 0)
		ROW_INT(AGAIN[_i].row, m.result.until, MARSH_NOW + AGAIN[_i].until_s);
	ROW_INT(AGAIN[_i].row, m.result.requests, AGAIN[_i].requests);
	ROW_INT(AGAIN[_i].row, (long long)server_asked(&s), 2 + AGAIN[_i].requests);
	marsh_check_hours(&m, AGAIN[_i].row, true);
	server_stop(&s);
}
END_TEST

START_TEST(validators_word_for_word)
{
	const struct server_row script[] = {
	    {.path = "/where", .body = m.where},
	    {.path = "/grid",
	     .headers = "ETag: W/\"g 1\"\r\nLast-Modified: Tue, 12 May 2026 4:30:00 +0000 (sic)\r\n",
	     .body = m.grid,
	     .times = 1},
	    {.path = "/grid", .status = "304 Not Modified", .times = 1},
	    {.path = "/grid", .status = "304 Not Modified", .headers = "ETag: \"g2\"\r\n", .times = 1},
	    {.path = "/grid", .body = m.grid},
	};
	serve(script, 5);
	for (int i = 0; i < 4; i++) {
		FINE(marsh_fetch(&m));
		ck_assert_int_eq(m.result.outcome, i == 1 || i == 2 ? FETCH_UNCHANGED : FETCH_TAKEN);
		m.now += HOUR_S;
	}
	ck_assert_uint_eq(server_asked(&s), 5);
	for (size_t i = 2; i < 5; i++) {
		ck_assert_ptr_nonnull(
		    strstr(server_request(&s, i), "\r\nIf-Modified-Since: Tue, 12 May 2026 4:30:00 +0000 (sic)\r\n"));
		ck_assert_ptr_nonnull(strstr(server_request(&s, i), i == 4 ? "\r\nIf-None-Match: \"g2\"\r\n"
									   : "\r\nIf-None-Match: W/\"g 1\"\r\n"));
	}
	/* A whole answer without validators ends them. */
	ck_assert_str_eq(marsh_memo(&m, "grid").etag, "");
	server_stop(&s);
}
END_TEST

/* Validators of one address must not be sent to another: its "not modified" would be about other hours. */
START_TEST(another_address_other_validators)
{
	static const char moved[] = "{\"about\":{\"grid\":\"http://@HOST@/grid/8/12?layers=all\"}}";
	const struct server_row script[] = {
	    {.path = "/where", .body = m.where, .times = 1},
	    {.path = "/where", .body = moved},
	    {.path = "/grid", .headers = FRESH, .body = m.grid},
	};
	serve(script, 3);
	FINE(marsh_fetch(&m));
	m.now += 8 * DAY_S; /* past `cache =` */
	FINE(marsh_fetch(&m));
	ck_assert_uint_eq(server_asked(&s), 4);
	ck_assert_ptr_nonnull(strstr(server_request(&s, 3), "/grid/8/12"));
	ck_assert_ptr_null(strstr(server_request(&s, 3), "If-"));
	server_stop(&s);
}
END_TEST

/* A record that lost its issue (or never had it) must not hear "not modified". */
START_TEST(nothing_known_no_validators)
{
	const struct server_row script[] = {
	    {.path = "/where", .body = m.where},
	    {.path = "/grid", .headers = FRESH, .body = "{\"made\":\"2026-05-12T04:30:00Z\",\"hours\":{}}", .times = 1},
	    {.path = "/grid", .body = m.grid},
	};
	serve(script, 3);
	ck_assert_int_eq(marsh_fetch(&m), FAULT_UNAVAILABLE);
	m.now += 2 * HOUR_S;
	FINE(marsh_fetch(&m));
	ck_assert_ptr_null(strstr(server_request(&s, 2), "If-"));
	ck_assert_uint_eq(m.result.gained, 1); /* of four hours two have passed, and one has no temperature */
	server_stop(&s);
}
END_TEST

/* ---- who asks ---- */

START_TEST(no_contact_no_traffic)
{
	static const char *const contacts[] = {NULL, ""};
	marsh_at(&m, server_refused_port());
	for (size_t i = 0; i < 2; i++) {
		struct net *net = NULL;
		ck_assert_int_eq(ask_open(m.source, contacts[i], &m.limits, &net, &m.f), FAULT_CONFIG);
		ck_assert_msg(strstr(m.f.text, "contact =") != NULL, "%s", m.f.text);
		ck_assert_ptr_null(net);
	}
}
END_TEST

START_TEST(contact_of_two_lines)
{
	struct net *net = NULL;
	marsh_at(&m, server_refused_port());
	ck_assert_int_eq(ask_open(m.source, "grower@example.org)\r\nX-Evil: 1", &m.limits, &net, &m.f), FAULT_CONFIG);
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
    {"one a step", {MARSH_WHERE, MARSH_GRID}, 2, FAULT_NONE, NULL},
    {"the data step's alone", {MARSH_GRID}, 1, FAULT_NONE, NULL},
    {"three", {MARSH_WHERE, MARSH_GRID, MARSH_GRID}, 3, FAULT_USAGE, "give 2"},
    {"none", {NULL}, 0, FAULT_USAGE, "give 2"},
    {"not there", {MARSH_WHERE, LOST}, 2, FAULT_NO_INPUT, LOST},
    {"in the wrong order", {MARSH_GRID, MARSH_WHERE}, 2, FAULT_DATA, MARSH_WHERE ": "},
    {"no JSON", {MARSH_FILE}, 1, FAULT_DATA, MARSH_FILE ": "},
    {"compressed", {"fixtures/net/answer.json.gz"}, 1, FAULT_DATA, "fixtures/net/answer.json.gz: "},
};

static struct fetch_job job_from(const char *const *files, size_t n)
{
	struct fetch_job job = m.job;
	job.now = MARSH_NOW;
	job.net = NULL;
	job.answers = files;
	job.n_answers = n;
	return job;
}

START_TEST(saved)
{
	const struct saved_row *row = &saved_rows[_i];
	marsh_at(&m, 1);
	struct fetch_job job = job_from(row->files, row->n);
	ROW_INT(row->name, fetch_run(&job, &m.result, &m.f), row->code);
	if (row->says != NULL)
		ck_assert_msg(strstr(m.f.text, row->says) != NULL, "%s: \"%s\"", row->name, m.f.text);
	marsh_check_hours(&m, row->name, row->code == FAULT_NONE);
	struct memo *memos;
	struct run *runs;
	size_t n, n_runs;
	ROW_INT(row->name, fetchlog_list(m.scratch.rec, m.scratch.place, &memos, &n, &m.f), FAULT_NONE);
	ROW_INT(row->name, fetchlog_runs(m.scratch.rec, m.scratch.place, 9, &runs, &n_runs, &m.f), FAULT_NONE);
	ROW_INT(row->name, (long long)(n + n_runs), 0); /* no service was asked */
	mem_free(memos);
	mem_free(runs);
}
END_TEST

/* Each allocation in turn is refused: a fault and no hours, or all of them, until none is hit. */
START_TEST(memory_runs_out)
{
	static const char *const files[] = {MARSH_GRID};
	bool hit = true, there = false;
	long n = 0;
	marsh_at(&m, 1);
	for (; hit && n < 5000; n++) {
		struct fetch_job job = job_from(files, 1);
		struct fault f = {0};
		mem_fail_after(n, false);
		enum fault_code code = fetch_run(&job, &m.result, &f);
		hit = mem_refused() > 0;
		mem_fail_after(-1, false);
		there = there || code == FAULT_NONE;
		ck_assert_msg(code == FAULT_NONE || (hit && f.text[0] != '\0'), "allocation %ld: %d \"%s\"", n, code,
			      f.text);
		marsh_check_hours(&m, "memory", there);
	}
	ck_assert_msg(!hit && n > 10, "%ld allocations tried", n);
}
END_TEST

static Suite *suite(void)
{
	Suite *suite = suite_create("fetchrun");
	TCase *t = tcase_create("fetchrun");
	tcase_set_timeout(t, 120);
	tcase_add_checked_fixture(t, setup, teardown);
#define LOOP(test, rows) tcase_add_loop_test(t, test, 0, (int)(sizeof(rows) / sizeof((rows)[0])))
	LOOP(not_before_its_time, AGAIN);
	LOOP(saved, saved_rows);
#undef LOOP
	tcase_add_test(t, two_steps);
	tcase_add_test(t, a_status_to_warn_of);
	tcase_add_test(t, validators_word_for_word);
	tcase_add_test(t, another_address_other_validators);
	tcase_add_test(t, nothing_known_no_validators);
	tcase_add_test(t, no_contact_no_traffic);
	tcase_add_test(t, contact_of_two_lines);
	tcase_add_test(t, memory_runs_out);
	suite_add_tcase(suite, t);
	return suite;
}

int main(void)
{
	return harness_run(suite());
}
