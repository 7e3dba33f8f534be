#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/instant.h"
#include "lib/harness.h"
#include "source/answer.h"

/* Answers of an invented service, in the shapes that public services have; all numbers are invented. */

static struct description d;
static struct issue issue;
static struct answer_report rep;
static struct fault f;
static struct zone zone;

/* Hours of 18 April 2031, UTC. */
static int64_t at(int hour)
{
	struct date day;
	ck_assert(date_of(2031, 4, 18, &day));
	return instant_at(day, 0, 0) + hour * HOUR_S;
}

static void setup(void)
{
	answer_init();
	f = (struct fault){0};
}

static void describe(const char *row, const char *text)
{
	static struct faults all;
	all = (struct faults){0};
	ck_assert_msg(describe_parse("trial.ini", text, strlen(text), &d, &all) == FAULT_NONE, "%s: %s", row,
		      all.at[0].text);
}

static enum fault_code decode(const char *json, size_t n, int64_t received)
{
	const char *bodies[] = {json};
	const struct answer_given given = {
	    .bodies = bodies, .sizes = &n, .n = 1, .received = received, .zone = zone.n > 0 ? &zone : NULL};
	f = (struct fault){0};
	return answer_decode(&d, &given, &issue, &rep, &f);
}

static void decode_fine(const char *row, const char *json)
{
	ck_assert_msg(decode(json, strlen(json), at(0)) == FAULT_NONE, "%s: %s", row, f.text);
}

static const struct answer_row *said_of(enum var v)
{
	for (size_t i = 0; i < rep.n; i++)
		if (rep.row[i].var == v)
			return &rep.row[i];
	ck_abort_msg("no such row");
	return NULL;
}

#define HEAD "[source]\ntitle = Trial\ncredit = Invented.\n[step s]\nurl = https://weather.example/x\n"

/* Every layout has an air temperature, without which an answer is none. */
#define INTERVALS                                                                                                      \
	HEAD "[data]\npast = none\ntime_format = iso8601-interval\ntime = /0\nvalue = /1\n"                            \
	     "[var air_temperature]\nrows = /t\nunit = C\nkind = hold\n"
#define ROWS                                                                                                           \
	HEAD "[data]\npast = none\nrows = /rows\ntime = /at\ntime_format = rfc3339\n"                                  \
	     "[var air_temperature]\nvalue = /t\nunit = C\nkind = instant\n"
#define ARRAYS                                                                                                         \
	HEAD "[data]\npast = none\ntimes = /at\ntime_format = unix\n"                                                  \
	     "[var air_temperature]\nvalues = /t\nunit = C\nkind = instant\n"

struct want {
	enum var v;
	int hour;
	double x; /* NaN: missing */
};

enum { WANTS = 10, NOTHING = -1000 };
#define NONE ((double)NAN)
#define END                                                                                                            \
	{                                                                                                              \
		VARS, 0, 0                                                                                             \
	}

