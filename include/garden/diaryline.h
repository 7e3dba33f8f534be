/*
 * One line of a grower's diary: words in, entries out.
 *
 * "planted out green-1", "Mon watered south 20 gal", "low 38 F at south", "away 20-27 July".  One verb a line, in any
 * of the phrases of one table; a day that is over, today where none is named; plantings, beds and tubs by the names of
 * the garden file.  What could mean two things is refused, never guessed.  How an entry is said back is
 * note/entrywords' business.
 */
#ifndef GARDEN_DIARYLINE_H
#define GARDEN_DIARYLINE_H

#include <stdbool.h>
#include <stddef.h>

#include "base/date.h"
#include "base/fault.h"
#include "base/text.h"
#include "facts/verb.h"
#include "garden/garden.h"

enum { DIARYLINE_ENTRIES = 16 };

/* A line may be about several plantings: an entry for each, of the same text. */
struct diaryline {
	size_t n;
	struct entry entry[DIARYLINE_ENTRIES]; /* but for id and written */
};

/*
 * Given    today   a line without a day is of it; none may be of a later one, but for a time away
 * Faults   FAULT_DATA: what is not understood, and what would be right
 */
enum fault_code diaryline_read(const char *line, const struct garden *g, struct date today, struct diaryline *out,
			       struct fault *f) MUST_USE;

#endif
