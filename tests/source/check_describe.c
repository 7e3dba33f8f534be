#include "source/describe.h"

#include <stdio.h>
#include <string.h>

#include "lib/harness.h"

/* A whole description, in parts, so that a row can put another part in one place. */
#define SOURCE "[source]\ntitle = T\ncredit = C\n"
#define STEP   "[step a]\nurl = https://weather.example/{lat}\n"
#define DATED  "[step a]\nurl = https://weather.example/?from={start}&to={end}\n"
#define DATA   "[data]\ntimes = /t\ntime_format = unix\n"
#define AIR    "[var air_temperature]\nvalues = /v\nunit = degC\nkind = instant\n"

static struct description d;

static enum fault_code parse(const char *text, struct faults *all)
{
	*all = (struct faults){0};
	return describe_parse("dir/x.ini", text, strlen(text), &d, all);
}

static void all_texts(const struct faults *all, char *mem, size_t size)
{
	struct text t;
	text_over(&t, mem, size);
	for (size_t i = 0; i < all->n; i++)
		text_addf(&t, "%s\n", all->at[i].text);
}

START_TEST(takes_least)
{
	struct faults all;
	ck_assert_msg(parse(SOURCE STEP DATA AIR, &all) == FAULT_NONE, "%s", all.at[0].text);
	ck_assert_str_eq(d.name, "x");
	ck_assert_uint_eq(d.steps, 1);
	ck_assert_uint_eq(d.vars, 1);
	ck_assert_uint_eq(d.lines, 1);
	ck_assert(!d.loopback && !d.contact);
	ck_assert_int_eq(d.past, ISSUE_PAST_NONE);
	ck_assert_int_eq(d.var[0].mark, MARK_INSTANT);
}
END_TEST

START_TEST(takes_all)
{
	struct faults all = {0};
	enum fault_code code = describe_load("fixtures/source/invented.ini", &d, &all);
	ck_assert_msg(code == FAULT_NONE, "%s", all.at[0].text);
	ck_assert_str_eq(d.name, "invented");
	ck_assert_str_eq(d.title, "Quillhaven Weather Room");
	ck_assert(d.contact);
	ck_assert_int_eq(d.min_interval_s, 7200);
	ck_assert_uint_eq(d.honour, HONOUR_ETAG);
	ck_assert_uint_eq(d.steps, 3);
	ck_assert_uint_eq(d.data_step, 2);
	ck_assert_uint_eq(d.step[0].sets, 2);
	ck_assert_int_eq(d.step[0].cache_s, 2 * 86400);
	ck_assert_str_eq(d.step[1].header[0], "X-Door: quill");
	ck_assert_int_eq(d.past, ISSUE_PAST_OBSERVED);
	ck_assert_int_eq(d.max_age_s, 9 * 3600);
	ck_assert_uint_eq(d.vars, 7);
	/* Two arrays share their stamps, two rows theirs; three interval lists have their own. */
	ck_assert_uint_eq(d.lines, 5);
	ck_assert_uint_eq(d.var[0].line, d.var[1].line);
	ck_assert_uint_eq(d.var[2].line, d.var[3].line);
	ck_assert(d.var[2].lenient && !d.var[3].lenient);
	ck_assert_double_eq(d.var[0].missing[0], -99);
	ck_assert_int_eq(d.var[4].mark, MARK_INTERVAL);
	/* For {vars}: the array's own name where nothing is said. */
	ck_assert_str_eq(d.var[0].ask, "warmth");
	ck_assert_str_eq(d.var[1].ask, "sky/cover~eighths");
	ck_assert_str_eq(d.var[2].ask, "breeze");
}
END_TEST

START_TEST(knows_loopback)
{
	struct faults all;
	ck_assert_int_eq(parse(SOURCE "[step a]\nurl = http://127.0.0.1:8080/x\n" DATA AIR, &all), FAULT_NONE);
	ck_assert(d.loopback);
	ck_assert_int_eq(parse(SOURCE "[step a]\nurl = http://[::1]:8080/x\n" DATA AIR, &all), FAULT_NONE);
	ck_assert(d.loopback);
}
END_TEST

