#include "plant/stage.h"

#include <math.h>

static const struct spread UNKNOWN = {(double)NAN, (double)NAN, (double)NAN};

const char *stage_word(enum stage s)
{
	static const char *const word[STAGES] = {
	    [STAGE_NONE] = "not sown",       [STAGE_SOWN] = "sown",           [STAGE_UP] = "up",
	    [STAGE_TRUE_LEAF] = "true leaf", [STAGE_HARDENING] = "hardening", [STAGE_SET_OUT] = "set out",
	    [STAGE_GROWING] = "growing",     [STAGE_FLOWERING] = "flowering", [STAGE_PICKING] = "picking",
	    [STAGE_ENDED] = "ended",
	};
	return word[s];
}

double stage_emergence_days(const struct crop *crop, double soil_c)
{
	double a_day = soil_c - crop->emerge_base_c;
	return a_day > 0 ? crop->emerge_dd / a_day : (double)NAN;
}

/* Mean of the last days known. */
static double pace_of(const double *soil_c, size_t n)
{
	double sum = 0;
	size_t k = n < STAGE_PACE_DAYS ? n : STAGE_PACE_DAYS;
	for (size_t i = n - k; i < n; i++)
		sum += soil_c[i];
	return sum / (double)k;
}

/* The day, with its fraction, on which so much warmth is full. */
static double full(const struct crop *crop, const double *soil_c, size_t n, double wanted_dd)
{
	double pace_c = pace_of(soil_c, n), left = wanted_dd;
	for (size_t i = 0; i < STAGE_UP_MOST; i++) {
		double a_day = (i < n ? soil_c[i] : pace_c) - crop->emerge_base_c;
		if (isnan(a_day))
			return a_day;
		if (a_day >= left)
			return (double)i + left / a_day;
		left -= a_day > 0 ? a_day : 0;
	}
	return (double)NAN;
}

struct spread stage_emergence(const struct crop *crop, const double *soil_c, size_t n)
{
	struct spread days = UNKNOWN;
	if (n == 0 || isnan(crop->emerge_dd) || isnan(crop->emerge_base_c))
		return days;
	days.likely = full(crop, soil_c, n, crop->emerge_dd);
	if (isnan(days.likely))
		return days;
	days.least = full(crop, soil_c, n, STAGE_EARLY_FRAC * crop->emerge_dd);
	days.most = STAGE_LATE_FRAC * days.likely;
	return days;
}

struct spread stage_until(struct spread sum_dd, double so_far_dd, double pace_dd)
{
	if (!(pace_dd > 0))
		return UNKNOWN;
	return (struct spread){.likely = (sum_dd.likely - so_far_dd) / pace_dd,
			       .least = (sum_dd.least - so_far_dd) / pace_dd,
			       .most = (sum_dd.most - so_far_dd) / pace_dd};
}
