#include "physics/evapo.h"

#include <math.h>

#include "base/instant.h"
#include "physics/humid.h"
#include "physics/wind.h"

static const double MM_PER_MJ = 0.408;                              /* FAO-56 eq. 6: one over 2.45 MJ/kg */
static const double WIND_TERM_ZERO_K = 273;                         /* eq. 6 and 53 round it */
static const double GROUND_MONTH = 0.14;                            /* eq. 44 */
static const double HARGREAVES = 0.0023, HARGREAVES_SHIFT_C = 17.8; /* eq. 52 */

/* ASCE-EWRI 2005 eq. 5, 36 have 2503 where FAO-56 has 4098 times the 0.6108 of saturation. */
#define ASCE_SLOPE (2503 / (4098 * 0.6108))

#define LONGITUDE_MOST 180.0

enum { DAY_H = 24 };

/* What a form has for an hour or a day. */
struct weights {
	double cn, cd, cd_night;     /* of wind above and below; at night where net radiation is lost */
	double ground, ground_night; /* the soil's part of net radiation */
	double sigma, slope;         /* slope: against FAO-56's */
	double wind_least_ms;        /* FAO-56 p. 63 */
};

static const struct weights hourly[EVAPO_FORMS] = {
    [EVAPO_FAO56] = {37, 0.34, 0.34, 0.1, 0.5, RADIATION_SIGMA_FAO_HOUR, 1, 0.5},
    [EVAPO_SHORT] = {37, 0.24, 0.96, 0.1, 0.5, RADIATION_SIGMA_ASCE_HOUR, ASCE_SLOPE, 0},
    [EVAPO_TALL] = {66, 0.25, 1.7, 0.04, 0.2, RADIATION_SIGMA_ASCE_HOUR, ASCE_SLOPE, 0},
};

static const struct weights daily[EVAPO_FORMS] = {
    [EVAPO_FAO56] = {900, 0.34, 0.34, 0, 0, RADIATION_SIGMA_FAO_DAY, 1, 0.5},
    [EVAPO_SHORT] = {900, 0.34, 0.34, 0, 0, RADIATION_SIGMA_ASCE_DAY, ASCE_SLOPE, 0},
    [EVAPO_TALL] = {1600, 0.38, 0.38, 0, 0, RADIATION_SIGMA_ASCE_DAY, ASCE_SLOPE, 0},
};

/* The air of an hour or a day as the combination wants it. */
struct air {
	double mean_c, slope_kpa_k, deficit_kpa, wind_ms, psychrometric_kpa_k;
};

/* FAO-56 eq. 6 and 53, ASCE-EWRI 2005 eq. 1. */
static inline double combine(const struct weights *w, const struct air *a, const struct evapo *e)
{
	double cd = e->net_mj < 0 ? w->cd_night : w->cd;
	double deficit = a->deficit_kpa < 0 ? 0 : a->deficit_kpa;
	double wind = a->wind_ms < 0 ? (double)NAN : a->wind_ms < w->wind_least_ms ? w->wind_least_ms : a->wind_ms;
	double slope = w->slope * a->slope_kpa_k;

	return (MM_PER_MJ * slope * (e->net_mj - e->ground_mj) +
		a->psychrometric_kpa_k * w->cn / (a->mean_c + WIND_TERM_ZERO_K) * wind * deficit) /
	       (slope + a->psychrometric_kpa_k * (1 + cd * wind));
}

/* Hours side by side: calls cost as much as the arithmetic. */
static void several(enum evapo_form form, const struct evapo_hour *h, size_t n, struct evapo *e)
{
	const struct weights *w = &hourly[form];

	for (size_t i = 0; i < n; i++, h++, e++) {
		double es = humid_saturation(h->air_c);
		struct air a = {h->air_c, humid_slope(h->air_c, es), es - h->vapour_kpa, h->wind_ms,
				h->psychrometric_kpa_k};
		e->net_mj = radiation_net_short(h->shortwave_mj) -
			    radiation_net_long(w->sigma, h->air_c, h->air_c, h->vapour_kpa, h->cloudiness);
		e->ground_mj = (e->net_mj < 0 ? w->ground_night : w->ground) * e->net_mj;
		e->mm = combine(w, &a, e);
	}
}

struct evapo evapo_hour(enum evapo_form form, const struct evapo_hour *h)
{
	struct evapo e = {.mm = (double)NAN};

	several(form, h, 1, &e);
	return e;
}

struct evapo evapo_day(enum evapo_form form, const struct evapo_day *d)
{
	const struct weights *w = &daily[form];
	double mean_c = (d->tmin_c + d->tmax_c) / 2;
	double es = humid_saturation_day(d->tmin_c, d->tmax_c);
	struct air a = {mean_c, humid_slope(mean_c, humid_saturation(mean_c)), es - d->vapour_kpa, d->wind_ms,
			d->psychrometric_kpa_k};
	/* In polar night nothing tells of cloud. */
	double share = d->clear_mj == 0 ? EVAPO_NIGHT_SHARE : d->shortwave_mj / d->clear_mj;
	struct evapo e = {.ground_mj = d->ground_mj};

