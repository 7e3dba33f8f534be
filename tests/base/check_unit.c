#include <string.h>

#include "base/unit.h"
#include "lib/harness.h"

#define NONE ((double)NAN)

static const struct {
	enum unit_family family;
	const char *spelling;
	double x, inside, period_s; /* x of the unit is so much inside */
	const char *source;
} exact[] = {
    /* Temperatures: the fixed points of the scales (SI brochure; NIST SP 811 B.8). */
    {UNIT_TEMPERATURE, "degC", -3.5, -3.5, NONE, "itself"},
    {UNIT_TEMPERATURE, "celsius", 21, 21, NONE, "itself"},
    {UNIT_TEMPERATURE, "°C", 21, 21, NONE, "itself"},
    {UNIT_TEMPERATURE, "℃", 21, 21, NONE, "itself"},
    {UNIT_TEMPERATURE, "Cel", 21, 21, NONE, "UCUM"},
    {UNIT_TEMPERATURE, "C", 21, 21, NONE, "itself"},
    {UNIT_TEMPERATURE, "c", 21, 21, NONE, "itself"},
    {UNIT_TEMPERATURE, "deg C", 21, 21, NONE, "itself"},
    {UNIT_TEMPERATURE, "wmoUnit:degC", 5, 5, NONE, "WMO code list"},
    {UNIT_TEMPERATURE, "wmo:degC", 5, 5, NONE, "WMO code list"},
    {UNIT_TEMPERATURE, "unit:degC", 5, 5, NONE, "older WMO code list"},
    {UNIT_TEMPERATURE, "uc:Cel", 5, 5, NONE, "UCUM namespace"},
    {UNIT_TEMPERATURE, "degF", 32, 0, NONE, "ice point"},
    {UNIT_TEMPERATURE, "degF", 212, 100, NONE, "steam point"},
    {UNIT_TEMPERATURE, "fahrenheit", -40, -40, NONE, "where the scales cross"},
    {UNIT_TEMPERATURE, "Fahrenheit", 50, 10, NONE, "5/9 (F - 32)"},
    {UNIT_TEMPERATURE, "°F", 50, 10, NONE, "5/9 (F - 32)"},
    {UNIT_TEMPERATURE, "℉", 50, 10, NONE, "5/9 (F - 32)"},
    {UNIT_TEMPERATURE, "[degF]", 50, 10, NONE, "UCUM"},
    {UNIT_TEMPERATURE, "F", 86, 30, NONE, "5/9 (F - 32)"},
    {UNIT_TEMPERATURE, "deg F", 86, 30, NONE, "5/9 (F - 32)"},
    {UNIT_TEMPERATURE, "K", 273.15, 0, NONE, "definition of Celsius"},
    {UNIT_TEMPERATURE, "K", 0, -273.15, NONE, "definition of Celsius"},
    {UNIT_DIFFERENCE, "C", 5, 5, NONE, "no offset"},
    {UNIT_DIFFERENCE, "K", 5, 5, NONE, "no offset"},
    {UNIT_DIFFERENCE, "F", 9, 5, NONE, "no offset"},
    {UNIT_DIFFERENCE, "degF", -18, -10, NONE, "no offset"},

    {UNIT_WARMTH, "C-days", 475, 475, NONE, "itself"},
    {UNIT_WARMTH, "C-d", 475, 475, NONE, "itself"},
    {UNIT_WARMTH, "F-days", 1000, 5000.0 / 9, NONE, "1 F-day = 1/1.8 C-day, no offset"},
    {UNIT_WARMTH, "f-day", 9, 5, NONE, "1 F-day = 1/1.8 C-day, no offset"},

    {UNIT_FRACTION, "%", 60, 0.6, NONE, "definition"},
    {UNIT_FRACTION, "percent", 60, 0.6, NONE, "definition"},
    {UNIT_FRACTION, "wmoUnit:percent", 60, 0.6, NONE, "WMO code list"},
    {UNIT_FRACTION, "1", 0.6, 0.6, NONE, "UCUM unity"},
    {UNIT_FRACTION, "okta", 6, 0.75, NONE, "eighths (WMO)"},

    {UNIT_SPEED, "m/s", 7, 7, NONE, "itself"},
    {UNIT_SPEED, "m_s-1", 7, 7, NONE, "WMO code list"},
    {UNIT_SPEED, "m s-1", 7, 7, NONE, "CF"},
    {UNIT_SPEED, "ms", 7, 7, NONE, "a service's option word"},
    {UNIT_SPEED, "km/h", 36, 10, NONE, "1/3.6"},
    {UNIT_SPEED, "km_h-1", 36, 10, NONE, "1/3.6"},
    {UNIT_SPEED, "wmoUnit:km_h-1", 36, 10, NONE, "1/3.6"},
    {UNIT_SPEED, "kmh", 36, 10, NONE, "1/3.6"},
    {UNIT_SPEED, "mph", 1, 0.44704, NONE, "NIST SP 811 B.8, exact"},
    {UNIT_SPEED, "[mi_i]/h", 1, 0.44704, NONE, "NIST SP 811 B.8, exact"},
    {UNIT_SPEED, "mp/h", 1, 0.44704, NONE, "NIST SP 811 B.8, exact"},
    {UNIT_SPEED, "kn", 3600, 1852, NONE, "nautical mile an hour"},
    {UNIT_SPEED, "kt", 3600, 1852, NONE, "nautical mile an hour"},
    {UNIT_SPEED, "knots", 3600, 1852, NONE, "nautical mile an hour"},
    {UNIT_SPEED, "[kn_i]", 3600, 1852, NONE, "nautical mile an hour"},

    {UNIT_WATER, "mm", 4, 4, NONE, "itself"},
    {UNIT_WATER, "kg m-2", 4, 4, NONE, "1 l on 1 m2 at 1000 kg/m3"},
    {UNIT_WATER, "kg/m2", 4, 4, NONE, "1 l on 1 m2 at 1000 kg/m3"},
    {UNIT_WATER, "cm", 4, 40, NONE, "SI prefix"},
    {UNIT_WATER, "m", 0.004, 4, NONE, "SI prefix"},
    {UNIT_WATER, "in", 1, 25.4, NONE, "definition of the inch"},
    {UNIT_WATER, "inch", 1, 25.4, NONE, "definition of the inch"},
    {UNIT_WATER, "[in_i]", 1, 25.4, NONE, "definition of the inch"},

    {UNIT_IRRADIANCE, "W/m2", 500, 500, NONE, "itself"},
    {UNIT_IRRADIANCE, "W/m²", 500, 500, NONE, "itself"},
    {UNIT_IRRADIANCE, "W m-2", 500, 500, NONE, "itself"},
    {UNIT_IRRADIANCE, "W_m-2", 500, 500, NONE, "itself"},
    {UNIT_IRRADIANCE, "kWh/m2", 1, 1000, 3600, "1 kWh over an hour"},
    {UNIT_IRRADIANCE, "kWh/m²", 24, 1000, 86400, "24 kWh over a day"},
    {UNIT_IRRADIANCE, "J/m2", 3600, 1, 3600, "W = J/s"},
    {UNIT_IRRADIANCE, "J/cm2", 0.36, 1, 3600, "1 J/cm2 = 10,000 J/m2"},
    {UNIT_IRRADIANCE, "MJ/m2", 0.0864, 1, 86400, "FAO-56 table 3: 1 W/m2 = 0.0864 MJ/m2/day"},
    {UNIT_IRRADIANCE, "Wh/m2", 24, 1, 86400, "W h over 24 h"},

    {UNIT_PRESSURE, "hPa", 1013.25, 1013.25, NONE, "itself"},
    {UNIT_PRESSURE, "mbar", 1013.25, 1013.25, NONE, "SI brochure"},
    {UNIT_PRESSURE, "Pa", 101325, 1013.25, NONE, "standard atmosphere"},
    {UNIT_PRESSURE, "kPa", 101.325, 1013.25, NONE, "standard atmosphere"},
    {UNIT_PRESSURE, "inHg", 10, 338.639, NONE, "NIST SP 811 B.8"},

    {UNIT_LENGTH, "m", 330, 330, NONE, "itself"},
    {UNIT_LENGTH, "wmoUnit:m", 330, 330, NONE, "WMO code list"},
    {UNIT_LENGTH, "cm", 5, 0.05, NONE, "SI prefix"},
    {UNIT_LENGTH, "mm", 5, 0.005, NONE, "SI prefix"},
    {UNIT_LENGTH, "km", 5, 5000, NONE, "SI prefix"},
    {UNIT_LENGTH, "ft", 10, 3.048, NONE, "definition of the foot"},
    {UNIT_LENGTH, "in", 12, 0.3048, NONE, "12 in = 1 ft"},

    {UNIT_AREA, "m2", 4, 4, NONE, "itself"},
    {UNIT_AREA, "m²", 4, 4, NONE, "itself"},
    {UNIT_AREA, "sq ft", 1, 0.09290304, NONE, "NIST SP 811 B.8, exact"},
    {UNIT_AREA, "Sq Ft", 1, 0.09290304, NONE, "NIST SP 811 B.8, exact"},
    {UNIT_AREA, "ft2", 1, 0.09290304, NONE, "NIST SP 811 B.8, exact"},

    {UNIT_VOLUME, "l", 4, 4, NONE, "itself"},
    {UNIT_VOLUME, "L", 4, 4, NONE, "itself"},
    {UNIT_VOLUME, "litres", 4, 4, NONE, "itself"},
    {UNIT_VOLUME, "ml", 250, 0.25, NONE, "SI prefix"},
    {UNIT_VOLUME, "m3", 2, 2000, NONE, "SI brochure"},
    {UNIT_VOLUME, "gal", 1, 3.785411784, NONE, "231 cubic inches"},
    {UNIT_VOLUME, "gallons", 1, 3.785411784, NONE, "231 cubic inches"},
    {UNIT_VOLUME, "qt", 4, 3.785411784, NONE, "4 quarts a gallon"},
    {UNIT_VOLUME, "imp gal", 1, 4.54609, NONE, "definition"},

    {UNIT_DURATION, "s", 30, 30, NONE, "itself"},
    {UNIT_DURATION, "min", 90, 5400, NONE, "SI brochure table 8"},
    {UNIT_DURATION, "h", 3, 10800, NONE, "SI brochure table 8"},
    {UNIT_DURATION, "hours", 3, 10800, NONE, "SI brochure table 8"},
    {UNIT_DURATION, "d", 2, 172800, NONE, "SI brochure table 8"},
    {UNIT_DURATION, "days", 2, 172800, NONE, "SI brochure table 8"},
    {UNIT_DURATION, "weeks", 2, 1209600, NONE, "7 days"},

    {UNIT_ANGLE, "degree_(angle)", 270, 270, NONE, "WMO code list"},
    {UNIT_ANGLE, "wmoUnit:degree_(angle)", 270, 270, NONE, "WMO code list"},
    {UNIT_ANGLE, "degrees", 270, 270, NONE, "itself"},
    {UNIT_ANGLE, "°", 270, 270, NONE, "itself"},
    {UNIT_ANGLE, "deg", 270, 270, NONE, "itself"},
};

