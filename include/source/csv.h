/*
 * One line of comma-separated values cut into its fields (RFC 4180).
 *
 * Another delimiter may stand in for the comma.  Blanks round an unquoted field
 * are dropped; a quoted one may hold delimiters and doubled quotes, but not a
 * line's end, which RFC 4180 would allow: a file of measurements has none there,
 * and a lost quote must not swallow what follows.
 */
#ifndef SOURCE_CSV_H
#define SOURCE_CSV_H

#include <stddef.h>

#include "base/fault.h"

enum { CSV_FIELDS_MAX = 256 };

struct csv {
	size_t n;
	char *field[CSV_FIELDS_MAX]; /* NUL-terminated, in the line */
};

/* The line is cut in place.  FAULT_DATA: more fields than that, or a quote that does not end. */
enum fault_code csv_cut(char *line, char delimiter, struct csv *out, struct fault *f) MUST_USE;

/* Of comma, semicolon and tab the one that a heading has most of; a comma where it has none. */
char csv_delimiter(const char *line);

#endif