static const struct {
	const char *name, *description, *answer;
	struct want want[WANTS];
} rows[] = {
    {"intervals of many lengths",
     INTERVALS,
     "{\"t\":[[\"2031-04-18T00:00:00+00:00/PT72H\",10],[\"2031-04-21T00:00:00Z/P1DT6H\",11],"
     "[\"2031-04-22T06:00:00Z/P8DT6H\",12],[\"2031-04-30T12:00:00Z/2031-04-30T14:00:00Z\",13]]}",
     {{VAR_AIR_TEMPERATURE, -1, NONE},
      {VAR_AIR_TEMPERATURE, 0, 10},
      {VAR_AIR_TEMPERATURE, 71, 10},
      {VAR_AIR_TEMPERATURE, 72, 11},
      {VAR_AIR_TEMPERATURE, 101, 11},
      {VAR_AIR_TEMPERATURE, 102, 12},
      {VAR_AIR_TEMPERATURE, 299, 12},
      {VAR_AIR_TEMPERATURE, 301, 13},
      {VAR_AIR_TEMPERATURE, 302, NONE},
      END}},
    {"a gap between intervals stays one",
     INTERVALS,
     "{\"t\":[[\"2031-04-18T00:00:00Z/PT2H\",10],[\"2031-04-18T04:00:00Z/PT1H\",11]]}",
     {{VAR_AIR_TEMPERATURE, 1, 10},
      {VAR_AIR_TEMPERATURE, 2, NONE},
      {VAR_AIR_TEMPERATURE, 3, NONE},
      {VAR_AIR_TEMPERATURE, 4, 11},
      END}},
    {"holds that overlap: the later wins",
     INTERVALS,
     "{\"t\":[[\"2031-04-18T00:00:00Z/PT3H\",10],[\"2031-04-18T02:00:00Z/PT2H\",11]]}",
     {{VAR_AIR_TEMPERATURE, 1, 10}, {VAR_AIR_TEMPERATURE, 2, 11}, {VAR_AIR_TEMPERATURE, 3, 11}, END}},
    {"null, and an empty layer without its unit",
     INTERVALS "[var wind_speed]\nrows = /wind/values\nunit = @/wind/uom\nkind = hold\n",
     "{\"t\":[[\"2031-04-18T00:00:00Z/PT1H\",10],[\"2031-04-18T01:00:00Z/PT1H\",null]],\"wind\":{\"values\":[]}}",
     {{VAR_AIR_TEMPERATURE, 0, 10}, {VAR_AIR_TEMPERATURE, 1, NONE}, {VAR_WIND, 0, NONE}, END}},
    {"a total over six hours is a sixth in each",
     INTERVALS "[var precipitation_amount]\nrows = /r\nunit = in\nkind = total\n",
     "{\"t\":[[\"2031-04-18T00:00:00Z/PT9H\",10]],\"r\":[[\"2031-04-18T01:00:00Z/PT6H\",0.6],"
     "[\"2031-04-18T07:00:00Z/PT1H\",0]]}",
     {{VAR_PRECIPITATION, 0, NONE},
      {VAR_PRECIPITATION, 1, 2.54},
      {VAR_PRECIPITATION, 6, 2.54},
      {VAR_PRECIPITATION, 7, 0},
      {VAR_PRECIPITATION, 8, NONE},
      END}},
    {"a night's minimum: value at its first hour, length beside it",
     INTERVALS "[var air_temperature_minimum]\nrows = /low\nunit = degF\nkind = min\n",
     "{\"t\":[[\"2031-04-18T00:00:00Z/PT20H\",10]],\"low\":[[\"2031-04-18T02:00:00Z/PT13H\",23]]}",
     {{VAR_WINDOW_MINIMUM, 2, -5}, {VAR_WINDOW_MINIMUM_SPAN, 2, 13}, {VAR_WINDOW_MINIMUM, 3, NONE}, END}},
    {"rows: one hour, then six; nothing twice, and the last row bare",
     ROWS "[var precipitation_amount]\nvalue = /n1\nperiod = PT1H\nvalue.2 = /n6\nperiod.2 = PT6H\nunit = mm\n"
	  "stamp = begin\nkind = total\n",
     "{\"rows\":[{\"at\":\"2031-04-18T00:00:00Z\",\"t\":10,\"n1\":1,\"n6\":9},"
     "{\"at\":\"2031-04-18T01:00:00Z\",\"t\":10,\"n1\":2,\"n6\":14},"
     "{\"at\":\"2031-04-18T02:00:00Z\",\"t\":10,\"n6\":12},{\"at\":\"2031-04-18T08:00:00Z\",\"t\":10}]}",
     {{VAR_PRECIPITATION, 0, 1},
      {VAR_PRECIPITATION, 1, 2},
      {VAR_PRECIPITATION, 2, 2},
      {VAR_PRECIPITATION, 7, 2},
      {VAR_PRECIPITATION, 8, NONE},
      END}},
    {"a window only where there is no finer row",
     ROWS "[var air_temperature_minimum]\nvalue = /low\nperiod = PT6H\nonly_if_missing = /n1\nunit = C\nstamp = begin\n"
	  "kind = min\n",
     "{\"rows\":[{\"at\":\"2031-04-18T00:00:00Z\",\"t\":10,\"n1\":{},\"low\":3},"
     "{\"at\":\"2031-04-18T01:00:00Z\",\"t\":10,\"low\":4}]}",
     {{VAR_WINDOW_MINIMUM, 0, NONE}, {VAR_WINDOW_MINIMUM, 1, 4}, {VAR_WINDOW_MINIMUM_SPAN, 1, 6}, END}},
    {"duplicate rows: the later wins",
     ROWS,
     "{\"rows\":[{\"at\":\"2031-04-18T00:00:00Z\",\"t\":10},{\"at\":\"2031-04-18T00:00:00Z\",\"t\":12}]}",
     {{VAR_AIR_TEMPERATURE, 0, 12}, END}},
    {"between hours and with fractions: skipped",
     ROWS,
     "{\"rows\":[{\"at\":\"2031-04-18T00:00:00.000Z\",\"t\":10},{\"at\":\"2031-04-18T00:30:00Z\",\"t\":12},"
     "{\"at\":\"2031-04-18T02:00:00+01:00\",\"t\":13}]}",
     {{VAR_AIR_TEMPERATURE, 0, 10}, {VAR_AIR_TEMPERATURE, 1, 13}, END}},
    {"linear between steps that are near enough",
     ROWS "[var wind_speed]\nvalue = /w\nunit = kn\nkind = instant\nfill = linear\nmax_gap = PT3H\n",
     "{\"rows\":[{\"at\":\"2031-04-18T00:00:00Z\",\"t\":10,\"w\":0},{\"at\":\"2031-04-18T03:00:00Z\",\"t\":10,\"w\":18}"
     ","
     "{\"at\":\"2031-04-18T07:00:00Z\",\"t\":10,\"w\":36}]}",
     {{VAR_WIND, 1, 6 * 1852.0 / 3600},
      {VAR_WIND, 2, 12 * 1852.0 / 3600},
      {VAR_WIND, 5, NONE},
      {VAR_WIND, 7, 36 * 1852.0 / 3600},
      {VAR_AIR_TEMPERATURE, 1, NONE},
      END}},
    {"numbers as text where that is allowed",
     ROWS "[var wind_speed]\nvalue = /w\nunit = mph\nkind = instant\nnumbers = lenient\n",
     "{\"rows\":[{\"at\":\"2031-04-18T00:00:00Z\",\"t\":\"10\",\"w\":\"10\"},"
     "{\"at\":\"2031-04-18T01:00:00Z\",\"t\":11,\"w\":\"5 to 10\"}]}",
     {{VAR_AIR_TEMPERATURE, 0, NONE}, {VAR_AIR_TEMPERATURE, 1, 11}, {VAR_WIND, 0, 4.4704}, {VAR_WIND, 1, NONE}, END}},
    {"out of range, and a number that means missing",
     ROWS "missing = -9999\n[var relative_humidity]\nvalue = /h\nunit = %\nkind = instant\n",
     "{\"rows\":[{\"at\":\"2031-04-18T00:00:00Z\",\"t\":1e300,\"h\":101},"
     "{\"at\":\"2031-04-18T01:00:00Z\",\"t\":-9999,\"h\":100},{\"at\":\"2031-04-18T02:00:00Z\",\"t\":9,\"h\":0}]}",
     {{VAR_AIR_TEMPERATURE, 0, NONE},
      {VAR_AIR_TEMPERATURE, 1, NONE},
      {VAR_AIR_TEMPERATURE, 2, 9},
      {VAR_HUMIDITY, 0, NONE},
      {VAR_HUMIDITY, 1, 1},
      {VAR_HUMIDITY, 2, 0},
      END}},
    {"arrays: a sum stamped with its end belongs to the hour before",
     ARRAYS "[var precipitation_amount]\nvalues = /r\nunit = mm\nkind = total\nstamp = end\nperiod = PT1H\n"
	    "[var probability_of_precipitation]\nvalues = /p\nunit = %\nkind = prob\nstamp = end\nperiod = PT1H\n",
     "{\"at\":[1934236800,1934240400],\"t\":[10,11],\"r\":[0.5,1.5],\"p\":[20,70]}",
     {{VAR_AIR_TEMPERATURE, 0, 10},
      {VAR_PRECIPITATION, -1, 0.5},
      {VAR_PRECIPITATION, 0, 1.5},
      {VAR_PRECIPITATION, 1, NONE},
      {VAR_PRECIPITATION_CHANCE, 0, 0.7},
      END}},
    {"pressure in inches, radiation as energy",
     ARRAYS "[var air_pressure_at_mean_sea_level]\nvalues = /p\nunit = inHg\nkind = instant\n"
	    "[var surface_downwelling_shortwave_flux_in_air]\nvalues = /s\nunit = kWh/m2\nkind = mean\nstamp = begin\n"
	    "period = PT1H\n",
     "{\"at\":[1934236800],\"t\":[10],\"p\":[30],\"s\":[0.5]}",
     {{VAR_PRESSURE, 0, 30 * 33.8639}, {VAR_SHORTWAVE, 0, 500}, END}},
};

