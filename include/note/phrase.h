/*
 * Small pieces of text that all notes share: temperatures, dates, clock times, lists.
 *
 * US: whole degrees F, 12-hour clock.  Metric: whole degrees C, 24-hour clock.
 */
#ifndef NOTE_PHRASE_H
#define NOTE_PHRASE_H

#include <stdbool.h>

#include "base/date.h"
#include "base/text.h"
#include "base/zone.h"

/* "34" and "34 F"; "?" for NaN.  Whole degrees, halves up; never "-0". */
void phrase_degrees(struct text *t, double c, int units);
void phrase_degrees_unit(struct text *t, double c, int units);

/* A difference: "5 F". */
void phrase_difference(struct text *t, double c, int units);

/* A wind speed: "5 mph", "8 km/h"; "calm" where that is none. */
void phrase_wind(struct text *t, double ms, int units);

/* A depth of rain in two figures: "0.25 in", "1.3 in"; "5 mm", "0.4 mm". */
void phrase_rain(struct text *t, double mm, int units);

/* Water to give: "1 quart", "3 quarts", "1.5 gallons"; "2 litres". */
void phrase_water(struct text *t, double litres, int units);

/* A length of a hand or an arm: "24 in", "60 cm". */
void phrase_length(struct text *t, double m, int units);

/* "23 May" */
void phrase_day_month(struct text *t, struct date d);

/* Degree days: "456 F-days", "253 C-days". */
void phrase_degree_days(struct text *t, double dd_c, int units);

/* "Sat 23 May"; the month is left out where it is today's and the date is within three weeks. */
void phrase_date(struct text *t, struct date d, struct date today);
void phrase_date_full(struct text *t, struct date d); /* "Tue 12 May" */

/* "last night", "tonight", "tomorrow night", "Thursday night" (within six days), else "the night of Thu 21 May". */
void phrase_night(struct text *t, struct date evening, struct date today);

/* "today", "tomorrow", else phrase_date. */
void phrase_day(struct text *t, struct date d, struct date today);

/* "6 pm", "6:30 pm"; "18:00" in metric. */
void phrase_clock(struct text *t, const struct zone *z, int64_t at, int units);

/* "green-1", "green-1 and tom-1", "green-1, green-2 and tom-1": item i of n, called in order. */
void phrase_listed(struct text *t, const char *word, size_t i, size_t n);

/* "14 minutes", "3 hours", "2 days": whole, rounded down, at least 1 minute. */
void phrase_age(struct text *t, int64_t seconds);

#endif
