/*
 * The nights ahead as chances: what low is to be expected in the bed and on the leaf, and how far it may be off.
 *
 * A forecast night stands at its corrected low (odds/correct), a later one at what years have been like
 * (odds/climate), else nothing can be told of it.  What a chance means for a plant is advice's business.
 */
#ifndef SEASON_OUTLOOK_H
#define SEASON_OUTLOOK_H

#include <stddef.h>

#include "base/date.h"
#include "odds/climate.h"
#include "odds/correct.h"
#include "odds/runs.h"
#include "season/bedlow.h"
#include "season/night.h"

enum { OUTLOOK_LEAVES = 8 }; /* widths of leaf */

enum outlook_basis {
	OUTLOOK_NONE, /* cannot tell: every low is NaN */
	OUTLOOK_FORECAST,
	OUTLOOK_YEARS, /* beyond the forecast: what years have been like at the date */
};

struct outlook_night {
	struct date evening;
	enum outlook_basis basis;
	struct runs_night air; /* at 2 m */
	struct runs_night bed; /* over the bed */
	struct runs_night leaf[OUTLOOK_LEAVES];
};

/* What is learned of a place from its past. */
struct outlook_past {
	struct correction correction;
	const struct climate *climate; /* NULL: no years are known */
};

/*
 * One night ahead.
 *
 * Given    n, low   a coming night and its lows by the forecast, one for each of `leaves` widths
 *          night    its number in the issue, 1 the first to come; else no forecast counts
 * Notes    the correction shifts all hours of a night alike, so bed and leaf keep their distances from the air.
 *          A night with holes has no low.
 */
void outlook_of(const struct night *n, const struct bedlow *low, size_t leaves, int night,
		const struct outlook_past *past, struct outlook_night *out);

#endif
