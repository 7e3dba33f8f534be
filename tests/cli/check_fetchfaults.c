#include <stdio.h>
#include <string.h>

#include "base/file.h"
#include "base/instant.h"
#include "base/mem.h"
#include "base/text.h"
#include "lib/harness.h"
#include "lib/marsh.h"
#include "lib/scratch.h"
#include "lib/server.h"
#include "lib/tlsserver.h"
#include "record/fetchlog.h"

/*
 * What services do wrong, one after the other: what is known is kept, one line
 * says what happened, and the next run is as it should be.  What net alone sees
 * of these (redirects, limits, certificates) stands in tests/net.
 */

static struct marsh m;

static void setup(void)
{
	marsh_open(&m);
}

static void teardown(void)
{
	marsh_close(&m);
}

#define FINE(call) ck_assert_msg((call) == FAULT_NONE, "%s", m.f.text)

enum { LATER_S = 3 * HOUR_S, SCRIPT_MAX = 8, HEADER_MANY = 128 * 1024, LATE_MS = 10000 };

static const char GOOD[] = "ETag: \"g1\"\r\n";

/* Too long to stand in a row: written there when it is played. */
#define BOMB    "a million blanks"
#define ENDLESS "X-Again: and again\r\n"

#define HTML    "<html><h1>no</h1></html>"
#define PROBLEM "Content-Type: application/problem+json\r\n"
#define WHERE   "marsh, step where: "
#define GRID    "marsh, step grid: "

