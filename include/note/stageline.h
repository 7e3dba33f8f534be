/*
 * Where a planting stands, on whose word, and what is due next.
 */
#ifndef NOTE_STAGELINE_H
#define NOTE_STAGELINE_H

#include "note/note.h"

/* "up since Mon 27 Apr, reckoned; first true leaf about 7 May (4 to 11 May)"; nothing of one that is not sown. */
void stageline_words(const struct note_facts *n, size_t planting, struct text *t);

/* "16 to 26 May", "28 May to 7 Jun" */
void stageline_span(struct date from, struct date to, struct text *t);

#endif
