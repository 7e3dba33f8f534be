#include "season/outlook.h"

#include <math.h>

static struct runs_night shifted(struct runs_night r, double by_k)
{
	r.low_c += by_k;
	return r;
}

void outlook_of(const struct night *n, const struct bedlow *low, size_t leaves, int night,
		const struct outlook_past *past, struct outlook_night *out)
{
	const struct runs_night nothing = {(double)NAN, (double)NAN, 0};
	struct runs_night years = past->climate != NULL ? climate_night(past->climate, n->evening) : nothing;
	struct runs_night air =
	    n->complete ? correct_night(&past->correction, night, low[0].air_c, years.spread_c) : nothing;
	out->evening = n->evening;
	out->basis = !isnan(air.low_c) ? OUTLOOK_FORECAST : !isnan(years.low_c) ? OUTLOOK_YEARS : OUTLOOK_NONE;
	out->air = out->basis == OUTLOOK_FORECAST ? air : years;
	bool foreseen = out->basis == OUTLOOK_FORECAST;
	out->bed = shifted(out->air, foreseen ? low[0].bed_c - low[0].air_c : 0);
	for (size_t i = 0; i < OUTLOOK_LEAVES; i++) {
		const struct bedlow *l = &low[i < leaves ? i : 0];
		out->leaf[i] = shifted(out->air, foreseen ? l->leaf_c - l->air_c : 0);
	}
}
