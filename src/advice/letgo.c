#include "advice/letgo.h"

#include <math.h>

#include "physics/sun.h"

/* Nearer the pole it is the same autumn, but there the sun may be up for weeks. */
static const double FARTHEST_DEG = 50;

static bool shortens(struct date d, double lat_deg, double lon_deg)
{
	struct sun_day before = sun_day(date_add(d, -1), lat_deg, lon_deg), day = sun_day(d, lat_deg, lon_deg);
	return sun_day_length(&day) < sun_day_length(&before);
}

bool letgo_autumn(struct date evening, double lat_deg, double lon_deg)
{
	lat_deg = fmin(fmax(lat_deg, -FARTHEST_DEG), FARTHEST_DEG);
	return shortens(evening, lat_deg, lon_deg) && shortens(date_add(evening, -LETGO_AUTUMN_DAYS), lat_deg, lon_deg);
}

double letgo_mean_after(const struct season_state *s, struct date evening)
{
	int first = date_diff(evening, s->today) + 1, known = 0;
	double sum_c = 0;
	for (int i = first > 0 ? first : 0; i < first + LETGO_DAYS && i < STATE_AHEAD; i++) {
		if (isnan(s->day[i].tmean_c))
			continue;
		known++;
		sum_c += s->day[i].tmean_c;
	}
	return known >= LETGO_KNOWN ? sum_c / known : (double)NAN;
}
