/*
 * The days of the stations of one file, in whatever order its lines come.
 *
 * Inside of stationfile.  Low and high in deg C, rain in mm.
 */
#ifndef SOURCE_STATIONDAYS_H
#define SOURCE_STATIONDAYS_H

#include <stdbool.h>
#include <stddef.h>

#include "base/date.h"
#include "base/fault.h"
#include "facts/station.h"
#include "source/tally.h"

enum station_element { STATION_LOW, STATION_HIGH, STATION_RAIN, STATION_ELEMENTS };

/* Years that stations measured in: the first of GHCN-Daily's series begins in 1763. */
enum { STATION_YEAR_FIRST = 1700, STATION_YEARS = 500, STATIONDAYS_MAX = 64 };

struct station_year;

struct station_series {
	char id[STATION_ID_SIZE];
	bool placed; /* the file says where it stands */
	double latitude_deg, longitude_deg, elevation_m;
	struct station_year *year[STATION_YEARS];
};

struct stationdays {
	struct station_series *series;
	size_t n, cap;
};

void stationdays_free(struct stationdays *d);

/* The series of a station, made where it is new; *s stands until the next one is made.  Past STATIONDAYS_MAX
 * FAULT_USAGE.
 */
enum fault_code stationdays_series(struct stationdays *d, const char *id, struct station_series **s,
				   struct fault *f) MUST_USE;

/* A day that a series can hold: FAULT_DATA before STATION_YEAR_FIRST and STATION_YEARS after it. */
enum fault_code stationdays_date(struct date date, struct fault *f) MUST_USE;

/* One value of a line; observed: HHMM of the reading, -1 where unknown.  Out of range is counted and not kept. */
enum fault_code stationdays_put(struct station_series *s, struct date date, enum station_element e, double x,
				int observed, size_t line, struct tally *t, struct fault *f) MUST_USE;

/* After the last line: days whose low is over their high lose both. */
void stationdays_judge(struct stationdays *d, struct tally *t);

/* The next day at or after *at that has a value; *at is then the day after it.  False: no more. */
bool stationdays_next(const struct station_series *s, struct date *at, struct station_day *day);

/* First day of all that a series can hold. */
struct date stationdays_begin(void);

#endif
