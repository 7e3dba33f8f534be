#include <stdio.h>
#include <string.h>

#include "base/instant.h"
#include "lib/morning.h"
#include "note/sentence.h"

/* Words of what goes with a cover; the numbers are invented, the words are what is checked. */

static struct covers covers = {.n = 3,
			       .at = {{.name = "felt",
				       .title = "thick felt",
				       .gain_c = {2, 1, 3},
				       .spoilt_frac = 0.5,
				       .windy_ms = 4,
				       .sunless_frac = 0.3,
				       .off_by_s = NAN,
				       .off_over_c = 30,
				       .day = COVER_UNTIL_FLOWER},
				      {.name = "film",
				       .title = "film on hoops",
				       .gain_c = {2, 0, 3},
				       .spoilt_frac = NAN,
				       .windy_ms = NAN,
				       .sunless_frac = NAN,
				       .off_by_s = 8 * HOUR_S,
				       .off_over_c = 15,
				       .day = COVER_NIGHT_ONLY},
				      {.name = "crate",
				       .title = "crate",
				       .gain_c = {NAN, NAN, NAN},
				       .off_by_s = NAN,
				       .off_over_c = NAN,
				       .day = COVER_NIGHT_ONLY}}};

static void setup(void)
{
	morning_setup();
	bed_planting(&morning.garden, &morning.crops, "green-1", "gourdlet", "2026-04-10", "2026-05-01");
	morning.garden.cover_table = &covers;
}

static void cover(const char *name)
{
	if (name != NULL)
		snprintf(morning.garden.cover[morning.garden.covers++], COVER_NAME_SIZE, "%s", name);
}

/* The first line after `change`. */
static void line(void)
{
	text_clear(&morning.t);
	morning_again(false);
	ck_assert_uint_ge(morning.lines.n, 1);
	sentence_line(&morning.facts, &morning.lines.at[0], &morning.t);
}

/* A clear, calm night of 37 F: 0.8 K in the bed, 2.3 on the leaf. */
static const struct {
	const char *name, *cover;
	double high_f;      /* tomorrow */
	const char *has[3]; /* in full */
	const char *lacks;
} rows[] = {
    {"none at hand",
     NULL,
     70,
     {"1 in 3 to freeze. Cloud or wind after dusk: leave it off.", "Fleece or sheets on hoops, edges weighted",
      "Off in the morning, before the sun is strong."},
     "covered"},
    {"felt",
     "felt",
     70,
     {"1 in 3 to freeze, covered 1 in 15.", "Held off by hoops or canes, edges weighted, nothing touching the leaves",
      "It may stay on by day while it is under 86 F."},
     "gain nothing"},
    {"felt, and a hot day", "felt", 90, {"Off tomorrow by 10 am.", "covered 1 in 15"}, "stay on"},
    {"film",
     "film",
     70,
     {"1 in 3 to freeze. ", "Your film on hoops may gain nothing on such a night: two layers, or a heavier one.",
      "Off tomorrow by 8 am."},
     "covered"},
    {"crate", "crate", 70, {"1 in 3 to freeze. ", "Off tomorrow by 10 am."}, "gain nothing"},
};

START_TEST(of_each_cover)
{
	cover(rows[_i].cover);
	morning_compose((const double[]){37, 50, 50, 50}, 4, NULL);
	bed_clear(&morning.state, 0, 0.8, 2.3);
	morning.state.day[1].tmax_c = bed_c(rows[_i].high_f);
	line();
	for (int i = 0; i < 3 && rows[_i].has[i] != NULL; i++)
		HAS(rows[_i].name, rows[_i].has[i]);
	LACKS(rows[_i].name, rows[_i].lacks);
	HAS("caution", "No fuel heater, lamp or candle under it; electric heat only if rated for outdoors, on a "
		       "residual-current protected socket.");
}
END_TEST

/* Once a grower has covered this season, the caution is short. */
START_TEST(short_later)
{
	cover("felt");
	morning_compose((const double[]){37, 50, 50, 50}, 4, NULL);
	bed_clear(&morning.state, 0, 0.8, 2.3);
	bed_done(&morning.state, 0, VERB_COVERED, -9, -9, 1);
	bed_done(&morning.state, 0, VERB_UNCOVERED, -8, -8, 1);
	line();
	HAS("short", "Nothing touching the leaves. It may stay on by day.");
	LACKS("short", "heater");
	bed_done(&morning.state, 0, VERB_COVERED, -1, -1, 2);
	line();
	HAS("lies", "What lies on it may stay by day.");
}
END_TEST

START_TEST(cold_that_comes_with_wind)
{
	morning_compose((const double[]){33, 50, 50, 50}, 4, NULL);
	struct night *n = &morning.state.night[STATE_NIGHTS_BEFORE];
	n->wind_ms = 8;
	n->wind_known = n->dark_hours;
	line();
	HAS("wind", "The cold comes with wind, 18 mph: a cover helps little; weight it all round.");
}
END_TEST

START_TEST(too_cold_for_it)
{
	cover("felt");
	morning_compose((const double[]){29, 50, 50, 50}, 4, NULL);
	line();
	HAS("hard", "Covered it may freeze all the same: two layers, or more.");
}
END_TEST