	e.net_mj = radiation_net_short(d->shortwave_mj) -
		   radiation_net_long(w->sigma, d->tmin_c, d->tmax_c, d->vapour_kpa, radiation_cloudiness(share));
	e.mm = combine(w, &a, &e);
	return e;
}

double evapo_ground_month(double before_c, double after_c, int months)
{
	return GROUND_MONTH / months * (after_c - before_c);
}

double evapo_hargreaves(double tmin_c, double tmax_c, double extraterrestrial_mj)
{
	if (!(tmin_c <= tmax_c))
		return (double)NAN;
	double warm = (tmin_c + tmax_c) / 2 + HARGREAVES_SHIFT_C;
	return HARGREAVES * (warm < 0 ? 0 : warm) * sqrt(tmax_c - tmin_c) * MM_PER_MJ * extraterrestrial_mj; /* 52 */
}

static double at(const double *x, size_t i)
{
	return x == NULL ? (double)NAN : x[i];
}

/* What is the same for all hours of a call. */
struct walk {
	const struct evapo_site *site;
	const struct evapo_given *in;
	const struct insolation *sun;
	int offset_s; /* of local standard time */
	double wind_factor, psychrometric_kpa_k;
};

/* The low of the day of local standard time that hour i is in; NaN where too few of its hours are known. */
static double low_of_day(const struct walk *w, size_t i)
{
	const struct evapo_given *in = w->in;
	int64_t t = in->first + (int64_t)i * HOUR_S;
	int64_t since_s = t - instant_at(instant_date(t, w->offset_s), 0, w->offset_s);
	size_t since = (size_t)(since_s / HOUR_S), known = 0;
	double low = (double)NAN;

	for (size_t k = since < i ? i - since : 0; k < in->n && k + since < i + DAY_H; k++) {
		low = fmin(low, at(in->air_c, k));
		known += isnan(at(in->air_c, k)) ? 0 : 1;
	}
	return known < INSOLATION_HOURS_ENOUGH ? (double)NAN : low;
}

/* The air of hour i, its gaps filled. */
static void air_hour(const struct walk *w, size_t i, struct evapo_hour *h, unsigned *mark)
{
	h->air_c = at(w->in->air_c, i);
	h->wind_ms = at(w->in->wind_ms, i) * w->wind_factor;
	if (!(h->wind_ms >= 0)) {
		h->wind_ms = EVAPO_WIND_MS;
		*mark |= EVAPO_WIND_ASSUMED;
	}
	h->vapour_kpa = at(w->in->vapour_kpa, i);
	if (!(h->vapour_kpa >= 0)) {
		h->vapour_kpa = humid_saturation(low_of_day(w, i) - w->site->dew_under_low_k);
		*mark |= EVAPO_HUMIDITY_ASSUMED;
	}
}

/* Cloudiness on its way through the hours. */
struct sky {
	double cloudiness;
	int age_h; /* hours since a high sun told it */
};

static void sky_hour(struct sky *sky, const struct insolation *sun, size_t i, unsigned *mark)
{
	double share = (double)NAN;

	if (sun->mark[i] & INSOLATION_HIGH_SUN)
		share = sun->shortwave_wm2[i] / sun->clear_wm2[i];
	if (!isnan(share)) {
		*sky = (struct sky){radiation_cloudiness(share), 0};
	} else if (sky->age_h < DAY_H) {
		sky->age_h++;
	} else {
		share = radiation_cloud_share(sun->cloud_frac[i]);
		sky->cloudiness = radiation_cloudiness(isnan(share) ? EVAPO_NIGHT_SHARE : share);
		*mark |= EVAPO_SKY_ASSUMED;
	}
}

/* Hours [from, from + n), at most DAY_H of them. */
static void fill_hours(const struct walk *w, struct sky *sky, size_t from, size_t n, struct evapo_hour *h,
		       uint8_t *mark)
{
	for (size_t i = from; i < from + n; i++, h++) {
		unsigned m = radiation_is_estimated(w->sun->mark[i] & INSOLATION_BASIS) ? EVAPO_SUN_ESTIMATED : 0;
		air_hour(w, i, h, &m);
		sky_hour(sky, w->sun, i, &m);
		h->shortwave_mj = RADIATION_MJ_PER_WM2_HOUR * w->sun->shortwave_wm2[i];
		h->cloudiness = sky->cloudiness;
		h->psychrometric_kpa_k = w->psychrometric_kpa_k;
		mark[i] = (uint8_t)m;
	}
}