START_TEST(takes_pieces)
{
	struct faults all;
	ck_assert_int_eq(parse(SOURCE STEP DATA AIR, &all), FAULT_NONE);
	ck_assert(!d.dated);
	ck_assert_int_eq(d.piece_days, 31);
	ck_assert_int_eq(d.lag_days, 0);
	ck_assert_int_eq(parse(SOURCE "piece = P2W\nlag = P5D\n" DATED DATA AIR, &all), FAULT_NONE);
	ck_assert(d.dated);
	ck_assert_int_eq(d.piece_days, 14);
	ck_assert_int_eq(d.lag_days, 5);
	ck_assert_int_eq(parse(SOURCE "piece = P99D\nlag = P1D\n" DATED DATA AIR, &all), FAULT_NONE);
	ck_assert_int_eq(d.piece_days, 99);
	ck_assert_int_eq(d.lag_days, 1);
}
END_TEST

START_TEST(keeps_windows_of_two_sections)
{
	struct faults all;
	ck_assert_int_eq(parse(SOURCE STEP DATA AIR
			       "[var air_temperature_minimum]\nvalues = /n\nunit = degC\nkind = min\n"
			       "stamp = begin\nperiod = PT14H\n[var air_temperature_minimum]\n"
			       "values = /six\nunit = degC\nkind = min\nstamp = end\nperiod = PT6H\n",
			       &all),
			 FAULT_NONE);
	ck_assert_uint_eq(d.vars, 3);
	ck_assert_uint_eq(d.lines, 1);
}
END_TEST

