#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/file.h"
#include "base/mem.h"
#include "lib/harness.h"
#include "lib/netbed.h"
#include "lib/server.h"
#include "net/net.h"

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
    {"redirect to https on the loopback",
     {.status = "302 Found", .headers = "Location: https://127.0.0.1:1/\r\n"},
     FAULT_UNAVAILABLE,
     "redirect refused: the host's address 127.0.0.1 is a loopback one: refused",
     1},
    {"redirect to localhost",
     {.status = "302 Found", .headers = "Location: https://localhost/\r\n"},
     FAULT_UNAVAILABLE,
     "the host's address localhost is a loopback one: refused",
     1},
    {"redirect to a private address",
     {.status = "302 Found", .headers = "Location: https://10.0.0.1/\r\n"},
     FAULT_UNAVAILABLE,
     "the host's address 10.0.0.1 is a private one: refused",
     1},
    {"redirect to a private address of the other kind",
     {.status = "302 Found", .headers = "Location: https://[fd00::1]/\r\n"},
     FAULT_UNAVAILABLE,
     "the host's address [fd00::1] is a private one: refused",
     1},
    {"redirect without a scheme to a private address",
     {.status = "302 Found", .headers = "Location: //192.168.1.1/\r\n"},
     FAULT_UNAVAILABLE,
     "192.168.1.1: plain http is not allowed",
     1},
};

