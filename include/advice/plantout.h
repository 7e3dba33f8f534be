/*
 * PLANT OUT: whether today is fit for it, by the rule of advice/plantday, and when else.
 */
#ifndef ADVICE_PLANTOUT_H
#define ADVICE_PLANTOUT_H

#include "advice/advice.h"
#include "advice/plantday.h"

/* So near a day of PLANT is waited for, though today would do under a cover; but not past the pot's limit (judgement).
 */
enum { PLANTOUT_WORTH_WAITING = 7 };

/* What the days from today to PLANTDAY_AHEAD come to. */
struct plantout {
	struct plantday today;
	struct plantday good; /* the first day of PLANT; day DATE_NONE where there is none */
	struct plantday free; /* the better day of this weekend, as far as it is still to come */
	struct date pot_to;   /* last day that its tray is good for; DATE_NONE where not known */
	enum verdict verdict; /* today's */
};

void plantout_days(const struct garden *g, const struct season_state *s, size_t planting, struct plantout *p);

/*
 * One line a planting: PLANT OUT today; or under a cover, where no PLANT comes within PLANTOUT_WORTH_WAITING days
 * or while the pot is good; else WAIT, with the day.  An aged forecast is good for no PLANT, an old one for no day
 * at all (season/trust): WAIT, cannot tell.
 * Steps: night line (slow line where that is enough), stall line, wanted; today's window: nights, chances of enough
 * of them and of a stall, frost, soil; for WAIT with a day the same of that day; free day; age and tray days where
 * the plant is too young.
 */
void plantout_advise(const struct garden *g, const struct season_state *s, size_t planting, struct advice_list *out);

#endif
