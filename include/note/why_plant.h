/*
 * Words for the steps behind a line about planting out.
 */
#ifndef NOTE_WHY_PLANT_H
#define NOTE_WHY_PLANT_H

#include "note/note.h"

/* "that 4 of the 5 nights from today on are at it or over"; of a step of another decision nothing. */
void why_plant_step(const struct note_facts *n, const struct advice *a, const struct step *s, struct text *t);

/* What PLANT OUT asks for, in the units of the chances. */
void why_plant_wants(const struct note_facts *n, struct text *t);

/* "not known: Friday night, of which the lowest hour known is 62 F" */
void why_not_known(const struct note_facts *n, const struct night *night, struct text *t);

#endif
