#include <stdio.h>
#include <string.h>

#include "base/instant.h"
#include "lib/harness.h"
#include "lib/netbed.h"
#include "lib/server.h"
#include "net/net.h"

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
	struct net_limits l = netbed_limits();
	struct net *net = netbed_open(&l);
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

/* ---- headers ---- */

START_TEST(request_headers_are_sent)
{
	struct server_row script = {.path = "/"};
	struct server s;
	server_start(&s, &script, 1);
	struct net_limits l = netbed_limits();
	struct net *net = netbed_open(&l);
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
     "\"v17\"", "Tue, 12 May 2026 04:00:00 GMT", NETBED_NOW + 1800, -1},
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
	struct net_limits l = netbed_limits();
	struct net *net = netbed_open(&l);
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
	struct net_limits l = netbed_limits();
	struct net *net = netbed_open(&l);
	struct net_response r;
	struct fault f = {0};
	char url[SERVER_URL_SIZE];
	struct net_request q = {.url = server_url(&s, "/", url)};
	ck_assert_int_eq(net_get(net, &q, &r, &f), FAULT_NONE);
	ck_assert_str_eq(r.etag, "");
	ck_assert_int_eq(r.date, NETBED_NOW);
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
	struct net_limits l = netbed_limits();
	struct net *net = netbed_open(&l);
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

/* ---- connections and traffic ---- */

START_TEST(a_connection_is_kept)
{
	const struct server_row script = {.path = "/", .act = SERVER_KEEP, .body = "here"};
	const struct server_row moved[] = {
	    {.path = "/old",
	     .act = SERVER_KEEP,
	     .status = "301 Moved",
	     .headers = "Location: /new\r\n",
	     .body = "moved"},
	    {.path = "/new", .act = SERVER_ANSWER, .body = "closes"},
	    {.path = "/", .act = SERVER_KEEP, .body = "there"},
	};
	struct server s, other;
	server_start(&s, &script, 1);
	server_start(&other, moved, sizeof moved / sizeof moved[0]);
	const struct ask {
		const struct server *server;
		const char *path, *body;
	} asks[] = {
	    {&s, "/a", "here"},      {&other, "/old", "closes"}, {&s, "/b", "here"},
	    {&other, "/c", "there"}, {&s, "/d", "here"},
	};
	struct net_limits l = netbed_limits();
	struct net *net = netbed_open(&l);
	for (size_t i = 0; i < sizeof asks / sizeof asks[0]; i++) {
		struct net_response r;
		struct fault f = {0};
		char url[SERVER_URL_SIZE];
		struct net_request q = {.url = server_url(asks[i].server, asks[i].path, url)};
		ck_assert_msg(net_get(net, &q, &r, &f) == FAULT_NONE, "%s", f.text);
		ck_assert_str_eq(r.body.at, asks[i].body);
		net_response_free(&r);
	}
	net_close(net);
	ck_assert_uint_eq(server_asked(&s), 3);
	ck_assert_uint_eq(server_connection(&s, 2), 0);
	ck_assert_uint_eq(server_asked(&other), 3);
	ck_assert_uint_eq(server_connection(&other, 1), 0);
	ck_assert_uint_eq(server_connection(&other, 2), 1); /* the one before was closed by the server */
	server_stop(&other);
	server_stop(&s);
}
END_TEST

/* Bytes counted by hand. */
static const struct traffic_row {
	const char *name, *path;
	enum fault_code code;
	int64_t bytes;
	int requests;
} traffic_rows[] = {
    {"one answer", "/plain", FAULT_NONE, 7, 1},
    {"no body", "/same", FAULT_NONE, 0, 1},
    {"chunks without their frames", "/chunks", FAULT_NONE, 5, 1},
    {"redirects count", "/moved", FAULT_NONE, 5 + 7, 2},
    {"what broke off counts", "/cut", FAULT_TRY_LATER, 5, 1},
    {"refused after a redirect", "/away", FAULT_UNAVAILABLE, 4, 1},
    {"not sent at all", "", FAULT_CONFIG, 0, 0},
};

