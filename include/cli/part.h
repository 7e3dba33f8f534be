/*
 * --part K/N: a share of a folder's gardens, for N runs that go side by side, on one machine or on several.
 *
 * By a hash of the file's name alone: a garden stays in its part when another is
 * added or taken away.  Parts are about equal, not exactly.
 */
#ifndef CLI_PART_H
#define CLI_PART_H

#include <stdbool.h>

#include "base/fault.h"

enum { PART_MAX = 10000 };

struct garden_part {
	int k, n; /* 1..n; n 0: the whole */
};

/* "K/N"; FAULT_USAGE says what would be right. */
enum fault_code part_parse(const char *word, struct garden_part *p, struct fault *f) MUST_USE;

/* Of 1..n just one has a name. */
bool part_has(struct garden_part p, const char *name);

#endif
