/*
 * Reference evapotranspiration: what an extended field of watered grass (or of something taller) gives off.
 *
 * By the hour and by the day, and what stands in for numbers that are missing.  What a crop, a bed or a tub
 * needs of it is not known here.  Numbers of ASCE-EWRI equations are from memory.
 * Units: deg C, kPa, m/s at 2 m, MJ m-2 and mm in the span (hour or day).  NaN in gives NaN out.
 */
#ifndef PHYSICS_EVAPO_H
#define PHYSICS_EVAPO_H

#include <stddef.h>
#include <stdint.h>

#include "physics/insolation.h"

/* Whose equation: they differ in constants. */
enum evapo_form {
	EVAPO_FAO56, /* grass of 0.12 m; FAO-56 (Allen et al. 1998) */
	EVAPO_SHORT, /* the same surface, ASCE-EWRI 2005: other nights */
	EVAPO_TALL,  /* 0.5 m, like lucerne, ASCE-EWRI 2005 */
	EVAPO_FORMS
};

struct evapo {
	double net_mj;    /* radiation that the surface keeps */
	double ground_mj; /* of it, into the soil */
	double mm;        /* may be under 0 at night: dew */
};

/* Means of an hour. */
struct evapo_hour {
	double air_c, vapour_kpa;
	double wind_ms; /* at 2 m; under 0 gives NaN */
	double shortwave_mj;
	double cloudiness; /* radiation_cloudiness(); at night, and with a low sun, that of the last high sun */
	double psychrometric_kpa_k; /* humid_psychrometric() */
};

/*
 * One hour.
 *
 * Limits   a night hour is one that loses radiation; EVAPO_FAO56 takes the wind as at least 0.5 m/s
 * Source   FAO-56 eq. 53, 45, 46; ASCE-EWRI 2005 eq. 1, tables 1, 42 to 45, 65, 66
 * Checked  FAO-56 example 19; ASCE-EWRI 2005 app. C, thirty hours, short and tall; RefET's hour at Fallon
 */
struct evapo evapo_hour(enum evapo_form form, const struct evapo_hour *h);

struct evapo_day {
	double tmin_c, tmax_c;
	double vapour_kpa; /* mean of the day */
	double wind_ms;    /* at 2 m; under 0 gives NaN */
	double shortwave_mj, clear_mj;
	double ground_mj;           /* 0, but for months */
	double psychrometric_kpa_k; /* humid_psychrometric() */
};

/*
 * One day, or the mean day of a month.
 *
 * Limits   EVAPO_FAO56 takes the wind as at least 0.5 m/s
 * Source   FAO-56 eq. 6; ASCE-EWRI 2005 eq. 1, tables 1, 3
 * Checked  FAO-56 examples 17, 18, 20; ASCE-EWRI 2005 app. C, ten days, short and tall; RefET's day at Fallon
 */
struct evapo evapo_day(enum evapo_form form, const struct evapo_day *d);

/*
 * Heat into the soil between the middles of two months, a day.
 *
 * Given    before_c, after_c   mean temperatures, `months` apart: 2 about the month, 1 where only the past is known
 * Source   FAO-56 eq. 43 (two months: 0.07 of the difference), 44 (one: 0.14)
 * Checked  FAO-56 examples 13 and 17
 */
double evapo_ground_month(double before_c, double after_c, int months);

/*
 * Reference evapotranspiration of a day from temperature extremes alone.
 *
 * Given    tmin_c, tmax_c         low over high gives NaN
 *          extraterrestrial_mj    radiation_day's
 * Returned mm, never negative
 * Limits   too low in wind over 3 m/s, too high in humid air
 * Source   Hargreaves & Samani 1985; FAO-56 eq. 52
 * Checked  FAO-56 example 20
 */
double evapo_hargreaves(double tmin_c, double tmax_c, double extraterrestrial_mj);

