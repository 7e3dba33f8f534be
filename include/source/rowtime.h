/*
 * The time of a row, as station files write it.
 *
 *   rfc3339   2026-05-12T05:00:00-05:00
 *   local     2026-05-12 05:00, seconds or not, blank or T; 24:00 is the next day's 00:00
 *   unix      seconds since 1970-01-01 UTC
 *   a pattern of %Y %y %m %d %b %H %I %M %S %p as POSIX strftime has them: %m/%d/%Y %I:%M %p
 *
 * A local time that the clocks skip in spring is refused.  One that they show
 * twice in autumn is told by the row before it: time goes on through the file.
 */
#ifndef SOURCE_ROWTIME_H
#define SOURCE_ROWTIME_H

#include <stdbool.h>
#include <stdint.h>

#include "base/date.h"
#include "base/fault.h"
#include "base/zone.h"

enum rowtime_form { ROWTIME_TOLD, ROWTIME_RFC3339, ROWTIME_LOCAL, ROWTIME_UNIX, ROWTIME_PATTERN };

struct rowtime {
	enum rowtime_form form;
	const char *pattern;
	const struct zone *zone;
	bool started, directed, down; /* rows before this one; whether they go back in time */
	int64_t last;
	int64_t sure_from, sure_to; /* local seconds in which the offset is the one below */
	int offset_s;
};

/* How times are written; "" is told from the first.  FAULT_CONFIG: no such format.  `written` and the zone must stay.
 */
enum fault_code rowtime_init(struct rowtime *r, const char *written, const struct zone *zone, struct fault *f) MUST_USE;

/* Day and clock.  *doubled: the local time occurs twice.  FAULT_DATA: not a time, or one that does not exist. */
enum fault_code rowtime_read(struct rowtime *r, const char *s, int64_t *t, bool *doubled, struct fault *f) MUST_USE;

/* A day: 2026-05-12, 20260512 or the pattern. */
enum fault_code rowtime_date(struct rowtime *r, const char *s, struct date *d, struct fault *f) MUST_USE;

#endif
