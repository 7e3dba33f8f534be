#include <string.h>

#include "base/instant.h"
#include "lib/morning.h"
#include "note/sentence.h"

/* Layout: the numbers are invented, the words are what is checked.  Nights from 19 May on, in F; 0 is not known. */
static const struct {
	const char *name, *sown, *planted;
	int units, hour; /* of the cut */
	double low[10];
	const char *want;
} rows[] = {
    {"cover by the frost line",
     "2026-04-10",
     "2026-05-01",
     UNIT_US,
     5,
     {34, 50, 50, 50, 50},
     "COVER g today by 7 pm: 34 F forecast for tonight; 1 in 5 to freeze. Fleece or "
     "sheets on hoops, edges weighted, nothing touching the leaves, plastic least of all. No fuel heater, lamp or "
     "candle "
     "under it; electric heat only if rated for outdoors, on a residual-current protected socket. Off in the morning, "
     "before the sun is strong."},
    {"cover by the line in the bed",
     "2026-04-10",
     "2026-05-01",
     UNIT_US,
     5,
     {36, 50, 50, 50, 50},
     "COVER g today by 7 pm: 36 F forecast for tonight; at 36 or less in the bed frost is too near, 1 in 15. *"},
    {"metric",
     "2026-04-10",
     "2026-05-01",
     UNIT_METRIC,
     5,
     {34, 50, 50, 50, 50},
     "COVER g today by 19:00: 1 C forecast for tonight; 1 in 5 to freeze. Fleece or "
     "sheets on hoops, edges weighted, nothing touching the leaves, plastic least of all. No fuel heater, lamp or "
     "candle "
     "under it; electric heat only if rated for outdoors, on a residual-current protected socket. Off in the morning, "
     "before the sun is strong."},
    {"just planted",
     "2026-04-10",
     "2026-05-18",
     UNIT_US,
     5,
     {44, 50, 50, 50, 50},
     "COVER g today by 7 pm: 44 F forecast for tonight, 1 day after planting out; under 45 a new plant stalls. *"},
    {"planted today",
     "2026-04-10",
     "2026-05-19",
     UNIT_US,
     5,
     {44, 50, 50, 50, 50},
     "COVER g today by 7 pm: 44 F forecast for tonight, the first night out; under 45 a new plant stalls. *"},
    {"a night ahead, and again",
     "2026-04-10",
     "2026-05-01",
     UNIT_US,
     5,
     {50, 33, 35, 36, 50},
     "COVER g tomorrow by 7 pm: 33 F forecast for tomorrow night; 4 in 10 to freeze. Again Thursday night (35, 1 in "
     "5), Friday night (35, 1 in 6). *"},
    {"again for another reason",
     "2026-04-10",
     "2026-05-14",
     UNIT_US,
     5,
     {34, 44, 50, 50, 50},
     "COVER g today by 7 pm: 34 F forecast for tonight, 5 days after planting out; 1 in 5 to freeze. Again tomorrow "
     "night (44 in the bed; under 45 a new plant stalls). *"},
    {"first by the stall line, then frost",
     "2026-04-10",
     "2026-05-14",
     UNIT_US,
     5,
     {44, 34, 50, 50, 50},
     "COVER g today by 7 pm: 44 F forecast for tonight, 5 days after planting out; under 45 a new plant stalls. "
     "Again tomorrow night (34 on the leaf; 1 in 4 to freeze). *"},
    {"the hour has passed",
     "2026-04-10",
     "2026-05-01",
     UNIT_US,
     20,
     {34, 50, 50, 50, 50},
     "COVER g now: 34 F forecast for tonight; 1 in 5 to freeze. *"},
    {"tonight is not known",
     "2026-04-10",
     "2026-05-01",
     UNIT_US,
     5,
     {0, 50, 50, 50, 50},
     "LOOK at the sky at dusk (sunset 8:24 pm): I have no forecast for tonight. If it is clear and calm, cover g, "
     "nothing touching the leaves."},
    {"tonight is not known, in the evening",
     "2026-04-10",
     "2026-05-01",
     UNIT_METRIC,
     21,
     {0, 50, 50, 50, 50},
     "LOOK at the sky now: I have no forecast for tonight. If it is clear and calm, cover g, nothing touching the "
     "leaves."},
    {"plant",
     "2026-04-20",
     "",
     UNIT_US,
     5,
     {66, 67, 68, 66, 69},
     "PLANT OUT g today, late in the afternoon, or the next grey, still day: over 9 in 10 that 4 of the next 5 nights "
     "keep 60 F (in the bed 66 67 68 65 68); frost by Sun 24 is under 1 in 100. Soil not known: 62 F at 8 am, 4 in "
     "down, is wanted. Of frost after Sun 24 I cannot tell: ask your local extension office for the last one."},
    {"plant, asked late",
     "2026-04-20",
     "",
     UNIT_METRIC,
     18,
     {66, 67, 68, 69, 69},
     "PLANT OUT g tomorrow, late in the afternoon, or the next grey, still day: over 9 in 10 that 4 of the next 5 "
     "nights keep 16 C (in the bed 19 19 20 20 20); frost by Sun 24 is under 1 in 100. Soil not known: 17 C at 8:00, "
     "10 cm down, is wanted. *"},
    {"under a cover",
     "2026-04-20",
     "",
     UNIT_US,
     5,
     {57, 57, 57, 57, 57},
     "PLANT OUT g today, late in the afternoon, under a cover: over 9 in 10 that 4 of the next 5 nights keep 50 F (in "
     "the bed 57 57 57 56 56); frost by Sun 24 is under 1 in 100. Fleece on hoops, edges weighted, nothing touching "
     "the leaves. *"},
    {"wait till",
     "2026-04-20",
     "",
     UNIT_US,
     5,
     {46, 62, 68, 69, 68, 68, 69},
     "WAIT with g till Wed 20: a night at 45 or less, which stalls a new plant, is 4 in 10; then over 9 in 10 that 4 "
     "of 5 nights keep 60 F (in the bed 62 68 68 67 67). Soil not known: 62 F at 8 am, 4 in down, is wanted. *"},
    {"wait till, of nights alone",
     "2026-04-20",
     "",
     UNIT_US,
     5,
     {55, 55, 70, 70, 70, 70, 70},
     "WAIT with g till Wed 20: 1 in 10 that 4 of the next 5 nights keep 60 F (in the bed 55 55 70 69 69); then over 9 "
     "in 10. *"},
    {"none",
     "2026-04-20",
     "",
     UNIT_US,
     5,
     {46, 46, 46, 46, 46},
     "WAIT with g: under 1 in 100 that 4 of the next 5 nights keep 60 F (in the bed 46 46 46 45 45); no fit day in "
     "sight (forecast known to Thu 28)."},
    {"one night not known",
     "2026-04-20",
     "",
     UNIT_US,
     5,
     {66, 67, 0, 66, 66},
     "WAIT with g: I cannot tell, 1 of the next 5 nights is not known."},
    {"two nights not known",
     "2026-04-20",
     "",
     UNIT_US,
     5,
     {66, 67, 68},
     "WAIT with g: I cannot tell, 2 of the next 5 nights are not known."},
    {"not known, and yet no",
     "2026-04-20",
     "",
     UNIT_US,
     5,
     {44, 44, 0, 66, 66},
     "WAIT with g: under 1 in 100 that 4 of the next 5 nights keep 60 F (in the bed 44 44 ? 65 65); *"},
    {"frost", "2026-04-20", "", UNIT_US, 5, {46, 46, 34, 46, 46}, "WAIT with g: frost by Sun 24 is 3 in 10; *"},
    {"a weekend under a cover",
     "2026-04-20",
     "",
     UNIT_US,
     5,
     {46, 46, 46, 46, 46, 58, 58, 58, 58, 58},
     "WAIT with g: under 1 in 100 that 4 of the next 5 nights keep 60 F (in the bed 46 46 46 45 45); no fit day in "
     "sight (forecast known to Thu 28). Only free this weekend? Sun 24, late, under a cover, edges weighted: a stall "
     "is 1 in 20."},
    {"too young, a day is named",
     "2026-04-30",
     "",
     UNIT_US,
     5,
     {68, 68, 68, 68, 68, 68, 68},
     "WAIT with g till Thu 21: 19 days old, 21 wanted in the tray (till Thu 21); then over 9 in 10 that 4 of 5 nights "
     "keep 60 F (in the bed 68 67 67 67 67). *"},
    {"too young, cold after",
     "2026-04-30",
     "",
     UNIT_US,
     5,
     {60, 60, 46, 46, 46, 46, 46},
     "WAIT with g: 19 days old, 21 wanted in the tray (till Thu 21); no fit day in sight (forecast known to Thu 28)."},
};

