#include <ctype.h>
#include <stdio.h>
#include <string.h>

#include "base/instant.h"
#include "base/utf8.h"
#include "lib/morning.h"

START_TEST(quiet_day)
{
	bed_planting(&morning.garden, &morning.crops, "green-1", "gourdlet", "2026-04-10", "2026-05-01");
	morning_compose((const double[]){55, 56, 57, 58, 59}, 5, (const double[]){55, 55, 56, 57, 58, 59});
	for (int i = 1; i <= 5; i++) {
		struct day *d = &morning.state.day[i];
		d->tmax_c = bed_c(69 + i);
		d->rain_known = d->cloud_known = d->wind_known = 24;
		d->cloud_frac = i == 1 ? 0.1 : i == 2 ? 0.9 : 0.5;
		d->rain_mm = i == 3 ? 4 : 0;
		d->wind_ms = i == 4 ? 8 : 3;
	}
	ck_assert_str_eq(morning_note(), "Test Lane, Tue 19 May                                nothing to do today\n"
					 "\n"
					 "Nights  Tue 55   Wed 56   Thu 57   Fri 58   Sat 59 F\n"
					 "Days    Wed 70 sun   Thu 71 grey   Fri 72 rain   Sat 73 wind   Sun 74 F\n"
					 "Forecast of 4:17 am today. Invented forecast.\n");
}
END_TEST

START_TEST(frost_in_full)
{
	bed_planting(&morning.garden, &morning.crops, "green-1", "gourdlet", "2026-04-10", "2026-05-01");
	bed_planting(&morning.garden, &morning.crops, "tom-1", "redberry", "2026-04-10", "2026-05-01");
	morning_compose((const double[]){31, 50, 50, 50, 50}, 5, NULL);
	bed_clear(&morning.state, 0, 1.2, 2.3);
	morning_again(false);
	ck_assert_str_eq(morning_note(), "Test Lane, Tue 19 May                    hard frost likely tonight, 31 F\n"
					 "\n"
					 "1 COVER green-1 and tom-1 today by 7 pm: 31 F forecast for tonight, 29\n"
					 "  in the bed, 27 on the leaf; over 9 in 10 to freeze. Fleece or sheets\n"
					 "  on hoops, edges weighted, nothing touching the leaves, plastic least\n"
					 "  of all. No fuel heater, lamp or candle under it; electric heat only if\n"
					 "  rated for outdoors, on a residual-current protected socket. Off in the\n"
					 "  morning, before the sun is strong.\n"
					 "\n"
					 "Nights  Tue 31   Wed 50   Thu 50   Fri 50   Sat 50 F\n"
					 "Days    not known\n"
					 "Tell me tomorrow how cold it was in the bed, as:\n"
					 "  dewpost diary add \"low 29 F\"\n"
					 "Not in this forecast: rain, cloud and wind. Forecast of 4:17 am today.\n"
					 "Invented forecast.\n");
	morning_compose((const double[]){31, 50, 50, 50, 50}, 5, (const double[]){50, 31, 50, 50, 50, 50});
	bed_clear(&morning.state, 0, 1.2, 2.3);
	morning_again(true);
	ck_assert_str_eq(morning_note(), "Test Lane, Tue 19 May                    hard frost likely tonight, 31 F\n"
					 "\n"
					 "1 COVER green-1 and tom-1 today by 7 pm: 31 F forecast for tonight, 29\n"
					 "  in the bed, 27 on the leaf; over 9 in 10 to freeze. Nothing touching\n"
					 "  the leaves. Off in the morning.\n"
					 "\n"
					 "Nights  Tue 31   Wed 50   Thu 50   Fri 50   Sat 50 F\n"
					 "Days    not known\n"
					 "Tell me tomorrow how cold it was in the bed, as:\n"
					 "  dewpost diary add \"low 29 F\"\n"
					 "Not in this forecast: rain, cloud and wind. Forecast of 4:17 am today.\n"
					 "Invented forecast.\n");
}
END_TEST

