/*
 * Words for the steps behind a line about seed or trays.
 */
#ifndef NOTE_WHY_SOW_H
#define NOTE_WHY_SOW_H

#include "note/note.h"

/* "of 10 seeds sprouted in your test of Wed 22"; of a step of another decision nothing. */
void why_sow_step(const struct note_facts *n, const struct advice *a, const struct step *s, struct text *t);

/* What such a line does not know. */
const char *why_sow_not_judged(const struct advice *a);

#endif