START_TEST(conversions)
{
	struct unit u;
	ck_assert_msg(unit_find(exact[_i].spelling, exact[_i].family, &u), "%s is not found", exact[_i].spelling);
	ROW_INT(exact[_i].spelling, u.family, exact[_i].family);
	double got = unit_inside(&u, exact[_i].x, exact[_i].period_s);
	double tol = 1e-13 * fmax(1, fabs(exact[_i].inside));
	ck_assert_msg(fabs(got - exact[_i].inside) <= tol, "%.17g %s is %.17g, want %.17g (%s)", exact[_i].x,
		      exact[_i].spelling, got, exact[_i].inside, exact[_i].source);
}
END_TEST

/* Published to fewer digits than the definitions give. */
static const struct {
	const char *row;
	double got_x, want, tol;
	enum unit_family family;
	const char *spelling;
	double period_s;
} rounded[] = {
    {"1 kn, NIST SP 811 B.8: 0.5144444", 1, 0.5144444, 5e-8, UNIT_SPEED, "kn", NONE},
    {"1 MJ/m2 a day, FAO-56 table 3: 11.574 W/m2", 1, 11.574, 5e-4, UNIT_IRRADIANCE, "MJ/m2", 86400},
    {"1 J/cm2 an hour: 2.7778 W/m2", 1, 2.7778, 5e-5, UNIT_IRRADIANCE, "J/cm2", 3600},
    {"1 qt, NIST SP 811 B.8: 0.9463529 l", 1, 0.9463529, 5e-8, UNIT_VOLUME, "qt", NONE},
};

