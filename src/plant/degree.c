#include "plant/degree.h"

#include <math.h>

#include "facts/hours.h"

/* A day's course of temperature between its extremes. */
enum shape { SINE, TRIANGLE };

struct course {
	enum shape shape;
	double low, high;
};

static double held(double x, double lo, double hi)
{
	return x < lo ? lo : x > hi ? hi : x;
}

static bool has_cap(const struct degree_rule *rule)
{
	return rule->cutoff != DEGREE_NO_CUTOFF && !isnan(rule->cap_c);
}

static bool is_average(enum degree_method m)
{
	return m == DEGREE_AVERAGE_MEAN || m == DEGREE_AVERAGE_ENDS || m == DEGREE_AVERAGE_HIGH;
}

bool degree_rule_ok(const struct degree_rule *rule)
{
	if (!isfinite(rule->base_c) || rule->method >= DEGREE_METHODS || rule->cutoff >= DEGREE_CUTOFFS)
		return false;
	if (!has_cap(rule))
		return true;
	return rule->base_c < rule->cap_c && (rule->cutoff == DEGREE_HORIZONTAL || !is_average(rule->method));
}

/* Where on the rising flank the course passes x, as the sine's angle; strictly between low and high. */
static double crossing(const struct course *c, double x)
{
	double mean = (c->high + c->low) / 2, half = (c->high - c->low) / 2;
	return asin(held((x - mean) / half, -1, 1));
}

/* A(x): degree days over x with no upper limit. */
static double area_over(const struct course *c, double x)
{
	if (c->low >= x)
		return (c->high + c->low) / 2 - x;
	if (c->high <= x)
		return 0;
	if (c->shape == TRIANGLE)
		return (c->high - x) * (c->high - x) / (2 * (c->high - c->low));
	double mean = (c->high + c->low) / 2, half = (c->high - c->low) / 2;
	double angle = crossing(c, x);
	return ((mean - x) * (M_PI / 2 - angle) + half * cos(angle)) / M_PI;
}

/* F(x): the part of the day over x. */
static double time_over(const struct course *c, double x)
{
	if (c->low >= x)
		return 1;
	if (c->high <= x)
		return 0;
	if (c->shape == TRIANGLE)
		return (c->high - x) / (c->high - c->low);
	return 0.5 - crossing(c, x) / M_PI;
}

static double course_sum(const struct degree_rule *rule, const struct course *c)
{
	double base = rule->base_c, cap = rule->cap_c;
	double all = area_over(c, base);

	if (!has_cap(rule))
		return all;
	switch (rule->cutoff) {
	case DEGREE_HORIZONTAL:
		return all - area_over(c, cap);
	case DEGREE_VERTICAL:
		return all - area_over(c, cap) - (cap - base) * time_over(c, cap);
	case DEGREE_INTERMEDIATE:
		return all - 2 * area_over(c, cap); /* held at 0 by course_day */
	case DEGREE_INTERMEDIATE_FLOORED:
		return all - 2 * area_over(c, cap) + area_over(c, 2 * cap - base);
	/* GCOVR_EXCL_START: a rule with a cap has one of the cut-offs above */
	case DEGREE_NO_CUTOFF:
	case DEGREE_CUTOFFS:
		break;
	}
	return (double)NAN;
	/* GCOVR_EXCL_STOP */
}

/* Differences of areas may come out a rounding error under 0. */
static double course_day(const struct degree_rule *rule, const struct course *c)
{
	return fmax(0, course_sum(rule, c));
}

static double double_day(const struct degree_rule *rule, enum shape shape, double low, double high, double next_low)
{
	struct course morning = {shape, low, high};
	struct course evening = {shape, next_low <= high ? next_low : low, high};
	return (course_day(rule, &morning) + course_day(rule, &evening)) / 2;
}

static double average_day(const struct degree_rule *rule, double low, double high)
{
	double base = rule->base_c;
	double cap = has_cap(rule) ? rule->cap_c : HUGE_VAL;

	if (rule->method == DEGREE_AVERAGE_MEAN)
		return held((low + high) / 2, base, cap) - base;
	if (rule->method == DEGREE_AVERAGE_ENDS)
		return (held(low, base, cap) + held(high, base, cap)) / 2 - base;
	return fmax(0, (fmin(low, cap) + held(high, base, cap)) / 2 - base);
}

