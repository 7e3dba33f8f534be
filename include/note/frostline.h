/*
 * Frost by the calendar, in words: the last of spring and the first of autumn, out of a station's years.
 *
 * The line is 32 F (0 C) at the station.  Under YEARDATE_SOME years nothing is said, under YEARDATE_ENOUGH it is
 * called rough.
 */
#ifndef NOTE_FROSTLINE_H
#define NOTE_FROSTLINE_H

#include "note/note.h"

/* "last 32 F: half the years by 6 May, nine in ten by 20 May"; false, and nothing written, where it cannot be told. */
bool frostline_spring(const struct frostdate *f, struct date today, int units, struct text *t);

/* "first 32 F: one year in ten by 21 Sep, half by 3 Oct". */
bool frostline_autumn(const struct frostdate *f, struct date today, int units, struct text *t);

/*
 * The note's line, or nothing: of spring while plants wait to go out, from FROSTLINE_EARLY days before the date of
 * half the years to that of nine in ten; of autumn while any is out, from FROSTLINE_WARN days before that of one in
 * ten to that of half.
 */
enum { FROSTLINE_EARLY = 21, FROSTLINE_WARN = 14 }; /* judgement */

void frostline_write(const struct note_facts *n, struct text *t);

#endif
