/*
 * What a coming night may do to a planting: expected lows, the chance that its leaf freezes, and the line that says
 * "cover".
 */
#ifndef ADVICE_PROSPECT_H
#define ADVICE_PROSPECT_H

#include "advice/advice.h"

struct prospect {
	const struct night *night;
	double forecast_c;           /* low at 2 m as forecast; of a night with holes of what is known */
	double air_c, bed_c, leaf_c; /* as expected; NaN where nothing is known */
	struct runs_night leaf;      /* spread NaN: no chance can be told */
	double freeze;               /* chance of a leaf at the kill line; NaN: cannot tell */
	double at;                   /* chance from which this planting is covered that evening */
	bool young;                  /* just planted */
	bool wanted;                 /* a cover is called for */
	enum crop_figure rule;       /* the line that calls, or would */
};

/* Days since planting out on an evening; -1 where it was sown in place: its roots were never disturbed. */
int prospect_days_out(const struct season_state *s, size_t planting, struct date evening);

struct prospect prospect_of(const struct garden *g, const struct season_state *s, size_t planting,
			    const struct night *n);

/*
 * The same night if cloud came or wind got up after dusk: bed and leaf stay near the air.  The cover line in the bed is
 * one for clear, calm nights, and calls for nothing then.
 */
struct prospect prospect_tipped(const struct garden *g, const struct prospect *p, size_t planting);

/* The line of a figure: kill, stall or cover. */
double prospect_line(const struct crop *c, enum crop_figure rule);

#endif
