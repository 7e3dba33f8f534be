/*
 * Words for a chance: "6 in 10", "1 in 7", "1 in 50".
 *
 * One function for all notes, so that one chance always reads the same.  Nobody can use
 * a chance finer than these.
 */
#ifndef NOTE_CHANCE_H
#define NOTE_CHANCE_H

#include "base/text.h"

/*
 * The nearest by ratio of 1 in 100, 50, 30, 20, 15, 10, 7, 6, 5, 4, 3, 2 and of tenths from 3 in 10 to 9 in 10;
 * past them "under 1 in 100" and "over 9 in 10".
 *
 * Given    p   0..1; a little outside by rounding is taken as the end; NaN writes "?"
 */
void chance_words(struct text *t, double p);

/* The same for the narrow columns of a table: ">9 in 10", "<1 in 100". */
void chance_cell(struct text *t, double p);

#endif
