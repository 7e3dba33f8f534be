/*
 * Sentences: one line of advice in words, and the forecast's age.
 */
#ifndef NOTE_SENTENCE_H
#define NOTE_SENTENCE_H

#include "note/note.h"

/* The verb in capitals, the plantings and the time: "COVER green-1 and tom-1 today by 7 pm". */
void sentence_act(const struct note_facts *n, const struct line *l, struct text *t);

/* The act, the number that decides and the caution, not wrapped.  l is a line of n->lines: what an earlier line said in
 * full is not repeated. */
void sentence_line(const struct note_facts *n, const struct line *l, struct text *t);

/* "Forecast of 3:50 this morning." with its age where it is old. */
void sentence_forecast(const struct note_facts *n, struct text *t);

/* "the forecast is 31 hours old". */
void sentence_age(const struct note_facts *n, struct text *t);

#endif