double degree_day(const struct degree_rule *rule, double tmin_c, double tmax_c, double next_tmin_c)
{
	if (!degree_rule_ok(rule) || !isfinite(tmin_c) || !isfinite(tmax_c) || tmin_c > tmax_c)
		return (double)NAN;
	switch (rule->method) {
	case DEGREE_AVERAGE_MEAN:
	case DEGREE_AVERAGE_ENDS:
	case DEGREE_AVERAGE_HIGH:
		return average_day(rule, tmin_c, tmax_c);
	case DEGREE_HOURLY:
	case DEGREE_SINE:
		return course_day(rule, &(struct course){SINE, tmin_c, tmax_c});
	case DEGREE_TRIANGLE:
		return course_day(rule, &(struct course){TRIANGLE, tmin_c, tmax_c});
	case DEGREE_SINE_DOUBLE:
		return double_day(rule, SINE, tmin_c, tmax_c, next_tmin_c);
	case DEGREE_TRIANGLE_DOUBLE:
		return double_day(rule, TRIANGLE, tmin_c, tmax_c, next_tmin_c);
	/* GCOVR_EXCL_START: degree_rule_ok lets no other method in */
	case DEGREE_METHODS:
		break;
	}
	return (double)NAN;
	/* GCOVR_EXCL_STOP */
}

/* The rate at one temperature, degree days a day. */
static double rate(const struct degree_rule *rule, double t_c)
{
	double over = fmax(0, t_c - rule->base_c);

	if (!has_cap(rule) || t_c <= rule->cap_c)
		return over;
	switch (rule->cutoff) {
	case DEGREE_HORIZONTAL:
		return rule->cap_c - rule->base_c;
	case DEGREE_VERTICAL:
		return 0;
	case DEGREE_INTERMEDIATE:
		return 2 * rule->cap_c - rule->base_c - t_c;
	case DEGREE_INTERMEDIATE_FLOORED:
		return fmax(0, 2 * rule->cap_c - rule->base_c - t_c);
	/* GCOVR_EXCL_START: a rule with a cap has one of the cut-offs above */
	case DEGREE_NO_CUTOFF:
	case DEGREE_CUTOFFS:
		break;
	}
	return over;
	/* GCOVR_EXCL_STOP */
}

/* What the known hours say: the sum of their rates and their extremes. */
struct tally {
	int known, foreseen; /* foreseen: forecast or less */
	double rates, low, high;
};

static struct tally tally_hours(const struct degree_rule *rule, const double *t_c, const uint8_t *origin, int n)
{
	struct tally y = {.low = (double)NAN, .high = (double)NAN};

	for (int i = 0; i < n; i++) {
		if (isnan(t_c[i]))
			continue;
		y.known++;
		y.rates += rate(rule, t_c[i]);
		y.low = fmin(y.low, t_c[i]);
		y.high = fmax(y.high, t_c[i]);
		if (origin != NULL && (origin[i] & ORIGIN_MASK) <= ORIGIN_FORECAST)
			y.foreseen++;
	}
	return y;
}

/* Whether a day is counted from its hours; the order is in the header. */
static bool by_hours(const struct degree_rule *rule, const struct tally *y, double from_known)
{
	if (y->known < DEGREE_HOURS_ENOUGH || !degree_rule_ok(rule))
		return false;
	bool seen = y->known - y->foreseen >= DEGREE_HOURS_ENOUGH;
	return isnan(from_known) || (rule->method == DEGREE_HOURLY && seen);
}

struct degree_count degree_day_hours(const struct degree_rule *rule, const double *t_c, const uint8_t *origin, int n,
				     const struct degree_extremes *known)
{
	struct tally y = tally_hours(rule, t_c, origin, n);
	struct degree_count c = {.dd_c = (double)NAN, .hours_known = y.known, .hours_missing = n - y.known};
	const struct degree_extremes none = {(double)NAN, (double)NAN, (double)NAN};
	struct degree_extremes e = known != NULL ? *known : none;
	double from_known = degree_day(rule, e.tmin_c, e.tmax_c, e.next_tmin_c);

	if (by_hours(rule, &y, from_known)) {
		c.dd_c = rule->method == DEGREE_HOURLY ? fmax(0, y.rates / y.known * n / 24)
						       : degree_day(rule, y.low, y.high, e.next_tmin_c);
		c.how = y.known == n ? DEGREE_HOURS : DEGREE_HOURS_FILLED;
		c.any_forecast = y.foreseen > 0;
	} else if (!isnan(from_known)) {
		c.dd_c = from_known;
		c.how = DEGREE_EXTREMES;
	}
	return c;
}

void degree_sum_add(struct degree_sum *sum, const struct degree_count *day)
{
	sum->days++;
	switch (day->how) {
	case DEGREE_UNKNOWN:
		sum->missing_days++;
		return;
	case DEGREE_HOURS:
		sum->hours_days++;
		break;
	case DEGREE_HOURS_FILLED:
		sum->filled_days++;
		break;
	case DEGREE_EXTREMES:
		sum->extremes_days++;
		break;
	}
	sum->dd_c += day->dd_c;
	sum->forecast_days += day->any_forecast;
}
