#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/file.h"
#include "base/instant.h"
#include "base/mem.h"
#include "lib/harness.h"
#include "lib/server.h"
#include "net/net.h"

/* Far from any real clock, so that a test that reads the machine's shows. */
#define TEST_NOW INT64_C(1778562000) /* 2026-05-12T05:00:00Z */

enum { CAP = 100000, TOTAL_MS = 400 };

static int64_t test_now(void *context)
{
	(void)context;
	return TEST_NOW;
}

static void test_sleep_ms(void *context, int64_t ms)
{
	*(int64_t *)context += ms;
}

static struct net_limits test_limits(void)
{
	struct net_limits l = net_limits_default();
	l.connect_ms = l.total_ms = TOTAL_MS;
	l.max_bytes = CAP;
	l.allow_loopback_http = true;
	l.now = test_now;
	l.sleep_ms = test_sleep_ms;
	return l;
}

static struct net *opened(const struct net_limits *l)
{
	struct net *net = NULL;
	struct fault f = {0};
	ck_assert_msg(net_open(l, "dewpost-test/1 (+grower@example.org)", &net, &f) == FAULT_NONE, "%s", f.text);
	return net;
}

/* ---- answers that arrive ---- */

static const struct good_row {
	const char *name;
	struct server_row answer;
	int status;
	const char *body; /* NULL: not compared */
} good_rows[] = {
    {"plain", {.headers = "Content-Type: application/json\r\n", .body = "{\"a\":1}"}, 200, "{\"a\":1}"},
    {"empty body", {.body = ""}, 200, ""},
    {"another content type is handed on", {.headers = "Content-Type: text/html\r\n", .body = "<p>"}, 200, "<p>"},
    {"404 keeps its body",
     {.status = "404 Not Found", .body = "{\"detail\":\"no such grid\"}"},
     404,
     "{\"detail\":\"no such grid\"}"},
    {"500 keeps its body", {.status = "500 Unexpected", .body = "sorry"}, 500, "sorry"},
    {"304 is an answer without a body", {.act = SERVER_RAW, .body = "HTTP/1.1 304 Not Modified\r\n\r\n"}, 304, ""},
    {"redirect without a Location is an answer", {.status = "302 Found", .body = "where"}, 302, "where"},
    {"chunked",
     {.act = SERVER_RAW,
      .body = "HTTP/1.1 200 OK\r\nTransfer-Encoding: chunked\r\n\r\n3\r\nabc\r\n2\r\nde\r\n0\r\n\r\n"},
     200,
     "abcde"},
    {"chunked just under the cap", {.act = SERVER_FLOOD, .size = 24 * 4096}, 200, NULL},
    {"no length, ended by closing", {.act = SERVER_RAW, .body = "HTTP/1.0 200 OK\r\n\r\nold way"}, 200, "old way"},
    {"an interim answer first",
     {.act = SERVER_RAW,
      .body = "HTTP/1.1 103 Early Hints\r\nETag: \"wrong\"\r\n\r\nHTTP/1.1 200 OK\r\nContent-Length: 2\r\n\r\nok"},
     200,
     "ok"},
};

START_TEST(good)
{
	const struct good_row *row = &good_rows[_i];
	struct server_row script = row->answer;
	script.path = "/";
	struct server s;
	server_start(&s, &script, 1);
	struct net_limits l = test_limits();
	struct net *net = opened(&l);
	struct net_response r;
	struct fault f = {0};
	char url[SERVER_URL_SIZE];
	struct net_request q = {.url = server_url(&s, "/forecast?lat=44.31", url)};
	ROW_STR(row->name, net_get(net, &q, &r, &f) == FAULT_NONE ? "" : f.text, "");
	ROW_INT(row->name, r.status, row->status);
	if (row->body != NULL) {
		ROW_STR(row->name, r.body.at, row->body);
		ROW_INT(row->name, (long long)r.body.len, (long long)strlen(row->body));
	}
	ROW_STR(row->name, r.etag, "");
	ROW_STR(row->name, r.url, url);
	net_response_free(&r);
	net_close(net);
	server_stop(&s);
}
END_TEST

/* ---- what does not: code, words that must stand in the text, requests that reached the server ---- */

