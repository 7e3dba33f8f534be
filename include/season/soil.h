/*
 * How warm the soil is at 8 in the morning, 10 cm (4 in) down: reckoned, or the grower's reading carried forward.
 *
 * Reckoned is bare soil, half dry, from the hours (season/derived): it needs ten days of them to settle.  A
 * bed's own reading says more: it is carried forward for SOIL_KEEPS_DAYS days, by what the reckoned soil has
 * warmed or cooled since where that is known.  A reading without a bed is taken for every bed.
 */
#ifndef SEASON_SOIL_H
#define SEASON_SOIL_H

#include <stddef.h>
#include <stdint.h>

#include "base/date.h"
#include "base/zone.h"
#include "season/dates.h"

enum {
	SOIL_KEEPS_DAYS = 7,                     /* a reading says nothing of the soil after that (judgement) */
	SOIL_BEFORE_DAYS = SOIL_KEEPS_DAYS + 11, /* hours wanted before today: ten days settle */
};

enum soil_basis { SOIL_UNKNOWN, SOIL_READ, SOIL_RECKONED };

struct soil {
	double c; /* NaN where unknown */
	enum soil_basis basis;
	struct date read; /* of SOIL_READ: the day of the reading; else DATE_NONE */
};

/* Bare soil at the end of each of n hours from `first` on, deg C (season/derived, at one depth); n 0: nothing is
 * reckoned. */
struct soil_hours {
	int64_t first;
	size_t n;
	const double *c;
};

/* Of 8 am of a day; NaN where the hours do not reach it, or the soil has not settled. */
double soil_reckoned(const struct soil_hours *h, const struct zone *z, struct date d);

/* Mean of a civil day; NaN where under 80 % of its hours are known. */
double soil_day(const struct soil_hours *h, const struct zone *z, struct date d);

/* The last reading of the bed up to today, not older than it keeps; its date DATE_NONE where there is none. */
struct soil soil_reading(const struct diary *diary, const char *bed, struct date today);

/*
 * The soil of a day.
 *
 * Given    reading       soil_reading's
 *          then_c, now_c reckoned on the reading's day and on the day asked for; NaN: not known
 */
struct soil soil_carried(const struct soil *reading, double then_c, double now_c);

#endif
