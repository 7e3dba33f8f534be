/*
 * Water vapour in air: saturation, dew and frost point, air pressure.
 *
 * Temperatures in deg C, pressures in kPa, relative humidity 0..1 and always
 * over water, as services and stations give it.  NaN in gives NaN out.  Pairs
 * of humidity numbers into each other are physics/psychro's business, dew on
 * leaves the leaf's.  What every hour of a record calls is here in full, since the call would cost as much.
 * Limits, all functions: -100 to 60 deg C, which is wider than any weather.
 */
#ifndef PHYSICS_HUMID_H
#define PHYSICS_HUMID_H

#include <math.h>

/* Saturation is FACTOR * exp(B t / (C + t)), kPa and deg C (FAO-56 eq. 11); over ice it has the same factor. */
#define HUMID_FACTOR_KPA 0.6108
#define HUMID_WATER_B    17.27
#define HUMID_WATER_C    237.3
#define HUMID_SLOPE_K    4098 /* FAO-56 eq. 13: B C, as it rounds it */

/*
 * Saturation vapour pressure over water, below 0 C too (supercooled).
 *
 * Returned kPa
 * Limits   within 0.1 % of Sonntag 1990 from 0 to 40 C, 0.8 % low at -20
 * Source   Tetens 1930, as FAO-56 (Allen et al. 1998) eq. 11
 * Checked  FAO-56 table 2.3, example 3
 */
static inline double humid_saturation(double t_c)
{
	return HUMID_FACTOR_KPA * exp(HUMID_WATER_B * t_c / (HUMID_WATER_C + t_c));
}

/*
 * Saturation vapour pressure over ice; meant from 0 C down.
 *
 * Returned kPa
 * Limits   within 0.1 % of Sonntag 1990 from -20 to 0 C
 * Source   WMO-No. 8 annex 4.B (Sonntag 1990): 22.46, 272.62; its factor of 6.112 hPa is replaced by the
 *          6.108 of water, so that both meet at 0 C (derived here)
 * Checked  WMO and Sonntag over ice
 */
double humid_saturation_ice(double t_c);

/*
 * Slope of the saturation curve, over water and over ice.
 *
 * Given    es_kpa, ei_kpa   saturation at t_c over water, over ice (callers have it at hand, and it costs an exp)
 * Returned kPa K-1
 * Source   FAO-56 eq. 13, whose 4098 is 17.27 * 237.3 rounded; over ice in the same way
 * Checked  FAO-56 table 2.4, example 17; differences of the curves
 */
static inline double humid_slope(double t_c, double es_kpa)
{
	return HUMID_SLOPE_K * es_kpa / ((HUMID_WATER_C + t_c) * (HUMID_WATER_C + t_c));
}

double humid_slope_ice(double t_c, double ei_kpa);

/*
 * The temperature at which air of vapour pressure ea is saturated, over water and over ice.
 *
 * Given    ea_kpa   over 0; else NaN
 * Returned deg C; the frost point is meant from 0 C down and lies above the dew point there
 * Source   humid_saturation and humid_saturation_ice, solved for t
 * Checked  the curves backwards; 26 rows of psychrolib 1.1.1
 */
double humid_dew_point(double ea_kpa);
double humid_frost_point(double ea_kpa);

/*
 * Mean saturation vapour pressure of a day: the mean of both ends, not that of the mean temperature.
 *
 * Source   FAO-56 eq. 12
 * Checked  FAO-56 examples 3 and 5
 */
double humid_saturation_day(double tmin_c, double tmax_c);

/*
 * Mean vapour pressure of a day from its humidities, as far as they are known.
 *
 * Given    rh_max, rh_min, rh_mean   0..1, NaN where unknown; what is best is used: the two ends,
 *                                    the highest alone, the mean
 * Returned kPa; NaN where none of the three is known
 * Source   FAO-56 eq. 17, 18, 19
 * Checked  FAO-56 example 5
 */
double humid_vapour_day(double tmin_c, double tmax_c, double rh_max, double rh_min, double rh_mean);

enum humid_verdict {
	HUMID_MISSING, /* cannot tell: no temperature, or neither dew point nor humidity */
	HUMID_SOUND,
	HUMID_CLAMPED, /* taken as saturated: over it by at most HUMID_CLAMP_K; count these */
	HUMID_REFUSED, /* contradicts itself by more; the hour has no humidity; count these too */
	HUMID_VERDICTS
};

/* A dew point may stand that far over the temperature: two roundings to whole degrees (judgement). */
#define HUMID_CLAMP_K 0.5

/*
 * Vapour pressure of an hour from what was reported, and whether the report can be.
 *
 * Given    dew_point_c, rh   either may be NaN; the dew point goes first, since it says the same at any temperature
 * Returned *ea_kpa           at most saturation at t_c; NaN where missing or refused.
 *          A humidity over 1 is judged by the dew point that it stands for, one under 0 is refused.
 * Source   order: ASCE-EWRI 2005; the clamp: derived here
 */
enum humid_verdict humid_hour(double t_c, double dew_point_c, double rh, double *ea_kpa);

/*
 * What the air could still take up: saturation at t_c less ea_kpa.
 *
 * Returned kPa, never negative
 * Checked  FAO-56 example 6
 */
double humid_deficit(double t_c, double ea_kpa);

/*
 * Air pressure at a height above the sea in a standard atmosphere of 20 C.
 *
 * Given    elevation_m   -500..10000
 * Returned kPa
 * Source   FAO-56 eq. 7
 * Checked  FAO-56 table 2.1, example 2
 */
double humid_pressure(double elevation_m);

/*
 * Psychrometric constant.
 *
 * Returned kPa K-1
 * Source   FAO-56 eq. 8
 * Checked  FAO-56 table 2.2, example 2
 */
double humid_psychrometric(double pressure_kpa);

#endif
