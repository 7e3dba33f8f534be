#include <stdio.h>

#include "base/instant.h"
#include "lib/morning.h"

enum { TODAY = 139 }; /* day of the year */

/* A crop of three to five weeks in its tray, 65 F of soil, up after 60 degree days over 10; one of five to seven. */
static void figures(void)
{
	for (int i = 0; i < 2; i++) {
		struct crop *c = &morning.crops.at[i];
		c->tray_most_days = i == 0 ? 35 : 49;
		c->emerge_base_c = 10;
		c->emerge_dd = 60;
		c->sow_soil_good_c = bed_c(65);
		c->spacing_m = 0.6096;
	}
	morning.crops.at[1].tray_days = 35;
}

static void plant(const char *name, const char *crop, const char *sown, const char *planted, enum garden_start start)
{
	size_t i = bed_planting(&morning.garden, &morning.crops, name, crop, sown, planted);
	struct planting *p = &morning.garden.planting[i];
	p->start = (int)start;
	p->sowing = start == GARDEN_START_OUTDOORS ? GARDEN_SOWN_OUTDOORS : GARDEN_SOWN_INDOORS;
}

/* Last frosts so many days from today. */
static void years(int last)
{
	bed_state(&morning.garden, &morning.state);
	bed_years(&morning.state, TODAY + last, 285, 0, 1);
}

static void soil(double c)
{
	for (int i = 0; i < STATE_NIGHTS; i++)
		morning.state.seed_c[i] = c;
}

static void indoors(int last)
{
	plant("green-1", "gourdlet", "", "", GARDEN_START_INDOORS);
	plant("green-2", "gourdlet", "", "", GARDEN_START_INDOORS);
	years(last);
}

static void wait_till(void)
{
	indoors(12);
}

static void in_time(void)
{
	indoors(5);
}

static void rough(void)
{
	indoors(5);
	for (int i = 0; i < FROSTDATE_LINES; i++)
		morning.state.frost.at[i].spring.years = morning.state.frost.at[i].spring.with = 7;
}

static void late(void)
{
	indoors(-9);
}

static void no_years(void)
{
	indoors(0);
	morning.state.frost = (struct frostdate){0};
}

static void tested(double of_ten)
{
	morning.garden.plantings = 0;
	plant("green-1", "gourdlet", "", "", GARDEN_START_INDOORS);
	morning.garden.planting[0].seed_year = 2024;
	years(5);
	if (isnan(of_ten))
		return;
	bed_done(&morning.state, 0, VERB_SPROUTED, -2, -2, 1);
	morning.state.planting[0].dates.amount[VERB_SPROUTED] = of_ten;
}

static void good_seed(void)
{
	tested(8);
}

static void bad_seed(void)
{
	tested(4);
}

static void seed_untested(void)
{
	tested((double)NAN);
}

static void old_seed(void)
{
	plant("green-1", "gourdlet", "", "", GARDEN_START_INDOORS);
	morning.garden.planting[0].seed_year = 2024;
	years(25);
}

static void in_place(double c)
{
	plant("green-1", "gourdlet", "", "", GARDEN_START_OUTDOORS);
	bed_state(&morning.garden, &morning.state);
	soil(c);
}

static void warm_soil(void)
{
	in_place(bed_c(67));
}

static void read_soil(void)
{
	in_place(bed_c(60));
	morning.state.planting[0].soil = (struct soil){bed_c(68), SOIL_READ, bed_day(-1)};
}

static void cold_soil(void)
{
	in_place(bed_c(58));
}

static void frosts(void)
{
	in_place(bed_c(58));
	bed_years(&morning.state, TODAY, 285, 0, 1);
}

static void untold_soil(void)
{
	in_place((double)NAN);
}

static void overdue(void)
{
	plant("green-1", "gourdlet", "2026-05-09", "", GARDEN_START_NO);
	years(0);
}

static void two_a_pot(void)
{
	plant("green-1", "gourdlet", "2026-05-03", "", GARDEN_START_NO);
	bed_state(&morning.garden, &morning.state);
}

static void two_a_spot(void)
{
	two_a_pot();
	morning.garden.planting[0].sowing = GARDEN_SOWN_OUTDOORS;
	morning.state.planting[0].where = PLANTING_OUT;
}

static void midsummer(void)
{
	morning.crops.at[0].pick_sown_dd = (struct spread){400, 300, 500};
	morning.crops.at[0].fruit_dd = (struct spread){75, 55, 110};
	plant("green-1", "gourdlet", "2026-03-20", "2026-04-20", GARDEN_START_NO);
	bed_state(&morning.garden, &morning.state);
	bed_years(&morning.state, 60, TODAY + 60, 20, 20);
}

