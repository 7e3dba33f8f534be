/*
 * The scripted server that other tests rely on: which row answers which request, on which connection.
 */
#include <stdio.h>
#include <string.h>

#include "lib/harness.h"
#include "lib/netbed.h"
#include "lib/server.h"

/* The status of one more request, 0 for a fault. */
static int status_of(struct net *net, const struct server *s, const char *path)
{
	struct net_response r;
	struct fault f = {0};
	char url[SERVER_URL_SIZE];
	struct net_request q = {.url = server_url(s, path, url)};
	int status = net_get(net, &q, &r, &f) == FAULT_NONE ? r.status : 0;
	net_response_free(&r);
	return status;
}

START_TEST(rows_by_number)
{
	static const struct server_row script[] = {
	    {.path = "/a", .status = "503 Down", .first = 3, .last = 5}, {.path = "/b", .act = SERVER_CLOSE, .last = 2},
	    {.path = "/a", .status = "429 Slower", .times = 1},          {.path = "/a", .status = "200 OK", .last = 8},
	    {.path = "/", .status = "404 Not Found", .first = 4},
	};
	static const struct {
		const char *path;
		int status;
	} asks[] = {{"/a", 429}, {"/b", 0},   {"/a", 503}, {"/b", 404}, {"/a", 503},
		    {"/a", 200}, {"/a", 200}, {"/a", 200}, {"/a", 404}};
	struct server s;
	server_start(&s, script, sizeof script / sizeof script[0]);
	struct net_limits l = netbed_limits();
	struct net *net = netbed_open(&l);
	for (size_t i = 0; i < sizeof asks / sizeof asks[0]; i++)
		ck_assert_msg(status_of(net, &s, asks[i].path) == asks[i].status, "request %zu", i + 1);
	ck_assert_uint_eq(server_asked(&s), sizeof asks / sizeof asks[0]);
	ck_assert_uint_eq(server_connection(&s, 8), 8);
	net_close(net);
	server_stop(&s);
}
END_TEST

/* A fortnight of three-hourly runs, each from a process of its own, asks a few hundred times. */
START_TEST(hundreds_of_requests)
{
	enum { RUNS = 112, REQUESTS = 5 };
	static const struct server_row script = {.path = "/", .act = SERVER_KEEP};
	struct server s;
	server_start_as(&s, &(struct server_how){.life_s = 60}, &script, 1);
	struct net_limits l = netbed_limits();
	for (size_t run = 0; run < RUNS; run++) {
		struct net *net = netbed_open(&l);
		for (size_t i = 0; i < REQUESTS; i++)
			ck_assert_int_eq(status_of(net, &s, "/"), 200);
		net_close(net);
	}
	ck_assert_uint_eq(server_asked(&s), RUNS * REQUESTS);
	for (size_t i = 0; i < RUNS * REQUESTS; i++) {
		ck_assert_msg(server_connection(&s, i) == i / REQUESTS, "request %zu on connection %zu", i,
			      server_connection(&s, i));
		ck_assert_ptr_eq(strstr(server_request(&s, i), "GET / HTTP/1.1\r\n"), server_request(&s, i));
	}
	server_stop(&s);
}
END_TEST

/* Several at once that keep their connections do not shut each other out. */
START_TEST(kept_side_by_side)
{
	enum { CLIENTS = 5, ROUNDS = 3 };
	static const struct server_row script = {.path = "/", .act = SERVER_KEEP};
	struct server s;
	server_start(&s, &script, 1);
	struct net_limits l = netbed_limits();
	struct net *net[CLIENTS];
	for (size_t c = 0; c < CLIENTS; c++)
		net[c] = netbed_open(&l);
	for (size_t round = 0; round < ROUNDS; round++)
		for (size_t c = 0; c < CLIENTS; c++)
			ck_assert_int_eq(status_of(net[c], &s, "/"), 200);
	for (size_t i = 0; i < CLIENTS * ROUNDS; i++)
		ck_assert_uint_eq(server_connection(&s, i), i % CLIENTS);
	for (size_t c = 0; c < CLIENTS; c++)
		net_close(net[c]);
	server_stop(&s);
}
END_TEST

START_TEST(its_host_in_the_answer)
{
	static const struct server_row script = {.path = "/", .act = SERVER_KEEP, .body = "http://@HOST@/next"};
	struct net_limits l = netbed_limits();
	for (int ipv6 = 0; ipv6 <= server_ipv6_possible(); ipv6++) {
		struct server s;
		struct net_response r;
		struct fault f = {0};
		char url[SERVER_URL_SIZE];
		server_start_as(&s, &(struct server_how){.ipv6 = ipv6 != 0}, &script, 1);
		ck_assert_msg(netbed_ask(&l, server_url(&s, "/next", url), &r, &f) == FAULT_NONE, "%s", f.text);
		ck_assert_str_eq(r.body.at, url);
		net_response_free(&r);
		server_stop(&s);
	}
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("server");
	TCase *t = tcase_create("script");
	tcase_set_timeout(t, 60);
	tcase_add_test(t, rows_by_number);
	tcase_add_test(t, hundreds_of_requests);
	tcase_add_test(t, kept_side_by_side);
	tcase_add_test(t, its_host_in_the_answer);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
