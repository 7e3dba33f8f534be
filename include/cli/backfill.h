/*
 * Backfill: past days of a place asked for in polite pieces, and taken in.
 *
 * What the record has already is not asked for again, so a run that broke off
 * goes on where it stopped, and a second one asks for nothing but what a
 * service did not have the first time.
 */
#ifndef CLI_BACKFILL_H
#define CLI_BACKFILL_H

#include <stdint.h>

#include "base/date.h"
#include "base/fault.h"
#include "cli/fetchrun.h"

/* Between pieces, of courtesy; and no further back than this, for a slip of the hand must not ask for centuries
 * (judgement). */
enum { BACKFILL_PAUSE_MS = 3000, BACKFILL_YEARS = 10 };

struct backfill_result {
	int pieces, days; /* asked for and taken in */
	size_t gained;    /* hours that were not known before */
	size_t missing;   /* hours of the span that are not known still */
	struct date last; /* the newest day that was wanted */
	int requests;
	int64_t bytes;
};

/* Whether a description can be asked for past days, and keeps them: FAULT_CONFIG where not. */
enum fault_code backfill_can(const struct description *d, struct fault *f) MUST_USE;

/*
 * Days (UTC) from `since` to the newest that has passed and that the source has.
 *
 * Given    job   as fetch_run wants it; start and end are set here; saved answers are one piece
 * Faults   FAULT_CONFIG where the description cannot be asked for days or leaves the past out;
 *          FAULT_USAGE where `since` has not passed, or lies too far back; else those of fetch_run,
 *          the days of the piece in front.  What came in before stays, and is told in *result.
 */
enum fault_code backfill_run(const struct fetch_job *job, struct date since, struct backfill_result *result,
			     struct fault *f) MUST_USE;

#endif
