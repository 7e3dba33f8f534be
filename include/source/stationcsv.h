/*
 * Hours or days of one station in a CSV whose columns a mapping explains.
 *
 * Inside of stationfile.  Of a state the row nearest to a whole hour and at
 * most ten minutes from it counts; rain and radiation are of the hour that the
 * row's time begins or ends.
 */
#ifndef SOURCE_STATIONCSV_H
#define SOURCE_STATIONCSV_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/fault.h"
#include "base/linefile.h"
#include "base/unit.h"
#include "base/zone.h"
#include "source/csv.h"
#include "source/mapping.h"
#include "source/rowtime.h"
#include "source/stationdays.h"
#include "source/stationhours.h"
#include "source/tally.h"

struct stationcsv {
	const struct mapping *how;
	struct tally *tally;
	struct stationdays *days;
	struct stationhours *hours;
	const char *station; /* daily: its name */
	int64_t now;
	struct rowtime time;
	bool daily, begun; /* begun: the heading is behind */
	char delimiter;
	size_t fields; /* of the heading */
	size_t looked; /* lines, while the heading is looked for */
	size_t time_at, clock_at;
	size_t n; /* columns with values */
	struct stationcsv_column {
		int target;
		size_t at; /* index in the row */
		struct unit unit;
		int64_t shift_s; /* from the row's time to the begin of what the value is of */
		bool part;       /* of a total that takes several rows */
		double lo, hi;
	} column[MAPPING_TARGETS];
	struct csv csv;
	char lacks[MAPPING_HEAD_SIZE], near[MAPPING_HEAD_SIZE]; /* the heading that is missing, and one like it */
	size_t lacks_line;
};

/* The mapping was checked.  FAULT_CONFIG: no such form of time. */
enum fault_code stationcsv_begin(struct stationcsv *x, const struct zone *zone, struct fault *f) MUST_USE;

/* One line.  *row: it is, or may be, one of values.  FAULT_DATA: it cannot be used; any other fault ends it all. */
enum fault_code stationcsv_line(struct stationcsv *x, struct fileline *line, bool *row, struct fault *f) MUST_USE;

/* After the last line.  FAULT_CONFIG: no line was the heading; FAULT_DATA: rows closer than an hour with rain in them.
 */
enum fault_code stationcsv_end(struct stationcsv *x, struct fault *f) MUST_USE;

#endif