static const struct bad_row {
	const char *name;
	struct server_row answer;
	enum fault_code code;
	const char *says;
	int asked;
} bad_rows[] = {
    {"closed without a byte", {.act = SERVER_CLOSE}, FAULT_TRY_LATER, "closed without an answer", 0},
    {"body shorter than announced",
     {.act = SERVER_RAW, .body = "HTTP/1.1 200 OK\r\nContent-Length: 100\r\n\r\n{\"a\":"},
     FAULT_TRY_LATER,
     "broke off",
     1},
    {"chunk cut",
     {.act = SERVER_RAW, .body = "HTTP/1.1 200 OK\r\nTransfer-Encoding: chunked\r\n\r\nff\r\nabc"},
     FAULT_TRY_LATER,
     "broke off",
     1},
    {"chunk length is no number",
     {.act = SERVER_RAW, .body = "HTTP/1.1 200 OK\r\nTransfer-Encoding: chunked\r\n\r\nzz\r\nabc\r\n"},
     FAULT_TRY_LATER,
     "connection broke",
     1},
    {"says nothing", {.act = SERVER_STALL}, FAULT_TRY_LATER, "in time", 1},
    {"drips past the time", {.act = SERVER_DRIP, .pause_ms = 20, .body = "0123456789"}, FAULT_TRY_LATER, "in time", 1},
    {"chunked flood", {.act = SERVER_FLOOD, .size = 40 << 20}, FAULT_UNAVAILABLE, "larger than 100000 bytes", 1},
    {"chunked just over the cap", {.act = SERVER_FLOOD, .size = 25 * 4096}, FAULT_UNAVAILABLE, "larger than", 1},
    {"announced over the cap",
     {.act = SERVER_RAW, .body = "HTTP/1.1 200 OK\r\nContent-Length: 100001\r\n\r\n"},
     FAULT_UNAVAILABLE,
     "larger than 100000 bytes",
     1},
    {"damaged gzip",
     {.headers = "Content-Encoding: gzip\r\n", .body = "no gzip at all, but long enough for a head"},
     FAULT_TRY_LATER,
     "compressed answer is damaged",
     1},
    {"no HTTP", {.act = SERVER_RAW, .body = "220 mail.example.org ESMTP\r\n"}, FAULT_UNAVAILABLE, "no usable", 1},
    {"redirect loop",
     {.status = "302 Found", .headers = "Location: /x\r\n"},
     FAULT_UNAVAILABLE,
     "more than 3 times",
     4},
    {"each hop in time, all of them not",
     {.act = SERVER_DRIP, .pause_ms = 3, .status = "302 Found", .headers = "Location: /x\r\n"},
     FAULT_TRY_LATER,
     "in time",
     0},
    {"redirect to a file",
     {.status = "301 Moved", .headers = "Location: file:///etc/hostname\r\n"},
     FAULT_UNAVAILABLE,
     "redirect refused",
     1},
    {"redirect to ftp",
     {.status = "301 Moved", .headers = "Location: ftp://127.0.0.1/a\r\n"},
     FAULT_UNAVAILABLE,
     "ftp:// is not allowed",
     1},
    {"redirect to http elsewhere",
     {.status = "307 Moved", .headers = "Location: http://192.0.2.1/a\r\n"},
     FAULT_UNAVAILABLE,
     "192.0.2.1: plain http is not allowed",
     1},
    {"redirect to a name that looks like loopback",
     {.status = "308 Moved", .headers = "Location: http://127.0.0.1.example.invalid/a\r\n"},
     FAULT_UNAVAILABLE,
     "plain http is not allowed",
     1},
    {"redirect with a password",
     {.status = "302 Found", .headers = "Location: http://a:b@@HOST@/\r\n"},
     FAULT_UNAVAILABLE,
     "user or password",
     1},
};

START_TEST(bad)
{
	const struct bad_row *row = &bad_rows[_i];
	struct server_row script = row->answer;
	script.path = "/";
	struct server s;
	server_start(&s, &script, 1);
	struct net_limits l = test_limits();
	struct net *net = opened(&l);
	struct net_response r;
	struct fault f = {0};
	char url[SERVER_URL_SIZE];
	struct net_request q = {.url = server_url(&s, "/points/44.31,-89.9/now?lat=44.31&lon=-89.9", url)};
	ROW_INT(row->name, net_get(net, &q, &r, &f), row->code);
	ck_assert_msg(strstr(f.text, row->says) != NULL, "%s: \"%s\" is not in \"%s\"", row->name, row->says, f.text);
	ck_assert_msg(strstr(f.text, "44.31") == NULL, "%s: coordinates in \"%s\"", row->name, f.text);
	ck_assert_msg(strstr(f.text, "127.0.0.1:") == f.text, "%s: no place before \"%s\"", row->name, f.text);
	if (row->asked > 0)
		ROW_INT(row->name, (long long)server_asked(&s), row->asked);
	net_response_free(&r);
	net_close(net);
	server_stop(&s);
}
END_TEST

