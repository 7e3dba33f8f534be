/*
 * Manners: when a service may be asked, how often a request is tried again, and
 * how many gardens keep out of each other's way.
 *
 * Instants come in; nothing is asked and nothing is remembered here.  That a
 * clock was set back must not shut a service out: what was asked in the future
 * counts for nothing.
 */
#ifndef SOURCE_MANNERS_H
#define SOURCE_MANNERS_H

#include <stdbool.h>
#include <stdint.h>

#include "facts/memo.h"
#include "facts/place.h"
#include "net/net.h"
#include "source/describe.h"

/* Of one request, the first included; and how long a run goes on trying where nobody says (common practice). */
enum { MANNERS_TRIES = 3, MANNERS_RUN_S = 300 };

struct manners_wait {
	int64_t until; /* no request before this instant; INSTANT_NONE: one may be made now */
	bool failed;   /* the last request did not end well, so what is known is older than it might be */
};

/*
 * What the last request says about the next: its own not_before, and the
 * description's min_interval after any answer at all.  Where nobody answered,
 * nothing was asked of the service: then there is no interval.
 */
struct manners_wait manners_wait(const struct description *d, const struct memo *last, int64_t now);

/*
 * The instant before which the service does not want to be asked again, out of
 * its answer; INSTANT_NONE where it does not say.  Expires counts from its own
 * Date where it tells it, since one of the clocks may be wrong.  At most a day
 * ahead: a slip of theirs must not end our forecasts.
 *
 * Source   Expires, Retry-After: RFC 9110 10.2.3, RFC 9111 5.3; without Retry-After
 *          an hour after 429 and six hours after 403 (judgement)
 */
int64_t manners_not_before(const struct description *d, const struct net_response *r, int64_t now);

/*
 * How long to wait before the request is tried once more, in ms; -1: not again in this run.
 *
 * Given    status         of the answer, 0 where there was none
 *          retry_after_s  as net_response has it, -1 where not told
 *          tries          made so far, 1 up
 *          spent_s        since the run began
 *          patience_s     no try is begun later than this
 *          jitter_frac    0..1, of half the delay
 * Notes    2 s, then 8 s, and up to half as much again; never shorter than Retry-After.  No answer and
 *          500, 502, 503, 504 are worth it; 429 once, and only where the service says when
 * Source   statuses, delays and their number: common practice
 */
int64_t manners_retry_ms(int status, int64_t retry_after_s, int tries, int64_t spent_s, int64_t patience_s,
			 double jitter_frac);

/* A place's own share of a span, the same every day: so that gardens do not all ask at once. */
int64_t manners_spread_s(const struct place *p, int64_t over_s);

#endif
