#include "physics/sun.h"

#include <math.h>

#include "base/instant.h"

#define RAD_PER_DEG (M_PI / 180)

/* Meeus 1998, degrees; polynomials in Julian centuries from 2000-01-01 12:00 (JD 2451545.0), lowest power first. */
static const double EPOCH_DAYS = 10957.5, DAYS_A_CENTURY = 36525;                 /* 1970-01-01 to the epoch */
static const double MEAN_LONGITUDE[3] = {280.46646, 36000.76983, 0.0003032};      /* eq. 25.2 */
static const double MEAN_ANOMALY[3] = {357.52911, 35999.05029, -0.0001537};       /* 25.3 */
static const double ECCENTRICITY[3] = {0.016708634, -0.000042037, -0.0000001267}; /* 25.4 */
static const double CENTRE_1[3] = {1.914602, -0.004817, -0.000014};               /* factor of sin M */
static const double CENTRE_2[2] = {0.019993, -0.000101};                          /* of sin 2M */
static const double CENTRE_3 = 0.000289;                                          /* of sin 3M */
static const double NODE[2] = {125.04, -1934.136};                                /* of the moon's orbit */
static const double ABERRATION = -0.00569, NUTATION = -0.00478;
static const double OBLIQUITY_SECONDS[4] = {84381.448, -46.815, -0.00059, 0.001813}; /* 22.2: 23 deg 26' 21.448" */
static const double OBLIQUITY_NUTATION = 0.00256;                                    /* 25.8 */

/* Saemundsson's refraction in minutes of arc: a / tan(h + b / (h + c)), good down to about -1 deg (16.4). */
static const double REFRACTION_A = 1.02, REFRACTION_B = 10.3, REFRACTION_C = 5.11, REFRACTION_LOWEST_DEG = -1;

#define TURN_DEG    360.0
#define QUARTER_DEG 90.0
#define NOON_S      (DAY_S / 2.0)
#define S_PER_DEG   240 /* of the sun's hour angle */
#define CLOSE_S     0.01

enum {
	ROUNDS_MAX = 12, /* of the event's iteration; 3 are enough away from the polar limits */
};

static double polynomial(const double *factor, int n, double x)
{
	double sum = 0;
	for (int i = n - 1; i >= 0; i--)
		sum = sum * x + factor[i];
	return sum;
}

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
	double x = fmod(deg, TURN_DEG);
	return x < 0 ? x + TURN_DEG : x;
}

/* NOLINTBEGIN(readability-magic-numbers): the coefficients of a series, in the place the equation gives them. */

/* Equation of time in minutes (Meeus eq. 28.3). */
static double equation(double longitude_deg, double anomaly_deg, double e, double obliquity_deg)
{
	double half = tan_deg(obliquity_deg / 2);
	double y = half * half;
	double rad = y * sin_deg(2 * longitude_deg) - 2 * e * sin_deg(anomaly_deg) +
		     4 * e * y * sin_deg(anomaly_deg) * cos_deg(2 * longitude_deg) -
		     y * y / 2 * sin_deg(4 * longitude_deg) - 5 * e * e / 4 * sin_deg(2 * anomaly_deg);
	return 4 * rad / RAD_PER_DEG;
}

static struct sun_orbit orbit(double t)
{
	double c = (t / DAY_S - EPOCH_DAYS) / DAYS_A_CENTURY;
	struct sun_orbit o;

	o.mean_longitude_deg = turn(polynomial(MEAN_LONGITUDE, 3, c));
	o.mean_anomaly_deg = turn(polynomial(MEAN_ANOMALY, 3, c));
	o.eccentricity = polynomial(ECCENTRICITY, 3, c);
	double m = o.mean_anomaly_deg;
	o.centre_deg = sin_deg(m) * polynomial(CENTRE_1, 3, c) + sin_deg(2 * m) * polynomial(CENTRE_2, 2, c) +
		       sin_deg(3 * m) * CENTRE_3;
	double node = polynomial(NODE, 2, c);
	o.apparent_longitude_deg = turn(o.mean_longitude_deg + o.centre_deg + ABERRATION + NUTATION * sin_deg(node));
	o.obliquity_deg = polynomial(OBLIQUITY_SECONDS, 4, c) / HOUR_S + OBLIQUITY_NUTATION * cos_deg(node);
	o.declination_deg = asin(sin_deg(o.obliquity_deg) * sin_deg(o.apparent_longitude_deg)) / RAD_PER_DEG; /* 25.7 */
	o.equation_min = equation(o.mean_longitude_deg, m, o.eccentricity, o.obliquity_deg);
	return o;
}

struct sun_orbit sun_orbit(int64_t t)
{
	return orbit((double)t);
}

static double hour_angle(double t, double lon_deg, const struct sun_orbit *o)
{
	double from_noon_s = fmod(t, DAY_S) - NOON_S + 60 * o->equation_min;
	return from_noon_s / S_PER_DEG + lon_deg;
}

