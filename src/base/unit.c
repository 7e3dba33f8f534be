#include "base/unit.h"

#include <math.h>
#include <string.h>
#include <strings.h>

#include "base/num.h"

/*
 * By definition (SI brochure; NIST SP 811): a Fahrenheit degree is 5/9 K, the
 * foot 0.3048 m, the statute mile 5280 ft, the nautical mile 1852 m, the US
 * gallon 231 cubic inches, the imperial gallon 4.54609 l.
 */
#define FAHRENHEIT (5.0 / 9.0)
#define FOOT_M     0.3048
#define INCH_MM    25.4
#define GALLON_L   3.785411784

struct unit_row {
	struct unit unit;
	const char *symbols; /* as written, parted by |: mJ is no MJ */
	const char *words;   /* in any case */
};

static const struct unit_row TABLE[] = {
    {{UNIT_TEMPERATURE, 1, 0, false}, "°C|℃|Cel", "C|degC|deg C|degrees C|celsius"},
    {{UNIT_TEMPERATURE, FAHRENHEIT, -32, false}, "°F|℉|[degF]", "F|degF|deg F|degrees F|fahrenheit"},
    {{UNIT_TEMPERATURE, 1, -273.15, false}, "K", "kelvin"},

    {{UNIT_WARMTH, 1, 0, false}, "", "C-days|C-day|C-d|C days"},
    {{UNIT_WARMTH, FAHRENHEIT, 0, false}, "", "F-days|F-day|F-d|F days"},

    {{UNIT_FRACTION, 1, 0, false}, "1", "fraction"},
    {{UNIT_FRACTION, 0.01, 0, false}, "%", "percent"},
    {{UNIT_FRACTION, 0.125, 0, false}, "", "okta|oktas"},

    {{UNIT_SPEED, 1, 0, false}, "m/s|m_s-1|m s-1|ms", ""},
    {{UNIT_SPEED, 1000.0 / 3600, 0, false}, "km/h|km_h-1|km h-1", "kmh|kph"},
    {{UNIT_SPEED, 5280 * FOOT_M / 3600, 0, false}, "[mi_i]/h|mi/h|mp/h", "mph"},
    {{UNIT_SPEED, 1852.0 / 3600, 0, false}, "[kn_i]|kt", "kn|kts|knot|knots"},

    {{UNIT_WATER, 1, 0, false}, "mm|kg m-2|kg_m-2|kg/m2|kg/m²|l/m2|l/m²", ""},
    {{UNIT_WATER, 10, 0, false}, "cm", ""},
    {{UNIT_WATER, 1000, 0, false}, "m", ""},
    {{UNIT_WATER, INCH_MM, 0, false}, "[in_i]", "in|inch|inches"},

    {{UNIT_IRRADIANCE, 1, 0, false}, "W/m2|W/m²|W m-2|W_m-2", ""},
    {{UNIT_IRRADIANCE, 1, 0, true}, "J/m2|J/m²|J m-2|J_m-2", ""},
    {{UNIT_IRRADIANCE, 1e4, 0, true}, "J/cm2|J/cm²|J cm-2|J_cm-2", ""},
    {{UNIT_IRRADIANCE, 1e6, 0, true}, "MJ/m2|MJ/m²|MJ m-2|MJ_m-2", ""},
    {{UNIT_IRRADIANCE, 3600, 0, true}, "Wh/m2|Wh/m²|Wh m-2|Wh_m-2", ""},
    {{UNIT_IRRADIANCE, 3.6e6, 0, true}, "kWh/m2|kWh/m²|kWh m-2|kWh_m-2", ""},

    {{UNIT_PRESSURE, 1, 0, false}, "hPa|mbar|mb", ""},
    {{UNIT_PRESSURE, 0.01, 0, false}, "Pa", ""},
    {{UNIT_PRESSURE, 10, 0, false}, "kPa", ""},
    {{UNIT_PRESSURE, 33.8639, 0, false}, "[in_i'Hg]", "inHg"},

    {{UNIT_LENGTH, 1, 0, false}, "m", "metre|metres|meter|meters"},
    {{UNIT_LENGTH, 0.01, 0, false}, "cm", ""},
    {{UNIT_LENGTH, 0.001, 0, false}, "mm", ""},
    {{UNIT_LENGTH, 1000, 0, false}, "km", ""},
    {{UNIT_LENGTH, FOOT_M, 0, false}, "[ft_i]", "ft|foot|feet"},
    {{UNIT_LENGTH, INCH_MM / 1000, 0, false}, "[in_i]", "in|inch|inches"},

    {{UNIT_AREA, 1, 0, false}, "m2|m²", "sq m|sqm|square metres|square meters"},
    {{UNIT_AREA, (FOOT_M * FOOT_M), 0, false}, "ft²|[sft_i]", "ft2|sq ft|sqft|square feet|square foot"},

    {{UNIT_VOLUME, 1, 0, false}, "", "l|litre|litres|liter|liters"},
    {{UNIT_VOLUME, 0.001, 0, false}, "ml|mL", ""},
    {{UNIT_VOLUME, 1000, 0, false}, "m3|m³", ""},
    {{UNIT_VOLUME, GALLON_L, 0, false}, "[gal_us]", "gal|gallon|gallons|US gal"},
    {{UNIT_VOLUME, GALLON_L / 4, 0, false}, "[qt_us]", "qt|quart|quarts"},
    {{UNIT_VOLUME, 4.54609, 0, false}, "[gal_br]", "imp gal|imperial gallons"},

    {{UNIT_DURATION, 1, 0, false}, "", "s|sec|second|seconds"},
    {{UNIT_DURATION, 60, 0, false}, "", "min|minute|minutes"},
    {{UNIT_DURATION, 3600, 0, false}, "", "h|hr|hour|hours"},
    {{UNIT_DURATION, 86400, 0, false}, "", "d|day|days"},
    {{UNIT_DURATION, 7 * 86400, 0, false}, "", "wk|week|weeks"},

    {{UNIT_ANGLE, 1, 0, false}, "°|degree_(angle)", "deg|degree|degrees"},
};