START_TEST(traffic)
{
	static const struct server_row script[] = {
	    {.path = "/plain", .body = "{\"a\":1}"},
	    {.path = "/same", .act = SERVER_RAW, .body = "HTTP/1.1 304 Not Modified\r\n\r\n"},
	    {.path = "/chunks",
	     .act = SERVER_RAW,
	     .body = "HTTP/1.1 200 OK\r\nTransfer-Encoding: chunked\r\n\r\n3\r\nabc\r\n2\r\nde\r\n0\r\n\r\n"},
	    {.path = "/moved", .status = "302 Found", .headers = "Location: /plain\r\n", .body = "moved"},
	    {.path = "/cut", .act = SERVER_RAW, .body = "HTTP/1.1 200 OK\r\nContent-Length: 100\r\n\r\n{\"a\":"},
	    {.path = "/away", .status = "302 Found", .headers = "Location: https://10.0.0.1/\r\n", .body = "away"},
	};
	const struct traffic_row *row = &traffic_rows[_i];
	struct server s;
	server_start(&s, script, sizeof script / sizeof script[0]);
	struct net_limits l = netbed_limits();
	struct net *net = netbed_open(&l);
	struct net_response r;
	struct fault f = {0};
	char url[SERVER_URL_SIZE];
	struct net_request q = {.url = server_url(&s, "/plain", url)};
	ck_assert_msg(net_get(net, &q, &r, &f) == FAULT_NONE, "%s", f.text); /* what went before is not counted */
	net_response_free(&r);
	q.url = row->path[0] != '\0' ? server_url(&s, row->path, url) : "ftp://example.invalid/";
	ROW_INT(row->name, net_get(net, &q, &r, &f), row->code);
	ROW_INT(row->name, r.bytes, row->bytes);
	ROW_INT(row->name, r.requests, row->requests);
	net_response_free(&r);
	net_close(net);
	server_stop(&s);
}
END_TEST

START_TEST(a_host_that_has_ipv6_alone)
{
	const struct server_row script = {.path = "/", .body = "six"};
	struct server s;
	if (!server_ipv6_possible())
		return;
	server_start_as(&s, &(struct server_how){.ipv6 = true}, &script, 1);
	struct net_limits l = netbed_limits();
	struct net_response r;
	struct fault f = {0};
	char url[SERVER_URL_SIZE];
	ck_assert_msg(netbed_ask(&l, server_url(&s, "/", url), &r, &f) == FAULT_NONE, "%s", f.text);
	ck_assert_str_eq(r.body.at, "six");
	net_response_free(&r);
	server_stop(&s);
}
END_TEST

/* ---- refused before any traffic ---- */

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
	struct net_limits l = netbed_limits();
	struct net *net = netbed_open(&l);
	struct net_response r;
	struct fault f = {0};
	struct net_request q = {.url = row->url, .headers = &row->header, .n_headers = row->header != NULL ? 1 : 0};
	ROW_INT(row->name, net_get(net, &q, &r, &f), FAULT_CONFIG);
	ck_assert_msg(strstr(f.text, row->says) != NULL, "%s: %s", row->name, f.text);
	net_response_free(&r);
	net_close(net);
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
	struct net_limits l = netbed_limits();
	int64_t slept = 0;
	l.context = &slept;
	struct net *net = netbed_open(&l);
	ck_assert_int_eq(net_now(net), NETBED_NOW);
	net_sleep(net, 2000);
	ck_assert_int_eq(slept, 2000);
	net_close(net);
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("net");
	TCase *t = tcase_create("get");
	tcase_set_timeout(t, 60);
#define LOOP(test, rows) tcase_add_loop_test(t, test, 0, (int)(sizeof(rows) / sizeof((rows)[0])))
	LOOP(good, good_rows);
	LOOP(answer_fields, field_rows);
	LOOP(traffic, traffic_rows);
	LOOP(refused, refused_rows);
#undef LOOP
	tcase_add_test(t, request_headers_are_sent);
	tcase_add_test(t, a_field_too_long_to_keep_is_none);
	tcase_add_test(t, redirects_are_followed);
	tcase_add_test(t, a_connection_is_kept);
	tcase_add_test(t, a_host_that_has_ipv6_alone);
	tcase_add_test(t, user_agents);
	tcase_add_test(t, clock_and_sleep_are_ours);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
