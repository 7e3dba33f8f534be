/*
 * What a fetch has changed: the lows of the coming nights, before it and after.
 */
#ifndef CLI_MOVED_H
#define CLI_MOVED_H

#include "base/date.h"
#include "base/fault.h"
#include "base/text.h"
#include "cli/context.h"

enum { MOVED_NIGHTS = 7 };

struct moved_lows {
	struct date today;
	double low_c[MOVED_NIGHTS]; /* of the air, from tonight on; NaN where the night is not known whole */
};

/* The lows as the record has them now.  The record must be open. */
enum fault_code moved_lows(struct context *c, struct moved_lows *lows, struct fault *f) MUST_USE;

/* One line: the nights whose low is another whole degree, or was not known, or is not known any more. */
void moved_words(const struct moved_lows *before, const struct moved_lows *after, int units, struct text *t);

#endif
