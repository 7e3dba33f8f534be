#include "physics/wetness.h"

#include <math.h>
#include <stdlib.h>

enum wetness wetness_humid(double rh_frac, double rain_mm, double line_frac)
{
	if (rain_mm > 0 || rh_frac >= line_frac)
		return WETNESS_WET;
	return rain_mm >= 0 && !isnan(rh_frac) ? WETNESS_DRY : WETNESS_CANNOT_TELL;
}

enum wetness wetness_depression(enum wetness before, double depression_k, double onset_k, double dryoff_k)
{
	if (depression_k < onset_k)
		return WETNESS_WET;
	if (depression_k > dryoff_k)
		return WETNESS_DRY;
	return isnan(depression_k) ? WETNESS_CANNOT_TELL : before;
}

bool wetness_next(const enum wetness *wet, const double *temperature_c, size_t n, size_t from,
		  struct wetness_spell *spell)
{
	size_t start = from;
	while (start < n && wet[start] != WETNESS_WET)
		start++;
	if (start >= n)
		return false;

	size_t end = start;
	double sum = 0;
	for (; end < n && wet[end] == WETNESS_WET; end++)
		sum += temperature_c[end];
	*spell = (struct wetness_spell){
	    .start = start,
	    .end = end,
	    .mean_c = sum / (double)(end - start),
	    .open_start = start == 0 || wet[start - 1] == WETNESS_CANNOT_TELL,
	    .open_end = end == n || wet[end] == WETNESS_CANNOT_TELL,
	};
	return true;
}

struct wetness_night wetness_compare(const enum wetness *balance, const enum wetness *fallback, size_t n)
{
	struct wetness_night night = {0};

	for (size_t i = 0; i < n; i++) {
		night.balance_h += balance[i] == WETNESS_WET;
		night.fallback_h += fallback[i] == WETNESS_WET;
		night.untold_h += balance[i] == WETNESS_CANNOT_TELL || fallback[i] == WETNESS_CANNOT_TELL;
	}
	night.uncertain = abs(night.balance_h - night.fallback_h) + night.untold_h > WETNESS_AGREE_H;
	return night;
}
