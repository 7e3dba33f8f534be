/*
 * Beds, tubs and plantings in one line each, as set-up asks for them:
 *
 *   south, 40 sq ft
 *   patio, 15 gal
 *   CROP, south, 2 plants, sown 2026-04-20 indoors, planted 2026-05-24
 *
 * What stands behind the first comma may stand in any order.
 */
#ifndef CLI_PLOTLINES_H
#define CLI_PLOTLINES_H

#include "base/fault.h"
#include "garden/garden.h"
#include "garden/sample.h"
#include "plant/crop.h"

/* What is there so far. */
struct plot {
	const struct crops *crops;
	struct garden *garden; /* its beds, tubs and plantings are filled, nothing else is looked at */
	struct sample_values *values;
};

enum fault_code plotlines_bed(struct plot *p, const char *line, struct fault *f) MUST_USE;
enum fault_code plotlines_tub(struct plot *p, const char *line, struct fault *f) MUST_USE;

enum { PLOTLINES_DAY_SIZE = 40 };

/* The values of a planting as they will be written; "" where not given. */
struct plot_planting {
	char crop[KEY_WORD_SIZE], in[KEY_WORD_SIZE], plants[KEY_WORD_SIZE];
	char sown[PLOTLINES_DAY_SIZE], planted[PLOTLINES_DAY_SIZE];
};

/* Read a line; the crop, bed and days in it are known and go together. */
enum fault_code plotlines_planting(const struct plot *p, const char *line, struct plot_planting *planting,
				   struct fault *f) MUST_USE;

/* One part of such a line more: "in south", "sown 2026-04-20 indoors". */
enum fault_code plotlines_part(const struct plot *p, const char *part, struct plot_planting *planting,
			       struct fault *f) MUST_USE;

/* Take a planting in, under a name of its crop and a number. */
enum fault_code plotlines_keep(struct plot *p, const struct plot_planting *planting, struct fault *f) MUST_USE;

/* The row of a key of the garden file; there is one. */
const struct key *plotlines_key(const char *kind, const char *key);

#endif
