/*
 * Numbers of the odds as the outside checks ask: odds normal|runs|frost|reach, doubles in and out in this machine's
 * order.
 *
 * normal  pairs (z, p): under z, over z, quantile of p
 * runs    (nights, k, line), then (low, spread, rho) of each night: the chance of at least k at or over it
 * frost   (south), then pairs (day since 1970, low): of each line its kind, then of spring and of autumn the
 *         years used, the years with frost, and their days
 * reach   (south, line, nights), then the same pairs: the years used, the years in which so many nights in a
 *         row came to the line, and their days
 */
#include <stdio.h>
#include <string.h>
#include <sysexits.h>

#include "odds/frostdate.h"
#include "odds/normal.h"
#include "odds/reachdate.h"
#include "odds/runs.h"

static bool take(double *x, size_t n)
{
	return fread(x, sizeof *x, n, stdin) == n;
}

static void give(double x)
{
	fwrite(&x, sizeof x, 1, stdout);
}

static void normal(void)
{
	double x[2];
	while (take(x, 2)) {
		give(normal_under(x[0]));
		give(normal_over(x[0]));
		give(normal_quantile(x[1]));
	}
}

static bool runs(void)
{
	double head[3];
	while (take(head, 3)) {
		struct runs_night nights[RUNS_NIGHTS_MAX];
		size_t n = (size_t)head[0];
		if (n > RUNS_NIGHTS_MAX || fread(nights, sizeof *nights, n, stdin) != n)
			return false;
		give(runs_at_least(nights, n, (size_t)head[1], head[2]));
	}
	return true;
}

static void give_side(const struct yeardate *y)
{
	give(y->years);
	give(y->with);
	for (int i = 0; i < y->with; i++)
		give(y->day[i]);
}

static struct station_day days[YEARDATE_MAX * 366];

static size_t take_days(void)
{
	double x[2];
	size_t n = 0;
	for (; n < sizeof days / sizeof *days && take(x, 2); n++) {
		days[n].date.n = (int32_t)x[0];
		days[n].tmin_c = x[1];
	}
	return n;
}

static bool frost(void)
{
	struct frostdate f;
	double south;
	if (!take(&south, 1))
		return false;
	frostdate_of(days, take_days(), "", south != 0, &f);
	for (int line = 0; line < FROSTDATE_LINES; line++) {
		give(f.at[line].kind);
		give_side(&f.at[line].spring);
		give_side(&f.at[line].autumn);
	}
	return true;
}

static bool reach(void)
{
	struct yeardate y;
	double head[3];
	if (!take(head, 3))
		return false;
	reachdate_of(days, take_days(), "", head[0] != 0, head[1], (int)head[2], &y);
	give_side(&y);
	return true;
}

int main(int argc, char **argv)
{
	bool fine = argc == 2;
	if (fine && strcmp(argv[1], "normal") == 0)
		normal();
	else if (fine && strcmp(argv[1], "runs") == 0)
		fine = runs();
	else if (fine && strcmp(argv[1], "frost") == 0)
		fine = frost();
	else if (fine && strcmp(argv[1], "reach") == 0)
		fine = reach();
	else
		fine = false;
	return fine ? EX_OK : EX_USAGE;
}
