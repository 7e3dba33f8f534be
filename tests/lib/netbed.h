/*
 * What the tests of net share: limits that take milliseconds, a clock that stands still,
 * and one request asked and looked at.
 */
#ifndef TESTS_LIB_NETBED_H
#define TESTS_LIB_NETBED_H

#include "net/net.h"

/* Far from any real clock, so that a test that reads the machine's shows: 2026-05-12T05:00:00Z. */
#define NETBED_NOW INT64_C(1778562000)

enum { NETBED_CAP = 100000, NETBED_HEADER_CAP = 16384, NETBED_MS = 400 };

/* No proxy, http to the loopback; sleep_ms adds up into *(int64_t *)context. */
struct net_limits netbed_limits(void);

/* Fails the test where it cannot be. */
struct net *netbed_open(const struct net_limits *l);

/* Opens, asks and closes; the caller frees *r. */
enum fault_code netbed_ask(const struct net_limits *l, const char *url, struct net_response *r, struct fault *f);

/* Asks, and holds code and text of the fault to what the row says; returns the requests that were sent. */
int netbed_refuses(const char *row, const struct net_limits *l, const char *url, enum fault_code code,
		   const char *says);

#endif
