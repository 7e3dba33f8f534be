#include "facts/mail.h"

#include <string.h>

#include "lib/harness.h"

#define A10 "aaaaaaaaaa"
#define A60 A10 A10 A10 A10 A10 A10

/* RFC 5321 4.1.2 and 4.5.3.1, RFC 5322 3.2.3 (atext), RFC 1035 2.3.4; what is refused of them is said in the header. */
static const struct {
	const char *address;
	bool fine;
} addresses[] = {
    {"grower@example.org", true},
    {"g@localhost", true},
    {"first.last@example.org", true},
    {"a+b@example.org", true},
    {"!#$%&'*+-/=?^_`{|}~@example.org", true},
    {"-f@example.org", true},
    {"grower@xn--mller-kva.example", true},
    {"grower@1.example", true},
    {A60 "aaaa@example.org", true},
    {A60 "aaaaa@example.org", false},
    {"a@" A60 "aaa.example", true},
    {"a@" A60 "aaaa.example", false},
    {"", false},
    {"@", false},
    {"grower", false},
    {"grower@", false},
    {"@example.org", false},
    {"a@b@example.org", false},
    {"grower@@example.org", false},
    {".a@example.org", false},
    {"a.@example.org", false},
    {"a..b@example.org", false},
    {"a@.example.org", false},
    {"a@example.org.", false},
    {"a@example..org", false},
    {"a@-example.org", false},
    {"a@example-.org", false},
    {"a@example.-org", false},
    {"a@example.org-", false},
    {"a@exa_mple.org", false},
    {"a@[192.0.2.1]", false},
    {"\"a b\"@example.org", false},
    {"\"a\"@example.org", false},
    {"a\\b@example.org", false},
    {"a(b)@example.org", false},
    {"a,b@example.org", false},
    {"a;b@example.org", false},
    {"a:b@example.org", false},
    {"a<b@example.org", false},
    {"<a@example.org>", false},
    {"Name <a@example.org>", false},
    {"a@example.org,b@example.org", false},
    {"a@example.org b@example.org", false},
    {" a@example.org", false},
    {"a@example.org ", false},
    {"a@example.org\n", false},
    {"a@example.org\r\nBcc: b@example.org", false},
    {"a\t@example.org", false},
    {"a\x01@example.org", false},
    {"a\x7f@example.org", false},
    {"gr\xc3\xb6wer@example.org", false},
    {"a@ex\xc3\xa4mple.org", false},
};

START_TEST(address)
{
	struct fault f = {0};
	const char *row = addresses[_i].address;
	ROW_INT(row, mail_address_check(row, &f), addresses[_i].fine ? FAULT_NONE : FAULT_CONFIG);
	ROW_INT(row, f.text[0] == '\0', addresses[_i].fine);
}
END_TEST

/* 254 bytes fit between the < and > of a path of 256. */
START_TEST(length)
{
	char text[300];
	struct fault f = {0};
	memset(text, 'a', sizeof text);
	for (size_t i = 10; i < sizeof text; i += 50)
		text[i] = i == 10 ? '@' : '.';
	text[254] = '\0';
	ck_assert_msg(mail_address_check(text, &f) == FAULT_NONE, "%s", f.text);
	text[254] = 'a';
	text[255] = '\0';
	ck_assert_int_eq(mail_address_check(text, &f), FAULT_CONFIG);
	ck_assert_str_eq(f.text, "the address has 255 bytes; at most 254");
}
END_TEST

static const struct {
	const char *url, *host; /* NULL: refused */
	int port;
	bool tls;
} servers[] = {
    {"smtp://mail.example.org", "mail.example.org", 587, false},
    {"smtps://mail.example.org", "mail.example.org", 465, true},
    {"smtp://mail.example.org:25", "mail.example.org", 25, false},
    {"smtps://[2001:db8::1]:4650", "[2001:db8::1]", 4650, true},
    {"mail.example.org", NULL, 0, false},
    {"SMTP://mail.example.org", NULL, 0, false},
    {"http://mail.example.org", NULL, 0, false},
    {"smtp:mail.example.org", NULL, 0, false},
    {"smtp://", NULL, 0, false},
    {"smtp://mail.example.org/", NULL, 0, false},
    {"smtp://a:b@mail.example.org", NULL, 0, false},
    {"smtp://mail.example.org?x", NULL, 0, false},
    {"smtp://mail.example.org\r\n", NULL, 0, false},
};

START_TEST(server)
{
	struct mail_server s;
	const char *row = servers[_i].url;
	ROW_INT(row, mail_server_parse(row, &s), servers[_i].host != NULL);
	if (servers[_i].host == NULL)
		return;
	ROW_STR(row, s.host, servers[_i].host);
	ROW_INT(row, s.port, servers[_i].port);
	ROW_INT(row, s.tls, servers[_i].tls);
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("mail");
	TCase *c = tcase_create("mail");
	tcase_add_loop_test(c, address, 0, (int)(sizeof addresses / sizeof addresses[0]));
	tcase_add_test(c, length);
	tcase_add_loop_test(c, server, 0, (int)(sizeof servers / sizeof servers[0]));
	suite_add_tcase(s, c);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
