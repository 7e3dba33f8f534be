#include <ctype.h>
#include <string.h>

#include "base/instant.h"
#include "lib/morning.h"

/* The line numbers of the reasons that end in these words or hold them: how many, and the whole numbers in front. */
static int numbers(const char *words, int *out, int most)
{
	int n = 0;
	for (const char *line = morning.t.at; *line != '\0'; line += strcspn(line, "\n")) {
		line += *line == '\n';
		const char *at = strstr(line, words);
		if (at == NULL || at > line + strcspn(line, "\n") || n == most)
			continue;
		const char *p = line + strspn(line, " +");
		int sign = *p == '-' ? -1 : 1, value = 0;
		for (p += *p == '-'; isdigit((unsigned char)*p); p++)
			value = value * 10 + (*p - '0');
		out[n++] = *p == '?' ? 999 : sign * value;
	}
	return n;
}

/* From number to number: forecast, bed, leaf, and the one that decides against its line. */
static void cover_adds_up(const struct line *l)
{
	int air[8], off[8], expected[8], bed_by[8], bed[8], leaf_by[8], leaf[8], kill[8], frost[8], stall[8], margin[8];
	int nights = numbers("the forecast's low for", air, 8);
	int kills = numbers("the kill line: at or under", kill, 8);
	int frosts = numbers("the line in the bed: at or", frost, 8),
	    stalls = numbers("the stall line: under", stall, 8);
	ck_assert_int_eq(nights, 1 + (int)l->again_n);
	ck_assert_int_eq(nights, kills + frosts + stalls);
	ck_assert_int_eq(numbers("the air in the bed, against", bed_by, 8), nights);
	ck_assert_int_eq(numbers("air in the bed\n", bed, 8), nights);
	ck_assert_int_eq(numbers("a leaf under", leaf_by, 8), nights);
	ck_assert_int_eq(numbers("the leaf\n", leaf, 8), nights);
	ck_assert_int_eq(numbers("against the line", margin, 8), nights);
	int corrected = numbers("such forecasts are off", off, 8);
	ck_assert_int_eq(numbers("at 2 m, as expected", expected, 8), corrected);
	for (int i = 0, k = 0, c = 0, s = 0, x = 0; i < nights; i++) {
		const struct advice *a = i == 0 ? l->lead : l->again[i - 1];
		int line = a->rule == CROP_KILL ? kill[k++] : a->rule == CROP_STALL ? stall[s++] : frost[c++];
		if (!isnan(advice_step_of(a, STEP_CORRECTED, 0).value)) {
			ck_assert_int_eq(air[i] + off[x], expected[x]);
			air[i] = expected[x++];
		}
		ck_assert_int_eq(air[i] + bed_by[i], bed[i]);
		ck_assert_int_eq(bed[i] + leaf_by[i], leaf[i]);
		ck_assert_int_eq((a->rule == CROP_KILL ? leaf[i] : bed[i]) - line, margin[i]);
		/* The chance decides before the leaf itself is at the line. */
		double freeze = advice_step_of(a, STEP_FREEZE, 0).value, at = advice_step_of(a, STEP_COVER_AT, 0).value;
		ck_assert(a->rule == CROP_STALL ? margin[i] < 0 : a->rule == CROP_KILL ? freeze >= at : margin[i] <= 0);
	}
}

/* The nights of each window, and the chances of what is held against the rule. */
static void plant_adds_up(const struct line *l)
{
	int low[12], line[2], hold[2], stall[2], frost[2], soil[2], wanted[2];
	int windows = l->lead->verdict == VERDICT_WAIT && date_is(l->lead->day) ? 2 : 1;
	ck_assert_int_eq(numbers("in the bed ", low, 12), 5 * windows);
	for (int i = 0; i < 5; i++)
		ck_assert_int_eq(low[i], advice_degrees(morning.state.outlook[i].bed.low_c, morning.garden.units));
	ck_assert_int_eq(numbers("nights from", hold, 2), windows);
	ck_assert_int_eq(numbers("that one of them is at the stall line", stall, 2), windows);
	ck_assert_int_eq(numbers("of frost on a leaf, up to", frost, 2), windows);
	ck_assert_int_eq(numbers(morning.garden.units == UNIT_US ? "soil 4 in down" : "soil 10 cm down", soil, 2),
			 windows);
	ck_assert_int_eq(numbers("the night line: nights at", line, 2), 1);
	ck_assert_int_eq(numbers("of 5 nights are wanted", wanted, 2), 1);
	ck_assert_int_eq(wanted[0], 4);
}

