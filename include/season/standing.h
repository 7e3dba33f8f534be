/*
 * For a day, the hours in which a tray of young plants can stand outdoors, and what bars the others.
 *
 * The warmest, stillest hours in a row are sought, as many as are wanted, by daylight.  How long a plant is to
 * stand out, and how much it bears by now, is advice's business (advice/harden).
 */
#ifndef SEASON_STANDING_H
#define SEASON_STANDING_H

#include <stdbool.h>
#include <stdint.h>

#include "season/dayhours.h"

/* What bars an hour, or a day. */
enum standing_bar {
	STANDING_FIT,
	STANDING_OVER,    /* there is no daylight left */
	STANDING_UNKNOWN, /* cannot tell: temperatures are missing */
	STANDING_COLD,
	STANDING_RAIN, /* hard rain; hail comes with it, and is in no forecast */
	STANDING_WIND,
	STANDING_SUN, /* it would scorch them */
};

struct standing_need {
	int hours;      /* wanted in a row */
	int from_h;     /* hours of the day before which nobody carries them out */
	int least;      /* under so many it is not worth carrying them out */
	double day_c;   /* hours under it are too cold */
	double gust_ms; /* gusts over it are too strong */
	double rain_mm; /* so much in an hour, or more, is hard rain */
	double hot_c;   /* from here on in strong sun it scorches, shade or not */
	double sun_wm2; /* such sun is strong */
	bool shy;       /* hours without strong sun are taken where there are any */
};

struct standing {
	enum standing_bar bar; /* STANDING_FIT: there are such hours */
	int64_t from, to;      /* of them; INSTANT_NONE where there are none */
	int hours;             /* may be fewer than were wanted */
	double warmest_c;      /* of these hours, else of the day's light; NaN where nothing is known */
	double gust_ms;        /* strongest of the same */
	double rain_mm;        /* most in one hour of the same */
	double sun_wm2;        /* strongest of the same */
	enum standing_bar
	    then; /* what comes in the hour after them, if that is why they end; STANDING_FIT: they are enough */
	double then_gust_ms; /* the gust of that hour */
};

/*
 * Given    not_before   hours that begin before this instant are over
 * Notes    An hour is one of daylight if the sun is up in its middle.  Wind, rain or sun that is not known bars
 *          nothing.  Of windows that are as long the best has most of degrees over gusts: 1 C weighs as 2 m/s, over 24
 * C warmth counts no more, and an hour of strong sun costs 4 C (judgement); the earlier of equals.  The bar of a day
 * without hours is STANDING_COLD where its warmest hour is too cold, else what bars most of the warm hours.
 */
struct standing standing_of(const struct dayhours *d, const struct standing_need *need, int64_t not_before);

#endif
