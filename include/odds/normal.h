/*
 * The normal distribution with mean 0 and standard deviation 1.
 *
 * Everything in this room that speaks of a chance stands on these four.  NaN in gives NaN out.
 */
#ifndef ODDS_NORMAL_H
#define ODDS_NORMAL_H

/*
 * The chance of a value at or under z, and of one at or over z.
 *
 * Returned 0..1; each is exact in its own tail, where 1 less the other would be nothing but rounding
 * Source   Abramowitz & Stegun 1964, 26.2.29 (through the error function)
 * Checked  Abramowitz & Stegun tables 26.1 and 26.2
 */
double normal_under(double z);
double normal_over(double z);

/* The density at z (Abramowitz & Stegun 26.2.1). */
double normal_density(double z);

/*
 * The value that a chance of p lies at or under.
 *
 * Given    p   0..1; 0 and 1 give the infinities, anything else NaN
 * Returned z with normal_under(z) = p
 * Limits   1e-13 relative from p = 1e-300 to 0.5; over it what the rounding of 1 - p leaves
 * Source   Abramowitz & Stegun 26.2.23 (error under 4.5e-4) as a start, two steps of Halley's method from there
 * Checked  Abramowitz & Stegun table 26.5; Wichura 1988 (algorithm AS 241), its three test values
 */
double normal_quantile(double p);

#endif
