#include "physics/wind.h"

#include <math.h>

/* FAO-56 eq. 47: u2 = u 4.87 / ln(67.8 z - 5.42); 67.8 is one over the roughness, 5.42 displacement over roughness. */
static const double PROFILE_AT_LOW = 4.87, PROFILE_PER_M = 67.8, PROFILE_LESS = 5.42;

static double profile(double z_m)
{
	if (z_m == WIND_LOW_M)
		return PROFILE_AT_LOW;
	double x = PROFILE_PER_M * z_m - PROFILE_LESS;
	return x > 1 ? log(x) : (double)NAN;
}

double wind_factor(double from_m, double to_m)
{
	return profile(to_m) / profile(from_m);
}

double wind_at(double wind_ms, double from_m, double to_m)
{
	return wind_ms >= 0 ? wind_ms * wind_factor(from_m, to_m) : (double)NAN;
}
