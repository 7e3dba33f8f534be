#include <string.h>

#include "advice/plantout.h"
#include "base/instant.h"
#include "lib/bed.h"
#include "lib/harness.h"

static struct crops crops;
static struct garden garden;
static struct season_state state;
static struct advice_list list;

#define NONE ((double)NAN)

enum { NIGHTS = 10 };

/* gourdlet: line 60, slow 50, stall 45; sown 20 April, so old enough from 11 May on.  19 May is a Tuesday. */
static const struct {
	const char *name;
	double low_f[NIGHTS]; /* nights of a forecast, 0: not known */
	int verdict;
	int ahead; /* days to the day named, -1: none */
	bool cannot_tell;
	int free; /* days to the free day that would do under a cover, -1: none */
} rows[] = {
    {"five warm nights", {66, 66, 66, 66, 67, 50, 50}, VERDICT_PLANT, 0, false, -1},
    {"one of them cool", {66, 66, 54, 66, 67, 50, 50}, VERDICT_PLANT, 0, false, -1},
    {"one that stalls", {66, 66, 43, 66, 67, 50, 50}, VERDICT_WAIT, -1, false, -1},
    {"two cool: the slow line does, under a cover", {66, 54, 54, 66, 67, 50, 50}, VERDICT_PLANT_COVERED, 0, false, -1},
    {"warm from the third day on: worth waiting for", {54, 54, 66, 66, 67, 68, 68, 68}, VERDICT_WAIT, 1, false, -1},
    {"a stall night holds the day back", {42, 67, 67, 67, 67, 67, 67}, VERDICT_WAIT, 1, false, -1},
    {"fifth not known: it might stall", {66, 67, 67, 66, 0}, VERDICT_WAIT, -1, true, -1},
    {"nothing known", {0}, VERDICT_WAIT, -1, true, -1},
    {"too cold whatever comes", {44, 44, 0, 0, 0}, VERDICT_WAIT, -1, false, -1},
    {"today is not known, later is", {0, 68, 68, 68, 68, 68}, VERDICT_WAIT, 1, true, -1},
    {"cold till Sunday, then mild: under a cover on Sunday",
     {46, 46, 46, 46, 46, 58, 58, 58, 58, 58},
     VERDICT_WAIT,
     -1,
     false,
     5},
};

static void advise(const double *low_f)
{
	bed_state(&garden, &state);
	double low[NIGHTS];
	for (int i = 0; i < NIGHTS; i++)
		low[i] = low_f[i] > 0 ? low_f[i] : NONE;
	bed_nights(&state, 0, low, NIGHTS);
	list.n = 0;
	plantout_advise(&garden, &state, 0, &list);
	ck_assert_uint_eq(list.n, 1);
}

static void setup(void)
{
	bed_crops(&crops);
	bed_garden(&garden, UNIT_US);
	bed_planting(&garden, &crops, "a", "gourdlet", "2026-04-20", "");
}

START_TEST(the_rule)
{
	advise(rows[_i].low_f);
	const struct advice *a = &list.at[0];
	ROW_INT(rows[_i].name, a->verdict, rows[_i].verdict);
	ROW_INT(rows[_i].name, date_is(a->day) ? date_diff(a->day, state.today) : -1, rows[_i].ahead);
	ROW_INT(rows[_i].name, a->cannot_tell, rows[_i].cannot_tell);
	struct step free = advice_step_of(a, STEP_FREE, 0);
	ROW_INT(rows[_i].name, date_is(free.date) ? date_diff(free.date, state.today) : -1, rows[_i].free);
}
END_TEST

/* The steps are the rule: whoever holds them against it comes to the same verdict. */
START_TEST(steps_add_up)
{
	advise(rows[_i].low_f);
	const struct advice *a = &list.at[0];
	const char *row = rows[_i].name;
	size_t at = 3;
	ROW_INT(row, a->step[0].kind, STEP_NIGHT_LINE);
	ROW_INT(row, a->step[1].kind, STEP_STALL_LINE);
	ROW_INT(row, a->step[2].kind, STEP_WANTED);
	int windows = a->verdict == VERDICT_WAIT && date_is(a->day) ? 2 : 1;
	ROW_INT(row, a->steps, 3 + 9 * windows + (rows[_i].free >= 0));
	for (int w = 0; w < windows; w++, at += 9) {
		int unknown = 0;
		for (size_t i = 0; i < 5; i++) {
			ROW_INT(row, a->step[at + i].kind, STEP_BED_NIGHT);
			unknown += isnan(a->step[at + i].value);
		}
		double hold = advice_step_of(a, STEP_HOLD, (size_t)w).value;
		double stall = advice_step_of(a, STEP_STALL, (size_t)w).value;
		double frost = advice_step_of(a, STEP_FROST, (size_t)w).value;
		bool good = unknown == 0 && hold >= 0.6 && stall < 0.15 && !(frost >= 0.03);
		ROW_INT(row, good, (w == 0 && a->verdict == VERDICT_PLANT) || w == 1);
	}
}
END_TEST