static const struct {
	const char *name, *text;
	const char *want; /* one line of the faults */
} faulty[] = {
    {"no source", STEP DATA AIR, "dir/x.ini:1: there is no [source]"},
    {"no step", SOURCE DATA AIR, "dir/x.ini:1: there is no [step NAME] with a url"},
    {"no data",
     SOURCE STEP "[var air_temperature]\nvalues = /v\ntimes = /t\ntime_format = unix\nunit = degC\nkind = instant\n",
     "dir/x.ini:1: there is no [data]"},
    {"no air temperature", SOURCE STEP DATA, "dir/x.ini:1: there is no [var air_temperature]"},
    {"unknown section", SOURCE STEP DATA AIR "[vars x]\n", "dir/x.ini:13: [vars] is not known; did you mean var"},
    {"section twice", SOURCE SOURCE STEP DATA AIR, "dir/x.ini:4: [source] is given twice, first in line 1"},
    {"unknown key", SOURCE "titel = x\n" STEP DATA AIR,
     "dir/x.ini:4: [source] has no key \"titel\"; did you mean title?"},
    {"key of another section", SOURCE STEP DATA AIR "cache = P7D\n", "dir/x.ini:13: [var] has no key \"cache\""},
    {"key twice", SOURCE "title = U\n" STEP DATA AIR, "dir/x.ini:4: title is given twice, first in line 2"},
    {"no value", SOURCE "error =\n" STEP DATA AIR, "dir/x.ini:4: error has no value; write /detail /title"},
    {"no credit", "[source]\ntitle = T\n" STEP DATA AIR,
     "dir/x.ini:1: [source] wants credit, the line that a note must print"},
    {"contact", SOURCE "contact = yes\n" STEP DATA AIR,
     "dir/x.ini:4: contact: \"yes\" is not known; write no or required"},
    {"honour", SOURCE "honour = expires, etags\n" STEP DATA AIR,
     "dir/x.ini:4: honour: \"etags\" is not known; did you mean etag?"},
    {"error pointer", SOURCE "error = detail\n" STEP DATA AIR,
     "dir/x.ini:4: error: \"detail\" is no JSON Pointer; it begins with /, as in /a/b"},
    {"duration", SOURCE "min_interval = 1 h\n" STEP DATA AIR, "dir/x.ini:4: min_interval: "},
    {"piece of part of a day", SOURCE "piece = PT36H\n" DATED DATA AIR,
     "dir/x.ini:4: piece: \"PT36H\" is not 1 to 99 whole days; write them as P31D"},
    {"piece longer than an answer may be", SOURCE "piece = P100D\n" DATED DATA AIR,
     "dir/x.ini:4: piece: \"P100D\" is not 1 to 99 whole days; write them as P31D"},
    {"piece of no day", SOURCE "piece = P0D\n" DATED DATA AIR, "dir/x.ini:4: piece: \"P0D\" is a duration of nothing"},
    {"piece as a number", SOURCE "piece = 31\n" DATED DATA AIR, "dir/x.ini:4: piece: \"31\" is not a duration"},
    {"area in words", SOURCE "area = Lowlands\n" STEP DATA AIR,
     "dir/x.ini:4: area: \"Lowlands\" is no country; \"world\", or two capital letters each, as \"DE AT\""},
    {"area in small letters", SOURCE "area = DE at\n" STEP DATA AIR, "dir/x.ini:4: area: \"at\" is no country; "},
    {"area of three letters", SOURCE "area = DEU\n" STEP DATA AIR, "dir/x.ini:4: area: \"DEU\" is no country; "},
    {"lag of hours", SOURCE "lag = PT5H\n" DATED DATA AIR,
     "dir/x.ini:4: lag: \"PT5H\" is not 1 to 99 whole days; write them as P31D"},
    {"piece of what takes no days", SOURCE "piece = P31D\n" STEP DATA AIR,
     "dir/x.ini:4: piece wants {start} and {end} in the url of the data"},
    {"lag of what takes no days",
     SOURCE "area = world\nlag = P5D\n[step a]\nurl = https://a.example/{start}\n" DATA AIR,
     "dir/x.ini:5: lag wants {start} and {end} in the url of the data"},
    {"days in another step than the data's", SOURCE "lag = P5D\n" DATED "[step b]\nurl = https://a.example/\n" DATA AIR,
     "dir/x.ini:4: lag wants {start} and {end} in the url of the data"},
    {"http", SOURCE "[step a]\nurl = http://weather.example/\n" DATA AIR, "dir/x.ini:5: url: "},
    {"localhost is no literal address", SOURCE "[step a]\nurl = http://localhost/\n" DATA AIR, "dir/x.ini:5: url: "},
    {"file", SOURCE "[step a]\nurl = file:///etc/passwd\n" DATA AIR, "dir/x.ini:5: url: "},
    {"variable host", SOURCE "[step a]\nurl = https://{lat}.example/\n" DATA AIR,
     "dir/x.ini:5: url: scheme and host must be written out"},
    {"first step is a variable", SOURCE "[step a]\nurl = {grid}\n" DATA AIR,
     "dir/x.ini:5: url: no earlier step sets {grid}"},
    {"set in the same step", SOURCE "[step a]\nurl = https://a.example/{g}\nset.g = /g\n" DATA AIR,
     "dir/x.ini:5: url: no earlier step sets {g}"},
    {"brace", SOURCE "[step a]\nurl = https://a.example/{lat\n" DATA AIR, "dir/x.ini:5: url: { is not closed"},
    {"other port than loopback",
     SOURCE "[step a]\nurl = http://127.0.0.1:1/\n[step b]\nurl = http://127.0.0.1:2/\n" DATA AIR,
     "dir/x.ini:7: url: not on the loopback host and port of the first step"},
    {"plain http beside loopback", SOURCE STEP "[step b]\nurl = http://127.0.0.1:2/\n" DATA AIR, "dir/x.ini:7: url: "},
    {"forget what is not there", SOURCE STEP "on_404 = forget b\n" DATA AIR,
     "dir/x.ini:4: on_404: there is no earlier step \"b\""},
    {"data step", SOURCE STEP DATA "step = b\n" AIR, "dir/x.ini:9: step: \"b\" is not known"},
    {"past", SOURCE STEP DATA "past = analyzed\n" AIR,
     "dir/x.ini:9: past: \"analyzed\" is not known; did you mean analysed?"},
    {"time for observations that are none", SOURCE STEP DATA "past = analysed\nobserved_after = PT6H\n" AIR,
     "dir/x.ini:10: observed_after wants past = observed"},
    {"time for a past left out", SOURCE STEP DATA "observed_after = PT6H\n" AIR,
     "dir/x.ini:9: observed_after wants past = observed"},
    {"time for observations", SOURCE STEP DATA "past = observed\nobserved_after = 6\n" AIR,
     "dir/x.ini:10: observed_after: \"6\" is not a duration"},
    {"time format", SOURCE STEP "[data]\ntimes = /t\ntime_format = rfc3339z\n" AIR,
     "dir/x.ini:8: time_format: \"rfc3339z\" is not known; did you mean rfc3339?"},
    {"no time format", SOURCE STEP "[data]\ntimes = /t\n" AIR,
     "dir/x.ini:8: [var air_temperature] wants time_format (here or in [data])"},
    {"no times", SOURCE STEP "[data]\ntime_format = unix\n" AIR,
     "dir/x.ini:8: [var air_temperature] wants times beside values (here or in [data])"},
    {"rows without time",
     SOURCE STEP "[data]\nrows = /r\nvalue = /v\ntime_format = unix\n[var air_temperature]\n"
		 "unit = degC\nkind = instant\n",
     "dir/x.ini:10: [var air_temperature] wants time, the stamp of a row (here or in [data])"},
    {"neither values nor value", SOURCE STEP DATA "[var air_temperature]\nunit = degC\nkind = instant\n",
     "dir/x.ini:9: [var air_temperature] wants values (parallel arrays) or value (rows)"},
    {"a way left out", SOURCE STEP DATA AIR "values.3 = /w\n", "dir/x.ini:9: [var air_temperature] has no values.2"},
    {"a way too many", SOURCE STEP DATA AIR "values.4 = /w\n", "dir/x.ini:13: [var] has no key \"values.4\""},
    {"variable", SOURCE STEP DATA AIR "[var air_temp]\n", "dir/x.ini:13: variable \"air_temp\" is not known; "},
    {"variable not to be mapped", SOURCE STEP DATA AIR "[var air_temperature_minimum_span]\n",
     "dir/x.ini:13: variable \"air_temperature_minimum_span\" is not known; "},
    {"unit", SOURCE STEP DATA "[var air_temperature]\nvalues = /v\nunit = hPa\nkind = instant\n",
     "dir/x.ini:11: unit: unit \"hPa\" is not known; write "},
    {"no unit", SOURCE STEP DATA "[var air_temperature]\nvalues = /v\nkind = instant\n",
     "dir/x.ini:9: [var air_temperature] wants unit, as in unit = "},
    {"unit pointer", SOURCE STEP DATA "[var air_temperature]\nvalues = /v\nunit = @u\nkind = instant\n",
     "dir/x.ini:11: unit: \"u\" is no JSON Pointer"},
    {"kind", SOURCE STEP DATA "[var air_temperature]\nvalues = /v\nunit = degC\nkind = instance\n",
     "dir/x.ini:12: kind: \"instance\" is not known; did you mean instant?"},
    {"no kind", SOURCE STEP DATA "[var air_temperature]\nvalues = /v\nunit = degC\n",
     "dir/x.ini:9: [var air_temperature] wants kind: instant, hold, mean, max"},
    {"kind of another variable", SOURCE STEP DATA "[var air_temperature]\nvalues = /v\nunit = degC\nkind = total\n",
     "dir/x.ini:9: kind = total makes no sense for air_temperature; write instant, hold, mean, max"},
    {"no stamp",
     SOURCE STEP DATA AIR "[var precipitation_amount]\nvalues = /v\nunit = mm\nkind = total\nperiod = PT1H\n",
     "dir/x.ini:13: [var precipitation_amount] wants stamp = begin or end: what the stamp marks"},
    {"no period",
     SOURCE STEP DATA AIR "[var precipitation_amount]\nvalues = /v\nunit = mm\nkind = total\nstamp = end\n",
     "dir/x.ini:13: [var precipitation_amount] wants period, as in period = PT1H (one for each value)"},
    {"period of a second value",
     SOURCE STEP DATA AIR
     "[var precipitation_amount]\nvalues = /v\nvalues.2 = /w\nunit = mm\nkind = total\nstamp = end\n"
     "period = PT1H\n",
     "dir/x.ini:13: [var precipitation_amount] wants period, as in period = PT1H (one for each value)"},
    {"period of an instant", SOURCE STEP DATA AIR "period = PT1H\n",
     "dir/x.ini:9: [var air_temperature] kind = instant: stamp and period have no meaning here"},
    {"instant of an interval", SOURCE STEP "[data]\ntimes = /t\ntime_format = iso8601-interval\n" AIR,
     "dir/x.ini:9: [var air_temperature] kind = instant with intervals; write hold"},
    {"fill without gap", SOURCE STEP DATA AIR "fill = linear\n",
     "dir/x.ini:9: [var air_temperature] fill = linear wants max_gap, as in max_gap = PT6H"},
    {"gap without fill", SOURCE STEP DATA AIR "max_gap = PT6H\n",
     "dir/x.ini:9: [var air_temperature] max_gap wants fill = linear"},
    {"fill of an amount",
     SOURCE STEP DATA AIR
     "[var precipitation_amount]\nvalues = /v\nunit = mm\nkind = total\nstamp = end\nperiod = PT1H\n"
     "fill = linear\nmax_gap = PT6H\n",
     "dir/x.ini:13: [var precipitation_amount] fill = linear is for kind = instant alone"},
    {"guard of arrays", SOURCE STEP DATA AIR "only_if_missing = /x\n",
     "dir/x.ini:9: [var air_temperature] only_if_missing is for rows"},
    {"local without offset", SOURCE STEP "[data]\ntimes = /t\ntime_format = local\n" AIR,
     "dir/x.ini:6: time_format = local wants time_offset or time_zone in [data]"},
    {"offset and zone",
     SOURCE STEP "[data]\ntimes = /t\ntime_format = local\ntime_offset = 0\ntime_zone = Etc/UTC\n" AIR,
     "dir/x.ini:6: time_offset and time_zone exclude each other"},
    {"ask without list", SOURCE STEP DATA AIR "ask = t\n", "dir/x.ini:9: [var air_temperature] ask: no url has {vars}"},
    {"list without ask",
     SOURCE "[step a]\nurl = https://a.example/{vars}\n[data]\nrows = /r\ntime = /t\nvalue = /v\n"
	    "time_format = unix\n[var air_temperature]\nunit = degC\nkind = instant\n",
     "dir/x.ini:11: [var air_temperature] wants ask, the service's name of it for {vars}"},
};

