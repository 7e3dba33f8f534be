#include "source/frame.h"

/* Each kind laid into the hours of the frame. */
static const struct {
	const char *name, *var, *members;
	enum var v;
	const char *want, *marks;
	size_t missing, dropped, skipped, replaced;
} kinds[] = {
    {"instant", WIND "unit = m/s\nkind = instant\n" ROWS, "\"x\":[" T("00:00") "1}," T("01:00") "2}," T("03:00") "4}]",
     VAR_WIND, "1 2 - 4 - - - - - - - -", "ff.f........", 0, 0, 0, 0},
    {"instant between hours is skipped", WIND "unit = m/s\nkind = instant\n" ROWS,
     "\"x\":[" T("00:00") "1}," T("00:30") "9}," T("01:00") "2}]", VAR_WIND, "1 2 - - - - - - - - - -", "ff..........",
     0, 0, 1, 0},
    {"instant null", WIND "unit = m/s\nkind = instant\n" ROWS, "\"x\":[" T("00:00") "null}," T("01:00") "2}]", VAR_WIND,
     "- 2 - - - - - - - - - -", ".f..........", 1, 0, 0, 0},
    {"fill", WIND "unit = m/s\nkind = instant\nfill = linear\nmax_gap = PT3H\n" ROWS,
     "\"x\":[" T("00:00") "1}," T("03:00") "4}," T("04:00") "4}," T("08:00") "8}]", VAR_WIND, "1 2 3 4 4 - - - 8 - - -",
     "fiiff...f...", 0, 0, 0, 0},
    {"fill over null", WIND "unit = m/s\nkind = instant\nfill = linear\nmax_gap = PT2H\n" ROWS,
     "\"x\":[" T("00:00") "1}," T("01:00") "null}," T("02:00") "3}]", VAR_WIND, "1 2 3 - - - - - - - - -",
     "fif.........", 1, 0, 0, 0},
    {"duplicate rows: the later wins", WIND "unit = m/s\nkind = instant\n" ROWS,
     "\"x\":[" T("00:00") "1}," T("01:00") "2}," T("00:00") "7}]", VAR_WIND, "7 2 - - - - - - - - - -", "ff..........",
     0, 0, 0, 1},
    {"hold", WIND "unit = m/s\nkind = hold\n" SPAN, "\"x\":[" I("01:00:00Z/PT3H") "5}," I("06:00:00Z/PT1H") "6}]",
     VAR_WIND, "- 5 5 5 - - 6 - - - - -", ".FFF..F.....", 0, 0, 0, 0},
    {"hold that ends within an hour", WIND "unit = m/s\nkind = hold\n" SPAN, "\"x\":[" I("01:30:00Z/PT2H") "5}]",
     VAR_WIND, "- - 5 5 - - - - - - - -", "..Ff........", 0, 0, 0, 0},
    {"hold within an hour", WIND "unit = m/s\nkind = hold\n" SPAN, "\"x\":[" I("01:15:00Z/PT30M") "5}]", VAR_WIND,
     "- - - - - - - - - - - -", "............", 0, 0, 1, 0},
    {"two holds within hours", WIND "unit = m/s\nkind = hold\n" SPAN,
     "\"x\":[" I("01:15:00Z/PT30M") "5}," I("02:15:00Z/PT30M") "5}]", VAR_WIND, "- - - - - - - - - - - -",
     "............", 0, 0, 2, 0},
    {"overlapping holds: the later wins", WIND "unit = m/s\nkind = hold\n" SPAN,
     "\"x\":[" I("01:00:00Z/PT3H") "5}," I("02:00:00Z/PT1H") "6}," I("03:00:00Z/PT1H") "7}]", VAR_WIND,
     "- 5 6 7 - - - - - - - -", ".FFF........", 0, 0, 0, 2},
    {"mean of a state: whole hours alone", WIND "unit = m/s\nkind = mean\n" SPAN, "\"x\":[" I("01:00:00Z/PT90M") "5}]",
     VAR_WIND, "- 5 - - - - - - - - - -", ".F..........", 0, 0, 0, 0},
    {"72 hours", WIND "unit = m/s\nkind = hold\n" SPAN, "\"x\":[{\"t\":\"2031-04-16T00:00:00Z/PT72H\",\"v\":3}]",
     VAR_WIND, "3 3 3 3 3 3 3 3 3 3 3 3", "FFFFFFFFFFFF", 0, 0, 0, 0},
    {"a day and six hours", WIND "unit = m/s\nkind = hold\n" SPAN,
     "\"x\":[{\"t\":\"2031-04-17T00:00:00Z/P1DT6H\",\"v\":3}]", VAR_WIND, "3 3 3 3 3 3 - - - - - -", "FFFFFF......", 0,
     0, 0, 0},
    {"empty layer without unit", WIND "unit = @/u\nkind = hold\n" SPAN, "\"x\":[]", VAR_WIND, "- - - - - - - - - - - -",
     "............", 0, 0, 0, 0},
    {"nothing but null without unit", WIND "unit = @/u\nkind = hold\n" SPAN, "\"x\":[" I("01:00:00Z/PT3H") "null}]",
     VAR_WIND, "- - - - - - - - - - - -", "............", 1, 0, 0, 0},
    {"mean of whole hours alone", "[var surface_downwelling_shortwave_flux_in_air]\nunit = W/m2\nkind = mean\n" SPAN,
     "\"x\":[" I("00:30:00Z/PT3H") "100}," I("04:00:00Z/PT30M") "9}]", VAR_SHORTWAVE, "- 100 100 - - - - - - - - -",
     ".FF.........", 0, 0, 1, 0},
    {"energy over its period", "[var surface_downwelling_shortwave_flux_in_air]\nunit = MJ/m2\nkind = mean\n" SPAN,
     "\"x\":[" I("00:00:00Z/PT1H") "1.8}," I("01:00:00Z/PT3H") "1.08}]", VAR_SHORTWAVE,
     "500 100 100 100 - - - - - - - -", "FFFF........", 0, 0, 0, 0},
    {"greatest", "[var wind_speed_of_gust]\nunit = m/s\nkind = max\nstamp = end\nperiod = PT2H\n" ROWS,
     "\"x\":[" T("02:00") "9}," T("04:00") "7}]", VAR_GUST, "9 9 7 7 - - - - - - - -", "FFFF........", 0, 0, 0, 0},
    {"chance, again in each hour", "[var probability_of_precipitation]\nunit = %\nkind = prob\n" SPAN,
     "\"x\":[" I("02:00:00Z/PT2H") "40}]", VAR_PRECIPITATION_CHANCE, "- - 0.4 0.4 - - - - - - - -", "..ff........", 0,
     0, 0, 0},
    {"amount is divided", RAIN SPAN, "\"x\":[" I("01:00:00Z/PT4H") "6}," I("05:00:00Z/PT1H") "0}]", VAR_PRECIPITATION,
     "- 1.5 1.5 1.5 1.5 0 - - - - - -", ".fffff......", 0, 0, 0, 0},
    {"quarter hours add up", RAIN SPAN,
     "\"x\":[" I("01:00:00Z/PT15M") "1}," I("01:15:00Z/PT15M") "2}," I("01:30:00Z/PT30M") "4}," I(
	 "02:00:00Z/PT45M") "8}]",
     VAR_PRECIPITATION, "- 7 - - - - - - - - - -", ".f..........", 0, 0, 0, 0},
    {"amounts out of order", RAIN SPAN, "\"x\":[" I("05:00:00Z/PT1H") "5}," I("01:00:00Z/PT2H") "2}]",
     VAR_PRECIPITATION, "- 1 1 - - 5 - - - - - -", ".ff..f......", 0, 0, 0, 0},
    {"amount told twice: the later wins", RAIN SPAN, "\"x\":[" I("01:00:00Z/PT2H") "9}," I("01:00:00Z/PT2H") "2}]",
     VAR_PRECIPITATION, "- 1 1 - - - - - - - - -", ".ff.........", 0, 0, 0, 1},
    {"a great amount over many hours is in range", RAIN SPAN, "\"x\":[" I("00:00:00Z/PT12H") "600}]", VAR_PRECIPITATION,
     "50 50 50 50 50 50 50 50 50 50 50 50", "ffffffffffff", 0, 0, 0, 0},
    {"a greater one is not, however long", RAIN SPAN,
     "\"x\":[" I("00:00:00Z/PT6H") "1800}," I("06:00:00Z/PT6H") "1900}]", VAR_PRECIPITATION,
     "300 300 300 300 300 300 - - - - - -", "ffffff......", 0, 1, 0, 0},
    {"amounts of no length", RAIN SPAN,
     "\"x\":[" I("01:00:00Z/PT0H") "1}," I("02:30:00Z/PT0H") "1}," I("03:00:00Z/PT1H") "2}]", VAR_PRECIPITATION,
     "- - - 2 - - - - - - - -", "...f........", 0, 2, 0, 0},
    {"a state out of range is so however long it holds", WIND "unit = m/s\nkind = hold\n" SPAN,
     "\"x\":[" I("00:00:00Z/PT6H") "300}]", VAR_WIND, "- - - - - - - - - - - -", "............", 0, 1, 0, 0},
    {"a second way for the hours that are open",
     "[var probability_of_precipitation]\nunit = %\nkind = prob\nstamp = begin\nrows = /x\ntime = /t\n"
     "time_format = rfc3339\nvalue = /v\nperiod = PT1H\nvalue.2 = /w\nperiod.2 = PT3H\n",
     "\"x\":[" T("00:00") "10,\"w\":90}," T("03:00") "null,\"w\":40}]", VAR_PRECIPITATION_CHANCE,
     "0.1 0.9 0.9 0.4 0.4 0.4 - - - - - -", "ffffff......", 0, 0, 0, 0},
    {"stamped at the end", RAIN "stamp = end\nperiod = PT1H\n" ROWS, "\"x\":[" T("01:00") "1}," T("02:00") "2}]",
     VAR_PRECIPITATION, "1 2 - - - - - - - - - -", "ff..........", 0, 0, 0, 0},
    {"stamped at the beginning", RAIN "stamp = begin\nperiod = PT1H\n" ROWS,
     "\"x\":[" T("01:00") "1}," T("02:00") "2}]", VAR_PRECIPITATION, "- 1 2 - - - - - - - - -", ".ff.........", 0, 0, 0,
     0},
    {"range: dropped and counted", WIND "unit = m/s\nkind = instant\n" ROWS,
     "\"x\":[" T("00:00") "1e300}," T("01:00") "-1}," T("02:00") "1e999}," T("03:00") "2}]", VAR_WIND,
     "- - - 2 - - - - - - - -", "...f........", 0, 3, 0, 0},
    {"range after the unit", "[var relative_humidity]\nunit = %\nkind = instant\n" ROWS,
     "\"x\":[" T("00:00") "100}," T("01:00") "101}]", VAR_HUMIDITY, "1 - - - - - - - - - - -", "f...........", 0, 1, 0,
     0},
    {"text is no number", WIND "unit = m/s\nkind = instant\n" ROWS,
     "\"x\":[" T("00:00") "\"3\"}," T("01:00") "true}," T("02:00") "[1]}," T("03:00") "2}]", VAR_WIND,
     "- - - 2 - - - - - - - -", "...f........", 0, 3, 0, 0},
    {"text where lenient", WIND "unit = m/s\nkind = instant\nnumbers = lenient\n" ROWS,
     "\"x\":[" T("00:00") "\"3.5\"}," T("01:00") "\"\"}," T("02:00") "\"5 to 10\"}," T("03:00") "2}]", VAR_WIND,
     "3.5 - - 2 - - - - - - - -", "f..f........", 1, 1, 0, 0},
    {"numbers that mean missing", WIND "unit = m/s\nkind = instant\nmissing = -9999, 999.9\nnumbers = lenient\n" ROWS,
     "\"x\":[" T("00:00") "-9999}," T("01:00") "\"999.9\"}," T("02:00") "4}]", VAR_WIND, "- - 4 - - - - - - - - -",
     "..f.........", 2, 0, 0, 0},
    {"stamp that cannot be read", WIND "unit = m/s\nkind = instant\n" ROWS,
     "\"x\":[" T("00:00") "1},{\"t\":\"yesterday\",\"v\":2},{\"v\":3}," T("99:00") "4}," T("03:00") "5}]", VAR_WIND,
     "1 - - 5 - - - - - - - -", "f..f........", 0, 3, 0, 0},
    {"absent member", WIND "unit = m/s\nkind = instant\n" ROWS,
     "\"x\":[{\"t\":\"2031-04-18T00:00:00Z\"}," T("01:00") "2}]", VAR_WIND, "- 2 - - - - - - - - - -", ".f..........",
     1, 0, 0, 0},
    {"window minimum at its first hour", "[var air_temperature_minimum]\nunit = degF\nkind = min\n" SPAN,
     "\"x\":[" I("02:00:00Z/PT6H") "41}]", VAR_WINDOW_MINIMUM, "- - 5 - - - - - - - - -", "..f.........", 0, 0, 0, 0},
    {"its span", "[var air_temperature_minimum]\nunit = degF\nkind = min\n" SPAN,
     "\"x\":[" I("02:00:00Z/PT6H") "41}," I("08:30:00Z/PT1H") "41}]", VAR_WINDOW_MINIMUM_SPAN,
     "- - 6 - - - - - 2 - - -", "..f.....f...", 0, 0, 0, 0},
    {"of two windows the lower stays", "[var air_temperature_minimum]\nunit = degC\nkind = min\n" SPAN,
     "\"x\":[" I("02:00:00Z/PT6H") "5}," I("02:00:00Z/PT10H") "3}," I("02:00:00Z/PT8H") "4}]", VAR_WINDOW_MINIMUM,
     "- - 3 - - - - - - - - -", "..f.........", 0, 0, 1, 0},
    {"of equal minima the shorter window", "[var air_temperature_minimum]\nunit = degC\nkind = min\n" SPAN,
     "\"x\":[" I("02:00:00Z/PT10H") "3}," I("02:00:00Z/PT6H") "3}," I("02:00:00Z/PT8H") "3}]", VAR_WINDOW_MINIMUM_SPAN,
     "- - 6 - - - - - - - - -", "..f.........", 0, 0, 1, 0},
    {"a window told twice: the later wins", "[var air_temperature_minimum]\nunit = degC\nkind = min\n" SPAN,
     "\"x\":[" I("02:00:00Z/PT6H") "3}," I("02:00:00Z/PT6H") "4}," I("02:00:00Z/PT6H") "5}]", VAR_WINDOW_MINIMUM,
     "- - 5 - - - - - - - - -", "..f.........", 0, 0, 0, 2},
    {"a window of more than a day", "[var air_temperature_minimum]\nunit = degC\nkind = min\n" SPAN,
     "\"x\":[" I("02:00:00Z/PT30H") "3}]", VAR_WINDOW_MINIMUM, "- - - - - - - - - - - -", "............", 0, 1, 0, 0},
};