/* What a family is called, which two units are proposed, and the unit that each system prints. */
static const struct family {
	const char *noun, *propose[2], *proposal, *label[2];
} FAMILY[UNIT_FAMILIES] = {
    [UNIT_TEMPERATURE] = {"temperature", {"F", "C"}, "F or C", {"C", "F"}},
    [UNIT_DIFFERENCE] = {"temperature difference", {"F", "C"}, "F or C", {"C", "F"}},
    [UNIT_WARMTH] = {"degree days", {"F-days", "C-days"}, "F-days or C-days", {"C-days", "F-days"}},
    [UNIT_FRACTION] = {"share", {"%", NULL}, "%", {"%", "%"}},
    [UNIT_SPEED] = {"speed", {"mph", "km/h"}, "mph or km/h", {"km/h", "mph"}},
    [UNIT_WATER] = {"water depth", {"in", "mm"}, "in or mm", {"mm", "in"}},
    [UNIT_IRRADIANCE] = {"radiation", {"W/m2", NULL}, "W/m2", {"W/m2", "W/m2"}},
    [UNIT_PRESSURE] = {"pressure", {"hPa", "inHg"}, "hPa or inHg", {"hPa", "inHg"}},
    [UNIT_LENGTH] = {"length", {"ft", "m"}, "ft or m", {"m", "ft"}},
    [UNIT_AREA] = {"area", {"sq ft", "m2"}, "sq ft or m2", {"m2", "sq ft"}},
    [UNIT_VOLUME] = {"volume", {"gal", "l"}, "gal or l", {"l", "gal"}},
    [UNIT_DURATION] = {"time", {"h", "days"}, "h or days", {"h", "h"}},
    [UNIT_ANGLE] = {"angle", {"degrees", NULL}, "degrees", {"degrees", "degrees"}},
};

