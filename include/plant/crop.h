/*
 * Crops as rows of figures: what cold and warmth mean to each.
 *
 * The rows themselves are data (config/crops.ini, over it the grower's own
 * crops.ini); garden/tables reads them.  No figure stands in the code.
 * Temperatures in degrees Celsius.
 */
#ifndef PLANT_CROP_H
#define PLANT_CROP_H

#include <stddef.h>

#include "base/fault.h"
#include "plant/degree.h"

enum { CROPS_MAX = 64, CROP_NAME_SIZE = 32, CROP_TITLE_SIZE = 48, CROP_BASIS_SIZE = 200 };

/* The figures of a crop, each with its basis. */
enum crop_figure {
	CROP_BASE,
	CROP_CAP,
	CROP_METHOD,
	CROP_CUTOFF,
	CROP_NIGHT_LINE,
	CROP_SLOW,
	CROP_STALL,
	CROP_KILL,
	CROP_COVER,
	CROP_SETTLE,
	CROP_TRAY,
	CROP_FIGURES
};

struct crop {
	char name[CROP_NAME_SIZE];   /* as garden file and diary say it */
	char title[CROP_TITLE_SIZE]; /* as a note says it */
	struct degree_rule rule;     /* degree days: base, cap, method, cut-off */
	double night_line_c;         /* nights at or over it are fit for planting out */
	double slow_c;               /* nights under it slow growth; nothing to do */
	double stall_c;              /* nights under it stall a plant that was just planted out: cover it */
	double kill_c;               /* tissue at or under it dies */
	double cover_c;              /* a forecast screen low at or under it calls for a cover */
	int settle_days;             /* days after planting out in which stall_c counts */
	int tray_days;               /* days from sowing after which a plant is fit for the bed at the earliest */
	char basis[CROP_FIGURES][CROP_BASIS_SIZE]; /* where each figure comes from */
};

struct crops {
	size_t n;
	struct crop at[CROPS_MAX];
};

/* The crop of that name, NULL where there is none. */
const struct crop *crop_find(const struct crops *cs, const char *name);

/* Its place in the list, cs->n where there is none. */
size_t crop_index(const struct crops *cs, const char *name);

/*
 * Whether the figures can be those of one plant: kill < stall <= slow <= night
 * line, base < cap, all finite.  FAULT_CONFIG names the first two that cannot.
 */
enum fault_code crop_check(const struct crop *c, struct fault *f) MUST_USE;

/* Key of a figure in crops.ini ("night_line"). */
const char *crop_figure_key(enum crop_figure i);

#endif
