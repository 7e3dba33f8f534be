/*
 * Frost by the calendar: the last of spring and the first of autumn, out of a station's days.
 *
 * Frost here is a low at or under a line, as cold or colder.  A year of seasons begins on 1 January,
 * south of the equator on 1 July, and has seven months of spring side (to 31 July; 31 January) and
 * five of autumn side.  Days are counted from its first day, which is day 1, on a calendar of 365.
 * A low dated D is that of D's morning (see season/station), so its frost is on D.
 * What the station's air says is not what low ground or a leaf does: that is the reader's to add.
 */
#ifndef ODDS_FROSTDATE_H
#define ODDS_FROSTDATE_H

#include <stdbool.h>
#include <stddef.h>

#include "facts/station.h"
#include "odds/yeardate.h"

/*
 * The lines, deg F as US normals have them: 36 in a shelter can be frost on the grass (common
 * practice), 32 freezes, at 28 it is hard.
 */
enum frostdate_at { FROSTDATE_36F, FROSTDATE_32F, FROSTDATE_28F, FROSTDATE_LINES };

enum frostdate_kind {
	FROSTDATE_TOO_FEW,     /* under YEARDATE_SOME years of either side: cannot tell */
	FROSTDATE_NEVER,       /* in no year */
	FROSTDATE_EVERY_MONTH, /* each month has it in half of the years or more: no season lies between */
	FROSTDATE_DATED,       /* ask the dates; a chance may still be more than the years with frost can give */
};

struct frostdate_line {
	enum frostdate_kind kind;
	struct yeardate spring, autumn; /* YEARDATE_LAST and YEARDATE_FIRST; their .years are the years used */
};

struct frostdate {
	bool south;
	struct frostdate_line at[FROSTDATE_LINES];
};

/* Days that may be missing between the last frost seen in spring (the first in autumn) and the end (the
 * beginning) of that side: with more it may not have been the last (judgement). */
enum { FROSTDATE_MISSING = 10 };

/*
 * Frost dates out of a station's days.
 *
 * Given    day       n days by rising date, of any stations
 *          station   whose are to be taken
 *          south     the place lies south of the equator
 * Notes    a low reads in tenths C, and counts as at a line from half a tenth over it: 28 F is -2.2 there.
 *          A side of a year with too many days missing is not used, nor one that the days end in.
 * Source   split of the year, and "as cold or colder": common practice of freeze statistics; months and
 *          missing days: derived here
 */
void frostdate_of(const struct station_day *day, size_t n, const char *station, bool south, struct frostdate *f);

/* The year of seasons that a date is in, by the calendar year it begins in; and its day there. */
int frostdate_year(bool south, struct date d);
double frostdate_day(bool south, struct date d);

/* The date of a day of such a year; DATE_NONE for NaN. */
struct date frostdate_date(bool south, int year, double day);

#endif