static void heat_mat(void)
{
	morning.garden.heat_mat_c = 20;
	plant("green-1", "gourdlet", "2026-05-13", "", GARDEN_START_NO);
	bed_state(&morning.garden, &morning.state);
}

static void first_leaf(void)
{
	plant("tom-1", "redberry", "2026-05-03", "", GARDEN_START_NO);
	bed_state(&morning.garden, &morning.state);
}

static void filling(void)
{
	plant("green-1", "gourdlet", "2026-04-16", "", GARDEN_START_NO);
	bed_state(&morning.garden, &morning.state);
}

static void root_bound(void)
{
	plant("green-1", "gourdlet", "2026-04-10", "", GARDEN_START_NO);
	bed_state(&morning.garden, &morning.state);
}

static void grey(void)
{
	plant("green-1", "gourdlet", "2026-05-11", "", GARDEN_START_NO);
	plant("tom-1", "redberry", "2026-05-11", "", GARDEN_START_NO);
	bed_state(&morning.garden, &morning.state);
	for (int i = 0; i < 4; i++) {
		morning.state.day[i].cloud_known = morning.state.day[i].daylight_hours;
		morning.state.day[i].cloud_frac = 0.9;
	}
}

static const struct {
	const char *name;
	void (*make)(void);
	int units;
	const char *want;
} rows[] = {
    {"wait", wait_till, UNIT_US,
     "WAIT with sowing green-1 and green-2 till Sun 24; Sun 7 Jun is early enough. Likely planting out: 23 Jun to 3 "
     "Jul. It wants 3 to 5 weeks in its pot; sown today it would be root-bound by then."},
    {"in time", in_time, UNIT_US,
     "SOW green-1 and green-2 indoors by Sun 31. Likely planting out: 16 to 26 Jun. Up in about 6 days, Mon 25."},
    {"few years", rough, UNIT_US, "Likely planting out: 16 to 26 Jun (rough: 7 years)."},
    {"late", late, UNIT_US,
     "SOW green-1 and green-2 indoors now: late, and still worth it till Sun 14 Jun. Fit for the bed on Tue 9 Jun; in "
     "place is as good once the soil is warm."},
    {"without years", no_years, UNIT_US,
     "WAIT with sowing green-1 and green-2: I cannot tell when nights here are fit for it. Give me the days of a "
     "station near by (dewpost import), or a day of your own: planted = in the garden file."},
    {"good seed", good_seed, UNIT_US, "Your test: 8 of 10 sprouted, so two seeds a pot."},
    {"bad seed", bad_seed, UNIT_US, "Your test: 4 of 10 sprouted, so buy fresh seed."},
    {"seed not tested", seed_untested, UNIT_US, "Seed of 2024, not tested: three a pot, or fresh seed."},
    {"a test", old_seed, UNIT_US,
     "TEST the seed of green-1 by Sat 30, packed for 2024: ten in damp paper at 75-80 F. Seven or more sprouted by Tue "
     "26, begun today: sow two a pot. Fewer: buy fresh."},
    {"a test, metric", old_seed, UNIT_METRIC, "ten in damp paper at 24-27 C."},
    {"in place", warm_soil, UNIT_US,
     "SOW green-1 in place, today or in the next days: soil 1 in down was 67, 67 and 67 F on three mornings "
     "(reckoned), "
     "and stays as warm."},
    {"in place, metric", warm_soil, UNIT_METRIC, "soil 3 cm down was 19, 19 and 19 C on three mornings"},
    {"by a reading", read_soil, UNIT_US, "68, 68 and 68 F on three mornings (by your reading, carried forward)"},
    {"cold soil", cold_soil, UNIT_US,
     "WAIT with sowing green-1: soil 1 in down is 58 F at 8 am (reckoned). Seed wants 65 F three mornings running; in "
     "cold wet soil it rots."},
    {"frosts", frosts, UNIT_US,
     "WAIT with sowing green-1 till Mon 25 at the earliest: soil 1 in down is 58 F at 8 am (reckoned). Seed wants 65 F "
     "three mornings running; in cold wet soil it rots. One year in ten has frost after 1 Jun."},
    {"soil not known", untold_soil, UNIT_US,
     "WAIT with sowing green-1: I cannot tell the soil 1 in down. Seed wants 65 F three mornings running"},
    {"overdue", overdue, UNIT_US,
     "DIG up one seed of green-1 if none shows: sown 10 days ago, due about Fri 15. Firm, with a root: give it some "
     "days "
     "more. Soft or gone: sow again, by Tue 26."},
    {"and the question", overdue, UNIT_US, "Tell me: has green-1 come up? If so: dewpost diary add \"up green-1\""},
    {"two a pot", two_a_pot, UNIT_US,
     "SNIP green-1 to one plant a pot, as soon as the first true leaf is open: the stout one stays; cut, don't pull, "
     "or both roots tear."},
    {"two a spot", two_a_spot, UNIT_US,
     "SNIP green-1 to one plant a spot, as soon as the first true leaf is open, at least 24 in apart"},
    {"midsummer", midsummer, UNIT_US,
     "SOW another gourdlet by Mon 25, if you want a fresh plant for autumn: first pick about 40 days on, 4 Jul, two "
     "weeks before half of the years have frost (18 Jul)."},
    {"heat mat", heat_mat, UNIT_US,
     "HEAT OFF under green-1 once the first are up, likely by now. Warmth draws them thin: under 70 F from here on, "
     "and "
     "all the light there is."},
    {"first leaf", first_leaf, UNIT_US,
     "POT ON tom-1 by Sun 24: 16 days old, first true leaf. One to a pot of 3 in, down to its seed leaves, held by a "
     "leaf and not by the stem."},
    {"its tray fills", filling, UNIT_US,
     "FEED green-1 once, half strength: 33 days in the pot, and I can name no day to plant out yet. Past Thu 21 pot "
     "on, "
     "or growth stalls."},
    {"root-bound", root_bound, UNIT_US,
     "POT ON green-1 by Fri 22: 39 days old, over 35 in its pot, and I can name no day to plant out yet. A size "
     "bigger, "
     "roots unbroken: root-bound plants stall."},
    {"grey", grey, UNIT_US,
     "WATER LESS in the trays of green-1 and tom-1 till Fri 22: 4 grey days. Let the top go pale, then water from "
     "below."},
};

