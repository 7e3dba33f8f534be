#include "physics/diurnal.h"

#include <math.h>

#include "base/instant.h"
#include "physics/sun.h"

/* Linvill 1990: the sine's half period is the day and four hours, which puts the high two hours after noon. */
static const double LONGER_H = 4;

/* Lengths of the day between which the curve has sense (derived here). */
enum { DAY_LEAST_S = 4 * HOUR_S, DAY_MOST_S = 22 * HOUR_S };

struct diurnal_day diurnal_day(struct date d, double lat_deg, double lon_deg, double tmin_c, double tmax_c)
{
	struct diurnal_day day = {(double)NAN, (double)NAN, INSTANT_NONE, INSTANT_NONE};
	struct sun_day sun = sun_day(d, lat_deg, lon_deg);
	if (sun.state == SUN_UNTOLD)
		return day;
	if (tmin_c <= tmax_c) {
		day.tmin_c = tmin_c;
		day.tmax_c = tmax_c;
	}
	double length_s = sun_day_length(&sun) * HOUR_S;
	int64_t half = (int64_t)(fmin(fmax(length_s, DAY_LEAST_S), DAY_MOST_S) / 2);
	day.rise = sun.noon - half;
	day.set = sun.noon + half;
	return day;
}

static double by_day(const struct diurnal_day *day, int64_t t)
{
	double since_rise_h = (double)(t - day->rise) / HOUR_S;
	double length_h = (double)(day->set - day->rise) / HOUR_S;
	return day->tmin_c + (day->tmax_c - day->tmin_c) * sin(M_PI * since_rise_h / (length_h + LONGER_H));
}

double diurnal_at(const struct diurnal_day *today, const struct diurnal_day *next, int64_t t)
{
	if (t < today->rise)
		return (double)NAN;
	if (t < today->set)
		return by_day(today, t);
	if (next == NULL || t > next->rise)
		return (double)NAN;
	double at_set_c = by_day(today, today->set);
	double since_set_h = (double)(t - today->set) / HOUR_S;
	double night_h = (double)(next->rise - today->set) / HOUR_S;
	return at_set_c - (at_set_c - next->tmin_c) * log1p(since_set_h) / log1p(night_h);
}

void diurnal_hours(const struct diurnal_day *day, size_t days, int64_t first, size_t n, double *t_c)
{
	size_t at = 0;
	for (size_t i = 0; i < n; i++) {
		int64_t t = first + (int64_t)i * HOUR_S;
		while (at + 1 < days && t >= day[at + 1].rise)
			at++;
		t_c[i] = at < days ? diurnal_at(&day[at], at + 1 < days ? &day[at + 1] : NULL, t) : (double)NAN;
	}
}
