/* Hours and days from a CSV that a mapping explains.  All rows are invented. */
#include <stdio.h>
#include <string.h>

#include "base/instant.h"
#include "base/mem.h"
#include "lib/harness.h"
#include "lib/stationbed.h"

static struct stationbed bed;

static void setup(void)
{
	stationbed_init(&bed);
}

static void teardown(void)
{
	stationbed_free(&bed);
}

#define NONE      (double)NAN
#define HEAD      "Date_Time,Temp F,RH,Rain in\n"
#define T         VAR_AIR_TEMPERATURE
#define RAIN      VAR_PRECIPITATION
#define OPTIONS_N 6

/* A file, what is said about it, and what one hour then has. */
static const struct row {
	const char *name, *columns;
	struct {
		enum mapping_key key;
		const char *value;
	} set[OPTIONS_N];
	const char *text;
	enum var v;
	const char *hour;
	double want;
} ROWS[] = {
    {"named columns",
     "time=Date_Time, air_temperature=\"Temp F\" F",
     {{MAPPING_KEYS, ""}},
     HEAD "2025-05-12 05:00,50,80,0.1\n",
     T,
     "2025-05-12T10:00:00Z",
     10},
    {"unit parted from the heading",
     "time=Date_Time, air_temperature=Temp F F",
     {{MAPPING_KEYS, ""}},
     HEAD "2025-05-12 05:00,50,80,0.1\n",
     T,
     "2025-05-12T10:00:00Z",
     10},
    {"unit in the heading",
     "time=Date_Time, air_temperature=Temp F",
     {{MAPPING_KEYS, ""}},
     HEAD "2025-05-12 05:00,50,80,0.1\n",
     T,
     "2025-05-12T10:00:00Z",
     10},
    {"the heading without unit first",
     "time=when, air_temperature=t C",
     {{MAPPING_KEYS, ""}},
     "when,t C,t\n2025-05-12 05:00,1,2\n",
     T,
     "2025-05-12T10:00:00Z",
     2},
    {"percent",
     "time=Date_Time, relative_humidity=RH %",
     {{MAPPING_KEYS, ""}},
     HEAD "2025-05-12 05:00,50,80,0.1\n",
     VAR_HUMIDITY,
     "2025-05-12T10:00:00Z",
     0.8},
    {"numbers, no heading",
     "time=1, air_temperature=2 C",
     {{MAPPING_KEYS, ""}},
     "2025-05-12 05:00,9.5\n",
     T,
     "2025-05-12T10:00:00Z",
     9.5},
    {"numbers, a heading",
     "time=1, air_temperature=2 C",
     {{MAPPING_KEYS, ""}},
     "when,t\n2025-05-12 05:00,9.5\n",
     T,
     "2025-05-12T10:00:00Z",
     9.5},
    {"text before the heading",
     "time=when, air_temperature=t C",
     {{MAPPING_KEYS, ""}},
     "# a logger's words, \"open\nserial 12\nwhen,t\n2025-05-12 05:00,9.5\n",
     T,
     "2025-05-12T10:00:00Z",
     9.5},
    {"date and clock",
     "date=day, clock=at, air_temperature=t C",
     {{MAPPING_KEYS, ""}},
     "day,at,t\n2025-05-12,05:00,9.5\n",
     T,
     "2025-05-12T10:00:00Z",
     9.5},
    {"semicolons and decimal commas",
     "time=when, air_temperature=t C",
     {{MAPPING_KEY_DECIMAL, "comma"}, {MAPPING_KEYS, ""}},
     "when;t\n2025-05-12 05:00;-9,5\n",
     T,
     "2025-05-12T10:00:00Z",
     -9.5},
    {"decimal commas in quotes",
     "time=when, air_temperature=t C",
     {{MAPPING_KEY_DECIMAL, "comma"}, {MAPPING_KEYS, ""}},
     "when,t\n2025-05-12 05:00,\"9,5\"\n",
     T,
     "2025-05-12T10:00:00Z",
     9.5},
    {"tabs",
     "time=when, air_temperature=t C",
     {{MAPPING_KEYS, ""}},
     "when\tt\n2025-05-12 05:00\t9.5\n",
     T,
     "2025-05-12T10:00:00Z",
     9.5},
    {"tabs, said",
     "time=1, air_temperature=2 C",
     {{MAPPING_KEY_DELIMITER, "tab"}, {MAPPING_KEYS, ""}},
     "2025-05-12 05:00\t9.5\n",
     T,
     "2025-05-12T10:00:00Z",
     9.5},
    {"mark, CRLF, no end",
     "time=when, air_temperature=t C",
     {{MAPPING_KEYS, ""}},
     "\xEF\xBB\xBFwhen,t\r\n2025-05-12 05:00,9.5",
     T,
     "2025-05-12T10:00:00Z",
     9.5},
    {"a delimiter at each end",
     "time=when, air_temperature=t C",
     {{MAPPING_KEYS, ""}},
     "when,t\n2025-05-12 05:00,9.5,\n",
     T,
     "2025-05-12T10:00:00Z",
     9.5},
    {"twelve-hour clock",
     "time=when, air_temperature=t C",
     {{MAPPING_KEY_TIME_FORMAT, "%m/%d/%Y %I:%M %p"}, {MAPPING_KEYS, ""}},
     "when,t\n5/12/2025 5:00 AM,9.5\n",
     T,
     "2025-05-12T10:00:00Z",
     9.5},
    {"seconds since 1970",
     "time=when, air_temperature=t C",
     {{MAPPING_KEYS, ""}},
     "when,t\n1747044000,9.5\n",
     T,
     "2025-05-12T10:00:00Z",
     9.5},
    {"negative seconds",
     "time=when, air_temperature=t C",
     {{MAPPING_KEYS, ""}},
     "when,t\n-7200,9.5\n",
     T,
     "1969-12-31T22:00:00Z",
     9.5},
    /* marks for no value; a later row without a value takes nothing away */
    {"empty",
     "time=when, air_temperature=t C",
     {{MAPPING_KEYS, ""}},
     "when,t\n2025-05-12 05:00,\n2025-05-12 06:00,1\n",
     T,
     "2025-05-12T10:00:00Z",
     NONE},
    {"NA",
     "time=when, air_temperature=t C",
     {{MAPPING_KEYS, ""}},
     "when,t\n2025-05-12 05:00,na\n2025-05-12 06:00,1\n",
     T,
     "2025-05-12T10:00:00Z",
     NONE},
    {"a mark that is said",
     "time=when, air_temperature=t C",
     {{MAPPING_KEY_MISSING, "-99.9, M"}, {MAPPING_KEYS, ""}},
     "when,t\n2025-05-12 05:00,-99.9\n2025-05-12 06:00,M\n2025-05-12 07:00,1\n",
     T,
     "2025-05-12T10:00:00Z",
     NONE},
    {"twice: the later",
     "time=when, air_temperature=t C",
     {{MAPPING_KEYS, ""}},
     "when,t\n2025-05-12 05:00,1\n2025-05-12 05:00,2\n",
     T,
     "2025-05-12T10:00:00Z",
     2},
    {"twice: the later has none",
     "time=when, air_temperature=t C",
     {{MAPPING_KEYS, ""}},
     "when,t\n2025-05-12 05:00,1\n2025-05-12 05:00,\n",
     T,
     "2025-05-12T10:00:00Z",
     1},
    /* states: the nearest row within ten minutes */
    {"before the hour",
     "time=when, air_temperature=t C",
     {{MAPPING_KEYS, ""}},
     "when,t\n2025-05-12 04:52,9.5\n",
     T,
     "2025-05-12T10:00:00Z",
     9.5},
    {"ten minutes",
     "time=when, air_temperature=t C",
     {{MAPPING_KEYS, ""}},
     "when,t\n2025-05-12 05:10,9.5\n",
     T,
     "2025-05-12T10:00:00Z",
     9.5},
    {"eleven minutes",
     "time=when, air_temperature=t C",
     {{MAPPING_KEYS, ""}},
     "when,t\n2025-05-12 05:11,9.5\n2025-05-12 06:00,1\n",
     T,
     "2025-05-12T10:00:00Z",
     NONE},
    {"nearest first",
     "time=when, air_temperature=t C",
     {{MAPPING_KEYS, ""}},
     "when,t\n2025-05-12 05:01,1\n2025-05-12 05:06,2\n",
     T,
     "2025-05-12T10:00:00Z",
     1},
    {"nearest last",
     "time=when, air_temperature=t C",
     {{MAPPING_KEYS, ""}},
     "when,t\n2025-05-12 04:55,1\n2025-05-12 05:01,2\n",
     T,
     "2025-05-12T10:00:00Z",
     2},
    /* fluxes: the hour that a row ends or begins */
    {"rain to the end",
     "time=when, precipitation_amount=r in",
     {{MAPPING_KEY_STAMP, "end"}, {MAPPING_KEYS, ""}},
     "when,r\n2025-05-12 05:00,1\n2025-05-12 06:00,2\n",
     RAIN,
     "2025-05-12T10:00:00Z",
     50.8},
    {"rain from the begin",
     "time=when, precipitation_amount=r in",
     {{MAPPING_KEY_STAMP, "begin"}, {MAPPING_KEYS, ""}},
     "when,r\n2025-05-12 05:00,1\n2025-05-12 06:00,2\n",
     RAIN,
     "2025-05-12T10:00:00Z",
     25.4},
    {"a state beside it stays",
     "time=when, precipitation_amount=r in, air_temperature=r C",
     {{MAPPING_KEY_STAMP, "end"}, {MAPPING_KEYS, ""}},
     "when,r\n2025-05-12 05:00,1\n2025-05-12 06:00,2\n",
     T,
     "2025-05-12T10:00:00Z",
     1},
    {"a trace of rain",
     "time=when, precipitation_amount=r in",
     {{MAPPING_KEY_STAMP, "begin"}, {MAPPING_KEYS, ""}},
     "when,r\n2025-05-12 05:00,T\n",
     RAIN,
     "2025-05-12T10:00:00Z",
     0},
    {"T where it is a mark",
     "time=when, precipitation_amount=r in",
     {{MAPPING_KEY_STAMP, "begin"}, {MAPPING_KEY_MISSING, "T"}, {MAPPING_KEYS, ""}},
     "when,r\n2025-05-12 05:00,T\n2025-05-12 06:00,1\n",
     RAIN,
     "2025-05-12T10:00:00Z",
     NONE},
    {"radiation of an hour",
     "time=when, surface_downwelling_shortwave_flux_in_air=s MJ/m2",
     {{MAPPING_KEY_STAMP, "begin"}, {MAPPING_KEYS, ""}},
     "when,s\n2025-05-12 12:00,3.6\n",
     VAR_SHORTWAVE,
     "2025-05-12T17:00:00Z",
     1000},
    {"four quarters to their ends",
     "time=when, precipitation_amount=r mm",
     {{MAPPING_KEY_STAMP, "end"}, {MAPPING_KEY_STEP, "15min"}, {MAPPING_KEYS, ""}},
     "when,r\n2025-05-12 05:00,100\n2025-05-12 05:15,1\n2025-05-12 05:30,2\n2025-05-12 05:45,4\n2025-05-12 06:00,8\n"
     "2025-05-12 06:15,50\n",
     RAIN,
     "2025-05-12T10:00:00Z",
     15},
    {"four quarters from their begins, a second late",
     "time=when, precipitation_amount=r mm",
     {{MAPPING_KEY_STAMP, "begin"}, {MAPPING_KEY_STEP, "15min"}, {MAPPING_KEYS, ""}},
     "when,r\n2025-05-12 05:00:01,1\n2025-05-12 05:15:01,2\n2025-05-12 05:30:01,4\n2025-05-12 05:44:59,8\n"
     "2025-05-12 06:00:01,50\n",
     RAIN,
     "2025-05-12T10:00:00Z",
     15},
    {"a quarter is missing",
     "time=when, precipitation_amount=r mm, air_temperature=r C",
     {{MAPPING_KEY_STAMP, "begin"}, {MAPPING_KEY_STEP, "15min"}, {MAPPING_KEYS, ""}},
     "when,r\n2025-05-12 05:00,1\n2025-05-12 05:15,2\n2025-05-12 05:30,\n2025-05-12 05:45,8\n",
     RAIN,
     "2025-05-12T10:00:00Z",
     NONE},
    {"a quarter is there twice",
     "time=when, precipitation_amount=r mm, air_temperature=r C",
     {{MAPPING_KEY_STAMP, "begin"}, {MAPPING_KEY_STEP, "15min"}, {MAPPING_KEYS, ""}},
     "when,r\n2025-05-12 05:00,1\n2025-05-12 05:15,2\n2025-05-12 05:15,2\n2025-05-12 05:30,4\n2025-05-12 05:45,8\n",
     RAIN,
     "2025-05-12T10:00:00Z",
     NONE},
    {"radiation of half hours is their mean",
     "time=when, surface_downwelling_shortwave_flux_in_air=s W/m2",
     {{MAPPING_KEY_STAMP, "begin"}, {MAPPING_KEY_STEP, "30 min"}, {MAPPING_KEYS, ""}},
     "when,s\n2025-05-12 12:00,300\n2025-05-12 12:30,500\n",
     VAR_SHORTWAVE,
     "2025-05-12T17:00:00Z",
     400},
    /* the second 01:00 of the night in autumn */
    {"clocks go back",
     "time=when, air_temperature=t C",
     {{MAPPING_KEYS, ""}},
     "when,t\n2024-11-03 00:00,1\n2024-11-03 01:00,2\n2024-11-03 01:00,3\n2024-11-03 02:00,4\n",
     T,
     "2024-11-03T07:00:00Z",
     3},
    {"newest first",
     "time=when, air_temperature=t C",
     {{MAPPING_KEYS, ""}},
     "when,t\n2024-11-03 02:00,4\n2024-11-03 01:00,3\n2024-11-03 01:00,2\n2024-11-03 00:00,1\n",
     T,
     "2024-11-03T07:00:00Z",
     3},
    {"out of range",
     "time=when, air_temperature=t C",
     {{MAPPING_KEYS, ""}},
     "when,t\n2025-05-12 05:00,61\n2025-05-12 06:00,60\n",
     T,
     "2025-05-12T10:00:00Z",
     NONE},
};

