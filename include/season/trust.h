/*
 * How far a forecast is trusted by its age: written down here once, for all decisions.
 *
 * Age is counted from the instant the service made it, or, where it does not say, from its receipt.
 *
 *                    full            aged              old                  spent
 *   age              to its max_age  to 36 h           to 96 h              over, or none
 *   COVER            as forecast     as forecast       not said             not said
 *   LOOK             hours missing   where not cold    with what it said    without a number
 *   PLANT OUT        as forecast     WAIT; a later     WAIT, cannot tell    WAIT, cannot tell
 *                                    day may be named
 *   PUT OUT          as forecast     as forecast       KEEP IN, cannot      KEEP IN, cannot
 *                                                        tell                 tell
 *   SHADE            as forecast     as forecast       not said             not said
 *   WATER            rain to come     rain to come     by the past alone    by the past alone
 *                      counts           counts
 *   COVER of the     off, or moved   off, or moved     "can no longer be    "can no longer be
 *     morning before                                     judged"              judged"
 *   first line       what is to do   its age; a frost  its age              its age
 *                                    before it
 *   nights and days  told            told              told as what it      not told
 *                                                        said on its day
 *   pace to come     told            with its age      with its age         not told
 *
 * Whatever the age: a decision wants hours, too.  A night with missing hours is LOOK unless what is
 * known is cold enough; PLANT OUT wants every night that it counts on to be reached, by the
 * forecast or beyond it by a station's years.  LOOK keeps quiet
 * after a warm week, but only nights that were seen, or that began within 36 h of the forecast's
 * making, speak for the week.  Degree days run from the record at any age: they count what was seen,
 * then a station's days, then the last forecast of an hour (also one that is spent by now: what the
 * record holds of a past hour does not hang on today's age), and say how many days stand on that and
 * how many are missing.  A layer that ends before the temperature is said to end; of it no day is
 * called sunny or dry, no night clear or calm.
 *
 * Source   max_age: the source's description; the rest is judgement.  36 h: a night that a morning's
 *          forecast saw is over by then.  96 h: as far ahead as COVER itself looks.
 */
#ifndef SEASON_TRUST_H
#define SEASON_TRUST_H

#include <stdint.h>

#include "base/instant.h"

enum {
	TRUST_HOLDS_S =
	    18 * HOUR_S, /* max_age of a source that gives none: a morning's must do for the day (judgement) */
	TRUST_COVER_S = 36 * HOUR_S, /* COVER is said up to here (judgement) */
	TRUST_TOLD_S = 96 * HOUR_S,  /* anything of it is told up to here (judgement) */
};

enum trust { TRUST_FULL, TRUST_AGED, TRUST_OLD, TRUST_SPENT };

/*
 * Given    age_s       at the cut; under 0 (a clock is wrong) is no age
 *          max_age_s   of the source; 0 where it gives none.  It may only shorten TRUST_COVER_S
 */
enum trust trust_of(int64_t age_s, int64_t max_age_s);

const char *trust_name(enum trust t); /* "full", "aged", "old", "spent" */

#endif
