#include <math.h>

#include "advice/sow.h"
#include "base/instant.h"
#include "lib/bed.h"
#include "lib/harness.h"

enum { TODAY = 139 }; /* day of the year */

static struct crops crops;
static struct garden garden;
static struct season_state state;
static struct advice_list list;

/* A squash-like crop: three to five weeks in its tray, 65 F of soil, up after 60 degree days over 10. */
static void setup(void)
{
	bed_crops(&crops);
	struct crop *c = &crops.at[0];
	c->tray_most_days = 35;
	c->emerge_base_c = 10;
	c->emerge_dd = 60;
	c->sow_soil_good_c = bed_c(65);
	c->spacing_m = 0.6;
	bed_garden(&garden, UNIT_US);
}

static struct planting *to_sow(enum garden_start start)
{
	struct planting *p = &garden.planting[bed_planting(&garden, &crops, "a", "gourdlet", "", "")];
	p->start = (int)start;
	p->sowing = start == GARDEN_START_OUTDOORS ? GARDEN_SOWN_OUTDOORS : GARDEN_SOWN_INDOORS;
	return p;
}

static void advise(void)
{
	list.n = 0;
	for (size_t i = 0; i < garden.plantings; i++)
		sow_advise(&garden, &state, i, &list);
}

static const struct advice *of(enum verdict v)
{
	for (size_t i = 0; i < list.n; i++)
		if (list.at[i].verdict == v)
			return &list.at[i];
	return NULL;
}

/* Days after today; 9999: none. */
static int day_of_advice(const struct advice *a)
{
	return date_is(a->day) ? date_diff(a->day, bed_day(0)) : 9999;
}

/*
 * Last frosts round a day; one in ten 13 days after it.  Nights never reach the line: planting out 10 to 20 days after
 * that, its middle 28 after the mean.  So sowing is from 35 to 21 days before that: 7 before the mean to 7 after it.
 */
static const struct {
	const char *name;
	int last; /* against today */
	enum verdict verdict;
	int day; /* against today */
	bool late;
} window[] = {
    {"fifteen days too early", 22, VERDICTS, 0, false},
    {"fourteen", 21, VERDICT_WAIT_SOWING, 14, false},
    {"tomorrow", 8, VERDICT_WAIT_SOWING, 1, false},
    {"the first day", 7, VERDICT_SOW, 14, false},
    {"in the middle", 0, VERDICT_SOW, 7, false},
    {"the last day", -7, VERDICT_SOW, 0, false},
    {"late", -8, VERDICT_SOW, 27, true},
    {"as late as can be", -35, VERDICT_SOW, 0, true},
    {"over", -36, VERDICTS, 0, false},
};

START_TEST(counted_back)
{
	to_sow(GARDEN_START_INDOORS);
	bed_state(&garden, &state);
	bed_years(&state, TODAY + window[_i].last, 285, 0, 1);
	advise();
	ROW_INT(window[_i].name, list.n, window[_i].verdict != VERDICTS);
	if (list.n == 0)
		return;
	ROW_INT(window[_i].name, list.at[0].verdict, window[_i].verdict);
	ROW_INT(window[_i].name, day_of_advice(&list.at[0]), window[_i].day);
	ROW_TRUE(window[_i].name, date_is(advice_step_of(&list.at[0], STEP_SOW_READY, 0).date) == window[_i].late);
	ROW_TRUE(window[_i].name, !list.at[0].cannot_tell);
}
END_TEST

/* Later frosts never let it be sown earlier. */
START_TEST(later_frost_is_later)
{
	to_sow(GARDEN_START_INDOORS);
	bed_state(&garden, &state);
	struct date before = date_none();
	for (int last = -20; last <= 21; last++) {
		bed_years(&state, TODAY + last, 285, 0, 22);
		advise();
		ROW_TRUE("there", list.n == 1);
		struct date from = advice_step_of(&list.at[0], STEP_SOW_FROM, 0).date;
		ROW_TRUE("not earlier", !date_is(before) || date_diff(from, before) >= 0);
		before = from;
	}
}
END_TEST