START_TEST(says_what_is_wrong)
{
	char got[8192];
	struct faults all;
	ROW_INT(faulty[_i].name, parse(faulty[_i].text, &all), FAULT_CONFIG);
	all_texts(&all, got, sizeof got);
	ck_assert_msg(strstr(got, faulty[_i].want) != NULL, "%s: want\n%s\ngot\n%s", faulty[_i].name, faulty[_i].want,
		      got);
}
END_TEST

START_TEST(says_all_at_once)
{
	struct faults all;
	ck_assert_int_eq(parse("[source]\ntitle = T\ncolour = red\n[step a]\nurl = ftp://a/\n[data]\npast = x\n"
			       "[var air_temperature]\nunit = furlong\nkind = sort\n",
			       &all),
			 FAULT_CONFIG);
	ck_assert_uint_ge(all.n, 6);
}
END_TEST

START_TEST(names_every_key)
{
	/* For the manual: each key has its words, and no two rows of a section share a name. */
	const struct describe_key *k;
	size_t n = 0;
	for (; (k = describe_key_at(n)) != NULL; n++) {
		ck_assert(k->sections != 0 && *k->key != '\0' && *k->value != '\0' && *k->help != '\0');
		for (size_t j = 0; j < n; j++)
			ck_assert((describe_key_at(j)->sections & k->sections) == 0 ||
				  strcmp(describe_key_at(j)->key, k->key) != 0);
	}
	ck_assert_uint_gt(n, 30);
}
END_TEST

