#include <stdio.h>
#include <string.h>

#include "base/instant.h"
#include "advice/cover.h"
#include "lib/bed.h"
#include "lib/harness.h"

static struct crops crops;
static struct garden garden;
static struct season_state state;
static struct advice_list list;

static void setup(void)
{
	bed_crops(&crops);
	bed_garden(&garden, UNIT_US);
	list.n = 0;
}

#define NONE ((double)NAN)

/*
 * Which of four nights want a cover: 'k' for the chance of a leaf at 32 F, 'c' for the line in the bed (36 F), 's' for
 * the stall line (45 F), '.' none.  Bed and leaf are as warm as the air.  A forecast of 36 F is a chance of 0.069 of
 * 32 F tonight, 0.087, 0.130, 0.160 on the nights after; 35.3 F 0.108 tonight, 35.5 F 0.095; 36.3 F 0.056, 37 F
 * tomorrow 0.044 (the normal distribution with the priors of nights 1 to 4).
 */
static const struct {
	const char *name, *planted;
	double low_f[4];
	const char *want;
} rows[] = {
    {"warm", "2026-05-01", {55, 54, 53, 52}, "...."},
    {"at the line", "2026-05-01", {36, 37, 50, 50}, "c..."},
    {"the line in whole degrees, of what is expected", "2026-05-01", {36.1, 36.3, 50, 50}, "cc.."},
    {"over it", "2026-05-01", {36.3, 36.7, 50, 50}, "...."},
    {"1 in 10", "2026-05-01", {35.3, 50, 50, 50}, "k..."},
    {"less than 1 in 10", "2026-05-01", {35.5, 50, 50, 50}, "c..."},
    {"farther ahead the forecast is less sure", "2026-05-01", {36.6, 36.6, 36.6, 36.6}, "..ck"},
    {"third night", "2026-05-01", {50, 50, 34, 50}, "..k."},
    {"fourth night, two or three days ahead is enough", "2026-05-01", {50, 50, 50, 30}, "...k"},
    {"not just planted: under the stall line is no matter", "2026-05-08", {44, 44, 44, 44}, "...."},
    {"planted ten days before tonight", "2026-05-09", {44, 44, 44, 44}, "s..."},
    {"planted yesterday", "2026-05-18", {44, 45, 44.4, 45.2}, "s..."},
    {"a stall is told two nights ahead", "2026-05-18", {44, 44, 44, 44}, "ss.."},
    {"planted yesterday, 1 in 20 is enough", "2026-05-18", {36.3, 37, 39, 50}, "ks.."},
    {"planted yesterday, frost too", "2026-05-18", {44, 36, 38.5, 46}, "sk.."},
    {"unknown nights are not covered", "2026-05-18", {50, NONE, 34, NONE}, "..k."},
};

START_TEST(which_nights)
{
	setup();
	bed_planting(&garden, &crops, "a", "gourdlet", "2026-04-10", rows[_i].planted);
	bed_state(&garden, &state);
	bed_nights(&state, 0, rows[_i].low_f, 4);
	cover_advise(&garden, &state, 0, &list);

	char got[5] = "....";
	for (size_t i = 0; i < list.n; i++) {
		const struct advice *a = &list.at[i];
		ROW_INT(rows[_i].name, a->verdict, VERDICT_COVER);
		got[date_diff(a->day, state.today)] = a->rule == CROP_STALL ? 's' : a->rule == CROP_KILL ? 'k' : 'c';
	}
	ROW_STR(rows[_i].name, got, rows[_i].want);
}
END_TEST

static int degrees_of(const struct advice *a, enum step_kind kind)
{
	return advice_degrees(advice_step_of(a, kind, 0).value, garden.units);
}

static int difference_of(const struct advice *a, enum step_kind kind)
{
	double x = advice_step_of(a, kind, 0).value * (garden.units == UNIT_US ? 1.8 : 1.0);
	ROW_NEAR("whole", x, round(x), 1e-9);
	return (int)lround(x);
}