/* What goes for every planting is told once. */
START_TEST(told_once)
{
	bed_planting(&morning.garden, &morning.crops, "old", "gourdlet", "2026-04-10", "2026-05-01");
	bed_planting(&morning.garden, &morning.crops, "new", "redberry", "2026-04-10", "2026-05-18");
	bed_planting(&morning.garden, &morning.crops, "a", "gourdlet", "2026-04-20", "");
	bed_planting(&morning.garden, &morning.crops, "b", "redberry", "2026-04-20", "");
	morning_compose((const double[]){35, 41, 68, 68, 68, 68, 68, 68}, 8, NULL);
	morning_note();
	ck_assert_uint_eq(morning.lines.n, 4);
	for (int i = 0; i < 2; i++) {
		const char *what = i == 0 ? "No fuel heater, lamp or candle" : "Of frost after";
		const char *first = strstr(morning_flat(), what);
		ck_assert_msg(first != NULL && strstr(first + 1, what) == NULL, "once: %s\n%s", what, morning.t.at);
	}
}
END_TEST

START_TEST(no_forecast)
{
	bed_planting(&morning.garden, &morning.crops, "green-1", "gourdlet", "2026-04-10", "2026-05-01");
	bed_planting(&morning.garden, &morning.crops, "green-2", "gourdlet", "2026-04-20", "");
	bed_planting(&morning.garden, &morning.crops, "tom-2", "redberry", "2026-04-20", "");
	morning_compose(NULL, 0, NULL);
	morning.state.forecast = (struct forecast_state){.reaches = morning.state.cut};
	morning.facts.trouble = "the service does not answer";
	ck_assert_str_eq(morning_note(), "Test Lane, Tue 19 May                                        no forecast\n"
					 "\n"
					 "1 LOOK at the sky at dusk (sunset 8:24 pm): I have no forecast for\n"
					 "  tonight. If it is clear and calm, cover green-1, nothing touching the\n"
					 "  leaves.\n"
					 "2 WAIT with green-2 and tom-2: I cannot tell without a forecast.\n"
					 "\n"
					 "This morning's fetch failed: the service does not answer. No forecast in\n"
					 "the record.\n");
}
END_TEST

/* Warm nights are no all-clear where the forecast is old, and no number of it is the only word. */
START_TEST(old_forecast)
{
	bed_planting(&morning.garden, &morning.crops, "green-1", "gourdlet", "2026-04-10", "2026-05-01");
	bed_planting(&morning.garden, &morning.crops, "green-2", "gourdlet", "2026-04-20", "");
	morning_compose((const double[]){61, 61, 61, 61, 61, 61}, 6, NULL);
	morning.state.forecast.trust = TRUST_AGED;
	morning.state.forecast.age_s = 31 * HOUR_S;
	morning.state.forecast.made = morning.state.cut - 31 * HOUR_S;
	morning_again(false);
	ck_assert_str_eq(morning_note(), "Test Lane, Tue 19 May                       the forecast is 31 hours old\n"
					 "\n"
					 "1 LOOK at the sky at dusk (sunset 8:24 pm): I cannot judge tonight, the\n"
					 "  forecast is 31 hours old (it said 61). If it is clear and calm, cover\n"
					 "  green-1, nothing touching the leaves.\n"
					 "2 WAIT with green-2: I cannot tell, the forecast is 31 hours old.\n"
					 "\n"
					 "Nights  Tue 61   Wed 61   Thu 61   Fri 61   Sat 61 F\n"
					 "Days    not known\n"
					 "Not in this forecast: rain, cloud and wind. Forecast of Sun 17, 10:17\n"
					 "pm, 31 hours old. Invented forecast.\n");
}
END_TEST

/* In a week of warm nights nobody asks about frost. */
START_TEST(no_frost_talk_in_summer)
{
	bed_planting(&morning.garden, &morning.crops, "green-1", "gourdlet", "2026-04-10", "2026-05-01");
	morning_compose(NULL, 0, NULL);
	bed_nights(&morning.state, -7, (const double[]){58, 59, 60, 61, 62, 60, 58}, 7);
	morning_again(false);
	morning_note();
	HAS("unknown", "Nights not known");
	LACKS("warm", "LOOK");
	LACKS("warm", "frost");
	LACKS("warm", "cover");
}
END_TEST

/* Nights that are known in part are not known; unknown ones in a row are one item. */
static const struct {
	const char *name;
	double low[5];
	const char *want;
} rows[] = {
    {"all", {50, 51, 52, 53, 54}, "Nights Tue 50 Wed 51 Thu 52 Fri 53 Sat 54 F Days"},
    {"one out", {50, 51, NAN, 53, 54}, "Nights Tue 50 Wed 51 Thu not known Fri 53 Sat 54 F Days"},
    {"two out", {50, NAN, NAN, 53, 54}, "Nights Tue 50 Wed to Thu not known Fri 53 Sat 54 F Days"},
    {"the end", {50, 51, NAN, NAN, NAN}, "Nights Tue 50 Wed 51 F Thu to Sat not known Days"},
    {"the last", {50, 51, 52, 53, NAN}, "Nights Tue 50 Wed 51 Thu 52 Fri 53 F Sat not known Days"},
    {"the first", {NAN, NAN, 52, 53, 54}, "Nights Tue to Wed not known Thu 52 Fri 53 Sat 54 F Days"},
    {"every second", {50, NAN, 52, NAN, 54}, "Nights Tue 50 Wed not known Thu 52 Fri not known Sat 54 F Days"},
    {"none", {NAN, NAN, NAN, NAN, NAN}, "Nights not known Days"},
};