START_TEST(no_years)
{
	struct planting *p = to_sow(GARDEN_START_INDOORS);
	bed_state(&garden, &state);
	advise();
	ROW_INT("one line", list.n, 1);
	ROW_INT("wait", list.at[0].verdict, VERDICT_WAIT_SOWING);
	ROW_TRUE("cannot tell", list.at[0].cannot_tell);
	p->planted = bed_day(30);
	bed_state(&garden, &state);
	advise();
	ROW_INT("planned", list.at[0].verdict, VERDICT_SOW);
	ROW_INT("three weeks before", day_of_advice(&list.at[0]), 9);
}
END_TEST

/* November, and May south of the equator. */
START_TEST(never_in_autumn)
{
	to_sow(GARDEN_START_INDOORS);
	to_sow(GARDEN_START_OUTDOORS);
	bed_state(&garden, &state);
	for (int i = 0; i < STATE_NIGHTS; i++)
		state.seed_c[i] = bed_c(70);
	garden.latitude = -44;
	advise();
	ROW_INT("south", list.n, 0);
	garden.latitude = 44;
	bed_years(&state, 126, 285, 0, 22);
	for (int ahead = SOW_UNTIL - TODAY + 1; ahead < 225; ahead++) {
		state.today = bed_day(ahead);
		advise();
		ROW_INT("later", list.n, 0);
	}
}
END_TEST

static const struct {
	const char *name;
	int seed_year, last;
	int tested; /* days ago; -1: never */
	bool test;
} seeds[] = {
    {"old, three weeks ahead", 2024, 28, -1, true},
    {"earlier than that", 2024, 29, -1, false},
    {"the last day to begin", 2025, 14, -1, true},
    {"too late to begin", 2025, 13, -1, false},
    {"of this year", 2026, 20, -1, false},
    {"not said", 0, 20, -1, false},
    {"tested", 2024, 20, 3, false},
    {"tested long ago", 2024, 20, 121, true},
};

START_TEST(old_seed)
{
	to_sow(GARDEN_START_INDOORS)->seed_year = seeds[_i].seed_year;
	bed_state(&garden, &state);
	bed_years(&state, TODAY + seeds[_i].last, 285, 0, 1);
	if (seeds[_i].tested >= 0)
		bed_done(&state, 0, VERB_SPROUTED, -seeds[_i].tested, -seeds[_i].tested, 1);
	advise();
	const struct advice *a = of(VERDICT_TEST);
	ROW_TRUE(seeds[_i].name, (a != NULL) == seeds[_i].test);
	if (a == NULL)
		return;
	/* At 25 C four days, half as long again is six: a week at least. */
	ROW_INT(seeds[_i].name, day_of_advice(a), seeds[_i].last - 7 - 7);
	ROW_INT(seeds[_i].name, advice_step_of(a, STEP_TEST_DAYS, 0).date.n, bed_day(7).n);
}
END_TEST

