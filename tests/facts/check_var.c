#include <ctype.h>
#include <string.h>

#include "facts/var.h"
#include "lib/harness.h"

static const struct {
	const char *row, *name, *unit;
	enum var v;
	enum unit_family family;
	enum var_kind kind;
} named[] = {
    /* Canonical units of CF are K, 1, m s-1, kg m-2, W m-2, Pa; ours stand beside the name. */
    {"CF table", "air_temperature", "C", VAR_AIR_TEMPERATURE, UNIT_TEMPERATURE, VAR_STATE},
    {"CF table", "dew_point_temperature", "C", VAR_DEW_POINT, UNIT_TEMPERATURE, VAR_STATE},
    {"CF table", "relative_humidity", "1", VAR_HUMIDITY, UNIT_FRACTION, VAR_STATE},
    {"CF table", "wind_speed", "m/s", VAR_WIND, UNIT_SPEED, VAR_STATE},
    {"CF table", "wind_speed_of_gust", "m/s", VAR_GUST, UNIT_SPEED, VAR_STATE},
    {"CF table", "cloud_area_fraction", "1", VAR_CLOUD, UNIT_FRACTION, VAR_STATE},
    {"CF table", "precipitation_amount", "mm", VAR_PRECIPITATION, UNIT_WATER, VAR_FLUX},
    {"CF table", "surface_downwelling_shortwave_flux_in_air", "W/m2", VAR_SHORTWAVE, UNIT_IRRADIANCE, VAR_FLUX},
    {"CF table", "air_pressure_at_mean_sea_level", "hPa", VAR_PRESSURE, UNIT_PRESSURE, VAR_STATE},
    {"CF table", "soil_temperature", "C", VAR_SOIL_TEMPERATURE, UNIT_TEMPERATURE, VAR_STATE},
    {"our own", "probability_of_precipitation", "1", VAR_PRECIPITATION_CHANCE, UNIT_FRACTION, VAR_FLUX},
    {"our own", "air_temperature_minimum", "C", VAR_WINDOW_MINIMUM, UNIT_TEMPERATURE, VAR_WINDOW},
    {"our own", "air_temperature_minimum_span", "h", VAR_WINDOW_MINIMUM_SPAN, UNIT_DURATION, VAR_WINDOW},
};

#define ROWS(t) ((int)(sizeof(t) / sizeof((t)[0])))

START_TEST(names_units_and_kinds)
{
	const struct var_row *r = var_row(named[_i].v);
	ROW_STR(named[_i].name, r->name, named[_i].name);
	ROW_STR(named[_i].name, r->unit, named[_i].unit);
	ROW_INT(named[_i].name, r->family, named[_i].family);
	ROW_INT(named[_i].name, r->kind, named[_i].kind);
	ROW_INT(named[_i].name, var_named(named[_i].name), named[_i].v);
	bool own = strcmp(named[_i].row, "our own") == 0;
	ROW_TRUE(named[_i].name, own == (strstr(r->note, "not a CF name") != NULL));
}
END_TEST

START_TEST(the_table_is_whole)
{
	ck_assert_int_eq(ROWS(named), VARS);
	for (int i = 0; i < VARS; i++) {
		const struct var_row *r = var_row((enum var)i);
		ROW_TRUE(r->name, r->lo < r->hi);
		ROW_TRUE(r->name, r->note && r->note[0]);
		ROW_INT(r->name, r->described, i != VAR_WINDOW_MINIMUM_SPAN);
		/* It is a column name too. */
		for (const char *c = r->name; *c; c++)
			ROW_TRUE(r->name, islower((unsigned char)*c) || *c == '_');
	}
	ck_assert_int_eq(var_named("air_temp"), VARS);
	ck_assert_int_eq(var_named(""), VARS);
	ck_assert_int_eq(var_named("Air_Temperature"), VARS);
}
END_TEST

static const struct {
	const char *row;
	enum var v;
	double x;
	bool in;
} ranged[] = {
    {"lowest measured air temperature, Antarctica 1983 (WMO archive, from memory)", VAR_AIR_TEMPERATURE, -89.2, true},
    {"highest, California 1913 (WMO archive, from memory)", VAR_AIR_TEMPERATURE, 56.7, true},
    {"a Fahrenheit value taken for Celsius", VAR_AIR_TEMPERATURE, 75, false},
    {"a kelvin value taken for Celsius", VAR_AIR_TEMPERATURE, 290, false},
    {"strongest gust, Barrow Island 1996 (WMO archive, from memory)", VAR_GUST, 113.2, true},
    {"most rain in 42 minutes, Holt 1947 (WMO archive, from memory)", VAR_PRECIPITATION, 305, true},
    {"negative rain", VAR_PRECIPITATION, -0.1, false},
    {"lowest sea-level pressure, 1979 (WMO archive, from memory)", VAR_PRESSURE, 870, true},
    {"highest, 2001 (WMO archive, from memory)", VAR_PRESSURE, 1084.8, true},
    {"pascal taken for hPa", VAR_PRESSURE, 101325, false},
    {"percent taken for a fraction", VAR_HUMIDITY, 60, false},
    {"full", VAR_HUMIDITY, 1, true},
    {"a broken service", VAR_AIR_TEMPERATURE, 1e300, false},
    {"missing", VAR_AIR_TEMPERATURE, (double)NAN, false},
    {"infinite", VAR_SHORTWAVE, (double)INFINITY, false},
    {"a window of no hours", VAR_WINDOW_MINIMUM_SPAN, 0, false},
    {"a night's window", VAR_WINDOW_MINIMUM_SPAN, 14, true},
};

START_TEST(ranges)
{
	ROW_TRUE(ranged[_i].row, var_in_range(ranged[_i].v, ranged[_i].x) == ranged[_i].in);
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("var");
	TCase *c = tcase_create("var");
	tcase_add_loop_test(c, names_units_and_kinds, 0, ROWS(named));
	tcase_add_test(c, the_table_is_whole);
	tcase_add_loop_test(c, ranges, 0, ROWS(ranged));
	suite_add_tcase(s, c);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