static void autumn(double after_f)
{
	struct season_state *s = &morning.state;
	enum { DAYS_ON = 124 }; /* 20 September */
	s->today = date_add(s->today, DAYS_ON);
	s->cut += DAYS_ON * (int64_t)DAY_S;
	for (int i = 0; i < STATE_NIGHTS; i++)
		s->night[i].evening = date_add(s->night[i].evening, DAYS_ON);
	for (int i = 0; i < STATE_AHEAD; i++) {
		s->day[i].date = date_add(s->day[i].date, DAYS_ON);
		s->day[i].tmean_c = bed_c(after_f);
	}
	bed_nights(s, 0, (const double[]){33, 33, 33, 33}, 4);
}

/* In the order of the table, not of the garden file. */
START_TEST(before_an_autumn_frost)
{
	bed_planting(&morning.garden, &morning.crops, "herb", "redberry", "2026-04-10", "2026-05-01");
	struct crop *late = &morning.garden.planting[0].figures, *first = &morning.garden.planting[1].figures;
	late->frost_order = 3;
	first->frost_order = 1;
	snprintf(late->frost_pick, CROP_WHAT_SIZE, "gourdlets of any size");
	snprintf(first->frost_pick, CROP_WHAT_SIZE, "all the leaves");
	bed_state(&morning.garden, &morning.state);
	autumn(55);
	line();
	HAS("let go",
	    "PICK herb and green-1 today by 6 pm: all the leaves; then gourdlets of any size. 33 F forecast for "
	    "tonight; 1 in 3 to freeze. Not worth a cover: 55 F on average in the week after.");
	LACKS("let go", "Again");
	for (int i = 0; i < STATE_AHEAD; i++)
		morning.state.day[i].tmean_c = bed_c(60);
	line();
	HAS("worth it",
	    "Worth it: 60 F on average in the week after. Pick before that: all the leaves; then gourdlets of "
	    "any size.");
	HAS("worth it", "COVER green-1 and herb");
}
END_TEST

START_TEST(a_tub)
{
	struct tub *t = &morning.garden.tub[morning.garden.tubs++];
	*t = (struct tub){.name = "patio", .movable = true};
	snprintf(morning.garden.planting[0].in, sizeof morning.garden.planting[0].in, "patio");
	morning_compose((const double[]){33, 33, 50, 50}, 4, NULL);
	line();
	HAS("tub",
	    "CARRY IN green-1 today by 7 pm: 33 F forecast for tonight; 1 in 3 to freeze. Again tomorrow night (33, 4 "
	    "in 10). Out again in the morning.");
	ck_assert_ptr_nonnull(strstr(morning_note(), "frost possible tonight, 33 F"));
}
END_TEST

START_TEST(off_this_morning)
{
	cover("film");
	morning_compose((const double[]){50, 50, 50, 50}, 4, NULL);
	bed_done(&morning.state, 0, VERB_COVERED, -1, -1, 1);
	morning.state.day[0].tmax_c = bed_c(64);
	line();
	HAS("off", "UNCOVER green-1 today by 8 am: film on hoops over it since Mon 18; 64 F today. Off already? Note "
		   "it: dewpost "
		   "diary add \"uncovered green-1\".");
	ck_assert_ptr_nonnull(strstr(morning_note(), "covers off this morning"));
	text_clear(&morning.t);
	why_write(&morning.facts, 0, &morning.t);
	HAS("why", "1 d since something was put over it, by your diary, on Mon 18");
	HAS("why", "8 am off by then today");
}
END_TEST

/* The numbers behind it, with the cover's. */
START_TEST(why_covered)
{
	cover("felt");
	snprintf(covers.at[0].basis[COVER_GAIN], COVER_BASIS_SIZE, "invented for a test (felt)");
	morning_compose((const double[]){38, 50, 50, 50}, 4, NULL);
	bed_clear(&morning.state, 0, 0.8, 2.3);
	morning_again(false);
	why_write(&morning.facts, 0, &morning.t);
	HAS("chance",
	    "1 in 4 the chance that the leaf gets to the kill line 1 in 10 from this chance on it is covered");
	HAS("gain", "+3 F under your thick felt: the low end of its gain, and half the sky hidden");
	HAS("covered", "the chance that it freezes under that");
	HAS("rule",
	    "cover at that chance: invented for a test (cover_at) (yours to change: cover_at in the garden file)");
	HAS("basis", "The cover thick felt: invented for a test (felt)");
	HAS("tip", "It tips if cloud covers most of the sky after dusk, or the wind is over 7 mph: leaf 38 F, 1 in 30 "
		   "to freeze; "
		   "leave it.");
	HAS("not known",
	    "Not known how cold it lies by your hedge or wall. Note tomorrow's low: dewpost diary add \"low 37 F\"");
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("say_cover");
	TCase *c = tcase_create("say_cover");
	tcase_add_checked_fixture(c, setup, NULL);
	tcase_add_loop_test(c, of_each_cover, 0, sizeof rows / sizeof *rows);
	tcase_add_test(c, short_later);
	tcase_add_test(c, cold_that_comes_with_wind);
	tcase_add_test(c, too_cold_for_it);
	tcase_add_test(c, before_an_autumn_frost);
	tcase_add_test(c, a_tub);
	tcase_add_test(c, off_this_morning);
	tcase_add_test(c, why_covered);
	suite_add_tcase(s, c);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
