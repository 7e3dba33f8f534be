/*
 * --json: the numbers of a note, of degrees and of planting out, as one JSON object.
 *
 * Inside units, the unit at the end of the key (_c, _mm, _ms, _h); instants as
 * RFC 3339, dates as ISO 8601; what is not known is null.
 */
#ifndef CLI_JSON_H
#define CLI_JSON_H

#include "base/text.h"
#include "cli/compose.h"

enum { JSON_SIZE = 4 * 1024 * 1024 };

/* On one line where `line`: JSON of several gardens, an object a line. */
enum fault_code json_morning(const struct composed *m, bool line, struct text *t, struct fault *f) MUST_USE;

/* Of the planting of that name, which there must be, or (NULL) of all. */
enum fault_code json_degrees(const struct composed *m, const char *name, struct text *t, struct fault *f) MUST_USE;

/* Of planting out: each planting in a tray, with `days` days ahead of today. */
enum fault_code json_plantout(const struct composed *m, const int *ahead, size_t days, struct text *t,
			      struct fault *f) MUST_USE;

/* Entries of the diary, a list. */
enum fault_code json_diary(const struct entry *entries, size_t n, struct text *t, struct fault *f) MUST_USE;

#endif
