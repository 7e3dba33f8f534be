#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "lib/harness.h"
#include "lib/netbed.h"
#include "lib/server.h"
#include "lib/tlsserver.h"
#include "net/net.h"

enum { PATIENCE_MS = 10000 };

static char folder[SCRATCH_SIZE];

/* Once for all tests, in the parent. */
static void make_folder(void)
{
	scratch_make(folder);
	tlsserver_certificates(folder);
	tlsserver_answer(folder, "forecast", "HTTP/1.1 200 OK\r\nETag: \"v1\"\r\nContent-Length: 7\r\n\r\n{\"a\":1}");
	tlsserver_answer(folder, "moved",
			 "HTTP/1.1 302 Found\r\nLocation: /forecast\r\nContent-Length: 0\r\nConnection: close\r\n\r\n");
	tlsserver_answer(folder, "to-http",
			 "HTTP/1.1 302 Found\r\nLocation: http://localhost/\r\nContent-Length: 0\r\n\r\n");
}

static void remove_folder(void)
{
	scratch_remove(folder);
}

static struct net_limits tls_limits(char ca[static SCRATCH_SIZE])
{
	struct net_limits l = netbed_limits();
	scratch_path(folder, "ca.pem", ca);
	l.connect_ms = l.total_ms = PATIENCE_MS; /* nothing here waits for them to pass */
	l.ca_file = ca;
	l.allow_private = true;
	l.allow_loopback_http = false;
	return l;
}

static const struct fetched_row {
	const char *name, *file, *version;
	int requests;
} fetched_rows[] = {
    {"as it is", "forecast", NULL, 1},
    {"redirected within https", "moved", NULL, 2},
    {"TLS 1.2", "forecast", "-tls1_2", 1},
    {"TLS 1.3", "forecast", "-tls1_3", 1},
};

START_TEST(fetched)
{
	const struct fetched_row *row = &fetched_rows[_i];
	struct tlsserver s;
	char ca[SCRATCH_SIZE], url[TLSSERVER_URL_SIZE];
	struct net_limits l = tls_limits(ca);
	struct net_response r;
	struct fault f = {0};
	tlsserver_start(&s, folder, "right", row->version);
	ROW_STR(row->name,
		netbed_ask(&l, tlsserver_url(&s, "localhost", row->file, url), &r, &f) == FAULT_NONE ? "" : f.text, "");
	ROW_INT(row->name, r.status, 200);
	ROW_STR(row->name, r.body.at, "{\"a\":1}");
	ROW_STR(row->name, r.etag, "\"v1\"");
	ROW_INT(row->name, r.requests, row->requests);
	net_response_free(&r);
	tlsserver_stop(&s);
}
END_TEST

static const struct refused_row {
	const char *name, *certificate, *host, *file;
	const char *ca; /* NULL: the machine's */
	bool inside;
	enum fault_code code;
	const char *says; /* with libcurl's words for why, so that no certificate is refused for another reason */
} refused_rows[] = {
    {"nobody on this machine trusts it", "right", "localhost", "forecast", NULL, true, FAULT_UNAVAILABLE,
     "the certificate is not trusted (SSL certificate problem: unable to get local issuer"},
    {"of another CA", "right", "localhost", "forecast", "other-ca.pem", true, FAULT_UNAVAILABLE,
     "the certificate is not trusted (SSL certificate problem: unable to get local issuer"},
    {"for another name", "other-name", "localhost", "forecast", "ca.pem", true, FAULT_UNAVAILABLE,
     "the certificate is not trusted (SSL: no alternative certificate subject name matches"},
    {"for a name, not for the address", "right", "127.0.0.1", "forecast", "ca.pem", true, FAULT_UNAVAILABLE,
     "the certificate is not trusted (SSL: no alternative certificate subject name matches"},
    {"expired", "expired", "localhost", "forecast", "ca.pem", true, FAULT_UNAVAILABLE,
     "the certificate is not trusted (SSL certificate problem: certificate has expired"},
    {"no such file of trusted certificates", "right", "localhost", "forecast", "none.pem", true, FAULT_CONFIG,
     "the file of trusted certificates cannot be read"},
    {"redirected to http", "right", "localhost", "to-http", "ca.pem", true, FAULT_UNAVAILABLE,
     "redirect refused: localhost: plain http is not allowed"},
    {"a loopback name", "right", "localhost", "forecast", "ca.pem", false, FAULT_UNAVAILABLE,
     "the host's address localhost is a loopback one: refused"},
    {"a loopback address", "right", "127.0.0.1", "forecast", "ca.pem", false, FAULT_UNAVAILABLE,
     "the host's address 127.0.0.1 is a loopback one: refused"},
};

