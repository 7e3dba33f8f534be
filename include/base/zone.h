/*
 * Time zones as plain tables, so that several live in one process.
 *
 * zone_load is the only code that touches TZ.  Everybody else takes a
 * const struct zone * and stays pure.
 */
#ifndef BASE_ZONE_H
#define BASE_ZONE_H

#include <stddef.h>
#include <stdint.h>

#include "base/date.h"
#include "base/fault.h"

enum { ZONE_NAME_SIZE = 64, ZONE_STEPS_MAX = 512 };

struct zone_step {
	int64_t from;     /* the offset holds from this instant on */
	int32_t offset_s; /* seconds east of UTC */
};

struct zone {
	char name[ZONE_NAME_SIZE];
	size_t n;         /* >= 1; step[0] holds before its own instant too */
	int64_t from, to; /* the span it was loaded for */
	struct zone_step step[ZONE_STEPS_MAX];
};

/*
 * The offsets of zone `name` (IANA) between two instants, and two days to each side
 * so that days at the edges have both their ends.  Past that the last offset holds on.
 * FAULT_CONFIG: a name that the zone database does not have (libc would silently say UTC).
 */
enum fault_code zone_load(const char *name, int64_t from, int64_t to, struct zone *z, struct fault *f) MUST_USE;

/* A zone of one fixed offset. */
void zone_fixed(const char *name, int offset_s, struct zone *z);

int zone_offset(const struct zone *z, int64_t t);       /* seconds east of UTC at t */
struct date zone_date(const struct zone *z, int64_t t); /* civil date at t */
int zone_second(const struct zone *z, int64_t t);       /* second of the local day by the clock, 0..86399 */

/*
 * The instant of a local clock time.  A time that spring skips is moved on by
 * the gap (02:30 reads 03:30); of a time that autumn has twice, the first.
 */
int64_t zone_instant(const struct zone *z, struct date d, int second);

/*
 * First instant whose date is d, or of the next day where a zone skipped d whole (Samoa, 2011-12-30);
 * the day ends where the next begins (23, 24 or 25 h; half hours occur).
 */
int64_t zone_day_start(const struct zone *z, struct date d);

#endif