/* What `why` prints adds up: a reader with a pencil comes to the same. */
START_TEST(adds_up)
{
	for (int i = 0; i < 120; i++) {
		morning_setup();
		morning.garden.units = i % 2 ? UNIT_US : UNIT_METRIC;
		bed_planting(&morning.garden, &morning.crops, "out", "gourdlet", "2026-04-10", "2026-05-12");
		bed_planting(&morning.garden, &morning.crops, "old", "redberry", "2026-04-10", "2026-05-01");
		bed_planting(&morning.garden, &morning.crops, "tray", "gourdlet", "2026-04-20", "");
		double low[9];
		for (int k = 0; k < 9; k++)
			low[k] = 30.3 + 0.35 * i + ((k * 7 + i) % 5) * 2.4;
		morning_compose(low, 9, NULL);
		for (int night = 0; night < 4; night++)
			bed_clear(&morning.state, night, 0.3 * night, 0.7 * night);
		morning_again(false);
		for (size_t k = 0; k < morning.lines.n; k++) {
			text_clear(&morning.t);
			why_write(&morning.facts, k, &morning.t);
			if (morning.lines.at[k].lead->verdict == VERDICT_COVER)
				cover_adds_up(&morning.lines.at[k]);
			else
				plant_adds_up(&morning.lines.at[k]);
		}
	}
}
END_TEST

START_TEST(of_a_cover)
{
	bed_planting(&morning.garden, &morning.crops, "a", "gourdlet", "2026-04-10", "2026-05-14");
	bed_planting(&morning.garden, &morning.crops, "b", "redberry", "2026-04-10", "2026-05-01");
	morning_compose((const double[]){31, 50, 50, 50, 50}, 5, NULL);
	bed_clear(&morning.state, 0, 1.2, 2.3);
	morning_again(false);
	why_write(&morning.facts, 0, &morning.t);
	static const char want[] = "1 COVER a and b today by 7 pm\n"
				   "  (note of Tue 19 May)\n"
				   "\n"
				   "  31 F    the forecast's low for tonight\n"
				   "  -2 F    the air in the bed, against the forecast's height of 2 m\n"
				   "  29 F    air in the bed\n"
				   "  -2 F    a leaf under a clear sky, 2 mph, dew point 29, at 5 am\n"
				   "  27 F    the leaf\n"
				   "  32 F    the kill line: at or under it the leaf freezes\n"
				   "  -5 F    against the line\n"
				   "  3 F     such lows miss by more than this one night in three\n"
				   "  over 9 in 10  the chance that the leaf gets to the kill line\n"
				   "  1 in 20 from this chance on it is covered, half of the settled\n"
				   "          plant's: it was just planted\n"
				   "  5 d     since planting out a, by that evening\n"
				   "  10 d    in which it counts as just planted\n"
				   "\n"
				   "The rule     gourdlet: invented for a test (kill)\n"
				   "             redberry: invented for a test (kill)\n"
				   "             cover at that chance: invented for a test (cover_at) (yours\n"
				   "             to change: cover_at in the garden file)\n"
				   "It tips if   the forecast is off. Cloud or wind after dusk would help,\n"
				   "             but not enough.\n"
				   "Not known    how cold it lies by your hedge or wall. Note tomorrow's\n"
				   "             low: dewpost diary add \"low 29 F\"\n"
				   "From         Forecast of 4:17 am today. 1 hour old at the time of the\n"
				   "             note. Invented forecast.\n";
	ck_assert_msg(strcmp(morning.t.at, want) == 0, "%s", morning.t.at);
}
END_TEST

/* A later night has its own numbers, and its own rule where that differs; each planting its own days out. */
START_TEST(of_later_nights)
{
	bed_planting(&morning.garden, &morning.crops, "a", "gourdlet", "2026-04-10", "2026-05-17");
	bed_planting(&morning.garden, &morning.crops, "b", "gourdlet", "2026-04-10", "2026-05-12");
	morning_compose((const double[]){44, 50, 34, 50, 50}, 5, NULL);
	ck_assert_uint_eq(morning.lines.n, 1);
	why_write(&morning.facts, 0, &morning.t);
	HAS("tonight", "44 F the leaf 45 F the stall line: under it the just planted stand still "
		       "-1 F against the line 2 d since planting out a, by that evening 7 d since planting "
		       "out b, by that evening 10 d in which it counts as just planted");
	HAS("Thursday", "34 F the forecast's low for Thursday night");
	HAS("Thursday", "34 F the leaf 32 F the kill line");
	HAS("Thursday",
	    "3 in 10 the chance that the leaf gets to the kill line 1 in 20 from this chance on it is covered");
	HAS("rules", "The rule gourdlet: invented for a test (stall) gourdlet: invented for a test (kill)");
}
END_TEST

