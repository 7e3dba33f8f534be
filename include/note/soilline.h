/*
 * The soil in a line of the note, while something waits to go into it.
 */
#ifndef NOTE_SOILLINE_H
#define NOTE_SOILLINE_H

#include "note/note.h"

/*
 * The planting that the line is about: the first that is in its tray or still to be sown, and has a bed or tub whose
 * soil this morning is known and under 70 F; NULL where there is none, and so no line.
 */
const struct planting *soilline_of(const struct note_facts *n);

/* "Soil    55 F at 4 in, south at 8 am (yours of Sun 10, carried forward)." */
void soilline_write(const struct note_facts *n, struct text *t);

/* Whether a reading of the grower's would say more than the line does: it is only reckoned. */
bool soilline_unread(const struct note_facts *n);

#endif
