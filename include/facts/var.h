/*
 * The one table of hourly variables: name, unit, range, state or flux.
 *
 * It makes the CSV heads, the record's columns and their CHECKs, and the names
 * that source descriptions may use.  Names are CF Conventions standard names
 * where CF has one (version 1.10 table); the others say so.
 */
#ifndef FACTS_VAR_H
#define FACTS_VAR_H

#include <stdbool.h>

#include "base/unit.h"

enum var {
	VAR_AIR_TEMPERATURE,
	VAR_DEW_POINT,
	VAR_HUMIDITY,
	VAR_WIND,
	VAR_GUST,
	VAR_CLOUD,
	VAR_PRECIPITATION,
	VAR_PRECIPITATION_CHANCE,
	VAR_SHORTWAVE,
	VAR_PRESSURE,
	VAR_SOIL_TEMPERATURE,
	VAR_WINDOW_MINIMUM,      /* lowest air temperature of a window that starts with this hour */
	VAR_WINDOW_MINIMUM_SPAN, /* length of that window, h */
	VARS
};

enum var_kind {
	VAR_STATE,  /* value at the hour's start */
	VAR_FLUX,   /* total or mean of the hour */
	VAR_WINDOW, /* about a window of several hours, written at its first */
};

struct var_row {
	const char *name; /* also the record's column and the CSV head */
	const char *unit; /* inside unit, as printed in heads */
	enum unit_family family;
	enum var_kind kind;
	double lo, hi;    /* a value outside is refused and counted */
	bool described;   /* a source description may map it */
	const char *note; /* one line for the manual */
};

const struct var_row *var_row(enum var v);

/* VARS where the name is not in the table. */
enum var var_named(const char *name);

bool var_in_range(enum var v, double x); /* NaN is not */

#endif