static void read_row(const struct row *row)
{
	stationbed_set(&bed, MAPPING_KEY_COLUMNS, row->columns);
	for (size_t i = 0; i < OPTIONS_N && row->set[i].key != MAPPING_KEYS; i++)
		stationbed_set(&bed, row->set[i].key, row->set[i].value);
	stationbed_read_text(&bed, row->text);
}

START_TEST(test_hour)
{
	const struct row *row = &ROWS[_i];
	read_row(row);
	ROW_MSG(bed.code == FAULT_NONE, "%s: %s", row->name, bed.f.text);
	double got = stationbed_hour(&bed, row->v, row->hour);
	if (isnan(row->want))
		ROW_TRUE(row->name, isnan(got));
	else
		ROW_NEAR(row->name, got, row->want, 1e-9);
}
END_TEST

/* ---- Counts and lists ---- */

START_TEST(test_counts)
{
	const struct tally *t = &bed.file.tally;
	stationbed_set(&bed, MAPPING_KEY_COLUMNS, "time=when, air_temperature=t C");
	stationbed_read_text(&bed, "when,t\n"
				   "2025-05-12 05:00,1\n"
				   "2025-05-12 05:20,2\n"   /* between */
				   "2025-05-12 06:00,\n"    /* missing */
				   "2025-05-12 05:00,3\n"   /* twice */
				   "2025-05-12 05:04,3\n"   /* another is nearer */
				   "2025-05-12 07:00,99\n"  /* out of range */
				   "2025-05-12 08:00,x\n"   /* bad */
				   "2025-03-09 02:00,1\n"   /* does not exist */
				   "2025-05-12 08:00\n"     /* cut off */
				   "2025-05-12 08:00,1,2\n" /* too long */
				   "2031-01-01 00:00,1\n"   /* to come */
				   "2025-05-12 09:00,1\n2025-05-12 10:00,1\n2025-05-12 11:00,1\n");
	ck_assert_msg(bed.code == FAULT_NONE, "%s", bed.f.text);
	ck_assert_uint_eq(t->rows, 14);
	ck_assert_uint_eq(t->values, 4);
	ck_assert_uint_eq(t->between, 2);
	ck_assert_uint_eq(t->missing, 1);
	ck_assert_uint_eq(t->duplicates, 1);
	ck_assert_uint_eq(t->out_of_range, 1);
	ck_assert_uint_eq(t->bad, 5);
	static const char *const bad[] = {
	    "f.csv:8: air_temperature: \"x\" is no number; a mark for \"no value\" is told by --missing",
	    "f.csv:9: the clocks of America/Chicago skipped 2025-03-09 02:00; is the file in local standard time? a "
	    "zone "
	    "as -05:00 is right then",
	    "f.csv:10: fields: 1 in place of 2",
	    "f.csv:11: fields: 3 in place of 2",
	    "f.csv:12: \"2031-01-01 00:00\" is still to come; a past time is right",
	};
	for (size_t i = 0; i < 5; i++)
		ck_assert_str_eq(t->bad_lines.at[i].text, bad[i]);
	ck_assert_uint_eq(t->odd_lines.n, 2);
	ck_assert_str_eq(t->odd_lines.at[0].text,
			 "f.csv:5: 2025-05-12 05:00: this hour is there twice; this row counts");
	ck_assert_str_eq(t->odd_lines.at[1].text,
			 "f.csv:7: air_temperature of 99 C is not between -90 and 60; it is left out");
}
END_TEST

