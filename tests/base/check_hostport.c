#include "base/hostport.h"

#include <string.h>

#include "lib/harness.h"

/* RFC 3986 3.2.2 and 3.2.3 */
static const struct {
	const char *text, *host; /* NULL: refused */
	int port;
} rows[] = {
    {"mail.example.org", "mail.example.org", 0},
    {"mail.example.org:587", "mail.example.org", 587},
    {"a:1", "a", 1},
    {"a:65535", "a", 65535},
    {"192.0.2.7:25", "192.0.2.7", 25},
    {"[2001:db8::7]", "[2001:db8::7]", 0},
    {"[::1]:25", "[::1]", 25},
    {"", NULL, 0},
    {":25", NULL, 0},
    {"a:", NULL, 0},
    {"a:0", NULL, 0},
    {"a:65536", NULL, 0},
    {"a:+25", NULL, 0},
    {"a:25x", NULL, 0},
    {"a:25:25", NULL, 0},
    {"a:99999999999999999999", NULL, 0},
    {"a/b", NULL, 0},
    {"a b", NULL, 0},
    {"a\r\nb", NULL, 0},
    {"u@a", NULL, 0},
    {"a%00", NULL, 0},
    {"\xc3\xa4.example", NULL, 0},
    {"[::1", NULL, 0},
    {"[]", NULL, 0},
    {"[a]25", NULL, 0},
    {"[name]", NULL, 0},
    {"[fe80::1%lo]", NULL, 0},
};

START_TEST(parse)
{
	char host[HOSTPORT_HOST_SIZE] = "";
	int port = -1;
	ROW_INT(rows[_i].text, hostport_parse(rows[_i].text, host, &port), rows[_i].host != NULL);
	if (rows[_i].host == NULL)
		return;
	ROW_STR(rows[_i].text, host, rows[_i].host);
	ROW_INT(rows[_i].text, port, rows[_i].port);
}
END_TEST

START_TEST(length)
{
	char text[HOSTPORT_HOST_SIZE + 1], host[HOSTPORT_HOST_SIZE];
	int port;
	memset(text, 'a', sizeof text);
	text[HOSTPORT_HOST_SIZE - 1] = '\0';
	ck_assert(hostport_parse(text, host, &port));
	ck_assert_str_eq(host, text);
	text[HOSTPORT_HOST_SIZE - 1] = 'a';
	text[HOSTPORT_HOST_SIZE] = '\0';
	ck_assert(!hostport_parse(text, host, &port));
}
END_TEST

/* RFC 1122 3.2.1.3 (g), RFC 4291 2.5.3 */
static const struct {
	const char *host;
	bool is;
} loopback[] = {
    {"127.0.0.1", true},  {"127.255.0.9", true},         {"[::1]", true},       {"localhost", false},
    {"128.0.0.1", false}, {"126.255.255.255", false},    {"[::2]", false},      {"::1", false},
    {"127.1", false},     {"127.0.0.1.example", false},  {"2130706433", false}, {"", false},
    {"0.0.0.0", false},   {"[::ffff:127.0.0.1]", false},
};

START_TEST(is_loopback)
{
	ROW_INT(loopback[_i].host, hostport_is_loopback(loopback[_i].host), loopback[_i].is);
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("hostport");
	TCase *c = tcase_create("hostport");
	tcase_add_loop_test(c, parse, 0, (int)(sizeof rows / sizeof rows[0]));
	tcase_add_test(c, length);
	tcase_add_loop_test(c, is_loopback, 0, (int)(sizeof loopback / sizeof loopback[0]));
	suite_add_tcase(s, c);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
