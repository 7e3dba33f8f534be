#include "physics/vapour.h"

#include <math.h>
#include <stdbool.h>

/* Whether the hour's humidity is told by its dew point: physics/humid takes it first. */
static enum var told_by(const struct hours *h, size_t i)
{
	return isnan(h->value[VAR_DEW_POINT][i]) ? VAR_HUMIDITY : VAR_DEW_POINT;
}

static uint8_t from(const struct hours *h, size_t i)
{
	uint8_t air = h->origin[VAR_AIR_TEMPERATURE][i] & ORIGIN_MASK;
	enum var v = told_by(h, i);
	uint8_t humidity = h->origin[v][i] & ORIGIN_MASK;
	return v == VAR_DEW_POINT || humidity < air ? humidity : air;
}

/* The state at the hour's start; vapour_kpa holds that of the start after it. */
static void start(const struct hours *h, const struct vapour *out, size_t i, size_t count[static HUMID_VERDICTS])
{
	double air_c = h->value[VAR_AIR_TEMPERATURE][i];
	double ea = 0;
	enum humid_verdict verdict = humid_hour(air_c, h->value[VAR_DEW_POINT][i], h->value[VAR_HUMIDITY][i], &ea);
	count[verdict]++;
	out->vapour_kpa[i] = ea;
	if (out->dew_point_c != NULL)
		out->dew_point_c[i] = humid_dew_point(ea);
	if (out->deficit_kpa != NULL)
		out->deficit_kpa[i] = humid_deficit(air_c, ea);
	if (out->from != NULL)
		out->from[i] = isnan(ea) ? ORIGIN_NONE : from(h, i);
}

void vapour_hours(const struct hours *h, const struct vapour *out, size_t count[static HUMID_VERDICTS])
{
	for (size_t v = 0; v < HUMID_VERDICTS; v++)
		count[v] = 0;
	for (size_t i = 0; i < h->n; i++)
		start(h, out, i, count);
	/* Upward: the next hour's is still that of its start. */
	for (size_t i = 0; i < h->n; i++) {
		bool whole = (h->origin[told_by(h, i)][i] & ORIGIN_WHOLE_HOUR) != 0;
		double next = i + 1 < h->n ? out->vapour_kpa[i + 1] : (double)NAN;
		if (!whole)
			out->vapour_kpa[i] = (out->vapour_kpa[i] + next) / 2;
	}
}