START_TEST(test_doubled)
{
	stationbed_set(&bed, MAPPING_KEY_COLUMNS, "time=when, air_temperature=t C");
	stationbed_read_text(&bed, "when,t\n2024-11-03 01:00,2\n2024-11-03 01:00,3\n2024-11-03 02:00,4\n");
	ck_assert_uint_eq(bed.file.tally.doubled, 2);
	ck_assert_uint_eq(bed.file.tally.duplicates, 0);
	ck_assert(bed.file.clock);
}
END_TEST

/* Only the first of many are listed; all are counted. */
START_TEST(test_lists_end)
{
	static char text[16384];
	size_t n = (size_t)snprintf(text, sizeof text, "when,t\n");
	for (int i = 0; i < 200; i++)
		n += (size_t)snprintf(text + n, sizeof text - n, "2025-05-12 05:00,%s\n", i % 2 == 0 ? "x" : "1");
	stationbed_set(&bed, MAPPING_KEY_COLUMNS, "time=when, air_temperature=t C");
	stationbed_read(&bed, text, n);
	ck_assert_int_eq(bed.code, FAULT_NONE);
	ck_assert_uint_eq(bed.file.tally.bad, 100);
	ck_assert_uint_eq(bed.file.tally.bad_lines.n, 20);
	ck_assert_uint_eq(bed.file.tally.bad_lines.more, 80);
	ck_assert_uint_eq(bed.file.tally.duplicates, 99);
	ck_assert_uint_eq(bed.file.tally.odd_lines.n, 5);
}
END_TEST

