/*
 * A cover over a planting: which is at hand, what it gains of a night, how long it may lie, and what lies already.
 */
#ifndef ADVICE_SHELTER_H
#define ADVICE_SHELTER_H

#include "advice/advice.h"
#include "plant/cover.h"

struct shelter {
	const struct cover *cover; /* NULL: the garden file names none, or the table is not known */
	size_t kind;               /* its place in the garden's table */
	double gain_c;             /* at least, that night; NaN: nobody has measured it */
};

/*
 * The one of the covers at hand that gains most for sure on the night of an evening: the low end of its gain, less in
 * wind and after a sunless day (plant/cover).  One whose gain nobody knows comes after all others; of equals the first
 * in the garden file.
 */
struct shelter shelter_at_hand(const struct garden *g, const struct season_state *s, size_t planting,
			       struct date evening);

/*
 * What a leaf gains under it: the air's gain, and half of what it lies under the air beside it, for it sees the cover
 * in place of half the sky (judgement: fleece lets through about half of the heat that a leaf sends up).  What gains
 * the air nothing is not counted on for the leaf.
 */
double shelter_leaf_gain(double gain_c, double leaf_under_k);

/* Mean wind of a night at 10 m; NaN where too little of it is known. */
double shelter_wind(const struct night *n);

/*
 * Up to which high outside it may stay on through a day: some covers always, some until the first female flower,
 * by the diary, else by the degree days to it.  INFINITY: any; NaN: it may not.
 */
double shelter_stays_to_c(const struct cover *cover, const struct garden *g, const struct season_state *s,
			  size_t planting);

/*
 * The instant by which it has to be off on a day: its hour where the day gets warm, or is not known, else ten o'clock
 * (judgement); without a cover its hour is eight, that of plastic.  INSTANT_NONE where the state does not hold the day.
 */
int64_t shelter_off(const struct cover *cover, const struct season_state *s, struct date day);

/* Since when, by the diary, something lies on it that nobody took off; DATE_NONE: nothing does. */
struct date shelter_lies(const struct season_state *s, size_t planting);

/* The day's high; NaN where the state does not hold or know it. */
double shelter_high(const struct season_state *s, struct date day);

#endif
