/*
 * The hours of a civil day as whoever works outdoors meets them: warmth, wind, rain and sun.
 *
 * A few days of the record, copied out, so that decisions can look for hours that are fit for something.
 * What is fit is not said here.  NaN where a value is not known.
 */
#ifndef SEASON_DAYHOURS_H
#define SEASON_DAYHOURS_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/date.h"
#include "base/zone.h"
#include "facts/hours.h"
#include "season/day.h"

struct dayhour {
	double air_c;            /* at its start */
	double wind_ms, gust_ms; /* at 10 m; the gust, where none is given, after the wind (physics: see the source) */
	double rain_mm;          /* of the hour */
	double rain_chance_frac; /* of rain in it */
	double sun_wm2, clear_wm2; /* on level ground, mean of the hour; and under a clear sky */
	bool light;                /* the sun is up in its middle */
};

struct dayhours {
	struct date date;
	int64_t first; /* instant of the first hour that starts in it */
	int n;         /* 23, 24 or 25 of them */
	struct dayhour hour[DAY_HOURS_MAX];
};

/* Days that can be made at once. */
enum { DAYHOURS_MOST = 32 };

/*
 * Days one after the other, the first of them `from`.
 *
 * Given    h        the hourly series; what it does not reach is not known
 *          n        at most DAYHOURS_MOST
 * Notes    A gust that is not given is 1.5 of the mean wind.  Sun that did not come in as such is reckoned
 *          from cloud, else from the day's range (physics/insolation).
 * Source   1.5: gust factors over open country lie at 1.4 to 1.6 (common practice)
 */
void dayhours_of(const struct hours *h, const struct zone *z, struct date from, size_t n, double lat_deg,
		 double lon_deg, double elevation_m, struct dayhours *day);

/* Rain of the hours in [from, to); *known of them tell it.  NaN where none does. */
double dayhours_rain(const struct dayhours *day, size_t n, int64_t from, int64_t to, int *known);

#endif
