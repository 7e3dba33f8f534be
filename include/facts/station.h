/*
 * One day of a station's record, as it was reported.
 */
#ifndef FACTS_STATION_H
#define FACTS_STATION_H

#include "base/date.h"

enum { STATION_ID_SIZE = 32 };

struct station_day {
	char station[STATION_ID_SIZE];
	struct date date;
	double tmin_c, tmax_c; /* NaN where missing */
	double rain_mm;        /* NaN where missing; a trace is 0 */
	int observed_hhmm;     /* local clock of the reading that ends the 24 h; -1 where unknown */
};

#endif