START_TEST(published_factors)
{
	struct unit u;
	ROW_TRUE(rounded[_i].row, unit_find(rounded[_i].spelling, rounded[_i].family, &u));
	ROW_NEAR(rounded[_i].row, unit_inside(&u, rounded[_i].got_x, rounded[_i].period_s), rounded[_i].want,
		 rounded[_i].tol);
}
END_TEST

START_TEST(an_inch_on_a_square_foot)
{
	/* 2.359737 l = 0.623377 gal (derived from the definitions): depth x area = volume across three families. */
	struct unit in, ft2, gal;
	ck_assert(unit_find("in", UNIT_WATER, &in) && unit_find("sq ft", UNIT_AREA, &ft2) &&
		  unit_find("gal", UNIT_VOLUME, &gal));
	double litres = unit_inside(&in, 1, NONE) * unit_inside(&ft2, 1, NONE);
	ROW_NEAR("litres", litres, 2.359737, 5e-7);
	ROW_NEAR("gallons", litres / unit_inside(&gal, 1, NONE), 0.623377, 5e-7);
}
END_TEST

static const struct {
	const char *row;
	enum unit_family family;
	const char *spelling;
} unknown[] = {
    {"empty", UNIT_TEMPERATURE, ""},
    {"a prefix alone", UNIT_TEMPERATURE, "wmoUnit:"},
    {"another family's", UNIT_TEMPERATURE, "mm"},
    {"another family's", UNIT_WATER, "m/s"},
    {"millijoule is no megajoule", UNIT_IRRADIANCE, "mJ/m2"},
    {"symbols as written", UNIT_PRESSURE, "HPA"},
    {"a piece of a list", UNIT_WATER, "mm|cm"},
    {"the parting sign", UNIT_WATER, "|"},
    {"the front of a spelling", UNIT_AREA, "sq"},
    {"a spelling and more", UNIT_AREA, "sq ft."},
    {"blank before", UNIT_AREA, " sq ft"},
    {"two prefixes", UNIT_TEMPERATURE, "wmoUnit:wmo:degC"},
    {"unity is no temperature", UNIT_TEMPERATURE, "1"},
    {"Rankine", UNIT_TEMPERATURE, "R"},
    {"acres", UNIT_AREA, "acres"},
};

