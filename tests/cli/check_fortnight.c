#define _GNU_SOURCE /* MAP_ANONYMOUS */
#include <stdio.h>
#include <string.h>
#include <sys/mman.h>

#include "base/hash.h"
#include "base/instant.h"
#include "lib/harness.h"
#include "lib/marsh.h"
#include "lib/server.h"
#include "record/hourstore.h"

/*
 * Fourteen days of fetches every three hours, each followed by the morning's own ten
 * minutes later, against a service that fails by a fixed seed.  Weather is invented:
 * every hour of the issue number k is at 32 + k F, so that an hour tells which issue
 * it is from.
 */

enum {
	DAYS = 14,
	STEP_S = 3 * HOUR_S,
	RUNS = DAYS * DAY_S / STEP_S,
	ISSUE_S = 6 * HOUR_S, /* a new issue this often */
	AHEAD_H = 7 * 24,
	HOURS = DAYS * 24,
	BODY_SIZE = 16384,
	ROWS = 3,
	SEED = 20260512,
	LIFE_S = 120,
	TEN_MIN_S = 600,
	SHUT_OUT_S = 6 * HOUR_S,
	SLOW_DOWN_S = 900,
};

/* What the service does to a fetch, and how often in a hundred. */
static const struct mishap {
	const char *name;
	int percent;
	struct server_row bad;
} MISHAPS[] = {
    {"503 once", 8, {.path = "/grid", .status = "503 Busy"}},
    {"500 for long", 6, {.path = "/grid", .status = "500 Oops"}},
    {"closed", 4, {.path = "/grid", .act = SERVER_CLOSE}},
    {"429", 3, {.path = "/grid", .status = "429 Slow Down", .headers = "Retry-After: 900\r\n"}},
    {"403", 2, {.path = "/grid", .status = "403 Forbidden", .body = "<html>no</html>"}},
    {"cut off",
     3,
     {.path = "/grid", .act = SERVER_RAW, .body = "HTTP/1.1 200 OK\r\nContent-Length: 9999\r\n\r\n{\"made"}},
    {"HTML", 2, {.path = "/grid", .body = "<html>soon</html>"}},
    {"404", 2, {.path = "/grid", .status = "404 Not Found", .body = "{\"sorry\":\"no such grid\"}"}},
};

enum { MISHAP_KINDS = sizeof MISHAPS / sizeof *MISHAPS };

/* Shared with the server's process, so that what it plays can change from run to run. */
struct stage {
	struct server_row row[ROWS];
	char body[BODY_SIZE], headers[128];
};

static struct marsh m;
static struct server s;
static struct stage *stage;

/* What the test itself reckons. */
static struct {
	int64_t answered, open_again; /* instants: the last answer of any kind; no request before */
	int known;                    /* number of the last issue taken in; -1 */
	int want[HOURS];              /* the issue that each hour of the fortnight should be from; -1 none */
	int taken, unchanged, early, failed, requests, by_mishap[MISHAP_KINDS];
	int64_t bytes;
	size_t gained;
} book;

static void setup(void)
{
	marsh_open(&m);
	stage = mmap(NULL, sizeof *stage, PROT_READ | PROT_WRITE, MAP_SHARED | MAP_ANONYMOUS, -1, 0);
	ck_assert_ptr_ne(stage, MAP_FAILED);
	memset(&book, 0, sizeof book);
	book.answered = book.open_again = INSTANT_NONE;
	book.known = -1;
	for (int i = 0; i < HOURS; i++)
		book.want[i] = -1;
}

static void teardown(void)
{
	munmap(stage, sizeof *stage);
	marsh_close(&m);
}

static int issue_at(int64_t t)
{
	return (int)((t - MARSH_NOW) / ISSUE_S);
}

static void write_issue(int k)
{
	char at[INSTANT_TEXT_SIZE];
	int64_t first = MARSH_NOW + (int64_t)k * ISSUE_S;
	struct text t;
	text_over(&t, stage->body, sizeof stage->body);
	text_addf(&t, "{\"made\":\"%s\",\"hours\":{\"at\":[", instant_text(first, at));
	for (int h = 0; h < AHEAD_H; h++)
		text_addf(&t, "%s\"%s\"", h == 0 ? "" : ",", instant_text(first + (int64_t)h * HOUR_S, at));
	text_add(&t, "],\"air\":[");
	for (int h = 0; h < AHEAD_H; h++)
		text_addf(&t, "%s%d", h == 0 ? "" : ",", 32 + k);
	text_add(&t, "],\"rain\":[");
	for (int h = 0; h < AHEAD_H; h++)
		text_add(&t, h == 0 ? "0" : ",0");
	text_add(&t, "]}}");
	ck_assert(!t.full);
	snprintf(stage->headers, sizeof stage->headers, "ETag: \"k%d\"\r\n", k);
}

/* -1: none. */
static int mishap_of(int run)
{
	const int numbers[] = {SEED, run};
	double percent = 100 * hash_frac(hash_bytes(HASH_START, numbers, sizeof numbers));
	for (int i = 0; i < MISHAP_KINDS; i++) {
		percent -= MISHAPS[i].percent;
		if (percent < 0)
			return i;
	}
	return -1;
}

static void set_stage(int mishap)
{
	int k = issue_at(m.now);
	write_issue(k);
	stage->row[0] = (struct server_row){.path = "/none"};
	stage->row[1] = (struct server_row){.path = "/where", .body = m.where};
	stage->row[2] = (struct server_row){.path = "/grid", .headers = stage->headers, .body = stage->body};
	if (k == book.known)
		stage->row[2] = (struct server_row){.path = "/grid", .status = "304 Not Modified"};
	if (mishap < 0)
		return;
	stage->row[0] = MISHAPS[mishap].bad;
	if (strcmp(MISHAPS[mishap].name, "503 once") == 0)
		stage->row[0].last = server_asked(&s) + 1;
}

