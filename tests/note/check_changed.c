#include <string.h>

#include "base/instant.h"
#include "lib/morning.h"
#include "note/changed.h"

/* Nights in F, 0 not known: `was` from 18 May on, `is` from 19 May on.  Gourdlet: line 60, stall 45. */
static const struct {
	const char *name, *planted;
	double was[11], is[10];
	int units;
	bool stale;
	const char *want;
} rows[] = {
    {"fell", "2026-05-01", {50, 50, 38, 50}, {50, 33, 50}, UNIT_US, false, "tomorrow night fell 5 F (was 38, now 33)"},
    {"rose", "2026-05-01", {50, 30, 50, 50}, {34, 50, 50}, UNIT_US, false, "tonight rose 4 F (was 30, now 34)"},
    {"metric",
     "2026-05-01",
     {50, 50, 38, 50},
     {50, 33, 50},
     UNIT_METRIC,
     false,
     "tomorrow night fell 2 C (was 3, now 1)"},
    {"off",
     "2026-05-01",
     {50, 50, 34, 50},
     {50, 41, 50},
     UNIT_US,
     false,
     "tomorrow night no longer needs a cover on a and b (was 34, now 41 on the leaf)"},
    {"lost",
     "2026-05-01",
     {50, 50, 34, 50},
     {50, 0, 50},
     UNIT_US,
     false,
     "tomorrow night can no longer be judged (was 34 F on the leaf): be ready to cover a and b"},
    {"lost to an old forecast",
     "2026-05-01",
     {50, 34, 50, 50},
     {45, 50, 50},
     UNIT_US,
     true,
     "tonight can no longer be judged (was 34 F on the leaf): be ready to cover a and b"},
    {"later",
     "",
     {50, 50, 50, 68, 68, 68, 68, 68, 68},
     {50, 50, 50, 50, 68, 68, 68, 68},
     UNIT_US,
     false,
     "the day to plant a and b moved from Wed 20 to Fri 22: Thursday night fell 18 F (was 68, now 50)"},
    {"sooner",
     "",
     {50, 50, 50, 50, 50, 70, 70, 70, 70, 70},
     {50, 50, 70, 70, 70, 70, 70, 70},
     UNIT_US,
     false,
     "the day to plant a and b moved from Sat 23 to Wed 20: Thursday night rose 20 F (was 50, now 70)"},
    {"only a night that fell near the line is the reason",
     "",
     {50, 50, 50, 95, 68, 68, 68, 68, 68, 68},
     {50, 50, 75, 55, 55, 68, 68, 68, 68},
     UNIT_US,
     false,
     "the day to plant a and b moved from Wed 20 to Sat 23: Friday night fell 13 F (was 68, now 55)"},
    {"gone",
     "",
     {50, 50, 50, 68, 68, 68, 68, 68},
     {50, 44, 68, 48, 68, 48, 50},
     UNIT_US,
     false,
     "no day in sight any more to plant a and b (was Wed 20): Friday night fell 20 F (was 68, now 48)"},
    {"gone for age",
     "",
     {50, 50, 50, 68, 68, 68, 68, 68},
     {50, 50, 68, 55, 68, 55, 58},
     UNIT_US,
     true,
     "I can name no day any more to plant a and b (was Wed 20): the forecast is 31 hours old"},
    {"gone for want of hours",
     "",
     {50, 50, 50, 68, 68, 68, 68, 68},
     {50, 50, 68, 68},
     UNIT_US,
     false,
     "no day in sight any more to plant a and b (was Wed 20): not all nights after it are known now"},
    {"due today and not kept",
     "",
     {50, 50, 68, 68, 68, 68, 68},
     {50, 50, 68, 68, 68, 68, 68},
     UNIT_US,
     false,
     "the day to plant a and b moved from today to Wed 20: tomorrow night fell 18 F (was 68, now 50)"},
    {"turned",
     "",
     {68, 68, 68, 68, 68, 68},
     {68, 55, 44, 55, 68},
     UNIT_US,
     false,
     "yesterday I said plant a and b, today I say wait: Thursday night fell 24 F (was 68, now 44)"},
    {"turned for age",
     "",
     {68, 68, 68, 68, 68, 68},
     {68, 68, 68, 68, 68},
     UNIT_US,
     true,
     "yesterday I said plant a and b, today I say wait: the forecast is 31 hours old"},
    {"plant at once",
     "",
     {50, 50, 50, 50, 68, 68, 68, 68, 68},
     {68, 68, 68, 68, 68},
     UNIT_US,
     false,
     "a and b can go out today already (was Thu 21): tonight rose 18 F (was 50, now 68)"},
    {"under a cover",
     "",
     {50, 50, 50, 50, 50, 70, 70, 70, 70, 70},
     {57, 57, 57, 57, 57, 57},
     UNIT_US,
     false,
     "a and b can go out today under a cover (was Sat 23): tonight rose 7 F (was 50, now 57)"},
    {"turned to under a cover",
     "",
     {68, 68, 68, 68, 68, 68},
     {57, 57, 57, 57, 57},
     UNIT_US,
     false,
     "yesterday I said plant a and b, today I say under a cover: tonight fell 11 F (was 68, now 57)"},
    {"more is known",
     "",
     {50, 0, 0, 68, 68, 68, 68, 68, 68},
     {68, 68, 68, 68, 68, 68},
     UNIT_US,
     false,
     "a and b can go out today already (was Thu 21): more nights are known now"},
};