/* ---- compression ---- */

static const struct gzip_row {
	const char *name, *file;
	enum fault_code code;
	const char *body; /* or what the fault says */
} gzip_rows[] = {
    {"small", "fixtures/net/answer.json.gz", FAULT_NONE, "{\"made\":\"up\",\"air\":[1.5,2.5,null]}"},
    {"swells past the cap", "fixtures/net/blanks.gz", FAULT_UNAVAILABLE, "larger than 100000 bytes"},
};

START_TEST(gzip)
{
	const struct gzip_row *row = &gzip_rows[_i];
	struct fault f = {0};
	char *bytes;
	size_t n;
	ck_assert_msg(file_read(row->file, CAP, &bytes, &n, &f) == FAULT_NONE, "%s", f.text);
	struct server_row script = {.path = "/", .headers = "Content-Encoding: gzip\r\n", .body = bytes, .size = n};
	struct server s;
	server_start(&s, &script, 1);
	struct net_limits l = test_limits();
	struct net *net = opened(&l);
	struct net_response r;
	char url[SERVER_URL_SIZE];
	struct net_request q = {.url = server_url(&s, "/", url)};
	ROW_INT(row->name, net_get(net, &q, &r, &f), row->code);
	if (row->code == FAULT_NONE)
		ROW_STR(row->name, r.body.at, row->body);
	else
		ck_assert_msg(strstr(f.text, row->body) != NULL, "%s: %s", row->name, f.text);
	ROW_TRUE(row->name, strstr(server_request(&s, 0), "gzip") != NULL);
	net_response_free(&r);
	net_close(net);
	server_stop(&s);
	mem_free(bytes);
}
END_TEST

/* ---- headers ---- */

START_TEST(request_headers_are_sent)
{
	struct server_row script = {.path = "/"};
	struct server s;
	server_start(&s, &script, 1);
	struct net_limits l = test_limits();
	struct net *net = opened(&l);
	struct net_response r;
	struct fault f = {0};
	char url[SERVER_URL_SIZE];
	const char *own[] = {"X-Key: 17", "Feature-Flags: a,b"};
	struct net_request q = {.url = server_url(&s, "/a?b=c", url),
				.accept = "application/geo+json",
				.headers = own,
				.n_headers = 2,
				.if_modified_since = "Tue, 12 May 2026 04:00:00 GMT",
				.if_none_match = "\"v17\""};
	ck_assert_msg(net_get(net, &q, &r, &f) == FAULT_NONE, "%s", f.text);
	static const char *const lines[] = {
	    "GET /a?b=c HTTP/1.1\r\n",
	    "\r\nUser-Agent: dewpost-test/1 (+grower@example.org)\r\n",
	    "\r\nAccept: application/geo+json\r\n",
	    "\r\nX-Key: 17\r\n",
	    "\r\nFeature-Flags: a,b\r\n",
	    "\r\nIf-Modified-Since: Tue, 12 May 2026 04:00:00 GMT\r\n",
	    "\r\nIf-None-Match: \"v17\"\r\n",
	};
	for (size_t i = 0; i < sizeof lines / sizeof lines[0]; i++)
		ck_assert_msg(strstr(server_request(&s, 0), lines[i]) != NULL, "no %s in\n%s", lines[i],
			      server_request(&s, 0));
	net_response_free(&r);
	/* The handle is used again: nothing of the last request may stay. */
	q = (struct net_request){.url = url};
	ck_assert_msg(net_get(net, &q, &r, &f) == FAULT_NONE, "%s", f.text);
	ck_assert_ptr_null(strstr(server_request(&s, 1), "X-Key"));
	ck_assert_ptr_null(strstr(server_request(&s, 1), "If-"));
	net_response_free(&r);
	net_close(net);
	server_stop(&s);
}
END_TEST