START_TEST(unknown_is_refused)
{
	struct unit u;
	ROW_TRUE(unknown[_i].row, !unit_find(unknown[_i].spelling, unknown[_i].family, &u));
}
END_TEST

START_TEST(energies_want_a_period)
{
	struct unit u;
	ck_assert(unit_find("kWh/m2", UNIT_IRRADIANCE, &u));
	ck_assert(isnan(unit_inside(&u, 1, NONE)));
	ck_assert(isnan(unit_inside(&u, 1, 0)));
	ck_assert(isnan(unit_inside(&u, 1, -3600)));
	ck_assert(unit_find("W/m2", UNIT_IRRADIANCE, &u));
	ck_assert_double_eq(unit_inside(&u, 5, 0), 5);
	ck_assert(isnan(unit_inside(&u, NONE, 3600)));
}
END_TEST

static const struct {
	const char *text;
	enum unit_family family;
	double inside;
} values[] = {
    {"40 sq ft", UNIT_AREA, 40 * 0.09290304},
    {"3.5 C", UNIT_TEMPERATURE, 3.5},
    {"68F", UNIT_TEMPERATURE, 20},
    {"-4 F", UNIT_TEMPERATURE, -20},
    {"15 gal", UNIT_VOLUME, 15 * 3.785411784},
    {"60%", UNIT_FRACTION, 0.6},
    {"60 %", UNIT_FRACTION, 0.6},
    {"0.6 1", UNIT_FRACTION, 0.6},
    {"330 m", UNIT_LENGTH, 330},
    {"9 F", UNIT_DIFFERENCE, 5},
    {"2  weeks", UNIT_DURATION, 1209600},
    {"270", UNIT_ANGLE, 270},
    {"270 degrees", UNIT_ANGLE, 270},
    {"1e3 mm", UNIT_WATER, 1000},
};

START_TEST(values_with_units)
{
	double got = NONE;
	struct fault f = {FAULT_NONE, ""};
	ck_assert_msg(!unit_value(values[_i].text, values[_i].family, &got, &f), "%s: %s", values[_i].text, f.text);
	ROW_NEAR(values[_i].text, got, values[_i].inside, 1e-9);
}
END_TEST

