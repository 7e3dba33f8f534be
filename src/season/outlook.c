#include "season/outlook.h"

#include <math.h>

#include "base/instant.h"

enum { BEGIN_S = 18 * HOUR_S }; /* a night begins (season/night) */

/* In the middle of physics/bed's middle class. */
static const double YEARS_WIND_MS = 2.25, YEARS_CLOUD_FRAC = 0.4;

static struct runs_night shifted(struct runs_night r, double by_k)
{
	r.low_c += by_k;
	return r;
}

int outlook_number(int64_t made, struct date evening, double lon_deg)
{
	int offset_s = instant_standard_offset(lon_deg);
	int after = date_diff(evening, instant_date(made + DAY_S - BEGIN_S, offset_s)) + 1;
	bool runs = after == 0 && date_diff(evening, night_evening(made, lon_deg)) == 0;
	return runs ? 1 : after;
}

struct bed_depression outlook_years_under(void)
{
	return bed_by_class(YEARS_WIND_MS, YEARS_CLOUD_FRAC, 1);
}

void outlook_by_years(const struct climate *years, struct date evening, struct outlook_night *out)
{
	const struct runs_night nothing = {(double)NAN, (double)NAN, 0};
	struct bed_depression under = outlook_years_under();
	out->evening = evening;
	out->air = years != NULL ? climate_night(years, evening) : nothing;
	out->basis = isnan(out->air.low_c) ? OUTLOOK_NONE : OUTLOOK_YEARS;
	out->bed = shifted(out->air, -under.bed_k);
	for (size_t i = 0; i < OUTLOOK_LEAVES; i++)
		out->leaf[i] = shifted(out->air, -under.leaf_k);
}

void outlook_of(const struct night *n, const struct bedlow *low, size_t leaves, int night,
		const struct outlook_past *past, struct outlook_night *out)
{
	outlook_by_years(past->climate, n->evening, out);
	if (!n->complete)
		return;
	struct runs_night air = correct_night(&past->correction, night, low[0].air_c, out->air.spread_c);
	if (isnan(air.low_c))
		return;
	out->basis = OUTLOOK_FORECAST;
	out->air = air;
	out->bed = shifted(air, low[0].bed_c - low[0].air_c);
	for (size_t i = 0; i < OUTLOOK_LEAVES; i++) {
		const struct bedlow *l = &low[i < leaves ? i : 0];
		out->leaf[i] = shifted(air, l->leaf_c - l->air_c);
	}
}
