/*
 * Units: a value with a unit of a family, turned to the inside unit and back.
 *
 * Inside: degrees Celsius and their days, fractions 0..1, m/s, mm (water), W/m2, hPa, m, m2,
 * litres, seconds, kg.  An unknown unit is refused, never guessed.
 * All factors are definitions (SI brochure, NIST SP 811) but inHg, 33.8639 hPa at 0 C (NIST SP 811 app. B.8).
 */
#ifndef BASE_UNIT_H
#define BASE_UNIT_H

#include <stdbool.h>
#include <stddef.h>

#include "base/fault.h"
#include "base/text.h"

enum unit_family {
	UNIT_TEMPERATURE, /* degC, degF, K */
	UNIT_DIFFERENCE,  /* of temperatures: no offset */
	UNIT_WARMTH,      /* degree days: C-days, F-days */
	UNIT_FRACTION,    /* 1, %, okta (eighths) */
	UNIT_SPEED,       /* m/s, km/h, mph, kn */
	UNIT_WATER,       /* depth of rain or irrigation: mm, cm, m, in, kg m-2 */
	UNIT_IRRADIANCE,  /* W/m2; energies J/m2, J/cm2, kWh/m2, MJ/m2 need the period */
	UNIT_PRESSURE,    /* hPa, Pa, kPa, mbar, inHg */
	UNIT_LENGTH,      /* m, cm, mm, km, ft, in */
	UNIT_AREA,        /* m2, sq ft */
	UNIT_VOLUME,      /* l, gal (US), qt, ml */
	UNIT_DURATION,    /* s, min, h, d, weeks */
	UNIT_ANGLE,       /* degrees */
	UNIT_FAMILIES
};

enum unit_system { UNIT_METRIC, UNIT_US };

struct unit {
	enum unit_family family;
	double factor, offset; /* inside = (x + offset) * factor */
	bool per_period;       /* an energy: divide by the period's seconds too */
};

/*
 * Find a unit by its spelling, among those of one family.  WMO, UCUM and plain
 * spellings, with the prefixes wmoUnit:, wmo:, unit:, uc:, nwsUnit: taken off
 * (they are code-list namespaces, not a service's name).  False where unknown.
 */
bool unit_find(const char *spelling, enum unit_family family, struct unit *u) MUST_USE;

/* To the inside unit; period_s is used by energies alone (NaN where it is wanted and not > 0). */
double unit_inside(const struct unit *u, double x, double period_s);

/*
 * "40 sq ft", "3.5 C", "15 gal", "60%": a number and a unit of the family, the whole of s.
 * A missing or unknown unit is FAULT_CONFIG and names the right ones.
 */
enum fault_code unit_value(const char *s, enum unit_family family, double *inside, struct fault *f) MUST_USE;

/* "temperature", "degree days": what a family measures, for faults. */
const char *unit_noun(enum unit_family family);

/* The spellings of a family that a fault line proposes, "F or C". */
const char *unit_proposal(enum unit_family family);

/* One value out, as tables print it: the number in the system's unit, not rounded. */
double unit_outside(enum unit_family family, enum unit_system system, double inside);

/* "F", "in", "mph" ... the label of the system's unit of a family. */
const char *unit_label(enum unit_family family, enum unit_system system);

#endif
