/*
 * The morning note: words for a grower at six in the morning on a phone.
 *
 * Action first, plain words, then numbers, then why; at most 72 columns.
 */
#ifndef NOTE_NOTE_H
#define NOTE_NOTE_H

#include "advice/news.h"
#include "advice/rank.h"
#include "base/text.h"
#include "facts/memo.h"

/* All that a note is made of. */
struct note_facts {
	const struct garden *garden;
	const struct crops *crops;
	const struct zone *zone;
	const struct season_state *state;
	const struct lines *lines;
	const struct changes *changes;
	const struct supply *supply; /* who gave past hours of the season, `supplies` of them */
	size_t supplies;
	const char *diary; /* lines of the grower's own file that are new, as they were understood or not; NULL: none */
	const char *trouble; /* one line on a fetch that failed for this note; NULL where all went well */
	bool evening;        /* the short note of tonight's covers, held against the same day's morning */
};

enum { NOTE_COLUMNS = 72, NOTE_SIZE = 16 * 1024 };

/* The whole note, ending in a line break. */
void note_write(const struct note_facts *n, struct text *t);

/* One numbered line as the note prints it, k from 0. */
void note_line(const struct note_facts *n, size_t k, struct text *t);

/* The reasons, numbers and sources behind line k. */
void why_write(const struct note_facts *n, size_t k, struct text *t);

/* Degree days of the plantings (of one by its name, or NULL for all), as `dewpost degrees` prints them. */
void degrees_write(const struct note_facts *n, const char *name, struct text *t);

#endif
