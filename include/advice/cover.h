/*
 * COVER: which coming nights want a cover over what is outside.
 */
#ifndef ADVICE_COVER_H
#define ADVICE_COVER_H

#include "advice/advice.h"

/*
 * COVER for each of the next ADVICE_COVER_AHEAD nights in which the leaf gets to the
 * crop's kill line (rule CROP_KILL), or the bed's air to its cover line (CROP_COVER), or, within
 * the settling days after planting out, under its stall line (CROP_STALL); steps: the forecast's low,
 * bed and leaf and how far they lie under it, line, margin, and for the stall line days out and
 * settling days.  LOOK where tonight cannot be judged, for hours that are missing
 * or for the forecast's age (season/trust), unless the past week's nights were all
 * over the crop's slow line.  A forecast too old for COVER that called tonight cold
 * is LOOK after any week, with the steps of COVER.
 */
void cover_advise(const struct garden *g, const struct season_state *s, size_t planting, struct advice_list *out);

#endif