static void compose(const double *low)
{
	double known[10];
	for (int i = 0; i < 10; i++)
		known[i] = low[i] > 0 ? low[i] : (double)NAN;
	morning_compose(known, 10, NULL);
}

/* A want that ends in a star says how the sentence begins. */
START_TEST(sentences)
{
	morning.garden.units = rows[_i].units;
	bed_planting(&morning.garden, &morning.crops, "g", "gourdlet", rows[_i].sown, rows[_i].planted);
	compose(rows[_i].low);
	morning.state.cut = instant_at(morning.state.today, rows[_i].hour * HOUR_S, -5 * HOUR_S);
	morning_again(false);
	ck_assert_uint_ge(morning.lines.n, 1);
	sentence_line(&morning.facts, &morning.lines.at[0], &morning.t);
	size_t n = strcspn(rows[_i].want, "*");
	bool whole = rows[_i].want[n] == '\0';
	ROW_MSG(strncmp(morning.t.at, rows[_i].want, n) == 0 && (!whole || morning.t.len == n),
		"%s:\n\"%s\", want\n\"%s\"", rows[_i].name, morning.t.at, rows[_i].want);
}
END_TEST

/* What is seen of a night with holes decides only where it is cold enough, and is said as a bound. */
START_TEST(nights_with_holes)
{
	bed_planting(&morning.garden, &morning.crops, "g", "gourdlet", "2026-04-10", "2026-05-01");
	compose((const double[10]){50, 50, 50, 50, 50});
	bed_seen(&morning.state, 0, 15, 47);
	morning_again(false);
	sentence_line(&morning.facts, &morning.lines.at[0], &morning.t);
	HAS("one hour", "I cannot judge tonight, 1 of its 16 hours is missing. If");
	LACKS("one hour", "47");
	text_clear(&morning.t);
	bed_seen(&morning.state, 0, 9, 47);
	sentence_line(&morning.facts, &morning.lines.at[0], &morning.t);
	HAS("hours", "I cannot judge tonight, 7 of its 16 hours are missing. If");
	text_clear(&morning.t);
	bed_seen(&morning.state, 0, 9, 34);
	bed_seen(&morning.state, 1, 9, 35);
	morning_again(false);
	sentence_line(&morning.facts, &morning.lines.at[0], &morning.t);
	HAS("cold all the same", "COVER g today by 7 pm: 34 F or colder forecast for tonight;");
	HAS("cold all the same", "Again tomorrow night (35 or colder).");
}
END_TEST

