/*
 * Sunlight of the hours of a record: as it came in, else from cloud, else from the day's temperature range.
 *
 * And the other way round: the cloud of hours that have none, from how bright their day was.
 * Works on whole arrays, so that hours share what their day has in common.  Which hours a record has, and
 * what the middle of an hour is, is said in base/instant.h.
 * Units: W/m2, deg C, cloud 0..1.
 */
#ifndef PHYSICS_INSOLATION_H
#define PHYSICS_INSOLATION_H

#include <stddef.h>
#include <stdint.h>

#include "physics/radiation.h"

struct insolation_site {
	double lat_deg, lon_deg; /* north and east positive */
	double elevation_m;
	double range_factor; /* RADIATION_RANGE_INLAND or _COAST */
};

/* What is known; NaN where an hour's is missing, NULL where all are. */
struct insolation_given {
	int64_t first; /* UTC, the first hour, divisible by 3600 */
	size_t n;
	const double *shortwave_wm2; /* mean of the hour; under 0 counts as missing */
	const double *cloud_frac;    /* in the hour's middle; outside 0..1 counts as missing */
	const double *air_c;         /* in the hour's middle */
};

/* Arrays of n that the caller owns. */
struct insolation {
	double *shortwave_wm2; /* NaN where nothing can be told */
	double *clear_wm2;     /* the same under a clear sky */
	double *cloud_frac;    /* NaN where nothing can be told */
	uint8_t *mark;         /* enum radiation_basis of the sunlight, and the bits below */
};

enum insolation_mark {
	INSOLATION_BASIS = 0x0f,
	INSOLATION_HIGH_SUN = 0x10, /* 0.3 rad and more in the hour's middle: its share of clear sky tells of cloud */
	INSOLATION_CLOUD_ESTIMATED = 0x20 /* not reported, but inverted from the day's brightness */
};

/* Hours of a day whose temperature must be known before its range says anything (judgement). */
enum { INSOLATION_HOURS_ENOUGH = 20 };

/* The part of a day's clear-sky radiation that must be known before its brightness says anything (judgement). */
#define INSOLATION_LIGHT_ENOUGH 0.5

/*
 * Sunlight and cloud of every hour.
 *
 * Notes    A day is that of local standard time.  Its temperature range comes from the hours, which smooth it a
 *          little, and needs INSOLATION_HOURS_ENOUGH of them; it is spread over the hours as clear sky is.
 *          Cloud by inversion: of the night, from the day before it, else from the day after; of daylight, from
 *          its own day.  In polar night there is none to tell.
 * Source   cloud: Kasten & Czeplak 1980 on the clear sky of FAO-56 (Allen et al. 1998) eq. 37; range: FAO-56 eq. 50;
 *          the threshold of 0.3 rad: ASCE-EWRI 2005; spreading and inversion: derived here
 * Checked  parts against wholes, both ways; radiation as in physics/radiation
 */
void insolation_hours(const struct insolation_site *site, const struct insolation_given *in,
		      const struct insolation *out);

#endif
