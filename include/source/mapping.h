/*
 * What the columns of a station's CSV are, and how it is written.
 *
 * From the command line or from a description file with the same words:
 *
 *     [columns]
 *     time = Date_Time
 *     air_temperature = Temp F
 *     precipitation_amount = "Rain, gauge" in
 *     [file]
 *     zone = -05:00
 *     stamp = end
 *
 * A column is named by its heading or by its number from 1, then its unit: the
 * two part at the first blank behind which all is a unit.  "Temp F" is a column
 * with that heading too, where none is "Temp".  A heading in quotes is taken as
 * it is, and may have commas and be a number.
 */
#ifndef SOURCE_MAPPING_H
#define SOURCE_MAPPING_H

#include <stdbool.h>
#include <stddef.h>

#include "base/fault.h"
#include "base/unit.h"
#include "base/zone.h"
#include "facts/station.h"
#include "facts/var.h"

/* What a column may be: a variable of hours (its number in facts/var), or one of these. */
enum {
	MAPPING_LOW = VARS,
	MAPPING_HIGH,
	MAPPING_RAIN,
	MAPPING_TIME,  /* day and clock, in one column */
	MAPPING_DATE,  /* the day: alone for daily files, else beside the clock */
	MAPPING_CLOCK, /* the clock */
	MAPPING_TARGETS
};

enum {
	MAPPING_HEAD_SIZE = 96,
	MAPPING_FORMAT_SIZE = 48,
	MAPPING_MARK_SIZE = 24,
	MAPPING_MARKS = 16,
	MAPPING_FIELDS_MAX = 256
};

struct mapping_column {
	bool is;
	char head[MAPPING_HEAD_SIZE];  /* "" where it is told by number */
	char whole[MAPPING_HEAD_SIZE]; /* with its unit, which a heading may have; "" where it was in quotes */
	size_t number;                 /* from 1 */
	struct unit unit;
};

/* What the stamp of a row marks of the hour that its rain and radiation are of. */
enum mapping_stamp { MAPPING_STAMP_NONE, MAPPING_STAMP_BEGIN, MAPPING_STAMP_END };

enum mapping_format { MAPPING_FORMAT_TOLD, MAPPING_GHCN, MAPPING_CSV };

struct mapping {
	enum mapping_format format; /* told from the content where nothing is said */
	struct mapping_column column[MAPPING_TARGETS];
	bool columns;                                   /* some are given */
	char zone[ZONE_NAME_SIZE];                      /* "" where none is said: the garden's */
	char time_format[MAPPING_FORMAT_SIZE];          /* "": told from the first row */
	char missing[MAPPING_MARKS][MAPPING_MARK_SIZE]; /* beside those that are always taken */
	size_t marks;
	char delimiter; /* 0: told from the heading */
	bool decimal_comma;
	enum mapping_stamp stamp;
	int step_s; /* that the rain and radiation of a row are of; divides the hour, and is one where nothing is said
		     */
	char station[STATION_ID_SIZE]; /* daily CSV: its name; GHCN: the one that is wanted */
	int observed;                  /* HHMM, where the file does not say; -1 */
};

enum mapping_key {
	MAPPING_KEY_FORMAT,
	MAPPING_KEY_COLUMNS,
	MAPPING_KEY_ZONE,
	MAPPING_KEY_MISSING,
	MAPPING_KEY_TIME_FORMAT,
	MAPPING_KEY_DELIMITER,
	MAPPING_KEY_DECIMAL,
	MAPPING_KEY_STAMP,
	MAPPING_KEY_STEP,
	MAPPING_KEY_STATION,
	MAPPING_KEY_OBSERVED,
	MAPPING_KEYS
};

const char *mapping_key_name(enum mapping_key k);

void mapping_init(struct mapping *m);

/* One key's value; FAULT_CONFIG says what would be right, without the key. */
enum fault_code mapping_set(struct mapping *m, enum mapping_key k, const char *value, struct fault *f) MUST_USE;

/* A description file over what is there; all its faults, with FILE:LINE. */
enum fault_code mapping_load(const char *path, struct mapping *m, struct faults *wrong) MUST_USE;

/* Whether the columns together say enough: FAULT_CONFIG. */
enum fault_code mapping_check(const struct mapping *m, struct fault *f) MUST_USE;

bool mapping_daily(const struct mapping *m); /* of days, not of hours */

/* A mark that stands for no value: an empty field, the usual ones, and those given. */
bool mapping_missing(const struct mapping *m, const char *field);

/* "air_temperature", "low", "time". */
const char *mapping_target_name(int target);

#endif