static double altitude(double t, double lat_deg, double lon_deg)
{
	struct sun_orbit o = orbit(t);
	double s = sin_deg(lat_deg) * sin_deg(o.declination_deg) +
		   cos_deg(lat_deg) * cos_deg(o.declination_deg) * cos_deg(hour_angle(t, lon_deg, &o));
	return asin(s > 1 ? 1 : s < -1 ? -1 : s) / RAD_PER_DEG;
}

double sun_altitude(int64_t t, double lat_deg, double lon_deg)
{
	return altitude((double)t, lat_deg, lon_deg);
}

double sun_azimuth(int64_t t, double lat_deg, double lon_deg)
{
	struct sun_orbit o = orbit((double)t);
	double h = hour_angle((double)t, lon_deg, &o);
	double from_south =
	    atan2(sin_deg(h), cos_deg(h) * sin_deg(lat_deg) - tan_deg(o.declination_deg) * cos_deg(lat_deg));
	return turn(from_south / RAD_PER_DEG + TURN_DEG / 2);
}

double sun_apparent(double altitude_deg)
{
	double a = fmax(altitude_deg, REFRACTION_LOWEST_DEG);
	double refraction_deg = REFRACTION_A / tan_deg(a + REFRACTION_B / (a + REFRACTION_C)) / 60;
	if (altitude_deg < REFRACTION_LOWEST_DEG)
		refraction_deg *= (altitude_deg + QUARTER_DEG) / (REFRACTION_LOWEST_DEG + QUARTER_DEG);
	return altitude_deg + refraction_deg;
}

/* NOLINTEND(readability-magic-numbers) */

/* The instant of solar noon plus a hour angle, both with the equation of time of about t. */
static double at_angle(double midnight, double lon_deg, double hour_angle_deg, const struct sun_orbit *o)
{
	return midnight + NOON_S - S_PER_DEG * (lon_deg - hour_angle_deg) - 60 * o->equation_min;
}

/*
 * Sunrise (side -1) or sunset (side 1), each round with the sun of the round before.
 *
 * Where the sun stays on one side of the horizon the hour angle is held at noon
 * or midnight, so that the last word is spoken by the sun of that instant.
 */
static int64_t event(double midnight, double noon, double lat_deg, double lon_deg, double altitude_deg, int side)
{
	double t = noon;
	double cos_h = 0;

	for (int round = 0; round < ROUNDS_MAX; round++) {
		struct sun_orbit o = orbit(t);
		cos_h = sin_deg(altitude_deg) / (cos_deg(lat_deg) * cos_deg(o.declination_deg)) -
			tan_deg(lat_deg) * tan_deg(o.declination_deg);
		double h = acos(cos_h > 1 ? 1 : cos_h < -1 ? -1 : cos_h) / RAD_PER_DEG;
		double next = at_angle(midnight, lon_deg, side * h, &o);
		double moved = fabs(next - t);
		t = next;
		if (moved < CLOSE_S)
			break;
	}
	return fabs(cos_h) > 1 ? INSTANT_NONE : (int64_t)llround(t);
}

struct sun_day sun_day_at(struct date d, double lat_deg, double lon_deg, double altitude_deg)
{
	if (!(fabs(lat_deg) <= QUARTER_DEG && fabs(lon_deg) <= TURN_DEG / 2 && isfinite(altitude_deg)))
		return (struct sun_day){SUN_UNTOLD, INSTANT_NONE, INSTANT_NONE, INSTANT_NONE, (double)NAN};

	double midnight = (double)instant_at(d, 0, 0);
	double noon = midnight + NOON_S - S_PER_DEG * lon_deg;
	/* The sun of mean noon, at most 17 minutes off: that moves noon by less than half a second. */
	struct sun_orbit o = orbit(noon);
	noon = at_angle(midnight, lon_deg, 0, &o);

	struct sun_day day;
	day.noon = (int64_t)llround(noon);
	day.noon_altitude_deg = altitude(noon, lat_deg, lon_deg);
	day.rise = event(midnight, noon, lat_deg, lon_deg, altitude_deg, -1);
	day.set = event(midnight, noon, lat_deg, lon_deg, altitude_deg, 1);
	day.state = SUN_RISES;
	if (day.rise == INSTANT_NONE && day.set == INSTANT_NONE)
		day.state = day.noon_altitude_deg > altitude_deg ? SUN_UP_ALL_DAY : SUN_DOWN_ALL_DAY;
	return day;
}

struct sun_day sun_day(struct date d, double lat_deg, double lon_deg)
{
	return sun_day_at(d, lat_deg, lon_deg, SUN_HORIZON_DEG);
}

double sun_day_length(const struct sun_day *day)
{
	if (day->state == SUN_UNTOLD)
		return (double)NAN;
	if (day->state == SUN_DOWN_ALL_DAY)
		return 0;
	int64_t from = day->rise == INSTANT_NONE ? day->noon - DAY_S / 2 : day->rise;
	int64_t to = day->set == INSTANT_NONE ? day->noon + DAY_S / 2 : day->set;
	return (double)(to - from) / HOUR_S;
}
