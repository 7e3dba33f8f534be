/*
 * Days to plant out on, side by side: what `dewpost plantout` prints.
 */
#ifndef NOTE_PLANTDAYS_H
#define NOTE_PLANTDAYS_H

#include "advice/plantday.h"
#include "note/note.h"

enum { PLANTDAYS_MAX = PLANTDAY_AHEAD + 1 };

/*
 * The days that are shown where nobody names any: this weekend's, the others of the next eight days, the weekend
 * after.
 *
 * Returned how many; *free of them, the first ones, are this weekend's
 */
size_t plantdays_choose(struct date today, int ahead[static PLANTDAYS_MAX], size_t *free);

/* Plantings that stand in their trays and that everything here is the same for, from planting i on; false where i is
 * in no tray, or was told with an earlier one. */
bool plantdays_group(const struct note_facts *n, size_t i, size_t of[static GARDEN_PLANTINGS_MAX], size_t *count);

/*
 * A table for each such group, n days ahead of today; what to do; what the numbers rest on.
 *
 * Given    free   so many of the first days are set apart
 */
void plantdays_write(const struct note_facts *n, const int *ahead, size_t days, size_t free, struct text *t);

#endif
