/*
 * What only the grower can tell: at most one request a day, with the command to type.
 */
#ifndef NOTE_TELLME_H
#define NOTE_TELLME_H

#include "note/note.h"

/*
 * The first of these that there is, else nothing: when an undated planting was sown or planted out, for nothing can be
 * said of it; an overdue stage (season/stages asks a few mornings, then never again); how cold it gets in the bed,
 * where tonight is one to cover; the soil, where something waits to go into it and it is only reckoned.
 * The command stands on a line of its own, whole, and for one of them alone.
 */
void tellme_write(const struct note_facts *n, struct text *t);

#endif