START_TEST(holes_in_a_row)
{
	bed_planting(&morning.garden, &morning.crops, "green-1", "gourdlet", "2026-04-10", "2026-05-01");
	morning_compose(rows[_i].low, 5, NULL);
	for (int i = 0; i < 5; i++) {
		struct night *n = &morning.state.night[STATE_NIGHTS_BEFORE + i];
		if (!n->complete) {
			n->known = 9;
			n->lowest_seen_c = bed_c(47);
		}
	}
	morning_again(false);
	morning_note();
	HAS(rows[_i].name, rows[_i].want);
	LACKS(rows[_i].name, "47");
}
END_TEST

/* Cold nights get a word on their sky, warm ones do not. */
static const struct {
	double low, cloud, wind;
	const char *want;
} skies[] = {
    {40, 0.1, 1, "Tue 40 clear, calm "}, {40, 0.1, 4, "Tue 40 clear "}, {40, 0.9, 1, "Tue 40 cloud "},
    {40, 0.5, 1, "Tue 40 Wed"},          {40, 0.1, 7, "Tue 40 wind "},  {40, NAN, NAN, "Tue 40 Wed"},
    {55, 0.1, 1, "Tue 55 Wed"},
};

START_TEST(night_skies)
{
	bed_planting(&morning.garden, &morning.crops, "green-1", "gourdlet", "2026-04-10", "2026-05-01");
	morning_compose((const double[]){skies[_i].low, 50, 50, 50, 50}, 5, NULL);
	struct night *tonight = &morning.state.night[STATE_NIGHTS_BEFORE];
	tonight->cloud_frac = skies[_i].cloud;
	tonight->wind_ms = skies[_i].wind;
	tonight->cloud_known = isnan(skies[_i].cloud) ? 0 : 7; /* of 8 */
	tonight->wind_known = isnan(skies[_i].wind) ? 0 : 7;
	morning_note();
	HAS(skies[_i].want, skies[_i].want);
	/* Of less than four fifths of the dark nothing is said. */
	tonight->cloud_known = tonight->wind_known = 6;
	text_clear(&morning.t);
	morning_note();
	HAS("too little", skies[_i].low > 50 ? "Tue 55 Wed" : "Tue 40 Wed");
	/* Wind ends before cloud does: a clear night, but nobody calls it calm. */
	tonight->cloud_known = 8;
	text_clear(&morning.t);
	morning_note();
	LACKS("wind is not known", "calm");
	LACKS("wind is not known", "40 wind");
}
END_TEST

/* Layers that end before the temperature does, which goes on for all five days: hours known of each day from 19 May on.
 */
static const struct {
	const char *name;
	int rain[6], chance[6], cloud[6], wind[6];
	const char *want; /* after "Not in this forecast: "; NULL: it says nothing of the kind */
} layers[] = {
    {"all", {24, 24, 24, 24, 24, 24}, {0}, {15, 15, 15, 15, 15, 15}, {24, 24, 24, 24, 24, 24}, NULL},
    {"chance will do for rain",
     {0},
     {15, 15, 15, 15, 15, 15},
     {15, 15, 15, 15, 15, 15},
     {24, 24, 24, 24, 24, 24},
     NULL},
    {"one ends", {24, 24, 24}, {0}, {15, 15, 15, 15, 15, 15}, {24, 24, 24, 24, 24, 24}, "rain after Thu. "},
    {"amounts end, then chances",
     {24, 24, 24},
     {15, 15, 15, 15},
     {15, 15, 15, 15, 15, 15},
     {24, 24, 24, 24, 24, 24},
     "rain after Fri. "},
    {"in the middle of a day",
     {24, 24, 24, 12},
     {0},
     {15, 15, 15, 15, 15, 15},
     {24, 24, 24, 24, 24, 24},
     "rain after Thu. "},
    {"two together", {24, 24, 24, 24, 24, 24}, {0}, {15, 15}, {24, 24}, "cloud and wind after Wed. "},
    {"all three apart",
     {24, 24, 24},
     {0},
     {15, 15, 15, 15},
     {24, 24},
     "wind after Wed, rain after Thu, cloud after Fri. "},
    {"all three together", {24, 24, 24}, {0}, {15, 15, 15}, {24, 24, 24}, "rain, cloud and wind after Thu. "},
    {"with today", {18}, {0}, {15, 15, 15, 15, 15, 15}, {24, 24, 24, 24, 24, 24}, "rain after today. "},
    {"early tomorrow", {24, 6}, {0}, {15, 15, 15, 15, 15, 15}, {24, 24, 24, 24, 24, 24}, "rain after today. "},
    {"one never told, one ends", {0}, {0}, {15, 15, 15}, {24, 24, 24, 24, 24, 24}, "rain, cloud after Thu. "},
    {"none", {0}, {0}, {0}, {0}, "rain, cloud and wind. "},
    {"a hole", {24, 24, 0, 24, 24, 24}, {0}, {15, 15, 15, 15, 15, 15}, {24, 24, 24, 24, 24, 24}, "rain after Wed. "},
};