/* What stood in for numbers that were missing. */
enum evapo_mark {
	EVAPO_SUN_ESTIMATED = 0x01,      /* radiation from cloud, sunshine or temperature */
	EVAPO_WIND_ASSUMED = 0x02,       /* EVAPO_WIND_MS */
	EVAPO_HUMIDITY_ASSUMED = 0x04,   /* dew point from the day's low */
	EVAPO_SKY_ASSUMED = 0x08,        /* no high sun within a day: cloudiness from cloud, else EVAPO_NIGHT_SHARE */
	EVAPO_FROM_EXTREMES_ALONE = 0x10 /* evapo_hargreaves */
};

/* What FAO-56 (p. 63, 75) would have for missing wind at 2 m, and for clear-sky share in mean humid nights. */
#define EVAPO_WIND_MS     2.0
#define EVAPO_NIGHT_SHARE 0.5

/* FAO-56 (p. 58): the dew point comes down to the day's low; in dry country 2 to 3 K under it. */
#define EVAPO_DEW_UNDER_LOW_HUMID 0.0
#define EVAPO_DEW_UNDER_LOW_DRY   2.0

struct evapo_site {
	double lon_deg, elevation_m;
	double wind_height_m;   /* of the wind that comes in */
	double dew_under_low_k; /* one of the two above */
};

/* The hours' weather in the hours' middle; NaN where an hour's is missing, NULL where all are. */
struct evapo_given {
	int64_t first; /* UTC, divisible by 3600 */
	size_t n;
	const double *air_c;
	const double *vapour_kpa; /* humid_hour()'s */
	const double *wind_ms;    /* at the site's height; under 0 counts as missing */
};

/*
 * Every hour of a record.
 *
 * Given    sun   of the same hours, from insolation_hours
 * Returned mm[n], NaN where air temperature or sunlight is missing; mark[n], enum evapo_mark
 * Notes    Cloudiness is carried for 24 h from the last hour of high sun.  A day's low is that of 20 hours or more of
 *          local standard time.
 * Source   gaps: FAO-56 p. 58, 63, 75; order and limits of the carry: derived here
 * Checked  ASCE-EWRI 2005 app. C, thirty hours on end
 */
void evapo_hours(enum evapo_form form, const struct evapo_site *site, const struct evapo_given *in,
		 const struct insolation *sun, double *mm, uint8_t *mark);

struct evapo_sum {
	double mm; /* of the day, never negative; NaN where too little is known */
	size_t known, estimated;
};

/* Hours of a day that may be missing: they stand at the mean of their neighbours (judgement). */
enum { EVAPO_HOURS_SPARE = 4 };

/* A day's sum of the n hours that start in it, 23 to 25 on the civil calendar; with under 20 known NaN. */
struct evapo_sum evapo_sum(const double *mm, const uint8_t *mark, size_t n);

/* What a day's record has; NaN where missing. */
struct evapo_known {
	double tmin_c, tmax_c;
	double dew_point_c;
	double rh_max, rh_min, rh_mean; /* 0..1 */
	double wind_ms;                 /* at the site's height; under 0 counts as missing */
	double shortwave_mj, sunshine_h, cloud_frac;
};

struct evapo_told {
	double mm; /* NaN where tmin_c or tmax_c is missing */
	unsigned mark;
	enum radiation_basis sun;
};

/*
 * FAO-56's day from what is known of it.
 *
 * Given    range_factor   RADIATION_RANGE_INLAND or _COAST
 * Notes    Radiation measured, else from sunshine, cloud, temperature range; vapour from the dew point, else from
 *          humidities, else the day's low; wind, else 2 m/s.  With none of the three: evapo_hargreaves.
 * Source   FAO-56 ch. 3 and 4, eq. 6, 48, 50, 52
 * Checked  FAO-56 examples 17, 18, 20
 */
struct evapo_told evapo_day_known(const struct evapo_site *site, const struct radiation_day *day, double range_factor,
				  const struct evapo_known *k);

#endif
