/*
 * PUT OUT and KEEP IN: a tray gets used to sun, wind and nights before it is planted out.
 *
 * The plan ends on the likely day of planting out.  It takes HARDEN_WANTED days on which the tray stood out, and
 * begins HARDEN_LEAD days before that day, so that a few may be too cold; if more are, it goes on.  Its hours grow
 * with the days that were done, not with the calendar: from two in shade to nine, then all day, and all night
 * where nights hold.
 *
 * Days done are those with "put out" in the diary.  Where it has none, those since the plan's first day that were
 * fit by the record: whoever follows the notes has put it out on them.  That first day is counted back from
 * today's likely day, so it moves with that; while no fit night is in sight, it moves on with every morning, and
 * the hours wait.
 */
#ifndef ADVICE_HARDEN_H
#define ADVICE_HARDEN_H

#include "advice/advice.h"
#include "season/standing.h"

enum {
	HARDEN_WANTED = 7,      /* published: 7 to 10 or 14 days, 3 to 6 may do; a week by common practice */
	HARDEN_LEAD = 10,       /* a week, and three days of bad weather (judgement; 7 to 14 are common practice) */
	HARDEN_LEAST = 2,       /* hours under which a tray is not carried out (judgement), and the first day's */
	HARDEN_NIGHTS_FROM = 6, /* day from which it stays out at night where that holds (judgement) */
	HARDEN_SOON = 2,        /* days after today whose staying in a line tells */
	HARDEN_SHOWN = 5,       /* days of the plan that an advice tells */
};

struct harden_plan {
	bool runs;          /* the planting is being hardened, or is to be from today on */
	struct date likely; /* day of planting out; DATE_NONE where nothing can be said of it */
	struct date ends;   /* last of the days wanted; DATE_NONE where they are done */
	int done;           /* days before today */
	bool by_diary;
	int hours[HARDEN_SHOWN]; /* of today and the days after; 0: in; under 0: nobody can tell */
	struct standing today;
};

/* Hours by the plan on its day number `day`, 1 the first: they never shrink. */
int harden_hours(int day);

/* The plan of a planting in its tray; likely: see harden_likely. */
void harden_plan(const struct garden *g, const struct season_state *s, size_t planting, struct date likely,
		 struct harden_plan *plan);

/*
 * The likely day of planting out: the one that PLANT OUT names in the list; else the first that the nights known
 * do not speak against, the plant is old enough for, and is not before the middle of the calendar's days.
 */
struct date harden_likely(const struct garden *g, const struct season_state *s, size_t planting,
			  const struct advice_list *list);

/*
 * PUT OUT, or KEEP IN with what bars the day, of today.
 *
 * Nothing where its crop has no lines for it, the day of planting is too far off, daylight is over, it is to be
 * planted today and has been hardened, or the first day is still to come and this is no day for it.  An aged forecast
 * counts, an old one does not (season/trust): KEEP IN, cannot tell.  The list is to have the planting's PLANT OUT
 * already. Steps: the lines, days done, days wanted, then as far as they count: hours from and to, warmest, gust, rain,
 * sun, the coming night, and the hours of the next days.
 */
void harden_advise(const struct garden *g, const struct season_state *s, size_t planting, struct advice_list *out);

/* The day of hardening that an advice is about, 1 the first. */
int harden_day_number(const struct advice *a);

/* Whether the second says of its tray what the first says of another: one line will do. */
bool harden_says_same(const struct advice *a, const struct advice *b);

#endif
