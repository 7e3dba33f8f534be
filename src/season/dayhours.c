#include "season/dayhours.h"

#include <math.h>

#include "base/instant.h"
#include "physics/insolation.h"
#include "physics/sun.h"

enum { SPAN_MAX = DAYHOURS_MOST * DAY_HOURS_MAX, HALF_HOUR_S = HOUR_S / 2 };

static const double GUST_PER_WIND = 1.5;

struct span {
	int64_t first;
	size_t n;
	double air_c[SPAN_MAX], cloud_frac[SPAN_MAX], given_wm2[SPAN_MAX];
	double sun_wm2[SPAN_MAX], clear_wm2[SPAN_MAX], cloud_out[SPAN_MAX];
	uint8_t mark[SPAN_MAX];
};

/* The part of the series that lies in the span, from hour `skip` of the span on.  It owns nothing. */
static struct hours part_of(const struct hours *h, const struct span *s, size_t *skip)
{
	struct hours part = *h;
	int64_t from = h->first > s->first ? h->first : s->first;
	int64_t end = s->first + (int64_t)s->n * HOUR_S, to = hours_end(h) < end ? hours_end(h) : end;
	part.block = NULL;
	part.first = from;
	part.n = to > from ? (size_t)((to - from) / HOUR_S) : 0;
	*skip = part.n > 0 ? (size_t)((from - s->first) / HOUR_S) : 0;
	for (size_t v = 0; v < VARS && part.n > 0; v++) {
		part.value[v] += (from - h->first) / HOUR_S;
		part.origin[v] += (from - h->first) / HOUR_S;
	}
	return part;
}

static void sunlight(const struct hours *h, double lat_deg, double lon_deg, double elevation_m, struct span *s)
{
	const struct insolation_site site = {.lat_deg = lat_deg,
					     .lon_deg = lon_deg,
					     .elevation_m = isnan(elevation_m) ? 0 : elevation_m,
					     .range_factor = RADIATION_RANGE_INLAND};
	const struct insolation_given given = {.first = s->first,
					       .n = s->n,
					       .shortwave_wm2 = s->given_wm2,
					       .cloud_frac = s->cloud_frac,
					       .air_c = s->air_c};
	const struct insolation out = {
	    .shortwave_wm2 = s->sun_wm2, .clear_wm2 = s->clear_wm2, .cloud_frac = s->cloud_out, .mark = s->mark};
	size_t skip;
	struct hours part = part_of(h, s, &skip);
	for (size_t i = 0; i < s->n; i++) {
		s->air_c[i] = s->cloud_frac[i] = (double)NAN;
		s->given_wm2[i] = hours_get(h, VAR_SHORTWAVE, s->first + (int64_t)i * HOUR_S);
	}
	if (part.n > 0) {
		hours_middle(&part, VAR_AIR_TEMPERATURE, s->air_c + skip);
		hours_middle(&part, VAR_CLOUD, s->cloud_frac + skip);
	}
	insolation_hours(&site, &given, &out);
}

static struct dayhour hour_of(const struct hours *h, int64_t t)
{
	struct dayhour hour = {.air_c = hours_get(h, VAR_AIR_TEMPERATURE, t),
			       .wind_ms = hours_get(h, VAR_WIND, t),
			       .gust_ms = hours_get(h, VAR_GUST, t),
			       .rain_mm = hours_get(h, VAR_PRECIPITATION, t),
			       .rain_chance_frac = hours_get(h, VAR_PRECIPITATION_CHANCE, t)};
	if (isnan(hour.gust_ms))
		hour.gust_ms = GUST_PER_WIND * hour.wind_ms;
	return hour;
}

void dayhours_of(const struct hours *h, const struct zone *z, struct date from, size_t n, double lat_deg,
		 double lon_deg, double elevation_m, struct dayhours *day)
{
	struct span s = {.n = 0};
	if (n > DAYHOURS_MOST)
		n = DAYHOURS_MOST;
	for (size_t k = 0; k < n; k++) {
		struct dayhours *d = &day[k];
		d->date = date_add(from, (int)k);
		int hours = day_hours(z, d->date, &d->first);
		d->n = hours > DAY_HOURS_MAX ? DAY_HOURS_MAX : hours;
		s.first = k == 0 ? d->first : s.first;
		s.n += (size_t)d->n;
	}
	sunlight(h, lat_deg, lon_deg, elevation_m, &s);
	for (size_t k = 0; k < n; k++) {
		for (int i = 0; i < day[k].n; i++) {
			int64_t t = day[k].first + (int64_t)i * HOUR_S;
			size_t at = (size_t)((t - s.first) / HOUR_S);
			struct dayhour *hour = &day[k].hour[i];
			*hour = hour_of(h, t);
			hour->light = sun_altitude(t + HALF_HOUR_S, lat_deg, lon_deg) > SUN_HORIZON_DEG;
			hour->sun_wm2 = at < s.n ? s.sun_wm2[at] : (double)NAN;
			hour->clear_wm2 = at < s.n ? s.clear_wm2[at] : (double)NAN;
		}
	}
}

double dayhours_rain(const struct dayhours *day, size_t n, int64_t from, int64_t to, int *known)
{
	double sum = 0;
	*known = 0;
	for (size_t k = 0; k < n; k++) {
		for (int i = 0; i < day[k].n; i++) {
			int64_t t = day[k].first + (int64_t)i * HOUR_S;
			if (t < from || t >= to || isnan(day[k].hour[i].rain_mm))
				continue;
			sum += day[k].hour[i].rain_mm;
			++*known;
		}
	}
	return *known > 0 ? sum : (double)NAN;
}
