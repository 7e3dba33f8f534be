/*
 * HOST or HOST:PORT, as addresses of servers have it.
 *
 * A literal IPv6 address stands in brackets (RFC 3986 3.2.2).  Names are not looked up.
 */
#ifndef BASE_HOSTPORT_H
#define BASE_HOSTPORT_H

#include <stdbool.h>

enum { HOSTPORT_HOST_SIZE = 256 };

/* False where s is neither.  The host with its brackets; port 1..65535, 0 where none is given. */
bool hostport_parse(const char *s, char host[static HOSTPORT_HOST_SIZE], int *port);

/* Whether a host is a loopback address, written out: 127.0.0.0/8 or [::1].  A name never is. */
bool hostport_is_loopback(const char *host);

#endif
