/*
 * Wet or dry, hour by hour: spells of it, and what humidity alone says where the balance of a leaf cannot be had.
 *
 * The balance itself is physics/leaf.  Fields measured near plants differ by
 * about two hours a night from any of these.
 * Units: deg C, fractions 0..1, mm in the hour.
 */
#ifndef PHYSICS_WETNESS_H
#define PHYSICS_WETNESS_H

#include <stdbool.h>
#include <stddef.h>

enum wetness { WETNESS_CANNOT_TELL, WETNESS_DRY, WETNESS_WET };

/* The humidity from which a leaf counts as wet, where nothing else is said (Sentelhas et al. 2008: best of three). */
#define WETNESS_HUMID_FRAC 0.90

/*
 * Wet if the air is humid or it rained in the hour.
 *
 * Given    rh_frac     0..1; rain_mm, >= 0; either may be NaN
 *          line_frac   wet from this humidity on, WETNESS_HUMID_FRAC or the grower's
 * Returned cannot tell, unless what is known decides it
 * Source   Sentelhas et al. 2008 (number of hours with RH >= 90 %)
 * Checked  a day of 24 hours at 90 and at 87 %
 */
enum wetness wetness_humid(double rh_frac, double rain_mm, double line_frac);

/* The two depressions of the dew point between which a leaf keeps its state, K (Gillespie, from memory). */
#define WETNESS_ONSET_K  2.0
#define WETNESS_DRYOFF_K 3.8

/*
 * Wet from a dew-point depression under onset_k, dry from one over dryoff_k, else as before.
 *
 * Given    before         the hour before; WETNESS_DRY at the start of a series that begins in dry weather
 *          depression_k   air temperature less dew point; NaN: cannot tell, and stays so until a line is crossed
 * Source   two-threshold rule of Gillespie and co-workers (from memory)
 * Checked  a day of 24 hours with 2.0/3.8 and with 1.8/2.2
 */
enum wetness wetness_depression(enum wetness before, double depression_k, double onset_k, double dryoff_k);

/* A run of wet hours. */
struct wetness_spell {
	size_t start, end; /* first hour, and the one after the last */
	double mean_c;     /* mean temperature of its hours; NaN where one of them is missing */
	bool open_start; /* it may have begun earlier: at the first hour of the series, or after one that cannot be told
			  */
	bool open_end;   /* likewise its end */
};

/*
 * The next wet spell at or after hour from.
 *
 * Given    wet[n]             the hours' verdicts
 *          temperature_c[n]   of leaf or air, as the reader of the spell wants it
 * Returned false where there is none; go on at spell->end
 */
bool wetness_next(const enum wetness *wet, const double *temperature_c, size_t n, size_t from,
		  struct wetness_spell *spell);

/* How the hours of a night divide by two ways of telling, and whether they agree. */
struct wetness_night {
	int balance_h, fallback_h; /* wet hours */
	int untold_h;              /* hours that at least one of the two cannot tell */
	bool uncertain;            /* they may lie more than WETNESS_AGREE_H apart */
};

enum { WETNESS_AGREE_H = 3 };

/*
 * Compare the leaf's balance with the humidity rule over the n hours of a night.
 *
 * Notes    an hour that only one way can tell counts against agreement
 * Source   the 3 h: derived here, from published mean errors of 1.2 to 2 h of each way
 */
struct wetness_night wetness_compare(const enum wetness *balance, const enum wetness *fallback, size_t n);

#endif
