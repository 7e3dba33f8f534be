/*
 * PLANT OUT: whether the nights after a day are fit for it.
 */
#ifndef ADVICE_PLANTOUT_H
#define ADVICE_PLANTOUT_H

#include "advice/advice.h"

/*
 * PLANT where of the ADVICE_PLANT_NIGHTS nights from today's on
 * ADVICE_PLANT_WANTED reach the planting's night line and none is under the
 * crop's stall line, and the plant is old enough; else WAIT, with the first
 * later day that does.  An aged forecast is good for no PLANT, an old one for no
 * day at all (season/trust): WAIT, cannot tell.
 * Steps: night line, stall line, wanted; then the nights
 * from today's on, reached, unknown, coldest; for WAIT with a day the same
 * seven of that day's nights; age and tray days where the plant is too young.
 */
void plantout_advise(const struct garden *g, const struct season_state *s, size_t planting, struct advice_list *out);

#endif
