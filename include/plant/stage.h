/*
 * Stages of a planting, from the seed to its end, and how long those take that go by warmth or by age.
 *
 * Figures are the crop's (plant/crop); where a crop lacks one, the answer is NaN and nothing is guessed.
 * What a diary says of a stage, and today, are season/stages' business.
 * Days are counted from the day on which a stage began, which is day 0; deg C and its days.
 */
#ifndef PLANT_STAGE_H
#define PLANT_STAGE_H

#include <stddef.h>

#include "plant/crop.h"

enum stage {
	STAGE_NONE, /* not sown yet, or nobody knows when */
	STAGE_SOWN,
	STAGE_UP,        /* seedlings are through */
	STAGE_TRUE_LEAF, /* the first true leaf is open */
	STAGE_HARDENING,
	STAGE_SET_OUT, /* planted out, the first days */
	STAGE_GROWING,
	STAGE_FLOWERING,
	STAGE_PICKING,
	STAGE_ENDED,
	STAGES
};

/*
 * From emergence to the first true leaf, days.
 *
 * Source   one to two weeks (common practice); likely: judgement
 */
enum { STAGE_LEAF_LEAST = 7, STAGE_LEAF_LIKELY = 10, STAGE_LEAF_MOST = 14 };

/* "up", "first true leaf": a word for it, also for other programs. */
const char *stage_word(enum stage s);

/*
 * Days from sowing to emergence in soil of one temperature, cap or none.
 *
 * Returned NaN where the crop lacks a figure, soil_c is NaN, or the soil is at its base or under: it does not come up
 * Source   soil thermal time, 1 / days = (T - base) / sum (fits to Harrington & Minges 1954 in Knott 1997; squash:
 *          judgement, fits practice)
 * Checked  the rows of those tables; squash 10, 8, 5, 4 days at 65, 68, 77, 86 F
 */
double stage_emergence_days(const struct crop *crop, double soil_c);

/*
 * The same from the soil's warmth day by day.
 *
 * Given    soil_c   mean of each of n days, the day of sowing the first; after them the mean of the last
 *                   STAGE_PACE_DAYS of them goes on for good
 * Returned likely: the day on which the warmth is full.  least: on which STAGE_EARLY_FRAC of it is, so that the
 *          7.3 days of squash at 70 F begin at the 5 of common practice (5 to 10).  most: half as long again as
 *          likely, after which seed is looked for (judgement).  All NaN where a day is not known, n is 0, the
 *          crop lacks a figure, or it would not come up within STAGE_UP_MOST days
 */
struct spread stage_emergence(const struct crop *crop, const double *soil_c, size_t n);

enum { STAGE_PACE_DAYS = 5, STAGE_UP_MOST = 60 };
#define STAGE_EARLY_FRAC 0.7
#define STAGE_LATE_FRAC  1.5

/*
 * Days until a sum of warmth is reached.
 *
 * Given    sum_dd    least, likely, most; of a crop that has but one number the others are NaN and stay so
 *          so_far_dd counted up to today; pace_dd, what a day adds from now on
 * Returned days from today, 0 and less where it is reached already; NaN where a number is, or at a pace of none
 */
struct spread stage_until(struct spread sum_dd, double so_far_dd, double pace_dd);

#endif
