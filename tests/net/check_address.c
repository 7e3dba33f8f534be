#include <stdbool.h>
#include <string.h>

#include "lib/harness.h"
#include "net/address.h"

static const struct {
	const char *url;
	bool loopback;
	enum fault_code code; /* of address_check, loopback http allowed */
	const char *shown;
} rows[] = {
    {"https://api.example.org/points/44.31,-89.9", false, FAULT_NONE, "api.example.org/points/*"},
    {"https://api.example.org/a/2.0/compact?lat=44.31&lon=-89.9", false, FAULT_NONE, "api.example.org/a/*/compact"},
    {"https://api.example.org/p/44.31%2C-89.9/x", false, FAULT_NONE, "api.example.org/p/*/x"},
    {"https://api.example.org", false, FAULT_NONE, "api.example.org/"},
    {"https://api.example.org/v1/grid/GRB?x#y", false, FAULT_NONE, "api.example.org/v1/grid/GRB"},
    {"http://127.0.0.1:8080/a", true, FAULT_NONE, "127.0.0.1:8080/a"},
    {"http://127.255.0.9/", true, FAULT_NONE, "127.255.0.9/"},
    {"http://[::1]:8080/a", true, FAULT_NONE, "[::1]:8080/a"},
    {"https://127.0.0.1/a", true, FAULT_NONE, "127.0.0.1/a"},
    {"http://[::2]/a", false, FAULT_CONFIG, "[::2]/a"},
    {"http://128.0.0.1/a", false, FAULT_CONFIG, "128.0.0.1/a"},
    {"http://0.0.0.0/a", false, FAULT_CONFIG, "0.0.0.0/a"},
    {"http://localhost/a", false, FAULT_CONFIG, "localhost/a"},
    {"http://127.0.0.1.example.org/a", false, FAULT_CONFIG, "127.0.0.1.example.org/a"},
    {"http://127.0.0.1@example.org/a", false, FAULT_CONFIG, "example.org/a"},
    {"http://example.org#@127.0.0.1/", false, FAULT_CONFIG, "example.org/"},
    {"http://example.org?@127.0.0.1/", false, FAULT_CONFIG, "example.org/"},
    {"ftp://127.0.0.1/a", false, FAULT_CONFIG, "127.0.0.1/a"},
    {"mailto:grower@example.org", false, FAULT_CONFIG, NULL},
    {"", false, FAULT_CONFIG, "an address that cannot be read"},
    {"https://", false, FAULT_CONFIG, "an address that cannot be read"},
};

START_TEST(addresses)
{
	const char *url = rows[_i].url;
	struct fault f = {0};
	char buf[128];
	struct text t;
	text_over(&t, buf, sizeof buf);
	ROW_INT(url, address_is_loopback(url), rows[_i].loopback);
	ROW_INT(url, address_check(url, true, &f), rows[_i].code);
	address_shown(url, &t);
	if (rows[_i].shown != NULL)
		ROW_STR(url, buf, rows[_i].shown);
}
END_TEST

static const struct {
	const char *a, *b;
	bool same;
} pairs[] = {
    {"https://example.org/a", "https://example.org/b?c", true},
    {"https://example.org/a", "https://EXAMPLE.org:443/b", true},
    {"https://example.org/a", "https://example.org:444/a", false},
    {"https://example.org/a", "http://example.org/a", false},
    {"https://example.org/a", "https://example.org.example.net/a", false},
    {"https://example.org/a", "https://example.org@example.net/a", false},
    {"http://127.0.0.1:80/a", "http://127.0.0.1/a", true},
    {"http://127.0.0.1:8080/a", "http://127.0.0.1:8081/a", false},
    {"", "", false},
};

START_TEST(same_hosts)
{
	ROW_INT(pairs[_i].b, address_same_host(pairs[_i].a, pairs[_i].b), pairs[_i].same);
	ROW_INT(pairs[_i].b, address_same_host(pairs[_i].b, pairs[_i].a), pairs[_i].same);
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("address");
	TCase *t = tcase_create("address");
	tcase_add_loop_test(t, addresses, 0, sizeof rows / sizeof rows[0]);
	tcase_add_loop_test(t, same_hosts, 0, sizeof pairs / sizeof pairs[0]);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
