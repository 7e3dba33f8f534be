/*
 * The garden file: the site, its beds, tubs and plantings, and the grower's choices.
 *
 * Degrees Celsius, metres, m2, litres inside.  Zone and source are named here
 * and looked up by whoever needs them.
 */
#ifndef GARDEN_GARDEN_H
#define GARDEN_GARDEN_H

#include <stdbool.h>
#include <stddef.h>

#include "base/date.h"
#include "base/fault.h"
#include "base/text.h"
#include "base/unit.h"
#include "base/zone.h"
#include "facts/issue.h"
#include "facts/letter.h"
#include "facts/mail.h"
#include "facts/place.h"
#include "garden/keys.h"
#include "plant/cover.h"
#include "plant/crop.h"

enum { GARDEN_BEDS_MAX = 64, GARDEN_TUBS_MAX = 64, GARDEN_PLANTINGS_MAX = 256 };
enum { GARDEN_COVERS_MAX = 8 };
enum { GARDEN_TITLE_SIZE = 80, GARDEN_CONTACT_SIZE = 160, GARDEN_PATH_SIZE = 1024, GARDEN_PROXY_SIZE = 300 };

enum garden_thermometer { GARDEN_SCREEN, GARDEN_AT_BED };
enum garden_watering { GARDEN_BY_HAND, GARDEN_DRIP, GARDEN_SPRINKLER };
enum garden_sowing { GARDEN_SOWN_INDOORS, GARDEN_SOWN_OUTDOORS };
enum garden_start { GARDEN_START_NO, GARDEN_START_INDOORS, GARDEN_START_OUTDOORS };

struct bed {
	char name[KEY_WORD_SIZE];
	double area_m2; /* NaN where not given */
	char soil[KEY_WORD_SIZE];
	int watering;                /* enum garden_watering */
	char cover[COVER_NAME_SIZE]; /* kept for it; "" where not given */
	int cover_line;
};

struct tub {
	char name[KEY_WORD_SIZE];
	double volume_l; /* NaN where not given */
	bool movable;
	char cover[COVER_NAME_SIZE]; /* kept for it; "" where not given */
	int cover_line;
};

struct planting {
	char name[KEY_WORD_SIZE];
	char crop[CROP_NAME_SIZE];
	size_t crop_index; /* in the crops it was read with */
	char variety[KEY_WORD_SIZE];
	char in[KEY_WORD_SIZE]; /* bed or tub; "" where not given */
	int plants;
	struct date sown; /* these three DATE_NONE where not given */
	int sowing;       /* enum garden_sowing, of sown; of start where that is not given */
	int start;        /* enum garden_start: where it is still to be sown */
	int seed_year;    /* the seed is of; 0 where not given */
	struct date planted, ended;
	struct crop figures;        /* that count for it: its crop's, the planting's own over them */
	int own_line[CROP_FIGURES]; /* line of the garden file that gives its own; 0: it is the crop's */
};

struct garden {
	char id[LETTER_GARDEN_SIZE];
	char name[GARDEN_TITLE_SIZE]; /* the id where not given */
	double latitude, longitude, elevation_m;
	struct place place;
	char timezone[ZONE_NAME_SIZE];
	int units;                                                  /* enum unit_system */
	char source[ISSUE_SOURCE_SIZE], history[ISSUE_SOURCE_SIZE]; /* history "" where not given */
	char contact[GARDEN_CONTACT_SIZE];
	char proxy[GARDEN_PROXY_SIZE];                /* "" where not given: the environment's */
	char record[GARDEN_PATH_SIZE];                /* "" where not given */
	char diary[GARDEN_PATH_SIZE];                 /* file of diary lines; "" where not given */
	int thermometer;                              /* enum garden_thermometer */
	double indoor_c, heat_mat_c;                  /* NaN where not given */
	int timezone_line, source_line, history_line; /* for faults found later; 0 where not given */
	size_t covers;                                /* at hand for cold nights */
	char cover[GARDEN_COVERS_MAX][COVER_NAME_SIZE];
	int cover_line[GARDEN_COVERS_MAX];
	const struct covers *cover_table; /* what their names are of; NULL until garden_covers_known */
	struct mail mail;                 /* MAIL_PRINT where the file has no such section */
	size_t beds, tubs, plantings;
	struct bed bed[GARDEN_BEDS_MAX];
	struct tub tub[GARDEN_TUBS_MAX];
	struct planting planting[GARDEN_PLANTINGS_MAX];
};

/*
 * Read a garden file; all that is wrong with it goes to `all`, each fault with
 * its line.  *g is whole only where FAULT_NONE comes back.
 */
enum fault_code garden_load(const char *path, const struct crops *crops, struct garden *g, struct faults *all) MUST_USE;

/* The same from n bytes of a file called `file`. */
enum fault_code garden_parse(const char *file, const char *bytes, size_t n, const struct crops *crops, struct garden *g,
			     struct faults *all) MUST_USE;

/* The planting of that name, NULL where there is none. */
const struct planting *garden_planting(const struct garden *g, const char *name);

/*
 * Whether every cover that the garden file names is in the table; the table is read apart from it, and outlives it:
 * it is the garden's from now on.  Faults have the file's name and the line.
 */
enum fault_code garden_covers_known(struct garden *g, const char *file, const struct covers *covers,
				    struct faults *all) MUST_USE;

/* Name of the i-th cover at hand for a planting: what is kept for its bed or tub, else any of the garden's; NULL after
 * the last. */
const char *garden_cover(const struct garden *g, const struct planting *p, size_t i);

/* The tub a planting stands in; NULL: in none. */
const struct tub *garden_tub(const struct garden *g, const struct planting *p);

/* The kinds of sections of the garden file with their keys, for the manual; *n of them. */
const struct key_section *garden_sections(size_t *n);

/* A commented sample of the file, with every key there is. */
void garden_sample(struct text *t);

#endif
