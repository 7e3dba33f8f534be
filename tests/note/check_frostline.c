#include <math.h>
#include <string.h>

#include "lib/morning.h"
#include "note/frostline.h"

/* Years whose last frost is on about a day of the year, and whose first is; `with` of `years` have any. */
static void frost(double spring, double autumn, int years, int with, bool south)
{
	struct frostdate *f = &morning.state.frost;
	struct frostdate_line *l = &f->at[FROSTDATE_32F];
	f->south = south;
	l->kind = FROSTDATE_DATED;
	yeardate_start(&l->spring, YEARDATE_LAST);
	yeardate_start(&l->autumn, YEARDATE_FIRST);
	for (int i = 0; i < years; i++) {
		double by = i < with ? (i % 2 ? 10 : -10) : (double)NAN;
		yeardate_add(&l->spring, spring + by);
		yeardate_add(&l->autumn, autumn + by);
	}
	yeardate_close(&l->spring);
	yeardate_close(&l->autumn);
}

/* Day 126 is 6 May, 276 is 3 October; the spread of thirty dates ten days to each side is 10.17 days, of which one year
 * in ten is 1.2816 of them later: 13 days. */
static const struct {
	const char *name, *today, *sown, *planted;
	int years, with, units;
	const char *want; /* "" : no line */
} rows[] = {
    {"spring, trays", "2026-04-15", "2026-04-01", "", 30, 30, UNIT_US,
     "Frost last 32 F: half the years by 6 May, nine in ten by 19 May (30 years of the station; low ground runs "
     "later)."},
    {"metric", "2026-04-15", "2026-04-01", "", 30, 30, UNIT_METRIC, "Frost last 0 C: half the years by 6 May, nine"},
    {"too early", "2026-04-14", "2026-03-01", "", 30, 30, UNIT_US, ""},
    {"the first day", "2026-04-15", "2026-03-01", "", 30, 30, UNIT_US, "Frost last"},
    {"the last", "2026-05-19", "2026-04-01", "", 30, 30, UNIT_US, "Frost last"},
    {"past", "2026-05-20", "2026-04-01", "", 30, 30, UNIT_US, ""},
    {"nothing waits", "2026-05-10", "2026-04-01", "2026-05-01", 30, 30, UNIT_US, ""},
    {"July", "2026-07-10", "2026-04-01", "2026-05-01", 30, 30, UNIT_US, ""},
    {"autumn", "2026-09-20", "2026-04-01", "2026-05-01", 30, 30, UNIT_US,
     "Frost first 32 F: one year in ten by 20 Sep, half by 3 Oct (30 years of the station; low ground is earlier)."},
    {"autumn, nothing out", "2026-09-20", "2026-09-01", "", 30, 30, UNIT_US, ""},
    {"autumn, over", "2026-10-04", "2026-04-01", "2026-05-01", 30, 30, UNIT_US, ""},
    {"nine years are rough", "2026-04-15", "2026-04-01", "", 9, 9, UNIT_US,
     "(rough: 9 years of the station; low ground"},
    {"four tell nothing", "2026-04-15", "2026-04-01", "", 4, 4, UNIT_US, ""},
    {"three years in ten have any", "2026-05-08", "2026-04-01", "", 30, 9, UNIT_US, "Frost last 32 F: nine in ten by"},
    {"one in fifteen", "2026-05-01", "2026-04-01", "", 30, 2, UNIT_US, ""},
};

START_TEST(in_its_season)
{
	struct fault f;
	bed_planting(&morning.garden, &morning.crops, "a", "gourdlet", rows[_i].sown, rows[_i].planted);
	morning.garden.units = rows[_i].units;
	morning_compose((const double[]){50}, 1, NULL);
	frost(126, 276, rows[_i].years, rows[_i].with, false);
	ck_assert(date_parse(rows[_i].today, &morning.state.today, &f) == FAULT_NONE);
	text_clear(&morning.t);
	frostline_write(&morning.facts, &morning.t);
	if (rows[_i].want[0] == '\0')
		ROW_STR(rows[_i].name, morning.t.at, "");
	else
		HAS(rows[_i].name, rows[_i].want);
}
END_TEST

/* Of a place without frost, or with frost in every month, there is no line. */
START_TEST(no_season)
{
	bed_planting(&morning.garden, &morning.crops, "a", "gourdlet", "2026-04-01", "");
	morning_compose((const double[]){50}, 1, NULL);
	frost(139, 276, 30, 30, false);
	for (int kind = 0; kind <= FROSTDATE_DATED; kind++) {
		morning.state.frost.at[FROSTDATE_32F].kind = (enum frostdate_kind)kind;
		text_clear(&morning.t);
		frostline_write(&morning.facts, &morning.t);
		ck_assert_int_eq(morning.t.len > 0, kind == FROSTDATE_DATED);
	}
}
END_TEST

/* In the south a year of seasons begins in July: day 126 from 1 July is 3 November. */
START_TEST(south)
{
	struct fault f;
	bed_planting(&morning.garden, &morning.crops, "a", "gourdlet", "2026-10-01", "");
	morning_compose((const double[]){50}, 1, NULL);
	frost(126, 276, 30, 30, true);
	morning.state.planting[0].where = PLANTING_IN_TRAY;
	ck_assert(date_parse("2026-10-20", &morning.state.today, &f) == FAULT_NONE);
	text_clear(&morning.t);
	frostline_write(&morning.facts, &morning.t);
	HAS("south", "last 32 F: half the years by 3 Nov, nine in ten by 16 Nov");
	morning.state.planting[0].where = PLANTING_OUT;
	/* Day 276 from 1 July is 2 April. */
	ck_assert(date_parse("2027-03-25", &morning.state.today, &f) == FAULT_NONE);
	text_clear(&morning.t);
	frostline_write(&morning.facts, &morning.t);
	HAS("south", "first 32 F: one year in ten by 20 Mar, half by 2 Apr");
}
END_TEST

START_TEST(in_the_note)
{
	bed_planting(&morning.garden, &morning.crops, "a", "gourdlet", "2026-04-20", "");
	morning_compose((const double[]){50, 50, 50, 50, 50}, 5, NULL);
	frost(130, 276, 30, 30, false);
	morning_again(false);
	morning_note();
	HAS("after the days",
	    "Days not known Frost last 32 F: half the years by 10 May, nine in ten by 23 May (30 years");
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("frostline");
	TCase *c = tcase_create("frostline");
	tcase_add_checked_fixture(c, morning_setup, NULL);
	tcase_add_loop_test(c, in_its_season, 0, sizeof rows / sizeof *rows);
	tcase_add_test(c, no_season);
	tcase_add_test(c, south);
	tcase_add_test(c, in_the_note);
	suite_add_tcase(s, c);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