/* Instants worked out by hand from 2026-05-12T05:00:00Z = 1778562000. */
static const struct field_row {
	const char *name, *headers, *etag, *last_modified;
	int64_t expires, retry_after_s;
} field_rows[] = {
    {"none", NULL, "", "", INSTANT_NONE, -1},
    {"all",
     "ETag: \"v17\"\r\nlast-modified:  Tue, 12 May 2026 04:00:00 GMT \r\nExpires: Tue, 12 May 2026 05:30:00 GMT\r\n",
     "\"v17\"", "Tue, 12 May 2026 04:00:00 GMT", TEST_NOW + 1800, -1},
    {"expires is no date", "Expires: -1\r\n", "", "", INSTANT_NONE, -1},
    {"retry in seconds", "Retry-After: 120\r\n", "", "", INSTANT_NONE, 120},
    {"retry at a date", "Retry-After: Tue, 12 May 2026 05:02:00 GMT\r\n", "", "", INSTANT_NONE, 120},
    {"retry at a date that is past", "Retry-After: Tue, 12 May 2026 04:02:00 GMT\r\n", "", "", INSTANT_NONE, 0},
    {"retry in years", "Retry-After: 344129024\r\n", "", "", INSTANT_NONE, 86400},
    {"retry in aeons", "Retry-After: 99999999999999999999999\r\n", "", "", INSTANT_NONE, 86400},
    {"retry never said so", "Retry-After: soon\r\n", "", "", INSTANT_NONE, -1},
    {"retry below zero", "Retry-After: -5\r\n", "", "", INSTANT_NONE, -1},
};

START_TEST(answer_fields)
{
	const struct field_row *row = &field_rows[_i];
	struct server_row script = {.path = "/", .headers = row->headers, .status = "503 Later"};
	struct server s;
	server_start(&s, &script, 1);
	struct net_limits l = test_limits();
	struct net *net = opened(&l);
	struct net_response r;
	struct fault f = {0};
	char url[SERVER_URL_SIZE];
	struct net_request q = {.url = server_url(&s, "/", url)};
	ROW_INT(row->name, net_get(net, &q, &r, &f), FAULT_NONE);
	ROW_STR(row->name, r.etag, row->etag);
	ROW_STR(row->name, r.last_modified, row->last_modified);
	ROW_INT(row->name, r.expires, row->expires);
	ROW_INT(row->name, r.retry_after_s, row->retry_after_s);
	net_response_free(&r);
	net_close(net);
	server_stop(&s);
}
END_TEST

START_TEST(a_field_too_long_to_keep_is_none)
{
	static char headers[600];
	snprintf(headers, sizeof headers, "ETag: \"%0400d\"\r\nDate: Tue, 12 May 2026 05:00:00 GMT\r\n", 7);
	struct server_row script = {.path = "/", .headers = headers};
	struct server s;
	server_start(&s, &script, 1);
	struct net_limits l = test_limits();
	struct net *net = opened(&l);
	struct net_response r;
	struct fault f = {0};
	char url[SERVER_URL_SIZE];
	struct net_request q = {.url = server_url(&s, "/", url)};
	ck_assert_int_eq(net_get(net, &q, &r, &f), FAULT_NONE);
	ck_assert_str_eq(r.etag, "");
	ck_assert_int_eq(r.date, TEST_NOW);
	net_response_free(&r);
	net_close(net);
	server_stop(&s);
}
END_TEST

/* ---- redirects that are followed ---- */

START_TEST(redirects_are_followed)
{
	const struct server_row script[] = {
	    {.path = "/old",
	     .status = "301 Moved",
	     .headers = "Location: ../new?x=1\r\nETag: \"old\"\r\n",
	     .body = "moved"},
	    {.path = "/new", .status = "302 Found", .headers = "Location: http://@HOST@/last\r\n"},
	    {.path = "/last", .body = "here"},
	};
	struct server s, other;
	server_start(&s, script, 3);
	struct net_limits l = test_limits();
	struct net *net = opened(&l);
	struct net_response r;
	struct fault f = {0};
	char url[SERVER_URL_SIZE], last[SERVER_URL_SIZE];
	const char *own[] = {"X-Key: 17"};
	struct net_request q = {.url = server_url(&s, "/old", url), .headers = own, .n_headers = 1};
	ck_assert_msg(net_get(net, &q, &r, &f) == FAULT_NONE, "%s", f.text);
	ck_assert_int_eq(r.status, 200);
	ck_assert_str_eq(r.body.at, "here");
	ck_assert_str_eq(r.etag, "");
	ck_assert_str_eq(r.url, server_url(&s, "/last", last));
	ck_assert_uint_eq(server_asked(&s), 3);
	ck_assert_ptr_nonnull(strstr(server_request(&s, 2), "X-Key"));
	net_response_free(&r);

	/* To another server the caller's headers do not go: they may hold a key. */
	char headers[SERVER_URL_SIZE + 16];
	snprintf(headers, sizeof headers, "Location: %s\r\n", last);
	const struct server_row away = {.path = "/", .status = "302 Found", .headers = headers};
	server_start(&other, &away, 1);
	q.url = server_url(&other, "/", url);
	q.accept = "application/json";
	ck_assert_msg(net_get(net, &q, &r, &f) == FAULT_NONE, "%s", f.text);
	ck_assert_str_eq(r.body.at, "here");
	ck_assert_ptr_null(strstr(server_request(&s, 3), "X-Key"));
	ck_assert_ptr_nonnull(strstr(server_request(&s, 3), "Accept: application/json"));
	net_response_free(&r);
	net_close(net);
	server_stop(&other);
	server_stop(&s);
}
END_TEST

