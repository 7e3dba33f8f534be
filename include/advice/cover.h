/*
 * COVER: which coming nights want a cover over what is outside; and when what lies has to come off.
 *
 * Three lines a crop: under `slow` nothing is said; under `stall` what was just planted is covered; what gets to
 * `kill` on the leaf, by chance, is covered at any age.
 *
 *                    chance of a leaf at kill    low in the bed
 *   just planted     half of cover_at, 1 in 20   under stall, or at or under cover
 *   settled          cover_at, 1 in 10           at or under cover
 *
 * (judgement: ten minutes of work against weeks of picking; what was just planted has no roots to come again from.)
 * Just planted is settle_days from planting out on; what was sown in place never was.  Lows are those expected
 * (season/outlook): the forecast's, less what such forecasts are off, on their way to bed and leaf.
 *
 * COVER is said of the next ADVICE_COVER_AHEAD nights, by the stall line of the next COVER_STALL_AHEAD; CARRY IN
 * instead of what stands in a tub that is movable.  In autumn (advice/letgo) a night by cover or kill is only worth it
 * where the days after are warm; else PICK, and no later night of that planting.  UNCOVER is said in the morning, of
 * what lies by the diary and may not stay.
 */
#ifndef ADVICE_COVER_H
#define ADVICE_COVER_H

#include "advice/advice.h"

/* Where the table has no cover_at. */
#define COVER_AT_CHANCE 0.1

/* From this mean wind on, a cold night is one of cold air that came with it: 4 m/s (derived here, as covers.ini). */
#define COVER_WINDY_MS 4.0

enum {
	COVER_YOUNG_PARTS = 2, /* the just planted are covered at this part of cover_at */
	COVER_STALL_AHEAD =
	    2, /* nights for which a stall is told: nobody has to go and buy fleece for that (judgement) */
	COVER_UNCOVER_DAYS = 3, /* so many mornings UNCOVER is said; then whoever forgot to note it has peace */
};

/*
 * COVER, CARRY IN or PICK for a coming night: rule CROP_KILL where the chance decides, CROP_COVER or CROP_STALL where
 * the bed does; a night with holes, of which there is no chance, goes by the lows of what is known.  Steps: the chain
 * from forecast to leaf, chance and line, then what the cover at hand makes of it, when it goes off, what
 * would tip it.  LOOK where tonight cannot be judged, for hours that are missing or for the forecast's age
 * (season/trust), unless the past week's nights were all over the crop's slow line.  A forecast too old for COVER that
 * called tonight cold is LOOK after any week, with the chain.
 */
void cover_advise(const struct garden *g, const struct season_state *s, size_t planting, struct advice_list *out);

/* Whether both are covered with the same, or have it off at the same time: one line will do. */
bool cover_says_same(const struct advice *a, const struct advice *b);

#endif
