#include "physics/bed.h"

#include <math.h>

/* Classes of a night, derived here: both conditions must hold for the coldest row, one is enough for the mildest. */
static const double CALM_MS = 1.5, WINDY_MS = 3;
static const double CLEAR_FRAC = 0.25, OVERCAST_FRAC = 0.75;
static const struct bed_depression CALM_AND_CLEAR = {1.5, 2.5}, BETWEEN = {0.7, 1.3}, WINDY_OR_OVERCAST = {0, 0.4};

static const double NARROW_VIEW = 0.5; /* courtyard, wall, eaves */

double bed_air(double air_c, double dry_c)
{
	double k = BED_SHARE * (air_c - dry_c);
	if (k > BED_MOST_K)
		k = BED_MOST_K;
	return k < 0 ? air_c : air_c - k;
}

struct bed_depression bed_by_class(double wind10_ms, double cloud_frac, double sky_view_frac)
{
	struct bed_depression d = BETWEEN;

	if (wind10_ms > WINDY_MS || cloud_frac > OVERCAST_FRAC)
		d = WINDY_OR_OVERCAST;
	else if (!(wind10_ms >= CALM_MS) && !(cloud_frac >= CLEAR_FRAC))
		d = CALM_AND_CLEAR;
	if (sky_view_frac < NARROW_VIEW) {
		d.bed_k /= 2;
		d.leaf_k /= 2;
	}
	return d;
}

struct bed_now bed_step(struct leaf_water *water, const struct leaf_hour *hour, const struct leaf_setup *setup,
			bool at_bed)
{
	struct bed_now now = {.leaf = leaf_step(water, hour, setup), .air_c = hour->air_c};

	now.bed_c = bed_air(hour->air_c, now.leaf.heat.dry_c);
	now.leaf_c = now.leaf.heat.leaf_c;
	if (isnan(now.leaf_c)) {
		struct bed_depression d = bed_by_class(hour->wind10_ms, hour->cloud_frac, setup->sky_view_frac);
		now.bed_c = hour->air_c - d.bed_k;
		now.leaf_c = hour->air_c - d.leaf_k;
		now.by_class = !isnan(hour->air_c);
	}
	if (at_bed)
		now.bed_c = hour->air_c;
	return now;
}

static void lower(double *low_c, double x)
{
	if (!(*low_c <= x))
		*low_c = x;
}

struct bed_night bed_night(const struct leaf_hour *hour, size_t n, struct leaf_water water,
			   const struct leaf_setup *setup, bool at_bed)
{
	struct bed_night night = {
	    .coldest = n,
	    .air_c = (double)NAN,
	    .bed_c = (double)NAN,
	    .leaf_c = (double)NAN,
	    .water = water,
	};

	for (size_t i = 0; i < n; i++) {
		struct bed_now now = bed_step(&night.water, &hour[i], setup, at_bed);
		if (isnan(now.air_c))
			continue;
		night.known++;
		night.by_class += now.by_class;
		if (!now.by_class)
			night.deposit_mm += now.leaf.deposit_mm;
		if (!(night.leaf_c <= now.leaf_c))
			night.coldest = i;
		lower(&night.air_c, now.air_c);
		lower(&night.bed_c, now.bed_c);
		lower(&night.leaf_c, now.leaf_c);
	}
	if (night.known == night.by_class)
		night.deposit_mm = (double)NAN;
	return night;
}
