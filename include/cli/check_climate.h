/*
 * What `dewpost check` says of the place's climate: frost by the calendar, and when nights reach the plantings' lines.
 */
#ifndef CLI_CHECK_CLIMATE_H
#define CLI_CHECK_CLIMATE_H

#include "cli/findings.h"

/*
 * Out of the station's days in the record, which must have been looked at (findings_record); nothing where it does not
 * know the place.
 *
 * Notes    a line is reached with the first CHECK_CLIMATE_NIGHTS nights in a row at or over it, of bed air by
 * season/outlook's way; the date is that of the first of them.  It is seldom reached where that has not come by
 * CHECK_CLIMATE_DAY in half of the years; then 55 F is proposed to who has a higher line.  Nothing of it is an error.
 */
void check_climate(struct context *c, struct findings *w);

enum {
	CHECK_CLIMATE_NIGHTS = 5,
	CHECK_CLIMATE_DAY = 181, /* 30 June, in the south 30 December: a summer is half gone by then (judgement) */
};

#endif
