#include <string.h>

#include "advice/plantout.h"
#include "lib/bed.h"
#include "lib/harness.h"

static struct crops crops;
static struct garden garden;
static struct season_state state;
static struct advice_list list;

#define NONE ((double)NAN)

enum { NIGHTS = 12 };

/* gourdlet: line 60, stall 45; sown 20 April, so old enough from 11 May on */
static const struct {
	const char *name;
	double low_f[NIGHTS];
	int verdict;
	int ahead; /* days to the day named, -1: none */
	bool cannot_tell;
} rows[] = {
    {"five of five", {60, 61, 62, 60, 63, 50, 50}, VERDICT_PLANT, 0, false},
    {"four of five, the fifth over the stall line", {60, 61, 45, 60, 63, 40, 40}, VERDICT_PLANT, 0, false},
    {"four of five, the fifth under the stall line", {60, 61, 44, 60, 63, 40, 40}, VERDICT_WAIT, -1, false},
    {"three of five", {60, 61, 59, 59, 63, 59, 59}, VERDICT_WAIT, -1, false},
    {"in whole degrees", {59.5, 59.6, 59.5, 59.8, 44.5, 40, 40}, VERDICT_PLANT, 0, false},
    {"a hair under", {59.4, 59.4, 61, 61, 61, 40, 40}, VERDICT_WAIT, -1, false},
    {"from the third day on", {50, 55, 59, 60, 61, 62, 63, 50}, VERDICT_WAIT, 2, false},
    {"a stall night holds the day back", {44, 60, 60, 60, 60, 60, 60}, VERDICT_WAIT, 1, false},
    {"fifth not known: it might stall", {60, 61, 62, 60, NONE}, VERDICT_WAIT, -1, true},
    {"nothing known", {NONE}, VERDICT_WAIT, -1, true},
    {"two under and three unknown: no", {50, 50, NONE, NONE, NONE}, VERDICT_WAIT, -1, false},
    {"one under, one unknown", {50, 60, 60, 60, NONE}, VERDICT_WAIT, -1, true},
    {"today is not known, later is", {NONE, 60, 60, 60, 60, 60}, VERDICT_WAIT, 1, true},
};

static void advise(const double *low_f)
{
	bed_state(&garden, &state);
	double low[NIGHTS];
	bool ended = false;
	for (int i = 0; i < NIGHTS; i++) {
		/* A 0 in the table is past its end: not known. */
		ended = ended || (low_f[i] <= 0 && low_f[i] >= 0);
		low[i] = ended ? NONE : low_f[i];
	}
	bed_nights(&state, 0, low, NIGHTS);
	list.n = 0;
	plantout_advise(&garden, &state, 0, &list);
	ck_assert_uint_eq(list.n, 1);
}

START_TEST(the_rule)
{
	bed_crops(&crops);
	bed_garden(&garden, UNIT_US);
	bed_planting(&garden, &crops, "a", "gourdlet", "2026-04-20", "");
	advise(rows[_i].low_f);
	const struct advice *a = &list.at[0];
	ROW_INT(rows[_i].name, a->verdict, rows[_i].verdict);
	ROW_INT(rows[_i].name, date_is(a->day) ? date_diff(a->day, state.today) : -1, rows[_i].ahead);
	ROW_INT(rows[_i].name, a->cannot_tell, rows[_i].cannot_tell);
}
END_TEST

/* The steps are the rule: whoever counts them comes to the same verdict. */
START_TEST(steps_add_up)
{
	bed_crops(&crops);
	bed_garden(&garden, UNIT_US);
	bed_planting(&garden, &crops, "a", "gourdlet", "2026-04-20", "");
	advise(rows[_i].low_f);
	const struct advice *a = &list.at[0];
	const char *row = rows[_i].name;
	size_t at = 3;
	ROW_INT(row, a->step[0].kind, STEP_NIGHT_LINE);
	ROW_INT(row, a->step[1].kind, STEP_STALL_LINE);
	ROW_INT(row, a->step[2].kind, STEP_WANTED);
	int windows = a->verdict == VERDICT_WAIT && date_is(a->day) ? 2 : 1;
	ROW_INT(row, a->steps, 3 + 8 * windows);
	for (int w = 0; w < windows; w++, at += 8) {
		int reached = 0, unknown = 0;
		double coldest = 1e9;
		for (size_t i = 0; i < 5; i++) {
			const struct step *s = &a->step[at + i];
			ROW_INT(row, s->kind, STEP_NIGHT_LOW);
			unknown += isnan(s->value);
			if (!isnan(s->value)) {
				reached +=
				    advice_degrees(s->value, UNIT_US) >= advice_degrees(a->step[0].value, UNIT_US);
				coldest = fmin(coldest, s->value);
			}
		}
		ROW_NEAR(row, a->step[at + 5].value, reached, 0);
		ROW_NEAR(row, a->step[at + 6].value, unknown, 0);
		if (unknown < 5)
			ROW_NEAR(row, a->step[at + 7].value, coldest, 0);
		bool good = unknown == 0 && reached >= 4 &&
			    advice_degrees(coldest, UNIT_US) >= advice_degrees(a->step[1].value, UNIT_US);
		ROW_INT(row, good, (w == 0 && a->verdict == VERDICT_PLANT) || w == 1);
	}
}
END_TEST

