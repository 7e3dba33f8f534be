/*
 * What follows from an hour's weather, hour by hour: humidity, sunlight, reference evapotranspiration, a leaf,
 * bare soil.
 *
 * For looking at (`dewpost hours`), and for the models that go on from there.  Each column says what it stands for:
 * the hour's start, as states of the record do; its middle or the whole of it; or its end.
 */
#ifndef SEASON_DERIVED_H
#define SEASON_DERIVED_H

#include <stdint.h>

#include "base/fault.h"
#include "facts/hours.h"

enum derived_column {
	DERIVED_DEW_POINT,  /* deg C, at the hour's start */
	DERIVED_DEFICIT,    /* of vapour pressure, kPa, at the hour's start */
	DERIVED_SUNLIGHT,   /* W/m2, mean of the hour; derived_basis() says what it rests on */
	DERIVED_ET0,        /* mm in the hour, short grass (ASCE-EWRI 2005) */
	DERIVED_LEAF,       /* deg C, a leaf of leaf_m in the open, in the hour's middle */
	DERIVED_LEAF_WATER, /* mm on it at the hour's end, the least that can be there */
	DERIVED_LEAF_WET,   /* 1 wet, 0 dry, NaN cannot tell */
	DERIVED_SOIL_2_5CM, /* deg C under bare soil, at the hour's end; */
	DERIVED_SOIL_5CM,   /* NaN while it settles, which takes ten days */
	DERIVED_SOIL_10CM,
	DERIVED_COLUMNS
};

struct derived_row {
	const char *name; /* the CSV's head; CF Conventions where they have one */
	const char *unit;
};

const struct derived_row *derived_row(enum derived_column c);

struct derived_site {
	double lat_deg, lon_deg;
	double elevation_m; /* NaN: taken as 0 */
	double leaf_m;
};

struct derived {
	size_t n;
	double *value[DERIVED_COLUMNS]; /* of the same hours; NaN where an input is missing */
	uint8_t *sun_mark, *et0_mark;   /* enum insolation_mark and enum evapo_mark */
	size_t clamped, refused;        /* hours whose dew point or humidity was taken as saturated, or left out */
	void *block;
};

/*
 * Work out all columns.
 *
 * Given    h   with some weeks before what is to be looked at: soil remembers
 * Notes    The leaf begins with a store of water that nobody knows.  The soil's surface is taken as half dry, as long
 *          as soil water is not reckoned (judgement).
 * Faults   FAULT_MEMORY; derived_free also then
 */
enum fault_code derived_init(const struct hours *h, const struct derived_site *site, struct derived *d,
			     struct fault *f) MUST_USE;
void derived_free(struct derived *d);

/* The same without leaf and evapotranspiration, whose columns are NULL: for whoever asks for soil alone. */
enum fault_code derived_soil(const struct hours *h, const struct derived_site *site, struct derived *d,
			     struct fault *f) MUST_USE;

/* "measured", "cloud", "range", "dark": what the sunlight of hour i rests on; "" where there is none. */
const char *derived_basis(const struct derived *d, size_t i);

#endif
