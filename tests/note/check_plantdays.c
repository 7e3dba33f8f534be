#include <stdio.h>
#include <string.h>

#include "base/instant.h"
#include "lib/morning.h"
#include "note/plantdays.h"

static int ahead[PLANTDAYS_MAX];

/* The days in the order they are shown, as days from 19 May (a Tuesday). */
static const struct {
	const char *name;
	int today;
	size_t free;
	const char *want;
} choices[] = {
    {"Tuesday", 0, 2, "4 5 0 1 2 3 6 7 11 12"}, {"Friday", 3, 2, "1 2 0 3 4 5 6 7 8 9"},
    {"Saturday", 4, 2, "0 1 2 3 4 5 6 7 8"},    {"Sunday", 5, 1, "0 1 2 3 4 5 6 7"},
    {"Monday", 6, 2, "5 6 0 1 2 3 4 7 12 13"},
};

START_TEST(weekend_first)
{
	size_t free, n = plantdays_choose(bed_day(choices[_i].today), ahead, &free);
	for (size_t i = 0; i < n; i++)
		text_addf(&morning.t, "%s%d", i > 0 ? " " : "", ahead[i]);
	ROW_STR(choices[_i].name, morning.t.at, choices[_i].want);
	ROW_INT(choices[_i].name, free, choices[_i].free);
}
END_TEST

static void show(void)
{
	size_t free, n = plantdays_choose(morning.state.today, ahead, &free);
	text_clear(&morning.t);
	plantdays_write(&morning.facts, ahead, n, free, &morning.t);
}

static size_t tray(const char *name, const char *crop)
{
	return bed_planting(&morning.garden, &morning.crops, name, crop, "2026-04-20", "");
}

/* Layout: warm from Thursday on; the rest of the fortnight is not known. */
START_TEST(a_page)
{
	size_t p = tray("green-1", "gourdlet");
	snprintf(morning.garden.planting[p].in, sizeof morning.garden.planting[p].in, "south");
	morning.garden.planting[p].figures.tray_most_days = 40;
	morning_compose((const double[]){46, 46, 72, 72, 72, 72, 72, 72, 72, 72}, 10, NULL);
	bed_soil(&morning.state, 64);
	show();
	static const char want[] = "green-1 for south: gourdlet, 29 days old, pots good to Sat 30.\n"
				   "Night line 60 F in the bed; at 45 a new plant stalls, at 32 a leaf dies.\n"
				   "\n"
				   "       bed   4 of 5      a night     frost in  soil\n"
				   "       low   keep 60     45 or less  14 days   8 am\n"
				   "Sat 23 71    >9 in 10    <1 in 100   <1 in 100 64    PLANT\n"
				   "Sun 24 71    >9 in 10    <1 in 100   <1 in 100 64    PLANT\n"
				   "\n"
				   "Tue 19 46    <1 in 100   6 in 10     <1 in 100 64    WAIT: cold nights\n"
				   "Wed 20 46    >9 in 10    4 in 10     <1 in 100 64    WAIT: stall\n"
				   "Thu 21 71    >9 in 10    <1 in 100   <1 in 100 64    PLANT\n"
				   "Fri 22 71    >9 in 10    <1 in 100   <1 in 100 64    PLANT\n"
				   "Mon 25 71    ?           ?           <1 in 100 64    WAIT: not known\n"
				   "Tue 26 71    ?           ?           <1 in 100 64    WAIT: not known\n"
				   "Sat 30 ?     ?           ?           ?         64    WAIT: not known\n"
				   "Sun 31 ?     ?           ?           ?         64    WAIT: not known\n"
				   "\n"
				   "Best: Thu 21, late in the afternoon. Only free this weekend? Sat 23.\n"
				   "\n"
				   "Chances are of the nights after the day, in the bed. Of frost I can tell\n"
				   "no more than the forecast does: ask your local extension office for the\n"
				   "last one. Soil at 4 in (10 cm) is reckoned for bare soil where there is\n"
				   "no reading of yours. Forecast of 4:17 am today. Invented forecast.\n";
	size_t same = 0;
	while (want[same] != '\0' && want[same] == morning.t.at[same])
		same++;
	ck_assert_msg(strcmp(morning.t.at, want) == 0, "other from here on: %.200s", morning.t.at + same);
}
END_TEST

static void by_years(int from)
{
	for (int i = from; i < STATE_AHEAD; i++) {
		struct outlook_night *o = &morning.state.outlook[i];
		o->basis = OUTLOOK_YEARS;
		o->air = o->bed = (struct runs_night){bed_c(64), 2, 0.7};
		for (int k = 0; k < OUTLOOK_LEAVES; k++)
			o->leaf[k] = o->bed;
	}
	morning.state.climate.years = 28;
	morning.state.frost.at[FROSTDATE_32F].kind = FROSTDATE_NEVER;
}

/* What the years tell stands in brackets. */
START_TEST(beyond_the_forecast)
{
	tray("green-1", "gourdlet");
	morning_compose((const double[]){66, 66, 66, 66, 66}, 5, NULL);
	by_years(5);
	show();
	HAS("forecast", "Tue 19 65 >9 in 10");
	HAS("years", "Sat 23 (64) (");
	HAS("foot", "In brackets: beyond the forecast, by 28 years of the station. Low ground has frost more often.");
	LACKS("frost is told", "extension office");
}
END_TEST

