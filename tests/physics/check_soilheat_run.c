/* A column over a season: start, gaps, readings, bad input, and the daily models that know only the air. */
#include "physics/soilheat.h"

#include <stddef.h>
#include <string.h>

#include "lib/harness.h"

enum { DAY = 24 };

#define COUNT(a) (sizeof(a) / sizeof *(a))

/* An hour of a mild spring: day by day other air, more or less sun. */
static struct soilheat_hour spring(int h)
{
	int day = h / DAY;
	double clock = h % DAY + 0.5;
	double mean_c = 10 + 0.08 * day + 3 * sin(day / 2.3);
	return (struct soilheat_hour){
	    .air_c = mean_c + 5 * sin(2 * M_PI * (clock - 9) / DAY),
	    .wind2_ms = 2,
	    .shortwave_wm2 = fmax(0, (350 + 150 * sin(day * 1.7)) * sin(M_PI * (clock - 6) / 12)),
	    .sky_emissivity = 0.85,
	    .drying_frac = 0.5,
	};
}

static double step(struct soilheat *soil, const struct soilheat_hour *hour)
{
	return soilheat_step(soil, soilheat_edge(hour, soilheat_surface(SOILHEAT_BARE)));
}

static void run(struct soilheat *soil, int from, int to)
{
	for (int h = from; h < to; h++) {
		struct soilheat_hour hour = spring(h);
		step(soil, &hour);
	}
}

/* The daily models' own numbers, so that their writing here can be trusted. */
static const double air_row[5] = {12, 15, 11, 18, 20};
static const struct {
	const char *name;
	double share, shade;
	double want[5];
} recursive[] = {
    {"Zheng et al. 1993 as descended, r 0.25", 0.25, 1, {10.5000, 11.6250, 11.4688, 13.1016, 14.8262}},
    {"the same under leaves, 0.5", 0.25, 0.5, {10.2500, 10.8438, 10.8633, 11.7554, 12.7859}},
    {"Kang et al. 2000, 5 cm", 0.652864, 1, {11.3057, 13.7176, 11.9434, 15.8975, 18.5759}},
    {"Kang et al. 2000, 10 cm", 0.426232, 1, {10.8525, 12.6203, 11.9297, 14.5170, 16.8540}},
    {"Kang et al. 2000, 10 cm under leaves", 0.426232, 0.40657, {10.3466, 11.1530, 11.0878, 12.2856, 13.6225}},
};

static double recur(double soil_c, double air_c, double share, double shade)
{
	return soil_c + (air_c - soil_c) * share * (air_c > soil_c ? shade : 1);
}

START_TEST(daily_models)
{
	double t_c = 10;
	for (int day = 0; day < 5; day++) {
		t_c = recur(t_c, air_row[day], recursive[_i].share, recursive[_i].shade);
		ROW_NEAR(recursive[_i].name, t_c, recursive[_i].want[day], 1.1e-4);
	}
}
END_TEST

/* Daily means at 10 cm under leaves, where sun tells little, against those models: the band that they were found good
 * to. */
START_TEST(sanity_band)
{
	struct soilheat soil;
	double zheng_c = 10, kang_c = 10, worst_k = 0;
	int within = 0, days = 0;

	soilheat_start(&soil, 10);
	for (int day = 0; day < 60; day++) {
		double air_c = 0, soil_c = 0;
		for (int h = day * DAY; h < (day + 1) * DAY; h++) {
			struct soilheat_hour hour = spring(h);
			hour.shade_frac = 0.8;
			air_c += hour.air_c / DAY;
			step(&soil, &hour);
			soil_c += soilheat_at(&soil, 0.10) / DAY;
		}
		zheng_c = recur(zheng_c, air_c, 0.25, 1);
		kang_c = recur(kang_c, air_c, 0.426232, 1);
		if (day < 10)
			continue;
		worst_k = fmax(worst_k, fmax(fabs(soil_c - zheng_c), fabs(soil_c - kang_c)));
		within += fabs(soil_c - zheng_c) < 3.5;
		days++;
	}
	ROW_MSG(worst_k < 4, "%.2f K from a daily model", worst_k);
	ROW_MSG(within * 100 >= 77 * days, "only %d of %d days within 3.5 K", within, days);
}
END_TEST

/* With nothing but a constant outside, the column ends there, from any start, and its heat only falls or rises. */
START_TEST(steady)
{
	struct soilheat soil;
	double before = 0;
	soilheat_start(&soil, 0);
	for (int h = 0; h < 365 * DAY; h++) {
		soilheat_step(&soil, (struct soilheat_edge){20, 0.1});
		double now = soilheat_at(&soil, 0.5);
		ROW_TRUE("rises", now >= before);
		before = now;
	}
	for (double depth_m = 0.02; depth_m < 0.9; depth_m += 0.1)
		ROW_NEAR("steady", soilheat_at(&soil, depth_m), 20, 1e-6);
}
END_TEST