START_TEST(lines)
{
	morning_setup();
	morning.garden.units = rows[_i].units;
	figures();
	rows[_i].make();
	morning_again(false);
	morning_note();
	HAS(rows[_i].name, rows[_i].want);
}
END_TEST

/* The first line about seed or trays. */
static size_t sown_line(void)
{
	size_t k = 0;
	while (morning.lines.at[k].lead->decision != DECISION_SOW &&
	       morning.lines.at[k].lead->decision != DECISION_TRAY)
		ck_assert_uint_lt(++k, morning.lines.n);
	return k;
}

START_TEST(why)
{
	static const struct {
		const char *name;
		void (*make)(void);
		const char *want[4];
	} row[] = {
	    {"wait",
	     wait_till,
	     {"24 May sown from here on it is at most 35 days old", "of 30 years one in ten had a frost"}},
	    {"in place",
	     warm_soil,
	     {"67 F soil at the depth of seed, 1 in, at 8 am on Sun 17", "65 F the soil that this"}},
	    {"tested", bad_seed, {"4 of 10 seeds sprouted in your test of Sun 17", "2024 is the year"}},
	    {"overdue", overdue, {"10 d since sowing", "68 F where the seed lies", "26 May up to here a new sowing"}},
	    {"midsummer", midsummer, {"the last sowing that pays: 720 F-days", "that pick, after 40 days"}},
	    {"first leaf", first_leaf, {"the first true leaf is likely by now", "how big your pots are"}},
	    {"grey", grey, {"4 d grey one after the other, up to Fri 22"}},
	};
	for (size_t i = 0; i < sizeof row / sizeof *row; i++) {
		morning_setup();
		figures();
		row[i].make();
		morning_again(false);
		for (size_t k = 0; k < 4 && row[i].want[k] != NULL; k++) {
			text_clear(&morning.t);
			why_write(&morning.facts, sown_line(), &morning.t);
			HAS(row[i].name, row[i].want[k]);
		}
	}
}
END_TEST

/* One question a day, and none where the stage is told of. */
START_TEST(questions)
{
	morning_setup();
	figures();
	overdue();
	plant("green-2", "gourdlet", "2026-05-09", "", GARDEN_START_NO);
	bed_state(&morning.garden, &morning.state);
	morning_again(false);
	morning_note();
	HAS("the first", "has green-1 come up");
	LACKS("no second", "has green-2 come up");
	morning.state.planting[0].stage.ask = VERBS;
	morning_note();
	HAS("the next", "has green-2 come up");
	morning.state.planting[1].stage.ask = VERB_FEMALE;
	morning_note();
	HAS("flowers", "dewpost diary add \"female flower green-2\"");
	morning.state.planting[1].stage.ask = VERBS;
	morning_note();
	LACKS("silence", "Tell me");
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("say_sow");
	TCase *t = tcase_create("say_sow");
	tcase_add_loop_test(t, lines, 0, sizeof rows / sizeof *rows);
	tcase_add_test(t, why);
	tcase_add_test(t, questions);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