/* Soil at seed depth at 8 am from two days ago on, F; 0: not known. */
static const struct {
	const char *name;
	int soil[8];
	int last; /* mean of the last frosts against today; 9999: no years */
	enum verdict verdict;
	int day;
	bool cannot_tell;
} ground[] = {
    {"warm and stays so", {66, 65, 67, 68, 68, 67, 66, 66}, 9999, VERDICT_SOW, 0, false},
    {"half a degree rounds up", {66, 65, 65, 66, 66, 66, 66, 66}, 9999, VERDICT_SOW, 0, false},
    {"one morning of three", {66, 64, 67, 68, 68, 67, 66, 66}, 9999, VERDICT_WAIT_SOWING, 2, false},
    {"two mornings alone", {63, 66, 66, 66, 66, 66, 66, 66}, 9999, VERDICT_WAIT_SOWING, 1, false},
    {"turns cold", {66, 66, 67, 66, 60, 58, 58, 58}, 9999, VERDICT_WAIT_SOWING, 9999, false},
    {"not in sight", {60, 60, 60, 61, 61, 61, 62, 62}, 9999, VERDICT_WAIT_SOWING, 9999, false},
    {"nothing to come is known", {66, 66, 67, 0, 0, 0, 0, 0}, 9999, VERDICT_SOW, 0, false},
    {"a morning not known", {0, 66, 67, 66, 66, 66, 66, 66}, 9999, VERDICT_WAIT_SOWING, 1, true},
    {"nothing known", {0, 0, 0, 0, 0, 0, 0, 0}, 9999, VERDICT_WAIT_SOWING, 9999, true},
    {"so cold that nobody asks", {45, 45, 45, 45, 45, 45, 45, 45}, 9999, VERDICTS, 0, false},
    /* up seven days after sowing, one frost in ten thirteen days after the mean */
    {"comes up after the frosts", {66, 66, 66, 66, 66, 66, 66, 66}, -6, VERDICT_SOW, 0, false},
    {"comes up among them", {66, 66, 66, 66, 66, 66, 66, 66}, -3, VERDICT_WAIT_SOWING, 3, false},
    {"cold, and frosts", {60, 60, 60, 60, 60, 60, 60, 60}, -3, VERDICT_WAIT_SOWING, 3, false},
    {"frosts far off", {66, 66, 66, 66, 66, 66, 66, 66}, 9, VERDICTS, 0, false},
};

START_TEST(in_place)
{
	to_sow(GARDEN_START_OUTDOORS);
	bed_state(&garden, &state);
	if (ground[_i].last != 9999)
		bed_years(&state, TODAY + ground[_i].last, 285, 0, 1);
	for (int i = 0; i < 8; i++)
		if (ground[_i].soil[i] > 0)
			state.seed_c[STATE_NIGHTS_BEFORE - 2 + i] = bed_c(ground[_i].soil[i]);
	advise();
	ROW_INT(ground[_i].name, list.n, ground[_i].verdict != VERDICTS);
	if (list.n == 0)
		return;
	ROW_INT(ground[_i].name, list.at[0].verdict, ground[_i].verdict);
	ROW_INT(ground[_i].name, day_of_advice(&list.at[0]), ground[_i].day);
	ROW_INT(ground[_i].name, list.at[0].cannot_tell, ground[_i].cannot_tell);
}
END_TEST

START_TEST(old_forecast)
{
	to_sow(GARDEN_START_OUTDOORS);
	bed_state(&garden, &state);
	for (int i = 0; i < STATE_NIGHTS; i++)
		state.seed_c[i] = bed_c(67);
	bed_age(&state, 30 * HOUR_S);
	advise();
	ROW_INT("aged", list.at[0].verdict, VERDICT_SOW);
	bed_age(&state, 50 * HOUR_S);
	advise();
	ROW_INT("old", list.at[0].verdict, VERDICT_WAIT_SOWING);
	ROW_TRUE("old", list.at[0].cannot_tell && !date_is(list.at[0].day));
}
END_TEST

/* A reading shifts all mornings. */
START_TEST(by_a_reading)
{
	to_sow(GARDEN_START_OUTDOORS);
	bed_state(&garden, &state);
	for (int i = 0; i < STATE_NIGHTS; i++)
		state.seed_c[i] = bed_c(60);
	state.planting[0].soil = (struct soil){bed_c(66), SOIL_READ, bed_day(-1)};
	advise();
	ROW_INT("warm", list.at[0].verdict, VERDICT_SOW);
	ROW_INT("read", advice_step_of(&list.at[0], STEP_SEED_READ, 0).date.n, bed_day(-1).n);
}
END_TEST