START_TEST(steps_add_up)
{
	for (int units = UNIT_METRIC; units <= UNIT_US; units++) {
		for (double low_f = 20; low_f < 50; low_f += 0.3) {
			setup();
			garden.units = units;
			bed_planting(&garden, &crops, "a", "gourdlet", "2026-04-10", "2026-05-16");
			bed_state(&garden, &state);
			bed_nights(&state, 0, &low_f, 1);
			bed_clear(&state, 0, 1.3, 2.4);
			cover_advise(&garden, &state, 0, &list);
			if (list.n == 0)
				continue;
			const struct advice *a = &list.at[0];
			ck_assert_int_eq(a->step[0].kind, STEP_NIGHT_LOW);
			/* What is printed: low - line = margin, and from number to number of the chain, in whole
			 * degrees. */
			enum step_kind line = a->rule == CROP_KILL    ? STEP_KILL_LINE
					      : a->rule == CROP_STALL ? STEP_STALL_LINE
								      : STEP_COVER_LINE;
			enum step_kind low = a->rule == CROP_KILL ? STEP_LEAF_LOW : STEP_BED_LOW;
			int air = degrees_of(a, STEP_NIGHT_LOW), bed = degrees_of(a, STEP_BED_LOW);
			if (!isnan(advice_step_of(a, STEP_AIR_LOW, 0).value)) {
				int expected = degrees_of(a, STEP_AIR_LOW);
				ROW_INT("corrected", expected - air, difference_of(a, STEP_CORRECTED));
				air = expected;
			}
			ROW_INT("margin", degrees_of(a, low) - degrees_of(a, line), difference_of(a, STEP_MARGIN));
			ROW_INT("bed", bed - air, difference_of(a, STEP_BED_UNDER));
			ROW_INT("leaf", degrees_of(a, STEP_LEAF_LOW) - bed, difference_of(a, STEP_LEAF_UNDER));
			ROW_NEAR("number", a->number_c, advice_step_of(a, low, 0).value, 0);
			ROW_NEAR("line", a->line_c, advice_step_of(a, line, 0).value, 0);
		}
	}
}
END_TEST

/* Sunset of 21 June 2025 at 40.7128 N 74.0060 W: 22 June 00:30:44 UTC (astronomy-engine 2.1.19). */
START_TEST(by_an_hour_before_sunset)
{
	setup();
	garden.latitude = 40.7128;
	garden.longitude = -74.0060;
	bed_planting(&garden, &crops, "a", "gourdlet", "2026-04-10", "2026-05-01");
	bed_state(&garden, &state);
	struct date longest;
	ck_assert(date_of(2025, 6, 21, &longest));
	for (int i = 0; i < STATE_NIGHTS; i++)
		state.night[i].evening = date_add(longest, i - STATE_NIGHTS_BEFORE);
	bed_nights(&state, 0, (const double[]){34}, 1);
	cover_advise(&garden, &state, 0, &list);
	ck_assert_uint_eq(list.n, 1);
	ROW_NEAR("sunset", (double)list.at[0].sunset, 1750552244, 10);
	ROW_INT("an hour before", list.at[0].sunset - list.at[0].act_by, HOUR_S);
}
END_TEST

START_TEST(no_sunset)
{
	setup();
	garden.latitude = 69.65;
	garden.longitude = 18.96;
	bed_planting(&garden, &crops, "a", "gourdlet", "2026-04-10", "2026-05-01");
	bed_state(&garden, &state);
	bed_nights(&state, 0, (const double[]){34}, 1);
	cover_advise(&garden, &state, 0, &list);
	ck_assert_uint_eq(list.n, 1);
	ck_assert(list.at[0].act_by == INSTANT_NONE && list.at[0].sunset == INSTANT_NONE);
}
END_TEST

/* Tonight with holes: said unless the week before was warm. */
static const struct {
	const char *name;
	double before_f[7];
	double seen_f; /* lowest known hour of tonight */
	int want;      /* enum verdict, -1 nothing */
} holes[] = {
    {"nothing known at all", {NONE, NONE, NONE, NONE, NONE, NONE, NONE}, NONE, VERDICT_LOOK},
    {"a cold week", {48, 52, 55, 41, 50, 60, 58}, NONE, VERDICT_LOOK},
    {"a warm week", {60, 62, 58, 63, 55, 61, 64}, NONE, -1},
    {"three warm nights are no week", {NONE, NONE, NONE, NONE, 60, 61, 62}, NONE, VERDICT_LOOK},
    {"seen mild so far", {48, 52, 55, 41, 50, 60, 58}, 50, VERDICT_LOOK},
    {"seen under the line: that is enough", {60, 62, 58, 63, 55, 61, 64}, 35, VERDICT_COVER},
};

