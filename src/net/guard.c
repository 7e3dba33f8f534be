#include "net/guard.h"

#include <arpa/inet.h>
#include <netinet/in.h>
#include <stdint.h>
#include <string.h>
#include <strings.h>

enum { V4_BYTES = 4, V6_BYTES = 16 };

struct range {
	const char *first; /* as inet_pton reads it */
	unsigned bits;
	const char *kind;  /* NULL: the IPv4 address in it decides */
	size_t v4_in_byte; /* where that begins */
};

static const struct range v4_ranges[] = {
    {"0.0.0.0", 8, "an unspecified one", 0},          /* RFC 791 */
    {"10.0.0.0", 8, "a private one", 0},              /* RFC 1918 */
    {"100.64.0.0", 10, "a carrier's private one", 0}, /* RFC 6598 */
    {"127.0.0.0", 8, "a loopback one", 0},            /* RFC 1122 */
    {"169.254.0.0", 16, "a link-local one", 0},       /* RFC 3927 */
    {"172.16.0.0", 12, "a private one", 0},           /* RFC 1918 */
    {"192.0.0.0", 24, "a reserved one", 0},           /* RFC 6890 */
    {"192.0.2.0", 24, "a documentation one", 0},      /* RFC 5737 */
    {"192.168.0.0", 16, "a private one", 0},          /* RFC 1918 */
    {"198.18.0.0", 15, "a benchmarking one", 0},      /* RFC 2544 */
    {"198.51.100.0", 24, "a documentation one", 0},   /* RFC 5737 */
    {"203.0.113.0", 24, "a documentation one", 0},    /* RFC 5737 */
    {"224.0.0.0", 4, "a multicast one", 0},           /* RFC 5771 */
    {"240.0.0.0", 4, "a reserved one", 0},            /* RFC 1112; the broadcast address too */
};

/* The first row that holds an address decides. */
static const struct range v6_ranges[] = {
    {"::", 128, "an unspecified one", 0},         /* RFC 4291 */
    {"::1", 128, "a loopback one", 0},            /* RFC 4291 */
    {"::", 96, NULL, 12},                         /* compatible, RFC 4291 2.5.5.1 */
    {"::ffff:0.0.0.0", 96, NULL, 12},             /* mapped, RFC 4291 2.5.5.2 */
    {"64:ff9b::", 96, NULL, 12},                  /* translated, RFC 6052 */
    {"64:ff9b:1::", 48, "a private one", 0},      /* translated within a network, RFC 8215 */
    {"100::", 64, "a discarding one", 0},         /* RFC 6666 */
    {"2001::", 23, "a reserved one", 0},          /* RFC 2928 */
    {"2001:db8::", 32, "a documentation one", 0}, /* RFC 3849 */
    {"2002::", 16, NULL, 2},                      /* 6to4, RFC 3056 */
    {"3fff::", 20, "a documentation one", 0},     /* RFC 9637 */
    {"5f00::", 16, "a reserved one", 0},          /* RFC 9602 */
    {"fc00::", 7, "a private one", 0},            /* unique local, RFC 4193 */
    {"fe80::", 10, "a link-local one", 0},        /* RFC 4291 */
    {"fec0::", 10, "a site-local one", 0},        /* RFC 3879 */
    {"ff00::", 8, "a multicast one", 0},          /* RFC 4291 */
};

static bool in_range(const unsigned char *at, const unsigned char *first, unsigned bits)
{
	unsigned whole = bits / 8, rest = bits % 8;
	if (memcmp(at, first, whole) != 0)
		return false;
	return rest == 0 || (at[whole] ^ first[whole]) >> (8 - rest) == 0;
}

static const struct range *range_of(int family, const unsigned char *at, const struct range *rows, size_t n)
{
	for (size_t i = 0; i < n; i++) {
		unsigned char first[V6_BYTES];
		if (inet_pton(family, rows[i].first, first) == 1 && in_range(at, first, rows[i].bits))
			return &rows[i];
	}
	return NULL;
}

static const char *v4_kind(const unsigned char *at)
{
	const struct range *r = range_of(AF_INET, at, v4_ranges, sizeof v4_ranges / sizeof v4_ranges[0]);
	return r != NULL ? r->kind : NULL;
}

static const char *v6_kind(const unsigned char *at)
{
	const struct range *r = range_of(AF_INET6, at, v6_ranges, sizeof v6_ranges / sizeof v6_ranges[0]);
	if (r == NULL)
		return NULL;
	return r->kind != NULL ? r->kind : v4_kind(at + r->v4_in_byte);
}

/* The bytes of an address, aligned for nobody; 0: neither IPv4 nor IPv6. */
static size_t bytes_of(const struct sockaddr *at, unsigned char bytes[static V6_BYTES])
{
	struct sockaddr_in v4;
	struct sockaddr_in6 v6;
	switch (at->sa_family) {
	case AF_INET:
		memcpy(&v4, at, sizeof v4);
		memcpy(bytes, &v4.sin_addr, V4_BYTES);
		return V4_BYTES;
	case AF_INET6:
		memcpy(&v6, at, sizeof v6);
		memcpy(bytes, &v6.sin6_addr, V6_BYTES);
		return V6_BYTES;
	default:
		return 0;
	}
}

const char *guard_private(const struct sockaddr *at)
{
	unsigned char bytes[V6_BYTES];
	switch (bytes_of(at, bytes)) {
	case V4_BYTES:
		return v4_kind(bytes);
	case V6_BYTES:
		return v6_kind(bytes);
	default:
		return "of no known family";
	}
}

static bool is_localhost(const char *host)
{
	static const char name[] = "localhost";
	size_t n = strlen(host), want = sizeof name - 1;
	if (n > 0 && host[n - 1] == '.')
		n--;
	if (n < want || strncasecmp(host + n - want, name, want) != 0)
		return false;
	return n == want || host[n - want - 1] == '.';
}

const char *guard_private_host(const char *host)
{
	unsigned char bytes[V6_BYTES];
	char inner[INET6_ADDRSTRLEN];
	size_t n = strlen(host);
	if (is_localhost(host))
		return "a loopback one";
	if (inet_pton(AF_INET, host, bytes) == 1)
		return v4_kind(bytes);
	if (n < 2 || host[0] != '[')
		return NULL;
	n = strcspn(host + 1, "%]"); /* a zone tells the interface, not the kind */
	if (n >= sizeof inner)
		return NULL;
	memcpy(inner, host + 1, n);
	inner[n] = '\0';
	return inet_pton(AF_INET6, inner, bytes) == 1 ? v6_kind(bytes) : NULL;
}

curl_socket_t guard_socket(void *guard, curlsocktype purpose, struct curl_sockaddr *to)
{
	struct guard *g = guard;
	unsigned char bytes[V6_BYTES];
	const char *kind = g->off ? NULL : guard_private(&to->addr);
	(void)purpose;
	if (kind == NULL) {
		g->opened++;
		return socket(to->family, to->socktype | SOCK_CLOEXEC, to->protocol);
	}
	g->refused = kind;
	if (bytes_of(&to->addr, bytes) == 0 || inet_ntop(to->family, bytes, g->address, sizeof g->address) == NULL)
		g->address[0] = '\0';
	return CURL_SOCKET_BAD;
}