START_TEST(lays_kinds)
{
	const char *name = kinds[_i].name;
	char got[512], letters[HOURS + 1];
	struct text t;
	struct issue out;
	struct fault f = {0};
	describe("", kinds[_i].var);
	ck_assert_msg(decode_framed(kinds[_i].members, FIRST, &out, &f) == FAULT_NONE, "%s: %s", name, f.text);
	text_over(&t, got, sizeof got);
	values(&out, kinds[_i].v, &t);
	ROW_STR(name, got, kinds[_i].want);
	marks(&out, kinds[_i].v, letters);
	ROW_STR(name, letters, kinds[_i].marks);
	const struct answer_row *row = row_of(kinds[_i].v);
	ROW_TRUE(name, !row->refused);
	ROW_INT(name, row->missing, kinds[_i].missing);
	ROW_INT(name, row->dropped, kinds[_i].dropped);
	ROW_INT(name, row->skipped, kinds[_i].skipped);
	ROW_INT(name, row->replaced, kinds[_i].replaced);
	/* What the report counts is what the hours show. */
	size_t hours = 0;
	for (size_t h = 0; h < out.hours.n; h++)
		hours += isnan(out.hours.value[kinds[_i].v][h]) ? 0 : 1;
	ROW_INT(name, row->hours, hours);
	issue_free(&out);
}
END_TEST

