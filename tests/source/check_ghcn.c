/*
 * GHCN-Daily.  The form of its lines: readme of GHCN-Daily 3.00 (NOAA NCEI),
 * section III; of its by-station files: their readme.  Files under
 * fixtures/station are of stations that do not exist, values invented; only
 * published.dly has the minima of a public data set (Seattle, February 2015, as
 * in vega-datasets, from NOAA), its flags invented.
 */
#include <stdio.h>
#include <string.h>

#include "lib/harness.h"
#include "lib/stationbed.h"
#include "source/ghcn.h"

static struct stationbed bed;

static void setup(void)
{
	stationbed_init(&bed);
}

static void teardown(void)
{
	stationbed_free(&bed);
}

/* ---- The id ---- */

static const struct id_row {
	const char *id;
	bool is;
} IDS[] = {
    {"USW00024233", true},  {"AE000041196", true},
    {"US1COCNA001", true}, /* readme: 0, 1, C, E, M, N, R, S, W */
    {"USC00000001", true},  {"EZE00100082", true},
    {"CAM00000001", true},  {"CAN00000001", true},
    {"USR0000CAJO", true},  {"USS0000000A", true},
    {"USW0002423", false},  {"USW000242330", false},
    {"usw00024233", false}, {"1SW00024233", false},
    {"USX00024233", false}, {"USW0002423 ", false},
    {"USW-0024233", false}, {"", false},
};

START_TEST(test_id)
{
	const struct id_row *row = &IDS[_i];
	ROW_MSG(ghcn_id(row->id, strlen(row->id)) == row->is, "\"%s\"", row->id);
}
END_TEST

/* ---- The published line ---- */

START_TEST(test_published)
{
	/* Tenths of the line; mean 6.0857 (figured beside the line it is from). */
	static const int want[28] = {44, 50, 56, 44, 83, 100, 94, 83, 83, 83, 56, 94, 67, 67,
				     39, 56, 44, 44, 83, 72,  56, 33, 6,  22, 67, 78, 67, 33};
	double sum = 0;
	char day[32];
	stationbed_read_path(&bed, "fixtures/station/published.dly");
	ck_assert_msg(bed.code == FAULT_NONE, "%s", bed.f.text);
	for (int d = 1; d <= 28; d++) {
		(void)snprintf(day, sizeof day, "2015-02-%02d", d);
		double x = stationbed_day(&bed, "USW00024233", day).tmin_c;
		ROW_NEAR(day, x, want[d - 1] / 10.0, 1e-12);
		sum += x;
	}
	ck_assert_double_eq_tol(sum / 28, 6.0857, 5e-5);
	ck_assert_uint_eq(bed.file.tally.values, 28);
	ck_assert_uint_eq(bed.file.tally.missing, 0);
	ck_assert(isnan(stationbed_day(&bed, "USW00024233", "2015-03-01").tmin_c));
	ck_assert(isnan(stationbed_day(&bed, "USW00024233", "2015-02-01").tmax_c));
}
END_TEST

/* ---- Values and flags, in every layout ---- */

#define NONE    (double)NAN
#define UNKNOWN -1

