#include <ctype.h>
#include <stdio.h>
#include <string.h>

#include "base/instant.h"
#include "base/utf8.h"
#include "lib/bed.h"
#include "lib/harness.h"
#include "note/note.h"

enum { OFFSET = -5 * HOUR_S };

static struct crops crops;
static struct garden garden;
static struct zone zone;
static struct season_state state, before;
static struct advice_list today, said;
static struct lines lines;
static struct changes changes;
static struct note_facts facts;
static char mem[NOTE_SIZE];
static struct text t;

static void setup(void)
{
	bed_crops(&crops);
	bed_garden(&garden, UNIT_US);
	zone_fixed("Test/Lane", OFFSET, &zone);
	facts = (struct note_facts){
	    .garden = &garden, .crops = &crops, .zone = &zone, .state = &state, .lines = &lines, .changes = &changes};
	text_over(&t, mem, sizeof mem);
}

/* Compose as of the bed's morning; was_f: the nights of the morning before, from its own tonight on, NULL none. */
static void compose(const double *low_f, size_t n, const double *was_f)
{
	bed_state(&garden, &state);
	bed_nights(&state, 0, low_f, n);
	advice_all(&garden, &crops, &state, &today);
	said.n = 0;
	if (was_f != NULL) {
		bed_state(&garden, &before);
		before.today = bed_day(-1);
		for (int i = 0; i < STATE_NIGHTS; i++) {
			before.night[i].evening = date_add(before.night[i].evening, -1);
		}
		bed_nights(&before, 0, was_f, n + 1);
		advice_all(&garden, &crops, &before, &said);
	}
	news_mark(&today, &state, &said, was_f != NULL ? &before : NULL, &changes);
	rank_lines(&today, &lines);
}

static const char *note(void)
{
	text_clear(&t);
	note_write(&facts, &t);
	ck_assert(!t.full);
	return t.at;
}

/* The text in one line, each break and indent a blank: where words are what matters. */
static const char *flat(void)
{
	static char out[NOTE_SIZE];
	size_t n = 0;
	for (const char *p = t.at; *p != '\0'; p++) {
		bool blank = *p == '\n' || *p == ' ';
		if (!blank || (n > 0 && out[n - 1] != ' ')) {
			out[n++] = blank ? ' ' : *p;
		}
	}
	out[n] = '\0';
	return out;
}

#define HAS(row, what)   ck_assert_msg(strstr(flat(), what) != NULL, "%s: \"%s\" is not in\n%s", row, what, t.at)
#define LACKS(row, what) ck_assert_msg(strstr(flat(), what) == NULL, "%s: \"%s\" is in\n%s", row, what, t.at)

START_TEST(quiet_day)
{
	bed_planting(&garden, &crops, "green-1", "gourdlet", "2026-04-10", "2026-05-01");
	compose((const double[]){55, 56, 57, 58, 59}, 5, (const double[]){55, 55, 56, 57, 58, 59});
	ck_assert_str_eq(note(), "Test Lane, Tue 19 May                                nothing to do today\n"
				 "\n"
				 "Nights  Tue 55   Wed 56   Thu 57   Fri 58   Sat 59 F\n"
				 "Days    Wed not known   Thu not known   Fri not known   Sat not known\n"
				 "        Sun not known F\n"
				 "Not in this forecast: rain, cloud and wind. Forecast of 4:17 am today.\n"
				 "Invented forecast.\n");
}
END_TEST

START_TEST(frost_tonight)
{
	bed_planting(&garden, &crops, "green-1", "gourdlet", "2026-04-10", "2026-05-01");
	bed_planting(&garden, &crops, "tom-1", "redberry", "2026-04-10", "2026-05-01");
	compose((const double[]){31, 50, 50, 50, 50}, 5, NULL);
	note();
	HAS("head", "frost likely tonight, 31 F");
	HAS("act", "1 COVER green-1 and tom-1 today by 7 pm: 31 F forecast for tonight;");
	HAS("caution", "nothing touching the leaves");
	HAS("caution", "No heater, lamp or candle");
	compose((const double[]){31, 50, 50, 50, 50}, 5, (const double[]){50, 31, 50, 50, 50, 50});
	note();
	LACKS("said yesterday", "candle");
	HAS("said yesterday", "Clear of the leaves");
}
END_TEST

