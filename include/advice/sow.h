/*
 * SOW, and what goes with seed: WAIT, TEST, DIG, SNIP; and the last sowing that pays.
 *
 * Indoors the days are counted back from the middle of the likely days of planting out (advice/calendar): as many as
 * the plant may stay in its tray, down to as many as it wants.  In place it is the soil at the depth of seed that
 * decides: three mornings at the crop's worthwhile warmth, and as warm as far as the forecast goes; and not before a
 * sowing that would come up among frosts.
 *
 * Spoken of in the first half of the year of seasons, and as long as the last sowing pays; never in autumn.
 */
#ifndef ADVICE_SOW_H
#define ADVICE_SOW_H

#include "advice/advice.h"

enum {
	SOW_AHEAD = 14,       /* days before the first day from which WAIT is said (judgement) */
	SOW_MORNINGS = 3,     /* in a row with warm soil (published: Texas A&M, three mornings) */
	SOW_LATE = 28,        /* days after the window where the last useful day is not known (judgement) */
	SOW_UNTIL = 200,      /* day of the year of seasons, the same: some four weeks after the longest day */
	SOW_SPRING = 32,      /* and from here on: February, August in the south (judgement) */
	SOW_TEST = 21,        /* days before the first sowing to test old seed (judgement) */
	SOW_TEST_OF = 10,     /* seeds laid out, */
	SOW_TEST_GOOD = 7,    /* and so many sprouted are enough (common practice) */
	SOW_TEST_LEAST = 7,   /* days it takes at least (common practice) */
	SOW_TEST_KEEPS = 120, /* a test says nothing after so many days (judgement) */
	SOW_THIN = 7,         /* days after the first true leaf in which thinning is spoken of (judgement) */
	SOW_AGAIN_AHEAD = 10, /* days before the last useful sowing from which it is spoken of (judgement) */
	SOW_POTS_ON = 28, /* days in its tray from which a crop is potted on, not sown in its pot (common practice) */
};

/*
 * What is to be said of a planting's seed.
 *
 * WAIT_SOWING: a day to sow on where one can be named; cannot_tell where years or soil are not known, said once.
 * SOW: its day is the last of the window; later sowings the last that pays.  In place: today.
 * TEST: its day is the last to begin on; step STEP_TEST_DAYS has the day to count.
 * DIG: once emergence is overdue (season/stages), its day the first of these; step STEP_SOW_AGAIN.
 * THIN: its day ends the week after the first true leaf.
 * SOW of a planting that bears: another one for autumn, with STEP_LAST_SOWING; the first of each crop alone.
 */
void sow_advise(const struct garden *g, const struct season_state *s, size_t planting, struct advice_list *out);

/* Whether the day of a WAIT_SOWING is the first that frost allows, whatever the soil is like by then: no promise. */
bool sow_at_earliest(const struct advice *a);

/* Whether a SOW is for a successor of what stands in the bed. */
bool sow_is_another(const struct advice *a);

#endif
