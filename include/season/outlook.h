/*
 * The nights ahead as chances: what low is to be expected in the bed and on the leaf, and how far it may be off.
 *
 * A forecast night stands at its corrected low (odds/correct), a later one at what years have been like
 * (odds/climate), else nothing can be told of it.  What a chance means for a plant is advice's business.
 *
 * Years are known of a station's air at 2 m alone.  Bed and leaf of such a night lie under it as on a night
 * that is neither clear nor overcast, neither calm nor windy (physics/bed's middle class, 0.7 and 1.3 K): no
 * record says how many of those nights were clear.  On a clear calm one it is 1.5 and 2.5 K, so a chance of
 * leaf frost out of years is on the low side where frosts come on clear nights.  What lies between station
 * and garden (a hollow, a town) is not known, and nothing is taken off for it.
 */
#ifndef SEASON_OUTLOOK_H
#define SEASON_OUTLOOK_H

#include <stddef.h>
#include <stdint.h>

#include "base/date.h"
#include "odds/climate.h"
#include "odds/correct.h"
#include "odds/runs.h"
#include "physics/bed.h"
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
 * A night's number in an issue: of the first that begins (18:00 of local standard time) after it was made, 1.
 *
 * Notes    a night that had begun when it was made, and still runs, counts as the first, too; one before it 0 or less
 */
int outlook_number(int64_t made, struct date evening, double lon_deg);

/* How far bed and leaf of a night of the years lie under the station's air. */
struct bed_depression outlook_years_under(void);

/* A night of which only years can tell: OUTLOOK_YEARS, or OUTLOOK_NONE where they do not.  years may be NULL. */
void outlook_by_years(const struct climate *years, struct date evening, struct outlook_night *out);

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