START_TEST(just_planted)
{
	bed_planting(&garden, &crops, "green-1", "gourdlet", "2026-04-10", "2026-05-18");
	compose((const double[]){44, 50, 50, 50, 50}, 5, NULL);
	note();
	HAS("stall", "44 F forecast for tonight, 1 day after planting out; under 45 a new plant stalls.");
	HAS("head", "cold tonight, 44 F");
}
END_TEST

START_TEST(too_late_to_name_a_time)
{
	bed_planting(&garden, &crops, "green-1", "gourdlet", "2026-04-10", "2026-05-01");
	compose((const double[]){34, 50, 50, 50, 50}, 5, NULL);
	state.cut = instant_at(state.today, 20 * HOUR_S, OFFSET);
	note();
	HAS("after the hour", "COVER green-1 today now: 34 F");
}
END_TEST

START_TEST(metric)
{
	garden.units = UNIT_METRIC;
	bed_planting(&garden, &crops, "green-1", "gourdlet", "2026-04-10", "2026-05-01");
	compose((const double[]){34, 50, 50, 50, 50}, 5, NULL);
	note();
	HAS("metric", "COVER green-1 today by 19:00: 1 C forecast for tonight; at 2 or");
	HAS("metric", "Nights Tue 1 Wed 10 Thu 10 Fri 10 Sat 10 C");
	HAS("metric", "Forecast of 4:17 today.");
}
END_TEST

START_TEST(planting_weather)
{
	bed_planting(&garden, &crops, "green-1", "gourdlet", "2026-04-20", "");
	compose((const double[]){60, 61, 62, 58, 63}, 5, NULL);
	note();
	HAS("plant", "planting weather");
	HAS("plant", "1 PLANT OUT green-1 today, late in the afternoon");
	HAS("plant", "4 of the next 5 nights reach 60 F, the coldest 58 (Fri 22).");
	HAS("plant", "Soil and frost date are not judged yet.");
	HAS("plant", "local extension office");
}
END_TEST

START_TEST(waiting)
{
	bed_planting(&garden, &crops, "green-1", "gourdlet", "2026-04-20", "");
	compose((const double[]){50, 55, 60, 61, 62, 63, 64}, 7, NULL);
	note();
	HAS("wait", "nothing goes out today");
	HAS("wait", "1 WAIT with green-1 till Wed 20: 3 of the next 5 nights reach 60 F, the coldest 50 (Tue 19); from "
		    "Wed 20 on");
	HAS("wait", "4 of its 5 nights reach 60 F");
	compose((const double[]){50, 50, 50, 50, 50, 50}, 6, NULL);
	note();
	HAS("no day", "no such run before Thu 28, where the forecast ends.");
	compose((const double[]){60, 61, 62}, 3, NULL);
	note();
	HAS("cannot tell", "I cannot tell, 2 of the next 5 nights are not known");
	LACKS("cannot tell", "PLANT");
}
END_TEST

START_TEST(changed)
{
	bed_planting(&garden, &crops, "green-1", "gourdlet", "2026-04-10", "2026-05-01");
	compose((const double[]){50, 33, 50, 50, 50}, 5, (const double[]){50, 50, 38, 50, 50, 50});
	note();
	HAS("fell", "CHANGED since yesterday: tomorrow night fell 5 F (was 38, now 33).");
	compose((const double[]){50, 41, 50, 50, 50}, 5, (const double[]){50, 50, 34, 50, 50, 50});
	note();
	HAS("off", "CHANGED since yesterday: tomorrow night no longer needs a cover (was 34, now 41).");
	setup();
	bed_planting(&garden, &crops, "green-1", "gourdlet", "2026-04-20", "");
	compose((const double[]){60, 55, 44, 55, 60}, 5, (const double[]){60, 60, 60, 60, 60, 60});
	note();
	HAS("turned", "CHANGED since yesterday: green-1 should not go out yet; yesterday I said plant.");
}
END_TEST