START_TEST(several)
{
	bed_planting(&morning.garden, &morning.crops, "a", "gourdlet", "2026-04-10", "2026-05-18");
	bed_planting(&morning.garden, &morning.crops, "b", "gourdlet", "2026-04-10", "2026-05-16");
	bed_planting(&morning.garden, &morning.crops, "c", "gourdlet", "2026-04-10", "2026-05-18");
	compose((const double[10]){44, 50, 50, 50, 50});
	ck_assert_uint_eq(morning.lines.n, 1);
	sentence_line(&morning.facts, &morning.lines.at[0], &morning.t);
	HAS("other days", "COVER a, b and c today by 7 pm: 44 F forecast for tonight; under 45 a new plant stalls.");
	morning.state.planting[1].dates = morning.state.planting[0].dates;
	morning_again(false);
	text_clear(&morning.t);
	sentence_line(&morning.facts, &morning.lines.at[0], &morning.t);
	HAS("the same day", "tonight, 1 day after planting out; under 45");
}
END_TEST

/* A cover that is news for one planting of a line is news for the grower. */
START_TEST(caution_if_any_is_new)
{
	bed_planting(&morning.garden, &morning.crops, "a", "gourdlet", "2026-04-10", "2026-05-01");
	bed_planting(&morning.garden, &morning.crops, "b", "gourdlet", "2026-04-10", "2026-05-01");
	compose((const double[10]){34, 50, 50, 50, 50});
	morning.today.at[0].news = false;
	sentence_line(&morning.facts, &morning.lines.at[0], &morning.t);
	HAS("one is new", "No fuel heater, lamp or candle");
	morning.today.at[1].news = false;
	text_clear(&morning.t);
	sentence_line(&morning.facts, &morning.lines.at[0], &morning.t);
	HAS("none is new", "to freeze. Nothing touching the leaves. Off in the morning.");
}
END_TEST