/* Rows with amounts of one hour (/a), of three (/b), of six (/c). */
#define WAYS                                                                                                           \
	"[var precipitation_amount]\nunit = mm\nkind = total\nstamp = begin\nrows = /x\ntime = /t\ntime_format = "     \
	"rfc3339\n"                                                                                                    \
	"value = /a\nperiod = PT1H\nvalue.2 = /b\nperiod.2 = PT3H\n"
#define R(h) "{\"t\":\"2031-04-18T" h ":00:00Z\""

static const struct {
	const char *name, *members, *want;
	double in, out;
	size_t skipped;
} ways[] = {
    {"hand-over",
     "\"x\":[" R("00") ",\"a\":1}," R("01") ",\"a\":2,\"b\":9}," R("02") ",\"a\":3}," R("03") ",\"b\":6}," R(
	 "06") ",\"b\":0}," R("09") "}]",
     "1 2 3 2 2 2 0 0 0 - - -", 12, 12, 1},
    {"every row has the longer one too",
     "\"x\":[" R("00") ",\"a\":1,\"b\":6}," R("01") ",\"a\":2,\"b\":8}," R("02") ",\"a\":3,\"b\":9}," R(
	 "03") ",\"b\":6}]",
     "1 2 3 2 2 2 - - - - - -", 12, 12, 3},
    {"what the short ones leave over of a long one", "\"x\":[" R("00") ",\"a\":1,\"b\":6}]",
     "1 2.5 2.5 - - - - - - - - -", 6, 6, 0},
    {"the short ones are more than the long one", "\"x\":[" R("00") ",\"a\":7,\"b\":6}]", "7 0 0 - - - - - - - - -", 7,
     7, 0},
    {"sliding longer ones tile",
     "\"x\":[" R("00") ",\"b\":3}," R("01") ",\"b\":30}," R("02") ",\"b\":30}," R("03") ",\"b\":6}]",
     "1 1 1 2 2 2 - - - - - -", 9, 9, 2},
    {"a whole open span before a partly open one",
     "\"x\":[" R("00") ",\"a\":0}," R("01") ",\"a\":0,\"b\":6}," R("03") ",\"b\":3}]", "0 0 5 1 1 1 - - - - - -", 8, 8,
     0},
};

