/*
 * Nights, their lows, and runs of nights over a line.
 *
 * A night belongs to the evening it begins on.  Its samples are the hours
 * 18:00 to 09:00 of local standard time, both included (16); where the sun
 * rises after 09:00, up to one hour past sunrise.  Standard time is UTC +
 * round(longitude / 15) h, so no night has 23 or 25 hours.
 * A low is that of the air at 2 m, as recorded or forecast: no bed, no leaf,
 * no chances here.  A night with holes has no low.
 */
#ifndef SEASON_NIGHT_H
#define SEASON_NIGHT_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/date.h"
#include "facts/hours.h"

enum night_phase {
	NIGHT_PAST,    /* its last sample is at or before the cut */
	NIGHT_RUNNING, /* begun, not ended */
	NIGHT_COMING,  /* its first sample is after the cut */
};

enum night_answer { NIGHT_CANNOT_TELL, NIGHT_NO, NIGHT_YES };

struct night {
	struct date evening;
	int64_t first, last; /* instants of the first and last sample */
	int64_t sunrise;     /* of the morning it ends on; INSTANT_NONE where there is none */
	enum night_phase phase;

	int wanted, known; /* samples of air temperature */
	bool complete;     /* 80 % known, and none missing within 3 h of sunrise (without one: of 06:00) */

	double low_c; /* NaN unless complete */
	double
	    lowest_seen_c; /* complete or not: the night was or will be at least as cold; NaN where nothing is known */
	enum origin low_origin; /* of lowest_seen_c */
	double hours_low_c;     /* lowest known sample; NaN where none */
	int64_t hours_low_at;   /* its instant (the first, where several are equal), or INSTANT_NONE */
	bool bounded;           /* a window's minimum is lower than every sample */

	int dark_hours;             /* samples with the sun down */
	double cloud_frac, wind_ms; /* means over the dark samples that are known; NaN where none is */
	int cloud_known, wind_known;
};

/*
 * The night of an evening.
 *
 * Given    h        the hourly series; what it does not reach is missing
 *          evening  the date, in local standard time, on which the night begins
 *          cut      the instant of the morning
 * Notes    A window's minimum lowers the night if at least half of the window lies in it.  A window
 *          that ended by the cut counts only if its origin is analysed or better: a forecast of what is
 *          over is no fact.
 * Source   window and completeness: common practice of the US weather service (19-08 LST) and TAAC 2017, derived here
 */
struct night night_of(const struct hours *h, struct date evening, double lat_deg, double lon_deg, int64_t cut);

/* Whether enough of the dark is known, 80 % of its samples, to call the night clear or cloudy, calm or windy. */
bool night_cloud_told(const struct night *night);
bool night_wind_told(const struct night *night);

/* The evening on which the night that runs at t, or else the next one, begins; noon to noon of standard time. */
struct date night_evening(int64_t t, double lon_deg);

/*
 * Did or will the night stay at or over the line?
 *
 * NIGHT_NO also for an incomplete night that was seen under the line: the hours
 * that are missing cannot make it warmer.
 */
enum night_answer night_holds(const struct night *night, double line_c);

/* Do at least k of these n nights hold?  Unknown nights count for neither side. */
enum night_answer night_at_least(const struct night *nights, size_t n, size_t k, double line_c);

/* Runs in an array of consecutive nights, first the oldest. */
struct night_run {
	int past;                  /* nights in a row that held, ending with the last past one */
	bool past_open;            /* it began with the array or after a night nobody can tell: it may be longer */
	enum night_answer running; /* NIGHT_CANNOT_TELL also where no night is running */
	int coming;                /* nights in a row that are to hold, beginning with the first coming one */
	bool coming_open;          /* it ends with the array or before a night nobody can tell */
};

struct night_run night_run(const struct night *nights, size_t n, double line_c);

/*
 * The first coming evening from which k nights in a row hold.
 *
 * Returned NIGHT_YES and *evening; NIGHT_NO where no k nights of the array can; else NIGHT_CANNOT_TELL.
 *          An earlier run that only unknown nights stand against is passed over.
 */
enum night_answer night_first_run(const struct night *nights, size_t n, size_t k, double line_c, struct date *evening);

#endif
