/*
 * One day as a day to plant out on: the chances of the nights after it, frost, soil, wind.
 *
 * PLANT wants all of these:
 *   at least PLANTDAY_WANTED of the next PLANTDAY_NIGHTS nights at or over the planting's night line in the bed,
 *     with a chance of PLANTDAY_HOLD; from PLANTDAY_AFTER_FROST days after the date that one spring in ten has frost
 *     beyond, and with soil of PLANTDAY_SOIL_WARM_C, its slow line is enough;
 *   a night of them at or under its stall line: a chance under PLANTDAY_STALL;
 *   a leaf at or under its kill line within PLANTDAY_FROST_DAYS days: a chance under PLANTDAY_FROST;
 *   soil at 8 am at or over PLANTDAY_SOIL_C, or the crop's worthwhile sowing soil where that is less.
 * PLANT UNDER COVER wants the slow line with PLANTDAY_HOLD, stall under PLANTDAY_STALL_COVERED, the same of frost,
 * soil of PLANTDAY_SOIL_COVERED_C, and no gusts to tear at the cover.  What the cover gains is not counted: a light
 * one gains about nothing on the coldest clear nights (Oregon State University, 1988).
 * The warmer, the better: no warmer night, leaf or soil makes a day worse.
 *
 * Nights are those of season/outlook: by the forecast, then by the years.  Frost beyond the forecast is by the
 * station's frost dates (32 F), which count a later frost too: never too low; without dates that can be told, by the
 * nights of the years.  What nobody can tell of nights makes the day one that cannot be told, unless it fails anyway.
 * What nobody can tell of soil, or of frost beyond the forecast, does not hold a day back, and is to be said.
 * Lines are those that a reading in whole degrees meets (odds/runs); only the kill line is nature's.
 *
 * Source   the rule and its figures: judgement, so that it says PLANT in time; five of five nights would be too hard:
 *          forecasts 3.6 F over the line every night still give 56 % (derived here)
 */
#ifndef ADVICE_PLANTDAY_H
#define ADVICE_PLANTDAY_H

#include "advice/advice.h"

enum {
	PLANTDAY_NIGHTS = ADVICE_PLANT_NIGHTS,
	PLANTDAY_WANTED = ADVICE_PLANT_WANTED,
	PLANTDAY_FROST_DAYS = 14,
	PLANTDAY_AFTER_FROST = 10, /* days (judgement) */
	PLANTDAY_AHEAD = 14,       /* days from today that are judged */
};

/* All judgement. */
#define PLANTDAY_HOLD           0.60
#define PLANTDAY_STALL          0.15
#define PLANTDAY_STALL_COVERED  (1.0 / 3)
#define PLANTDAY_FROST          0.03
#define PLANTDAY_SOIL_C         (30 / 1.8) /* 62 F */
#define PLANTDAY_SOIL_COVERED_C (28 / 1.8) /* 60 F */
#define PLANTDAY_SOIL_WARM_C    (33 / 1.8) /* 65 F */
#define PLANTDAY_GUST_MS        9.0        /* 20 mph */

/* What stands against a day: the first of these. */
enum plantday_why {
	PLANTDAY_FIT,
	PLANTDAY_TOO_OLD,   /* the forecast is, to say anything */
	PLANTDAY_YOUNG,     /* the plant */
	PLANTDAY_FROSTY,    /* frost */
	PLANTDAY_COLD,      /* too few nights at or over the line */
	PLANTDAY_STALLING,  /* a night at or under the stall line */
	PLANTDAY_COLD_SOIL, /* soil */
	PLANTDAY_WINDY,     /* it would want a cover, and gusts tear at it */
	PLANTDAY_UNTOLD,    /* nights are not known that would decide */
};

struct plantday {
	struct date day;
	enum verdict verdict;   /* VERDICT_PLANT, VERDICT_PLANT_COVERED, VERDICT_WAIT */
	enum plantday_why why;  /* of a WAIT; of PLANT UNDER COVER why it is not PLANT */
	bool lenient;           /* the slow line is enough */
	double line_c;          /* that PLANT goes by: night line, or slow line */
	double hold, hold_slow; /* chance of enough nights at or over line_c; over the slow line */
	double stall, frost;    /* chance of a night at or under the stall line; of frost, as far as it is told */
	struct date frost_to;   /* evening that frost is told up to; DATE_NONE where of none */
	struct soil soil;
	bool soil_earlier;                      /* it is that of the last day that the hours reach */
	double soil_want_c;                     /* that PLANT wants */
	struct runs_night bed[PLANTDAY_NIGHTS]; /* NaN: nobody can tell */
	int unknown;        /* of these nobody can tell; then hold and stall are what they are at best */
	bool beyond;        /* one of them, or of the nights of frost, is by the years */
	bool nights_beyond; /* one of the five is by the years */
	double coldest_c;   /* NaN where none is known */
	struct date coldest;
	double under; /* nights of the five to be expected under line_c; NaN where one is not known */
};

/*
 * Judge a day, `ahead` days from today (0..PLANTDAY_AHEAD), for a planting that stands in its tray.
 *
 * Notes    a forecast that has aged is good for no PLANT today, an old one for no day (season/trust)
 */
void plantday_of(const struct garden *g, const struct season_state *s, size_t planting, int ahead, struct plantday *d);

/* Whether a day is surely no day of PLANT: a quick look, that passes over most of the days that are not. */
bool plantday_surely_not(const struct garden *g, const struct season_state *s, size_t planting, int ahead);

/* Whether the first is the better day: by verdict; under a cover by the chance of a stall; else the earlier. */
bool plantday_better(const struct plantday *a, const struct plantday *b);

/* "PLANT", "PLANT UNDER COVER", "WAIT". */
const char *plantday_word(enum verdict v);

/* What stands against it in a word or two: "frost", "soil"; "" where nothing does. */
const char *plantday_against(enum plantday_why why);

/* Days from today to those of this weekend, as far as they are still to come: how many, 1 or 2. */
int plantday_weekend(struct date today, int ahead[static 2]);

#endif
