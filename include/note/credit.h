/*
 * Credits: who has given the weather that a page rests on, and wants to be named.
 */
#ifndef NOTE_CREDIT_H
#define NOTE_CREDIT_H

#include <stdint.h>

#include "note/note.h"

/* The forecast's own line, and that of whoever has given hours from `from` to the cut; each once, in sentences. */
void credit_words(const struct note_facts *n, int64_t from, struct text *t);

#endif