/* Where the slow line is enough, its chances have a star. */
START_TEST(late_and_warm)
{
	tray("green-1", "gourdlet");
	morning_compose((const double[]){55, 55, 55, 55, 55, 55, 55, 55, 55, 55}, 10, NULL);
	morning.state.frost.at[FROSTDATE_32F].kind = FROSTDATE_NEVER;
	bed_soil(&morning.state, 66);
	show();
	HAS("star", "Tue 19 54 >9 in 10* 1 in 50 <1 in 100 66 PLANT ");
	HAS("star", "* 50 F is enough by then: the frosts are 10 days past and the soil is warm.");
	bed_soil(&morning.state, 64);
	show();
	HAS("soil too cold for that", "64 PLANT UNDER COVER");
	LACKS("soil too cold for that", "*");
}
END_TEST

START_TEST(one_table_for_what_is_alike)
{
	tray("a", "gourdlet");
	tray("b", "redberry");
	tray("c", "gourdlet");
	bed_planting(&morning.garden, &morning.crops, "out", "gourdlet", "2026-04-10", "2026-05-10");
	morning_compose((const double[]){66, 66, 66, 66, 66}, 5, NULL);
	show();
	HAS("alike", "a and c: gourdlet, 29 days old.");
	HAS("another", "b: redberry, 29 days old.");
	LACKS("what is out", "out: gourdlet");
	morning.garden.planting[2].own_line[CROP_NIGHT_LINE] = 7;
	show();
	HAS("own figures", "c: gourdlet, 29 days old.");
}
END_TEST

START_TEST(what_to_do)
{
	size_t p = tray("g", "gourdlet");
	morning.garden.planting[p].figures.tray_most_days = 31;
	/* Nothing fit but under a cover; pots full on Thursday. */
	morning_compose((const double[]){57, 57, 57, 57, 57, 57, 57, 57, 57, 57}, 10, NULL);
	show();
	HAS("no day", "No day of PLANT up to Tue 2 Jun, as far as the nights are known.");
	HAS("weekend", "Only free this weekend? Sat 23, late, under a cover, its edges weighted.");
	HAS("pots", "The pots are full by Thu 21: pot on, and feed at half strength.");
	morning_compose((const double[]){47, 47, 47, 47, 47, 47, 47, 47, 47, 47}, 10, NULL);
	show();
	HAS("weekend", "Only free this weekend? Wait all the same: cold nights.");
	morning.garden.planting[p].figures.tray_most_days = 25;
	show();
	HAS("pots", "The pots have been full since Fri 15");
	morning.state.planting[p].soil = (struct soil){bed_c(64), SOIL_READ, bed_day(-2)};
	show();
	HAS("soil", "Soil: your reading of Sun 17 carried forward.");
}
END_TEST

START_TEST(old_and_no_forecast)
{
	tray("g", "gourdlet");
	morning_compose((const double[]){66, 66, 66, 66, 66}, 5, NULL);
	bed_age(&morning.state, 50 * HOUR_S);
	show();
	HAS("old", "WAIT: old forecast");
	HAS("old", "I can name no day: the forecast is 2 days old.");
	LACKS("old", "Only free");
	morning.state.forecast.any = false;
	show();
	HAS("none", "WAIT: no forecast");
	HAS("none", "I can name no day without a forecast.");
}
END_TEST

START_TEST(nothing_waits)
{
	bed_planting(&morning.garden, &morning.crops, "out", "gourdlet", "2026-04-10", "2026-05-10");
	morning_compose((const double[]){66, 66, 66, 66, 66}, 5, NULL);
	show();
	ck_assert_str_eq(morning.t.at, "Nothing stands in a tray: nothing waits to be planted out.\n");
}
END_TEST

/* No line is wider than the page, whatever stands in it. */
START_TEST(columns)
{
	for (int units = 0; units < 2; units++)
		for (int f = 20; f < 80; f += 4) {
			morning_setup();
			morning.garden.units = units == 0 ? UNIT_US : UNIT_METRIC;
			tray("g", "gourdlet");
			double low[10];
			for (int i = 0; i < 10; i++)
				low[i] = f + i;
			morning_compose(low, 10, NULL);
			by_years(9);
			bed_soil(&morning.state, f);
			show();
			for (const char *line = morning.t.at; *line != '\0'; line += strcspn(line, "\n") + 1)
				ck_assert_msg(strcspn(line, "\n") <= NOTE_COLUMNS, "%d: %.90s", f, line);
		}
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("plantdays");
	TCase *c = tcase_create("plantdays");
	tcase_add_checked_fixture(c, morning_setup, NULL);
	tcase_add_loop_test(c, weekend_first, 0, sizeof choices / sizeof *choices);
	tcase_add_test(c, a_page);
	tcase_add_test(c, beyond_the_forecast);
	tcase_add_test(c, late_and_warm);
	tcase_add_test(c, one_table_for_what_is_alike);
	tcase_add_test(c, what_to_do);
	tcase_add_test(c, old_and_no_forecast);
	tcase_add_test(c, nothing_waits);
	tcase_add_test(c, columns);
	suite_add_tcase(s, c);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