/* ---- Days ---- */

START_TEST(test_days)
{
	stationbed_set(&bed, MAPPING_KEY_COLUMNS, "date=Day, low=Lo F, high=Hi F, rain=Rain in");
	stationbed_set(&bed, MAPPING_KEY_OBSERVED, "07:00");
	stationbed_set(&bed, MAPPING_KEY_STATION, "back field");
	stationbed_read_text(&bed, "Day,Hi,Lo,Rain\n2025-05-12,68,41,0.5\n20250513,50,59,\n2025-05-14,,32,\"1\"\n");
	ck_assert_msg(bed.code == FAULT_NONE, "%s", bed.f.text);
	struct station_day d = stationbed_day(&bed, "back field", "2025-05-12");
	ck_assert_double_eq_tol(d.tmin_c, 5, 1e-9);
	ck_assert_double_eq_tol(d.tmax_c, 20, 1e-9);
	ck_assert_double_eq_tol(d.rain_mm, 12.7, 1e-9);
	ck_assert_int_eq(d.observed_hhmm, 700);
	d = stationbed_day(&bed, "back field", "2025-05-14");
	ck_assert_double_eq_tol(d.tmin_c, 0, 1e-9);
	ck_assert(isnan(d.tmax_c));
	ck_assert_double_eq_tol(d.rain_mm, 25.4, 1e-9);
	ck_assert(isnan(stationbed_day(&bed, "back field", "2025-05-13").tmin_c));
	ck_assert_uint_eq(bed.file.tally.crossed, 1);
}
END_TEST

