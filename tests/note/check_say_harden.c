#include <stdio.h>
#include <string.h>

#include "base/instant.h"
#include "lib/morning.h"

static const struct bed_weather MILD = {50, 65, 5, 5, 0, 0, 0, 0, 0, 0.3}, COLD = {38, 51, 5, 5, 0, 0, 0, 0, 0, 0.3},
				GUSTY = {50, 65, 25, 25, 0, 0, 0, 0, 0, 0.3},
				LATE_GUSTS = {50, 65, 5, 25, 13, 20, 0, 0, 0, 0.3},
				WET = {50, 65, 5, 5, 0, 0, 5, 0, 24, 0.3}, SUNNY = {50, 78, 5, 5, 0, 0, 0, 0, 0, 0.95};

/* Nights of 45 F, from the sixth on of 62; the days mild. */
static void set_up(struct season_state *s, const struct bed_weather *today)
{
	const double low_f[] = {53, 45, 45, 45, 45, 45, 62, 62, 62, 62, 62, 62};
	bed_nights(s, 0, low_f, sizeof low_f / sizeof *low_f);
	for (int d = 0; d < STATE_AHEAD; d++)
		bed_hours(s, d, d == 0 ? today : &MILD);
}

static void trays(int units)
{
	morning_setup();
	morning.garden.units = units;
	bed_harden(&morning.crops, "gourdlet", 55, 50);
	bed_harden(&morning.crops, "redberry", 58, 55);
	bed_planting(&morning.garden, &morning.crops, "green-1", "gourdlet", "2026-04-27", "");
	bed_planting(&morning.garden, &morning.crops, "pep-1", "redberry", "2026-04-20", "");
	bed_state(&morning.garden, &morning.state);
}

/* A day's line; `done` days in the diary. */
static const struct {
	const char *name;
	const struct bed_weather *w;
	int done;
	int units;
	const char *want;
} rows[] = {
    {"the first day by diary", &MILD, 0, UNIT_US,
     "PUT OUT green-1 and pep-1 from 3 pm to 5 pm, day 1 of hardening: shade, out of the wind, 65 F. A leaf from "
     "indoors burns in an hour of sun, and tears in wind: no hurry. Then Wed 3 h, Thu 4 h, Fri 5 h, Sat 6 h; hardened "
     "by Mon 25 if that holds. I count by plan; to have it go by you: dewpost diary add \"put out green-1\"."},
    {"the third", &MILD, 2, UNIT_US,
     "PUT OUT green-1 and pep-1 from 2 pm to 6 pm, day 3 of hardening: shade, out of the wind, 65 F."},
    {"before the gusts", &LATE_GUSTS, 2, UNIT_US,
     "PUT OUT green-1 from 9 am to 1 pm, day 3 of hardening: shade, out of the wind, 61 F. In before the gusts (25 "
     "mph)."},
    {"gusts all day", &GUSTY, 2, UNIT_US, "KEEP IN green-1 and pep-1 today: gusts of 25 mph."},
    {"cold for both", &COLD, 2, UNIT_US, "KEEP IN green-1 and pep-1 today: 51 F at best, they want 55 to 58."},
    {"hard rain", &WET, 2, UNIT_US,
     "KEEP IN green-1 and pep-1 today: hard rain, 0.2 in in an hour; hail can be in it."},
    {"strong sun", &SUNNY, 4, UNIT_US, "full shade, for the sun is strong, out of the wind, 78 F."},
    {"a night that holds for one", &MILD, 6, UNIT_US,
     "PUT OUT green-1 from 11 am to 8 pm, day 7 of hardening: half sun, out of the wind, 65 F. Out tonight too "
     "(53 F)."},
    {"and not for the other", &MILD, 6, UNIT_US, "In tonight (53 F)."},
    {"hardened", &MILD, 8, UNIT_US,
     "PUT OUT green-1 all day, hardened: sun, 65 F. Out tonight too (53 F). In again on Wed (45), Thu (45), Fri (45)."},
    {"metric", &MILD, 2, UNIT_METRIC,
     "PUT OUT green-1 and pep-1 from 14:00 to 18:00, day 3 of hardening: shade, out of the wind, 18 C."},
};