static const struct day_row {
	const char *file, *station, *date;
	double low, high, rain;
	int observed;
	const char *why;
} DAYS[] = {
    {"flags.dly", "USW00000000", "2015-02-01", -6.1, 2.2, 0, UNKNOWN, "plain"},
    {"flags.dly", "USW00000000", "2015-02-03", -1.2, 7.1, 0, UNKNOWN, "trace of rain is 0"},
    {"flags.dly", "USW00000000", "2015-02-04", 0, 8.3, NONE, UNKNOWN, "presumed zero is missing"},
    {"flags.dly", "USW00000000", "2015-02-05", NONE, 8.9, 0, UNKNOWN, "low failed I"},
    {"flags.dly", "USW00000000", "2015-02-07", 2.8, 11.1, 12.4, UNKNOWN, "rain in tenths"},
    {"flags.dly", "USW00000000", "2015-02-08", 3.3, 11.6, 3.3, UNKNOWN, "two totals of 12 h are taken"},
    {"flags.dly", "USW00000000", "2015-02-09", NONE, 10.5, 0, UNKNOWN, "low failed X"},
    {"flags.dly", "USW00000000", "2015-02-12", -2.2, NONE, 0, UNKNOWN, "high lagged"},
    {"flags.dly", "USW00000000", "2015-02-16", NONE, NONE, NONE, UNKNOWN, "all missing"},
    {"flags.dly", "USW00000000", "2015-02-18", NONE, NONE, 0, UNKNOWN, "low over high"},
    {"flags.dly", "USW00000000", "2015-02-20", -3.3, 5.0, 0, UNKNOWN, "lowest of the hours is taken"},
    {"flags.dly", "USW00000000", "2015-02-21", -1.1, 7.2, NONE, UNKNOWN, "a failed trace"},
    {"flags.dly", "USW00000000", "2015-03-31", 7.0, NONE, NONE, UNKNOWN, "day 31"},
    {"trimmed.dly", "USW00000000", "2015-02-28", 3.3, NONE, NONE, UNKNOWN, "flags trimmed"},
    {"trimmed.dly", "USW00000000", "2015-03-31", 2.0, NONE, NONE, UNKNOWN, "all its flags trimmed"},
    {"long.csv", "USC00000001", "2019-01-01", 14.0, 23.3, NONE, UNKNOWN, "the readme's line: 14.0 C"},
    {"long.csv", "USC00000001", "2019-01-02", -0.6, 5.0, 1.3, 700, "the thermometer's hour, not the gauge's"},
    {"long.csv", "USC00000001", "2019-01-03", NONE, NONE, 0, 800, "missing low, trace"},
    {"long.csv", "USC00000001", "2019-01-04", 2.4, NONE, NONE, 2400, "failed, then twice: the later"},
    {"long.csv", "USC00000001", "2019-01-05", NONE, NONE, NONE, UNKNOWN, "presumed zero"},
    {"long.csv", "USC00000001", "2019-01-06", NONE, NONE, NONE, UNKNOWN, "out of range"},
    {"long-headed.csv", "USC00000001", "2019-01-01", 14.0, 23.3, NONE, UNKNOWN, "headed, CRLF"},
    {"long-headed.csv", "USC00000001", "2019-01-04", 2.4, NONE, NONE, 2400, "headed, CRLF"},
    {"wide.csv", "USC00000001", "2019-01-01", 14.0, 23.3, 0, 700, "trace, hour of the gauge"},
    {"wide.csv", "USC00000001", "2019-01-02", -0.6, 5.0, 1.3, 700, "plain"},
    {"wide.csv", "USC00000001", "2019-01-03", -1.7, NONE, NONE, UNKNOWN, "presumed zero, high failed"},
    {"wide.csv", "USC00000001", "2019-01-06", NONE, 7.2, NONE, UNKNOWN, "empty, lagged"},
};

static void same(const char *why, double got, double want)
{
	if (isnan(want))
		ROW_TRUE(why, isnan(got));
	else
		ROW_NEAR(why, got, want, 1e-12);
}

START_TEST(test_day)
{
	const struct day_row *row = &DAYS[_i];
	char path[64];
	(void)snprintf(path, sizeof path, "fixtures/station/%s", row->file);
	stationbed_read_path(&bed, path);
	ROW_MSG(bed.code == FAULT_NONE, "%s: %s", row->file, bed.f.text);
	struct station_day d = stationbed_day(&bed, row->station, row->date);
	same(row->why, d.tmin_c, row->low);
	same(row->why, d.tmax_c, row->high);
	same(row->why, d.rain_mm, row->rain);
	ROW_INT(row->why, d.observed_hhmm, row->observed);
}
END_TEST

START_TEST(test_counts)
{
	const struct tally *t = &bed.file.tally;
	stationbed_read_path(&bed, "fixtures/station/flags.dly");
	ck_assert_uint_eq(t->rows, 5);
	ck_assert_uint_eq(t->bad, 0);
	/* 28 days each but the 16th; of March the first three.  Two lows and a trace failed. */
	ck_assert_uint_eq(t->missing, 3 + 3);
	ck_assert_uint_eq(t->quality['I' - 'A'], 1);
	ck_assert_uint_eq(t->quality['X' - 'A'], 1);
	ck_assert_uint_eq(t->quality['D' - 'A'], 1);
	ck_assert_uint_eq(t->presumed, 1);
	ck_assert_uint_eq(t->lagged, 1);
	ck_assert_uint_eq(t->trace, 1);
	ck_assert_uint_eq(t->crossed, 1);
	ck_assert_uint_eq(t->unused, 5);
	ck_assert_uint_eq(t->values, (27 - 1) + (27 - 2) + (27 - 2) + 28 - 2);
	ck_assert_uint_eq(t->odd_lines.n, 1);

	stationbed_read_path(&bed, "fixtures/station/long.csv");
	ck_assert_uint_eq(t->rows, 13);
	ck_assert_uint_eq(t->duplicates, 1);
	ck_assert_uint_eq(t->out_of_range, 1);
	ck_assert_uint_eq(t->unused, 1);
	ck_assert_uint_eq(t->values, 7);
	ck_assert_uint_eq(t->odd_lines.n, 2);
	ck_assert_ptr_nonnull(strstr(t->odd_lines.at[0].text, "long.csv:10: 2019-01-04 low is there twice"));
}
END_TEST

