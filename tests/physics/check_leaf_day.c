/* A leaf through a day, and the water it keeps: physics/leaf over many hours. */
#include "physics/leaf.h"

#include "lib/harness.h"
#include "physics/leafday.h"

#define MOCK_M 0.07

/*
 * The invented day of leafday.h, worked through elsewhere in two languages with
 * the old exchange; the fog rule off.  Wet is a leaf that holds 0.005 mm.
 */
static const struct {
	const char *name;
	double cloud, wind_factor, leaf_m;
	int rain_hour;
	double rain_mm;
	int wet_h;
	const char *marks; /* hour by hour, where the source tells */
} day[] = {
    {"base", 0.1, 1, MOCK_M, -1, 0, 9, "..*********............."},
    {"clear", 0, 1, MOCK_M, -1, 0, 9, NULL},
    {"half clouded", 0.5, 1, MOCK_M, -1, 0, 7, NULL},
    {"overcast", 1, 1, MOCK_M, -1, 0, 0, "........................"},
    {"four times the wind", 0.1, 4, MOCK_M, -1, 0, 7, NULL},
    {"leaf of 0.15 m", 0.1, 1, 0.15, -1, 0, 10, NULL},
    {"2 mm of rain in hour 20", 0.1, 1, MOCK_M, 20, 2, 13, "..*********.........****"},
    {"5 mm of rain in hour 12", 0.1, 1, MOCK_M, 12, 5, 10, "..*********.*..........."},
};

static void walk(int row, struct leaf_water *water, double held_mm[LEAFDAY_H], char marks[LEAFDAY_H + 1])
{
	for (int h = 0; h < LEAFDAY_H; h++) {
		struct leaf_env env = leafday_env(leafday_t[h], leafday_rh[h], leafday_rs[h], day[row].cloud);
		double u = leafday_wind(leafday_u10[h] * day[row].wind_factor);
		struct leaf_heat heat = leaf_balance(&env, leafday_exchange(u, day[row].leaf_m));
		leaf_water_hour(water, heat.latent_wm2, heat.frost, h == day[row].rain_hour ? day[row].rain_mm : 0);
		held_mm[h] = water->least_mm;
		marks[h] = "?.*"[leaf_water_wet(water)];
	}
	marks[LEAFDAY_H] = '\0';
}

START_TEST(hours)
{
	struct leaf_water water = LEAF_WATER_DRY;
	double held_mm[LEAFDAY_H];
	char marks[LEAFDAY_H + 1];
	int wet_h = 0;

	walk(_i, &water, held_mm, marks);
	for (int h = 0; h < LEAFDAY_H; h++)
		wet_h += marks[h] == '*';
	ROW_MSG(wet_h == day[_i].wet_h, "%s: %d wet hours, want %d: %s", day[_i].name, wet_h, day[_i].wet_h, marks);
	if (day[_i].marks != NULL)
		ROW_STR(day[_i].name, marks, day[_i].marks);
}
END_TEST

static const struct {
	int hour;
	double mm;
} store[] = {{2, 0.0196}, {5, 0.1177}, {8, 0.2364}, {10, 0.1088}};

START_TEST(held_water)
{
	struct leaf_water water = LEAF_WATER_DRY;
	double held_mm[LEAFDAY_H], peak = 0;
	char marks[LEAFDAY_H + 1];

	walk(0, &water, held_mm, marks);
	for (size_t i = 0; i < sizeof store / sizeof *store; i++)
		ROW_NEAR("base", held_mm[store[i].hour], store[i].mm, 0.5001e-4);
	for (int h = 0; h < LEAFDAY_H; h++)
		peak = fmax(peak, held_mm[h]);
	ROW_NEAR("peak", peak, 0.2364, 0.5001e-4);
}
END_TEST

/* A store nobody knows is told again after a dry day, and whatever is told of it before is right. */
START_TEST(unknown_start)
{
	struct leaf_water sure = LEAF_WATER_DRY, unsure = LEAF_WATER_UNTOLD;
	double held_mm[LEAFDAY_H];
	char known[LEAFDAY_H + 1], marks[LEAFDAY_H + 1];

	walk(0, &sure, held_mm, known);
	walk(0, &unsure, held_mm, marks);
	ROW_TRUE("the first hour", marks[0] == '?');
	for (int h = 0; h < LEAFDAY_H; h++)
		ROW_TRUE("told right", marks[h] == known[h] || (marks[h] == '?' && h < LEAFDAY_H / 2));
	ROW_NEAR("together again", unsure.least_mm, unsure.most_mm, 0);
	ROW_NEAR("together again", unsure.least_mm, sure.least_mm, 0);
}
END_TEST

