/*
 * Addresses of the web: which may be asked, and how they are shown.
 *
 * No traffic and no set-up of libcurl is needed here.
 */
#ifndef NET_ADDRESS_H
#define NET_ADDRESS_H

#include <stdbool.h>

#include "base/fault.h"
#include "base/text.h"

enum { ADDRESS_HOST_SIZE = 256 };

/*
 * Fine for https://HOST..., and for http:// where loopback_http is set and the
 * host is a literal loopback address (127.0.0.0/8, [::1]).  No user or password,
 * no control character, blank or byte beyond ASCII.  FAULT_CONFIG otherwise.
 */
enum fault_code address_check(const char *url, bool loopback_http, struct fault *f) MUST_USE;

/* True for http:// or https:// with a literal loopback address as its host. */
bool address_is_loopback(const char *url);

/* The host as it stands there, an IPv6 address in its brackets, an IPv4 one in any spelling as a.b.c.d; else false. */
bool address_host(const char *url, char host[static ADDRESS_HOST_SIZE]);

/* True where both have the same scheme, host and port. */
bool address_same_host(const char *a, const char *b);

/*
 * Host and path for fault and log texts.  No query, and path parts that are
 * mere numbers ("44.31,-89.9") stand as "*": they tell where the grower lives.
 */
void address_shown(const char *url, struct text *t);

#endif
