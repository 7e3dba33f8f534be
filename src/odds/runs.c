/*
 * What is carried from night to night, backwards: for each possible error of a night and each number
 * of misses still allowed, the chance that the nights after it keep within that number.
 */
#include "odds/runs.h"

#include <assert.h>
#include <math.h>
#include <stdbool.h>
#include <string.h>

#include "odds/normal.h"

/* Abramowitz & Stegun table 25.4, n = 12: the upper half; the rule is symmetrical. */
static const double POINT[] = {0.125233408511469, 0.367831498998180, 0.587317954286617,
			       0.769902674194305, 0.904117256370475, 0.981560634246719};
static const double WEIGHT[] = {0.249147045813403, 0.233492536538355, 0.203167426723066,
				0.160078328543346, 0.106939325995319, 0.047175336386512};

static const double REACH = 5.5;     /* an error beyond so many spreads has a chance of 4e-8 */
static const double PANEL = 8;       /* widest panel, in spreads of the error given the night before or after */
static const double RHO_MOST = 0.99; /* nearer to 1 the panels would be too many */

enum {
	HALF = sizeof POINT / sizeof *POINT,
	PANELS_MAX = 12, /* 2 REACH / (PANEL sqrt(1 - RHO_MOST^2)) and one, since the line cuts a panel */
	POINTS_MAX = PANELS_MAX * 2 * HALF
};

/* n nights against a line: over it is z >= at[i]; given = sqrt(1 - rho^2). */
struct chain {
	size_t n;
	double at[RUNS_NIGHTS_MAX], rho[RUNS_NIGHTS_MAX], given[RUNS_NIGHTS_MAX];
};

/* Where a night's error is looked at; the points under its line first. */
struct grid {
	size_t n, under;
	double z[POINTS_MAX], weight[POINTS_MAX];
};

/* Chances by point and by misses allowed, 0 to n - k. */
struct table {
	double at[POINTS_MAX][RUNS_NIGHTS_MAX];
};

double runs_reads_over_c(double line_c, double step_c)
{
	return line_c - step_c / 2;
}

double runs_reads_under_c(double line_c, double step_c)
{
	return line_c + step_c / 2;
}

/* Where the line lies in the night's errors; NaN: cannot tell. */
static double line_at(const struct runs_night *night, double line_c)
{
	if (!(night->spread_c >= 0) || isnan(night->low_c) || isnan(line_c))
		return (double)NAN;
	if (night->spread_c == 0)
		return night->low_c >= line_c ? -HUGE_VAL : HUGE_VAL;
	return (line_c - night->low_c) / night->spread_c;
}

double runs_over(const struct runs_night *night, double line_c)
{
	return normal_over(line_at(night, line_c));
}

/* At or under a line is not at or over the next number: a night that is certain can lie on the line. */
static double next(double line_c)
{
	return nextafter(line_c, HUGE_VAL);
}

double runs_under(const struct runs_night *night, double line_c)
{
	return normal_under(line_at(night, next(line_c)));
}

double runs_expected(const struct runs_night *nights, size_t n, double line_c)
{
	double sum = 0;
	for (size_t i = 0; i < n; i++)
		sum += runs_over(&nights[i], line_c);
	return sum;
}

static bool chain_of(const struct runs_night *nights, size_t n, double line_c, struct chain *c)
{
	if (n < 1 || n > RUNS_NIGHTS_MAX)
		return false;
	c->n = n;
	for (size_t i = 0; i < n; i++) {
		double rho = i > 0 ? nights[i].rho : 0;
		c->at[i] = line_at(&nights[i], line_c);
		if (isnan(c->at[i]) || !(fabs(rho) <= 1))
			return false;
		c->rho[i] = fmax(-RHO_MOST, fmin(rho, RHO_MOST));
		c->given[i] = sqrt(1 - c->rho[i] * c->rho[i]);
	}
	return true;
}

static void add_panels(struct grid *g, double from, double to, double narrow)
{
	if (from >= to)
		return;
	int panels = (int)ceil((to - from) / (PANEL * narrow));
	double half = (to - from) / panels / 2;
	for (int p = 0; p < panels; p++) {
		double middle = from + (2 * p + 1) * half;
		for (int i = 0; i < 2 * HALF; i++) {
			int j = i < HALF ? HALF - 1 - i : i - HALF;
			assert(g->n < POINTS_MAX);
			g->z[g->n] = middle + (i < HALF ? -POINT[j] : POINT[j]) * half;
			g->weight[g->n++] = WEIGHT[j] * half;
		}
	}
}

