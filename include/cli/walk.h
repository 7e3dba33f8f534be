/*
 * A walk: the steps of a source description asked one after the other, up to
 * the one that has the data, with what the record remembers of each.
 *
 * A service is not asked before its time, and only whether anything is new
 * where it can tell; addresses that an earlier answer gave are kept, dropped
 * once when they lead nowhere, and outlive their time where looking them up
 * again fails.  What the data step's answer is worth is the caller's to say.
 */
#ifndef CLI_WALK_H
#define CLI_WALK_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/date.h"
#include "base/fault.h"
#include "cli/ask.h"
#include "facts/memo.h"
#include "net/net.h"
#include "record/record.h"
#include "source/plan.h"

struct walk {
	struct asking asking; /* source, place, net, now and say are the caller's to set */
	struct record *record;
	int64_t place;     /* in the record */
	struct date start; /* a span of past days: then neither interval nor validators count; DATE_NONE */
	struct date end;

	int64_t until;  /* too early, and nothing was asked: the instant at which it may be; else INSTANT_NONE */
	bool unchanged; /* the service says that nothing is new */
	bool warned;    /* a step came with the description's warn_status */
	struct net_response answer; /* the data step's */

	/* Of the step that is being asked. */
	size_t step;
	struct plan_vars vars;
	struct plan_request request;
	struct memo memo;
	uint64_t address; /* hash of the request's */
	bool conditional; /* validators went along */
	bool logged;      /* the memo is in the record, or must not go there */
	unsigned asked;   /* steps asked in this run, bit 1u << step */
};

/*
 * Ask.  FAULT_TRY_LATER also where it is too early after a request that did not end well.
 * After success either `until` is set, or `unchanged`, or `answer` has the data.
 */
enum fault_code walk_run(struct walk *w, struct fault *f) MUST_USE;

/* The data were taken in (or nothing is new): remembered, with the answer's validators. */
enum fault_code walk_good(struct walk *w, struct fault *f) MUST_USE;

/* They were not, or the walk broke off: why is remembered.  Trouble of the record's is not told. */
void walk_bad(struct walk *w, const char *why);

void walk_free(struct walk *w);

#endif
