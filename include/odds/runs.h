/*
 * Several nights at once: how many of them hold a line, and whether any falls to one.
 *
 * A night's low is what is expected of it plus a normal error.  Errors of nights that follow each
 * other are alike, so the chance of five good nights is not the product of five chances: the error
 * of night i in its own spreads is  z_i = rho_i z_(i-1) + sqrt(1 - rho_i^2) e_i,  e_i normal and
 * independent.  What low is meant (2 m air, bed, leaf) is the caller's; deg C throughout.
 * A night whose low or spread is NaN makes every answer that needs it NaN: cannot tell.
 */
#ifndef ODDS_RUNS_H
#define ODDS_RUNS_H

#include <stddef.h>

struct runs_night {
	double low_c;    /* expected */
	double spread_c; /* standard deviation of what will come of it, 0 or more; 0: it is certain */
	double rho;      /* of its error with that of the night before; of the first night not looked at */
};

enum { RUNS_NIGHTS_MAX = 16 }; /* a fortnight and a little more */

/* One step of a thermometer that is read in whole degrees F, as a difference in deg C. */
#define RUNS_WHOLE_F_C (5.0 / 9)

/*
 * From where on readings in steps of step_c say "line or more", and down to where "line or less":
 * a reading of 50 stands for 49.5 up to 50.5.
 *
 * Given    step_c   RUNS_WHOLE_F_C, 1, 0.1; 0 for a line of nature, that nobody reads (a leaf freezes)
 * Source   common practice; derived here: on 2,159 runs of five forecast nights it bettered the Brier score
 *          at 50 F, which is a whole reading
 */
double runs_reads_over_c(double line_c, double step_c);
double runs_reads_under_c(double line_c, double step_c);

/* The chance that this one night's low is at or over a line; at or under it. */
double runs_over(const struct runs_night *night, double line_c);
double runs_under(const struct runs_night *night, double line_c);

/*
 * The chance that at least k of n nights in a row are at or over a line.
 *
 * Given    n, k    1..RUNS_NIGHTS_MAX nights, k 0 (certain) to n (all of them) or more (impossible)
 *          rho     of each night but the first -1..1
 * Returned 0..1; NaN where a number is missing, or out of these limits
 * Limits   within 2e-6 at 16 nights; a |rho| over 0.99 is taken as 0.99, but where all are 1 the nights
 *          are one error, exactly
 * Source   recursion over the error of the night before and the misses still allowed, backwards from
 *          the last night (derived here); integrals by Gauss-Legendre, 12 points (Abramowitz & Stegun
 *          table 25.4), on panels that end at the line
 * Checked  orthant probabilities in closed form (Sheppard 1899; David 1953); tables of AR(1) orthants;
 *          enumeration where rho is 0; one night where it is 1; inclusion and exclusion; multivariate normal
 */
double runs_at_least(const struct runs_night *nights, size_t n, size_t k, double line_c);

/* The chance that at least one of the nights is at or under a line; limits and source as above. */
double runs_any_under(const struct runs_night *nights, size_t n, double line_c);

/* How many of the nights are to be at or over a line: the sum of their chances.  NaN as above. */
double runs_expected(const struct runs_night *nights, size_t n, double line_c);

#endif
