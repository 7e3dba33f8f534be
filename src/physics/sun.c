#include "physics/sun.h"

#include <math.h>

#include "base/instant.h"

#define RAD_PER_DEG (M_PI / 180)

enum {
	ROUNDS_MAX = 12, /* of the event's iteration; 3 are enough away from the polar limits */
};

static double sin_deg(double x)
{
	return sin(x * RAD_PER_DEG);
}

static double cos_deg(double x)
{
	return cos(x * RAD_PER_DEG);
}

static double tan_deg(double x)
{
	return tan(x * RAD_PER_DEG);
}

/* Into 0..360. */
static double turn(double deg)
{
	double x = fmod(deg, 360);
	return x < 0 ? x + 360 : x;
}

/* NOLINTBEGIN(readability-magic-numbers): the coefficients of a series, in the place the equation gives them. */

/* Equation of time in minutes (Meeus eq. 28.3). */
static double equation(double longitude_deg, double anomaly_deg, double e, double obliquity_deg)
{
	double half = tan_deg(obliquity_deg / 2);
	double y = half * half;
	double rad = y * sin_deg(2 * longitude_deg) - 2 * e * sin_deg(anomaly_deg) +
		     4 * e * y * sin_deg(anomaly_deg) * cos_deg(2 * longitude_deg) -
		     0.5 * y * y * sin_deg(4 * longitude_deg) - 1.25 * e * e * sin_deg(2 * anomaly_deg);
	return 4 * rad / RAD_PER_DEG;
}

static struct sun_orbit orbit(double t)
{
	double c = (t / DAY_S - 10957.5) / 36525; /* Julian centuries since 2000-01-01 12:00 (JD 2451545.0) */
	struct sun_orbit o;

	o.mean_longitude_deg = turn(280.46646 + c * (36000.76983 + c * 0.0003032)); /* Meeus 25.2 */
	o.mean_anomaly_deg = turn(357.52911 + c * (35999.05029 - c * 0.0001537));   /* 25.3 */
	o.eccentricity = 0.016708634 - c * (0.000042037 + c * 0.0000001267);        /* 25.4 */
	double m = o.mean_anomaly_deg;
	o.centre_deg = sin_deg(m) * (1.914602 - c * (0.004817 + c * 0.000014)) +
		       sin_deg(2 * m) * (0.019993 - c * 0.000101) + sin_deg(3 * m) * 0.000289;
	double node = 125.04 - 1934.136 * c;
	o.apparent_longitude_deg =
	    turn(o.mean_longitude_deg + o.centre_deg - 0.00569 - 0.00478 * sin_deg(node));                    /* 25.8 */
	double mean_obliquity = 23 + (26 + (21.448 - c * (46.815 + c * (0.00059 - c * 0.001813))) / 60) / 60; /* 22.2 */
	o.obliquity_deg = mean_obliquity + 0.00256 * cos_deg(node);
	o.declination_deg = asin(sin_deg(o.obliquity_deg) * sin_deg(o.apparent_longitude_deg)) / RAD_PER_DEG; /* 25.7 */
	o.equation_min = equation(o.mean_longitude_deg, m, o.eccentricity, o.obliquity_deg);
	return o;
}

struct sun_orbit sun_orbit(int64_t t)
{
	return orbit((double)t);
}

static double altitude(double t, double lat_deg, double lon_deg)
{
	struct sun_orbit o = orbit(t);
	double solar_min = fmod(t, DAY_S) / 60 + 4 * lon_deg + o.equation_min;
	double hour_angle_deg = solar_min / 4 - 180;
	double s = sin_deg(lat_deg) * sin_deg(o.declination_deg) +
		   cos_deg(lat_deg) * cos_deg(o.declination_deg) * cos_deg(hour_angle_deg);
	return asin(s > 1 ? 1 : s < -1 ? -1 : s) / RAD_PER_DEG;
}

double sun_altitude(int64_t t, double lat_deg, double lon_deg)
{
	return altitude((double)t, lat_deg, lon_deg);
}

double sun_apparent(double altitude_deg)
{
	double a = altitude_deg < -1 ? -1 : altitude_deg;
	double refraction_deg = 1.02 / tan_deg(a + 10.3 / (a + 5.11)) / 60; /* Meeus 16.4, minutes of arc */
	if (altitude_deg < -1)
		refraction_deg *= (altitude_deg + 90) / 89;
	return altitude_deg + refraction_deg;
}

/* NOLINTEND(readability-magic-numbers) */

/* The instant of solar noon plus a hour angle, both with the equation of time of about t. */
static double at_angle(double midnight, double lon_deg, double hour_angle_deg, const struct sun_orbit *o)
{
	return midnight + 60 * (720 - 4 * (lon_deg - hour_angle_deg) - o->equation_min);
}

/*
 * Sunrise (side -1) or sunset (side 1), each round with the sun of the round before.
 *
 * Where the sun stays on one side of the horizon the hour angle is held at noon
 * or midnight, so that the last word is spoken by the sun of that instant.
 */
static int64_t event(double midnight, double noon, double lat_deg, double lon_deg, int side)
{
	double t = noon;
	double cos_h = 0;

	for (int round = 0; round < ROUNDS_MAX; round++) {
		struct sun_orbit o = orbit(t);
		cos_h = sin_deg(SUN_HORIZON_DEG) / (cos_deg(lat_deg) * cos_deg(o.declination_deg)) -
			tan_deg(lat_deg) * tan_deg(o.declination_deg);
		double h = acos(cos_h > 1 ? 1 : cos_h < -1 ? -1 : cos_h) / RAD_PER_DEG;
		double next = at_angle(midnight, lon_deg, side * h, &o);
		double moved = fabs(next - t);
		t = next;
		if (moved < 0.01)
			break;
	}
	return fabs(cos_h) > 1 ? INSTANT_NONE : (int64_t)llround(t);
}

struct sun_day sun_day(struct date d, double lat_deg, double lon_deg)
{
	double midnight = (double)instant_at(d, 0, 0);
	double noon = midnight + 43200 - 240 * lon_deg;
	/* The sun of mean noon, at most 17 minutes off: that moves noon by less than half a second. */
	struct sun_orbit o = orbit(noon);
	noon = at_angle(midnight, lon_deg, 0, &o);

	struct sun_day day;
	day.noon = (int64_t)llround(noon);
	day.noon_altitude_deg = altitude(noon, lat_deg, lon_deg);
	day.rise = event(midnight, noon, lat_deg, lon_deg, -1);
	day.set = event(midnight, noon, lat_deg, lon_deg, 1);
	day.state = SUN_RISES;
	if (day.rise == INSTANT_NONE && day.set == INSTANT_NONE)
		day.state = day.noon_altitude_deg > SUN_HORIZON_DEG ? SUN_UP_ALL_DAY : SUN_DOWN_ALL_DAY;
	return day;
}
