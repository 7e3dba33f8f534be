/*
 * Addresses behind which no public service can be: a server that names one, or is
 * redirected to one, would have us ask in the grower's own house.
 *
 * Not here: whether the guard stands at all (net).
 */
#ifndef NET_GUARD_H
#define NET_GUARD_H

#include <stdbool.h>
#include <stddef.h>

#include <curl/curl.h>
#include <sys/socket.h>

/*
 * What kind of address this is ("a private one"), or NULL for one of the public internet.
 *
 * An IPv6 address that carries an IPv4 one (mapped, compatible, NAT64, 6to4) is what that is.
 * Families other than IPv4 and IPv6 are never public.
 *
 * Source  IANA IPv4 and IPv6 special-purpose address registries: the blocks that are not globally
 *         reachable (RFC 6890, RFC 1918, RFC 6598, RFC 4193 and as marked in the table); multicast
 *         RFC 5771 and RFC 4291; site-local RFC 3879.  A few anycast addresses that the registries
 *         except within 192.0.0.0/24 and 2001::/23 serve no web and are refused with their block.
 */
const char *guard_private(const struct sockaddr *at);

/* The same of a host as an address of the web has it: a literal one, or localhost (RFC 6761 6.3). */
const char *guard_private_host(const char *host);

enum { GUARD_SHOWN_SIZE = 48 };

/* What became of the sockets of one transfer. */
struct guard {
	bool off;
	size_t opened;
	const char *refused; /* the last refused one's kind; NULL: none */
	char address[GUARD_SHOWN_SIZE];
};

/* For CURLOPT_OPENSOCKETFUNCTION, with a struct guard. */
curl_socket_t guard_socket(void *guard, curlsocktype purpose, struct curl_sockaddr *to);

#endif