/* Points over the line, and where misses are allowed those under it. */
static void grid_of(const struct chain *c, size_t night, bool misses, struct grid *g)
{
	double at = c->at[night], narrow = c->given[night];
	if (night + 1 < c->n)
		narrow = fmin(narrow, c->given[night + 1]);
	g->n = 0;
	if (misses)
		add_panels(g, -REACH, fmin(at, REACH), narrow);
	g->under = g->n;
	add_panels(g, fmax(at, -REACH), REACH, narrow);
}

/* At each point of the last night but one: the last night is over its line, or one more miss is allowed. */
static void last_night(const struct chain *c, const struct grid *g, size_t allowed, struct table *after)
{
	size_t last = c->n - 1;
	for (size_t j = 0; j < g->n; j++) {
		after->at[j][0] = normal_under((c->rho[last] * g->z[j] - c->at[last]) / c->given[last]);
		for (size_t m = 1; m <= allowed; m++)
			after->at[j][m] = 1;
	}
}

/* Let this night's own miss count: at a point under its line what m leaves is m - 1. */
static void count_miss(const struct grid *g, size_t allowed, struct table *after)
{
	for (size_t j = 0; j < g->under; j++) {
		double *row = after->at[j];
		memmove(row + 1, row, allowed * sizeof *row);
		row[0] = 0;
	}
}

/* The chances where this night's error is normal with `mean` and `given`: the sum over its points. */
static void sum_points(const struct grid *g, const struct table *t, double mean, double given, size_t allowed,
		       double *sum)
{
	double scale = normal_density(0) / given;
	for (size_t m = 0; m <= allowed; m++)
		sum[m] = 0;
	for (size_t j = 0; j < g->n; j++) {
		double u = (g->z[j] - mean) / given;
		if (fabs(u) > REACH)
			continue;
		double weight = scale * exp(-u * u / 2) * g->weight[j];
		for (size_t m = 0; m <= allowed; m++)
			sum[m] += weight * t->at[j][m];
	}
}

static double at_most_missed(const struct chain *c, size_t allowed)
{
	struct grid grid[2] = {0};
	struct table table[2] = {0};
	double sum[RUNS_NIGHTS_MAX];
	size_t now = 0;

	if (c->n == 1)
		return allowed > 0 ? 1 : normal_over(c->at[0]);
	grid_of(c, c->n - 2, allowed > 0, &grid[now]);
	last_night(c, &grid[now], allowed, &table[now]);
	for (size_t i = c->n - 2; i > 0; i--, now = 1 - now) {
		struct grid *g = &grid[now], *before = &grid[1 - now];
		count_miss(g, allowed, &table[now]);
		grid_of(c, i - 1, allowed > 0, before);
		for (size_t j = 0; j < before->n; j++)
			sum_points(g, &table[now], c->rho[i] * before->z[j], c->given[i], allowed,
				   table[1 - now].at[j]);
	}
	count_miss(&grid[now], allowed, &table[now]);
	sum_points(&grid[now], &table[now], 0, 1, allowed, sum);
	return fmin(sum[allowed], 1);
}

static bool one_error(const struct runs_night *nights, size_t n)
{
	for (size_t i = 1; i < n; i++)
		if (nights[i].rho != 1)
			return false;
	return n > 1;
}

/* All nights have the same error: at least k are over where it is over the k-th easiest line. */
static double one_error_over(const struct chain *c, size_t k)
{
	double best = 0;
	for (size_t i = 0; i < c->n; i++) {
		size_t no_harder = 0;
		for (size_t j = 0; j < c->n; j++)
			no_harder += c->at[j] <= c->at[i];
		if (no_harder >= k)
			best = fmax(best, normal_over(c->at[i]));
	}
	return best;
}

double runs_at_least(const struct runs_night *nights, size_t n, size_t k, double line_c)
{
	struct chain c;
	if (!chain_of(nights, n, line_c, &c))
		return (double)NAN;
	if (k == 0 || k > n)
		return k == 0 ? 1 : 0;
	return one_error(nights, n) ? one_error_over(&c, k) : at_most_missed(&c, n - k);
}

double runs_any_under(const struct runs_night *nights, size_t n, double line_c)
{
	return 1 - runs_at_least(nights, n, n, next(line_c));
}