START_TEST(test_place)
{
	stationbed_read_path(&bed, "fixtures/station/wide.csv");
	const struct station_series *s = &bed.file.days.series[0];
	ck_assert(s->placed);
	ck_assert_double_eq_tol(s->latitude_deg, 44.4, 1e-12);
	ck_assert_double_eq_tol(s->longitude_deg, -89.7, 1e-12);
	ck_assert_double_eq_tol(s->elevation_m, 371.2, 1e-12);
	/* -999.9 is a height that is not known. */
	stationbed_read_text(&bed, "STATION,DATE,LATITUDE,LONGITUDE,ELEVATION,TMIN,TMIN_ATTRIBUTES\n"
				   "USC00000001,2019-01-01,1,2,-999.9,10,\",,7\"\n");
	ck_assert_int_eq(bed.code, FAULT_NONE);
	ck_assert(isnan(bed.file.days.series[0].elevation_m));
	stationbed_read_path(&bed, "fixtures/station/long.csv");
	ck_assert(!bed.file.days.series[0].placed);
}
END_TEST

START_TEST(test_observed_is_told)
{
	stationbed_set(&bed, MAPPING_KEY_OBSERVED, "08:30");
	stationbed_read_path(&bed, "fixtures/station/flags.dly");
	ck_assert_int_eq(stationbed_day(&bed, "USW00000000", "2015-02-01").observed_hhmm, 830);
	/* What the file says counts. */
	stationbed_read_path(&bed, "fixtures/station/long.csv");
	ck_assert_int_eq(stationbed_day(&bed, "USC00000001", "2019-01-01").observed_hhmm, 830);
	ck_assert_int_eq(stationbed_day(&bed, "USC00000001", "2019-01-02").observed_hhmm, 700);
}
END_TEST

/* ---- Several stations ---- */

START_TEST(test_stations)
{
	static const char two[] = "USC00000001,20190101,TMIN,140,,,S,\n"
				  "USC00000002,20190101,TMIN,150,,,S,\n";
	stationbed_read_text(&bed, two);
	ck_assert_uint_eq(bed.file.days.n, 2);
	ck_assert_double_eq_tol(stationbed_day(&bed, "USC00000002", "2019-01-01").tmin_c, 15, 1e-12);
	stationbed_set(&bed, MAPPING_KEY_STATION, "USC00000002");
	stationbed_read_text(&bed, two);
	ck_assert_uint_eq(bed.file.days.n, 1);
	ck_assert_uint_eq(bed.file.tally.others, 1);
	ck_assert_double_eq_tol(stationbed_day(&bed, "USC00000002", "2019-01-01").tmin_c, 15, 1e-12);
	stationbed_set(&bed, MAPPING_KEY_STATION, "USC00000003");
	stationbed_read_text(&bed, two);
	ck_assert_int_eq(bed.code, FAULT_DATA);
	ck_assert_str_eq(bed.f.text, "f.csv: no value of station \"USC00000003\" in 2 lines; nothing is stored");
}
END_TEST

START_TEST(test_too_many_stations)
{
	static char bytes[(STATIONDAYS_MAX + 1) * 64];
	size_t n = 0;
	for (int i = 0; i < STATIONDAYS_MAX; i++)
		n += (size_t)snprintf(bytes + n, sizeof bytes - n, "USC%08d,20190101,TMIN,140,,,S,\n", i);
	stationbed_read(&bed, bytes, n);
	ck_assert_int_eq(bed.code, FAULT_NONE);
	n += (size_t)snprintf(bytes + n, sizeof bytes - n, "USC%08d,20190101,TMIN,140,,,S,\n", STATIONDAYS_MAX);
	stationbed_read(&bed, bytes, n);
	ck_assert_int_eq(bed.code, FAULT_USAGE);
	ck_assert_str_eq(bed.f.text, "f.csv: more than 64 stations in one file; --station ID takes one of them");
}
END_TEST

