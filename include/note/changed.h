/*
 * What contradicts the morning before, owned up to: the old, the new and the reason.
 */
#ifndef NOTE_CHANGED_H
#define NOTE_CHANGED_H

#include "note/note.h"

/* One change, without a full stop: "tomorrow night fell 5 F (was 38, now 33)". */
void changed_words(const struct note_facts *n, const struct change *c, struct text *t);

#endif
