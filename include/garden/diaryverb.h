/*
 * What a diary line can say: each verb with its phrases, what it is about and what number belongs to it.
 *
 * One table, which the manual lists too.
 */
#ifndef GARDEN_DIARYVERB_H
#define GARDEN_DIARYVERB_H

#include <stdbool.h>
#include <stddef.h>

#include "facts/verb.h"
#include "garden/diaryday.h"

/* Whom it is about. */
enum diaryverb_about {
	DIARYVERB_PLANTING,
	DIARYVERB_PLACE, /* a planting, a bed or a tub */
	DIARYVERB_ANY,   /* the same, or nothing */
	DIARYVERB_NOTHING,
};

/* What number it takes; from DIARYVERB_TEMPERATURE on it must have one. */
enum diaryverb_figure {
	DIARYVERB_NO_FIGURE,
	DIARYVERB_COUNT,
	DIARYVERB_WATER,
	DIARYVERB_TEMPERATURE,
	DIARYVERB_DEPTH,
	DIARYVERB_SEEDS, /* so many of so many */
};

enum { DIARYVERB_PHRASES = 10 };

struct diaryverb {
	enum diaryverb_about about;
	enum diaryverb_figure figure;
	double lo, hi;                             /* of the number, inside unit, both allowed */
	const char *example;                       /* a whole line */
	const char *phrase[DIARYVERB_PHRASES + 1]; /* NULL after the last; the first is the one that is shown */
};

const struct diaryverb *diaryverb_row(enum verb v);

/* The verb of the longest phrase at word i, *words long; VERBS where there is none. */
enum verb diaryverb_at(const struct diarywords *w, size_t i, size_t *words);

/* The phrase that words from i on may have been meant for; NULL where none is near. */
const char *diaryverb_near(const struct diarywords *w, size_t i);

/* What is right in place of a word that could be two verbs or that comes near one; NULL: it is none of these. */
const char *diaryverb_hint(const char *word);

/* Whether a word is one that a line may have between what counts: "and", "in", "the". */
bool diaryverb_filler(const char *word);

#endif