static void layered(size_t row, int days)
{
	for (int i = 0; i <= days; i++) {
		struct day *d = &morning.state.day[i];
		d->tmax_c = bed_c(70);
		d->rain_known = layers[row].rain[i];
		d->rain_chance_known = layers[row].chance[i];
		d->cloud_known = layers[row].cloud[i];
		d->wind_known = layers[row].wind[i];
		d->rain_mm = d->rain_known > 0 ? 0 : (double)NAN;
		d->rain_chance_frac = d->rain_chance_known > 0 ? 0 : (double)NAN;
		d->cloud_frac = d->cloud_known > 0 ? 0.1 : (double)NAN;
		d->wind_ms = d->wind_known > 0 ? 1 : (double)NAN;
	}
}

START_TEST(layers_that_end)
{
	const char *row = layers[_i].name;
	bed_planting(&morning.garden, &morning.crops, "green-1", "gourdlet", "2026-04-10", "2026-05-01");
	morning_compose((const double[]){55, 55, 55, 55, 55}, 5, NULL);
	layered((size_t)_i, 5);
	morning_note();
	if (layers[_i].want == NULL) {
		LACKS(row, "Not in this forecast");
	} else {
		char want[120];
		snprintf(want, sizeof want, "Not in this forecast: %sForecast of", layers[_i].want);
		HAS(row, want);
	}
	/* Sunny is what is known to be. */
	for (int i = 1; i <= 5; i++) {
		char sunny[24];
		snprintf(sunny, sizeof sunny, "%s 70%s sun", date_weekday_short(date_weekday(bed_day(i))),
			 i == 5 ? " F" : "");
		if (layers[_i].cloud[i] == 15)
			HAS(row, sunny);
		else
			LACKS(row, sunny);
	}
}
END_TEST

/* Where the row itself ends the layers need not be said to. */
START_TEST(layers_with_the_row)
{
	bed_planting(&morning.garden, &morning.crops, "green-1", "gourdlet", "2026-04-10", "2026-05-01");
	morning_compose((const double[]){55, 55, 55, 55, 55}, 5, NULL);
	layered(7, 2); /* all three together, to Thursday */
	morning_note();
	HAS("all", "Days Wed 70 sun Thu 70 F sun Fri to Sun not known");
	LACKS("all", "Not in this forecast");
}
END_TEST

START_TEST(what_only_the_grower_knows)
{
	bed_planting(&morning.garden, &morning.crops, "green-1", "gourdlet", "", "");
	bed_planting(&morning.garden, &morning.crops, "tom-1", "redberry", "", "");
	morning_compose((const double[]){55, 55, 55, 55, 55}, 5, NULL);
	morning.state.planting[0].where = morning.state.planting[1].where = PLANTING_UNDATED;
	morning_again(false);
	morning_note();
	HAS("undated", "Tell me when you sowed or planted out green-1 and tom-1. If today:");
	ck_assert_msg(strstr(morning.t.at, "\n  dewpost diary add \"planted out green-1\"\n") != NULL,
		      "a line of its own: %s", morning.t.at);
	LACKS("one request a day", "planted out tom-1");
	morning_setup();
	morning_compose((const double[]){55, 55, 55, 55, 55}, 5, NULL);
	morning_note();
	HAS("empty", "No planting in the garden file yet.");
	HAS("empty", "nothing to do today");
}
END_TEST