START_TEST(bad)
{
	const struct bad_row *row = &bad_rows[_i];
	struct server_row script = row->answer;
	script.path = "/";
	struct server s;
	server_start(&s, &script, 1);
	struct net_limits l = netbed_limits();
	struct net *net = netbed_open(&l);
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
	ck_assert_msg(file_read(row->file, NETBED_CAP, &bytes, &n, &f) == FAULT_NONE, "%s", f.text);
	struct server_row script = {.path = "/", .headers = "Content-Encoding: gzip\r\n", .body = bytes, .size = n};
	struct server s;
	server_start(&s, &script, 1);
	struct net_limits l = netbed_limits();
	struct net *net = netbed_open(&l);
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

START_TEST(nobody_listens)
{
	struct net_limits l = netbed_limits();
	char url[64];
	snprintf(url, sizeof url, "http://127.0.0.1:%d/a", server_refused_port());
	ck_assert_int_eq(netbed_refuses("refused", &l, url, FAULT_TRY_LATER, "no connection"), 0);
}
END_TEST

START_TEST(https_is_not_spoken)
{
	struct server_row script = {.path = "/", .act = SERVER_CLOSE};
	struct server s;
	server_start(&s, &script, 1);
	struct net_limits l = netbed_limits();
	l.allow_private = true;
	char url[64];
	snprintf(url, sizeof url, "https://127.0.0.1:%d/a", s.port);
	netbed_refuses("no TLS", &l, url, FAULT_TRY_LATER, "in time");
	server_stop(&s);
}
END_TEST

/* One byte at a time, far slower than the limit, with all the time in the world. */
START_TEST(too_slow)
{
	struct server_row script = {
	    .path = "/", .act = SERVER_DRIP, .pause_ms = 50, .headers = "X-Long: way to go\r\n"};
	struct server s;
	server_start(&s, &script, 1);
	struct net_limits l = netbed_limits();
	l.total_ms = 60000;
	l.low_speed_bytes = 1000;
	l.low_speed_s = 1;
	char url[SERVER_URL_SIZE];
	netbed_refuses("drip", &l, server_url(&s, "/", url), FAULT_TRY_LATER, "too slow");
	server_stop(&s);
}
END_TEST

/* ---- headers without end ---- */

static const struct header_row {
	const char *name;
	const char *start, *again, *end; /* `again` as often as fits into `size` */
	size_t size;
	enum fault_code code;
} header_rows[] = {
    {"just fits", "HTTP/1.1 200 OK\r\n", "X-Y: 0123456789\r\n", "Content-Length: 0\r\n\r\n", NETBED_HEADER_CAP - 64,
     FAULT_NONE},
    {"too many lines", "HTTP/1.1 200 OK\r\n", "X-Y: 0123456789\r\n", "Content-Length: 0\r\n\r\n",
     NETBED_HEADER_CAP + 64, FAULT_UNAVAILABLE},
    {"a line too long", "HTTP/1.1 200 OK\r\nX: ", "y", "\r\n\r\n", NETBED_HEADER_CAP + 64, FAULT_UNAVAILABLE},
    {"a line too long for libcurl", "HTTP/1.1 200 OK\r\nX: ", "y", "\r\n\r\n", 400000, FAULT_UNAVAILABLE},
    {"interim answers without end", "", "HTTP/1.1 102 Processing\r\n\r\n",
     "HTTP/1.1 200 OK\r\nContent-Length: 0\r\n\r\n", 2 * NETBED_HEADER_CAP, FAULT_UNAVAILABLE},
    {"after the body", "HTTP/1.1 200 OK\r\nTransfer-Encoding: chunked\r\n\r\n2\r\nok\r\n0\r\n", "X-Y: 0123456789\r\n",
     "\r\n", 2 * NETBED_HEADER_CAP, FAULT_UNAVAILABLE},
};

START_TEST(header_size)
{
	const struct header_row *row = &header_rows[_i];
	struct text t;
	text_init(&t, 1 << 20);
	text_add(&t, row->start);
	while (t.len + strlen(row->again) + strlen(row->end) <= row->size)
		text_add(&t, row->again);
	text_add(&t, row->end);
	struct server_row script = {.path = "/", .act = SERVER_RAW, .body = t.at, .size = t.len};
	struct server s;
	server_start(&s, &script, 1);
	struct net_limits l = netbed_limits();
	struct net_response r;
	struct fault f = {0};
	char url[SERVER_URL_SIZE];
	ROW_INT(row->name, netbed_ask(&l, server_url(&s, "/", url), &r, &f), row->code);
	if (row->code != FAULT_NONE)
		ROW_MSG(strstr(f.text, "the answer's header is larger than 16384 bytes") != NULL, "%s: %s", row->name,
			f.text);
	net_response_free(&r);
	server_stop(&s);
	text_free(&t);
}
END_TEST

/* The limit is one answer's: that of a redirect is not added to that of where it leads. */
START_TEST(header_size_of_each_hop)
{
	enum { LONG = NETBED_HEADER_CAP * 3 / 4 };
	static char headers[LONG + 64];
	snprintf(headers, sizeof headers, "Location: /new\r\nX: %0*d\r\n", LONG, 7);
	const struct server_row script[] = {
	    {.path = "/old", .status = "301 Moved", .headers = headers},
	    {.path = "/new", .headers = strstr(headers, "X: ")},
	};
	struct server s;
	server_start(&s, script, 2);
	struct net_limits l = netbed_limits();
	struct net_response r;
	struct fault f = {0};
	char url[SERVER_URL_SIZE];
	ck_assert_msg(netbed_ask(&l, server_url(&s, "/old", url), &r, &f) == FAULT_NONE, "%s", f.text);
	ck_assert_int_eq(r.requests, 2);
	net_response_free(&r);
	server_stop(&s);
}
END_TEST

/* ---- hosts that are not of the public internet ---- */

static const struct private_row {
	const char *url, *says;
} private_rows[] = {
    {"https://10.0.0.1/a", "the host's address 10.0.0.1 is a private one: refused"},
    {"https://127.0.0.1/a", "the host's address 127.0.0.1 is a loopback one: refused"},
    {"https://localhost/a", "the host's address localhost is a loopback one: refused"},
    {"https://LocalHost./a", "is a loopback one: refused"},
    {"https://a.localhost/a", "is a loopback one: refused"},
    {"https://0x7f.1/a", "the host's address 127.0.0.1 is a loopback one: refused"},
    {"https://2130706433/a", "the host's address 127.0.0.1 is a loopback one: refused"},
    {"https://[::1]/a", "the host's address [::1] is a loopback one: refused"},
    {"https://[::ffff:192.168.0.1]/a", "is a private one: refused"},
    {"https://[fe80::1%25eth0]/a", "is a link-local one: refused"},
    {"HTTPS://169.254.169.254/a", "is a link-local one: refused"},
};

START_TEST(private_hosts)
{
	const struct private_row *row = &private_rows[_i];
	struct net_limits l = netbed_limits();
	ROW_INT(row->url, netbed_refuses(row->url, &l, row->url, FAULT_UNAVAILABLE, row->says), 0);
	/* Whoever stands between: what the address itself says is looked at. */
	l.proxy = "http://127.0.0.1:1";
	ROW_INT(row->url, netbed_refuses(row->url, &l, row->url, FAULT_UNAVAILABLE, row->says), 0);
}
END_TEST

START_TEST(loopback_http_is_off_unless_asked_for)
{
	struct server_row script = {.path = "/"};
	struct server s;
	server_start(&s, &script, 1);
	struct net_limits l = netbed_limits();
	l.allow_loopback_http = false;
	char url[SERVER_URL_SIZE];
	netbed_refuses("http", &l, server_url(&s, "/", url), FAULT_CONFIG, "plain http is not allowed");
	ck_assert_uint_eq(server_asked(&s), 0);
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
	ck_assert_int_eq(setenv("all_proxy", proxy, 1), 0);
	struct net_limits l = netbed_limits();
	l.proxy = NULL;
	struct net_response r;
	struct fault f = {0};
	char url[SERVER_URL_SIZE];
	ck_assert_msg(netbed_ask(&l, server_url(&s, "/", url), &r, &f) == FAULT_NONE, "%s", f.text);
	ck_assert_str_eq(r.body.at, "direct");
	net_response_free(&r);
	server_stop(&s);
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
		struct net_limits l = netbed_limits();
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
		ck_assert_msg(code == FAULT_NONE || code == FAULT_MEMORY, "allocation %ld: %d: %s", n, code, f.text);
		ck_assert_msg(hit || code == FAULT_NONE, "no allocation was refused, yet: %s", f.text);
		net_close(net);
		server_stop(&s);
	}
	ck_assert_msg(!hit && n > 10, "%ld allocations tried", n);
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("net: faults");
	TCase *t = tcase_create("get");
	tcase_set_timeout(t, 60);
#define LOOP(test, rows) tcase_add_loop_test(t, test, 0, (int)(sizeof(rows) / sizeof((rows)[0])))
	LOOP(bad, bad_rows);
	LOOP(gzip, gzip_rows);
	LOOP(header_size, header_rows);
	LOOP(private_hosts, private_rows);
#undef LOOP
	tcase_add_test(t, header_size_of_each_hop);
	tcase_add_test(t, nobody_listens);
	tcase_add_test(t, https_is_not_spoken);
	tcase_add_test(t, too_slow);
	tcase_add_test(t, loopback_http_is_off_unless_asked_for);
	tcase_add_test(t, proxy_of_the_environment_does_not_see_the_loopback);
	tcase_add_test(t, memory_runs_out);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