void evapo_hours(enum evapo_form form, const struct evapo_site *site, const struct evapo_given *in,
		 const struct insolation *sun, double *mm, uint8_t *mark)
{
	struct walk w = {
	    .site = site,
	    .in = in,
	    .sun = sun,
	    .offset_s = fabs(site->lon_deg) <= LONGITUDE_MOST ? instant_standard_offset(site->lon_deg) : 0,
	    .wind_factor = wind_factor(site->wind_height_m, WIND_LOW_M),
	    .psychrometric_kpa_k = humid_psychrometric(humid_pressure(site->elevation_m)),
	};
	struct sky sky = {(double)NAN, DAY_H};
	struct evapo_hour hour[DAY_H];
	struct evapo e[DAY_H];

	for (size_t from = 0; from < in->n; from += DAY_H) {
		size_t n = DAY_H;
		if (n > in->n - from)
			n = in->n - from;
		fill_hours(&w, &sky, from, n, hour, mark);
		several(form, hour, n, e);
		for (size_t i = 0; i < n; i++)
			mm[from + i] = e[i].mm;
	}
}

/* The mean of the known hours on both sides, or the one. */
static double between(const double *mm, size_t n, size_t i)
{
	size_t before = i, after = i;

	while (before > 0 && isnan(mm[before]))
		before--;
	while (after + 1 < n && isnan(mm[after]))
		after++;
	if (isnan(mm[before]))
		return mm[after];
	return isnan(mm[after]) ? mm[before] : (mm[before] + mm[after]) / 2;
}

struct evapo_sum evapo_sum(const double *mm, const uint8_t *mark, size_t n)
{
	struct evapo_sum sum = {.mm = 0};

	for (size_t i = 0; i < n; i++) {
		sum.mm += between(mm, n, i);
		sum.known += isnan(mm[i]) ? 0 : 1;
		sum.estimated += !isnan(mm[i]) && mark[i] != 0 ? 1 : 0;
	}
	if (sum.known < INSOLATION_HOURS_ENOUGH || sum.known + EVAPO_HOURS_SPARE < n)
		sum.mm = (double)NAN;
	else if (sum.mm < 0)
		sum.mm = 0;
	return sum;
}

/* Radiation of a day by the best of what is known. */
static double day_light(const struct radiation_day *day, double clear_share, double range_factor,
			const struct evapo_known *k, enum radiation_basis *basis)
{
	const double by[] = {
	    [RADIATION_MEASURED] = k->shortwave_mj >= 0 ? k->shortwave_mj : (double)NAN,
	    [RADIATION_FROM_SUNSHINE] = radiation_from_sunshine(day, k->sunshine_h),
	    [RADIATION_FROM_CLOUD] = radiation_cloud_share(k->cloud_frac) * clear_share * day->extraterrestrial_mj,
	    [RADIATION_FROM_RANGE] = radiation_from_range(day, k->tmin_c, k->tmax_c, range_factor, clear_share),
	    [RADIATION_UNKNOWN] = (double)NAN,
	    [RADIATION_DARK] = day->extraterrestrial_mj == 0 ? 0 : (double)NAN,

	};

	*basis = RADIATION_MEASURED;
	while (*basis != RADIATION_UNKNOWN && isnan(by[*basis]))
		(*basis)--;
	return by[*basis];
}

struct evapo_told evapo_day_known(const struct evapo_site *site, const struct radiation_day *day, double range_factor,
				  const struct evapo_known *k)
{
	double clear_share = radiation_clear_share(site->elevation_m);
	struct evapo_told told = {.mm = (double)NAN};
	struct evapo_day d = {
	    .tmin_c = k->tmin_c,
	    .tmax_c = k->tmax_c,
	    .vapour_kpa = isnan(k->dew_point_c)
			      ? humid_vapour_day(k->tmin_c, k->tmax_c, k->rh_max, k->rh_min, k->rh_mean)
			      : humid_saturation(k->dew_point_c),
	    .wind_ms = wind_at(k->wind_ms, site->wind_height_m, WIND_LOW_M),
	    .clear_mj = clear_share * day->extraterrestrial_mj,
	    .psychrometric_kpa_k = humid_psychrometric(humid_pressure(site->elevation_m)),
	};

	d.shortwave_mj = day_light(day, clear_share, range_factor, k, &told.sun);
	if (told.sun == RADIATION_FROM_RANGE && isnan(d.vapour_kpa) && isnan(d.wind_ms)) {
		told.mark = EVAPO_FROM_EXTREMES_ALONE | EVAPO_SUN_ESTIMATED;
		told.mm = evapo_hargreaves(k->tmin_c, k->tmax_c, day->extraterrestrial_mj);
		return told;
	}
	told.mark = radiation_is_estimated(told.sun) ? EVAPO_SUN_ESTIMATED : 0;
	if (isnan(d.wind_ms)) {
		d.wind_ms = EVAPO_WIND_MS;
		told.mark |= EVAPO_WIND_ASSUMED;
	}
	if (isnan(d.vapour_kpa)) {
		d.vapour_kpa = humid_saturation(k->tmin_c - site->dew_under_low_k); /* 48 */
		told.mark |= EVAPO_HUMIDITY_ASSUMED;
	}
	if (k->tmin_c <= k->tmax_c)
		told.mm = evapo_day(EVAPO_FAO56, &d).mm;
	if (told.mm < 0)
		told.mm = 0;
	return told;
}
