#include <math.h>
#include <stdio.h>
#include <string.h>

#include "advice/settle.h"
#include "base/instant.h"
#include "lib/bed.h"
#include "lib/harness.h"

static struct crops crops;
static struct garden garden;
static struct season_state state;
static struct advice_list list;

static const struct bed_weather GREY = {50, 65, 5, 5, 0, 0, 0, 0, 0, 0.3};

enum { SEEN_NIGHTS = STATE_NIGHTS_BEFORE };

/* One bed of gourdlets, beetles for 21 days, straw from 70 F; all days grey at 65 F, all nights 50 F, no rain. */
static void plant(int days_out)
{
	char planted[DATE_TEXT_SIZE];
	double low_f[SEEN_NIGHTS];
	bed_crops(&crops);
	crops.at[0].beetle_days = 21;
	crops.at[0].straw_soil_c = bed_c(70);
	bed_garden(&garden, UNIT_US);
	bed_planting(&garden, &crops, "a", "gourdlet", "2026-04-20",
		     days_out < 0 ? "" : date_text(bed_day(-days_out), planted));
	garden.planting[0].plants = 2;
	snprintf(garden.planting[0].in, sizeof garden.planting[0].in, "south");
	bed_state(&garden, &state);
	for (int d = -STATE_HOURS_BEFORE; d < STATE_AHEAD; d++)
		bed_hours(&state, d, &GREY);
	for (int i = 0; i < SEEN_NIGHTS; i++)
		low_f[i] = 50;
	bed_nights(&state, -SEEN_NIGHTS, low_f, SEEN_NIGHTS);
	for (int i = 0; i < STATE_NIGHTS; i++)
		state.soil_c[i] = bed_c(60);
}

static void come_up(int days)
{
	struct stage_state *stage = &state.planting[0].stage;
	stage->now = STAGE_UP;
	stage->up.least = stage->up.likely = stage->up.most = bed_day(-days);
}

static const struct advice *find(enum verdict v)
{
	list.n = 0;
	settle_advise(&garden, &state, 0, &list);
	for (size_t i = 0; i < list.n; i++)
		if (list.at[i].verdict == v)
			return &list.at[i];
	return NULL;
}

static bool said(enum verdict v)
{
	return find(v) != NULL;
}

static double step_of(const struct advice *a, enum step_kind kind)
{
	return advice_step_of(a, kind, 0).value;
}

#define NEVER (-99)

/* Rain in mm of the two days before today, spread over ten hours; and of today, from noon to six, at 8 in 10. */
static const struct {
	const char *name;
	int out;     /* days since planting out */
	int watered; /* day of the last watering by the diary */
	double before_yesterday, yesterday, today;
	bool want;
} waters[] = {
    {"the day itself", 0, NEVER, 0, 0, 0, false},
    {"the day after", 1, NEVER, 0, 0, 0, false},
    {"two days on", 2, NEVER, 0, 0, 0, true},
    {"three", 3, NEVER, 0, 0, 0, false},
    {"four", 4, NEVER, 0, 0, 0, true},
    {"the tenth", 10, NEVER, 0, 0, 0, true},
    {"settled", 12, NEVER, 0, 0, 0, false},
    {"a quarter of an inch yesterday", 4, NEVER, 0, 6.5, 0, false},
    {"over two days", 4, NEVER, 3.5, 3.5, 0, false},
    {"less than that", 4, NEVER, 3, 3, 0, true},
    {"rain to come", 4, NEVER, 0, 0, 12, false},
    {"a shower to come", 4, NEVER, 0, 0, 6, true},
    {"watered the day before yesterday", 5, -2, 0, 0, 0, true},
    {"watered yesterday", 4, -1, 0, 0, 0, false},
    {"watered today", 4, 0, 0, 0, 0, false},
    {"watered, then forgotten", 7, -4, 0, 0, 0, true},
    {"watered before it was planted", 4, -6, 0, 0, 0, true},
};

static void rain(int day, double mm)
{
	struct bed_weather w = GREY;
	w.rain_mm = mm / 6;
	w.wet_from = 12;
	w.wet_to = 18;
	bed_hours(&state, day, &w);
}

START_TEST(water)
{
	const char *row = waters[_i].name;
	plant(waters[_i].out);
	rain(-2, waters[_i].before_yesterday);
	rain(-1, waters[_i].yesterday);
	rain(0, waters[_i].today);
	if (waters[_i].watered != NEVER)
		bed_done(&state, 0, VERB_WATERED, waters[_i].watered, waters[_i].watered, 1);
	const struct advice *a = find(VERDICT_WATER);
	ROW_INT(row, a != NULL, waters[_i].want);
	if (a == NULL)
		return;
	/* Two plants, a US quart each. */
	ROW_NEAR(row, step_of(a, STEP_QUENCH), 2 * 0.946, 1e-9);
	ROW_NEAR(row, step_of(a, STEP_RAIN_PAST), waters[_i].before_yesterday + waters[_i].yesterday, 1e-9);
	ROW_NEAR(row, step_of(a, STEP_DAYS_OUT), waters[_i].out, 0);
}
END_TEST

