/*
 * Time stamps of answers: what instants an item of an answer is about.
 *
 * Formats: rfc3339, iso8601-interval, unix (seconds), local (no offset; the
 * offset is a number of the answer, a literal, or a zone that the caller has
 * loaded).
 */
#ifndef SOURCE_STAMP_H
#define SOURCE_STAMP_H

#include <stdbool.h>
#include <stdint.h>

#include <cjson/cJSON.h>

#include "base/fault.h"
#include "base/zone.h"

enum stamp_format { STAMP_RFC3339, STAMP_INTERVAL, STAMP_UNIX, STAMP_LOCAL, STAMP_FORMATS };

extern const char *const stamp_format_name[STAMP_FORMATS];

struct stamp_rule {
	enum stamp_format format;
	int offset_s;            /* local: seconds east of UTC, where there is no zone */
	const struct zone *zone; /* local: NULL or the zone whose clock it is */
};

/*
 * Read one stamp.  An interval gives begin and end, the others begin = end.
 * FAULT_DATA: not a stamp of this format, before 1900 or after 2199, or an
 * interval of more than 31 days.
 */
enum fault_code stamp_read(const struct stamp_rule *rule, const cJSON *item, int64_t *begin, int64_t *end,
			   struct fault *f) MUST_USE;

/* An instant that says itself how it is written: a number is unix, a text RFC 3339. */
enum fault_code stamp_instant(const cJSON *item, int64_t *t, struct fault *f) MUST_USE;

/* "+02:00", "-0330", "Z" or whole seconds: seconds east of UTC, within 18 h. */
enum fault_code stamp_offset(const char *s, int *offset_s, struct fault *f) MUST_USE;

#endif