START_TEST(tonight_with_holes)
{
	setup();
	bed_planting(&garden, &crops, "a", "gourdlet", "2026-04-10", "2026-05-01");
	bed_state(&garden, &state);
	bed_nights(&state, -7, holes[_i].before_f, 7);
	bed_nights(&state, 1, (const double[]){55, 55, 55}, 3);
	bed_seen(&state, 0, isnan(holes[_i].seen_f) ? 0 : 9, holes[_i].seen_f);
	cover_advise(&garden, &state, 0, &list);
	ROW_INT(holes[_i].name, list.n, holes[_i].want < 0 ? 0 : 1);
	if (holes[_i].want >= 0) {
		ROW_INT(holes[_i].name, list.at[0].verdict, holes[_i].want);
		ROW_INT(holes[_i].name, list.at[0].cannot_tell, holes[_i].want == VERDICT_LOOK);
	}
}
END_TEST

/* A dead fetch is no all-clear; what an old forecast warns of is still said. */
START_TEST(stale_forecast)
{
	static const double cold[7] = {48, 52, 55, 41, 50, 60, 58}, warm[7] = {60, 62, 58, 63, 55, 61, 64};
	static const struct {
		const char *name;
		const double *before_f;
		double low_f;
		int want; /* enum verdict, -1 nothing */
	} row[] = {
	    {"mild by the old forecast", cold, 50, VERDICT_LOOK},
	    {"cold by the old forecast", cold, 34, VERDICT_COVER},
	    {"after a warm week", warm, 50, -1},
	};
	for (size_t i = 0; i < sizeof row / sizeof *row; i++) {
		setup();
		bed_planting(&garden, &crops, "a", "gourdlet", "2026-04-10", "2026-05-01");
		bed_state(&garden, &state);
		state.forecast.trust = TRUST_AGED;
		bed_nights(&state, -7, row[i].before_f, 7);
		bed_nights(&state, 0, (const double[]){row[i].low_f, 55, 55, 55}, 4);
		cover_advise(&garden, &state, 0, &list);
		ROW_INT(row[i].name, list.n, row[i].want < 0 ? 0 : 1);
		if (row[i].want >= 0) {
			ROW_INT(row[i].name, list.at[0].verdict, row[i].want);
			ROW_INT(row[i].name, list.at[0].cannot_tell, row[i].want == VERDICT_LOOK);
		}
	}
}
END_TEST

/* A forecast past 36 h covers nothing, but what it called cold is said after any week, with the steps of COVER. */
START_TEST(too_old_to_cover)
{
	static const double cold[7] = {48, 52, 55, 41, 50, 60, 58}, warm[7] = {60, 62, 58, 63, 55, 61, 64};
	static const struct {
		const char *name;
		const double *before_f;
		double low_f;
		bool look, number;
	} row[] = {
	    {"mild", cold, 50, true, false},
	    {"cold", cold, 34, true, true},
	    {"mild after a warm week", warm, 50, false, false},
	    {"cold after a warm week", warm, 34, true, true},
	};
	for (size_t i = 0; i < sizeof row / sizeof *row; i++) {
		setup();
		bed_planting(&garden, &crops, "a", "gourdlet", "2026-04-10", "2026-05-01");
		bed_state(&garden, &state);
		bed_nights(&state, -7, row[i].before_f, 7);
		for (int n = 0; n < STATE_NIGHTS_BEFORE; n++)
			state.night[n].low_origin = ORIGIN_OBSERVED;
		bed_nights(&state, 0, (const double[]){row[i].low_f, 30, 55, 55}, 4);
		bed_age(&state, 37 * HOUR_S);
		cover_advise(&garden, &state, 0, &list);
		ROW_INT(row[i].name, list.n, row[i].look);
		if (list.n == 0)
			continue;
		ROW_INT(row[i].name, list.at[0].verdict, VERDICT_LOOK);
		ROW_TRUE(row[i].name, list.at[0].cannot_tell);
		ROW_TRUE(row[i].name, isnan(advice_step_of(&list.at[0], STEP_MARGIN, 0).value) == !row[i].number);
		ROW_NEAR(row[i].name, list.at[0].number_c, bed_expected(0, row[i].low_f), 1e-9);
	}
}
END_TEST