START_TEST(never_adds_both)
{
	const char *name = ways[_i].name;
	char got[512];
	struct text t;
	struct issue out;
	struct fault f = {0};
	describe("", WAYS);
	ck_assert_msg(decode_framed(ways[_i].members, FIRST, &out, &f) == FAULT_NONE, "%s: %s", name, f.text);
	text_over(&t, got, sizeof got);
	values(&out, VAR_PRECIPITATION, &t);
	ROW_STR(name, got, ways[_i].want);
	const struct answer_row *row = row_of(VAR_PRECIPITATION);
	ROW_NEAR(name, row->amount_in, ways[_i].in, 1e-9);
	ROW_NEAR(name, row->amount_out, ways[_i].out, 1e-9);
	ROW_INT(name, row->skipped, ways[_i].skipped);
	issue_free(&out);
}
END_TEST

START_TEST(takes_second_section_where_empty)
{
	struct issue out;
	struct fault f = {0};
	char got[512];
	struct text t;
	describe("", WIND
		 "unit = m/s\nkind = instant\nfill = linear\nmax_gap = PT4H\n" ROWS
		 "[var wind_speed]\nunit = m/s\nkind = hold\nrows = /y\ntime = /t\ntime_format = iso8601-interval\n"
		 "value = /v\n");
	ck_assert_msg(decode_framed("\"x\":[" T("00:00") "1}," T("04:00") "5}],\"y\":[" I("03:00:00Z/PT3H") "9}]",
				    FIRST, &out, &f) == FAULT_NONE,
		      "%s", f.text);
	/* What is known goes over what was interpolated, never over what was known before. */
	text_over(&t, got, sizeof got);
	values(&out, VAR_WIND, &t);
	ck_assert_str_eq(got, "1 2 3 9 5 9 - - - - - -");
	issue_free(&out);
}
END_TEST