/* Where the sun does not set there is no hour to name. */
START_TEST(midnight_sun)
{
	morning.garden.latitude = 69.6;
	morning.garden.longitude = -89.9;
	bed_planting(&morning.garden, &morning.crops, "g", "gourdlet", "2026-04-10", "2026-05-01");
	compose((const double[10]){34, 50, 50, 50, 50});
	bed_state(&morning.garden, &morning.state);
	morning.state.today = bed_day(33);
	for (int i = 0; i < STATE_NIGHTS; i++)
		morning.state.night[i].evening = date_add(morning.state.today, i - STATE_NIGHTS_BEFORE);
	bed_nights(&morning.state, 0, (const double[]){34}, 1);
	morning_again(false);
	sentence_act(&morning.facts, &morning.lines.at[0], &morning.t);
	ck_assert_str_eq(morning.t.at, "COVER g today before dark");
	bed_nights(&morning.state, 0, (const double[]){50}, 1);
	morning.state.night[STATE_NIGHTS_BEFORE].complete = false;
	morning_again(false);
	text_clear(&morning.t);
	sentence_act(&morning.facts, &morning.lines.at[0], &morning.t);
	ck_assert_str_eq(morning.t.at, "LOOK at the sky at dusk");
}
END_TEST

START_TEST(forecasts)
{
	compose((const double[10]){50});
	struct forecast_state *fs = &morning.state.forecast;
	sentence_forecast(&morning.facts, &morning.t);
	text_add(&morning.t, "|");
	fs->made -= 7 * HOUR_S;
	sentence_forecast(&morning.facts, &morning.t);
	text_add(&morning.t, "|");
	fs->trust = TRUST_OLD;
	fs->age_s = 50 * HOUR_S;
	morning.garden.units = UNIT_METRIC;
	sentence_forecast(&morning.facts, &morning.t);
	text_add(&morning.t, "|");
	fs->any = false;
	sentence_forecast(&morning.facts, &morning.t);
	ck_assert_str_eq(morning.t.at, "Forecast of 4:17 am today.|Forecast of Mon 18, 9:17 pm.|"
				       "Forecast of Mon 18, 21:17, 2 days old.|No forecast in the record.");
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("sentence");
	TCase *c = tcase_create("sentence");
	tcase_add_checked_fixture(c, morning_setup, NULL);
	tcase_add_loop_test(c, sentences, 0, sizeof rows / sizeof *rows);
	tcase_add_test(c, nights_with_holes);
	tcase_add_test(c, several);
	tcase_add_test(c, caution_if_any_is_new);
	tcase_add_test(c, midnight_sun);
	tcase_add_test(c, forecasts);
	suite_add_tcase(s, c);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