/* ---- refused before any traffic ---- */

START_TEST(nobody_listens)
{
	struct net_limits l = test_limits();
	struct net *net = opened(&l);
	struct net_response r;
	struct fault f = {0};
	char url[64];
	snprintf(url, sizeof url, "http://127.0.0.1:%d/a", server_refused_port());
	struct net_request q = {.url = url};
	ck_assert_int_eq(net_get(net, &q, &r, &f), FAULT_TRY_LATER);
	ck_assert_msg(strstr(f.text, "no connection") != NULL, "%s", f.text);
	net_response_free(&r);
	net_close(net);
}
END_TEST

START_TEST(https_is_not_spoken)
{
	struct server_row script = {.path = "/", .act = SERVER_CLOSE};
	struct server s;
	server_start(&s, &script, 1);
	struct net_limits l = test_limits();
	struct net *net = opened(&l);
	struct net_response r;
	struct fault f = {0};
	char url[64];
	snprintf(url, sizeof url, "https://127.0.0.1:%d/a", s.port);
	struct net_request q = {.url = url};
	ck_assert_int_eq(net_get(net, &q, &r, &f), FAULT_TRY_LATER);
	net_response_free(&r);
	net_close(net);
	server_stop(&s);
}
END_TEST

static const struct refused_row {
	const char *name, *url, *header, *says;
} refused_rows[] = {
    {"http elsewhere", "http://192.0.2.1/a", NULL, "192.0.2.1: plain http is not allowed; use https://"},
    {"http to a name", "http://localhost/a", NULL, "localhost: plain http is not allowed"},
    {"file", "file:///etc/hostname", NULL, "https://"},
    {"gopher", "gopher://example.invalid/", NULL, "gopher:// is not allowed"},
    {"no scheme", "example.invalid/a", NULL, "https://"},
    {"nothing", "", NULL, "https://"},
    {"CR LF", "https://example.invalid/a\r\nX: y", NULL, "control character"},
    {"tab", "https://example.invalid/a\tb", NULL, "control character"},
    {"blank", "https://example.invalid/a b", NULL, "blank"},
    {"beyond ASCII", "https://example.invalid/\xc3\xa9", NULL, "ASCII"},
    {"password", "https://a:b@example.invalid/", NULL, "user or password"},
    {"header with CR LF", "https://example.invalid/", "X: y\r\nZ: 1", "control character"},
    {"header without a colon", "https://example.invalid/", "X y", "no colon"},
};

START_TEST(refused)
{
	const struct refused_row *row = &refused_rows[_i];
	struct net_limits l = test_limits();
	struct net *net = opened(&l);
	struct net_response r;
	struct fault f = {0};
	struct net_request q = {.url = row->url, .headers = &row->header, .n_headers = row->header != NULL ? 1 : 0};
	ROW_INT(row->name, net_get(net, &q, &r, &f), FAULT_CONFIG);
	ck_assert_msg(strstr(f.text, row->says) != NULL, "%s: %s", row->name, f.text);
	net_response_free(&r);
	net_close(net);
}
END_TEST

START_TEST(loopback_http_is_off_unless_asked_for)
{
	struct server_row script = {.path = "/"};
	struct server s;
	server_start(&s, &script, 1);
	struct net_limits l = test_limits();
	l.allow_loopback_http = false;
	struct net *net = opened(&l);
	struct net_response r;
	struct fault f = {0};
	char url[SERVER_URL_SIZE];
	struct net_request q = {.url = server_url(&s, "/", url)};
	ck_assert_int_eq(net_get(net, &q, &r, &f), FAULT_CONFIG);
	ck_assert_uint_eq(server_asked(&s), 0);
	net_response_free(&r);
	net_close(net);
	server_stop(&s);
}
END_TEST