static const struct fault_row {
	const char *row;
	struct server_row bad; /* by its path the step that goes wrong: a first fetch for "/where", else a later one */
	enum fault_code code;
	const char *says;
	int requests;  /* of the run that goes wrong */
	int status;    /* remembered */
	int next;      /* requests of the run LATER_S after it ... */
	bool shut_out; /* ... which is not made, for the service wants none of us */
} FAULTS[] = {
    {"nobody answers", {.path = "/grid", .act = SERVER_CLOSE}, FAULT_TRY_LATER, GRID "tried 3 times: ", 3, 0, 1, false},
    {"one byte a time",
     {.path = "/grid", .act = SERVER_DRIP, .body = "{}", .pause_ms = 100},
     FAULT_TRY_LATER,
     "no whole answer in time",
     3,
     0,
     1,
     false},
    {"silence", {.path = "/grid", .act = SERVER_STALL}, FAULT_TRY_LATER, "no whole answer in time", 3, 0, 1, false},
    {"shorter than announced",
     {.path = "/grid", .act = SERVER_RAW, .body = "HTTP/1.1 200 OK\r\nContent-Length: 999\r\n\r\n{\"made\":"},
     FAULT_TRY_LATER,
     "broke off",
     3,
     0,
     1,
     false},
    {"a chunk cut off",
     {.path = "/grid",
      .act = SERVER_RAW,
      .body = "HTTP/1.1 200 OK\r\nTransfer-Encoding: chunked\r\n\r\n40\r\n{\"made\":"},
     FAULT_TRY_LATER,
     "broke",
     3,
     0,
     1,
     false},
    {"no HTTP",
     {.path = "/grid", .act = SERVER_RAW, .body = "220 mail here\r\n"},
     FAULT_UNAVAILABLE,
     GRID,
     1,
     0,
     1,
     false},
    {"a flood", {.path = "/grid", .act = SERVER_FLOOD, .size = 8 << 20}, FAULT_UNAVAILABLE, "larger", 1, 0, 1, false},
    {"round in a circle",
     {.path = "/grid", .status = "302 Found", .headers = "Location: /grid/7/12?layers=all\r\n"},
     FAULT_UNAVAILABLE,
     "redirected more than 3 times",
     4,
     0,
     1,
     false},
    {"sent to plain http",
     {.path = "/grid", .status = "301 Moved Permanently", .headers = "Location: http://marsh.example/grid\r\n"},
     FAULT_UNAVAILABLE,
     "redirect refused",
     1,
     0,
     1,
     false},
    {"sent to a file",
     {.path = "/grid", .status = "302 Found", .headers = "Location: file:///etc/hostname\r\n"},
     FAULT_UNAVAILABLE,
     "redirect refused",
     1,
     0,
     1,
     false},
    {"sent to a private address",
     {.path = "/grid", .status = "302 Found", .headers = "Location: https://10.0.0.1/grid\r\n"},
     FAULT_UNAVAILABLE,
     "redirect refused",
     1,
     0,
     1,
     false},
    {"sent to this very machine",
     {.path = "/grid", .status = "302 Found", .headers = "Location: https://localhost/grid\r\n"},
     FAULT_UNAVAILABLE,
     "redirect refused",
     1,
     0,
     1,
     false},
    {"a small body that swells",
     {.path = "/grid", .headers = "Content-Encoding: gzip\r\n", .body = BOMB},
     FAULT_UNAVAILABLE,
     "larger than 100000 bytes",
     1,
     0,
     1,
     false},
    {"a header without end",
     {.path = "/grid", .headers = ENDLESS},
     FAULT_UNAVAILABLE,
     "header is larger",
     1,
     0,
     1,
     false},
    {"304 though nothing was said of what is known",
     {.path = "/where", .status = "304 Not Modified"},
     FAULT_UNAVAILABLE,
     "answers 304, not modified, though nothing was known",
     1,
     304,
     2,
     false},
    {"400 with a reason",
     {.path = "/grid", .status = "400 Bad Request", .body = "{\"sorry\":\"no such layer: airr\"}"},
     FAULT_UNAVAILABLE,
     "answers 400: no such layer: airr",
     1,
     400,
     1,
     false},
    {"403 in HTML",
     {.path = "/grid", .status = "403 Forbidden", .body = HTML},
     FAULT_UNAVAILABLE,
     "answers 403",
     1,
     403,
     0,
     true},
    {"404 where the place is looked up",
     {.path = "/where", .status = "404 Not Found", .headers = PROBLEM, .body = "{\"sorry\":\"no grid out at sea\"}"},
     FAULT_UNAVAILABLE,
     WHERE "127.0.0.1:@PORT@/where/*: answers 404: no grid out at sea",
     1,
     404,
     2,
     false},
    {"422", {.path = "/grid", .status = "422 Unprocessable"}, FAULT_UNAVAILABLE, "answers 422", 1, 422, 1, false},
    {"429 without a word",
     {.path = "/grid", .status = "429 Slow Down"},
     FAULT_TRY_LATER,
     "answers 429",
     1,
     429,
     1,
     false},
    {"429 twice, in seconds",
     {.path = "/grid", .status = "429 Slow Down", .headers = "Retry-After: 5\r\n"},
     FAULT_TRY_LATER,
     "tried 2 times: ",
     2,
     429,
     1,
     false},
    {"429 for a day, as a date far off",
     {.path = "/grid", .status = "429 Slow Down", .headers = "Retry-After: Mon, 18 Jan 2038 00:00:00 GMT\r\n"},
     FAULT_TRY_LATER,
     "answers 429",
     1,
     429,
     0,
     true},
    {"500",
     {.path = "/grid", .status = "500 Oops", .body = HTML},
     FAULT_TRY_LATER,
     "tried 3 times: ",
     3,
     500,
     1,
     false},
    {"502",
     {.path = "/grid", .status = "502 Bad Gateway", .body = HTML},
     FAULT_TRY_LATER,
     "answers 502",
     3,
     502,
     1,
     false},
    {"503 in its own words",
     {.path = "/grid", .status = "503 Unavailable", .headers = PROBLEM, .body = "{\"sorry\":\"the grid has expired\"}"},
     FAULT_TRY_LATER,
     "answers 503: the grid has expired",
     3,
     503,
     1,
     false},
    {"504", {.path = "/grid", .status = "504 Gateway Timeout"}, FAULT_TRY_LATER, "answers 504", 3, 504, 1, false},
    {"HTML with status 200", {.path = "/grid", .body = HTML}, FAULT_UNAVAILABLE, "marsh: ", 1, 200, 1, false},
    {"nothing with status 200", {.path = "/grid", .body = ""}, FAULT_UNAVAILABLE, "marsh: ", 1, 200, 1, false},
    {"a list for an object", {.path = "/grid", .body = "[1]"}, FAULT_UNAVAILABLE, "marsh: ", 1, 200, 1, false},
    {"the look-up says nothing of a grid",
     {.path = "/where", .body = "{\"about\":{}}"},
     FAULT_UNAVAILABLE,
     WHERE "[step where] /about/grid is not in the answer",
     1,
     200,
     2,
     false},
    {"the look-up leads to another host",
     {.path = "/where", .body = "{\"about\":{\"grid\":\"http://127.0.0.2/grid\"}}"},
     FAULT_UNAVAILABLE,
     "another host",
     1,
     200,
     2,
     false},
    {"the look-up leads to a file",
     {.path = "/where", .body = "{\"about\":{\"grid\":\"file:///etc/hostname\"}}"},
     FAULT_UNAVAILABLE,
     "the address in the answer cannot be used",
     1,
     200,
     2,
     false},
};

