/*
 * What nights and days are like at a date: mean and spread of a station's lows, mean of its highs, beyond any forecast.
 */
#ifndef ODDS_CLIMATE_H
#define ODDS_CLIMATE_H

#include <stddef.h>

#include "base/date.h"
#include "facts/station.h"
#include "odds/runs.h"
#include "odds/yeardate.h"

/*
 * Days to each side of a date whose lows are taken with its own: with thirty years some 450 of them
 * (common practice).
 */
enum { CLIMATE_SIDE_DAYS = 7 };

/* From so many lows on, more than four years can hold: five years, as for frost dates (derived here). */
enum { CLIMATE_LOWS_MIN = (YEARDATE_SOME - 1) * (2 * CLIMATE_SIDE_DAYS + 1) + 1 };

/*
 * How like the night before a night is, once the date's mean is taken off: lag-1 correlation of the
 * anomalies of daily lows, the mean of 0.72 (Seattle) and 0.67 (New York), 2012-15 (derived here).
 */
#define CLIMATE_RHO 0.7

struct climate {
	int years; /* calendar years that have a low */
	int lows[YEAR_DAYS];
	double sum_c[YEAR_DAYS], squares[YEAR_DAYS]; /* deg C, deg C squared */
	int highs[YEAR_DAYS];
	double high_sum_c[YEAR_DAYS];
};

/* Gather the lows and highs of one station out of n days by rising date. */
void climate_of(const struct station_day *day, size_t n, const char *station, struct climate *c);

/*
 * The night that begins on an evening, as years have it: mean, spread, CLIMATE_RHO with the night before.
 *
 * Returned low and spread NaN where fewer than CLIMATE_LOWS_MIN lows lie round it: cannot tell
 * Limits   the spread has the season's own course within the days taken in it, some 2 % too wide in spring
 * Source   mean and sample standard deviation of the lows dated the next morning, and of the days beside
 */
struct runs_night climate_night(const struct climate *c, struct date evening);

/*
 * A day as years have it: means of its low and its high.
 *
 * Returned NaN for what has fewer than CLIMATE_LOWS_MIN numbers round the date
 * Limits   a mean day has less warmth over a base near its mean than the days it is the mean of; a high that is dated a
 *          day late (season/station) is one of fifteen
 */
struct climate_day {
	double low_c, high_c;
};

struct climate_day climate_day(const struct climate *c, struct date d);

#endif