static const char *const shipped[] = {
    "config/sources/nws-grid.ini",           "config/sources/metno.ini",      "config/sources/open-meteo.ini",
    "config/sources/open-meteo-archive.ini", "config/sources/bright-sky.ini",
};

START_TEST(takes_shipped)
{
	struct faults all = {0};
	enum fault_code code = describe_load(shipped[_i], &d, &all);
	ck_assert_msg(code == FAULT_NONE, "%s", all.at[0].text);
	ck_assert(d.min_interval_s >= 3600 && !d.loopback);
}
END_TEST

static const struct {
	const char *area, *country;
	enum describe_fit fit;
} fits[] = {
    {"", "DE", FIT_WORLD},
    {"", "", FIT_WORLD},
    {"area = world\n", "DE", FIT_WORLD},
    {"area = world\n", "", FIT_WORLD},
    {"area = DE\n", "DE", FIT_COUNTRY},
    {"area = DE, AT CH\n", "AT", FIT_COUNTRY},
    {"area = DE AT\n", "CH", FIT_NOT},
    {"area = DE AT\n", "EA", FIT_NOT},
    {"area = DE\n", "", FIT_NOT},
};

START_TEST(says_where_it_fits)
{
	char file[1024];
	struct faults all = {0};
	snprintf(file, sizeof file, SOURCE "%s" STEP DATA AIR, fits[_i].area);
	ck_assert_msg(describe_parse("x.ini", file, strlen(file), &d, &all) == FAULT_NONE, "%s", all.at[0].text);
	ROW_MSG(describe_fits(&d, fits[_i].country) == fits[_i].fit, "%s in \"%s\"", fits[_i].area, fits[_i].country);
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("describe");
	TCase *t = tcase_create("describe");
	tcase_add_test(t, takes_least);
	tcase_add_test(t, takes_all);
	tcase_add_test(t, knows_loopback);
	tcase_add_test(t, takes_pieces);
	tcase_add_test(t, keeps_windows_of_two_sections);
	tcase_add_loop_test(t, says_what_is_wrong, 0, sizeof faulty / sizeof faulty[0]);
	tcase_add_test(t, says_all_at_once);
	tcase_add_test(t, names_every_key);
	tcase_add_loop_test(t, takes_shipped, 0, sizeof shipped / sizeof shipped[0]);
	tcase_add_loop_test(t, says_where_it_fits, 0, sizeof fits / sizeof fits[0]);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
