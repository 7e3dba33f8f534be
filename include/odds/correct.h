/*
 * How far a forecast low is off, and how sure it is: by night, from what came of earlier forecasts of this place.
 *
 * Nights of an issue are counted from 1, the first to come.  Where too few of its forecasts can be held
 * against a reading, a night has the prior: what public forecasts of night lows are like elsewhere.
 * What low is corrected (2 m air, or the bed where the thermometer hangs there) is the caller's choice,
 * one for all.
 */
#ifndef ODDS_CORRECT_H
#define ODDS_CORRECT_H

#include <stdbool.h>
#include <stddef.h>

#include "base/date.h"
#include "odds/runs.h"

enum {
	CORRECT_NIGHTS = 10,      /* of an issue */
	CORRECT_PAIRS_MIN = 15,   /* fewer say too little (judgement) */
	CORRECT_WINDOW_DAYS = 60, /* older ones are of another season (judgement) */
};

/* A correction takes bias, not scatter: a spread under this is luck (judgement). */
#define CORRECT_SPREAD_MIN_C 1.0

/* The forecast low of one night, and what came of it. */
struct correct_pair {
	struct date evening; /* on which the night began */
	int night;           /* of its issue, 1..CORRECT_NIGHTS */
	double forecast_c;   /* as issued */
	double seen_c;
	bool seen; /* observed or read; what a service analysed or a model made teaches nothing */
};

struct correct_lead {
	double bias_c;   /* to take off: forecast less seen */
	double spread_c; /* standard deviation of what is left */
	double rho;      /* correlation with the night before, of one issue; of night 1 0 */
	int pairs;       /* that could be used */
	bool own;        /* bias and spread are this place's own, not the prior */
};

struct correction {
	struct correct_lead lead[CORRECT_NIGHTS]; /* lead[0] is night 1 */
};

/*
 * Learn from n pairs by rising evening, one a night and evening; nights that were over before `today`'s evening.
 *
 * Notes    each pair weighs 0.95 of the one a day younger (half after 13.5 days).  Bias: the median of the
 *          errors; spread: the 68.27 % point of their distance from it.  Not used: pairs not seen, or with
 *          a number missing, or over CORRECT_WINDOW_DAYS old; of more than two a day of the window, the youngest.
 * Source   decaying weights: Cui et al. 2012, with the 0.05 of Glahn 2014 (from memory); medians: derived
 *          here, on 5,672 forecasts a night of 23 US stations, 2014-17, where they beat mean and standard
 *          deviation out of sample by 7 to 15 % of the Brier score of five nights in a row.
 *          Prior: derived here from the same forecasts: spread by night to 6, beyond that carried on; bias
 *          such that the shares of lows at or under 0 and 36 F and over 50 F come out at nights 1, 3, 6,
 *          straight between; correlation of neighbouring nights, rising, held from 7 on.
 * Limits   those forecasts were corrected already: a model's own may be 1 to 2 K too warm at night
 *          (ECMWF forecast user guide), until it is learned here
 * Checked  the look-up shares within 0.08; medians of a ten-night series; another program's weighted medians
 */
void correct_of(const struct correct_pair *pair, size_t n, struct date today, struct correction *c);

/* What is known before any pair: the prior alone. */
void correct_prior(struct correction *c);

/*
 * The night that a forecast low stands for.
 *
 * Given    night              1..CORRECT_NIGHTS of its issue; else NaN
 *          forecast_c         as issued
 *          climate_spread_c   of the lows of that date: no prior is wider; NaN: not known
 */
struct runs_night correct_night(const struct correction *c, int night, double forecast_c, double climate_spread_c);

#endif
