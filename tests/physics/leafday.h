/*
 * The old writing of a leaf's exchange, and a day of weather, which the published numbers of the checks rest on.
 */
#ifndef TESTS_PHYSICS_LEAFDAY_H
#define TESTS_PHYSICS_LEAFDAY_H

#include <math.h>

#include "physics/humid.h"
#include "physics/leaf.h"
#include "physics/sky.h"

enum { LEAFDAY_H = 24 };

/* Wind at 0.3 m under the logarithmic law, at least 0.3 m/s, from that at 10 m. */
static inline double leafday_wind(double wind10_ms)
{
	return fmax(log(0.22 / 0.01476) / log(9.92 / 0.01476) * wind10_ms, 0.3);
}

/* Exchange of a mock leaf of length d: resistance of a side 307 sqrt(d / u) s/m (Monteith & Unsworth). */
static inline double leafday_exchange(double wind_ms, double d_m)
{
	return 1200 / (307 * sqrt(d_m / wind_ms));
}

/* A dry leaf in the open over ground as warm as the air. */
static inline struct leaf_env leafday_env(double t_c, double rh_percent, double rs_wm2, double cloud)
{
	double ea = rh_percent / 100 * humid_saturation(t_c);
	return (struct leaf_env){
	    .air_c = t_c,
	    .vapour_kpa = ea,
	    .shortwave_wm2 = rs_wm2,
	    .absorptance_frac = 0.5,
	    .sky_emissivity = sky_emissivity(ea, t_c, cloud),
	    .sky_view_frac = 1,
	    .ground_c = t_c,
	};
}

/* An invented late-spring day; hour 0 is 21:00. */
static const double leafday_t[LEAFDAY_H] = {18, 17, 16, 15.5, 15,   14.6, 14.3, 14, 14.5, 16, 18, 20,
					    22, 23, 24, 24.5, 24.5, 24,   23,   22, 21,   20, 19, 18.5};
static const double leafday_rh[LEAFDAY_H] = {84, 87.5, 92, 94, 96, 97, 98, 98, 97, 92, 84, 75,
					     67, 62,   58, 56, 56, 58, 62, 67, 72, 77, 80, 82};
static const double leafday_u10[LEAFDAY_H] = {1.5, 1.2, 1, 1, 1, 1, 1,   1,   1.2, 1.5, 2,   2.5,
					      3,   3,   3, 3, 3, 3, 2.5, 2.2, 2,   1.8, 1.6, 1.5};
static const double leafday_rs[LEAFDAY_H] = {0,   0,   0,   0,   0,   0,   0,   0,   0,   60, 200, 350,
					     500, 620, 700, 730, 700, 620, 500, 350, 200, 60, 0,   0};

#endif