static const struct {
	const char *name;
	struct leaf_water before;
	double latent_wm2, rain_mm;
	struct leaf_water after;
} step[] = {
    {"rain runs off over the store", {0, 0}, 0, 20, {0.6, 0.6}},
    {"rain first, then the sun", {0.2, 0.2}, 2.45e6 / 3600 * 0.5, 1, {0.1, 0.1}},
    {"no more than it holds", {0.2, 0.2}, 2.45e6 / 3600 * 0.5, 0, {0, 0}},
    {"dew runs off too", {0.59, 0.59}, -2.45e6 / 3600 * 0.04, 0, {0.6, 0.6}},
    {"rain that nobody measured", {0.1, 0.1}, 0, NAN, {0.1, 0.6}},
    {"rain under 0", {0.1, 0.1}, 0, -1, {0.1, 0.6}},
    {"an hour without balance", {0.1, 0.1}, NAN, 0, {0, 0.6}},
    {"untold, then a downpour", {0, 0.6}, 0, 3, {0.6, 0.6}},
    {"untold, then sun", {0, 0.6}, 2.45e6 / 3600 * 0.7, 0, {0, 0}},
};

START_TEST(steps)
{
	struct leaf_water water = step[_i].before;
	leaf_water_hour(&water, step[_i].latent_wm2, false, step[_i].rain_mm);
	ROW_NEAR(step[_i].name, water.least_mm, step[_i].after.least_mm, 1e-12);
	ROW_NEAR(step[_i].name, water.most_mm, step[_i].after.most_mm, 1e-12);
}
END_TEST

/* Fog wets a leaf that the balance leaves dry: overcast, so that nothing condenses. */
START_TEST(fog)
{
	const struct leaf_setup setup = {0.25, 1, 1};
	for (double rh = 0.95; rh < 1.001; rh += 0.005) {
		double ea = rh * humid_saturation(12);
		struct leaf_hour hour = {12, ea, 2, 1, sky_emissivity(ea, 12, 1), 40, 12, 0};
		struct leaf_water water = LEAF_WATER_DRY;
		struct leaf_now now = leaf_step(&water, &hour, &setup);
		ROW_NEAR("nothing condenses", water.most_mm, 0, 0);
		if (fabs(rh - 0.98) > 0.001)
			ROW_INT("fog", now.wet, rh > 0.98 ? WETNESS_WET : WETNESS_DRY);
	}
}
END_TEST

/* A day without weather in the middle: what follows is untold until the sun dries it, not a guess. */
START_TEST(gap)
{
	const struct leaf_setup setup = {0.25, 1, 1};
	struct leaf_water water = LEAF_WATER_DRY;
	int told = 0, untold = 0;
	for (int h = 0; h < 3 * LEAFDAY_H; h++) {
		int at = h % LEAFDAY_H;
		double ea = leafday_rh[at] / 100 * humid_saturation(leafday_t[at]);
		struct leaf_hour hour = {
		    leafday_t[at], ea, leafday_u10[at], 0.1, sky_emissivity(ea, leafday_t[at], 0.1), leafday_rs[at],
		    leafday_t[at], 0};
		if (h / LEAFDAY_H == 1)
			hour.air_c = NAN;
		struct leaf_now now = leaf_step(&water, &hour, &setup);
		if (h / LEAFDAY_H == 1)
			ROW_TRUE("in the gap", isnan(now.heat.leaf_c) && now.wet == WETNESS_CANNOT_TELL);
		else if (now.wet == WETNESS_CANNOT_TELL)
			untold++;
		else
			told++;
	}
	ROW_TRUE("untold for the first hours of the third day", untold >= 1 && untold < 12);
	ROW_INT("all hours outside the gap", told + untold, 2 * LEAFDAY_H);
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("leaf day");
	TCase *tc = tcase_create("leaf day");
	tcase_add_loop_test(tc, hours, 0, sizeof day / sizeof *day);
	tcase_add_test(tc, held_water);
	tcase_add_test(tc, unknown_start);
	tcase_add_loop_test(tc, steps, 0, sizeof step / sizeof *step);
	tcase_add_test(tc, fog);
	tcase_add_test(tc, gap);
	suite_add_tcase(s, tc);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
