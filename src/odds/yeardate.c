#include "odds/yeardate.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "odds/normal.h"

static const double SAME_PLACE = 1e-9; /* so near a whole rank it is one: 1 - 0.9 is not 0.1 */

/* Days before each month in a year of 365. */
static const int BEFORE[12] = {0, 31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334};

static const double FAR_DAYS = 3650;

struct yearday yearday_of(struct date d)
{
	struct yearday y;
	int day;
	date_parts(d, &y.year, &y.month, &day);
	y.leap_day = y.month == 2 && BEFORE[1] + day > BEFORE[2];
	y.day = BEFORE[y.month - 1] + day - y.leap_day;
	return y;
}

struct date yearday_date(int year, double day)
{
	struct date d;
	if (!(fabs(day) <= FAR_DAYS))
		return date_none();
	int n = (int)lround(day) - 1, years = (int)floor((double)n / YEAR_DAYS), month = 12;
	n -= years * YEAR_DAYS;
	while (BEFORE[month - 1] > n)
		month--;
	return date_of(year + years, month, n - BEFORE[month - 1] + 1, &d) ? d : date_none();
}

void yeardate_start(struct yeardate *y, enum yeardate_side side)
{
	*y = (struct yeardate){.side = side, .mean = NAN, .spread = NAN};
}

void yeardate_add(struct yeardate *y, double day)
{
	y->years++;
	if (isnan(day))
		return;
	if (y->with == YEARDATE_MAX) {
		memmove(y->day, y->day + 1, (YEARDATE_MAX - 1) * sizeof *y->day);
		y->with--;
		y->years--;
	}
	y->day[y->with++] = day;
}

static int by_day(const void *a, const void *b)
{
	double x = *(const double *)a, z = *(const double *)b;
	return (x > z) - (x < z);
}

void yeardate_close(struct yeardate *y)
{
	double sum = 0, squares = 0;
	for (int i = 0; i < y->with; i++)
		sum += y->day[i];
	if (y->with > 0)
		y->mean = sum / y->with;
	for (int i = 0; i < y->with; i++)
		squares += (y->day[i] - y->mean) * (y->day[i] - y->mean);
	if (y->with > 1)
		y->spread = sqrt(squares / (y->with - 1));
	qsort(y->day, (size_t)y->with, sizeof *y->day, by_day);
}

static bool known(const struct yeardate *y)
{
	return y->years >= YEARDATE_SOME;
}

static double part_with(const struct yeardate *y)
{
	return (double)y->with / y->years;
}

double yeardate_normal(const struct yeardate *y, double p)
{
	if (!known(y) || !(p > 0 && p < part_with(y)))
		return (double)NAN;
	double at = p / part_with(y);
	return y->mean + y->spread * normal_quantile(y->side == YEARDATE_LAST ? 1 - at : at);
}

double yeardate_normal_chance(const struct yeardate *y, double day)
{
	if (!known(y) || isnan(day))
		return (double)NAN;
	if (y->with == 0)
		return 0;
	double z = y->spread == 0 ? (day >= y->mean ? HUGE_VAL : -HUGE_VAL) : (day - y->mean) / y->spread;
	return part_with(y) * (y->side == YEARDATE_LAST ? normal_over(z) : normal_under(z));
}

/* The m-th of all years' dates, from 1: those without come before the last dates, after the first ones. */
static double ranked(const struct yeardate *y, int m)
{
	int i = m - 1 - (y->side == YEARDATE_LAST ? y->years - y->with : 0);
	return i >= 0 && i < y->with ? y->day[i] : (double)NAN;
}

double yeardate_counted(const struct yeardate *y, double p, enum yeardate_rank rank)
{
	if (!known(y) || !(p > 0 && p < 1))
		return (double)NAN;
	double under = y->side == YEARDATE_LAST ? 1 - p : p;
	double place = rank == YEARDATE_RANK_WEIBULL ? under * (y->years + 1) : 1 + under * (y->years - 1);
	int m = (int)floor(place + SAME_PLACE);
	double part = place - m;
	if (part < SAME_PLACE)
		return ranked(y, m);
	return ranked(y, m) + part * (ranked(y, m + 1) - ranked(y, m));
}

double yeardate_counted_chance(const struct yeardate *y, double day)
{
	if (!known(y) || isnan(day))
		return (double)NAN;
	int by = 0;
	while (by < y->with && y->day[by] <= day)
		by++;
	return (double)(y->side == YEARDATE_LAST ? y->with - by : by) / y->years;
}
