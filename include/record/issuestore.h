/*
 * The issues: each forecast as it was received, one row an issue.
 *
 * They come in through hourstore_ingest.
 */
#ifndef RECORD_ISSUESTORE_H
#define RECORD_ISSUESTORE_H

#include <stddef.h>
#include <stdint.h>

#include "base/fault.h"
#include "facts/issue.h"
#include "record/record.h"

/* All issues that came in the last this many seconds are kept by issuestore_thin. */
enum { ISSUESTORE_KEEP_S = 14 * 86400 };

/* Instants that a note may be composed at, both ends included: a cut is one instant. */
struct issue_span {
	int64_t from, to;
};

struct issue_row {
	char source[ISSUE_SOURCE_SIZE];
	int64_t received, issued; /* issued INSTANT_NONE where not told */
	int64_t first;            /* its first hour */
	size_t n;                 /* hours */
};

/* For hourstore_ingest: store one inside its transaction; the same (place, source, received) is replaced. */
enum fault_code issuestore_put(struct record *rec, int64_t place, const struct issue *issue, struct fault *f) MUST_USE;

/* All issues of a place, the newest first; mem_free(*rows). */
enum fault_code issuestore_list(struct record *rec, int64_t place, struct issue_row **rows, size_t *n,
				struct fault *f) MUST_USE;

/*
 * The newest issue received at or before the cut (skip 0), the one before it (skip 1) and so on.
 * *issue is made here (issue_free); source "" and no hours where there is none.
 */
enum fault_code issuestore_at(struct record *rec, int64_t place, int64_t cut, size_t skip, struct issue *issue,
			      struct fault *f) MUST_USE;

/* Its head alone, the hours left empty. */
enum fault_code issuestore_head_at(struct record *rec, int64_t place, int64_t cut, size_t skip, struct issue *issue,
				   struct fault *f) MUST_USE;

/*
 * Drop what no replay needs.  Kept are the issues received in the ISSUESTORE_KEEP_S before now (or after it), and
 * the last one at or before now and each instant of the spans (outbox_cuts); and, where such a one begins after the
 * hour it came in, the one before it, which says what comes between (hourstore_known).
 */
enum fault_code issuestore_thin(struct record *rec, int64_t place, int64_t now, const struct issue_span *spans,
				size_t n, struct fault *f) MUST_USE;

#endif