/* What a file of the grower's own had that is new: six lines, each wrapped under itself, and how many more. */
START_TEST(lines_of_a_file)
{
	static const char seven[] =
	    "Tue 19 May: picked 1\nTue 19 May: picked 2\nTue 19 May: picked 3\nTue 19 May: picked 4\n"
	    "Tue 19 May: picked 5\nTue 19 May: picked 6\nTue 19 May: picked 7\n";
	bed_planting(&morning.garden, &morning.crops, "green-1", "gourdlet", "2026-04-10", "2026-05-01");
	morning_compose((const double[]){55, 55, 55, 55, 55}, 5, NULL);
	morning.facts.diary = "Tue 19 May: a line that is longer than a note is wide, which is seventy-two columns\n";
	morning_note();
	ck_assert_msg(strstr(morning.t.at, "\nDiary   Tue 19 May: a line that is longer than a note is wide, which is\n"
					   "          seventy-two columns\n") != NULL,
		      "%s", morning.t.at);
	morning.facts.diary = seven;
	morning_note();
	ck_assert_msg(
	    strstr(morning.t.at, "\n        Tue 19 May: picked 6\n        and 1 more: dewpost diary list\n") != NULL,
	    "%s", morning.t.at);
	LACKS("the seventh", "picked 7");
	morning.facts.diary = "";
	morning_note();
	LACKS("nothing new", "Diary");
}
END_TEST

START_TEST(more_than_five)
{
	for (int i = 0; i < 7; i++) {
		char name[KEY_WORD_SIZE];
		snprintf(name, sizeof name, "p%d", i);
		size_t p = bed_planting(&morning.garden, &morning.crops, name, "gourdlet", "2026-04-20", "");
		morning.garden.planting[p].figures.night_line_c = bed_c(60 + i);
	}
	morning_compose((const double[]){50, 50, 50, 50, 50}, 5, NULL);
	morning_note();
	HAS("five", "5 WAIT with p4");
	LACKS("five", "\n6 ");
	HAS("rest", "2 more lines: dewpost morning --json has them.");
}
END_TEST

START_TEST(long_names)
{
	snprintf(morning.garden.name, sizeof morning.garden.name,
		 "The long garden between the old mill and the brook behind the big hedge row");
	bed_planting(&morning.garden, &morning.crops, "green-1", "gourdlet", "2026-04-10", "2026-05-01");
	morning_compose((const double[]){31, 50, 50, 50, 50}, 5, NULL);
	static const char want[] = "The long garden between the old mill and the brook behind the big hedge\n"
				   "row, Tue 19 May\n"
				   "frost likely tonight, 31 F\n";
	ck_assert_msg(strncmp(morning_note(), want, sizeof want - 1) == 0, "%s", morning.t.at);
}
END_TEST

static unsigned lot(unsigned *seed, unsigned below)
{
	*seed = *seed * 1103515245u + 12345u;
	return (*seed >> 16) % below;
}

static void some_garden(unsigned *seed)
{
	static const char *const planted[] = {"", "2026-05-01", "2026-05-16", "2026-05-19"};
	static const char *const sown[] = {"2026-04-10", "2026-05-09", "2026-05-18"};
	if (lot(seed, 3) == 0) {
		snprintf(morning.garden.name, sizeof morning.garden.name, "%.*s",
			 utf8_most("Sch\xc3\xb6ne lange G\xc3\xa4rten hinter der alten M\xc3\xbchle am Ufer des Baches",
				   10 + lot(seed, 62)),
			 "Sch\xc3\xb6ne lange G\xc3\xa4rten hinter der alten M\xc3\xbchle am Ufer des Baches");
	}
	morning.garden.units = lot(seed, 2) ? UNIT_US : UNIT_METRIC;
	for (unsigned i = 0, n = 1 + lot(seed, 20); i < n; i++) {
		char name[KEY_WORD_SIZE];
		snprintf(name, sizeof name, "planting-%u-of-the-bed", i);
		const char *out = planted[lot(seed, 4)];
		size_t p = bed_planting(&morning.garden, &morning.crops, name, lot(seed, 2) ? "gourdlet" : "redberry",
					*out != '\0' ? sown[0] : sown[lot(seed, 3)], out);
		if (lot(seed, 4) == 0)
			morning.garden.planting[p].figures.night_line_c = bed_c(52 + lot(seed, 12));
	}
}

