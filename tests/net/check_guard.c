#include <arpa/inet.h>
#include <netinet/in.h>
#include <string.h>
#include <unistd.h>

#include "lib/harness.h"
#include "net/guard.h"

union address {
	struct sockaddr any;
	struct sockaddr_in v4;
	struct sockaddr_in6 v6;
};

static union address address_of(const char *text)
{
	union address at;
	memset(&at, 0, sizeof at);
	if (strchr(text, ':') == NULL) {
		at.v4.sin_family = AF_INET;
		ck_assert_int_eq(inet_pton(AF_INET, text, &at.v4.sin_addr), 1);
	} else {
		at.v6.sin6_family = AF_INET6;
		ck_assert_int_eq(inet_pton(AF_INET6, text, &at.v6.sin6_addr), 1);
	}
	return at;
}

/* First and last address of each block, and its neighbours where those are public ("" where not). */
static const struct range_row {
	const char *source, *before, *first, *last, *after;
} range_rows[] = {
    /* IANA IPv4 special-purpose address registry, and RFC 5771 for multicast */
    {"0.0.0.0/8, RFC 791", "", "0.0.0.0", "0.255.255.255", "1.0.0.0"},
    {"10.0.0.0/8, RFC 1918", "9.255.255.255", "10.0.0.0", "10.255.255.255", "11.0.0.0"},
    {"100.64.0.0/10, RFC 6598", "100.63.255.255", "100.64.0.0", "100.127.255.255", "100.128.0.0"},
    {"127.0.0.0/8, RFC 1122", "126.255.255.255", "127.0.0.0", "127.255.255.255", "128.0.0.0"},
    {"169.254.0.0/16, RFC 3927", "169.253.255.255", "169.254.0.0", "169.254.255.255", "169.255.0.0"},
    {"172.16.0.0/12, RFC 1918", "172.15.255.255", "172.16.0.0", "172.31.255.255", "172.32.0.0"},
    {"192.0.0.0/24, RFC 6890", "191.255.255.255", "192.0.0.0", "192.0.0.255", "192.0.1.0"},
    {"192.0.2.0/24, RFC 5737", "192.0.1.255", "192.0.2.0", "192.0.2.255", "192.0.3.0"},
    {"192.168.0.0/16, RFC 1918", "192.167.255.255", "192.168.0.0", "192.168.255.255", "192.169.0.0"},
    {"198.18.0.0/15, RFC 2544", "198.17.255.255", "198.18.0.0", "198.19.255.255", "198.20.0.0"},
    {"198.51.100.0/24, RFC 5737", "198.51.99.255", "198.51.100.0", "198.51.100.255", "198.51.101.0"},
    {"203.0.113.0/24, RFC 5737", "203.0.112.255", "203.0.113.0", "203.0.113.255", "203.0.114.0"},
    {"224.0.0.0/4, RFC 5771", "223.255.255.255", "224.0.0.0", "239.255.255.255", ""},
    {"240.0.0.0/4, RFC 1112", "", "240.0.0.0", "255.255.255.255", ""},
    /* IANA IPv6 special-purpose address registry, RFC 4291 for link-local and multicast, RFC 3879 for site-local */
    {"::/128, RFC 4291", "", "::", "::", ""},
    {"::1/128, RFC 4291", "", "::1", "::1", ""},
    {"64:ff9b:1::/48, RFC 8215", "64:ff9b:0:ffff:ffff:ffff:ffff:ffff",
     "64:ff9b:1::", "64:ff9b:1:ffff:ffff:ffff:ffff:ffff", "64:ff9b:2::"},
    {"100::/64, RFC 6666", "ff:ffff:ffff:ffff:ffff:ffff:ffff:ffff", "100::", "100::ffff:ffff:ffff:ffff", "100:0:0:1::"},
    {"2001::/23, RFC 2928", "2000:ffff:ffff:ffff:ffff:ffff:ffff:ffff",
     "2001::", "2001:1ff:ffff:ffff:ffff:ffff:ffff:ffff", "2001:200::"},
    {"2001:db8::/32, RFC 3849", "2001:db7:ffff:ffff:ffff:ffff:ffff:ffff",
     "2001:db8::", "2001:db8:ffff:ffff:ffff:ffff:ffff:ffff", "2001:db9::"},
    {"3fff::/20, RFC 9637", "3ffe:ffff:ffff:ffff:ffff:ffff:ffff:ffff",
     "3fff::", "3fff:fff:ffff:ffff:ffff:ffff:ffff:ffff", "3fff:1000::"},
    {"5f00::/16, RFC 9602", "5eff:ffff:ffff:ffff:ffff:ffff:ffff:ffff",
     "5f00::", "5f00:ffff:ffff:ffff:ffff:ffff:ffff:ffff", "5f01::"},
    {"fc00::/7, RFC 4193", "fbff:ffff:ffff:ffff:ffff:ffff:ffff:ffff",
     "fc00::", "fdff:ffff:ffff:ffff:ffff:ffff:ffff:ffff", "fe00::"},
    {"fe80::/10, RFC 4291", "fe7f:ffff:ffff:ffff:ffff:ffff:ffff:ffff",
     "fe80::", "febf:ffff:ffff:ffff:ffff:ffff:ffff:ffff", ""},
    {"fec0::/10, RFC 3879", "", "fec0::", "feff:ffff:ffff:ffff:ffff:ffff:ffff:ffff", ""},
    {"ff00::/8, RFC 4291", "", "ff00::", "ffff:ffff:ffff:ffff:ffff:ffff:ffff:ffff", ""},
    /* IPv4 within IPv6, at the edges of 172.16.0.0/12 */
    {"mapped, RFC 4291 2.5.5.2", "::ffff:172.15.255.255", "::ffff:172.16.0.0", "::ffff:172.31.255.255",
     "::ffff:172.32.0.0"},
    {"compatible, RFC 4291 2.5.5.1", "::172.15.255.255", "::172.16.0.0", "::172.31.255.255", "::172.32.0.0"},
    {"translated, RFC 6052", "64:ff9b::172.15.255.255", "64:ff9b::172.16.0.0", "64:ff9b::172.31.255.255",
     "64:ff9b::172.32.0.0"},
    {"6to4, RFC 3056", "2002:ac0f:ffff:ffff:ffff:ffff:ffff:ffff",
     "2002:ac10::", "2002:ac1f:ffff:ffff:ffff:ffff:ffff:ffff", "2002:ac20::"},
};

