/*
 * Degree days: of a day from its extremes or its hours, and their sum.
 *
 * A published requirement is good only with the method, the base and the
 * cut-off that it was found with, so the three travel together as a rule.
 * The daily functions do not care for the degree (Fahrenheit in, Fahrenheit
 * degree days out); inside the program everything is Celsius.  Rounding is for
 * whoever prints.
 */
#ifndef PLANT_DEGREE_H
#define PLANT_DEGREE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

enum degree_method {
	DEGREE_HOURLY,          /* the sum over hours; from extremes alone: as DEGREE_SINE */
	DEGREE_AVERAGE_MEAN,    /* simple average, reading 1: the mean is held between base and cap */
	DEGREE_AVERAGE_ENDS,    /* reading 2: low and high are each held there before averaging */
	DEGREE_AVERAGE_HIGH,    /* third reading: the high held between both, the low under the cap, then the mean */
	DEGREE_SINE,            /* one sine from the day's low to its high */
	DEGREE_TRIANGLE,        /* the same with straight flanks */
	DEGREE_SINE_DOUBLE,     /* half a day each with today's and tomorrow's low */
	DEGREE_TRIANGLE_DOUBLE, /* the same with straight flanks */
	DEGREE_METHODS
};

/* What heat over the cap does. */
enum degree_cutoff {
	DEGREE_NO_CUTOFF,
	DEGREE_HORIZONTAL,           /* the rate stays at cap - base */
	DEGREE_VERTICAL,             /* the rate is 0 */
	DEGREE_INTERMEDIATE,         /* the rate falls degree by degree, below 0 too; the day is then held at 0 */
	DEGREE_INTERMEDIATE_FLOORED, /* the same, but the rate itself is held at 0 */
	DEGREE_CUTOFFS
};

struct degree_rule {
	double base_c, cap_c; /* cap NaN: none, whatever the cut-off says */
	enum degree_method method;
	enum degree_cutoff cutoff;
};

/* Base known, cap over base, and no vertical or intermediate cut-off with a simple average (nobody defined one). */
bool degree_rule_ok(const struct degree_rule *rule);

/*
 * Degree days of one day from its extremes.
 *
 * Given    tmin_c, tmax_c   of the day; NaN, or a low over the high, gives NaN
 *          next_tmin_c      tomorrow's low, used by the double forms only; NaN or over tmax_c: today's
 * Returned degree days, never negative; NaN for a rule that is not degree_rule_ok
 * Limits   where the low is under the base, within some 2 % (sine) of the sum over hours
 * Source   McMaster & Wilhelm 1997 (averages, readings 1 and 2); Baskerville & Emin 1969 (sine);
 *          Allen 1976 (double sine); Sevacherian et al. 1977 (triangle); Zalom et al. 1983 (horizontal);
 *          vertical and intermediate closed forms derived here from the definitions of UC IPM
 * Checked  McMaster & Wilhelm table 1; Zalom et al. table 7; TrenchR's example; numerical integration
 */
double degree_day(const struct degree_rule *rule, double tmin_c, double tmax_c, double next_tmin_c);

/* What is known of a day beside its hours, as from a station; NaN where it is not. */
struct degree_extremes {
	double tmin_c, tmax_c, next_tmin_c;
};

enum degree_how {
	DEGREE_UNKNOWN,      /* cannot tell */
	DEGREE_HOURS,        /* every hour known */
	DEGREE_HOURS_FILLED, /* the missing hours stand at the mean rate of the others */
	DEGREE_EXTREMES,     /* from the day's low and high */
};

struct degree_count {
	double dd_c; /* NaN where how is DEGREE_UNKNOWN */
	enum degree_how how;
	int hours_known, hours_missing;
	bool any_forecast; /* an hour in it is forecast or less (interpolated, estimated) */
};

/* Hours a day that must be known: with fewer the others cannot stand for the missing ones (judgement). */
enum { DEGREE_HOURS_ENOUGH = 20 };

/*
 * Degree days of one civil day from what is known of it.
 *
 * Given    t_c      the n air temperatures of the hours that start in the day (23, 24 or 25), NaN where missing
 *          origin   enum origin of each, or NULL (nothing is then called forecast)
 *          known    extremes from elsewhere, as a station's, or NULL; a next low without low and high is
 *                   that of the hours
 * Returned an hourly rule, the first of these that can be had:
 *            1  the sum over hours, DEGREE_HOURS_ENOUGH of them analysed or better
 *            2  the sine on known extremes: what a station saw beats what was only foreseen
 *            3  the sum over hours, any DEGREE_HOURS_ENOUGH of them
 *          a rule of a daily method: on known extremes, else on those of DEGREE_HOURS_ENOUGH hours;
 *          else DEGREE_UNKNOWN.  In a sum each hour is 1/24 of a day, so that 25 h count as 25.
 * Limits   24 samples of a clean sine are within 1 % of its integral
 * Source   sum of (t held between base and cap, less base) / 24: common practice; the order of 1 to 3:
 *          derived here
 * Checked  24 samples of four sine days
 */
struct degree_count degree_day_hours(const struct degree_rule *rule, const double *t_c, const uint8_t *origin, int n,
				     const struct degree_extremes *known);

/* A span of days; starts as {0}.  With missing_days over 0 it is the sum of the other days, not of the span. */
struct degree_sum {
	double dd_c;
	int days; /* the span, missing ones included */
	int hours_days, filled_days, extremes_days, missing_days;
	int forecast_days; /* of the counted ones */
};

void degree_sum_add(struct degree_sum *sum, const struct degree_count *day);

#endif
