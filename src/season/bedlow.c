#include "season/bedlow.h"

#include <math.h>

#include "base/instant.h"
#include "physics/bed.h"
#include "physics/humid.h"
#include "physics/sky.h"
#include "physics/sun.h"

/* The longest night that night_of makes has its last sample after the latest sunrise of a civil day. */
enum { BEDLOW_HOURS = 32 };

static double sun_on(const struct hours *h, int64_t t, double lat_deg, double lon_deg)
{
	double x = hours_get(h, VAR_SHORTWAVE, t);
	if (sun_altitude(t, lat_deg, lon_deg) <= SUN_HORIZON_DEG || isnan(x))
		return 0;
	return x;
}

static struct leaf_hour hour_of(const struct hours *h, int64_t t, double lat_deg, double lon_deg)
{
	struct leaf_hour hour = {.air_c = hours_get(h, VAR_AIR_TEMPERATURE, t),
				 .wind10_ms = hours_get(h, VAR_WIND, t),
				 .cloud_frac = hours_get(h, VAR_CLOUD, t),
				 .shortwave_wm2 = sun_on(h, t, lat_deg, lon_deg),
				 .rain_mm = hours_get(h, VAR_PRECIPITATION, t)};
	hour.ground_c = hour.air_c;
	(void)humid_hour(hour.air_c, hours_get(h, VAR_DEW_POINT, t), hours_get(h, VAR_HUMIDITY, t), &hour.vapour_kpa);
	hour.sky_emissivity = sky_emissivity(hour.vapour_kpa, hour.air_c, hour.cloud_frac);
	return hour;
}

/* A window alone, without an hour in it: there is no hour to be calm or clear, so the class of such nights says. */
static void by_window(const struct night *n, struct bedlow *low)
{
	struct bed_depression d = bed_by_class((double)NAN, (double)NAN, 1);
	low->by_class = true;
	low->bed_c = n->lowest_seen_c - d.bed_k;
	low->leaf_c = n->lowest_seen_c - d.leaf_k;
}

static void by_hours(const struct night *n, const struct bed_night *night, const struct leaf_hour *hour,
		     struct bedlow *low)
{
	const struct leaf_hour *coldest = &hour[night->coldest];
	double under_k = night->air_c - n->lowest_seen_c;
	low->bed_c = night->bed_c - under_k;
	low->leaf_c = night->leaf_c - under_k;
	low->at = n->first + (int64_t)night->coldest * HOUR_S;
	low->wind_ms = coldest->wind10_ms;
	low->cloud_frac = coldest->cloud_frac;
	low->dew_point_c = humid_dew_point(coldest->vapour_kpa);
	low->by_class = isnan(coldest->sky_emissivity) || isnan(coldest->wind10_ms);
}

void bedlow_of(const struct hours *h, const struct night *n, double lat_deg, double lon_deg, const double *leaf_m,
	       size_t leaves, struct bedlow *low)
{
	struct leaf_hour hour[BEDLOW_HOURS];
	size_t hours = 0;
	for (int64_t t = n->first; t <= n->last && hours < BEDLOW_HOURS; t += HOUR_S)
		hour[hours++] = hour_of(h, t, lat_deg, lon_deg);
	for (size_t i = 0; i < leaves; i++) {
		const struct leaf_setup open = {.width_m = leaf_m[i], .sky_view_frac = 1, .shelter_frac = 1};
		struct bed_night night = bed_night(hour, hours, LEAF_WATER_UNTOLD, &open, false);
		low[i] = (struct bedlow){.air_c = n->lowest_seen_c,
					 .at = INSTANT_NONE,
					 .wind_ms = (double)NAN,
					 .cloud_frac = (double)NAN,
					 .dew_point_c = (double)NAN,
					 .deposit_mm = night.deposit_mm};
		if (night.coldest == hours)
			by_window(n, &low[i]);
		else
			by_hours(n, &night, hour, &low[i]);
		low[i].frost = low[i].leaf_c <= 0;
	}
}
