/*
 * What was met while a station file was read: counts, and the first lines of each kind.
 */
#ifndef SOURCE_TALLY_H
#define SOURCE_TALLY_H

#include <stddef.h>

#include "base/fault.h"

enum { TALLY_LETTERS = 26, TALLY_BAD_LISTED = 20, TALLY_ODD_LISTED = 5 };

struct tally {
	const char *file; /* as faults show it */
	size_t rows;      /* lines that may hold data: all but headings and blank ones */
	size_t bad;       /* of them: cannot be read, nothing of them is used */
	size_t values;    /* taken */
	size_t missing;
	size_t presumed; /* "missing, presumed zero": no measurement */
	size_t duplicates;
	size_t out_of_range;
	size_t crossed; /* days whose low is over their high: both refused */
	size_t trace;   /* rain too little to measure, taken as 0 */
	size_t lagged;  /* of which day they are is not certain: skipped */
	size_t unused;  /* values of elements that the record does not keep */
	size_t others;  /* lines of other stations than the one asked for */
	size_t between; /* rows too far from a whole hour, or behind a nearer one */
	size_t partial; /* totals of hours that lack rows, or have some twice */
	size_t doubled; /* local times that occur twice, told apart by their order */
	size_t quality[TALLY_LETTERS];
	struct faults bad_lines; /* the first TALLY_BAD_LISTED, and how many more */
	struct faults odd_lines; /* duplicates, out of range; the first TALLY_ODD_LISTED of each */
};

/* A line that cannot be used: "FILE:LINE: text". */
void tally_bad(struct tally *t, size_t line, const struct fault *why);

/* Something odd about a line; *count is the one that it raises, and of each count only the first are listed. */
void tally_odd(struct tally *t, size_t line, size_t *count, const char *fmt, ...) PRINTF_LIKE(4, 5);

/* A value that failed its quality checks, by the letter that says which. */
void tally_quality(struct tally *t, char letter);

#endif
