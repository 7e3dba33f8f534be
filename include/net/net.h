/*
 * One set-up of libcurl for everybody: GET with limits that a bad server cannot move.
 *
 * https alone, certificates always verified.  Plain http only where the limits
 * say so, and then only to a literal loopback address (127.0.0.0/8 or [::1]).
 * Every redirect is held to the same rule, and to their number.  The body is
 * counted as it arrives, after decompression, so neither a chunked flood nor a
 * compressed bomb passes max_bytes; a body shorter than announced is a fault.
 * Connections are kept for the next net_get to the same host.
 *
 * No connection is made to a private, loopback or other address that is not of
 * the public internet (guard.h), whether it stands in the address or its name
 * leads there.  Through a proxy the connection is the proxy's, which may well be
 * such an address: then only what stands in the address is looked at.  A host
 * that the environment excepts from its proxy (no_proxy) is trusted in the same way.
 * A proxy of the limits takes every request but those to the loopback.
 *
 * Not here: what an answer means (source), what is remembered of it (record).
 *
 * Any complete HTTP answer is a success of net_get, 404 and 500 too, with its
 * body: the caller reads the status.  Fault codes of net_get:
 *   FAULT_CONFIG       the first address or a header breaks the rules; nothing was sent
 *   FAULT_TRY_LATER    host not found, refused, timed out, too slow, broken off, body short
 *   FAULT_UNAVAILABLE  the server cannot be used as it is: certificate, redirects
 *                      (too many, or to what is not allowed), a private address,
 *                      body over max_bytes, header over max_header_bytes, no HTTP
 *   FAULT_MEMORY
 * Fault texts name host and path alone: the query holds the grower's coordinates.
 */
#ifndef NET_NET_H
#define NET_NET_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/fault.h"
#include "base/text.h"

enum { NET_URL_SIZE = 2048, NET_FIELD_SIZE = 256 };

/* Seams and limits; the strings are copied by net_open. */
struct net_limits {
	long connect_ms;      /* to reach the server, name look-up included */
	long total_ms;        /* one net_get, redirects included */
	long low_speed_bytes; /* slower than this many bytes/s ... */
	long low_speed_s;     /* ... for this long is given up; 0 off */
	size_t max_bytes;     /* of a body, decompressed */
	size_t max_header_bytes;
	int max_redirects;
	bool allow_loopback_http;
	bool allow_private;            /* tests only: https to loopback and private addresses */
	const char *ca_file;           /* PEM; NULL: the system's */
	const char *proxy;             /* NULL: the environment's (https_proxy ...), "": none */
	int64_t (*now)(void *context); /* instant */
	void (*sleep_ms)(void *context, int64_t ms);
	void *context;
};

/* 15 s, 60 s, 50 bytes/s for 20 s, 4 MiB, 64 KiB of header, 3 redirects, https alone, the machine's clock. */
struct net_limits net_limits_default(void);

struct net;

/*
 * user_agent: printable ASCII, not empty ("name/1.0 (+contact)"); FAULT_CONFIG otherwise.
 */
enum fault_code net_open(const struct net_limits *limits, const char *user_agent, struct net **net,
			 struct fault *f) MUST_USE;
void net_close(struct net *net); /* NULL is fine */

int64_t net_now(const struct net *net);            /* the injected clock */
void net_sleep(const struct net *net, int64_t ms); /* the injected sleep */

struct net_request {
	const char *url;
	const char *accept;         /* NULL: libcurl's */
	const char *const *headers; /* "Name: value", n_headers of them */
	size_t n_headers;
	const char *if_modified_since; /* NULL or "": not sent; else word for word */
	const char *if_none_match;
};

struct net_response {
	int status;
	struct text body;                  /* at[0..len), a NUL after it; never NULL after success */
	char content_type[NET_FIELD_SIZE]; /* fields: "" where the server sends none or one too long */
	char etag[NET_FIELD_SIZE];
	char last_modified[NET_FIELD_SIZE]; /* word for word, for if_modified_since */
	int64_t expires, date;              /* instants; INSTANT_NONE */
	int64_t age_s;                      /* so long it lay in caches since date; 0 where not told */
	int64_t retry_after_s;              /* from now on, 0 up; -1 where not told */
	int64_t bytes;          /* bodies as they came, compressed ones so, of all hops; after a fault too */
	int requests;           /* that were sent, redirects too; after a fault too */
	char url[NET_URL_SIZE]; /* where the answer came from, after redirects */
};

/* Fills *r; net_response_free gives it back, also after a fault. */
enum fault_code net_get(struct net *net, const struct net_request *request, struct net_response *r,
			struct fault *f) MUST_USE;
void net_response_free(struct net_response *r);

#endif
