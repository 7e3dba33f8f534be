/*
 * Pieces of `why`: what all decisions print alike, and what is COVER's own.
 */
#ifndef NOTE_WHY_H
#define NOTE_WHY_H

#include "note/note.h"

/* "The rule     words", the words wrapped under each other. */
void why_headed(struct text *t, const char *head, const char *words);

/* Words of a step that belong to COVER; false: its words are everybody's. */
bool why_cover_step(const struct note_facts *n, const struct advice *a, const struct step *s, struct text *t);

/* Where a chance decides: from which on, and whose that is. */
void why_cover_rule(const struct note_facts *n, const struct advice *a, struct text *t);

/* What it rests on, what would tip it, what nobody knows. */
void why_cover_foot(const struct note_facts *n, const struct advice *a, struct text *t);

#endif