START_TEST(ranges)
{
	const struct range_row *row = &range_rows[_i];
	const struct {
		const char *text;
		bool inside;
	} points[] = {{row->before, false}, {row->first, true}, {row->last, true}, {row->after, false}};
	for (size_t i = 0; i < sizeof points / sizeof points[0]; i++) {
		if (points[i].text[0] == '\0')
			continue;
		union address at = address_of(points[i].text);
		ROW_MSG((guard_private(&at.any) != NULL) == points[i].inside, "%s: %s", row->source, points[i].text);
	}
}
END_TEST

/* What the word is, and that of everything between the edges. */
static const struct kind_row {
	const char *host, *kind; /* as an address of the web has it; "": public */
} kind_rows[] = {
    {"10.1.2.3", "a private one"},
    {"100.100.0.1", "a carrier's private one"},
    {"127.0.0.1", "a loopback one"},
    {"169.254.169.254", "a link-local one"},
    {"172.20.0.1", "a private one"},
    {"192.168.1.1", "a private one"},
    {"224.0.0.251", "a multicast one"},
    {"0.0.0.0", "an unspecified one"},
    {"8.8.8.8", ""},
    {"[::]", "an unspecified one"},
    {"[::1]", "a loopback one"},
    {"[::ffff:127.0.0.1]", "a loopback one"},
    {"[::ffff:8.8.8.8]", ""},
    {"[64:ff9b::a00:1]", "a private one"},
    {"[2002:7f00:1::1]", "a loopback one"},
    {"[fd12:3456::1]", "a private one"},
    {"[fe80::1%eth0]", "a link-local one"},
    {"[ff02::1]", "a multicast one"},
    {"[2606:4700::1]", ""},
    {"localhost", "a loopback one"},
    {"LOCALHOST.", "a loopback one"},
    {"printer.localhost", "a loopback one"},
    {"notlocalhost", ""},
    {"localhost.example", ""},
    {"weather.example", ""},
    {"10.0.0.1.example", ""},
    {"[", ""},
    {"[fd12:3456::1:2:3:4:5:6:7:8:9:10:11:12:13:14:15:16:17:18:19]", ""},
    {"", ""},
};

START_TEST(kinds)
{
	const struct kind_row *row = &kind_rows[_i];
	const char *kind = guard_private_host(row->host);
	ROW_STR(row->host, kind != NULL ? kind : "", row->kind);
}
END_TEST

START_TEST(other_families_are_not_public)
{
	struct sockaddr at = {.sa_family = AF_UNIX};
	ck_assert_ptr_nonnull(guard_private(&at));
}
END_TEST

static struct guard asked(bool off, const char *text, bool *opened)
{
	/* libcurl leaves room behind the last member for the longer addresses. */
	union {
		struct curl_sockaddr to;
		char room[sizeof(struct curl_sockaddr) + sizeof(struct sockaddr_in6)];
	} u;
	union address at = address_of(text);
	memset(&u, 0, sizeof u);
	u.to.family = at.any.sa_family;
	u.to.socktype = SOCK_STREAM;
	memcpy(u.room + offsetof(struct curl_sockaddr, addr), &at, sizeof at);
	struct guard g = {.off = off};
	curl_socket_t fd = guard_socket(&g, CURLSOCKTYPE_IPCXN, &u.to);
	*opened = fd != CURL_SOCKET_BAD;
	if (*opened)
		close(fd);
	return g;
}

static const struct socket_row {
	const char *address, *refused, *shown; /* "": none */
	bool off;
	size_t opened;
} socket_rows[] = {
    {"10.0.0.1", "a private one", "10.0.0.1", false, 0},
    {"10.0.0.1", "", "", true, 1},
    {"fd00::1", "a private one", "fd00::1", false, 0},
    {"::ffff:192.168.0.1", "a private one", "::ffff:192.168.0.1", false, 0},
    {"8.8.8.8", "", "", false, 1},
};

START_TEST(sockets)
{
	const struct socket_row *row = &socket_rows[_i];
	bool opened;
	struct guard g = asked(row->off, row->address, &opened);
	ROW_INT(row->address, opened, row->opened == 1);
	ROW_INT(row->address, g.opened, row->opened);
	ROW_STR(row->address, g.refused != NULL ? g.refused : "", row->refused);
	ROW_STR(row->address, g.address, row->shown);
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("guard");
	TCase *t = tcase_create("addresses");
#define LOOP(test, rows) tcase_add_loop_test(t, test, 0, (int)(sizeof(rows) / sizeof((rows)[0])))
	LOOP(ranges, range_rows);
	LOOP(kinds, kind_rows);
	LOOP(sockets, socket_rows);
#undef LOOP
	tcase_add_test(t, other_families_are_not_public);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