START_TEST(guards_rows)
{
	struct issue out;
	struct fault f = {0};
	char got[512];
	struct text t;
	describe("", "[var air_temperature_minimum]\nunit = degC\nkind = min\nstamp = begin\nperiod = PT6H\n"
		     "only_if_missing = /next\n" ROWS);
	ck_assert_msg(
	    decode_framed("\"x\":[" T("00:00") "4,\"next\":{}}," T("01:00") "3,\"next\":null}," T("06:00") "2}]", FIRST,
			  &out, &f) == FAULT_NONE,
	    "%s", f.text);
	text_over(&t, got, sizeof got);
	values(&out, VAR_WINDOW_MINIMUM, &t);
	ck_assert_str_eq(got, "- 3 - - - - 2 - - - - -");
	ck_assert_uint_eq(row_of(VAR_WINDOW_MINIMUM)->skipped, 1);
	issue_free(&out);
}
END_TEST

/* The same weather told in three ways gives the same hours. */
static const struct {
	const char *name, *head;
	enum var v;
} told[] = {
    {"rain", "[var precipitation_amount]\nunit = mm\nkind = total\n", VAR_PRECIPITATION},
    {"sun", "[var surface_downwelling_shortwave_flux_in_air]\nunit = W/m2\nkind = mean\n", VAR_SHORTWAVE},
    {"chance", "[var probability_of_precipitation]\nunit = %\nkind = prob\n", VAR_PRECIPITATION_CHANCE},
    {"gust", "[var wind_speed_of_gust]\nunit = km/h\nkind = max\n", VAR_GUST},
    {"cloud", "[var cloud_area_fraction]\nunit = %\nkind = hold\n", VAR_CLOUD},
    {"night low", "[var air_temperature_minimum]\nunit = degC\nkind = min\n", VAR_WINDOW_MINIMUM},
};