/* What cannot be undone is not done by an old forecast: aged it may name a later day, old none. */
static const struct {
	const char *name;
	int age_h, ahead;
	bool cannot_tell;
} ages[] = {
    {"1 h", 1, 0, false}, {"19 h", 19, 1, true}, {"35 h", 35, 1, true}, {"37 h", 37, -1, true}, {"8 d", 192, -1, true}};

START_TEST(old_forecast)
{
	bed_state(&garden, &state);
	bed_nights(&state, 0, (const double[]){67, 67, 67, 67, 67, 67, 67}, 7);
	bed_age(&state, ages[_i].age_h * HOUR_S);
	list.n = 0;
	plantout_advise(&garden, &state, 0, &list);
	const struct advice *a = &list.at[0];
	ROW_INT(ages[_i].name, a->verdict, ages[_i].age_h < 18 ? VERDICT_PLANT : VERDICT_WAIT);
	ROW_INT(ages[_i].name, date_is(a->day) ? date_diff(a->day, bed_day(0)) : -1, ages[_i].ahead);
	ROW_INT(ages[_i].name, a->cannot_tell, ages[_i].cannot_tell);
}
END_TEST

START_TEST(too_young)
{
	garden.planting[0].sown = bed_day(-18);
	static const double warm[NIGHTS] = {68, 68, 68, 68, 68, 68, 68, 68, 68, 68};
	advise(warm);
	const struct advice *a = &list.at[0];
	/* 18 days old; 21 on 22 May */
	ROW_INT("young", a->verdict, VERDICT_WAIT);
	ROW_INT("young", date_diff(a->day, state.today), 3);
	ROW_INT("age", a->step[a->steps - 2].kind, STEP_AGE);
	ROW_NEAR("age", a->step[a->steps - 2].value, 18, 0);
	ROW_INT("tray", a->step[a->steps - 1].kind, STEP_TRAY);
	ROW_NEAR("tray", a->step[a->steps - 1].value, 21, 0);
}
END_TEST

START_TEST(own_line)
{
	garden.planting[0].figures.night_line_c = bed_c(55);
	garden.planting[0].own_line[CROP_NIGHT_LINE] = 1;
	static const double low[NIGHTS] = {60, 60, 60, 60, 60, 50};
	advise(low);
	ROW_INT("own", list.at[0].verdict, VERDICT_PLANT);
	ROW_TRUE("own", list.at[0].own_line);
	ROW_NEAR("own", list.at[0].line_c, bed_c(55), 1e-12);
	garden.planting[0].figures = crops.at[0];
	garden.planting[0].own_line[CROP_NIGHT_LINE] = 0;
	advise(low);
	ROW_INT("crop's", list.at[0].verdict, VERDICT_PLANT_COVERED);
	ROW_TRUE("crop's", !list.at[0].own_line);
}
END_TEST

/* A day that does under a cover is taken where better is far, or comes when the pot is full. */
static const struct {
	const char *name;
	int warm_from; /* day from which nights are warm */
	int tray_most; /* days in the tray; 29 are over on 19 May */
	int verdict;
} worth[] = {
    {"in five days", 6, 0, VERDICT_WAIT},
    {"the pot is good till then", 6, 40, VERDICT_WAIT},
    {"the pot is full before", 6, 32, VERDICT_PLANT_COVERED},
    {"never", NIGHTS, 0, VERDICT_PLANT_COVERED},
};

START_TEST(worth_waiting)
{
	double low[NIGHTS];
	for (int i = 0; i < NIGHTS; i++)
		low[i] = i < worth[_i].warm_from ? 55 : 72;
	garden.planting[0].figures.tray_most_days = worth[_i].tray_most;
	advise(low);
	ROW_INT(worth[_i].name, list.at[0].verdict, worth[_i].verdict);
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("plantout");
	TCase *t = tcase_create("plantout");
	tcase_add_checked_fixture(t, setup, NULL);
	tcase_add_loop_test(t, the_rule, 0, sizeof rows / sizeof *rows);
	tcase_add_loop_test(t, steps_add_up, 0, sizeof rows / sizeof *rows);
	tcase_add_loop_test(t, old_forecast, 0, sizeof ages / sizeof *ages);
	tcase_add_test(t, too_young);
	tcase_add_test(t, own_line);
	tcase_add_loop_test(t, worth_waiting, 0, sizeof worth / sizeof *worth);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