START_TEST(no_forecast)
{
	bed_planting(&garden, &crops, "green-1", "gourdlet", "2026-04-10", "2026-05-01");
	compose(NULL, 0, NULL);
	state.forecast.any = false;
	facts.trouble = "the service does not answer";
	note();
	HAS("none", "no forecast");
	HAS("none", "1 LOOK at the sky at dusk: I have no forecast for tonight. If it is");
	HAS("none", "cover green-1");
	HAS("none", "This morning's fetch failed: the service does not answer.");
	HAS("none", "No forecast in the record.");
	LACKS("none", "Nights");
	LACKS("none", "nothing to do");
}
END_TEST

START_TEST(old_forecast)
{
	bed_planting(&garden, &crops, "green-1", "gourdlet", "2026-04-10", "2026-05-01");
	compose((const double[]){55, 56, 57, 58, 59}, 5, NULL);
	state.forecast.stale = true;
	state.forecast.age_s = 31 * HOUR_S;
	state.forecast.made = state.cut - 31 * HOUR_S;
	note();
	HAS("stale", "the forecast is 31 hours old");
	HAS("stale", "Forecast of Sun 17 10:17 pm.");
	struct forecast_state old = state.forecast;
	setup();
	bed_planting(&garden, &crops, "green-1", "gourdlet", "2026-04-10", "2026-05-01");
	bed_planting(&garden, &crops, "green-2", "gourdlet", "2026-04-20", "");
	bed_state(&garden, &state);
	bed_nights(&state, 0, (const double[]){61, 61, 61, 61, 61, 61}, 6);
	state.forecast = old;
	advice_all(&garden, &crops, &state, &today);
	news_mark(&today, &state, &said, NULL, &changes);
	rank_lines(&today, &lines);
	note();
	HAS("stale", "1 LOOK at the sky at dusk: I cannot judge tonight, the forecast is 31");
	HAS("stale", "2 WAIT with green-2: I cannot tell, the forecast is 31 hours old. Soil");
	state.forecast.stale = false;
	facts.trouble = "no answer";
	note();
	HAS("trouble", "the forecast is 31 hours old");
}
END_TEST

START_TEST(holes)
{
	bed_planting(&garden, &crops, "green-1", "gourdlet", "2026-04-10", "2026-05-01");
	compose((const double[]){(double)NAN, 56, (double)NAN, 58, 59}, 5, NULL);
	state.night[STATE_NIGHTS_BEFORE].known = 9;
	state.night[STATE_NIGHTS_BEFORE].lowest_seen_c = bed_c(47);
	note();
	HAS("holes", "tonight cannot be judged");
	HAS("holes", "I cannot judge tonight, 7 of its 16 hours are missing.");
	HAS("holes", "Nights Tue not known Wed 56 Thu not known");
	LACKS("no lower number", "47");
}
END_TEST

