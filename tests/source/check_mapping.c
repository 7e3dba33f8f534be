/* What is said about a CSV, on the command line and in a description file. */
#include <string.h>

#include "base/instant.h"
#include "lib/harness.h"
#include "source/mapping.h"

static struct mapping m;

static void setup(void)
{
	mapping_init(&m);
}

/* ---- Columns ---- */

static const struct {
	const char *text;
	int target;
	const char *head;
	size_t number;
	double of_ten; /* 10 in the column's unit, inside; NaN: none */
} COLUMNS[] = {
    {"air_temperature=Temp F", VAR_AIR_TEMPERATURE, "Temp", 0, -110.0 / 9},
    {" air_temperature = Temp out F ", VAR_AIR_TEMPERATURE, "Temp out", 0, -110.0 / 9},
    {"air_temperature=Temp deg C", VAR_AIR_TEMPERATURE, "Temp", 0, 10},
    {"air_temperature=Temp F F", VAR_AIR_TEMPERATURE, "Temp F", 0, -110.0 / 9},
    {"air_temperature=\"Temp F\" C", VAR_AIR_TEMPERATURE, "Temp F", 0, 10},
    {"air_temperature=\"Temp, out\" C", VAR_AIR_TEMPERATURE, "Temp, out", 0, 10},
    {"air_temperature=7 C", VAR_AIR_TEMPERATURE, "", 7, 10},
    {"air_temperature=\"7\" C", VAR_AIR_TEMPERATURE, "7", 0, 10},
    {"time=1", MAPPING_TIME, "", 1, (double)NAN},
    {"time=Date and Time", MAPPING_TIME, "Date and Time", 0, (double)NAN},
    {"date=\"Day\", low=Lo C", MAPPING_DATE, "Day", 0, (double)NAN},
    {"date=Day, low=Lo C", MAPPING_LOW, "Lo", 0, 10},
    {"date=Day,clock=At,rain=R cm", MAPPING_RAIN, "R", 0, 100},
    {"date=Day,clock=At,rain=R cm,", MAPPING_CLOCK, "At", 0, (double)NAN},
};

START_TEST(test_columns)
{
	struct fault f;
	const char *name = COLUMNS[_i].text;
	ROW_MSG(mapping_set(&m, MAPPING_KEY_COLUMNS, name, &f) == FAULT_NONE, "%s: %s", name, f.text);
	const struct mapping_column *c = &m.column[COLUMNS[_i].target];
	ROW_TRUE(name, c->is);
	ROW_STR(name, c->head, COLUMNS[_i].head);
	ROW_INT(name, c->number, COLUMNS[_i].number);
	if (!isnan(COLUMNS[_i].of_ten))
		ROW_NEAR(name, unit_inside(&c->unit, 10, (double)NAN), COLUMNS[_i].of_ten, 1e-9);
}
END_TEST

static const struct {
	enum mapping_key key;
	const char *value, *text;
} WRONG[] = {
    {MAPPING_KEY_COLUMNS, "Temp", "\"Temp\" has no =; \"time=Date_Time, air_temperature=Temp F\" is right"},
    {MAPPING_KEY_COLUMNS, "air_temperatur=Temp F",
     "column \"air_temperatur\" is not known; did you mean air_temperature?"},
    {MAPPING_KEY_COLUMNS, "qqq=Temp F",
     "column \"qqq\" is not known; time, date, clock, low, high, rain or a variable as `dewpost hours` heads it is "
     "right"},
    {MAPPING_KEY_COLUMNS, "air_temperature_minimum_span=Temp h",
     "column \"air_temperature_minimum_span\" is not known; time, date, clock, low, high, rain or a variable as "
     "`dewpost hours` heads it is right"},
    {MAPPING_KEY_COLUMNS, "air_temperature=Temp",
     "\"Temp\": a heading and then a unit is right, as \"air_temperature = NAME F or C\""},
    {MAPPING_KEY_COLUMNS, "air_temperature=Temp mm",
     "\"Temp mm\": a heading and then a unit is right, as \"air_temperature = NAME F or C\""},
    {MAPPING_KEY_COLUMNS, "air_temperature=\"Temp F", "\"Temp F: the quote does not end"},
    {MAPPING_KEY_COLUMNS, "air_temperature=\"Temp\" mm",
     "\"\"Temp\" mm\": a heading and then a unit is right, as \"air_temperature = NAME F or C\""},
    {MAPPING_KEY_COLUMNS, "time=", "time: names no column; its heading or its number is right"},
    {MAPPING_KEY_COLUMNS, "air_temperature=0 C", "air_temperature: column 0 is not one of 1 to 256"},
    {MAPPING_KEY_COLUMNS, "air_temperature=257 C", "air_temperature: column 257 is not one of 1 to 256"},
    {MAPPING_KEY_FORMAT, "xml", "\"xml\" is not known; ghcn or csv is right"},
    {MAPPING_KEY_DELIMITER, ";", "\";\" is not known; comma, semicolon or tab is right"},
    {MAPPING_KEY_DECIMAL, ",", "\",\" is not known; point or comma is right"},
    {MAPPING_KEY_STAMP, "middle", "\"middle\" is not known; begin, end or instant is right"},
    {MAPPING_KEY_OBSERVED, "7", "\"7\" is no local clock time; 07:00 is right"},
    {MAPPING_KEY_OBSERVED, "24:01", "\"24:01\" is no local clock time; 07:00 is right"},
    {MAPPING_KEY_OBSERVED, "07:60", "\"07:60\" is no local clock time; 07:00 is right"},
    {MAPPING_KEY_STEP, "25min", "\"25min\" does not divide the hour; 5 min, 15 min or 30 min is right"},
    {MAPPING_KEY_STEP, "2h", "\"2h\" does not divide the hour; 5 min, 15 min or 30 min is right"},
    {MAPPING_KEY_STATION, "a name of more than thirty-one bytes", "a station's name is longer than 31 bytes"},
};