START_TEST(values)
{
	const char *row = rows[_i].name;
	describe(row, rows[_i].description);
	decode_fine(row, rows[_i].answer);
	for (const struct want *w = rows[_i].want; w->v != VARS; w++) {
		double got = hours_get(&issue.hours, w->v, at(w->hour));
		ck_assert_msg(isnan(w->x) ? isnan(got) : fabs(got - w->x) < 1e-9,
			      "%s: %s at hour %d is %.10g, want %.10g", row, var_row(w->v)->name, w->hour, got, w->x);
	}
	issue_free(&issue);
}
END_TEST

/* The same weather told in four ways is the same hours. */
START_TEST(one_weather_four_ways)
{
#define RAIN(form) "[var precipitation_amount]\n" form "unit = mm\nkind = total\n"
	static const struct {
		const char *name, *description, *answer;
	} way[] = {
	    {"begin", ROWS RAIN("value = /r\nstamp = begin\nperiod = PT1H\n"),
	     "{\"rows\":[{\"at\":\"2031-04-18T00:00:00Z\",\"t\":9,\"r\":1},{\"at\":\"2031-04-18T01:00:00Z\",\"t\":9,"
	     "\"r\":2}]}"},
	    {"end", ROWS RAIN("value = /r\nstamp = end\nperiod = PT1H\n"),
	     "{\"rows\":[{\"at\":\"2031-04-18T01:00:00Z\",\"t\":9,\"r\":1},{\"at\":\"2031-04-18T02:00:00Z\",\"t\":9,"
	     "\"r\":2}]}"},
	    {"interval", INTERVALS RAIN("rows = /r\n"),
	     "{\"t\":[[\"2031-04-18T00:00:00Z/PT2H\",9]],\"r\":[[\"2031-04-18T00:00:00Z/PT1H\",1],"
	     "[\"2031-04-18T01:00:00Z/PT1H\",2]]}"},
	    {"arrays", ARRAYS RAIN("values = /r\nstamp = end\nperiod = PT1H\n"),
	     "{\"at\":[1934240400,1934244000],\"t\":[9,9],\"r\":[1,2]}"},
	};
	for (size_t i = 0; i < sizeof way / sizeof *way; i++) {
		describe(way[i].name, way[i].description);
		decode_fine(way[i].name, way[i].answer);
		ROW_NEAR(way[i].name, hours_get(&issue.hours, VAR_PRECIPITATION, at(0)), 1, 0);
		ROW_NEAR(way[i].name, hours_get(&issue.hours, VAR_PRECIPITATION, at(1)), 2, 0);
		ROW_TRUE(way[i].name, isnan(hours_get(&issue.hours, VAR_PRECIPITATION, at(2))));
		issue_free(&issue);
	}
}
END_TEST

