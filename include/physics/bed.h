/*
 * From the air at 2 m to the air over a bed and the leaves in it, hour by hour and over a night.
 *
 * The hours that come in are forecast or measured, with the grower's own
 * correction already on them; learning that is not done here, nor is it said
 * what a low does to a plant, or how sure it is.
 * Units: deg C, m/s, mm.
 */
#ifndef PHYSICS_BED_H
#define PHYSICS_BED_H

#include <stdbool.h>
#include <stddef.h>

#include "physics/leaf.h"

/* Bed air lies under that at 2 m by this share of the dry leaf's depression, and by at most this much. */
#define BED_SHARE  0.55
#define BED_MOST_K 1.7

/*
 * Air at the height of a low bed.
 *
 * Given    air_c   at 2 m; dry_c, a dry leaf in it (leaf_heat.dry_c)
 * Returned at most air_c, at least BED_MOST_K under it; NaN where either is
 * Source   derived here, so that calm clear nights come out at the 1.1 to 1.7 K of Rahn & Brown 1971 (corn, under
 *          the shelter's minimum) beside leaves 2.2 to 2.8 K under it
 */
double bed_air(double air_c, double dry_c);

/* How far bed air and leaf lie under the air at 2 m, K. */
struct bed_depression {
	double bed_k, leaf_k;
};

/*
 * The same for nights without a balance, from what is known of wind and cloud.
 *
 * Given    wind10_ms, cloud_frac   either may be NaN: then as if calm, as if clear
 *          sky_view_frac           under 0.5 halves both; NaN: as in the open
 * Source   derived here from Rahn & Brown 1971, Leuning & Cremer 1988 (leaves 1 to 3 K under the air beside them)
 */
struct bed_depression bed_by_class(double wind10_ms, double cloud_frac, double sky_view_frac);

struct bed_now {
	struct leaf_now leaf; /* NaN where there is no balance */
	double air_c;         /* as it came in */
	double bed_c, leaf_c; /* NaN where air_c is */
	bool by_class;        /* humidity, wind, cloud or sun was missing */
};

/*
 * One hour, with the leaf's water carried along.
 *
 * Given    at_bed   the hours are corrected by a thermometer at bed height: they are bed air already
 * Notes    A missing sky counts as clear, missing wind as calm (bed_by_class), since what is lost is cold.
 *          With at_bed the leaf is still set against the hours as they are.
 */
struct bed_now bed_step(struct leaf_water *water, const struct leaf_hour *hour, const struct leaf_setup *setup,
			bool at_bed);

struct bed_night {
	size_t known;    /* hours with an air temperature */
	size_t by_class; /* of them, without a balance */
	size_t coldest;  /* hour of the leaf's low, the first where several are equal; n where none is known */
	double air_c, bed_c, leaf_c; /* lows, each over all hours; NaN where none is known */
	double deposit_mm;           /* dew and frost that came, hours with a balance only; NaN where none had one */
	struct leaf_water water;     /* at the end */
};

/*
 * Lows of bed air and leaf over the hours of a night.
 *
 * Given    hour[n]   every hour of the night; those without air temperature are passed over and counted
 *          water     on the leaf when the night begins; LEAF_WATER_UNTOLD where nobody knows
 * Notes    Whether so many hours are enough is the caller's to say.  A window's minimum under the hours
 *          lowers bed and leaf by as much: take it off both.
 */
struct bed_night bed_night(const struct leaf_hour *hour, size_t n, struct leaf_water water,
			   const struct leaf_setup *setup, bool at_bed);

#endif