/* ---- the book ---- */

static void note_requests(const char *what, size_t before, int64_t began)
{
	int made = (int)(server_asked(&s) - before);
	ck_assert_int_eq(made, m.result.requests);
	if (made == 0)
		return;
	ck_assert_msg(book.answered == INSTANT_NONE || began >= book.answered + HOUR_S,
		      "%s: asked %lld s after an answer", what, (long long)(began - book.answered));
	ck_assert_msg(began >= book.open_again, "%s: asked %lld s before its time", what,
		      (long long)(book.open_again - began));
	ck_assert_msg(made <= 3 + (strcmp(what, "404") == 0), "%s: %d requests in one run", what, made);
	book.requests += made;
}

static void note_taken(int64_t received)
{
	int k = issue_at(received);
	ck_assert_int_ne(k, book.known);
	book.known = k;
	for (int i = 0; i < HOURS; i++) {
		int64_t hour = MARSH_NOW + (int64_t)i * HOUR_S, first = MARSH_NOW + (int64_t)k * ISSUE_S;
		if (hour + HOUR_S > received && hour >= first && hour < first + (int64_t)AHEAD_H * HOUR_S)
			book.want[i] = k;
	}
}

static void note_end(int mishap, enum fault_code code, int64_t began)
{
	const char *what = mishap < 0 ? "fine" : MISHAPS[mishap].name;
	if (code != FAULT_NONE) {
		ck_assert_msg(code == FAULT_TRY_LATER || code == FAULT_UNAVAILABLE, "%s: %d %s", what, code, m.f.text);
		book.failed++;
	} else if (m.result.outcome == FETCH_TOO_EARLY) {
		book.early++;
	} else if (m.result.outcome == FETCH_UNCHANGED) {
		ck_assert_int_eq(issue_at(began), book.known);
		book.unchanged++;
	} else {
		note_taken(began);
		book.taken++;
	}
	book.bytes += m.result.bytes;
	book.gained += m.result.gained;
	if (m.result.requests == 0)
		return;
	if (mishap >= 0)
		book.by_mishap[mishap]++;
	if (strcmp(what, "closed") != 0 && strcmp(what, "cut off") != 0)
		book.answered = m.now;
	if (strcmp(what, "403") == 0)
		book.open_again = m.now + SHUT_OUT_S;
	if (strcmp(what, "429") == 0)
		book.open_again = m.now + SLOW_DOWN_S;
}

static void one_fetch(int mishap)
{
	size_t before = server_asked(&s);
	int64_t began = m.now;
	set_stage(mishap);
	enum fault_code code = marsh_fetch(&m);
	note_requests(mishap < 0 ? "fine" : MISHAPS[mishap].name, before, began);
	note_end(mishap, code, began);
}

static void assert_record(void)
{
	struct hours h;
	int64_t end = MARSH_NOW + (int64_t)HOURS * HOUR_S;
	ck_assert_msg(record_check(m.scratch.rec, &m.f) == FAULT_NONE, "%s", m.f.text);
	ck_assert_int_eq(hourstore_known(m.scratch.rec, m.scratch.place, MARSH_NOW, end, end, &h, NULL, &m.f),
			 FAULT_NONE);
	for (int i = 0; i < HOURS; i++) {
		double want_c = book.want[i] < 0 ? (double)NAN : book.want[i] / 1.8;
		double got_c = hours_get(&h, VAR_AIR_TEMPERATURE, MARSH_NOW + (int64_t)i * HOUR_S);
		ck_assert_msg(fabs(got_c - want_c) < 1e-9 || (isnan(got_c) && isnan(want_c)), "hour %d: %g, want %g", i,
			      got_c, want_c);
	}
	hours_free(&h);
}

START_TEST(every_three_hours)
{
	const struct server_how how = {.life_s = LIFE_S};
	int mishaps = 0;
	set_stage(-1);
	server_start_as(&s, &how, stage->row, ROWS);
	marsh_at(&m, s.port);
	for (int run = 0; run < RUNS; run++) {
		int64_t began = MARSH_NOW + (int64_t)run * STEP_S;
		int mishap = run == 0 ? -1 : mishap_of(run);
		mishaps += mishap >= 0;
		m.now = began;
		one_fetch(mishap);
		m.now = began + TEN_MIN_S;
		one_fetch(mishap);
	}
	assert_record();
	/* Hours of the last issue past the fortnight are gained too. */
	ck_assert_uint_eq(book.gained, (size_t)(book.known * (ISSUE_S / HOUR_S) + AHEAD_H));
	ck_assert_int_gt(mishaps, RUNS / 8);
	ck_assert_int_gt(book.unchanged, 0);
	printf(
	    "fortnight: %d runs, %d of them twice within 10 min: %d taken in, %d nothing new, %d too early, %d failed; "
	    "%d requests, %lld bytes, %zu hours\n",
	    RUNS, RUNS, book.taken, book.unchanged, book.early, book.failed, book.requests, (long long)book.bytes,
	    book.gained);
	for (int i = 0; i < MISHAP_KINDS; i++)
		printf("  %s: %d\n", MISHAPS[i].name, book.by_mishap[i]);
	server_stop(&s);
}
END_TEST

static Suite *suite(void)
{
	Suite *suite = suite_create("fortnight");
	TCase *t = tcase_create("fortnight");
	tcase_set_timeout(t, LIFE_S);
	tcase_add_checked_fixture(t, setup, teardown);
	tcase_add_test(t, every_three_hours);
	suite_add_tcase(suite, t);
	return suite;
}

int main(void)
{
	return harness_run(suite());
}
