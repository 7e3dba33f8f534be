/*
 * Sentences: one line of advice in words, and the head that sums up the day.
 */
#ifndef NOTE_SENTENCE_H
#define NOTE_SENTENCE_H

#include "note/note.h"

/* The word of a verdict, in capitals. */
const char *sentence_verb(enum verdict v);

/* The verb in capitals, the plantings and the time: "COVER green-1 and tom-1 tonight by 7 pm". */
void sentence_act(const struct note_facts *n, const struct line *l, struct text *t);

/* The act, the number that decides and the caution, not wrapped. */
void sentence_line(const struct note_facts *n, const struct line *l, struct text *t);

/* One change since the morning before: "tonight fell 5 F (was 39, now 34)". */
void sentence_change(const struct note_facts *n, const struct change *c, struct text *t);

/* The day in a few words, for the right end of the first line. */
void sentence_head(const struct note_facts *n, struct text *t);

/* "Forecast of 3:50 this morning." with its age where it is old. */
void sentence_forecast(const struct note_facts *n, struct text *t);

#endif