/* A jump of the surface does not ring: the top layer nears it from one side. */
START_TEST(jump)
{
	struct soilheat soil;
	double before = 0;
	soilheat_start(&soil, 0);
	for (int h = 0; h < 2 * DAY; h++) {
		soilheat_step(&soil, (struct soilheat_edge){10, 0});
		double now = soilheat_at(&soil, 0.01);
		ROW_MSG(now >= before && now <= 10, "hour %d: %.3f after %.3f", h, now, before);
		before = now;
	}
}
END_TEST

START_TEST(start)
{
	double air_c[SOILHEAT_SETTLE_H + DAY];
	for (size_t i = 0; i < COUNT(air_c); i++)
		air_c[i] = i < SOILHEAT_SETTLE_H ? (i % 2 == 0 ? 8 : 12) : 40;
	ROW_NEAR("first ten days", soilheat_mean(air_c, COUNT(air_c)), 10, 1e-12);
	for (size_t i = 0; i < SOILHEAT_SETTLE_H - DAY; i++)
		air_c[i] = NAN;
	ROW_NEAR("one day of them known", soilheat_mean(air_c, COUNT(air_c)), 10, 1e-12);
	air_c[SOILHEAT_SETTLE_H - 1] = NAN;
	ROW_TRUE("under a day", isnan(soilheat_mean(air_c, COUNT(air_c))));
	ROW_TRUE("none", isnan(soilheat_mean(air_c, 0)));

	struct soilheat soil;
	soilheat_start(&soil, NAN);
	run(&soil, 0, 3);
	ROW_TRUE("from nothing nothing", isnan(soilheat_at(&soil, 0.05)));
	soilheat_start(&soil, 10);
	run(&soil, 0, SOILHEAT_SETTLE_H - 1);
	ROW_TRUE("settling", !soilheat_settled(&soil));
	run(&soil, SOILHEAT_SETTLE_H - 1, SOILHEAT_SETTLE_H);
	ROW_TRUE("settled", soilheat_settled(&soil));
}
END_TEST

/* Two starts 6 K apart are close to one another where plants root, once they count as settled. */
START_TEST(start_forgotten)
{
	struct soilheat cold, warm;
	soilheat_start(&cold, 7);
	soilheat_start(&warm, 13);
	run(&cold, 0, SOILHEAT_SETTLE_H);
	run(&warm, 0, SOILHEAT_SETTLE_H);
	double apart = soilheat_at(&warm, 0.05) - soilheat_at(&cold, 0.05);
	ROW_MSG(apart > 0 && apart < 1, "%.2f K", apart);
}
END_TEST

static const struct {
	const char *name;
	size_t member;
	double value;
} bad[] = {
    {"no air", offsetof(struct soilheat_hour, air_c), NAN},
    {"no wind", offsetof(struct soilheat_hour, wind2_ms), NAN},
    {"wind under 0", offsetof(struct soilheat_hour, wind2_ms), -1},
    {"no sun known", offsetof(struct soilheat_hour, shortwave_wm2), NAN},
    {"sun under 0", offsetof(struct soilheat_hour, shortwave_wm2), -1},
    {"no sky", offsetof(struct soilheat_hour, sky_emissivity), NAN},
    {"dryness nobody knows", offsetof(struct soilheat_hour, drying_frac), NAN},
    {"dryness over 1", offsetof(struct soilheat_hour, drying_frac), 1.1},
    {"shade nobody knows", offsetof(struct soilheat_hour, shade_frac), NAN},
    {"shade under 0", offsetof(struct soilheat_hour, shade_frac), -0.1},
};

START_TEST(missing)
{
	struct soilheat soil;
	struct soilheat_hour hour = spring(SOILHEAT_SETTLE_H);
	const char *name = bad[_i].name;

	soilheat_start(&soil, 10);
	run(&soil, 0, SOILHEAT_SETTLE_H);
	*(double *)(void *)((char *)&hour + bad[_i].member) = bad[_i].value;
	ROW_TRUE(name, isnan(step(&soil, &hour)));
	ROW_TRUE(name, soil.gap && isnan(soilheat_at(&soil, 0.05)) && !soilheat_settled(&soil));
	run(&soil, SOILHEAT_SETTLE_H + 1, SOILHEAT_SETTLE_H + 10);
	ROW_TRUE(name, isfinite(soilheat_at(&soil, 0.05)) && !soilheat_settled(&soil));
	run(&soil, SOILHEAT_SETTLE_H + 10, SOILHEAT_SETTLE_H + 11);
	ROW_TRUE(name, soilheat_settled(&soil));
}
END_TEST

