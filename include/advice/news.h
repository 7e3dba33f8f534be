/*
 * News: what differs from the advice of the morning before.
 *
 * One step back, composed anew, nothing taken from what was sent.  A line is
 * news if its (decision, planting, act-by day, verdict) differs; the day of a
 * WAIT must have moved by more than one, or have been due and not kept; on a Friday whatever could go out is
 * news, for then the weekend is asked about (judgement).  It is a
 * change, to be owned up to, if it contradicts the morning before: another verdict
 * on the same matter, such a date, or a number that moved by more than 2 F.  The
 * old, the new and, where a night's low is the reason, that night stand in it.
 */
#ifndef ADVICE_NEWS_H
#define ADVICE_NEWS_H

#include "advice/advice.h"

/* The dead band: dates to one day, numbers to 2 F and what binary fractions make of it (judgement). */
#define NEWS_DAYS      1
#define NEWS_DEGREES_C (2.0 / 1.8 + 1e-9)

enum change_kind {
	CHANGE_NIGHT,      /* the low of a night that COVER is about moved */
	CHANGE_COVER_OFF,  /* yesterday's COVER is no longer needed */
	CHANGE_COVER_LOST, /* yesterday's COVER can no longer be judged */
	CHANGE_DATE,       /* the day to plant moved, or went */
	CHANGE_HARDEN,     /* the day on which hardening ends moved; `night`: a day on which it is to stay in now */
	CHANGE_VERDICT,    /* PLANT became WAIT; or WAIT became PLANT earlier than had been said */
};

struct change {
	enum change_kind kind;
	size_t n; /* plantings it concerns, at least 1 */
	size_t of[GARDEN_PLANTINGS_MAX];
	struct date night;   /* the night that moved; of a date or verdict the one behind it, DATE_NONE where none is */
	double was_c, now_c; /* lows of that night, the forecast's (COVER_OFF and COVER_LOST: see rule); NaN unknown */
	bool nights_unknown; /* of a date or verdict: nights are not known that were held to be good (or bad) */
	struct date was_day, now_day; /* DATE_NONE: none named */
	enum verdict was, now;
	enum crop_figure rule; /* of a night: CROP_KILL where the lows are the leaf's, else the bed's */
};

enum { CHANGES_MAX = 64 };

struct changes {
	size_t n;
	struct change at[CHANGES_MAX]; /* nights first; at most one a (kind, night or dates) */
};

/*
 * Mark the news among today's advice and list the changes.
 *
 * Given    today, s    advice and state at the cut; today's `news` is set
 *          before, b   the same of the morning before; before->n = 0 and b NULL where there is
 *                      no forecast of that morning (then everything is news and nothing changed)
 */
void news_mark(struct advice_list *today, const struct season_state *s, const struct advice_list *before,
	       const struct season_state *b, struct changes *out);

/*
 * Leave of advice and changes what is about covers of tonight.  False where none of it is news and nothing changed.
 */
bool news_of_tonight(struct advice_list *today, struct date tonight, struct changes *changes);

#endif
