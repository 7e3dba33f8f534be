/*
 * The humidity of the hours of a record: dew point, deficit, and the vapour pressure that the models take.
 *
 * Works on whole arrays.  What one report is worth is physics/humid's business.
 * Temperatures in deg C, pressures in kPa.
 */
#ifndef PHYSICS_VAPOUR_H
#define PHYSICS_VAPOUR_H

#include <stddef.h>
#include <stdint.h>

#include "facts/hours.h"
#include "physics/humid.h"

/* Arrays of h->n that the caller owns; dew_point_c, deficit_kpa and from may be NULL. */
struct vapour {
	double *dew_point_c; /* at the hour's start, at most the air's temperature */
	double *deficit_kpa; /* vapour-pressure deficit at the hour's start */
	double *vapour_kpa;  /* in the hour's middle */
	uint8_t *from; /* enum origin of dew_point_c: the reported one's, or the lesser of temperature and humidity */
};

/*
 * Humidity of every hour.
 *
 * Returned NaN where a report is missing or refused, in the middle also where the next one is; the last hour has a
 *          middle only where its humidity stands for the whole hour.
 *          count[v] is the count of hours whose report had that verdict.
 * Source   as humid_hour; what the middle is: base/instant.h
 */
void vapour_hours(const struct hours *h, const struct vapour *out, size_t count[static HUMID_VERDICTS]);

#endif
