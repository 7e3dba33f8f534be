/*
 * Ranking: from all advice to at most five lines.
 *
 * Advice that says the same of several plantings becomes one line; a later night
 * that wants all plantings of a COVER line covered again goes to that line.
 * Order: what expires first and cannot be undone comes first.  COVER and LOOK
 * repeat daily; the rest is a line only when it is news.
 */
#ifndef ADVICE_RANK_H
#define ADVICE_RANK_H

#include "advice/advice.h"

enum { RANK_LINES = 5, RANK_SHARED = GARDEN_PLANTINGS_MAX, RANK_AGAIN = ADVICE_COVER_AHEAD - 1 };

struct line {
	const struct advice *lead; /* the first of them: its numbers speak for all */
	size_t n;
	const struct advice *of[RANK_SHARED]; /* the plantings it is about, lead included, garden order */
	size_t again_n;
	const struct advice *again[RANK_AGAIN]; /* COVER: the later nights, the first planting's advice for each */
};

struct lines {
	size_t n;
	size_t left_out; /* lines that did not fit */
	struct line at[RANK_LINES];
};

void rank_lines(const struct advice_list *all, struct lines *out);

#endif
