/*
 * The season's two ends for a planting, by what years have been like: when it is likely to be planted out, and until
 * when it is worth sowing.
 *
 * Years are those of a station (odds/frostdate, odds/climate).  Without them nothing can be told; a day of planting
 * out that the garden file plans goes before them.
 */
#ifndef ADVICE_CALENDAR_H
#define ADVICE_CALENDAR_H

#include "season/state.h"

/* Chance of a later frost at which planting out becomes likely; and of an earlier one that ends a season. */
#define CALENDAR_TENTH 0.1
#define CALENDAR_HALF  0.5

/* Days of picking that a late sowing must be good for (judgement). */
enum { CALENDAR_PICKING = 14 };

/* A night that in so many years of ten is at the line is one to plant for: some four of five in six of ten years
 * (judgement). */
#define CALENDAR_NIGHT 0.7

enum calendar_basis {
	CALENDAR_UNKNOWN, /* cannot tell */
	CALENDAR_PLANNED, /* the garden file says the day */
	CALENDAR_FROST,   /* frost keeps it in longest */
	CALENDAR_NIGHTS,  /* nights under its line do */
};

struct calendar_out {
	enum calendar_basis basis;
	struct date early, late; /* likely between these; the same where it is planned */
	struct date half,
	    tenth; /* half of the years, one in ten have a frost after it; DATE_NONE: none, or not known */
	int years; /* that frost is known of */
};

/*
 * When a planting is likely to be planted out this season.
 *
 * Notes   From the date after which one year in ten still has a frost, to CALENDAR_WAIT days later; the first of
 *         these nights that years have at its line decides where between it begins.  Where there is no frost, from the
 *         first such night on.  Of a crop that stands light frosts it is the date of 28 F.
 *         A place with frost in every month has no season to tell of.
 */
struct calendar_out calendar_planting_out(const struct garden *g, const struct season_state *s, size_t planting);

struct calendar_last {
	struct date day;   /* the last day to sow; DATE_NONE: cannot tell */
	struct date frost; /* half of the years have their first frost by it */
	struct date pick;  /* the first pick of what is sown on that day */
	double dd;         /* warmth from sowing, or planting out, to the pick; deg C days */
};

/*
 * The last day on which sowing still pays: what is sown on it is first picked CALENDAR_PICKING days before the
 * median first frost, at the warmth that years have.
 *
 * Given   indoors   raised in a tray, for the crop's days, and planted out; else sown in place
 * Notes   cannot tell where the crop has no such figure, frost dates or years are not known, or too little warmth comes
 */
struct calendar_last calendar_last_sowing(const struct garden *g, const struct season_state *s, size_t planting,
					  bool indoors);

/* Day of the year of seasons, 1 its first (odds/frostdate): 1 January, south of the equator 1 July. */
int calendar_day(const struct garden *g, struct date d);

#endif
