/*
 * The day in a few words, for the right end of the note's first line.
 *
 * A frost that is forecast comes before all else; then how old the forecast is
 * where this morning brought none; then what leads the lines.
 */
#ifndef NOTE_HEAD_H
#define NOTE_HEAD_H

#include "note/note.h"

/* "frost likely tonight, 31 F", "nothing to do today", "the forecast is 31 hours old". */
void head_words(const struct note_facts *n, struct text *t);

/* "frost likely tonight, 31 F": a night that a COVER is about. */
void head_cold(const struct note_facts *n, const struct advice *a, struct text *t);

#endif