static void assert_says(const struct fault_row *row, int port)
{
	char says[256];
	const char *mark = strstr(row->says, "@PORT@");
	if (mark != NULL)
		snprintf(says, sizeof says, "%.*s%d%s", (int)(mark - row->says), row->says, port, mark + 6);
	else
		snprintf(says, sizeof says, "%s", row->says);
	ck_assert_msg(strstr(m.f.text, says) != NULL, "%s: \"%s\" is not in \"%s\"", row->row, says, m.f.text);
	ck_assert_msg(strchr(m.f.text, '\n') == NULL, "%s: more than one line", row->row);
	ck_assert_msg(strstr(m.f.text, "44.31") == NULL, "%s: says where the garden is", row->row);
}

static void assert_record_whole(const char *row)
{
	marsh_check_hours(&m, row, true);
	ck_assert_msg(record_check(m.scratch.rec, &m.f) == FAULT_NONE, "%s: %s", row, m.f.text);
}

/* What a row only names. */
static char *bomb;
static char endless[HEADER_MANY];

static void set_up_long(struct server_row *bad)
{
	struct text t;
	bomb = NULL;
	if (bad->body != NULL && strcmp(bad->body, BOMB) == 0) {
		FINE(file_read("fixtures/net/blanks.gz", MARSH_BYTES_MAX, &bomb, &bad->size, &m.f));
		bad->body = bomb;
	}
	if (bad->headers == NULL || strcmp(bad->headers, ENDLESS) != 0)
		return;
	text_over(&t, endless, sizeof endless);
	while (!t.full)
		text_add(&t, ENDLESS);
	t.len -= t.len % strlen(ENDLESS);
	endless[t.len] = '\0';
	bad->headers = endless;
}

/* With good hours in the record before: they are there after, and so are the validators. */
START_TEST(faults)
{
	const struct fault_row *row = &FAULTS[_i];
	bool at_first = strcmp(row->bad.path, "/where") == 0;
	struct server_row bad = row->bad, script[SCRIPT_MAX];
	size_t n = 0;
	struct server s;
	bad.times = row->requests;
	set_up_long(&bad);
	if (!at_first)
		script[n++] = (struct server_row){.path = "/grid", .headers = GOOD, .body = m.grid, .times = 1};
	script[n++] = bad;
	script[n++] = (struct server_row){.path = "/where", .body = m.where};
	script[n++] = (struct server_row){.path = "/grid", .headers = GOOD, .body = m.grid};
	server_start(&s, script, n);
	marsh_at(&m, s.port);
	if (at_first)
		marsh_take_saved(&m);
	else
		FINE(marsh_fetch(&m));

	m.now = MARSH_NOW + LATER_S;
	m.slept_ms = 0;
	ROW_INT(row->row, marsh_fetch(&m), row->code);
	assert_says(row, s.port);
	ROW_INT(row->row, m.result.requests, row->requests);
	/* 2 s and 8 s at least, or what the service said. */
	ROW_TRUE(row->row, m.slept_ms >= (row->requests == 3 ? 10000 : row->requests == 2 ? 5000 : 0));
	ROW_TRUE(row->row, m.slept_ms <= 15000);
	struct memo memo = marsh_memo(&m, at_first ? "where" : "grid");
	ROW_INT(row->row, memo.status, row->status);
	ROW_INT(row->row, memo.answered, at_first ? INSTANT_NONE : MARSH_NOW);
	ROW_STR(row->row, memo.etag, at_first ? "" : "\"g1\"");
	ROW_TRUE(row->row, memo.outcome[0] != '\0');
	assert_record_whole(row->row);

	m.now = MARSH_NOW + 2 * LATER_S;
	ROW_INT(row->row, marsh_fetch(&m), row->shut_out ? FAULT_TRY_LATER : FAULT_NONE);
	ROW_INT(row->row, m.result.requests, row->next);
	if (row->shut_out)
		ck_assert_msg(strstr(m.f.text, "marsh: not asked again for ") == m.f.text, "%s: %s", row->row,
			      m.f.text);
	assert_record_whole(row->row);
	server_stop(&s);
	mem_free(bomb);
}
END_TEST

/* ---- a server that is not who it says, and one that is hard to reach ---- */