/* What cannot be undone is not done by an old forecast. */
START_TEST(stale_forecast)
{
	bed_crops(&crops);
	bed_garden(&garden, UNIT_US);
	bed_planting(&garden, &crops, "a", "gourdlet", "2026-04-20", "");
	bed_state(&garden, &state);
	bed_nights(&state, 0, (const double[]){61, 61, 61, 61, 61, 61}, 6);
	state.forecast.trust = TRUST_AGED;
	list.n = 0;
	plantout_advise(&garden, &state, 0, &list);
	ck_assert_uint_eq(list.n, 1);
	ck_assert_int_eq(list.at[0].verdict, VERDICT_WAIT);
	ck_assert(list.at[0].cannot_tell);
	ck_assert(!date_is(list.at[0].day));
}
END_TEST

/* A later day may be named by an aged forecast, by an old one none. */
START_TEST(old_forecast)
{
	static const struct {
		const char *name;
		int age_h;
		bool dated;
	} row[] = {{"1 h", 1, true}, {"35 h", 35, true}, {"37 h", 37, false}, {"8 d", 192, false}};
	for (size_t i = 0; i < sizeof row / sizeof *row; i++) {
		bed_crops(&crops);
		bed_garden(&garden, UNIT_US);
		bed_planting(&garden, &crops, "a", "gourdlet", "2026-04-20", "");
		bed_state(&garden, &state);
		bed_nights(&state, 0, (const double[]){50, 50, 61, 61, 61, 61, 61}, 7);
		bed_age(&state, row[i].age_h * HOUR_S);
		list.n = 0;
		plantout_advise(&garden, &state, 0, &list);
		ROW_INT(row[i].name, list.at[0].verdict, VERDICT_WAIT);
		ROW_INT(row[i].name, date_is(list.at[0].day) ? date_diff(list.at[0].day, bed_day(0)) : -1,
			row[i].dated ? 1 : -1);
		ROW_TRUE(row[i].name, list.at[0].cannot_tell == !row[i].dated);
	}
}
END_TEST

START_TEST(too_young)
{
	bed_crops(&crops);
	bed_garden(&garden, UNIT_US);
	bed_planting(&garden, &crops, "a", "gourdlet", "2026-05-01", "");
	static const double warm[NIGHTS] = {65, 65, 65, 65, 65, 65, 65, 65, 65, 65, 65, 65};
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
	bed_crops(&crops);
	bed_garden(&garden, UNIT_US);
	bed_planting(&garden, &crops, "a", "gourdlet", "2026-04-20", "");
	garden.planting[0].figures.night_line_c = bed_c(55);
	garden.planting[0].own_line[CROP_NIGHT_LINE] = 1;
	static const double low[NIGHTS] = {55, 56, 57, 55, 55, 50};
	advise(low);
	ROW_INT("own", list.at[0].verdict, VERDICT_PLANT);
	ROW_TRUE("own", list.at[0].own_line);
	ROW_NEAR("own", list.at[0].line_c, bed_c(55), 1e-12);
	garden.planting[0].figures = crops.at[0];
	garden.planting[0].own_line[CROP_NIGHT_LINE] = 0;
	advise(low);
	ROW_INT("crop's", list.at[0].verdict, VERDICT_WAIT);
	ROW_TRUE("crop's", !list.at[0].own_line);
}
END_TEST

/* A night with holes that was seen under the line stays under it. */
START_TEST(holes_never_warm)
{
	bed_crops(&crops);
	bed_garden(&garden, UNIT_US);
	bed_planting(&garden, &crops, "a", "gourdlet", "2026-04-20", "");
	bed_state(&garden, &state);
	bed_nights(&state, 0, (const double[]){60, 60, 60, 60}, 4);
	struct night *fifth = &state.night[STATE_NIGHTS_BEFORE + 4];
	fifth->known = 6;
	fifth->lowest_seen_c = bed_c(44);
	list.n = 0;
	plantout_advise(&garden, &state, 0, &list);
	ROW_INT("seen under stall", list.at[0].verdict, VERDICT_WAIT);
	ROW_TRUE("seen under stall", !list.at[0].cannot_tell);
	fifth->lowest_seen_c = bed_c(61);
	list.n = 0;
	plantout_advise(&garden, &state, 0, &list);
	ROW_INT("seen warm", list.at[0].verdict, VERDICT_WAIT);
	ROW_TRUE("seen warm", list.at[0].cannot_tell);
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("plantout");
	TCase *t = tcase_create("plantout");
	tcase_add_loop_test(t, the_rule, 0, sizeof rows / sizeof *rows);
	tcase_add_loop_test(t, steps_add_up, 0, sizeof rows / sizeof *rows);
	tcase_add_test(t, stale_forecast);
	tcase_add_test(t, old_forecast);
	tcase_add_test(t, too_young);
	tcase_add_test(t, own_line);
	tcase_add_test(t, holes_never_warm);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