START_TEST(of_a_wait)
{
	size_t p = bed_planting(&morning.garden, &morning.crops, "c", "gourdlet", "2026-05-01", "");
	morning.garden.planting[p].figures.night_line_c = bed_c(55);
	morning.garden.planting[p].own_line[CROP_NIGHT_LINE] = 1;
	morning_compose((const double[]){50, 55, 56, 57, 58, 62, 63, 64}, 8, NULL);
	bed_soil(&morning.state, 63);
	morning_again(false);
	why_write(&morning.facts, 0, &morning.t);
	HAS("line", "55 F the night line: nights at or over it are fit for planting out");
	HAS("nights", "50 F in the bed tonight, give or take 3 F 55 F in the bed tomorrow night, give or take 3 F");
	HAS("hold", "in 10 that 4 of the 5 nights from today on are at it or over");
	HAS("stall", "that one of them is at the stall line or under it");
	HAS("frost", "of frost on a leaf, up to the night of Tue 26 May");
	HAS("soil", "63 F soil 4 in down at 8 am today, reckoned for bare soil");
	HAS("then", "that 4 of the 5 nights from Fri 22 on are at it or over");
	HAS("age", "18 d since sowing 21 d in the tray are wanted at least");
	HAS("own line", "The rule gourdlet: night_line of the planting in your garden file");
	HAS("wants",
	    "It wants PLANT OUT at 6 in 10 or more for the nights, a stall under 1 in 7, frost within 14 days under "
	    "1 in 30, soil of 62 F or what the crop is content with (judgement).");
	HAS("not judged", "Not judged how cold it lies by your hedge or in a hollow; what a cover would gain.");
	morning.state.planting[p].soil = (struct soil){bed_c(64), SOIL_READ, bed_day(-2)};
	morning_again(false);
	text_clear(&morning.t);
	why_write(&morning.facts, 0, &morning.t);
	HAS("own soil", "64 F soil 4 in down at 8 am today, from your reading of Sun 17");
}
END_TEST

/* Nights beyond the forecast are told as such. */
START_TEST(of_nights_by_the_years)
{
	bed_planting(&morning.garden, &morning.crops, "tray", "gourdlet", "2026-04-20", "");
	morning_compose((const double[]){60, 61, 62, 63}, 4, NULL);
	morning.state.outlook[4].basis = OUTLOOK_YEARS;
	morning.state.outlook[4].bed = (struct runs_night){bed_c(55), 6 / 1.8, 0.7};
	morning_again(false);
	why_write(&morning.facts, 0, &morning.t);
	HAS("years", "55 F in the bed Saturday night, by the station's years, give or take 6 F");
}
END_TEST

/* A night with holes has no number of its own. */
START_TEST(of_nights_with_holes)
{
	bed_planting(&morning.garden, &morning.crops, "tray", "gourdlet", "2026-04-20", "");
	morning_compose((const double[]){60, 61, NAN, 63, 64}, 5, NULL);
	bed_seen(&morning.state, 3, 9, 62);
	morning_again(false);
	why_write(&morning.facts, 0, &morning.t);
	HAS("nothing", "? F not known: Thursday night");
	HAS("something", "? F not known: Friday night, of which the lowest hour known is 62 F");
	morning_setup();
	bed_planting(&morning.garden, &morning.crops, "out", "gourdlet", "2026-04-10", "2026-05-01");
	morning_compose((const double[]){50, 50, 50, 50, 50}, 5, NULL);
	bed_seen(&morning.state, 0, 9, 40);
	morning_again(false);
	why_write(&morning.facts, 0, &morning.t);
	HAS("LOOK", "? F not known: tonight, of which the lowest hour known is 40 F 36 F the line in the bed");
	bed_seen(&morning.state, 0, 9, 33);
	morning_again(false);
	text_clear(&morning.t);
	why_write(&morning.facts, 0, &morning.t);
	HAS("COVER", "33 F or colder tonight: the lowest hour known, others are missing 0 F the air in the bed");
	HAS("COVER", "-3 F against the line");
}
END_TEST

START_TEST(of_an_old_forecast)
{
	bed_planting(&morning.garden, &morning.crops, "out", "gourdlet", "2026-04-10", "2026-05-01");
	morning_compose((const double[]){31, 50, 50, 50, 50}, 5, NULL);
	morning.state.forecast.trust = TRUST_AGED;
	morning.state.forecast.age_s = 31 * HOUR_S;
	why_write(&morning.facts, 0, &morning.t);
	HAS("old", "From Forecast of 4:17 am today, 31 hours old. Invented forecast.");
	morning.state.forecast.any = false;
	text_clear(&morning.t);
	why_write(&morning.facts, 0, &morning.t);
	HAS("none", "From No forecast in the record.");
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("why");
	TCase *c = tcase_create("why");
	tcase_add_checked_fixture(c, morning_setup, NULL);
	tcase_add_test(c, adds_up);
	tcase_add_test(c, of_a_cover);
	tcase_add_test(c, of_later_nights);
	tcase_add_test(c, of_a_wait);
	tcase_add_test(c, of_nights_by_the_years);
	tcase_add_test(c, of_nights_with_holes);
	tcase_add_test(c, of_an_old_forecast);
	suite_add_tcase(s, c);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
