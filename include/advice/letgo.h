/*
 * Autumn: whether a frost is worth covering for, or what there is had better be picked.
 */
#ifndef ADVICE_LETGO_H
#define ADVICE_LETGO_H

#include "advice/advice.h"

enum {
	LETGO_DAYS = 7,         /* days after the night that are looked at (judgement) */
	LETGO_KNOWN = 4,        /* of them known, or nobody can tell (judgement) */
	LETGO_AUTUMN_DAYS = 60, /* days have been getting shorter for so long: some two months past the longest */
};

/* Days of such a mean still ripen something: 58 F (judgement). */
#define LETGO_WARM_C (26 / 1.8)

/*
 * By the length of the days, so in both hemispheres: from some 20 August (20 February) to the shortest day.  Frost
 * before that is of spring or of high places, where a plant has its season before it.  Nearer a pole than
 * 50 degrees it goes by the days there.
 */
bool letgo_autumn(struct date evening, double lat_deg, double lon_deg);

/* Mean of the days after a night, as far as they are known; NaN where fewer than LETGO_KNOWN are. */
double letgo_mean_after(const struct season_state *s, struct date evening);

#endif
