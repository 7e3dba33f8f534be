/*
 * The health of the record: is all of it still what was written?
 */
#ifndef RECORD_HEALTH_H
#define RECORD_HEALTH_H

#include <stdint.h>

#include "base/fault.h"
#include "record/record.h"

/* What lies in it. */
struct record_counts {
	int64_t places, hours, issues, station_days, entries, letters;
	int64_t bytes; /* of the file */
};

enum fault_code record_count(struct record *rec, struct record_counts *n, struct fault *f) MUST_USE;

/*
 * Look over every page, index and rule, every reference, and the bytes of every issue.  What is damaged is added
 * to `found`, one fault a finding; a fault of its own is that it could not be looked over.
 */
enum fault_code record_examine(struct record *rec, struct faults *found, struct fault *f) MUST_USE;

#endif