START_TEST(changes)
{
	morning.garden.units = rows[_i].units;
	bed_planting(&morning.garden, &morning.crops, "a", "gourdlet", "2026-04-10", rows[_i].planted);
	bed_planting(&morning.garden, &morning.crops, "b", "gourdlet", "2026-04-10", rows[_i].planted);
	double is[10], was[11];
	for (int i = 0; i < 11; i++) {
		was[i] = rows[_i].was[i] > 0 ? rows[_i].was[i] : (double)NAN;
		if (i < 10)
			is[i] = rows[_i].is[i] > 0 ? rows[_i].is[i] : (double)NAN;
	}
	morning_compose(is, 10, was);
	morning.state.forecast.trust = rows[_i].stale ? TRUST_AGED : TRUST_FULL;
	morning.state.forecast.age_s = 31 * HOUR_S;
	morning_again(true);
	ROW_MSG(morning.changes.n == 1, "%s: %zu changes", rows[_i].name, morning.changes.n);
	changed_words(&morning.facts, &morning.changes.at[0], &morning.t);
	ROW_STR(rows[_i].name, morning.t.at, rows[_i].want);
}
END_TEST

/* In the note: one paragraph of its own, the nights first, the rest only counted. */
START_TEST(in_the_note)
{
	bed_planting(&morning.garden, &morning.crops, "tray", "gourdlet", "2026-04-10", "");
	bed_planting(&morning.garden, &morning.crops, "out", "gourdlet", "2026-04-10", "2026-05-01");
	morning_compose((const double[]){68, 34, 68, 68, 68, 68}, 6, (const double[]){68, 68, 68, 68, 68, 68, 68});
	morning_note();
	HAS("nights first", "CHANGED since yesterday: tomorrow night fell 34 F (was 68, now 34); yesterday I said "
			    "plant tray, today I say wait: tomorrow night fell 34 F (was 68, now 34). Nights");
	morning_compose((const double[]){34, 34, 34, 34, 68, 68}, 6, (const double[]){68, 68, 68, 68, 68, 68, 68});
	morning_note();
	HAS("more", "(was 68, now 34); and 1 more. Nights");
	morning_compose((const double[]){68, 68, 68, 68, 68}, 5, (const double[]){68, 68, 68, 68, 68, 68});
	morning_note();
	LACKS("the same", "CHANGED");
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("changed");
	TCase *c = tcase_create("changed");
	tcase_add_checked_fixture(c, morning_setup, NULL);
	tcase_add_loop_test(c, changes, 0, sizeof rows / sizeof *rows);
	tcase_add_test(c, in_the_note);
	suite_add_tcase(s, c);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