/* No line is longer than the columns, no number has decimals, whatever is put in. */
START_TEST(columns)
{
	unsigned seed = 4711;
	for (int round = 0; round < 300; round++) {
		setup();
		if (round % 3 == 0) {
			snprintf(garden.name, sizeof garden.name, "%.*s", 10 + round / 5,
				 "Sch\xc3\xb6ne lange G\xc3\xa4rten hinter der alten M\xc3\xbchle am Ufer des kleinen "
				 "Baches");
		}
		garden.units = round % 2 ? UNIT_US : UNIT_METRIC;
		for (int i = 0; i < 1 + round % 20; i++) {
			char name[KEY_WORD_SIZE + 8];
			seed = seed * 1103515245u + 12345u;
			snprintf(name, sizeof name, "planting-%d-of-the-long-bed", i);
			bed_planting(&garden, &crops, name, (seed >> 16) % 2 ? "gourdlet" : "redberry", "2026-04-10",
				     (seed >> 20) % 2   ? ""
				     : (seed >> 21) % 2 ? "2026-05-01"
							: "2026-05-16");
		}
		double low[10], was[11];
		for (int i = 0; i < 11; i++) {
			seed = seed * 1103515245u + 12345u;
			was[i] = 25 + (double)((seed >> 16) % 400) / 10;
			if (i < 10) {
				low[i] = (seed >> 25) % 9 == 0 ? (double)NAN : was[i] - 3 + (double)((seed >> 26) % 7);
			}
		}
		compose(low, 10, round % 4 ? was : NULL);
		facts.trouble = round % 5 == 0 ? "the service answers with status 503, try again later" : NULL;
		note();
		for (size_t k = 0; k < lines.n; k++) {
			why_write(&facts, k, &t);
		}
		degrees_write(&facts, NULL, &t);
		for (const char *line = t.at; *line != '\0'; line += strcspn(line, "\n") + 1) {
			size_t len = strcspn(line, "\n");
			ck_assert_msg(utf8_width(line, len) <= NOTE_COLUMNS, "%zu columns: %.*s", utf8_width(line, len),
				      (int)len, line);
			ck_assert_msg(len == 0 || line[len - 1] != ' ', "ends in a blank: \"%.*s\"", (int)len, line);
			for (size_t i = 1; i + 1 < len; i++) {
				ck_assert_msg(line[i] != '.' || !isdigit((unsigned char)line[i - 1]) ||
						  !isdigit((unsigned char)line[i + 1]),
					      "decimals: %.*s", (int)len, line);
			}
		}
	}
}
END_TEST

/* The whole numbers at the start of each line of the reasons, by the words behind them. */
static int numbers(const char *words, int *out, int most)
{
	int n = 0;
	for (const char *line = t.at; *line != '\0'; line += strcspn(line, "\n") + 1) {
		size_t len = strcspn(line, "\n");
		const char *at = strstr(line, words);
		if (at != NULL && at < line + len && n < most) {
			int sign = 1, value = 0;
			const char *p = line + strspn(line, " +");
			if (*p == '-') {
				sign = -1;
				p++;
			}
			for (; isdigit((unsigned char)*p); p++) {
				value = value * 10 + (*p - '0');
			}
			out[n++] = sign * value;
		}
	}
	return n;
}

/* What `why` prints adds up: a reader with a pencil comes to the same. */
START_TEST(why_adds_up)
{
	for (int i = 0; i < 60; i++) {
		setup();
		garden.units = i % 2 ? UNIT_US : UNIT_METRIC;
		bed_planting(&garden, &crops, "out", "gourdlet", "2026-04-10", "2026-05-12");
		bed_planting(&garden, &crops, "tray", "gourdlet", "2026-04-20", "");
		double low[8];
		for (int k = 0; k < 8; k++) {
			low[k] = 30.3 + 0.7 * i + (k % 3) * 2.4;
		}
		compose(low, 8, NULL);
		for (size_t k = 0; k < lines.n; k++) {
			int low_n[10], line[2], margin[2], reached[2], coldest[2];
			text_clear(&t);
			why_write(&facts, k, &t);
			int nights = numbers("the forecast's low for", low_n, 10);
			if (lines.at[k].lead->verdict == VERDICT_COVER) {
				ck_assert_int_eq(nights, 1);
				ck_assert_int_eq(numbers("the forecast against the line", margin, 2), 1);
				bool stall = lines.at[k].lead->rule == CROP_STALL;
				ck_assert_int_eq(
				    numbers(stall ? "the stall line: under" : "the line: at or under", line, 2), 1);
				ck_assert_int_eq(low_n[0] - line[0], margin[0]);
				continue;
			}
			int windows = numbers("on reach the night line", reached, 2);
			ck_assert_int_eq(nights, 5 * windows);
			ck_assert_int_eq(numbers("the coldest of them", coldest, 2), windows);
			ck_assert_int_eq(numbers("the night line: nights at", line, 2), 1);
			for (int w = 0; w < windows; w++) {
				int count = 0, least = 999;
				for (int j = 5 * w; j < 5 * w + 5; j++) {
					count += low_n[j] >= line[0];
					least = low_n[j] < least ? low_n[j] : least;
				}
				ck_assert_int_eq(count, reached[w]);
				ck_assert_int_eq(least, coldest[w]);
			}
		}
	}
}
END_TEST