/* Over ten days without diary and rain: five quarts a plant, and never two days running. */
START_TEST(every_other_day)
{
	int times = 0;
	bool last = false;
	for (int out = 0; out <= 10; out++) {
		plant(out);
		bool now = said(VERDICT_WATER);
		ROW_MSG(!(now && last), "two days running, at %d", out);
		times += now;
		last = now;
	}
	ck_assert_int_eq(times, 5);
}
END_TEST

/* Rain that is not in the record is not taken as none. */
START_TEST(rain_not_known)
{
	plant(4);
	for (int d = -3; d < 0; d++)
		for (int i = 0; i < 24; i++)
			state.hours[STATE_HOURS_BEFORE + d].hour[i].rain_mm = (double)NAN;
	const struct advice *a = find(VERDICT_WATER);
	ck_assert_ptr_nonnull(a);
	ck_assert(isnan(step_of(a, STEP_RAIN_PAST)));
	ck_assert(!said(VERDICT_SLUGS));
}
END_TEST

/* A tub is looked at every day, whatever fell. */
START_TEST(tub)
{
	for (int out = 0; out <= 12; out++) {
		plant(out);
		rain(-1, 20);
		snprintf(garden.tub[0].name, sizeof garden.tub[0].name, "south");
		garden.tubs = 1;
		const struct advice *a = find(VERDICT_WATER);
		ROW_MSG((a != NULL) == (out > 0 && out <= 10), "day %d", out);
		ROW_MSG(a == NULL || step_of(a, STEP_TUB) > 0, "day %d", out);
	}
}
END_TEST

static const struct {
	const char *name;
	int out;
	double high_f, sun;
	int age_h;
	bool want;
} shades[] = {
    {"hot", 8, 85, 0.9, 1, true},
    {"a degree under", 8, 84, 0.9, 1, false},
    {"hot and grey", 8, 88, 0.3, 1, false},
    {"strong sun, the third day", 3, 80, 0.9, 1, true},
    {"strong sun, the fourth", 4, 80, 0.9, 1, false},
    {"strong sun and cool", 2, 65, 0.9, 1, false},
    {"settled", 11, 95, 0.9, 1, false},
    {"by an old forecast", 2, 90, 0.9, 50, false},
};

START_TEST(shade)
{
	const char *row = shades[_i].name;
	plant(shades[_i].out);
	struct bed_weather w = {55, shades[_i].high_f, 5, 5, 0, 0, 0, 0, 0, shades[_i].sun};
	bed_hours(&state, 0, &w);
	bed_age(&state, (int64_t)shades[_i].age_h * HOUR_S);
	const struct advice *a = find(VERDICT_SHADE);
	ROW_INT(row, a != NULL, shades[_i].want);
	if (a == NULL)
		return;
	/* Sun over 700 W/m2 of 950 at noon: round it, and no longer than from nine to four. */
	int64_t noon = instant_at(state.today, 12 * HOUR_S, -5 * HOUR_S);
	ROW_TRUE(row, step_of(a, STEP_SHADE_FROM) <= (double)noon && step_of(a, STEP_SHADE_TO) > (double)noon);
	ROW_TRUE(row, step_of(a, STEP_SHADE_TO) - step_of(a, STEP_SHADE_FROM) <= 7 * HOUR_S);
}
END_TEST

/* Nights back from the past one; rain of the day before each. */
static const struct {
	const char *name;
	int out, up; /* days since; NEVER */
	double low_f[4], mm[4];
	bool want;
} slugs[] = {
    {"mild and wet", 5, NEVER, {50, 50, 50, 50}, {3, 0, 0, 0}, true},
    {"mild and dry", 5, NEVER, {50, 50, 50, 50}, {0, 0, 0, 0}, false},
    {"cold and wet", 5, NEVER, {44, 50, 50, 50}, {3, 0, 0, 0}, false},
    {"at the line", 5, NEVER, {45, 50, 50, 50}, {1.2, 0, 0, 0}, true},
    {"the second such", 5, NEVER, {50, 50, 50, 50}, {3, 3, 0, 0}, false},
    {"the third", 5, NEVER, {50, 50, 50, 50}, {3, 3, 3, 0}, false},
    {"the fourth", 5, NEVER, {50, 50, 50, 50}, {3, 3, 3, 3}, true},
    {"settled", 12, NEVER, {50, 50, 50, 50}, {3, 0, 0, 0}, false},
    {"sown in place, up", NEVER, 12, {50, 50, 50, 50}, {3, 0, 0, 0}, true},
    {"sown in place, up long ago", NEVER, 30, {50, 50, 50, 50}, {3, 0, 0, 0}, false},
    {"sown in place, not up", NEVER, NEVER, {50, 50, 50, 50}, {3, 0, 0, 0}, false},
};

/* In a cold night they stay in the ground. */
START_TEST(no_slugs_tonight)
{
	plant(5);
	rain(-1, 3);
	bed_nights(&state, 0, (const double[]){44}, 1);
	ck_assert(!said(VERDICT_SLUGS));
	bed_nights(&state, 0, (const double[]){45}, 1);
	ck_assert(said(VERDICT_SLUGS));
}
END_TEST

