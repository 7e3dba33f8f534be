/*
 * The words of a diary line, and the days that a grower names in them.
 *
 * "yesterday", "Mon", "3 days ago", "12 May", "Tue 12 May", "May 12 2026", "2026-05-12".  A day that could be two is
 * refused.
 */
#ifndef GARDEN_DIARYDAY_H
#define GARDEN_DIARYDAY_H

#include <stdbool.h>
#include <stddef.h>

#include "base/date.h"
#include "base/fault.h"

enum { DIARYWORDS_MAX = 200, DIARYWORD_SIZE = 40 };

/* Words parted by blanks, without the marks , ; : . ! that end them. */
struct diarywords {
	size_t n;
	char at[DIARYWORDS_MAX][DIARYWORD_SIZE];
};

/* Cut a line of at most DIARYWORDS_MAX bytes; words that are longer than any of ours are cut short. */
void diarywords_cut(const char *line, struct diarywords *w);

/* Whether word i is this one, in any case. */
bool diarywords_is(const struct diarywords *w, size_t i, const char *word);

/* Take words [from, from + n) out. */
void diarywords_drop(struct diarywords *w, size_t from, size_t n);

/*
 * The day that words from i on name, as many of them as do.
 *
 * Returned words used; 0 where they name none, and where what they name is refused (then f->code is set)
 * Notes    A day and a month without a year is the last such day, if that is within half a year; a weekday is the
 *          last one before today.
 */
size_t diaryday_at(const struct diarywords *w, size_t i, struct date today, struct date *day, struct fault *f);

/* Whether words from i on are two days to different readers: "3 May 12" is 3 May and 12, or 3 and May 12. */
bool diaryday_two_ways(const struct diarywords *w, size_t i);

/*
 * First and last day of a time away, from word i to the end: "20-27 July", "28 Dec to 3 Jan", "July 20 - 27",
 * "until 27 July", "20 July".  Of days without a year the next are meant, or those that began within the last month.
 */
enum fault_code diaryday_span(const struct diarywords *w, size_t i, struct date today, struct date *first,
			      struct date *last, struct fault *f) MUST_USE;

#endif
