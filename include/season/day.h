/*
 * A civil day summed up from its hours.
 *
 * The day of the garden's clock: 23, 24 or 25 hours, those that start in it.
 * Nothing is filled: each number says with how many hours it was made, or is
 * NaN where too few are known.  Lows of nights are season/night's business.
 */
#ifndef SEASON_DAY_H
#define SEASON_DAY_H

#include <stdbool.h>
#include <stdint.h>

#include "base/date.h"
#include "base/zone.h"
#include "facts/hours.h"
#include "plant/degree.h"

enum { DAY_HOURS_MAX = 26, DAY_ORIGINS = ORIGIN_READING + 1 };

struct day {
	struct date date;
	int64_t start, end; /* instants of the two midnights */
	int hours;          /* that start in it */

	int t_known;                    /* of these */
	double tmin_c, tmax_c, tmean_c; /* of the hourly values; NaN under 80 % of the hours */
	int t_from[DAY_ORIGINS];        /* hours of temperature by enum origin */

	double rain_mm; /* of the rain_known hours; NaN where none is known */
	int rain_known;
	double rain_chance_frac; /* highest of the hours from 06 to 21 by the clock; NaN where none is known */
	int rain_chance_known;

	double cloud_frac; /* mean of the hours that start with the sun up; NaN where none is known */
	int cloud_known, daylight_hours;
	double wind_ms, gust_ms; /* highest hourly value; NaN where none is known */
	int wind_known, gust_known;
	double
	    radiation_mj; /* MJ/m2, NaN under 80 % of the hours with the sun up (night's missing hours add nothing) */
	int radiation_known; /* of daylight_hours */
};

/*
 * Whether enough of the day is known to say what it is not: dry, grey, still.  80 % of its hours (of rain's
 * chance: of those from 06 to 21; of cloud: of those with the sun up); a wet or windy hour counts by itself.
 */
bool day_rain_told(const struct day *day);
bool day_cloud_told(const struct day *day);
bool day_wind_told(const struct day *day);

/* Count of hours that start in the civil day, the first in *first. */
int day_hours(const struct zone *z, struct date d, int64_t *first);

struct day day_of(const struct hours *h, const struct zone *z, struct date d, double lat_deg, double lon_deg);

/*
 * Degree days of the civil day on air temperature; known, as of a station, may be NULL (see degree_day_hours).
 * Where a double form goes by the hours, the next low is that of the next day's hours.
 */
struct degree_count day_degrees(const struct hours *h, const struct zone *z, struct date d,
				const struct degree_rule *rule, const struct degree_extremes *known);

#endif