/* What goes in as amounts comes out in the hours, or is said to have been skipped. */
START_TEST(amounts_are_conserved)
{
	describe("amounts", INTERVALS "[var precipitation_amount]\nrows = /r\nunit = mm\nkind = total\n");
	static const char *const span[] = {"PT1H", "PT3H", "PT5H", "PT6H", "PT12H", "PT7H"};
	static const int hours_of[] = {1, 3, 5, 6, 12, 7};
	unsigned seed = 99;
	for (int round = 0; round < 50; round++) {
		static char json[8192];
		struct text t;
		double in = 0;
		text_over(&t, json, sizeof json);
		text_add(&t, "{\"t\":[[\"2031-04-18T00:00:00Z/P9D\",9]],\"r\":[");
		for (int i = 0, hour = 0; i < 25; i++) {
			char stamp[INSTANT_TEXT_SIZE];
			seed = seed * 1103515245u + 12345u;
			int k = (int)((seed >> 16) % 6);
			double x = (double)((seed >> 8) % 1000) / 77;
			text_addf(&t, "%s[\"%s/%s\",%.17g]", i > 0 ? "," : "", instant_text(at(hour), stamp), span[k],
				  x);
			hour += hours_of[k];
			in += x;
		}
		text_add(&t, "]}");
		ck_assert(!t.full);
		decode_fine("amounts", json);
		double out = 0;
		for (size_t i = 0; i < issue.hours.n; i++) {
			double x = issue.hours.value[VAR_PRECIPITATION][i];
			out += isnan(x) ? 0 : x;
		}
		ROW_NEAR("sum", out, in, 1e-9);
		ROW_NEAR("said in", said_of(VAR_PRECIPITATION)->amount_in, in, 1e-9);
		ROW_NEAR("said out", said_of(VAR_PRECIPITATION)->amount_out, in, 1e-9);
		issue_free(&issue);
	}
	decode_fine("half hours",
		    "{\"t\":[[\"2031-04-18T00:00:00Z/P1D\",9]],\"r\":[[\"2031-04-18T00:30:00Z/PT3H\",6]]}");
	const struct answer_row *row = said_of(VAR_PRECIPITATION);
	ROW_NEAR("what no hour has whole is said", row->amount_out + row->amount_skipped, 6, 1e-9);
	ROW_NEAR("the whole hours have theirs", hours_get(&issue.hours, VAR_PRECIPITATION, at(1)), 2, 1e-9);
	issue_free(&issue);
}
END_TEST