START_TEST(wrong_certificate)
{
	char folder[SCRATCH_SIZE], url[TLSSERVER_URL_SIZE];
	struct tlsserver tls;
	scratch_make(folder);
	tlsserver_certificates(folder);
	tlsserver_start(&tls, folder, "right", NULL);
	m.limits.allow_private = true;
	m.limits.connect_ms = m.limits.total_ms = LATE_MS;
	marsh_at_base(&m, tlsserver_url(&tls, "localhost", "", url));
	marsh_take_saved(&m);
	ck_assert_int_eq(marsh_fetch(&m), FAULT_UNAVAILABLE);
	ck_assert_msg(strstr(m.f.text, "the certificate is not trusted") != NULL, "%s", m.f.text);
	ck_assert_int_eq(marsh_memo(&m, "where").status, 0);
	assert_record_whole("wrong certificate");
	tlsserver_stop(&tls);
	scratch_remove(folder);
}
END_TEST

START_TEST(ipv6_alone)
{
	const struct server_row script[] = {{.path = "/where", .body = m.where}, {.path = "/grid", .body = m.grid}};
	const struct server_how how = {.ipv6 = true};
	struct server s;
	char url[SERVER_URL_SIZE];
	if (!server_ipv6_possible())
		return;
	server_start_as(&s, &how, script, 2);
	marsh_at_base(&m, server_url(&s, "", url));
	FINE(marsh_fetch(&m));
	marsh_check_hours(&m, "IPv6", true);
	server_stop(&s);
}
END_TEST

/* ---- no server at all ---- */

static const struct {
	const char *row, *base; /* NULL: a port that nobody listens on */
	const char *says;
} NOBODY[] = {
    {"refused", NULL, "no connection"},
    {"a name that is nowhere (RFC 6761)", "https://marsh.invalid", "marsh.invalid/where/*: "},
};

START_TEST(no_server)
{
	if (NOBODY[_i].base != NULL)
		marsh_at_base(&m, NOBODY[_i].base);
	else
		marsh_at(&m, server_refused_port());
	ROW_INT(NOBODY[_i].row, marsh_fetch(&m), FAULT_TRY_LATER);
	ck_assert_msg(strstr(m.f.text, "marsh, step where: tried 3 times: ") == m.f.text, "%s", m.f.text);
	ck_assert_msg(strstr(m.f.text, NOBODY[_i].says) != NULL, "%s", m.f.text);
	marsh_check_hours(&m, NOBODY[_i].row, false);
	/* Nobody was bothered: once the line is there again, it may be asked at once. */
	m.now += 1;
	ROW_INT(NOBODY[_i].row, marsh_fetch(&m), FAULT_TRY_LATER);
	ROW_INT(NOBODY[_i].row, m.result.requests, 3);
}
END_TEST

/* ---- it comes right in the same run ---- */

static const struct {
	const char *row;
	struct server_row bad;
	int64_t slept_ms; /* at least */
} BETTER[] = {
    {"503, then well", {.path = "/grid", .status = "503 Busy", .times = 1}, 2000},
    {"twice 500, then well", {.path = "/grid", .status = "500 Oops", .times = 2}, 10000},
    {"closed, then well", {.path = "/grid", .act = SERVER_CLOSE, .times = 1}, 2000},
    {"429 that says when, then well",
     {.path = "/grid", .status = "429 Slow Down", .headers = "Retry-After: 60\r\n", .times = 1},
     60000},
};

START_TEST(better_in_the_same_run)
{
	const struct server_row script[] = {
	    BETTER[_i].bad, {.path = "/where", .body = m.where}, {.path = "/grid", .body = m.grid}};
	struct server s;
	server_start(&s, script, 3);
	marsh_at(&m, s.port);
	FINE(marsh_fetch(&m));
	ROW_INT(BETTER[_i].row, m.result.requests, 2 + BETTER[_i].bad.times);
	ROW_TRUE(BETTER[_i].row, m.slept_ms >= BETTER[_i].slept_ms);
	ROW_INT(BETTER[_i].row, marsh_memo(&m, "grid").asked, MARSH_NOW + m.slept_ms / 1000);
	marsh_check_hours(&m, BETTER[_i].row, true);
	server_stop(&s);
}
END_TEST

/* ---- discovered addresses ---- */

static const char MOVED[] = "{\"about\":{\"grid\":\"http://@HOST@/moved/3\"}}";