/* Which of the week's nights may say that it was warm: seen ones, and those that a forecast told in time. */
static const struct {
	const char *name;
	enum origin origin;
	int age_h;
	bool look;
} weeks[] = {
    {"seen, 19 h", ORIGIN_OBSERVED, 19, false},
    {"analysed, 3 d", ORIGIN_ANALYSED, 72, false},
    {"seen, 8 d", ORIGIN_OBSERVED, 192, false},
    {"foreseen, 19 h", ORIGIN_FORECAST, 19, false},
    /* Of the seven nights five began within 36 h of its making, then four, then three, then none. */
    {"foreseen, 3 d", ORIGIN_FORECAST, 74, false},
    {"foreseen, 4 d 10 h", ORIGIN_FORECAST, 106, false},
    {"foreseen, 5 d", ORIGIN_FORECAST, 120, true},
    {"foreseen, 8 d", ORIGIN_FORECAST, 192, true},
};

START_TEST(who_speaks_for_the_week)
{
	setup();
	bed_planting(&garden, &crops, "a", "gourdlet", "2026-04-10", "2026-05-01");
	bed_state(&garden, &state);
	bed_nights(&state, -7, (const double[]){60, 62, 58, 63, 55, 61, 64}, 7);
	for (int n = 0; n < STATE_NIGHTS_BEFORE; n++) {
		state.night[n].low_origin = weeks[_i].origin;
		state.night[n].first = instant_at(state.night[n].evening, 18 * HOUR_S, -6 * HOUR_S);
	}
	bed_nights(&state, 0, (const double[]){55, 55, 55, 55}, 4);
	bed_age(&state, weeks[_i].age_h * HOUR_S);
	cover_advise(&garden, &state, 0, &list);
	ROW_INT(weeks[_i].name, list.n, weeks[_i].look);
	/* Without a forecast only what was seen counts. */
	list.n = 0;
	state.forecast = (struct forecast_state){.trust = TRUST_SPENT};
	cover_advise(&garden, &state, 0, &list);
	ROW_INT(weeks[_i].name, list.n, weeks[_i].origin == ORIGIN_FORECAST);
}
END_TEST

START_TEST(only_what_is_outside)
{
	setup();
	bed_planting(&garden, &crops, "tray", "gourdlet", "2026-04-10", "");
	bed_planting(&garden, &crops, "out", "redberry", "2026-04-10", "2026-05-15");
	bed_state(&garden, &state);
	bed_nights(&state, 0, (const double[]){33, 50, 50, 50, 50}, 5);
	advice_all(&garden, &state, &list);
	ck_assert_uint_eq(list.n, 2);
	ROW_INT("tray", list.at[0].verdict, VERDICT_WAIT);
	ROW_INT("out", list.at[1].verdict, VERDICT_COVER);
	ROW_INT("out", list.at[1].planting, 1);
}
END_TEST

/* Whole degrees, halves up; nothing said twice by 0.1 of a degree. */
static const struct {
	double c;
	int units, want;
} degrees[] = {
    {0, UNIT_US, 32},        {2.2222222222, UNIT_US, 36},  {-17.7777777778, UNIT_US, 0},
    {2.4, UNIT_METRIC, 2},   {2.5, UNIT_METRIC, 3},        {-0.4, UNIT_METRIC, 0},
    {-0.6, UNIT_METRIC, -1}, {15.5555555556, UNIT_US, 60}, {-2.5, UNIT_METRIC, -2},
};

START_TEST(whole_degrees)
{
	char name[32];
	snprintf(name, sizeof name, "%.2f C", degrees[_i].c);
	ROW_INT(name, advice_degrees(degrees[_i].c, degrees[_i].units), degrees[_i].want);
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("cover");
	TCase *t = tcase_create("cover");
	tcase_add_loop_test(t, which_nights, 0, sizeof rows / sizeof *rows);
	tcase_add_test(t, steps_add_up);
	tcase_add_test(t, by_an_hour_before_sunset);
	tcase_add_test(t, no_sunset);
	tcase_add_loop_test(t, tonight_with_holes, 0, sizeof holes / sizeof *holes);
	tcase_add_test(t, stale_forecast);
	tcase_add_test(t, too_old_to_cover);
	tcase_add_loop_test(t, who_speaks_for_the_week, 0, sizeof weeks / sizeof *weeks);
	tcase_add_test(t, only_what_is_outside);
	tcase_add_loop_test(t, whole_degrees, 0, sizeof degrees / sizeof *degrees);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