/* Local clock time with an offset of the answer or of the description. */
static const struct {
	const char *name, *how, *answer;
} offsets[] = {
    {"offset of the answer", "time_offset = @/east",
     "{\"east\":7200,\"at\":[\"2031-04-18T02:00\",\"2031-04-18T03:00\"],\"t\":[1,2]}"},
    {"offset of the answer, as text", "time_offset = @/east",
     "{\"east\":\"-03:30\",\"at\":[\"2031-04-17T20:30\",\"2031-04-17T21:30\"],\"t\":[1,2]}"},
    {"offset of the description", "time_offset = +02:00",
     "{\"east\":0,\"at\":[\"2031-04-18T02:00\",\"2031-04-18T03:00\"],\"t\":[1,2]}"},
};

#define LOCAL                                                                                                          \
	HEAD "[data]\npast = none\ntimes = /at\ntime_format = local\n%s\n[var air_temperature]\nvalues = /t\nunit = "  \
	     "C\nkind = instant\n"

START_TEST(local_times)
{
	char text[1024];
	snprintf(text, sizeof text, LOCAL, offsets[_i].how);
	describe(offsets[_i].name, text);
	decode_fine(offsets[_i].name, offsets[_i].answer);
	ROW_NEAR(offsets[_i].name, hours_get(&issue.hours, VAR_AIR_TEMPERATURE, at(0)), 1, 0);
	ROW_NEAR(offsets[_i].name, hours_get(&issue.hours, VAR_AIR_TEMPERATURE, at(1)), 2, 0);
	issue_free(&issue);
}
END_TEST