START_TEST(test_wrong)
{
	struct fault f;
	ROW_INT(WRONG[_i].value, mapping_set(&m, WRONG[_i].key, WRONG[_i].value, &f), FAULT_CONFIG);
	ROW_STR(WRONG[_i].value, f.text, WRONG[_i].text);
}
END_TEST

START_TEST(test_keys)
{
	struct fault f;
	ck_assert_int_eq(mapping_set(&m, MAPPING_KEY_DELIMITER, "tab", &f), FAULT_NONE);
	ck_assert_int_eq(m.delimiter, '\t');
	ck_assert_int_eq(mapping_set(&m, MAPPING_KEY_STEP, "15 min", &f), FAULT_NONE);
	ck_assert_int_eq(m.step_s, 900);
	ck_assert_int_eq(mapping_set(&m, MAPPING_KEY_OBSERVED, "24:00", &f), FAULT_NONE);
	ck_assert_int_eq(m.observed, 2400);
	ck_assert_int_eq(mapping_set(&m, MAPPING_KEY_MISSING, "-99.9, M ,,x", &f), FAULT_NONE);
	ck_assert_uint_eq(m.marks, 3);
	ck_assert(mapping_missing(&m, "M") && mapping_missing(&m, "-99.9") && mapping_missing(&m, "x"));
	ck_assert(mapping_missing(&m, "") && mapping_missing(&m, "NaN") && mapping_missing(&m, "---"));
	ck_assert(!mapping_missing(&m, "-99.8") && !mapping_missing(&m, "m") && !mapping_missing(&m, "0") &&
		  !mapping_missing(&m, "-9999"));
}
END_TEST

/* ---- The description file ---- */

START_TEST(test_load)
{
	struct faults wrong = {0};
	ck_assert_int_eq(mapping_load("fixtures/station/logger.ini", &m, &wrong), FAULT_NONE);
	ck_assert(m.columns && m.decimal_comma);
	ck_assert_int_eq(m.stamp, MAPPING_STAMP_END);
	ck_assert_str_eq(m.zone, "America/Chicago");
	ck_assert_str_eq(m.time_format, "%m/%d/%Y %I:%M %p");
	ck_assert_str_eq(m.column[VAR_PRECIPITATION].head, "Rain");
	ck_assert_str_eq(m.column[VAR_AIR_TEMPERATURE].head, "Temp F");
}
END_TEST

START_TEST(test_load_wrong)
{
	static const char *const want[] = {
	    "3: column \"air_temperatur\" is not known; did you mean air_temperature?",
	    "4: \"RH\": a heading and then a unit is right, as \"relative_humidity = NAME %\"",
	    "7: decimal: \"both\" is not known; point or comma is right",
	    "8: key \"stampt\" is not known; did you mean \"stamp\"?",
	    "9: step: \"25 min\" does not divide the hour; 5 min, 15 min or 30 min is right",
	    "10: section [more] is not known; [columns] and [file] are right",
	};
	struct faults wrong = {0};
	ck_assert_int_eq(mapping_load("fixtures/station/wrong.ini", &m, &wrong), FAULT_CONFIG);
	ck_assert_uint_eq(wrong.n, sizeof want / sizeof want[0]);
	for (size_t i = 0; i < wrong.n; i++)
		ck_assert_str_eq(wrong.at[i].text + strlen("fixtures/station/wrong.ini:"), want[i]);
	wrong = (struct faults){0};
	ck_assert_int_eq(mapping_load("no/such.ini", &m, &wrong), FAULT_NO_INPUT);
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("source/mapping");
	TCase *t = tcase_create("mapping");
	tcase_add_checked_fixture(t, setup, NULL);
	tcase_add_loop_test(t, test_columns, 0, sizeof COLUMNS / sizeof COLUMNS[0]);
	tcase_add_loop_test(t, test_wrong, 0, sizeof WRONG / sizeof WRONG[0]);
	tcase_add_test(t, test_keys);
	tcase_add_test(t, test_load);
	tcase_add_test(t, test_load_wrong);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