/* A day without weather: marked for ten days, and by then within 0.5 K of the column that had none. */
START_TEST(day_missing)
{
	struct soilheat whole, broken;
	int gap_at = 20 * DAY, end = 31 * DAY;
	soilheat_start(&whole, 10);
	run(&whole, 0, end);
	soilheat_start(&broken, 10);
	run(&broken, 0, gap_at);
	for (int h = 0; h < DAY; h++) {
		struct soilheat_hour hour = {.air_c = NAN};
		ROW_TRUE("in the gap", isnan(step(&broken, &hour)) && isnan(soilheat_at(&broken, 0.10)));
	}
	run(&broken, gap_at + DAY, end - 1);
	ROW_TRUE("marked", !soilheat_settled(&broken));
	run(&broken, end - 1, end);
	ROW_TRUE("no longer", soilheat_settled(&broken));
	ROW_NEAR("forgotten", soilheat_at(&broken, 0.05), soilheat_at(&whole, 0.05), 0.5);
}
END_TEST

START_TEST(depths)
{
	struct soilheat soil;
	soilheat_start(&soil, 10);
	run(&soil, 0, 300);
	ROW_NEAR("first middle", soilheat_at(&soil, 0.01), soil.node_c[0], 0);
	ROW_TRUE("over it", isnan(soilheat_at(&soil, 0.005)) && isnan(soilheat_at(&soil, -1)));
	ROW_TRUE("under the last", isnan(soilheat_at(&soil, 1.0)) && isnan(soilheat_at(&soil, NAN)));
	ROW_TRUE("last told", isfinite(soilheat_at(&soil, 0.9)));
	double reach_m = soil.depth_m[15] + (soil.depth_m[15] - soil.depth_m[14]) * 1.14 / 2.14;
	ROW_NEAR("the column reaches 1 m", reach_m, 1.0, 0.03);
	for (int i = 0; i + 1 < SOILHEAT_LAYERS; i++) {
		double middle = (soil.depth_m[i] + soil.depth_m[i + 1]) / 2;
		ROW_NEAR("linear between", soilheat_at(&soil, middle), (soil.node_c[i] + soil.node_c[i + 1]) / 2,
			 1e-12);
	}
}
END_TEST

START_TEST(readings)
{
	struct soilheat soil;
	soilheat_start(&soil, 10);
	run(&soil, 0, 400);
	double plain = soilheat_at(&soil, 0.10), at_five = soilheat_at(&soil, 0.05);

	soilheat_read(&soil, 0.10, plain + 2);
	ROW_NEAR("the first is believed", soilheat_at(&soil, 0.10), plain + 2, 1e-12);
	ROW_NEAR("everywhere", soilheat_at(&soil, 0.05), at_five + 2, 1e-12);
	soilheat_read(&soil, 0.10, plain + 1);
	ROW_NEAR("the second by half", soilheat_at(&soil, 0.10), plain + 1.5, 1e-12);
	soilheat_read(&soil, 0.10, NAN);
	soilheat_read(&soil, 5, 20);
	ROW_NEAR("no reading", soilheat_at(&soil, 0.10), plain + 1.5, 1e-12);
	for (int i = 0; i < 40; i++)
		soilheat_read(&soil, 0.10, plain - 1);
	ROW_NEAR("old ones fade", soilheat_at(&soil, 0.10), plain - 1, 0.001);
}
END_TEST

/* A copy and its original go on by themselves, to the same numbers. */
START_TEST(copies)
{
	struct soilheat soil, copy;
	soilheat_start(&soil, 10);
	run(&soil, 0, 100);
	copy = soil;
	run(&copy, 100, 200);
	struct soilheat_hour gap = {.air_c = NAN};
	struct soilheat other = soil;
	step(&other, &gap);
	run(&soil, 100, 200);
	ROW_TRUE("the same", memcmp(copy.node_c, soil.node_c, sizeof soil.node_c) == 0);
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("soilheat run");
	TCase *tc = tcase_create("soilheat run");
	tcase_add_loop_test(tc, daily_models, 0, COUNT(recursive));
	tcase_add_test(tc, sanity_band);
	tcase_add_test(tc, steady);
	tcase_add_test(tc, jump);
	tcase_add_test(tc, start);
	tcase_add_test(tc, start_forgotten);
	tcase_add_loop_test(tc, missing, 0, COUNT(bad));
	tcase_add_test(tc, day_missing);
	tcase_add_test(tc, depths);
	tcase_add_test(tc, readings);
	tcase_add_test(tc, copies);
	suite_add_tcase(s, tc);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
