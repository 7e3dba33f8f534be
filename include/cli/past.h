/*
 * What is learned of a place from its past: what its nights and frosts are like by the calendar, and how far
 * its forecasts have been off.
 *
 * Years: days of the station that has most of them, of the last PAST_YEARS years, from before the cut's day.
 *
 * Forecasts: of each of the CORRECT_WINDOW_DAYS days before that had a note, the issue that was newest at its cut (so
 * what came in later teaches nothing, and what the record may drop is never asked for), its nights held against what
 * was seen of them.  Seen is one thing for all nights:
 *   the grower's own readings (diary lows; of a night with several the lowest; else own hours of the night), where
 *   there are CORRECT_PAIRS_MIN nights of them, or nothing else;
 *   otherwise what a station observed by the hour.
 * Own readings of a thermometer at bed height (thermometer = bed) are held against the forecast's low in the bed, by
 * the way from forecast to leaf: so height is taken off once, also while too few readings are there to learn from.
 * All else is held against the air at 2 m.  Either way the correction shifts all hours of a night alike.
 * What a service analysed is never taken for seen.
 */
#ifndef CLI_PAST_H
#define CLI_PAST_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/fault.h"
#include "cli/context.h"
#include "season/state.h"

enum { PAST_YEARS = 30 }; /* a climate normal (WMO) */

struct past {
	int years; /* that have a low */
	struct climate climate;
	struct frostdate frost;
	struct correct_pair *pair; /* by rising evening, `pairs` of them */
	size_t pairs;
};

/*
 * Read it out of the record, as of a cut; nothing is known where there is no record.
 *
 * Given    diary   of the garden
 * Notes    free also after a fault.  Without station days and seen nights it is two short looks at the record.
 */
enum fault_code past_learn(struct context *c, const struct diary *diary, int64_t cut, struct past *p,
			   struct fault *f) MUST_USE;
void past_free(struct past *p);

/*
 * What of it counts on a day, into k, which then points into p.
 *
 * Given    today   the day it was learned of, or the morning before: nights that were not over by its evening are left
 *                  out.  The years stay the same: a day more or less in thirty years tells nothing.
 */
void past_at(const struct past *p, struct date today, struct season_known *k);

/* The station days that years are counted from; mem_free(*days).  *station: whose go, inside *days, or NULL. */
enum fault_code past_days(struct context *c, struct date today, struct station_day **days, size_t *n,
			  const char **station, struct fault *f) MUST_USE;

#endif