/* ---- Lines that cannot be used ---- */

#define GOOD "USC00000001,20190101,TMIN,140,,,S,\nUSC00000001,20190102,TMIN,140,,,S,\n"

static const struct bad_row {
	const char *name, *line, *text;
} BAD[] = {
    {"few fields", "USC00000001,20190103,TMIN,140,,", "6 fields; 8 are right: ID,YYYYMMDD,ELEMENT,VALUE,M,Q,S,HHMM"},
    {"many fields", "USC00000001,20190103,TMIN,140,,,S,0700,1",
     "9 fields; 8 are right: ID,YYYYMMDD,ELEMENT,VALUE,M,Q,S,HHMM"},
    {"id", "USC0000001,20190103,TMIN,140,,,S,",
     "\"USC0000001\" is no station; two letters, a network's sign and eight more, as USW00000000, is right"},
    {"no day", "USC00000001,20190229,TMIN,140,,,S,", "there is no day \"20190229\"; 20150228 is right"},
    {"old", "USC00000001,16991231,TMIN,140,,,S,", "1699-12-31 is no day of a station; 1700 to 2199 is right"},
    {"value", "USC00000001,20190103,TMIN,14.0,,,S,", "\"14.0\" is no whole number of tenths; 140 is right for 14.0"},
    {"flag", "USC00000001,20190103,TMIN,140,,XX,S,", "\"XX\" is no flag; one letter is right"},
    {"hour", "USC00000001,20190103,TMIN,140,,,S,0760", "\"0760\" is no time of observation; 0700 is right"},
    {"late hour", "USC00000001,20190103,TMIN,140,,,S,2401", "\"2401\" is no time of observation; 0700 is right"},
    {"quote", "USC00000001,20190103,TMIN,\"140,,,S,", "a quote does not end on its line; \"...\" is right"},
};

START_TEST(test_bad)
{
	const struct bad_row *row = &BAD[_i];
	char text[512], want[FAULT_TEXT_SIZE];
	(void)snprintf(text, sizeof text, GOOD "%s\n", row->line);
	(void)snprintf(want, sizeof want, "f.csv:3: %s", row->text);
	stationbed_read_text(&bed, text);
	ROW_MSG(bed.code == FAULT_NONE, "%s: %s", row->name, bed.f.text);
	ROW_INT(row->name, bed.file.tally.bad, 1);
	ROW_INT(row->name, bed.file.tally.values, 2);
	ROW_STR(row->name, bed.file.tally.bad_lines.at[0].text, want);
}
END_TEST

START_TEST(test_bad_dly)
{
	static const char *const want[] = {
	    "7: 100 characters; a line of a .dly file has 269",
	    "8: \"US-00000000\" is no station; two letters, a network's sign and eight more, as USW00000000, is right",
	    "9: \"201513\" is no month; 201502 is right",
	    "10: day 1: \"  x.1\" is no whole number; -9999 is right where none was measured",
	    "11: day 31 of that month has a value; -9999 is right for days that are not",
	};
	stationbed_read_path(&bed, "fixtures/station/bad.dly");
	ck_assert_int_eq(bed.code, FAULT_NONE);
	ck_assert_uint_eq(bed.file.tally.bad, 5);
	for (size_t i = 0; i < 5; i++)
		ck_assert_str_eq(bed.file.tally.bad_lines.at[i].text + strlen("fixtures/station/bad.dly:"), want[i]);
	/* Nothing of a line that is bad at its end is kept. */
	ck_assert(isnan(stationbed_day(&bed, "USW00000000", "2015-02-07").rain_mm));
}
END_TEST

/* ---- What is not GHCN-Daily ---- */

