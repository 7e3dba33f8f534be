/*
 * Asking: the requests of one run to one service, with patience and manners.
 *
 * A request is tried again where that is worth it (source/manners), and the
 * run's clock goes on meanwhile.  What comes of an answer is the caller's
 * business.
 */
#ifndef CLI_ASK_H
#define CLI_ASK_H

#include <stdint.h>

#include "base/fault.h"
#include "facts/place.h"
#include "net/net.h"
#include "source/describe.h"
#include "source/plan.h"

struct asking {
	const struct description *source;
	struct place place;
	struct net *net;
	int64_t now;                    /* instant at which the run began */
	int64_t patience_s;             /* how long the run goes on trying */
	void (*say)(const char *words); /* of waiting, for who looks on; NULL: nobody */
	int64_t began;                  /* the same instant by the net's clock */
	int requests;                   /* so far, with retries, redirects and what nobody took */
	int tries;                      /* of the last of them */
	int64_t bytes;                  /* received so far */
	int64_t clock_off_s; /* the run's clock less that of who answered last; INSTANT_NONE: nobody told the time */
};

/* The run begins. */
void ask_begin(struct asking *a);

/* The instant it is now for the run. */
int64_t ask_now(const struct asking *a);

/* FAULT_CONFIG where a description wants a contact (a mail address or web page) and there is none. */
enum fault_code ask_contact(const struct description *d, const char *contact, struct fault *f) MUST_USE;

/* Open the net for a description: who asks is told there.  FAULT_CONFIG as ask_contact. */
enum fault_code ask_open(const struct description *d, const char *contact, const struct net_limits *limits,
			 struct net **net, struct fault *f) MUST_USE;

/*
 * One request until it is answered or given up.  Whatever the answer's status, it is in *r,
 * for net_response_free, also after a fault.
 */
enum fault_code ask_get(struct asking *a, const struct net_request *q, struct net_response *r,
			struct fault *f) MUST_USE;

/*
 * Is it an answer to be used?  FAULT_TRY_LATER for 408, 425, 429 and 5xx, FAULT_UNAVAILABLE
 * for any other status beyond 2xx, with the service's own words; 304 is fine where `conditional`.
 */
enum fault_code ask_status(const struct asking *a, const struct net_response *r, bool conditional,
			   struct fault *f) MUST_USE;

#endif