START_TEST(slug_nights)
{
	plant(slugs[_i].out == NEVER ? -1 : slugs[_i].out);
	if (slugs[_i].up != NEVER)
		come_up(slugs[_i].up);
	for (int back = 0; back < 4; back++) {
		bed_nights(&state, -1 - back, &slugs[_i].low_f[back], 1);
		rain(-1 - back, slugs[_i].mm[back]);
	}
	ROW_INT(slugs[_i].name, said(VERDICT_SLUGS), slugs[_i].want);
}
END_TEST

static const struct {
	const char *name;
	int out, up, covered, uncovered;
	double high_f[3]; /* yesterday, and before */
	int days;
	bool want;
} beetles[] = {
    {"three warm days", 6, NEVER, NEVER, NEVER, {66, 66, 66}, 21, true},
    {"one of them cool", 6, NEVER, NEVER, NEVER, {66, 60, 66}, 21, false},
    {"not every day", 7, NEVER, NEVER, NEVER, {66, 66, 66}, 21, false},
    {"past seed leaves", 24, NEVER, NEVER, NEVER, {66, 66, 66}, 21, false},
    {"a crop they leave", 6, NEVER, NEVER, NEVER, {66, 66, 66}, 0, false},
    {"under a cover", 6, NEVER, -5, NEVER, {66, 66, 66}, 21, false},
    {"no longer under one", 6, NEVER, -5, -2, {66, 66, 66}, 21, true},
    {"sown in place, up", NEVER, 9, NEVER, NEVER, {66, 66, 66}, 21, true},
    {"sown in place, not up", NEVER, NEVER, NEVER, NEVER, {66, 66, 66}, 21, false},
};

START_TEST(beetle_days)
{
	plant(beetles[_i].out == NEVER ? -1 : beetles[_i].out);
	garden.planting[0].figures.beetle_days = beetles[_i].days;
	if (beetles[_i].up != NEVER)
		come_up(beetles[_i].up);
	if (beetles[_i].covered != NEVER)
		bed_done(&state, 0, VERB_COVERED, beetles[_i].covered, beetles[_i].covered, 1);
	if (beetles[_i].uncovered != NEVER)
		bed_done(&state, 0, VERB_UNCOVERED, beetles[_i].uncovered, beetles[_i].uncovered, 1);
	for (int back = 0; back < 3; back++) {
		struct bed_weather w = GREY;
		w.high_f = beetles[_i].high_f[back];
		bed_hours(&state, -1 - back, &w);
	}
	ROW_INT(beetles[_i].name, said(VERDICT_BEETLES), beetles[_i].want);
}
END_TEST

static const struct {
	const char *name;
	int out;
	double soil_f, mm; /* soil this morning, rain in three days */
	int watered, strawed;
	bool want;
} straws[] = {
    {"warm and wet", 12, 70, 14, NEVER, NEVER, true},  {"a degree under", 12, 69, 14, NEVER, NEVER, false},
    {"warm and dry", 12, 72, 3, NEVER, NEVER, false},  {"warm and watered", 12, 72, 3, -1, NEVER, true},
    {"strawed already", 12, 72, 14, NEVER, -3, false}, {"at planting", 1, 72, 14, NEVER, NEVER, false},
    {"old news", 70, 72, 14, NEVER, NEVER, false},     {"soil not known", 12, (double)NAN, 14, NEVER, NEVER, false},
};

START_TEST(straw)
{
	plant(straws[_i].out);
	state.soil_c[STATE_NIGHTS_BEFORE] = bed_c(straws[_i].soil_f);
	rain(-3, straws[_i].mm / 2);
	rain(-1, straws[_i].mm / 2);
	if (straws[_i].watered != NEVER)
		bed_done(&state, 0, VERB_WATERED, straws[_i].watered, straws[_i].watered, 1);
	if (straws[_i].strawed != NEVER)
		bed_done(&state, 0, VERB_STRAWED, straws[_i].strawed, straws[_i].strawed, 1);
	const struct advice *a = find(VERDICT_STRAW);
	ROW_INT(straws[_i].name, a != NULL, straws[_i].want);
	/* News once: without a day, for it stays so. */
	ROW_TRUE(straws[_i].name, a == NULL || !date_is(a->day));
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("settle");
	TCase *t = tcase_create("settle");
	tcase_add_loop_test(t, water, 0, sizeof waters / sizeof *waters);
	tcase_add_test(t, every_other_day);
	tcase_add_test(t, rain_not_known);
	tcase_add_test(t, tub);
	tcase_add_loop_test(t, shade, 0, sizeof shades / sizeof *shades);
	tcase_add_loop_test(t, slug_nights, 0, sizeof slugs / sizeof *slugs);
	tcase_add_test(t, no_slugs_tonight);
	tcase_add_loop_test(t, beetle_days, 0, sizeof beetles / sizeof *beetles);
	tcase_add_loop_test(t, straw, 0, sizeof straws / sizeof *straws);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