static const struct {
	const char *row, *text;
	enum unit_family family;
	const char *says;
} refused[] = {
    {"no unit", "40", UNIT_AREA, "40: a unit is missing; 40 sq ft or 40 m2"},
    {"no unit", "60", UNIT_TEMPERATURE, "60: a unit is missing; 60 F or 60 C"},
    {"no unit", "0.3", UNIT_FRACTION, "0.3: a unit is missing; 0.3 %"},
    {"a wrong unit", "40 acres", UNIT_AREA, "\"40 acres\": \"acres\" is not a unit of area; sq ft or m2 is right"},
    {"another family's", "5 mm", UNIT_TEMPERATURE, "\"mm\" is not a unit of temperature; F or C is right"},
    {"an energy without its period", "5 kWh/m2", UNIT_IRRADIANCE, "W/m2 is right"},
    {"a temperature", "475 C", UNIT_WARMTH, "\"C\" is not a unit of degree days; F-days or C-days is right"},
    {"no number", "warm", UNIT_TEMPERATURE, "\"warm\" does not start with a number"},
    {"empty", "", UNIT_TEMPERATURE, "does not start with a number"},
    {"a range", "5 to 10 mph", UNIT_SPEED, "\"to 10 mph\" is not a unit of speed; mph or km/h is right"},
    {"a decimal comma", "3,5 C", UNIT_TEMPERATURE, "\",5 C\" is not a unit of temperature"},
    {"not finite", "1e308 km", UNIT_LENGTH, "too large"},
    {"text after the unit", "5 C!", UNIT_TEMPERATURE, "is not a unit"},
};

START_TEST(values_refused)
{
	double got = 77;
	struct fault f = {FAULT_NONE, ""};
	ROW_INT(refused[_i].row, unit_value(refused[_i].text, refused[_i].family, &got, &f), FAULT_CONFIG);
	ROW_NEAR(refused[_i].row, got, 77, 0);
	ck_assert_msg(strstr(f.text, refused[_i].says), "%s: \"%s\" says nothing of \"%s\"", refused[_i].row, f.text,
		      refused[_i].says);
}
END_TEST

START_TEST(what_goes_out_comes_back)
{
	for (int i = 0; i < UNIT_FAMILIES; i++) {
		enum unit_family family = (enum unit_family)i;
		ck_assert(unit_proposal(family)[0] != '\0');
		for (int system = UNIT_METRIC; system <= UNIT_US; system++) {
			struct unit u;
			const char *label = unit_label(family, (enum unit_system)system);
			ck_assert_msg(unit_find(label, family, &u), "%s", label);
			for (double x = -40; x <= 1100; x += 13.7)
				ROW_NEAR(label,
					 unit_inside(&u, unit_outside(family, (enum unit_system)system, x), NONE), x,
					 1e-9);
		}
	}
	ROW_NEAR("20 C", unit_outside(UNIT_TEMPERATURE, UNIT_US, 20), 68, 1e-12);
	ROW_NEAR("a rise of 5 K", unit_outside(UNIT_DIFFERENCE, UNIT_US, 5), 9, 1e-12);
	ROW_NEAR("half", unit_outside(UNIT_FRACTION, UNIT_METRIC, 0.5), 50, 1e-12);
	ROW_NEAR("10 m/s", unit_outside(UNIT_SPEED, UNIT_METRIC, 10), 36, 1e-12);
	ck_assert(isnan(unit_outside(UNIT_TEMPERATURE, UNIT_US, NONE)));
	ck_assert_str_eq(unit_label(UNIT_TEMPERATURE, UNIT_US), "F");
	ck_assert_str_eq(unit_label(UNIT_WATER, UNIT_US), "in");
	ck_assert_str_eq(unit_label(UNIT_SPEED, UNIT_US), "mph");
	ck_assert_str_eq(unit_label(UNIT_TEMPERATURE, UNIT_METRIC), "C");
}
END_TEST

#define ROWS(t) ((int)(sizeof(t) / sizeof((t)[0])))

static Suite *suite(void)
{
	Suite *s = suite_create("unit");
	TCase *c = tcase_create("unit");
	tcase_add_loop_test(c, conversions, 0, ROWS(exact));
	tcase_add_loop_test(c, published_factors, 0, ROWS(rounded));
	tcase_add_test(c, an_inch_on_a_square_foot);
	tcase_add_loop_test(c, unknown_is_refused, 0, ROWS(unknown));
	tcase_add_test(c, energies_want_a_period);
	tcase_add_loop_test(c, values_with_units, 0, ROWS(values));
	tcase_add_loop_test(c, values_refused, 0, ROWS(refused));
	tcase_add_test(c, what_goes_out_comes_back);
	suite_add_tcase(s, c);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
