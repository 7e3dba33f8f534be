/*
 * Wind at one height from wind at another, over open ground under short grass.
 *
 * Heights in m over the ground, wind in m/s, NaN in gives NaN out.  What walls,
 * hedges and a leaf canopy take away is not in it.
 */
#ifndef PHYSICS_WIND_H
#define PHYSICS_WIND_H

/* The height that formulas of evapotranspiration want, and that of forecasts and weather stations. */
#define WIND_LOW_M  2.0
#define WIND_HIGH_M 10.0

/*
 * What the wind at from_m is multiplied with to have it at to_m.
 *
 * Given    from_m, to_m   0.1 or higher; under 0.095, where the profile ends, NaN
 * Returned exactly 1 for one and the same height; for WIND_LOW_M as FAO-56 prints it
 * Limits   mean winds, no strong inversion: on calm clear nights there is less wind near the ground
 * Source   logarithmic profile over grass of 0.12 m, FAO-56 (Allen et al. 1998) eq. 47; between other heights by
 *          the ratio of two of them (derived here)
 * Checked  FAO-56 example 14; ASCE-EWRI 2005 app. C and a station at Fallon (3 m)
 */
double wind_factor(double from_m, double to_m);

/*
 * The wind itself; for one value.  Whoever has many keeps the factor.
 *
 * Given    wind_ms   0 or more; less gives NaN
 */
double wind_at(double wind_ms, double from_m, double to_m);

#endif