static const struct refuse_row {
	const char *name, *bytes;
	size_t n;
	enum fault_code code;
	const char *text;
} REFUSED[] = {
#define BYTES(s) s, sizeof(s) - 1
    {"empty", BYTES(""), FAULT_DATA, "there is no row in it"},
    {"blank lines", BYTES("\n\r\n  \n"), FAULT_DATA, "there is no row in it"},
    {"heading alone", BYTES("ID,DATE,ELEMENT,DATA_VALUE,M_FLAG,Q_FLAG,S_FLAG,OBS_TIME\n"), FAULT_DATA,
     "there is no row in it"},
    {"another CSV", BYTES("day,temp\n2019-01-01,4\n"), FAULT_DATA,
     "is not GHCN-Daily; of another CSV --columns \"time=Date_Time, air_temperature=Temp F\" or --mapping FILE says "
     "what its columns are"},
    {"gzip", BYTES("\x1F\x8B\x08 and more"), FAULT_DATA, "is compressed (gzip); unpack it first"},
    {"UTF-16", BYTES("\xFF\xFEI\0D\0,\0\n\0"), FAULT_DATA, "is UTF-16; save it as UTF-8"},
    {"more bad than good", BYTES(GOOD "x\ny\nz\n"), FAULT_DATA,
     "3 of 5 lines cannot be used, more than half; nothing is stored"},
    {"all missing", BYTES("USC00000001,20190101,TMIN,-9999,,,S,\n"), FAULT_DATA,
     "no value in 1 lines can be used; nothing is stored"},
    {"no attributes", BYTES("STATION,DATE,TMIN\nUSC00000001,2019-01-01,33\n"), FAULT_CONFIG,
     "the heading has TMIN without TMIN_ATTRIBUTES, so its values may not be tenths of a degree; --columns says what "
     "they are"},
};

START_TEST(test_refused)
{
	const struct refuse_row *row = &REFUSED[_i];
	stationbed_read(&bed, row->bytes, row->n);
	ROW_INT(row->name, bed.code, row->code);
	ROW_STR(row->name, bed.f.text + strlen("f.csv: "), row->text);
}
END_TEST

/* As many bad as good is not yet too much; a heading may be long and its first row bad. */
START_TEST(test_half)
{
	stationbed_read_text(&bed, GOOD "x\ny\n");
	ck_assert_int_eq(bed.code, FAULT_NONE);
	ck_assert_uint_eq(bed.file.tally.bad, 2);
	stationbed_read_text(&bed, "cut off\n" GOOD "x\n");
	ck_assert_int_eq(bed.code, FAULT_NONE);
	ck_assert_uint_eq(bed.file.tally.rows, 4);
}
END_TEST

/* A file cut anywhere is read or refused, and what is kept of its lines is right. */
START_TEST(test_cut)
{
	static char bytes[8192];
	FILE *in = fopen("fixtures/station/flags.dly", "rb");
	ck_assert_ptr_nonnull(in);
	size_t n = fread(bytes, 1, sizeof bytes, in);
	fclose(in);
	ck_assert_uint_eq(n, 5 * 270);
	for (size_t cut = 1; cut <= n; cut += 7) {
		stationbed_read(&bed, bytes, cut);
		size_t whole = cut / 270, rest = cut % 270;
		/* 266 bytes of a line have all its values. */
		whole += rest >= 266;
		size_t bad = rest > 0 && rest < 266;
		ROW_MSG(whole < bad || bed.code == FAULT_NONE, "cut at %zu: %s", cut, bed.f.text);
		ROW_MSG(bed.file.tally.bad == bad, "cut at %zu", cut);
		ROW_MSG(bed.file.tally.rows == whole + bad, "cut at %zu", cut);
	}
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("source/ghcn");
	TCase *t = tcase_create("ghcn");
	tcase_add_checked_fixture(t, setup, teardown);
	tcase_add_loop_test(t, test_id, 0, sizeof IDS / sizeof IDS[0]);
	tcase_add_test(t, test_published);
	tcase_add_loop_test(t, test_day, 0, sizeof DAYS / sizeof DAYS[0]);
	tcase_add_test(t, test_counts);
	tcase_add_test(t, test_place);
	tcase_add_test(t, test_observed_is_told);
	tcase_add_test(t, test_stations);
	tcase_add_test(t, test_too_many_stations);
	tcase_add_loop_test(t, test_bad, 0, sizeof BAD / sizeof BAD[0]);
	tcase_add_test(t, test_bad_dly);
	tcase_add_loop_test(t, test_refused, 0, sizeof REFUSED / sizeof REFUSED[0]);
	tcase_add_test(t, test_half);
	tcase_add_test(t, test_cut);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