START_TEST(why_names_its_rule)
{
	bed_planting(&garden, &crops, "a", "gourdlet", "2026-04-10", "2026-05-01");
	bed_planting(&garden, &crops, "b", "redberry", "2026-04-10", "2026-05-01");
	compose((const double[]){31, 50, 50, 50, 50}, 5, NULL);
	why_write(&facts, 0, &t);
	HAS("why", "1 COVER a and b today by 7 pm on Tue 19 May");
	HAS("why", "31 F the forecast's low for tonight");
	HAS("why", "-5 F the forecast against the line");
	HAS("why", "The rule gourdlet: invented for a test (cover)");
	HAS("why", "redberry: invented for a test (cover)");
	HAS("why", "Invented forecast.");
	HAS("why", "Not judged the bed and the leaf");
	setup();
	size_t p = bed_planting(&garden, &crops, "c", "gourdlet", "2026-04-20", "");
	garden.planting[p].night_line_c = bed_c(55);
	compose((const double[]){50, 50, 50, 50, 50}, 5, NULL);
	why_write(&facts, 0, &t);
	HAS("own line", "gourdlet: night_line of the planting in your garden file");
}
END_TEST

START_TEST(degrees_of_a_season)
{
	size_t i = bed_planting(&garden, &crops, "green-1", "gourdlet", "2026-04-10", "2026-05-09");
	compose((const double[]){50, 50, 50, 50, 50}, 5, NULL);
	state.planting[i].warmth = (struct degree_sum){.dd_c = 100, .days = 10, .hours_days = 9, .filled_days = 1};
	state.planting[i].last_week = (struct degree_sum){.dd_c = 70, .days = 7, .hours_days = 7};
	state.planting[i].coming = (struct degree_sum){.dd_c = 15, .days = 3, .hours_days = 3, .forecast_days = 3};
	degrees_write(&facts, NULL, &t);
	ck_assert_str_eq(t.at, "green-1, gourdlet, planted out Sat 9 May\n"
			       "Warmth since then, to yesterday: 180 F-days (base 50, no more counted\n"
			       "above 86, hour by hour; 10 days: 9 with all hours, 1 with hours filled)\n"
			       "Pace    last 7 days: 18 F-days a day; next 3 days: 9 F-days a day by the\n"
			       "        forecast\n"
			       "\n"
			       "Forecast of 4:17 am today. Invented forecast.\n");
	text_clear(&t);
	state.planting[i].warmth.hours_days = 5;
	state.planting[i].warmth.missing_days = 4;
	degrees_write(&facts, "green-1", &t);
	HAS("holes", "cannot tell; the 6 days known make 180 F-days");
	HAS("holes", "4 missing");
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("note");
	TCase *c = tcase_create("note");
	tcase_add_checked_fixture(c, setup, NULL);
	tcase_add_test(c, quiet_day);
	tcase_add_test(c, frost_tonight);
	tcase_add_test(c, just_planted);
	tcase_add_test(c, too_late_to_name_a_time);
	tcase_add_test(c, metric);
	tcase_add_test(c, planting_weather);
	tcase_add_test(c, waiting);
	tcase_add_test(c, changed);
	tcase_add_test(c, no_forecast);
	tcase_add_test(c, old_forecast);
	tcase_add_test(c, holes);
	tcase_add_test(c, columns);
	tcase_add_test(c, why_adds_up);
	tcase_add_test(c, why_names_its_rule);
	tcase_add_test(c, degrees_of_a_season);
	suite_add_tcase(s, c);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
