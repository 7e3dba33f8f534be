/*
 * A date that a year has at most once: the last frost of spring, the first of autumn.
 *
 * Some years may have none, so a chance is q, the part of the years that have it, times the chance of
 * its date in those years.  Days are counted from a fixed day of the season on a calendar of 365 days;
 * where that day is, and what happens on it, is the caller's.
 * Each answer comes in two ways: by a normal curve through the dates, and by counting them.
 * With fewer than YEARDATE_SOME years nothing is told (NaN), with fewer than YEARDATE_ENOUGH call it rough.
 */
#ifndef ODDS_YEARDATE_H
#define ODDS_YEARDATE_H

#include <stdbool.h>

#include "base/date.h"

enum { YEAR_DAYS = 365 };

/* A date on the calendar of 365 days, where 29 February is another 28 February. */
struct yearday {
	int year, month, day; /* day 1..YEAR_DAYS from 1 January */
	bool leap_day;        /* it is 29 February */
};

struct yearday yearday_of(struct date d);

/* The date of a day of that calendar, to the nearest; under 1 and over YEAR_DAYS it lies in the years
 * beside.  DATE_NONE for NaN and days beyond ten years. */
struct date yearday_date(int year, double day);

/* Years under which no chance is told, and under which it is rough (derived here: with a spread of 10 days the 10 %
 * date is known within 6 days from 5 years, 4 from 10, 2.5 from 30). */
enum { YEARDATE_SOME = 5, YEARDATE_ENOUGH = 10 };

enum { YEARDATE_MAX = 100 }; /* dates kept; of more the first is dropped */

enum yeardate_side {
	YEARDATE_LAST,  /* the last of its kind: a chance p is that of a later date */
	YEARDATE_FIRST, /* the first: a chance p is that of this date or an earlier one */
};

struct yeardate {
	enum yeardate_side side;
	int years;                /* that could be judged */
	int with;                 /* of those: in which it came */
	double mean, spread;      /* of the days in those years; NaN without any, without two */
	double day[YEARDATE_MAX]; /* those days, rising once closed */
};

/* Start empty; count one year in, with its day or NaN for a year without; put in order when all are in. */
void yeardate_start(struct yeardate *y, enum yeardate_side side);
void yeardate_add(struct yeardate *y, double day);
void yeardate_close(struct yeardate *y);

/*
 * The day of chance p by the normal curve.
 *
 * Returned last: mean + spread Q(1 - p/q); first: mean + spread Q(p/q), Q the normal quantile; NaN where
 *          p is not under q ("in fewer than 9 years of 10 at all"), or too little is known
 * Source   Thom 1959, Thom & Shaw 1958 (mixture of years with and without; dates of frost nearly normal)
 * Checked  thirty invented years; q 0.7 in spring and autumn
 */
double yeardate_normal(const struct yeardate *y, double p);

/* The chance by the normal curve: of a date later than `day` (last), on or before it (first).  Source as above. */
double yeardate_normal_chance(const struct yeardate *y, double day);

/* Where the m-th of n dates stands. */
enum yeardate_rank {
	YEARDATE_RANK_WEIBULL, /* m / (n + 1): the chance that next year's is earlier, whatever their law */
	YEARDATE_RANK_ENDS,    /* (m - 1) / (n - 1): the first date is 0, the last 1 */
};

/*
 * The day of chance p by counting, between dates by proportion; years without stand past the far end.
 *
 * Returned NaN where a year without is needed, or a place outside the dates (Weibull: 10 % from under 9 years)
 * Source   Weibull 1939 (ranks); Hyndman & Fan 1996, types 6 and 7
 * Checked  thirty invented years
 */
double yeardate_counted(const struct yeardate *y, double p, enum yeardate_rank rank);

/* The part of the years with a date later than `day` (last), on or before it (first). */
double yeardate_counted_chance(const struct yeardate *y, double day);

#endif
