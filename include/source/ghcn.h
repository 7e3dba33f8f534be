/*
 * GHCN-Daily, the daily record of the world's stations: its three layouts.
 *
 *   .dly    one line a station, month and element, in fixed columns
 *   long    ID,YYYYMMDD,ELEMENT,VALUE,M,Q,S,HHMM with or without a heading
 *   wide    a heading with STATION and DATE, a column and its flags an element
 *
 * Taken are TMIN, TMAX (0.1 C) and PRCP (0.1 mm).  A value with a quality flag
 * failed a check; M flag T is rain too little to measure, P is "missing,
 * presumed zero" and no measurement, L is of a day that is not certain.
 *
 * Source   readme of GHCN-Daily 3.00 (NOAA NCEI), sections III and IV; readme of its by-station files.
 *          The heading of newer long files and the wide layout: from memory
 */
#ifndef SOURCE_GHCN_H
#define SOURCE_GHCN_H

#include <stdbool.h>
#include <stddef.h>

#include "base/fault.h"
#include "base/linefile.h"
#include "source/csv.h"
#include "source/mapping.h"
#include "source/stationdays.h"
#include "source/tally.h"

enum ghcn_layout { GHCN_NONE, GHCN_DLY, GHCN_LONG, GHCN_LONG_HEADED, GHCN_WIDE };

/* What a line could be the first of. */
enum ghcn_layout ghcn_tell(const struct fileline *line);

/* Two letters of country, one of network, eight more: the form of a station's id. */
bool ghcn_id(const char *s, size_t n);

struct ghcn {
	enum ghcn_layout layout;
	const struct mapping *how; /* the station that is wanted, and the hour of observation */
	struct stationdays *days;
	struct tally *tally;
	struct csv csv;
	size_t fields; /* wide: of the heading; then where each column is, CSV_FIELDS_MAX where it is not */
	size_t station, date, latitude, longitude, elevation;
	size_t value[STATION_ELEMENTS], flags[STATION_ELEMENTS];
};

/* From the first line on.  FAULT_CONFIG: a heading that lacks what is needed. */
enum fault_code ghcn_begin(struct ghcn *g, enum ghcn_layout layout, struct fileline *first, struct fault *f) MUST_USE;

/* Whether the first line is a heading and no row. */
bool ghcn_headed(const struct ghcn *g);

/* One row.  FAULT_DATA: it cannot be used, and the next may be; any other fault ends it all. */
enum fault_code ghcn_row(struct ghcn *g, struct fileline *line, struct fault *f) MUST_USE;

#endif