/* Is s one of the pieces of a list parted by |? */
static bool listed(const char *list, const char *s, bool any_case)
{
	size_t n = strlen(s);
	while (*list != '\0') {
		size_t piece = strcspn(list, "|");
		if (piece == n && (any_case ? strncasecmp(list, s, n) : strncmp(list, s, n)) == 0)
			return true;
		list += piece + (list[piece] == '|');
	}
	return false;
}

static const char *without_namespace(const char *spelling)
{
	static const char *const prefix[] = {"wmoUnit:", "wmo:", "unit:", "uc:", "nwsUnit:"};
	for (size_t i = 0; i < sizeof prefix / sizeof prefix[0]; i++) {
		size_t n = strlen(prefix[i]);
		if (strncmp(spelling, prefix[i], n) == 0)
			return spelling + n;
	}
	return spelling;
}

bool unit_find(const char *spelling, enum unit_family family, struct unit *u)
{
	const char *s = without_namespace(spelling);
	/* Differences are written as temperatures are; only the zero point falls away. */
	enum unit_family written = family == UNIT_DIFFERENCE ? UNIT_TEMPERATURE : family;
	for (size_t i = 0; i < sizeof TABLE / sizeof TABLE[0]; i++) {
		const struct unit_row *r = &TABLE[i];
		if (r->unit.family != written || (!listed(r->symbols, s, false) && !listed(r->words, s, true)))
			continue;
		*u = r->unit;
		u->family = family;
		if (family == UNIT_DIFFERENCE)
			u->offset = 0;
		return true;
	}
	return false;
}

double unit_inside(const struct unit *u, double x, double period_s)
{
	double inside = (x + u->offset) * u->factor;
	if (!u->per_period)
		return inside;
	return period_s > 0 ? inside / period_s : (double)NAN;
}

/* "40: a unit is missing; 40 sq ft or 40 m2" */
static enum fault_code missing_unit(const char *number, const struct family *fam, struct fault *f)
{
	if (!fam->propose[1])
		return fault_set(f, FAULT_CONFIG, "%.40s: a unit is missing; %.40s %s", number, number,
				 fam->propose[0]);
	return fault_set(f, FAULT_CONFIG, "%.40s: a unit is missing; %.40s %s or %.40s %s", number, number,
			 fam->propose[0], number, fam->propose[1]);
}

enum fault_code unit_value(const char *s, enum unit_family family, double *inside, struct fault *f)
{
	const struct family *fam = &FAMILY[family];
	double x, got;
	size_t used = num_scan(s, strlen(s), &x);
	if (used == 0)
		return fault_set(f, FAULT_CONFIG, "\"%.60s\" does not start with a number; a number and %s are right",
				 s, fam->proposal);
	const char *spelling = s + used + strspn(s + used, " \t");
	if (*spelling == '\0' && family == UNIT_ANGLE)
		spelling = fam->propose[0]; /* the one family that is written bare */
	if (*spelling == '\0')
		return missing_unit(s, fam, f);
	struct unit u;
	if (!unit_find(spelling, family, &u) || u.per_period)
		return fault_set(f, FAULT_CONFIG, "\"%.60s\": \"%.40s\" is not a unit of %s; %s is right", s, spelling,
				 fam->noun, fam->proposal);
	got = unit_inside(&u, x, (double)NAN);
	if (!isfinite(got))
		return fault_set(f, FAULT_CONFIG, "\"%.60s\" is too large", s);
	*inside = got;
	return FAULT_NONE;
}

const char *unit_noun(enum unit_family family)
{
	return FAMILY[family].noun;
}

const char *unit_proposal(enum unit_family family)
{
	return FAMILY[family].proposal;
}

double unit_outside(enum unit_family family, enum unit_system system, double inside)
{
	struct unit u;
	if (!unit_find(FAMILY[family].label[system], family, &u))
		return (double)NAN;
	return inside / u.factor - u.offset;
}

const char *unit_label(enum unit_family family, enum unit_system system)
{
	return FAMILY[family].label[system];
}