START_TEST(does_not_mind_stamps)
{
	enum { FORMS = 3 };
	static const struct {
		const char *how, *members;
	} form[FORMS] = {
	    {SPAN, "\"x\":[" I("01:00:00Z/PT2H") "3}," I("03:00:00Z/PT2H") "8}," I("05:00:00Z/PT2H") "0}]"},
	    {"stamp = begin\nperiod = PT2H\n" ROWS, "\"x\":[" T("01:00") "3}," T("03:00") "8}," T("05:00") "0}]"},
	    {"stamp = end\nperiod = PT2H\ntimes = /t\nvalues = /v\ntime_format = local\n",
	     "\"t\":[\"2031-04-17T22:00\",\"2031-04-18T00:00\",\"2031-04-18T02:00\"],\"v\":[3,8,0],\"o\":-18000"},
	};
	struct issue out[FORMS];
	for (size_t i = 0; i < FORMS; i++) {
		char mem[1024];
		struct text t;
		struct fault f = {0};
		text_over(&t, mem, sizeof mem);
		text_addf(&t, "%s%s", told[_i].head, form[i].how);
		describe("time_offset = @/o\n", mem);
		ck_assert_msg(decode_framed(form[i].members, FIRST, &out[i], &f) == FAULT_NONE, "%s", f.text);
	}
	size_t known = 0;
	for (size_t h = 0; h < HOURS; h++) {
		int64_t at = FIRST + (int64_t)h * HOUR_S;
		double a = hours_get(&out[0].hours, told[_i].v, at);
		known += isnan(a) ? 0 : 1;
		for (size_t i = 1; i < FORMS; i++) {
			double b = hours_get(&out[i].hours, told[_i].v, at);
			ROW_TRUE(told[_i].name, (isnan(a) && isnan(b)) || a == b);
			ROW_INT(told[_i].name, hours_origin(&out[i].hours, told[_i].v, at),
				hours_origin(&out[0].hours, told[_i].v, at));
		}
	}
	ROW_INT(told[_i].name, known, told[_i].v == VAR_WINDOW_MINIMUM ? 3 : 6);
	for (size_t i = 0; i < FORMS; i++)
		issue_free(&out[i]);
}
END_TEST

/* Amounts of uneven periods: what comes out and what is skipped is what went in. */
START_TEST(conserves_amounts)
{
	static const int minutes[] = {60, 15, 45, 360, 20, 73, 47, 600, 5, 4320, 1, 59, 180};
	char mem[8192];
	struct text t;
	struct issue out;
	struct fault f = {0};
	double sum = 0, hours = 0;
	int64_t at = FIRST;
	text_over(&t, mem, sizeof mem);
	text_add(&t, "\"x\":[");
	for (size_t i = 0; i < sizeof minutes / sizeof minutes[0]; i++) {
		char from[INSTANT_TEXT_SIZE];
		double x = 0.1 + (double)(i * 37 % 11) / 3;
		text_addf(&t, "%s{\"t\":\"%s/PT%dM\",\"v\":%.17g}", i == 0 ? "" : ",", instant_text(at, from),
			  minutes[i], x);
		at += minutes[i] * 60;
		sum += x;
	}
	text_add(&t, "]");
	describe("", RAIN SPAN);
	ck_assert_msg(decode_framed(mem, FIRST, &out, &f) == FAULT_NONE, "%s", f.text);
	for (size_t h = 0; h < out.hours.n; h++)
		hours += isnan(out.hours.value[VAR_PRECIPITATION][h]) ? 0 : out.hours.value[VAR_PRECIPITATION][h];
	const struct answer_row *row = row_of(VAR_PRECIPITATION);
	ROW_NEAR("in", row->amount_in, sum, 1e-9);
	ROW_NEAR("out", row->amount_out, hours, 1e-9);
	ROW_NEAR("in all", row->amount_out + row->amount_skipped, sum, 1e-9);
	ROW_TRUE("the last hour is not told in full", row->amount_skipped > 0);
	issue_free(&out);
}
END_TEST

