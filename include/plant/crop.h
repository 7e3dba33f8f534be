/*
 * Crops as rows of figures: what cold and warmth mean to each, when, where and how it grows.
 *
 * The figures themselves are data (config/crops.ini, over it the grower's own
 * crops.ini, over both what a planting says for itself); garden/tables reads
 * them.  No figure stands in the code.  What a figure is, its key, unit, range
 * and place, is one row of crop_key, and nowhere else: the reader, the keys of a
 * planting and the manual are made from it.
 * Degrees Celsius and their days, metres, fractions 0..1.  A figure that nobody
 * gives is NaN (a count: 0), and is said to be missing, never guessed.
 */
#ifndef PLANT_CROP_H
#define PLANT_CROP_H

#include <stddef.h>

#include "base/fault.h"
#include "base/key.h"
#include "plant/degree.h"

enum { CROPS_MAX = 64, CROP_NAME_SIZE = 32, CROP_TITLE_SIZE = 48, CROP_BASIS_SIZE = 200, CROP_WHAT_SIZE = 64 };

/* The figures of a crop, in the order of the table; all but the title have a basis. */
enum crop_figure {
	CROP_TITLE,
	/* warmth */
	CROP_BASE,
	CROP_CAP,
	CROP_METHOD,
	CROP_CUTOFF,
	/* nights */
	CROP_NIGHT_LINE,
	CROP_SLOW,
	CROP_STALL,
	CROP_KILL,
	CROP_COVER,
	CROP_SETTLE,
	CROP_COVER_AT,
	CROP_FROST_ORDER,
	CROP_FROST_PICK,
	/* sowing, tray and hardening */
	CROP_SOW_SOIL,
	CROP_SOW_SOIL_GOOD,
	CROP_EMERGE_BASE,
	CROP_EMERGE,
	CROP_TRAY,
	CROP_TRAY_MOST,
	CROP_HARDEN_DAY,
	CROP_HARDEN_NIGHT,
	/* the first weeks in the bed */
	CROP_BEETLES,
	CROP_STRAW,
	/* room */
	CROP_SPACING,
	CROP_ROW_SPACING,
	CROP_LEAF_WIDTH,
	/* flowers and fruit */
	CROP_MALE_SOWN,
	CROP_FEMALE_SOWN,
	CROP_PICK_SOWN,
	CROP_MALE_PLANTED,
	CROP_FEMALE_PLANTED,
	CROP_PICK_PLANTED,
	CROP_FRUIT,
	CROP_PICK_SIZE,
	CROP_PICK_DAILY,
	CROP_PICK_SECOND,
	/* water */
	CROP_KC_INI,
	CROP_KC_MID,
	CROP_KC_END,
	CROP_ROOT_START,
	CROP_ROOT_DEPTH,
	CROP_DEPLETION,
	CROP_DEPLETION_FRUIT,
	CROP_FIGURES
};

struct crop {
	char name[CROP_NAME_SIZE];   /* as garden file and diary say it */
	char title[CROP_TITLE_SIZE]; /* as a note says it */
	struct degree_rule rule;     /* degree days: base, cap, method, cut-off */

	double night_line_c; /* nights at or over it are fit for planting out */
	double slow_c;       /* nights under it slow growth; nothing to do */
	double stall_c;      /* nights under it stall a plant that was just planted out: cover it */
	double kill_c;       /* tissue at or under it dies */
	double cover_c;      /* bed air at or under it calls for a cover over a plant that has settled */
	int settle_days;     /* days after planting out in which stall_c counts */
	double cover_at;     /* chance of a leaf at kill_c from which a plant that has settled is covered */
	int frost_order;     /* before a frost that it is left to: who is picked first, from 1 on; 0: not known */
	char frost_pick[CROP_WHAT_SIZE]; /* and what is worth picking then; "": not known */

	double sow_soil_c, sow_soil_good_c; /* soil at seed depth: the least, and from where sowing is worthwhile */
	double emerge_base_c;               /* soil thermal time to emergence counts from here, without a cap */
	double emerge_dd;                   /* and takes so much */
	int tray_days;         /* days from sowing after which a plant is fit for the bed at the earliest */
	int tray_most_days;    /* and after which it has been in its tray too long; 0: not known */
	double harden_day_c;   /* days under it are too cold to stand out, hardening */
	double harden_night_c; /* and nights */
	int beetle_days;       /* days from coming up or planting out in which beetles eat seed leaves; 0: none do */
	double straw_soil_c;   /* soil 10 cm down, wet, from which straw is laid */

	double spacing_m, row_spacing_m; /* least distance in the row, and between rows */
	double leaf_width_m;             /* of a grown leaf */

	/* Degree days by `rule`, from sowing or from planting out; from open flower to fruit fit to pick. */
	struct spread male_sown_dd, female_sown_dd, pick_sown_dd;
	struct spread male_planted_dd, female_planted_dd, pick_planted_dd;
	struct spread fruit_dd;
	struct spread pick_size_m; /* length of a fruit fit to pick */
	double pick_daily_c;       /* at daily means at or over it a bearing plant is looked over every day */
	double pick_second_c;      /* at or over it every second day; under it every third */

	double kc_ini, kc_mid, kc_end;     /* crop coefficients of the growth stages */
	double root_start_m, root_depth_m; /* of the seedling, and at most */
	double depletion_frac;             /* share of the available water that may be spent without stress */
	double depletion_fruit_frac;       /* the same from flowering on, where it differs */
};

/* Where each figure comes from. */
struct crop_basis {
	char of[CROP_FIGURES][CROP_BASIS_SIZE];
};

/* A crop with its bases: what crop_key's offsets count in.  Of a struct crop alone they fit too, without the bases. */
struct crop_sheet {
	struct crop crop;
	struct crop_basis basis;
};

_Static_assert(offsetof(struct crop_sheet, crop) == 0, "offsets in the sheet are those in the crop");

struct crops {
	size_t n;
	struct crop at[CROPS_MAX];
	struct crop_basis basis[CROPS_MAX];
};

/* The one table: row i is what figure i is. */
extern const struct key crop_key[CROP_FIGURES];

/* The crop of that name, NULL where there is none. */
const struct crop *crop_find(const struct crops *cs, const char *name);

/* Its place in the list, cs->n where there is none. */
size_t crop_index(const struct crops *cs, const char *name);

/*
 * Whether the figures can be those of one plant: none that is needed missing,
 * and in order (kill < stall <= slow <= night line, base < cap, and so on), as
 * far as both of a pair are known.  FAULT_CONFIG names the first two that are not.
 */
enum fault_code crop_check(const struct crop *c, struct fault *f) MUST_USE;

/* Key of a figure in crops.ini ("night_line"). */
const char *crop_figure_key(enum crop_figure i);

/* A figure as one number, inside unit: the likely one of a spread; NaN where it is missing, or is no number. */
double crop_figure(const struct crop *c, enum crop_figure i);

#endif
