#include "physics/radiation.h"

#include <math.h>

#define RAD_PER_DEG   (M_PI / 180)
#define RAD_PER_HOUR  (M_PI / 12)
#define DEG_PER_HOUR  15.0
#define LATITUDE_MOST 90.0
#define QUARTER_TURN  (M_PI / 2)

/* FAO-56, equation beside each. */
static const double SOLAR_MJ_H = 4.92;                                           /* 21: 0.0820 MJ m-2 min-1 */
static const double DISTANCE_SWING = 0.033;                                      /* 23 */
static const double DECLINATION = 0.409, DECLINATION_SHIFT = 1.39;               /* 24 */
static const double YEAR_DAYS = 365;                                             /* 23, 24 */
static const double SEASON_2B = 0.1645, SEASON_COS = 0.1255, SEASON_SIN = 0.025; /* 32 */
static const double SEASON_DAY = 81, SEASON_DAYS = 364;                          /* 33 */
static const double OVERCAST = 0.25, SUNSHINE = 0.50;                            /* 35 */
static const double CLEAR = 0.75, CLEAR_PER_M = 2e-5;                            /* 37 */
static const double GRASS_KEEPS = 0.77;                                          /* 38 */
static const double ZERO_K = 273.16, AIR_CLEAR = 0.34, AIR_VAPOUR = 0.14;        /* 39 */
static const double CLOUDY = 1.35, CLOUDY_LESS = 0.35;                           /* 39 */
static const double SHARE_LEAST = 0.3;                                           /* ASCE-EWRI 2005 eq. 18 */

static const double CLOUD_KEEPS = 0.75, CLOUD_POWER = 3.4; /* Kasten & Czeplak 1980 */

/* Not fmin and fmax, which drop a NaN. */
static double held(double x, double lo, double hi)
{
	return x < lo ? lo : x > hi ? hi : x;
}

/* The integral of the sun's sine over a span that is above the horizon throughout, less what lies outside it. */
static double lit(const struct radiation_day *day, double from, double to)
{
	double a = held(from, -day->sunset_rad, day->sunset_rad);
	double b = held(to, -day->sunset_rad, day->sunset_rad);
	if (a >= b)
		return 0;
	double x = (b - a) * day->sine_part + day->cosine_part * (sin(b) - sin(a));
	return x < 0 ? 0 : x;
}

struct radiation_day radiation_day(double lat_deg, int day_of_year)
{
	double j = 2 * M_PI * day_of_year / YEAR_DAYS;
	double b = 2 * M_PI * (day_of_year - SEASON_DAY) / SEASON_DAYS; /* 33 */
	double lat = fabs(lat_deg) <= LATITUDE_MOST ? lat_deg * RAD_PER_DEG : (double)NAN;
	struct radiation_day day;

	day.distance = 1 + DISTANCE_SWING * cos(j);                               /* 23 */
	day.declination_rad = DECLINATION * sin(j - DECLINATION_SHIFT);           /* 24 */
	day.sunset_rad = acos(held(-tan(lat) * tan(day.declination_rad), -1, 1)); /* 25 */
	day.sine_part = sin(lat) * sin(day.declination_rad);
	day.cosine_part = cos(lat) * cos(day.declination_rad);
	day.solar_h = SEASON_2B * sin(2 * b) - SEASON_COS * cos(b) - SEASON_SIN * sin(b); /* 32 */
	day.extraterrestrial_mj = radiation_extraterrestrial(&day, -M_PI, M_PI);          /* 21 */
	return day;
}

double radiation_daylight_h(const struct radiation_day *day)
{
	return 2 * day->sunset_rad / RAD_PER_HOUR; /* 34 */
}

double radiation_hour_angle(const struct radiation_day *day, double lon_deg, double utc_h)
{
	return RAD_PER_HOUR * (utc_h + lon_deg / DEG_PER_HOUR + day->solar_h) - M_PI; /* 31 */
}

double radiation_sun_sine(const struct radiation_day *day, double angle_rad)
{
	return day->sine_part + day->cosine_part * cos(angle_rad);
}

double radiation_extraterrestrial(const struct radiation_day *day, double from_rad, double to_rad)
{
	double span = lit(day, from_rad, to_rad);

	/* Past the sun's midnight the neighbour day is as long as this one. */
	if (to_rad > M_PI)
		span += lit(day, from_rad - 2 * M_PI, to_rad - 2 * M_PI);
	if (from_rad < -M_PI)
		span += lit(day, from_rad + 2 * M_PI, to_rad + 2 * M_PI);
	return SOLAR_MJ_H / RAD_PER_HOUR * day->distance * span; /* 28 */
}

double radiation_clear_share(double elevation_m)
{
	return CLEAR + CLEAR_PER_M * elevation_m; /* 37 */
}

double radiation_from_sunshine(const struct radiation_day *day, double sunshine_h)
{
	double daylight_h = radiation_daylight_h(day);
	if (!(sunshine_h >= 0))
		return (double)NAN;
	if (sunshine_h >= daylight_h)
		return (OVERCAST + SUNSHINE) * day->extraterrestrial_mj;
	return (OVERCAST + SUNSHINE * sunshine_h / daylight_h) * day->extraterrestrial_mj; /* 35 */
}

double radiation_cloud_share(double cloud_frac)
{
	if (!(cloud_frac >= 0 && cloud_frac <= 1))
		return (double)NAN;
	return 1 - CLOUD_KEEPS * pow(cloud_frac, CLOUD_POWER);
}

double radiation_cloud_behind(double share)
{
	if (!(share >= 0))
		return (double)NAN;
	return pow(held((1 - share) / CLOUD_KEEPS, 0, 1), 1 / CLOUD_POWER);
}

double radiation_from_range(const struct radiation_day *day, double tmin_c, double tmax_c, double factor,
			    double clear_share)
{
	if (!(tmin_c <= tmax_c))
		return (double)NAN;
	return held(factor * sqrt(tmax_c - tmin_c), 0, clear_share) * day->extraterrestrial_mj; /* 50 */
}

double radiation_net_short(double shortwave_mj)
{
	return GRASS_KEEPS * shortwave_mj; /* 38 */
}

double radiation_cloudiness(double share)
{
	return CLOUDY * held(share, SHARE_LEAST, 1) - CLOUDY_LESS; /* 39 */
}

static double fourth(double x)
{
	return x * x * x * x;
}

double radiation_net_long(double sigma, double low_c, double high_c, double vapour_kpa, double cloudiness)
{
	double warm = (fourth(low_c + ZERO_K) + fourth(high_c + ZERO_K)) / 2;
	return sigma * warm * (AIR_CLEAR - AIR_VAPOUR * sqrt(vapour_kpa)) * cloudiness; /* 39 */
}
