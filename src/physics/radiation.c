#include "physics/radiation.h"

#include <math.h>

#define RAD_PER_DEG   (M_PI / 180)
#define RAD_PER_HOUR  (M_PI / 12)
#define DEG_PER_HOUR  15.0
#define LATITUDE_MOST 90.0

/* FAO-56, equation beside each. */
static const double SOLAR_MJ_H = 4.92;                                           /* 21: 0.0820 MJ m-2 min-1 */
static const double DISTANCE_SWING = 0.033;                                      /* 23 */
static const double DECLINATION = 0.409, DECLINATION_SHIFT = 1.39;               /* 24 */
static const double YEAR_DAYS = 365;                                             /* 23, 24 */
static const double SEASON_2B = 0.1645, SEASON_COS = 0.1255, SEASON_SIN = 0.025; /* 32 */
static const double SEASON_DAY = 81, SEASON_DAYS = 364;                          /* 33 */
static const double OVERCAST = 0.25, SUNSHINE = 0.50;                            /* 35 */
static const double CLEAR = 0.75, CLEAR_PER_M = 2e-5;                            /* 37 */

/* The sun's turn in an hour, 15 degrees: sine, cosine, and one over the difference of sines about noon. */
static const double HOUR_SIN = 0.25881904510252076, HOUR_COS = 0.96592582628906829, PER_CHORD = 3.8306487877701943;

static const double CLOUD_KEEPS = 0.75, CLOUD_POWER = 3.4; /* Kasten & Czeplak 1980 */

/* Not fmin and fmax, which drop a NaN. */
static double held(double x, double lo, double hi)
{
	return x < lo ? lo : x > hi ? hi : x;
}

/* An end of a span, with the sine that neighbouring spans share. */
struct edge {
	double angle, sine;
};

static struct edge edge_at(double angle)
{
	return (struct edge){angle, sin(angle)};
}

static struct edge sunset(const struct radiation_day *day)
{
	return edge_at(day->sunset_rad);
}

/* Held between sunrise and sunset; `set` is the latter. */
static inline struct edge in_light(struct edge e, struct edge set)
{
	if (e.angle > set.angle)
		return set;
	return e.angle < -set.angle ? (struct edge){-set.angle, -set.sine} : e;
}

/* The integral of the sun's sine over the part of a span that has the sun up. */
static inline double lit(const struct radiation_day *day, struct edge from, struct edge to, struct edge set)
{
	struct edge a = in_light(from, set), b = in_light(to, set);
	if (a.angle >= b.angle)
		return 0;
	double x = (b.angle - a.angle) * day->sine_part + day->cosine_part * (b.sine - a.sine);
	return x < 0 ? 0 : x;
}

/* FAO-56 eq. 28; past the sun's midnight the neighbour day is as long as this one. */
static inline double span_mj(const struct radiation_day *day, struct edge from, struct edge to, struct edge set)
{
	double span = lit(day, from, to, set);
	double turn = to.angle > M_PI ? -2 * M_PI : from.angle < -M_PI ? 2 * M_PI : 0;

	if (turn != 0)
		span +=
		    lit(day, (struct edge){from.angle + turn, from.sine}, (struct edge){to.angle + turn, to.sine}, set);
	return SOLAR_MJ_H / RAD_PER_HOUR * day->distance * span;
}

struct radiation_day radiation_day(double lat_deg, int day_of_year)
{
	double j = 2 * M_PI * day_of_year / YEAR_DAYS;
	double b = 2 * M_PI * (day_of_year - SEASON_DAY) / SEASON_DAYS; /* 33 */
	double lat = fabs(lat_deg) <= LATITUDE_MOST ? lat_deg * RAD_PER_DEG : (double)NAN;
	const struct edge midnight = {-M_PI, 0}, next_midnight = {M_PI, 0};
	struct radiation_day day;

	day.distance = 1 + DISTANCE_SWING * cos(j);                     /* 23 */
	day.declination_rad = DECLINATION * sin(j - DECLINATION_SHIFT); /* 24 */
	day.sine_part = sin(lat) * sin(day.declination_rad);
	day.cosine_part = cos(lat) * cos(day.declination_rad);
	day.sunset_rad = acos(held(-day.sine_part / day.cosine_part, -1, 1)); /* 25: the product of tangents */
	day.solar_h = SEASON_2B * sin(2 * b) - SEASON_COS * cos(b) - SEASON_SIN * sin(b); /* 32 */
	day.extraterrestrial_mj = span_mj(&day, midnight, next_midnight, sunset(&day));   /* 21 */
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
	return span_mj(day, edge_at(from_rad), edge_at(to_rad), sunset(day));
}

void radiation_hours(const struct radiation_day *day, double middle_rad, size_t n, struct radiation_hour *hour)
{
	double start = middle_rad - RAD_PER_HOUR / 2, cosine = cos(start);
	struct edge set = sunset(day), from = edge_at(start);

	for (size_t k = 0; k < n; k++) {
		/* Turned by an hour: sines and cosines of sums, instead of new ones. */
		struct edge to = {start + RAD_PER_HOUR * (double)(k + 1), from.sine * HOUR_COS + cosine * HOUR_SIN};
		cosine = cosine * HOUR_COS - from.sine * HOUR_SIN;
		hour[k].extraterrestrial_mj = span_mj(day, from, to, set);
		hour[k].sun_sine = day->sine_part + day->cosine_part * (to.sine - from.sine) * PER_CHORD;
		from = to;
	}
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
