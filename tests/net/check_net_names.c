#include <arpa/inet.h>
#include <netdb.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "lib/harness.h"
#include "lib/netbed.h"
#include "lib/server.h"
#include "net/net.h"

/* ---- the names of this test's world: libcurl asks these in place of the C library's ---- */

static const struct name_row {
	const char *name, *address[2]; /* in the order of the answer */
} names[] = {
    {"private.example", {"10.0.0.1", NULL}},         {"loopback.example", {"127.0.0.1", NULL}},
    {"two.example", {"192.168.0.1", "169.254.0.1"}}, {"six.example", {"fd00::1", NULL}},
    {"six-loopback.example", {"::1", NULL}},
};

static struct addrinfo *entry(const char *address, const char *service)
{
	struct addrinfo *made = calloc(1, sizeof *made + sizeof(struct sockaddr_in6));
	if (made == NULL)
		abort();
	bool v6 = strchr(address, ':') != NULL;
	struct sockaddr_in v4 = {.sin_family = AF_INET, .sin_port = htons((in_port_t)strtol(service, NULL, 10))};
	struct sockaddr_in6 six = {.sin6_family = AF_INET6, .sin6_port = v4.sin_port};
	if (inet_pton(v6 ? AF_INET6 : AF_INET, address, v6 ? (void *)&six.sin6_addr : (void *)&v4.sin_addr) != 1)
		abort();
	made->ai_family = v6 ? AF_INET6 : AF_INET;
	made->ai_socktype = SOCK_STREAM;
	made->ai_protocol = IPPROTO_TCP;
	made->ai_addrlen = v6 ? sizeof six : sizeof v4;
	made->ai_addr = (struct sockaddr *)(void *)(made + 1);
	memcpy(made->ai_addr, v6 ? (void *)&six : (void *)&v4, made->ai_addrlen);
	return made;
}

int getaddrinfo(const char *restrict node, const char *restrict service, const struct addrinfo *restrict hints,
		struct addrinfo **restrict result)
{
	(void)hints;
	*result = NULL;
	struct addrinfo **end = result;
	for (size_t i = 0; i < sizeof names / sizeof names[0]; i++)
		for (size_t k = 0; k < 2 && strcmp(names[i].name, node) == 0 && names[i].address[k] != NULL; k++) {
			*end = entry(names[i].address[k], service != NULL ? service : "0");
			end = &(*end)->ai_next;
		}
	return *result != NULL ? 0 : EAI_NONAME;
}

void freeaddrinfo(struct addrinfo *a)
{
	while (a != NULL) {
		struct addrinfo *next = a->ai_next;
		free(a);
		a = next;
	}
}

/* ---- names that lead inside ---- */

static const struct inside_row {
	const char *url;
	enum fault_code code;
	const char *says;
	bool ipv6;
} inside_rows[] = {
    {"https://nobody.example/a", FAULT_TRY_LATER, "nobody.example/a: the host's name was not found", false},
    {"https://private.example/a", FAULT_UNAVAILABLE,
     "private.example/a: the host's address 10.0.0.1 is a private one: refused", false},
    {"https://loopback.example/a", FAULT_UNAVAILABLE, "the host's address 127.0.0.1 is a loopback one: refused", false},
    {"https://two.example/a", FAULT_UNAVAILABLE, "the host's address 169.254.0.1 is a link-local one: refused", false},
    {"https://six.example/a", FAULT_UNAVAILABLE, "the host's address fd00::1 is a private one: refused", true},
    {"https://six-loopback.example/a", FAULT_UNAVAILABLE, "the host's address ::1 is a loopback one: refused", true},
};

START_TEST(inside)
{
	const struct inside_row *row = &inside_rows[_i];
	if (row->ipv6 && !server_ipv6_possible())
		return;
	struct net_limits l = netbed_limits();
	l.connect_ms = l.total_ms = 5000; /* nothing here waits for them to pass */
	ROW_INT(row->url, netbed_refuses(row->url, &l, row->url, row->code, row->says), 0);
}
END_TEST

START_TEST(redirected_inside)
{
	const struct server_row script = {
	    .path = "/", .status = "302 Found", .headers = "Location: https://private.example/\r\n"};
	struct server s;
	server_start(&s, &script, 1);
	struct net_limits l = netbed_limits();
	l.connect_ms = l.total_ms = 5000;
	char url[SERVER_URL_SIZE];
	ck_assert_int_eq(netbed_refuses("302", &l, server_url(&s, "/", url), FAULT_UNAVAILABLE,
					"private.example/: the host's address 10.0.0.1 is a private one: refused"),
			 1);
	server_stop(&s);
}
END_TEST

/* A name as port 1 of the loopback, where nobody listens: tried, since it is allowed. */
START_TEST(inside_is_allowed)
{
	struct net_limits l = netbed_limits();
	l.allow_private = true;
	netbed_refuses("allowed", &l, "https://loopback.example:1/a", FAULT_TRY_LATER, "no connection");
}
END_TEST

/* ---- proxies: who named it, in which variable, and who is excepted ---- */

static const struct proxy_row {
	const char *name;
	bool own;
	const char *variable, *no_proxy;
	size_t asked;
	enum fault_code code;
	const char *says;
} proxy_rows[] = {
    {"of the limits", true, NULL, NULL, 1, FAULT_TRY_LATER, "503"},
    {"of the limits, without exception", true, NULL, "private.example", 1, FAULT_TRY_LATER, "503"},
    {"https_proxy", false, "https_proxy", NULL, 1, FAULT_TRY_LATER, "503"},
    {"HTTPS_PROXY", false, "HTTPS_PROXY", NULL, 1, FAULT_TRY_LATER, "503"},
    {"all_proxy", false, "all_proxy", NULL, 1, FAULT_TRY_LATER, "503"},
    {"ALL_PROXY", false, "ALL_PROXY", NULL, 1, FAULT_TRY_LATER, "503"},
    {"that of plain http is none of ours", false, "http_proxy", NULL, 0, FAULT_UNAVAILABLE, "10.0.0.1"},
    {"none", false, NULL, NULL, 0, FAULT_UNAVAILABLE, "10.0.0.1"},
};

START_TEST(proxies)
{
	const struct proxy_row *row = &proxy_rows[_i];
	const struct server_row script = {.path = "", .status = "503 Busy"};
	struct server s;
	server_start(&s, &script, 1);
	char proxy[SERVER_URL_SIZE];
	server_url(&s, "", proxy);
	struct net_limits l = netbed_limits();
	l.connect_ms = l.total_ms = 5000;
	l.proxy = row->own ? proxy : NULL;
	if (row->variable != NULL)
		ck_assert_int_eq(setenv(row->variable, proxy, 1), 0);
	if (row->no_proxy != NULL)
		ck_assert_int_eq(setenv("no_proxy", row->no_proxy, 1), 0);
	netbed_refuses(row->name, &l, "https://private.example/a", row->code, row->says);
	ROW_INT(row->name, server_asked(&s), row->asked);
	if (row->asked > 0)
		ROW_TRUE(row->name, strncmp(server_request(&s, 0), "CONNECT private.example:443 ", 28) == 0);
	server_stop(&s);
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("net: names");
	TCase *t = tcase_create("get");
	tcase_set_timeout(t, 60);
#define LOOP(test, rows) tcase_add_loop_test(t, test, 0, (int)(sizeof(rows) / sizeof((rows)[0])))
	LOOP(inside, inside_rows);
	LOOP(proxies, proxy_rows);
#undef LOOP
	tcase_add_test(t, redirected_inside);
	tcase_add_test(t, inside_is_allowed);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