static const struct {
	const char *name, *past;
	int64_t received;
	const char *marks;
} pasts[] = {
    {"none", "", FIRST + 6 * HOUR_S, "FFFFFFFFFFFF"},
    {"analysed", "past = analysed\n", FIRST + 6 * HOUR_S, "AAAAAAFFFFFF"},
    {"observed", "past = observed\n", FIRST + 6 * HOUR_S, "OOOOOOFFFFFF"},
    {"the running hour is no past", "past = analysed\n", FIRST + 6 * HOUR_S + 3599, "AAAAAAFFFFFF"},
    {"observed after a time", "past = observed\nobserved_after = PT3H\n", FIRST + 6 * HOUR_S, "OOOAAAFFFFFF"},
    {"a second short of it", "past = observed\nobserved_after = PT3H\n", FIRST + 6 * HOUR_S - 1, "OOAAAFFFFFFF"},
    {"late in the running hour", "past = observed\nobserved_after = PT3H\n", FIRST + 6 * HOUR_S + 3599, "OOOAAAFFFFFF"},
    {"part of an hour's time", "past = observed\nobserved_after = PT30M\n", FIRST + 6 * HOUR_S, "OOOOOAFFFFFF"},
    {"nothing is so old yet", "past = observed\nobserved_after = P2D\n", FIRST + 6 * HOUR_S, "AAAAAAFFFFFF"},
    {"received before all", "past = analysed\n", FIRST - 1, "FFFFFFFFFFFF"},
    {"received after all", "past = analysed\n", FIRST + 400 * HOUR_S, "AAAAAAAAAAAA"},
};

START_TEST(marks_the_past)
{
	char got[HOURS + 1];
	struct issue out;
	struct fault f = {0};
	describe(pasts[_i].past, "");
	ck_assert_int_eq(decode_framed("\"x\":0", pasts[_i].received, &out, &f), FAULT_NONE);
	marks(&out, VAR_AIR_TEMPERATURE, got);
	ROW_STR(pasts[_i].name, got, pasts[_i].marks);
	ROW_INT(pasts[_i].name, out.received, pasts[_i].received);
	issue_free(&out);
}
END_TEST

/* A window is past when its last hour is. */
static const struct {
	const char *past, *marks;
} window_pasts[] = {
    {"past = analysed\n", "a.af....f..."},
    {"past = observed\nobserved_after = PT3H\n", "o.af....f..."},
    {"past = observed\nobserved_after = PT4H\n", "a.af....f..."},
};

START_TEST(marks_windows)
{
	char got[HOURS + 1];
	struct issue out;
	struct fault f = {0};
	describe(window_pasts[_i].past, "[var air_temperature_minimum]\nunit = degC\nkind = min\n" SPAN);
	ck_assert_msg(decode_framed("\"x\":[" I("00:00:00Z/PT3H") "3}," I("02:00:00Z/PT4H") "4}," I(
					"03:00:00Z/PT4H") "5}," I("08:00:00Z/PT2H") "5}]",
				    FIRST + 6 * HOUR_S, &out, &f) == FAULT_NONE,
		      "%s", f.text);
	marks(&out, VAR_WINDOW_MINIMUM, got);
	ROW_STR(window_pasts[_i].past, got, window_pasts[_i].marks);
	marks(&out, VAR_WINDOW_MINIMUM_SPAN, got);
	ROW_STR(window_pasts[_i].past, got, window_pasts[_i].marks);
	issue_free(&out);
}
END_TEST

/* The last stamp is not the latest, the first not the earliest. */
START_TEST(takes_any_order)
{
	struct issue out;
	struct fault f = {0};
	char got[512];
	struct text t;
	describe("", "");
	ck_assert_msg(decode("{\"air\":[" I("03:00:00Z/PT1H") "4}," I("09:00:00Z/PT2H") "9}," I(
				 "01:00:00Z/PT1H") "1}," I("05:00:00Z/PT1H") "6}]}",
			     FIRST, &out, &f) == FAULT_NONE,
		      "%s", f.text);
	text_over(&t, got, sizeof got);
	values(&out, VAR_AIR_TEMPERATURE, &t);
	ck_assert_str_eq(got, "- 1 - 4 - 6 - - - 9 9 -");
	issue_free(&out);
}
END_TEST

