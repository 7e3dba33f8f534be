#include "physics/insolation.h"

#include <math.h>

#include "base/date.h"
#include "base/instant.h"

#define RAD_PER_HOUR    (M_PI / 12)
#define WM2_PER_MJ_HOUR (1 / RADIATION_MJ_PER_WM2_HOUR)
#define LONGITUDE_MOST  180.0

static const double HIGH_SUN_SINE = 0.29552020666133955; /* of 0.3 rad: ASCE-EWRI 2005 */

/* The hours [from, to) of the arrays that lie in one day of local standard time. */
struct span {
	size_t from, to;
	double angle_rad; /* the sun's, in the middle of the first hour */
	struct radiation_day day;
	double clear_share;
};

static double at(const double *x, size_t i)
{
	return x == NULL ? (double)NAN : x[i];
}

static double angle_at(const struct span *s, size_t i)
{
	return s->angle_rad + RAD_PER_HOUR * (double)(i - s->from);
}

static struct span span_from(const struct insolation_site *site, const struct insolation_given *in, size_t from)
{
	int64_t t = in->first + (int64_t)from * HOUR_S;
	double lon_deg = fabs(site->lon_deg) <= LONGITUDE_MOST ? site->lon_deg : (double)NAN;
	int offset_s = isnan(lon_deg) ? 0 : instant_standard_offset(lon_deg);
	struct date d = instant_date(t, offset_s);
	int64_t since_s = t - instant_at(d, 0, offset_s);
	size_t left = (size_t)((DAY_S - since_s) / HOUR_S);
	struct span s = {.from = from, .to = left < in->n - from ? from + left : in->n};

	s.day = radiation_day(site->lat_deg, date_day_of_year(d));
	s.angle_rad = radiation_hour_angle(&s.day, lon_deg, (double)(since_s - offset_s) / HOUR_S + 0.5);
	s.clear_share = radiation_clear_share(site->elevation_m);
	return s;
}

/* What the hour itself tells: clear sky, reported cloud, and sunlight as far as it goes. */
static void hour_alone(const struct span *s, const struct insolation_given *in, const struct insolation *out, size_t i)
{
	double angle = angle_at(s, i);
	double mj = radiation_extraterrestrial(&s->day, angle - RAD_PER_HOUR / 2, angle + RAD_PER_HOUR / 2);
	double clear = mj * s->clear_share * WM2_PER_MJ_HOUR;
	double shortwave = at(in->shortwave_wm2, i), cloud = at(in->cloud_frac, i);
	unsigned basis = RADIATION_MEASURED;

	if (!(cloud >= 0 && cloud <= 1))
		cloud = (double)NAN;
	if (!(shortwave >= 0)) {
		shortwave = clear > 0 ? clear * radiation_cloud_share(cloud) : clear;
		basis = isnan(shortwave) ? RADIATION_UNKNOWN : clear > 0 ? RADIATION_FROM_CLOUD : RADIATION_DARK;
	}
	if (clear > 0 && radiation_sun_sine(&s->day, angle) >= HIGH_SUN_SINE)
		basis |= INSOLATION_HIGH_SUN;
	out->clear_wm2[i] = clear;
	out->cloud_frac[i] = cloud;
	out->shortwave_wm2[i] = shortwave;
	out->mark[i] = (uint8_t)basis;
}

/* Sunlight of the hours that have none yet, from the range of the day's temperature. */
static void fill_light(const struct span *s, const struct insolation_site *site, const double *air_c,
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
	}
}

/* How bright the day was against a clear one; NaN where too little of it is known. */
static double brightness(const struct span *s, const struct insolation *out)
{
	double light = 0, clear = 0;

	for (size_t i = s->from; i < s->to; i++) {
		if (isnan(out->shortwave_wm2[i]) || !(out->clear_wm2[i] > 0))
			continue;
		light += out->shortwave_wm2[i];
		clear += out->clear_wm2[i];
	}
	double whole = s->clear_share * s->day.extraterrestrial_mj * WM2_PER_MJ_HOUR;
	return clear > INSOLATION_LIGHT_ENOUGH * whole ? light / clear : (double)NAN;
}

/* Cloud of the hours that have none; hours before dawn belong to the day before. */
static void fill_cloud(const struct span *s, double day_cloud, double cloud_before, const struct insolation *out)
{
	double dawn_cloud = isnan(cloud_before) ? day_cloud : cloud_before;

	for (size_t i = s->from; i < s->to; i++) {
		double cloud = angle_at(s, i) < 0 && out->clear_wm2[i] <= 0 ? dawn_cloud : day_cloud;
		if (!isnan(out->cloud_frac[i]) || isnan(cloud))
			continue;
		out->cloud_frac[i] = cloud;
		out->mark[i] |= INSOLATION_CLOUD_ESTIMATED;
	}
}

void insolation_hours(const struct insolation_site *site, const struct insolation_given *in,
		      const struct insolation *out)
{
	double cloud_before = (double)NAN;

	for (size_t from = 0; from < in->n;) {
		struct span s = span_from(site, in, from);
		size_t dark = 0, clouded = 0;
		for (size_t i = s.from; i < s.to; i++) {
			hour_alone(&s, in, out, i);
			dark += isnan(out->shortwave_wm2[i]) ? 1 : 0;
			clouded += isnan(out->cloud_frac[i]) ? 0 : 1;
		}
		if (dark > 0)
			fill_light(&s, site, in->air_c, out);
		double day_cloud = radiation_cloud_behind(brightness(&s, out));
		if (clouded < s.to - s.from)
			fill_cloud(&s, day_cloud, cloud_before, out);
		cloud_before = day_cloud;
		from = s.to;
	}
}