/* Without a name the file's is the station's. */
START_TEST(test_station_name)
{
	stationbed_set(&bed, MAPPING_KEY_COLUMNS, "date=1, low=2 C");
	stationbed_read_text(&bed, "2025-05-12,4\n");
	ck_assert_double_eq_tol(stationbed_day(&bed, "f", "2025-05-12").tmin_c, 4, 1e-9);
}
END_TEST

/* ---- Refused as a whole ---- */

static const struct refuse_row {
	const char *name, *columns, *stamp, *text;
	enum fault_code code;
	const char *why;
} REFUSED[] = {
    {"empty", "time=when, air_temperature=t C", NULL, "", FAULT_DATA, "there is no row in it"},
    {"heading alone", "time=when, air_temperature=t C", NULL, "when,t\n", FAULT_DATA, "there is no row in it"},
    {"no such column", "time=when, air_temperature=temp C", NULL, "when,Temp\n2025-05-12 05:00,1\n", FAULT_CONFIG,
     "line 1 has no column \"temp\"; did you mean \"Temp\"?"},
    {"nothing like it", "time=when, air_temperature=roof C", NULL, "when,t\n2025-05-12 05:00,1\n", FAULT_CONFIG,
     "no line has a column \"roof\"; its heading as it stands there, or its number from 1, is right"},
    {"number too high", "time=1, air_temperature=7 C", NULL, "2025-05-12 05:00,1\n", FAULT_CONFIG,
     "no line has a column \"7\"; its heading as it stands there, or its number from 1, is right"},
    {"times of no known form", "time=when, air_temperature=t C", NULL, "when,t\n5/12/2025 5:00,1\n", FAULT_DATA,
     "1 of 1 lines cannot be used, more than half; nothing is stored"},
    {"quarters of an hour with rain", "time=when, precipitation_amount=r mm", "end",
     "when,r\n2025-05-12 05:00,1\n2025-05-12 05:15,1\n2025-05-12 05:30,1\n2025-05-12 05:45,1\n", FAULT_DATA,
     "its rows are less than an hour apart, so that precipitation_amount of a row is not the hour's; --step with their "
     "distance, as 15min, adds it up"},
    {"rain without a stamp", "time=when, precipitation_amount=r mm", NULL, "when,r\n2025-05-12 05:00,1\n", FAULT_CONFIG,
     "precipitation_amount is of a whole hour: which one does a row's time mark, its begin or its end? stamp end (most "
     "loggers) or begin is right"},
    {"hours and days", "time=when, low=t C", NULL, "when,t\n", FAULT_CONFIG,
     "columns: none that can be used; low, high or rain are right with a date alone, variables of hours with a time"},
    {"no time", "air_temperature=t C", NULL, "when,t\n", FAULT_CONFIG,
     "columns: none for the time; time=NAME (hours), date=NAME with clock=NAME (hours) or date=NAME (days) is right"},
    {"time and date", "time=a, date=b, air_temperature=t C", NULL, "a,b,t\n", FAULT_CONFIG,
     "columns: time beside date or clock; one of the two ways is right"},
};