START_TEST(proxy_of_the_environment_does_not_see_the_loopback)
{
	struct server_row script = {.path = "/", .body = "direct"};
	struct server s;
	server_start(&s, &script, 1);
	char proxy[64];
	snprintf(proxy, sizeof proxy, "http://127.0.0.1:%d", server_refused_port());
	ck_assert_int_eq(setenv("http_proxy", proxy, 1), 0);
	struct net_limits l = test_limits();
	struct net *net = opened(&l);
	struct net_response r;
	struct fault f = {0};
	char url[SERVER_URL_SIZE];
	struct net_request q = {.url = server_url(&s, "/", url)};
	ck_assert_msg(net_get(net, &q, &r, &f) == FAULT_NONE, "%s", f.text);
	ck_assert_str_eq(r.body.at, "direct");
	net_response_free(&r);
	net_close(net);
	server_stop(&s);
}
END_TEST

START_TEST(user_agents)
{
	static const char *const wrong[] = {"", "a\r\nX: y", "caf\xc3\xa9/1"};
	struct net_limits l = net_limits_default();
	for (size_t i = 0; i < sizeof wrong / sizeof wrong[0]; i++) {
		struct net *net = NULL;
		struct fault f = {0};
		ck_assert_int_eq(net_open(&l, wrong[i], &net, &f), FAULT_CONFIG);
		ck_assert_ptr_null(net);
	}
	net_close(NULL);
}
END_TEST

START_TEST(clock_and_sleep_are_ours)
{
	struct net_limits l = test_limits();
	int64_t slept = 0;
	l.context = &slept;
	struct net *net = opened(&l);
	ck_assert_int_eq(net_now(net), TEST_NOW);
	net_sleep(net, 2000);
	ck_assert_int_eq(slept, 2000);
	net_close(net);
}
END_TEST

/* Each allocation in turn is refused: a fault each time, nothing lost, until none is hit. */
START_TEST(memory_runs_out)
{
	struct server_row script = {.path = "/", .headers = "ETag: \"v\"\r\n", .body = "{\"a\":1}"};
	long n = 0;
	bool hit = true;
	for (; hit && n < 2000; n++) {
		struct server s; /* a new one now and then would do, but one request costs little */
		server_start(&s, &script, 1);
		struct net_limits l = test_limits();
		struct net *net = NULL;
		struct net_response r;
		struct fault f = {0};
		char url[SERVER_URL_SIZE];
		struct net_request q = {.url = server_url(&s, "/", url), .accept = "text/plain"};
		mem_fail_after(n, false);
		enum fault_code code = net_open(&l, "dewpost-test/1", &net, &f);
		if (code == FAULT_NONE) {
			code = net_get(net, &q, &r, &f);
			if (code == FAULT_NONE)
				ck_assert_str_eq(r.body.at, "{\"a\":1}");
			net_response_free(&r);
		}
		hit = mem_refused() > 0;
		mem_fail_after(-1, false);
		ck_assert_msg(code == FAULT_NONE || f.text[0] != '\0', "allocation %ld: no text", n);
		ck_assert_msg(hit || code == FAULT_NONE, "no allocation was refused, yet: %s", f.text);
		net_close(net);
		server_stop(&s);
	}
	ck_assert_msg(!hit && n > 10, "%ld allocations tried", n);
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("net");
	TCase *t = tcase_create("get");
	tcase_set_timeout(t, 60);
#define LOOP(test, rows) tcase_add_loop_test(t, test, 0, (int)(sizeof(rows) / sizeof((rows)[0])))
	LOOP(good, good_rows);
	LOOP(bad, bad_rows);
	LOOP(gzip, gzip_rows);
	LOOP(answer_fields, field_rows);
	LOOP(refused, refused_rows);
#undef LOOP
	tcase_add_test(t, request_headers_are_sent);
	tcase_add_test(t, a_field_too_long_to_keep_is_none);
	tcase_add_test(t, redirects_are_followed);
	tcase_add_test(t, nobody_listens);
	tcase_add_test(t, https_is_not_spoken);
	tcase_add_test(t, loopback_http_is_off_unless_asked_for);
	tcase_add_test(t, proxy_of_the_environment_does_not_see_the_loopback);
	tcase_add_test(t, user_agents);
	tcase_add_test(t, clock_and_sleep_are_ours);
	tcase_add_test(t, memory_runs_out);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