START_TEST(refused)
{
	const struct refused_row *row = &refused_rows[_i];
	struct tlsserver s;
	char ca[SCRATCH_SIZE], url[TLSSERVER_URL_SIZE];
	struct net_limits l = tls_limits(ca);
	if (row->ca != NULL)
		scratch_path(folder, row->ca, ca);
	else
		l.ca_file = NULL;
	l.allow_private = row->inside;
	tlsserver_start(&s, folder, row->certificate, NULL);
	netbed_refuses(row->name, &l, tlsserver_url(&s, row->host, row->file, url), row->code, row->says);
	tlsserver_stop(&s);
}
END_TEST

/*
 * The machine's own settings would refuse these versions too: settings that do not are put in their
 * place, so that it is our minimum that holds.
 */
START_TEST(old_versions)
{
	static const char *const versions[] = {"-tls1", "-tls1_1"};
	struct tlsserver s;
	char ca[SCRATCH_SIZE], settings[SCRATCH_SIZE], url[TLSSERVER_URL_SIZE];
	tlsserver_answer(folder, "lenient.cnf",
			 "openssl_conf = a\n[a]\nssl_conf = b\n[b]\nsystem_default = c\n[c]\nMinProtocol = TLSv1\n"
			 "CipherString = DEFAULT:@SECLEVEL=0\n");
	scratch_path(folder, "lenient.cnf", settings);
	ck_assert_int_eq(setenv("OPENSSL_CONF", settings, 1), 0);
	struct net_limits l = tls_limits(ca);
	tlsserver_start(&s, folder, "right", versions[_i]);
	netbed_refuses(versions[_i], &l, tlsserver_url(&s, "localhost", "forecast", url), FAULT_TRY_LATER,
		       "no secure connection");
	tlsserver_stop(&s);
}
END_TEST

/* From plain http on the loopback, which a description may allow, to https on the loopback, which none may. */
START_TEST(redirected_inside)
{
	struct tlsserver tls;
	struct server s;
	char ca[SCRATCH_SIZE], url[SERVER_URL_SIZE], to[TLSSERVER_URL_SIZE], headers[TLSSERVER_URL_SIZE + 16];
	tlsserver_start(&tls, folder, "right", NULL);
	snprintf(headers, sizeof headers, "Location: %s\r\n", tlsserver_url(&tls, "localhost", "forecast", to));
	const struct server_row script = {.path = "/", .status = "302 Found", .headers = headers};
	server_start(&s, &script, 1);
	struct net_limits l = tls_limits(ca);
	l.allow_loopback_http = true;
	struct net_response r;
	struct fault f = {0};
	ck_assert_msg(netbed_ask(&l, server_url(&s, "/", url), &r, &f) == FAULT_NONE, "%s", f.text);
	ck_assert_str_eq(r.body.at, "{\"a\":1}");
	net_response_free(&r);
	l.allow_private = false;
	ck_assert_int_eq(netbed_refuses("inside", &l, url, FAULT_UNAVAILABLE,
					"redirect refused: the host's address localhost is a loopback one: refused"),
			 1);
	server_stop(&s);
	tlsserver_stop(&tls);
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("net: TLS");
	TCase *t = tcase_create("get");
	tcase_set_timeout(t, 60);
	tcase_add_unchecked_fixture(t, make_folder, remove_folder);
#define LOOP(test, rows) tcase_add_loop_test(t, test, 0, (int)(sizeof(rows) / sizeof((rows)[0])))
	LOOP(fetched, fetched_rows);
	LOOP(refused, refused_rows);
#undef LOOP
	tcase_add_loop_test(t, old_versions, 0, 2);
	tcase_add_test(t, redirected_inside);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
