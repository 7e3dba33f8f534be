#include "odds/correct.h"

#include <math.h>
#include <stdlib.h>

/* The prior by night (see the header); deg C. */
static const struct correct_lead PRIOR[CORRECT_NIGHTS] = {
    {-0.15, 1.6, 0, 0, false},    {0.05, 1.6, 0.2, 0, false},  {0.25, 1.75, 0.3, 0, false}, {0.33, 1.9, 0.33, 0, false},
    {0.42, 2.15, 0.37, 0, false}, {0.5, 2.45, 0.42, 0, false}, {0.5, 2.7, 0.45, 0, false},  {0.5, 2.9, 0.45, 0, false},
    {0.5, 3.05, 0.45, 0, false},  {0.5, 3.2, 0.45, 0, false},
};

static const double YOUNGER = 0.95; /* weight of a pair against that of a day later */
static const double MEDIAN = 0.5;
static const double ONE_SIGMA = 0.6827; /* of a normal error is within one standard deviation */

static const double SAME = 1e-9; /* parts of the weight nearer than this are rounding */

enum { SAMPLE_MAX = 2 * CORRECT_WINDOW_DAYS };

struct weighed {
	double x, weight;
};

struct sample {
	size_t n;
	struct weighed at[SAMPLE_MAX];
};

static int by_value(const void *a, const void *b)
{
	double x = ((const struct weighed *)a)->x, y = ((const struct weighed *)b)->x;
	return (x > y) - (x < y);
}

/*
 * The value at which a part p of the weight is reached; where it is reached just between two, their middle.
 * Equal values in any order give the same.  Sorts the sample; n > 0.
 */
static double point(struct sample *s, double p)
{
	double all = 0, reached = 0;
	qsort(s->at, s->n, sizeof *s->at, by_value);
	for (size_t i = 0; i < s->n; i++)
		all += s->at[i].weight;
	for (size_t i = 0; i + 1 < s->n; i++) {
		reached += s->at[i].weight;
		if (fabs(reached - p * all) < SAME * all)
			return (s->at[i].x + s->at[i + 1].x) / 2;
		if (reached > p * all)
			return s->at[i].x;
	}
	return s->at[s->n - 1].x;
}

static void gather(const struct correct_pair *pair, size_t n, int night, struct date today, struct sample *s)
{
	s->n = 0;
	for (size_t i = n; i-- > 0 && s->n < SAMPLE_MAX;) {
		int age = date_diff(today, pair[i].evening);
		double error = pair[i].forecast_c - pair[i].seen_c;
		if (pair[i].seen && pair[i].night == night && age >= 1 && age <= CORRECT_WINDOW_DAYS && isfinite(error))
			s->at[s->n++] = (struct weighed){error, pow(YOUNGER, age - 1)};
	}
}

void correct_prior(struct correction *c)
{
	for (int i = 0; i < CORRECT_NIGHTS; i++)
		c->lead[i] = PRIOR[i];
}

void correct_of(const struct correct_pair *pair, size_t n, struct date today, struct correction *c)
{
	struct sample s;
	correct_prior(c);
	for (int i = 0; i < CORRECT_NIGHTS; i++) {
		struct correct_lead *l = &c->lead[i];
		gather(pair, n, i + 1, today, &s);
		l->pairs = (int)s.n;
		l->own = l->pairs >= CORRECT_PAIRS_MIN;
		if (!l->own)
			continue;
		l->bias_c = point(&s, MEDIAN);
		for (size_t j = 0; j < s.n; j++)
			s.at[j].x = fabs(s.at[j].x - l->bias_c);
		l->spread_c = fmax(point(&s, ONE_SIGMA), CORRECT_SPREAD_MIN_C);
	}
}

struct runs_night correct_night(const struct correction *c, int night, double forecast_c, double climate_spread_c)
{
	if (night < 1 || night > CORRECT_NIGHTS)
		return (struct runs_night){NAN, NAN, NAN};
	const struct correct_lead *l = &c->lead[night - 1];
	double spread_c = l->own ? l->spread_c : fmin(l->spread_c, climate_spread_c); /* fmin leaves a NaN aside */
	return (struct runs_night){forecast_c - l->bias_c, spread_c, l->rho};
}