static const struct {
	const char *var, *unit;
	double x, want;
} units[] = {
    {"wind_speed", "kn", 10, 5.144444444444444}, /* 1852 m in 3600 s */
    {"wind_speed", "wmoUnit:km_h-1", 36, 10},
    {"wind_speed", "mph", 10, 4.4704},
    {"dew_point_temperature", "[degF]", 23, -5},
    {"dew_point_temperature", "K", 273.15, 0},
    {"dew_point_temperature",
     "\xc2\xb0"
     "C",
     7, 7},
    {"air_pressure_at_mean_sea_level", "inHg", 30, 1015.917},
    {"air_pressure_at_mean_sea_level", "Pa", 101325, 1013.25},
    {"cloud_area_fraction", "okta", 2, 0.25},
    {"cloud_area_fraction", "wmoUnit:percent", 25, 0.25},
    {"relative_humidity", "1", 0.85, 0.85},
    {"relative_humidity", "%", 85, 0.85},
};

START_TEST(turns_units)
{
	char var[512], json[256];
	struct text t, j;
	struct issue out;
	struct fault f = {0};
	text_over(&t, var, sizeof var);
	text_addf(&t, "[var %s]\nunit = @/u\nkind = instant\n%s", units[_i].var, ROWS);
	text_over(&j, json, sizeof json);
	text_addf(&j, "\"u\":\"%s\",\"x\":[%s%.10g}]", units[_i].unit, T("00:00"), units[_i].x);
	describe("", var);
	ck_assert_msg(decode_framed(json, FIRST, &out, &f) == FAULT_NONE, "%s", f.text);
	ROW_STR(units[_i].unit, row_of(var_named(units[_i].var))->unit, units[_i].unit);
	ROW_NEAR(units[_i].unit, hours_get(&out.hours, var_named(units[_i].var), FIRST), units[_i].want, 1e-9);
	issue_free(&out);
}
END_TEST

START_TEST(tells_gaps)
{
	struct issue out;
	struct fault f = {0};
	describe("", WIND "unit = m/s\nkind = hold\n" SPAN);
	ck_assert_int_eq(
	    decode_framed("\"x\":[" I("01:00:00Z/PT1H") "1}," I("04:00:00Z/PT1H") "3}," I("06:00:00Z/PT2H") "2}]",
			  FIRST, &out, &f),
	    FAULT_NONE);
	const struct answer_row *row = row_of(VAR_WIND);
	ck_assert_uint_eq(row->items, 3);
	ck_assert_uint_eq(row->hours, 4);
	ck_assert_int_eq(row->first, FIRST + HOUR_S);
	ck_assert_int_eq(row->last, FIRST + 7 * HOUR_S);
	ck_assert_double_eq(row->min, 1);
	ck_assert_double_eq(row->max, 3);
	ck_assert_uint_eq(row->gaps, 2);
	ck_assert_int_eq(row->gap[0].from, FIRST + 2 * HOUR_S);
	ck_assert_uint_eq(row->gap[0].hours, 2);
	ck_assert_uint_eq(row->gap[1].hours, 1);
	issue_free(&out);
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("kinds");
	TCase *t = tcase_create("kinds");
	tcase_add_loop_test(t, lays_kinds, 0, sizeof kinds / sizeof kinds[0]);
	tcase_add_loop_test(t, never_adds_both, 0, sizeof ways / sizeof ways[0]);
	tcase_add_test(t, takes_second_section_where_empty);
	tcase_add_test(t, guards_rows);
	tcase_add_loop_test(t, does_not_mind_stamps, 0, sizeof told / sizeof told[0]);
	tcase_add_test(t, conserves_amounts);
	tcase_add_loop_test(t, marks_the_past, 0, sizeof pasts / sizeof pasts[0]);
	tcase_add_loop_test(t, marks_windows, 0, sizeof window_pasts / sizeof window_pasts[0]);
	tcase_add_test(t, takes_any_order);
	tcase_add_loop_test(t, turns_units, 0, sizeof units / sizeof units[0]);
	tcase_add_test(t, tells_gaps);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
