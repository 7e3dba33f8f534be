/*
 * Days of weather stations, by (place, station, date).
 */
#ifndef RECORD_STATIONSTORE_H
#define RECORD_STATIONSTORE_H

#include <stddef.h>
#include <stdint.h>

#include "base/date.h"
#include "base/fault.h"
#include "facts/station.h"
#include "record/record.h"

/* All or nothing.  A day that is there already: what the new one has goes over it, the rest stays. */
enum fault_code stationstore_put(struct record *rec, int64_t place, const struct station_day *days, size_t n,
				 struct fault *f) MUST_USE;

/* Days in [from, to), by date and station; station NULL is every one.  mem_free(*days). */
enum fault_code stationstore_list(struct record *rec, int64_t place, const char *station, struct date from,
				  struct date to, struct station_day **days, size_t *n, struct fault *f) MUST_USE;

#endif
