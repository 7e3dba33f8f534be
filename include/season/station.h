/*
 * What a station's days say of a civil day: its low, its high, and the low of the next.
 *
 * A station's day is the 24 h that end at its observer's hour, so a value dated D need not be of D.
 *   A low dated D is that of D's morning: who reads in the morning read it that same morning, who
 *   reads from noon on, or at midnight, had that morning within his 24 h.
 *   A high dated D is of the afternoon before where it was read in the morning (it is thrown back),
 *   else of D's own.  No time of observation, and midnight (2400, also written 0000): the civil day
 *   as it is dated.
 * Source   24 h that end at the observer's hour, time of observation: GHCN-Daily readme; a low credited
 *          to the day of reading, a high thrown back: the UK climatological day (09-09 UTC); what the
 *          choice of hour does to lows: Vincent et al. 2009; noon as the border, unknown times and
 *          0000: derived here
 * Limits   a morning reader's low may be the last reading's own temperature, a night too early; an
 *          evening reader's may be of the evening before.  Neither can be told from two numbers a day.
 *
 * One station a season: values of several are never mixed.
 */
#ifndef SEASON_STATION_H
#define SEASON_STATION_H

#include <stddef.h>

#include "base/date.h"
#include "facts/station.h"
#include "plant/degree.h"

/* Days of one or more stations, by date and then by name, as the record lists them.  n may be 0. */
struct station_days {
	const struct station_day *day;
	size_t n;
};

enum { STATIONS_MAX = 32 };

/*
 * The station to go by: the one with the most days that have a low and a high, of equals the first
 * by name (derived here).
 *
 * Returned its name, in the array; NULL where no station has such a day
 * Notes    *of is the count of stations that had one; of more than STATIONS_MAX the first met are counted
 */
const char *station_main(const struct station_days *days, int *of);

/* What a station says of civil day d; NaN for what it does not. */
struct degree_extremes station_extremes(const struct station_days *days, const char *station, struct date d);

#endif
