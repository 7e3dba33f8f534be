/*
 * From the low and the high of days to the hours between, where a record has nothing better.
 *
 * What comes out is an estimate and has to be marked as one: real days have
 * fronts.  Degree days need it not (plant/degree does extremes by itself).
 * Temperatures in deg C, instants in UTC seconds, lengths in hours.
 */
#ifndef PHYSICS_DIURNAL_H
#define PHYSICS_DIURNAL_H

#include <stddef.h>
#include <stdint.h>

#include "base/date.h"

/* A day for this purpose: its low is at sunrise, its high two hours after noon. */
struct diurnal_day {
	double tmin_c, tmax_c; /* NaN where missing */
	int64_t rise, set;
};

/*
 * A day with its sun.
 *
 * Given    d                of its noon in local standard time, as physics/sun has it
 *          tmin_c, tmax_c   of that morning and that afternoon (season/station says whose a station's are);
 *                           a low over the high is as if both were missing
 * Notes    Rise and set lie evenly about noon, near the polar circle some minutes from the sun's own.  A day
 *          shorter than 4 h counts as 4 h (the curve would not come to its high), a night
 *          shorter than 2 h as 2 h, so that polar night and midnight sun have hours too (derived here).
 */
struct diurnal_day diurnal_day(struct date d, double lat_deg, double lon_deg, double tmin_c, double tmax_c);

/*
 * Temperature between a sunrise and the next.
 *
 * Given    t      today->rise up to the next day's rise; else NaN
 *          next   the day after, or NULL where none is known: then there is no night
 * Returned the day a sine from the low to the high and down to sunset, the night a logarithmic fall to the next low;
 *          NaN where a figure that it rests on is missing
 * Limits   good on clear days, poor on overcast ones and with fronts: mean errors of hours from 0.5 C to
 *          several degrees (Reicosky et al. 1989)
 * Source   Linvill 1990, HortScience 25:14-16, with ln(n + 1) / ln(Z + 1) for the night, which is continuous
 *          at sunset (as used in open code)
 * Checked  a day of 14 h computed independently from the equations, and its degree days
 */
double diurnal_at(const struct diurnal_day *today, const struct diurnal_day *next, int64_t t);

/*
 * The hours of a row of days.
 *
 * Given    day     one after the other, none left out; days may be 0
 *          first   the first hour's start; each value is that of an hour's start
 * Returned t_c[n]; NaN before the first sunrise, from the last sunset on, and where days are missing
 */
void diurnal_hours(const struct diurnal_day *day, size_t days, int64_t first, size_t n, double *t_c);

#endif