START_TEST(test_refused)
{
	const struct refuse_row *row = &REFUSED[_i];
	stationbed_set(&bed, MAPPING_KEY_COLUMNS, row->columns);
	if (row->stamp != NULL)
		stationbed_set(&bed, MAPPING_KEY_STAMP, row->stamp);
	stationbed_read_text(&bed, row->text);
	ROW_INT(row->name, bed.code, row->code);
	ROW_STR(row->name, bed.f.text + strlen("f.csv: "), row->why);
}
END_TEST

/* Whichever allocation fails, it is said, and nothing leaks. */
START_TEST(test_memory)
{
	static const char days[] = "USC00000001,20190101,TMIN,140,,,S,\nUSC00000002,20200101,TMIN,140,,,S,\n";
	static const char hours[] = "when,t\n2025-05-12 05:00,1\n2023-05-12 05:00,1\n";
	for (int way = 0; way < 2; way++) {
		enum fault_code code = FAULT_MEMORY;
		if (way == 1)
			stationbed_set(&bed, MAPPING_KEY_COLUMNS, "time=when, air_temperature=t C");
		for (long n = 0; code != FAULT_NONE; n++) {
			struct linefile l;
			struct stationfile out = {0};
			struct fault f = {0};
			struct stationfile_job job = {
			    .file = "f", .how = &bed.how, .zone = &bed.zone, .now = STATIONBED_NOW};
			mem_fail_after(n, false);
			code = linefile_over(&l, way ? hours : days, way ? sizeof hours - 1 : sizeof days - 1, &f);
			if (code == FAULT_NONE)
				code = stationfile_lines(&job, &l, &out, &f);
			bool refused = mem_refused() > 0;
			mem_fail_after(-1, false);
			ROW_MSG(code == (refused ? FAULT_MEMORY : FAULT_NONE), "way %d, allocation %ld: %s", way, n,
				f.text);
			stationfile_free(&out);
			linefile_close(&l);
		}
	}
}
END_TEST

