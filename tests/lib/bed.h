/*
 * An invented garden with invented crops and nights, for tests of advice and note.
 */
#ifndef TESTS_LIB_BED_H
#define TESTS_LIB_BED_H

#include "advice/advice.h"

/* Crops that no table has: "gourdlet" (line 60, slow 50, stall 45, cover 36, kill 32 F) and "redberry"
 * (55/50/42/36/32). */
void bed_crops(struct crops *crops);

/* A garden at 44.31 N 89.90 W, units as given, without plantings. */
void bed_garden(struct garden *g, int units);

/* Add a planting; dates as ISO texts, "" for none.  Returns its index. */
size_t bed_planting(struct garden *g, const struct crops *crops, const char *name, const char *crop, const char *sown,
		    const char *planted);

/* A state at 05:17 of 19 May 2026 with every night and hour unknown, but that it rained the day before yesterday, and
 * every planting placed by its dates; one with a start and no day of sowing is to come. */
void bed_state(const struct garden *g, struct season_state *s);

/* Set n nights from night `from` on (0 is tonight, negative before) to lows in F; NaN leaves a night unknown. */
void bed_nights(struct season_state *s, int from, const double *low_f, size_t n);

/* A day of invented hours: coldest at 5, warmest at 15; the sun's share of a clear sky's. */
struct bed_weather {
	double low_f, high_f;
	double gust_mph, gusty_mph; /* all day, and from gusty_from to gusty_to o'clock */
	int gusty_from, gusty_to;
	double rain_mm; /* in each hour from wet_from to wet_to */
	int wet_from, wet_to;
	double sun;
};

/* Fill the hours of a day (0 is today, 19 May 2026; negative before) with light from 5 to 20 o'clock. */
void bed_hours(struct season_state *s, int day, const struct bed_weather *w);

/* What a diary would say of a planting: a verb's first and last day and on how many. */
void bed_done(struct season_state *s, size_t planting, enum verb v, int first, int last, int days);

/* Lines for hardening a crop: without, its trays get no such advice. */
void bed_harden(struct crops *crops, const char *crop, double day_f, double night_f);

/* Make the forecast so old (its source gives no max_age); of a spent one no night or day to come is known. */
void bed_age(struct season_state *s, int64_t age_s);

double bed_c(double f); /* F to deg C */
/* Of a night with holes: how many hours are known, and the lowest of them (NaN: none is known). */
void bed_seen(struct season_state *s, int night, int known, double seen_f);

/* A clear, calm night: bed and leaf under the air of its low.  Else they are as warm as the air. */
void bed_clear(struct season_state *s, int night, double bed_k, double leaf_k);

/* Reckoned soil, of every day the same; NaN, as it begins: not known. */
void bed_soil(struct season_state *s, double f);

/* The low in deg C that is expected where F were forecast for a night ahead (0 is the first) and nothing was learned.
 */
double bed_expected(int night, double low_f);

/*
 * Thirty invented years: last frosts of spring round a day of the year, first ones of autumn round another, ten days
 * of spread; and a year of days whose mean swings between two temperatures, 11 K from low to high.
 */
void bed_years(struct season_state *s, double last, double first, double coldest_c, double warmest_c);

struct date bed_day(int n); /* n days after 19 May 2026 */

#endif
