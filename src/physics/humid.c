#include "physics/humid.h"

#include <math.h>

static const double ICE_B = 22.46, ICE_C = 272.62; /* WMO-No. 8 annex 4.B */

static const double SEA_KPA = 101.3, SEA_K = 293, LAPSE_K_M = 0.0065, PRESSURE_POWER = 5.26; /* FAO-56 eq. 7 */
static const double PSYCHROMETRIC_K = 0.665e-3;                                              /* eq. 8 */

double humid_saturation_ice(double t_c)
{
	return HUMID_FACTOR_KPA * exp(ICE_B * t_c / (ICE_C + t_c));
}

double humid_slope_ice(double t_c, double ei_kpa)
{
	return ICE_B * ICE_C * ei_kpa / ((ICE_C + t_c) * (ICE_C + t_c));
}

static double inverse(double e_kpa, double b, double c)
{
	if (!(e_kpa > 0))
		return (double)NAN;
	double g = log(e_kpa / HUMID_FACTOR_KPA);
	return c * g / (b - g);
}

double humid_dew_point(double ea_kpa)
{
	return inverse(ea_kpa, HUMID_WATER_B, HUMID_WATER_C);
}

double humid_frost_point(double ea_kpa)
{
	return inverse(ea_kpa, ICE_B, ICE_C);
}

double humid_saturation_day(double tmin_c, double tmax_c)
{
	return (humid_saturation(tmin_c) + humid_saturation(tmax_c)) / 2;
}

double humid_vapour_day(double tmin_c, double tmax_c, double rh_max, double rh_min, double rh_mean)
{
	if (!isnan(rh_max) && !isnan(rh_min))
		return (humid_saturation(tmin_c) * rh_max + humid_saturation(tmax_c) * rh_min) / 2; /* 17 */
	if (!isnan(rh_max))
		return humid_saturation(tmin_c) * rh_max;      /* 18 */
	return humid_saturation_day(tmin_c, tmax_c) * rh_mean; /* 19 */
}

enum humid_verdict humid_hour(double t_c, double dew_point_c, double rh, double *ea_kpa)
{
	*ea_kpa = (double)NAN;
	if (isnan(t_c) || (isnan(dew_point_c) && isnan(rh)))
		return HUMID_MISSING;
	if (isnan(dew_point_c)) {
		double es = humid_saturation(t_c);
		if (rh >= 0 && rh <= 1) {
			*ea_kpa = rh * es;
			return HUMID_SOUND;
		}
		if (rh < 0)
			return HUMID_REFUSED;
		dew_point_c = humid_dew_point(rh * es);
	}
	if (!(dew_point_c - t_c <= HUMID_CLAMP_K))
		return HUMID_REFUSED;
	*ea_kpa = humid_saturation(dew_point_c < t_c ? dew_point_c : t_c);
	return dew_point_c > t_c ? HUMID_CLAMPED : HUMID_SOUND;
}

double humid_deficit(double t_c, double ea_kpa)
{
	double deficit = humid_saturation(t_c) - ea_kpa;
	return deficit < 0 ? 0 : deficit;
}

double humid_pressure(double elevation_m)
{
	return SEA_KPA * pow((SEA_K - LAPSE_K_M * elevation_m) / SEA_K, PRESSURE_POWER);
}

double humid_psychrometric(double pressure_kpa)
{
	return PSYCHROMETRIC_K * pressure_kpa;
}
