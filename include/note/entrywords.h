/*
 * A diary entry said back to the grower, as it was understood.
 */
#ifndef NOTE_ENTRYWORDS_H
#define NOTE_ENTRYWORDS_H

#include "base/text.h"
#include "facts/entry.h"

/* "planted out green-1 (crop) in south", "low 3.5 C at south"; of an entry that takes another back "takes back 4".
 */
void entrywords(const struct entry *e, int units, struct text *t);

/* The same with its day before it, "Tue 19 May: "; with the year where that is not today's. */
void entrywords_dated(const struct entry *e, int units, struct date today, struct text *t);

#endif
