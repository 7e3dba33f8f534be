/*
 * Dropping what no note, of today or of a past morning, is made of.
 *
 * Never dropped: the diary, letters, station days, hours that were read, observed or analysed, who gave them, and
 * the issues that a replay needs (issuestore_thin).  A forecast's hour that has passed goes once all it says is
 * known better: then no note looks at it any more, and what was forecast stands in the issues.
 */
#ifndef RECORD_PRUNE_H
#define RECORD_PRUNE_H

#include <stdint.h>

#include "base/fault.h"
#include "record/record.h"

/* The last runs of a place, which `check` shows, stay however old they are. */
enum { PRUNE_RUNS_LEFT = 3 };

struct pruned {
	int64_t hours, issues, runs; /* dropped */
	int64_t memos, found;        /* of requests, and addresses found by them */
	int64_t hours_left, issues_left;
	int64_t before, after; /* bytes of the file; after: INSTANT_NONE until record_shrink */
};

/*
 * Drop what is older than keep_s: covered hours of forecasts, runs, and what is remembered of requests to a service
 * that was asked nothing since (but a cool-down, which is kept to its end); and the issues that issuestore_thin drops.
 * Each kind in one transaction; again, it drops nothing more.
 */
enum fault_code record_prune(struct record *rec, int64_t now, int64_t keep_s, struct pruned *p,
			     struct fault *f) MUST_USE;

/* Give the room back to the disk; wants as much free as the record is large, for a while. */
enum fault_code record_shrink(struct record *rec, struct pruned *p, struct fault *f) MUST_USE;

#endif
