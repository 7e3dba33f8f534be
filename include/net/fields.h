/*
 * Header fields: those a request takes along, and those of an answer that are kept.
 *
 * Not here: how many bytes of them are taken, and from whom (net).
 */
#ifndef NET_FIELDS_H
#define NET_FIELDS_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include <curl/curl.h>

#include "base/fault.h"
#include "net/net.h"

/*
 * The request's lines into a new list (NULL where there are none), the caller's curl_slist_free_all.
 * `own` false leaves the caller's headers out: they may hold a key that another host must not see.
 * FAULT_CONFIG for a line with a control character, without a colon or too long; FAULT_MEMORY.
 */
enum fault_code fields_request(const struct net_request *q, bool own, struct curl_slist **list,
			       struct fault *f) MUST_USE;

/* Of one answer, each "" where it has none, or one too long or with control characters. */
struct fields {
	char content_type[NET_FIELD_SIZE], etag[NET_FIELD_SIZE], last_modified[NET_FIELD_SIZE];
	char expires[NET_FIELD_SIZE], date[NET_FIELD_SIZE], age[NET_FIELD_SIZE], retry_after[NET_FIELD_SIZE];
};

/* Takes one line in; a status line forgets what came before it. */
void fields_take(struct fields *fields, const char *line, size_t n);

/* Into the answer, dates as instants; `now` is what a Retry-After date counts from. */
void fields_give(const struct fields *fields, int64_t now, struct net_response *r);

#endif