static void some_morning(unsigned *seed)
{
	double low[10], was[11];
	for (int i = 0; i < 11; i++) {
		was[i] = 24 + lot(seed, 440) / 10.0;
		if (i > 0)
			low[i - 1] = lot(seed, 9) == 0 ? (double)NAN : was[i] - 3 + lot(seed, 70) / 10.0;
	}
	morning_compose(low, 10, lot(seed, 4) ? was : NULL);
	for (int i = 0; i < 10; i++) {
		struct night *n = &morning.state.night[STATE_NIGHTS_BEFORE + i];
		if (!n->complete && lot(seed, 2)) {
			n->known = (int)lot(seed, 16);
			n->lowest_seen_c = bed_c(30 + lot(seed, 40));
		}
	}
	bed_age(&morning.state, (lot(seed, 3) == 0 ? lot(seed, 120) : lot(seed, 18)) * HOUR_S);
	morning.state.cut += (int64_t)lot(seed, 18) * HOUR_S;
	morning_again(lot(seed, 4) != 0 && morning.before.plantings == morning.state.plantings);
	morning.facts.trouble = lot(seed, 5) == 0 ? "the service answers with status 503, try again later" : NULL;
}

/* No line is longer than the columns, none ends in a blank, no number has decimals, whatever is put in. */
START_TEST(columns)
{
	unsigned seed = 4711;
	for (int round = 0; round < 400; round++) {
		morning_setup();
		some_garden(&seed);
		some_morning(&seed);
		morning_note();
		for (size_t k = 0; k < morning.lines.n; k++)
			why_write(&morning.facts, k, &morning.t);
		degrees_write(&morning.facts, NULL, &morning.t);
		ck_assert(!morning.t.full);
		LACKS("never minus nothing", "-0 ");
		LACKS("no number missing", "nan");
		for (const char *line = morning.t.at; *line != '\0'; line += strcspn(line, "\n") + 1) {
			size_t len = strcspn(line, "\n");
			ROW_MSG(utf8_width(line, len) <= NOTE_COLUMNS, "%zu columns: %.*s", utf8_width(line, len),
				(int)len, line);
			ROW_MSG(len == 0 || line[len - 1] != ' ', "ends in a blank: \"%.*s\"", (int)len, line);
			for (size_t i = 1; i + 1 < len; i++) {
				ROW_MSG(line[i] != '.' || !isdigit((unsigned char)line[i - 1]) ||
					    !isdigit((unsigned char)line[i + 1]),
					"decimals: %.*s", (int)len, line);
			}
		}
	}
}
END_TEST

/* An all-clear is said only of nights that are known, by a forecast that holds. */
START_TEST(no_false_all_clear)
{
	unsigned seed = 815;
	for (int round = 0; round < 400; round++) {
		morning_setup();
		some_garden(&seed);
		some_morning(&seed);
		morning_note();
		const struct night *tonight = season_tonight(&morning.state);
		bool outside = false;
		for (size_t i = 0; i < morning.state.plantings; i++)
			outside = outside || morning.state.planting[i].where == PLANTING_OUT;
		if (outside && (!tonight->complete || morning.state.forecast.trust > TRUST_FULL)) {
			LACKS("cannot tell", "nothing to do");
			LACKS("cannot tell", "tonight no longer needs a cover");
			ck_assert_uint_gt(morning.lines.n, 0);
			ck_assert_int_eq(morning.lines.at[0].lead->decision, DECISION_COVER);
		}
	}
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("note");
	TCase *c = tcase_create("note");
	tcase_add_checked_fixture(c, morning_setup, NULL);
	tcase_add_test(c, quiet_day);
	tcase_add_test(c, frost_in_full);
	tcase_add_test(c, told_once);
	tcase_add_test(c, no_forecast);
	tcase_add_test(c, old_forecast);
	tcase_add_test(c, no_frost_talk_in_summer);
	tcase_add_loop_test(c, holes_in_a_row, 0, sizeof rows / sizeof *rows);
	tcase_add_loop_test(c, night_skies, 0, sizeof skies / sizeof *skies);
	tcase_add_loop_test(c, layers_that_end, 0, sizeof layers / sizeof *layers);
	tcase_add_test(c, layers_with_the_row);
	tcase_add_test(c, what_only_the_grower_knows);
	tcase_add_test(c, lines_of_a_file);
	tcase_add_test(c, more_than_five);
	tcase_add_test(c, long_names);
	tcase_add_test(c, columns);
	tcase_add_test(c, no_false_all_clear);
	suite_add_tcase(s, c);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
