/*
 * How cold a night gets in the bed and on the leaf: the night's low by the way from forecast to leaf.
 *
 * The hours are those of the record, at 2 m: forecast, or measured.  What a low does to a plant, and how sure it
 * is, is not said here.  A leaf's width is its crop's.
 */
#ifndef SEASON_BEDLOW_H
#define SEASON_BEDLOW_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "facts/hours.h"
#include "season/night.h"

struct bedlow {
	double air_c, bed_c, leaf_c; /* lows at 2 m, over the bed, of a leaf; NaN where nothing is known of the night */
	/* The hour of the leaf's low: how it came to be.  NaN where not known. */
	int64_t at; /* INSTANT_NONE where nothing is known */
	double wind_ms, cloud_frac, dew_point_c;
	bool by_class;     /* that hour's humidity, wind or cloud is not known: by the class of such nights */
	double deposit_mm; /* dew and frost of the whole night; NaN where it cannot be told */
	bool frost;        /* the leaf is at or under 0 C: what comes down is frost */
};

/*
 * The lows of a night that has been summed up from the same hours, for each of `leaves` widths of leaf.
 *
 * Given    h         the hourly series
 *          n         night_of's, with its span
 *          leaf_m    width of each leaf, m
 * Notes    Samples are taken as they stand, as for the night's low.  Sun that is not known is none.  A night with
 *          holes has the lows of what is known of it: it was or will be at least as cold.  A window's minimum under
 *          the hours lowers all three by as much.  Correcting for the grower's own thermometer is not done yet.
 * Source   physics/bed, physics/leaf
 */
void bedlow_of(const struct hours *h, const struct night *n, double lat_deg, double lon_deg, const double *leaf_m,
	       size_t leaves, struct bedlow *low);

#endif
