/*
 * Covers as rows of figures: what each gains a plant on a cold night, and what it asks for.
 *
 * Data, as crops are (config/covers.ini, over it the grower's own covers.ini);
 * garden/tables reads them.  What a figure is, is one row of cover_key.
 * Degrees Celsius, fractions 0..1, m/s, seconds.  Missing is NaN.
 */
#ifndef PLANT_COVER_H
#define PLANT_COVER_H

#include <stdbool.h>
#include <stddef.h>

#include "base/fault.h"
#include "base/key.h"

enum { COVERS_MAX = 32, COVER_NAME_SIZE = 32, COVER_TITLE_SIZE = 64, COVER_BASIS_SIZE = 200 };

/* The figures of a cover, in the order of the table; all but the title have a basis. */
enum cover_figure {
	COVER_TITLE,
	COVER_GAIN,
	COVER_SPOILT,
	COVER_WINDY,
	COVER_SUNLESS,
	COVER_LIGHT,
	COVER_OFF_BY,
	COVER_OFF_OVER,
	COVER_VENT_OVER,
	COVER_DAY,
	COVER_TOUCH,
	COVER_FIGURES
};

/* How long it may lie. */
enum cover_day {
	COVER_NIGHT_ONLY,   /* off every morning */
	COVER_UNTIL_FLOWER, /* day and night until the first female flower, which wants bees */
	COVER_ALWAYS,
};

struct cover {
	char name[COVER_NAME_SIZE];   /* as the garden file says it */
	char title[COVER_TITLE_SIZE]; /* as a note says it */

	struct spread gain_c; /* how much warmer it keeps a clear night's low; plan with the least or the likely one */
	double spoilt_frac;   /* share of that which is left in wind, and after a sunless day */
	double windy_ms;      /* wind of the night over which that is so */
	double sunless_frac;  /* day's radiation, as a share of a clear day's, under which that is so */
	double light_frac;    /* light that it lets through */
	double off_by_s;      /* off by this time of the morning, seconds after midnight by the clock ... */
	double off_over_c;    /* ... of a day that gets warmer than this; without a time: off where it gets so warm */
	double vent_over_c;   /* opened where the air outside gets warmer than this */
	int day;              /* enum cover_day */
	bool touch;           /* it may lie on leaves on a freezing night */

	char basis[COVER_FIGURES][COVER_BASIS_SIZE]; /* where each figure comes from */
};

struct covers {
	size_t n;
	struct cover at[COVERS_MAX];
};

/* The one table: row i is what figure i is. */
extern const struct key cover_key[COVER_FIGURES];

/* The cover of that name, NULL where there is none. */
const struct cover *cover_find(const struct covers *cs, const char *name);

/* Its place in the list, cs->n where there is none. */
size_t cover_index(const struct covers *cs, const char *name);

/*
 * What it gains on a night, least, likely and most, deg C; missing ends are missing.
 *
 * Given    c             the cover
 *          wind_ms       mean wind of the night at 10 m; NaN: not known, taken for no wind
 *          sun_frac      radiation of the day before as a share of a clear day's; NaN: not known, taken for sunny
 * Returned gain_c, or its spoilt_frac part in wind and after a sunless day (not twice where both are so)
 * Limits   measured on few nights; where wind brings the cold, nothing is certain
 * Source   the figures' bases; that wind and a sunless day spoil it: common practice, the share derived here
 */
struct spread cover_gain(const struct cover *c, double wind_ms, double sun_frac);

#endif