START_TEST(lines)
{
	trays(rows[_i].units);
	set_up(&morning.state, rows[_i].w);
	for (size_t i = 0; i < 2 && rows[_i].done > 0; i++)
		bed_done(&morning.state, i, VERB_PUT_OUT, -rows[_i].done, -1, rows[_i].done);
	if (rows[_i].done == 0)
		for (int d = -STATE_HOURS_BEFORE; d < 0; d++)
			bed_hours(&morning.state, d, &COLD);
	morning_again(false);
	morning_note();
	HAS(rows[_i].name, rows[_i].want);
}
END_TEST

/* What one of a line's trays cannot bear tomorrow keeps all of them in. */
START_TEST(in_for_one)
{
	trays(UNIT_US);
	set_up(&morning.state, &MILD);
	bed_hours(&morning.state, 1, &(struct bed_weather){40, 56, 5, 5, 0, 0, 0, 0, 0, 0.3});
	for (size_t i = 0; i < 2; i++)
		bed_done(&morning.state, i, VERB_PUT_OUT, -2, -1, 2);
	morning_again(false);
	morning_note();
	HAS("one line", "PUT OUT green-1 and pep-1 from 2 pm to 6 pm, day 3 of hardening");
	HAS("the one's line", "In all Wednesday (56 F).");
}
END_TEST

/* Thursday and Friday turned cold overnight: hardening ends two days later, and the note owns up to it. */
START_TEST(moved)
{
	trays(UNIT_US);
	bed_state(&morning.garden, &morning.before);
	struct season_state *b = &morning.before;
	set_up(b, &MILD);
	b->today = bed_day(-1);
	b->cut -= DAY_S;
	memmove(&b->hours[1], &b->hours[0], (STATE_HOURS_DAYS - 1) * sizeof b->hours[0]);
	set_up(&morning.state, &MILD);
	for (size_t i = 0; i < 2; i++) {
		bed_done(b, i, VERB_PUT_OUT, -2, -2, 1);
		bed_done(&morning.state, i, VERB_PUT_OUT, -2, -1, 2);
	}
	morning_again(true);
	morning_note();
	LACKS("nothing moved", "hardening of");
	bed_hours(&morning.state, 2, &COLD);
	morning_again(true);
	morning_note();
	LACKS("one day is in the dead band", "hardening of");
	bed_hours(&morning.state, 3, &COLD);
	morning_again(true);
	morning_note();
	HAS("two days",
	    "CHANGED since yesterday: hardening of green-1 and pep-1 now ends Mon 25 (was Sat 23): in Thu 21");
	HAS("two days", "Then Wed 5 h, Thu in, Fri in, Sat 6 h; hardened by Mon 25 if that holds.");
}
END_TEST

/* The reasons are in words, each with its number. */
START_TEST(why)
{
	trays(UNIT_US);
	set_up(&morning.state, &LATE_GUSTS);
	bed_done(&morning.state, 0, VERB_PUT_OUT, -2, -1, 2);
	morning.garden.plantings = morning.state.plantings = 1;
	morning_again(false);
	text_clear(&morning.t);
	why_write(&morning.facts, 0, &morning.t);
	HAS("why", "55 F days under it are too cold to stand out");
	HAS("why", "2 d it stood out, by your diary");
	HAS("why", "7 d are wanted: full on Sat 23, if the forecast holds");
	HAS("why", "9 am the warmest, stillest hours begin");
	HAS("why", "1 pm and end");
	HAS("why", "25 mph the gusts that bar other hours");
	HAS("why", "invented for a test (harden_day)");
	HAS("why", "hail, which comes with thunder and is in no forecast");
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("say_harden");
	TCase *t = tcase_create("say_harden");
	tcase_add_loop_test(t, lines, 0, sizeof rows / sizeof *rows);
	tcase_add_test(t, in_for_one);
	tcase_add_test(t, moved);
	tcase_add_test(t, why);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
