/*
 * On what date a place's nights reach a line: each year's first run of nights in a row at or over it.
 *
 * Years and days are those of odds/frostdate: from 1 January, south of the equator from 1 July.
 */
#ifndef ODDS_REACHDATE_H
#define ODDS_REACHDATE_H

#include <stdbool.h>
#include <stddef.h>

#include "facts/station.h"
#include "odds/yeardate.h"

/*
 * The dates out of a station's days.
 *
 * Given    day       n days by rising date, of any stations
 *          station   whose are to be taken
 *          south     the place lies south of the equator
 *          line_c    of the lows, read in tenths C (50 F is 10.0, 55 F 12.8)
 *          nights    how many in a row, 1 or more
 * Returned *y, closed, YEARDATE_FIRST: the day that the last low of the run is dated, so that the evening
 *          before the run is `nights` days earlier; years in which no run came are years without
 * Notes    a missing day breaks a run.  A year with more than FROSTDATE_MISSING days missing before its date
 *          (without a date: at all) is not used, nor one that the days end in.
 * Source   derived here
 * Checked  five nights of 10 C at two cities, 2012-15 (outside checks)
 */
void reachdate_of(const struct station_day *day, size_t n, const char *station, bool south, double line_c, int nights,
		  struct yeardate *y);

#endif