/* A grid that is gone is looked up once more, and that is where the next run asks. */
START_TEST(gone_and_found_again)
{
	const struct server_row script[] = {
	    {.path = "/where", .body = m.where, .times = 1},
	    {.path = "/where", .body = MOVED},
	    {.path = "/grid", .headers = GOOD, .body = m.grid, .times = 1},
	    {.path = "/grid", .status = "404 Not Found", .body = "{\"sorry\":\"no such grid\"}"},
	    {.path = "/moved", .body = m.grid},
	};
	struct server s;
	server_start(&s, script, 5);
	marsh_at(&m, s.port);
	FINE(marsh_fetch(&m));
	m.now += LATER_S;
	FINE(marsh_fetch(&m));
	ck_assert_int_eq(m.result.requests, 3); /* the old grid, the look-up, the new grid */
	ck_assert_ptr_null(strstr(server_request(&s, 4), "If-None-Match"));
	m.now += LATER_S;
	FINE(marsh_fetch(&m));
	ck_assert_int_eq(m.result.requests, 1);
	ck_assert_ptr_nonnull(strstr(server_request(&s, 5), "/moved/3"));
	server_stop(&s);
}
END_TEST

/* Found anew in this run and gone all the same: that is the end of it, and the next run looks again. */
START_TEST(gone_for_good)
{
	const struct server_row script[] = {
	    {.path = "/where", .body = m.where},
	    {.path = "/grid", .headers = GOOD, .body = m.grid, .times = 1},
	    {.path = "/grid", .status = "404 Not Found", .body = "{\"sorry\":\"no such grid\"}"},
	};
	struct server s;
	server_start(&s, script, 3);
	marsh_at(&m, s.port);
	FINE(marsh_fetch(&m));
	for (int i = 0; i < 2; i++) {
		m.now += LATER_S;
		ck_assert_int_eq(marsh_fetch(&m), FAULT_UNAVAILABLE);
		ck_assert_msg(strstr(m.f.text, "answers 404: no such grid") != NULL, "%s", m.f.text);
		ck_assert_int_eq(m.result.requests, i == 0 ? 3 : 2);
		assert_record_whole("gone for good");
	}
	server_stop(&s);
}
END_TEST

/* Past its time an address is looked up again; where that fails, the old one is better than no forecast. */
START_TEST(old_address_rather_than_none)
{
	const struct server_row script[] = {
	    {.path = "/where", .body = m.where, .times = 1},
	    {.path = "/where", .status = "503 Busy"},
	    {.path = "/grid", .body = m.grid},
	};
	struct server s;
	server_start(&s, script, 3);
	marsh_at(&m, s.port);
	FINE(marsh_fetch(&m));
	m.now += 8 * DAY_S;
	FINE(marsh_fetch(&m));
	ck_assert_int_eq(m.result.requests, 4);
	ck_assert_int_eq(marsh_memo(&m, "where").status, 503);
	ck_assert_int_eq(marsh_memo(&m, "grid").status, 200);
	server_stop(&s);
}
END_TEST

/* Who shuts us out for one garden has shut us out for all. */
START_TEST(shut_out_everywhere)
{
	const struct server_row script[] = {{.path = "/where", .status = "403 Forbidden"}};
	struct server s;
	server_start(&s, script, 1);
	marsh_at(&m, s.port);
	ck_assert_int_eq(marsh_fetch(&m), FAULT_UNAVAILABLE);
	m.job.place = place_at(60.1, 10.5, 200);
	m.now += LATER_S;
	ck_assert_int_eq(marsh_fetch(&m), FAULT_TRY_LATER);
	ck_assert_int_eq(m.result.requests, 0);
	m.now += LATER_S;
	ck_assert_int_eq(marsh_fetch(&m), FAULT_UNAVAILABLE);
	ck_assert_int_eq(m.result.requests, 1);
	server_stop(&s);
}
END_TEST

static Suite *suite(void)
{
	Suite *suite = suite_create("fetchfaults");
	TCase *t = tcase_create("fetchfaults");
	tcase_set_timeout(t, 60);
	tcase_add_checked_fixture(t, setup, teardown);
#define LOOP(test, rows) tcase_add_loop_test(t, test, 0, (int)(sizeof(rows) / sizeof((rows)[0])))
	LOOP(faults, FAULTS);
	LOOP(no_server, NOBODY);
	LOOP(better_in_the_same_run, BETTER);
#undef LOOP
	tcase_add_test(t, wrong_certificate);
	tcase_add_test(t, ipv6_alone);
	tcase_add_test(t, gone_and_found_again);
	tcase_add_test(t, gone_for_good);
	tcase_add_test(t, old_address_rather_than_none);
	tcase_add_test(t, shut_out_everywhere);
	suite_add_tcase(suite, t);
	return suite;
}

int main(void)
{
	return harness_run(suite());
}