/* At 20 C six days to emergence, nine till it is overdue. */
START_TEST(does_not_come_up)
{
	static const struct {
		const char *sown;
		bool dig;
	} row[] = {{"2026-05-10", false}, {"2026-05-09", true}, {"2026-05-07", true}, {"2026-05-06", false}};
	for (size_t i = 0; i < sizeof row / sizeof *row; i++) {
		garden.plantings = 0;
		bed_planting(&garden, &crops, "a", "gourdlet", row[i].sown, "");
		bed_state(&garden, &state);
		bed_years(&state, TODAY, 285, 0, 1);
		advise();
		const struct advice *a = of(VERDICT_DIG);
		ROW_TRUE(row[i].sown, (a != NULL) == row[i].dig);
		if (a != NULL)
			ROW_INT("sow again while the window is open", advice_step_of(a, STEP_SOW_AGAIN, 0).date.n,
				bed_day(7).n);
	}
}
END_TEST

/* Up after six days, the true leaf ten after that. */
START_TEST(to_one)
{
	bed_planting(&garden, &crops, "a", "gourdlet", "2026-05-03", "");
	bed_state(&garden, &state);
	advise();
	const struct advice *a = of(VERDICT_THIN);
	ROW_TRUE("on the day", a != NULL);
	ROW_INT("within a week", day_of_advice(a), 7);
	bed_done(&state, 0, VERB_THINNED, -1, -1, 1);
	advise();
	ROW_TRUE("done", of(VERDICT_THIN) == NULL);
	garden.plantings = 0;
	bed_planting(&garden, &crops, "a", "gourdlet", "2026-05-03", "");
	garden.planting[0].figures.tray_days = 35;
	bed_state(&garden, &state);
	advise();
	ROW_TRUE("is potted on", of(VERDICT_THIN) == NULL);
	garden.plantings = 0;
	bed_planting(&garden, &crops, "a", "gourdlet", "2026-04-25", "");
	bed_state(&garden, &state);
	advise();
	ROW_TRUE("a week later nobody asks", of(VERDICT_THIN) == NULL);
}
END_TEST

/* All year 10 degree days a day: sown 54 days before the median frost it is picked two weeks before that. */
START_TEST(another)
{
	static const struct {
		int frost; /* against today */
		bool line;
	} row[] = {{53, false}, {54, true}, {64, true}, {65, false}};
	struct crop *c = &crops.at[0];
	c->pick_sown_dd = (struct spread){400, 300, 500};
	c->fruit_dd = (struct spread){75, 55, 110};
	bed_planting(&garden, &crops, "a", "gourdlet", "2026-03-20", "2026-04-20");
	bed_planting(&garden, &crops, "b", "gourdlet", "2026-03-20", "2026-04-20");
	bed_planting(&garden, &crops, "c", "redberry", "2026-03-20", "2026-04-20");
	bed_state(&garden, &state);
	for (size_t i = 0; i < sizeof row / sizeof *row; i++) {
		bed_years(&state, 60, TODAY + row[i].frost, 20, 20);
		advise();
		ROW_INT("one for its crop", list.n, row[i].line);
		if (row[i].line) {
			ROW_TRUE("another", sow_is_another(&list.at[0]));
			ROW_INT("by", day_of_advice(&list.at[0]), row[i].frost - 54);
		}
	}
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("sow");
	TCase *t = tcase_create("sow");
	tcase_add_checked_fixture(t, setup, NULL);
	tcase_add_loop_test(t, counted_back, 0, sizeof window / sizeof *window);
	tcase_add_test(t, later_frost_is_later);
	tcase_add_test(t, no_years);
	tcase_add_test(t, never_in_autumn);
	tcase_add_loop_test(t, old_seed, 0, sizeof seeds / sizeof *seeds);
	tcase_add_loop_test(t, in_place, 0, sizeof ground / sizeof *ground);
	tcase_add_test(t, old_forecast);
	tcase_add_test(t, by_a_reading);
	tcase_add_test(t, does_not_come_up);
	tcase_add_test(t, to_one);
	tcase_add_test(t, another);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
