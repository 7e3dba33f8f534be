/*
 * The first days of a planting in its bed or tub: WATER its root ball, SHADE it, LOOK for slugs and for beetles,
 * and when to lay STRAW.
 *
 * Of plants that were set out; what was sown in place, from the day it came up, for slugs and beetles alone.
 */
#ifndef ADVICE_SETTLE_H
#define ADVICE_SETTLE_H

#include "advice/advice.h"

enum {
	SETTLE_EVERY_DAYS = 2,  /* a root ball is watered every other day (common practice) */
	SETTLE_TENDER_DAYS = 3, /* days in which strong sun is too much, hot or not (judgement) */
	SETTLE_UP_DAYS = 21,    /* days from coming up in which slugs can take a seedling (judgement) */
	SETTLE_AGAIN_DAYS = 3,  /* slugs and beetles are looked for every third day while they last (judgement) */
	SETTLE_STRAW_DAYS = 60, /* days from planting out after which nobody is told of straw any more (judgement) */
};

/*
 * All that is due today, within the crop's settling days after planting out if nothing else is said:
 *
 * WATER     in a bed every other day from planting out, or from the day that the diary has it watered, on; not if
 *           6 mm (0.25 in) fell in the 48 hours before (common practice), nor if 10 mm (0.4 in) are to fall today
 *           at 7 in 10 or more (judgement).  In a tub a look every day, whatever falls.
 * SHADE     at a high of 29.4 C (85 F), and in the first SETTLE_TENDER_DAYS in three hours or more of sun over
 *           700 W/m2 at 21 C (70 F) (judgement).  Not by an old forecast.
 * SLUGS     after a night of 7 C (45 F) or more, with 1 mm of rain or more in the 24 hours before (judgement), unless
 *           tonight is to be colder; on the first such morning, and every SETTLE_AGAIN_DAYS while they follow each
 * other. BEETLES   within the crop's beetle_days, every SETTLE_AGAIN_DAYS, if each of the last three days had 18 C (65
 * F) (published: Ohio State University HYG-2139-88, 65 F; three days: judgement); not under a cover, by the diary.
 * STRAW     in a bed, from SETTLE_TENDER_DAYS to SETTLE_STRAW_DAYS after planting out, if the soil at 10 cm is at
 *           the crop's straw_soil, 12 mm (0.5 in) fell in the 72 hours before, or it was watered since yesterday
 *           (judgement), and the diary has no straw yet.  It has no day: news once, when it becomes so.
 * Steps: days out and settling days, then the numbers of the rule.
 */
void settle_advise(const struct garden *g, const struct season_state *s, size_t planting, struct advice_list *out);

/* Whether the second says of its planting what the first says of another. */
bool settle_says_same(const struct advice *a, const struct advice *b);

/* Hours before the cut whose rain counts for a verdict. */
int settle_looks_back(enum verdict v);

/* Water for the root ball of one plant, litres: a quart, or a litre in metric units (common practice). */
double settle_quench_l(int units);

#endif
