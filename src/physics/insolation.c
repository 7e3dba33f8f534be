#include "physics/insolation.h"

#include <math.h>

#include "base/date.h"
#include "base/instant.h"

#define RAD_PER_HOUR    (M_PI / 12)
#define WM2_PER_MJ_HOUR (1 / RADIATION_MJ_PER_WM2_HOUR)
#define LONGITUDE_MOST  180.0

static const double HIGH_SUN_SINE = 0.29552020666133958; /* of 0.3 rad: ASCE-EWRI 2005 */

enum { DAY_H = 24 };

/* The hours [from, to) of the arrays that lie in one day of local standard time. */
struct span {
	size_t from, to;
	struct radiation_day day;
	struct radiation_hour hour[DAY_H];
	double clear_share;
	double light, clear;   /* sums of the hours that have both, W/m2 */
	size_t unlit, clouded; /* hours without sunlight yet; with cloud */
	size_t dawn;           /* the first hour with the sun up; to where there is none */
};

static double at(const double *x, size_t i)
{
	return x == NULL ? (double)NAN : x[i];
}

static void span_from(struct span *s, const struct insolation_site *site, const struct insolation_given *in,
		      size_t from)
{
	int64_t t = in->first + (int64_t)from * HOUR_S;
	double lon_deg = fabs(site->lon_deg) <= LONGITUDE_MOST ? site->lon_deg : (double)NAN;
	int offset_s = isnan(lon_deg) ? 0 : instant_standard_offset(lon_deg);
	struct date d = instant_date(t, offset_s);
	int64_t since_s = t - instant_at(d, 0, offset_s);
	size_t left = DAY_H - (size_t)(since_s / HOUR_S) % DAY_H;

	s->from = from;
	s->to = left < in->n - from ? from + left : in->n;
	s->day = radiation_day(site->lat_deg, date_day_of_year(d));
	double angle = radiation_hour_angle(&s->day, lon_deg, (double)(since_s - offset_s) / HOUR_S + 0.5);
	s->clear_share = radiation_clear_share(site->elevation_m);
	s->light = s->clear = 0;
	s->unlit = s->clouded = 0;
	s->dawn = s->to;
	radiation_hours(&s->day, angle, s->to - s->from, s->hour);
}

static void count_light(struct span *s, double shortwave, double clear)
{
	s->light += shortwave;
	s->clear += clear;
}

/* What the hour itself tells: clear sky, reported cloud, and sunlight as far as it goes. */
static void hour_alone(struct span *s, const struct insolation_given *in, const struct insolation *out, size_t i)
{
	const struct radiation_hour *hour = &s->hour[i - s->from];
	double clear = hour->extraterrestrial_mj * s->clear_share * WM2_PER_MJ_HOUR;
	double shortwave = at(in->shortwave_wm2, i), cloud = at(in->cloud_frac, i);
	unsigned basis = RADIATION_MEASURED;

	if (cloud >= 0 && cloud <= 1)
		s->clouded++;
	else
		cloud = (double)NAN;
	if (!(shortwave >= 0)) {
		shortwave = clear > 0 ? clear * radiation_cloud_share(cloud) : clear;
		basis = isnan(shortwave) ? RADIATION_UNKNOWN : clear > 0 ? RADIATION_FROM_CLOUD : RADIATION_DARK;
	}
	if (isnan(shortwave))
		s->unlit++;
	else if (clear > 0)
		count_light(s, shortwave, clear);
	if (clear > 0 && hour->sun_sine >= HIGH_SUN_SINE)
		basis |= INSOLATION_HIGH_SUN;
	if (clear > 0 && i < s->dawn)
		s->dawn = i;
	out->clear_wm2[i] = clear;
	out->cloud_frac[i] = cloud;
	out->shortwave_wm2[i] = shortwave;
	out->mark[i] = (uint8_t)basis;
}

/* Sunlight of the hours that have none yet, from the range of the day's temperature. */
static void fill_light(struct span *s, const struct insolation_site *site, const double *air_c,
		       const struct insolation *out)
{
	double low = (double)NAN, high = (double)NAN;
	size_t known = 0;

	for (size_t i = s->from; i < s->to; i++) {
		low = fmin(low, at(air_c, i));
		high = fmax(high, at(air_c, i));
		known += isnan(at(air_c, i)) ? 0 : 1;
	}
	if (known < INSOLATION_HOURS_ENOUGH)
		return;
	double day_mj = radiation_from_range(&s->day, low, high, site->range_factor, s->clear_share);
	double share = day_mj / (s->clear_share * s->day.extraterrestrial_mj);
	for (size_t i = s->from; i < s->to; i++) {
		if (!isnan(out->shortwave_wm2[i]) || isnan(share * out->clear_wm2[i]))
			continue;
		out->shortwave_wm2[i] = share * out->clear_wm2[i];
		out->mark[i] |= RADIATION_FROM_RANGE;
		count_light(s, out->shortwave_wm2[i], out->clear_wm2[i]);
	}
}

/* How bright the day was against a clear one; NaN where too little of it is known. */
static double brightness(const struct span *s)
{
	double whole = s->clear_share * s->day.extraterrestrial_mj * WM2_PER_MJ_HOUR;
	return s->clear > INSOLATION_LIGHT_ENOUGH * whole ? s->light / s->clear : (double)NAN;
}

/* Of the hours that have none, what a day of that brightness tells. */
static void fill_cloud(const struct insolation *out, size_t from, size_t to, double share)
{
	double cloud = radiation_cloud_behind(share);

	if (isnan(cloud))
		return;
	for (size_t i = from; i < to; i++) {
		if (!isnan(out->cloud_frac[i]))
			continue;
		out->cloud_frac[i] = cloud;
		out->mark[i] |= INSOLATION_CLOUD_ESTIMATED;
	}
}

void insolation_hours(const struct insolation_site *site, const struct insolation_given *in,
		      const struct insolation *out)
{
	double share_before = (double)NAN;
	struct span s = {0};

	for (size_t from = 0; from < in->n; from = s.to) {
		span_from(&s, site, in, from);
		for (size_t i = s.from; i < s.to; i++)
			hour_alone(&s, in, out, i);
		if (s.unlit > 0)
			fill_light(&s, site, in->air_c, out);
		double share = brightness(&s);
		if (s.clouded < s.to - s.from) {
			fill_cloud(out, s.from, s.dawn, isnan(share_before) ? share : share_before);
			fill_cloud(out, s.dawn, s.to, share);
		}
		share_before = share;
	}
}
