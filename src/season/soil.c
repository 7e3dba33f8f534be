#include "season/soil.h"

#include <math.h>
#include <string.h>

#include "base/instant.h"

enum { EIGHT_S = 8 * HOUR_S };

enum { SOIL_ENOUGH = 4, SOIL_OF = 5 }; /* of a day's hours, as season/day has it */

double soil_reckoned(const struct soil_hours *h, const struct zone *z, struct date d)
{
	/* The hour that ends then. */
	int64_t i = (instant_hour(zone_instant(z, d, EIGHT_S)) - HOUR_S - h->first) / HOUR_S;
	return i >= 0 && i < (int64_t)h->n ? h->c[i] : (double)NAN;
}

double soil_day(const struct soil_hours *h, const struct zone *z, struct date d)
{
	int64_t begin = zone_day_start(z, d), end = zone_day_start(z, date_add(d, 1));
	double sum = 0;
	int known = 0, hours = 0;
	/* An hour's value is that of its end. */
	for (int64_t t = instant_hour(begin); t < end; t += HOUR_S) {
		int64_t i = (t - h->first) / HOUR_S;
		double c = i >= 0 && i < (int64_t)h->n ? h->c[i] : (double)NAN;
		hours++;
		known += !isnan(c);
		sum += isnan(c) ? 0 : c;
	}
	return known > 0 && known * SOIL_OF >= hours * SOIL_ENOUGH ? sum / known : (double)NAN;
}

static bool of_bed(const struct entry *e, const char *bed)
{
	return e->bed[0] == '\0' || strcmp(e->bed, bed) == 0;
}

struct soil soil_reading(const struct diary *diary, const char *bed, struct date today)
{
	struct soil last = {(double)NAN, SOIL_UNKNOWN, date_none()};
	for (size_t i = 0; i < diary->n; i++) {
		const struct entry *e = &diary->entry[i];
		int age = date_diff(today, e->date);
		if (verb_of(e) != VERB_SOIL || age < 0 || age > SOIL_KEEPS_DAYS || !of_bed(e, bed) || isnan(e->amount))
			continue;
		last = (struct soil){e->amount, SOIL_READ, e->date};
	}
	return last;
}

struct soil soil_carried(const struct soil *reading, double then_c, double now_c)
{
	if (reading->basis != SOIL_READ)
		return (struct soil){now_c, isnan(now_c) ? SOIL_UNKNOWN : SOIL_RECKONED, date_none()};
	struct soil s = *reading;
	double warmed_k = now_c - then_c;
	s.c += isnan(warmed_k) ? 0 : warmed_k;
	return s;
}