/*
 * Central Europe goes to summer time on 30 March 2031 at 01:00 UTC (last Sunday of March): the clock
 * time 01:00 is 00:00 UTC, and 03:00, the next one that exists, is 01:00 UTC.
 */
START_TEST(local_times_of_a_named_zone)
{
	enum { TO_SPRING = -19 * 24 }; /* from 18 April to 30 March */
	char text[1024];
	snprintf(text, sizeof text, LOCAL, "time_zone = Europe/Berlin");
	describe("zone", text);
	ck_assert_str_eq(d.time_zone, "Europe/Berlin");
	ck_assert_msg(zone_load(d.time_zone, at(TO_SPRING), at(0), &zone, &f) == FAULT_NONE, "%s", f.text);
	decode_fine("zone", "{\"at\":[\"2031-03-30T00:00\",\"2031-03-30T01:00\",\"2031-03-30T03:00\"],\"t\":[1,2,3]}");
	for (int h = -1; h <= 1; h++)
		ROW_NEAR("hour", hours_get(&issue.hours, VAR_AIR_TEMPERATURE, at(TO_SPRING + h)), h + 2, 0);
	ROW_INT("hours", issue.hours.n, 3);
	issue_free(&issue);
}
END_TEST

START_TEST(counted)
{
	describe("counts", ROWS "missing = -9999\n");
	decode_fine("counts",
		    "{\"rows\":[{\"at\":\"2031-04-18T00:00:00Z\",\"t\":10},{\"at\":\"2031-04-18T00:00:00Z\",\"t\":11},"
		    "{\"at\":\"2031-04-18T00:20:00Z\",\"t\":11},{\"at\":\"2031-04-18T01:00:00Z\",\"t\":1e300},"
		    "{\"at\":\"2031-04-18T02:00:00Z\",\"t\":null},{\"at\":\"2031-04-18T03:00:00Z\"},"
		    "{\"at\":\"2031-04-18T04:00:00Z\",\"t\":-9999},{\"at\":\"yesterday\",\"t\":11},"
		    "{\"at\":\"2031-04-18T06:00:00Z\",\"t\":12}]}");
	const struct answer_row *row = said_of(VAR_AIR_TEMPERATURE);
	ROW_INT("items", row->items, 9);
	ROW_INT("hours", row->hours, 2);
	ROW_INT("again", row->replaced, 1);
	ROW_INT("skipped", row->skipped, 1);
	ROW_INT("missing", row->missing, 3);
	ROW_INT("dropped", row->dropped, 2);
	ROW_INT("gaps", row->gaps, 1);
	ROW_INT("gap", row->gap[0].hours, 5);
	ROW_INT("first", row->first, at(0));
	ROW_INT("last", row->last, at(6));
	ROW_NEAR("min", row->min, 11, 0);
	ROW_NEAR("max", row->max, 12, 0);
	issue_free(&issue);
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("answer");
	TCase *t = tcase_create("answer");
	tcase_add_checked_fixture(t, setup, NULL);
	tcase_add_loop_test(t, values, 0, sizeof rows / sizeof *rows);
	tcase_add_test(t, one_weather_four_ways);
	tcase_add_test(t, amounts_are_conserved);
	tcase_add_loop_test(t, local_times, 0, sizeof offsets / sizeof *offsets);
	tcase_add_test(t, local_times_of_a_named_zone);
	tcase_add_test(t, counted);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