/* Rows in any order give the same hours. */
START_TEST(test_any_order)
{
	enum { N = 400 };
	static char text[N * 32], mixed[N * 32];
	size_t n = (size_t)snprintf(text, sizeof text, "when,t\n"), m = n;
	memcpy(mixed, text, n);
	for (int i = 0; i < N; i++) {
		int k = i * 149 % N; /* prime to N */
		n += (size_t)snprintf(text + n, sizeof text - n, "%d,%d\n", i * HOUR_S, i % 50);
		m += (size_t)snprintf(mixed + m, sizeof mixed - m, "%d,%d\n", k * HOUR_S, k % 50);
	}
	stationbed_set(&bed, MAPPING_KEY_COLUMNS, "time=when, air_temperature=t C");
	for (int turn = 0; turn < 2; turn++) {
		stationbed_read(&bed, turn ? mixed : text, turn ? m : n);
		int64_t at = stationhours_begin(), hour;
		for (int i = 0; i < N; i++) {
			ROW_MSG(stationhours_next(&bed.file.hours, &at, &hour) && hour == i * (int64_t)HOUR_S,
				"hour %d", i);
			ROW_MSG(*stationhours_cell(&bed.file.hours, hour, 0) == i % 50, "hour %d", i);
		}
		ck_assert(!stationhours_next(&bed.file.hours, &at, &hour));
		ck_assert_uint_eq(bed.file.tally.values, N);
	}
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("source/stationcsv");
	TCase *t = tcase_create("stationcsv");
	tcase_add_checked_fixture(t, setup, teardown);
	tcase_add_loop_test(t, test_hour, 0, sizeof ROWS / sizeof ROWS[0]);
	tcase_add_test(t, test_counts);
	tcase_add_test(t, test_doubled);
	tcase_add_test(t, test_lists_end);
	tcase_add_test(t, test_days);
	tcase_add_test(t, test_station_name);
	tcase_add_loop_test(t, test_refused, 0, sizeof REFUSED / sizeof REFUSED[0]);
	tcase_add_test(t, test_any_order);
	tcase_add_test(t, test_memory);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
