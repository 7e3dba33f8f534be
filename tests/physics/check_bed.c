#include "physics/bed.h"

#include "lib/harness.h"
#include "physics/leafday.h"

enum { NIGHT_H = 16 };

#define COUNT(a) (sizeof(a) / sizeof *(a))

static const struct leaf_setup open_bed = {.width_m = 0.25, .sky_view_frac = 1, .shelter_frac = 1};

static struct leaf_hour hour_of(double t_c, double rh_percent, double u10, double cloud)
{
	double ea = rh_percent / 100 * humid_saturation(t_c);
	return (struct leaf_hour){
	    .air_c = t_c,
	    .vapour_kpa = ea,
	    .wind10_ms = u10,
	    .cloud_frac = cloud,
	    .sky_emissivity = sky_emissivity(ea, t_c, cloud),
	    .ground_c = t_c,
	};
}

/* A night that falls by 0.8 K an hour to 3 C at its 13th hour and then warms. */
static void fill(struct leaf_hour night[NIGHT_H], double rh_percent, double u10, double cloud)
{
	for (int h = 0; h < NIGHT_H; h++)
		night[h] = hour_of(h < 13 ? 12.6 - 0.8 * h : 3 + 1.5 * (h - 12), rh_percent, u10, cloud);
}

/* The rule of the bed: 0.55 of the dry leaf's depression, at most 1.7 K. */
static const struct {
	const char *name;
	double air_c, dry_c, want;
} rule[] = {
    {"calm and clear", 5, 2.5, 5 - 0.55 * 2.5},
    {"held at 1.7 K", 5, 0, 3.3},
    {"just held", 5, 1.9, 3.3},
    {"windy", 5, 4.6, 4.78},
    {"no depression", 5, 5, 5},
    {"leaf in the sun", 20, 24, 20},
};

START_TEST(bed_rule)
{
	ROW_NEAR(rule[_i].name, bed_air(rule[_i].air_c, rule[_i].dry_c), rule[_i].want, 1e-12);
}
END_TEST

/* The classes, and what they do with what is missing. */
static const struct {
	const char *name;
	double wind, cloud, view, bed_k, leaf_k;
} class[] = {
    {"calm and clear", 1, 0.1, 1, 1.5, 2.5},
    {"breeze", 2, 0.1, 1, 0.7, 1.3},
    {"part clouded", 1, 0.4, 1, 0.7, 1.3},
    {"nearly overcast", 1, 0.7, 1, 0.7, 1.3},
    {"windy", 4, 0.1, 1, 0, 0.4},
    {"overcast", 1, 0.9, 1, 0, 0.4},
    {"wind missing, clear", NAN, 0.1, 1, 1.5, 2.5},
    {"wind missing, overcast", NAN, 0.9, 1, 0, 0.4},
    {"cloud missing, calm", 1, NAN, 1, 1.5, 2.5},
    {"cloud missing, windy", 4, NAN, 1, 0, 0.4},
    {"both missing", NAN, NAN, 1, 1.5, 2.5},
    {"beside a wall", 1, 0.1, 0.4, 0.75, 1.25},
    {"half the sky is the open still", 1, 0.1, 0.5, 1.5, 2.5},
    {"view missing", 1, 0.1, NAN, 1.5, 2.5},
};

START_TEST(classes)
{
	struct bed_depression d = bed_by_class(class[_i].wind, class[_i].cloud, class[_i].view);
	ROW_NEAR(class[_i].name, d.bed_k, class[_i].bed_k, 1e-12);
	ROW_NEAR(class[_i].name, d.leaf_k, class[_i].leaf_k, 1e-12);
}
END_TEST

/* The leaf of the field studies: corn, some 0.1 m wide. */
static const struct leaf_setup corn_bed = {.width_m = 0.1, .sky_view_frac = 1, .shelter_frac = 1};

/* Rahn & Brown 1971, corn on radiative nights: air 1.1 to 1.7 K under the shelter, coldest leaves 2.2 to 2.8 K. */
START_TEST(corn)
{
	for (double t_c = 2; t_c <= 8; t_c += 2)
		for (double rh = 70; rh <= 80; rh += 5) {
			struct leaf_hour hour = hour_of(t_c, rh, 0.9, 0);
			struct leaf_water water = LEAF_WATER_DRY;
			struct bed_now now = bed_step(&water, &hour, &corn_bed, false);
			double bed_k = t_c - now.bed_c, leaf_k = t_c - now.leaf_c;
			ROW_MSG(bed_k >= 1.1 && bed_k <= 1.7, "bed, %.0f C, %.0f %%: %.2f K", t_c, rh, bed_k);
			ROW_MSG(leaf_k >= 2.2 && leaf_k <= 2.8, "leaf, %.0f C, %.0f %%: %.2f K", t_c, rh, leaf_k);
		}
}
END_TEST

/* Balance and classes tell the same story in the middle of each class. */
static const struct {
	const char *name;
	double u10, cloud;
} middle[] = {
    {"calm and clear", 0.75, 0.1}, {"between", 2.2, 0.4}, {"overcast", 1.5, 0.9}, {"windy, overcast", 5, 0.9}};

START_TEST(classes_and_balance)
{
	struct leaf_hour hour = hour_of(5, 75, middle[_i].u10, middle[_i].cloud);
	struct leaf_water water = LEAF_WATER_DRY;
	struct bed_now now = bed_step(&water, &hour, &corn_bed, false);
	struct bed_depression d = bed_by_class(middle[_i].u10, middle[_i].cloud, 1);
	ROW_NEAR(middle[_i].name, 5 - now.bed_c, d.bed_k, 0.5);
	ROW_NEAR(middle[_i].name, 5 - now.leaf_c, d.leaf_k, 0.5);
}
END_TEST

START_TEST(lows)
{
	struct leaf_hour hour[NIGHT_H];
	fill(hour, 80, 1.2, 0);
	struct bed_night night = bed_night(hour, NIGHT_H, LEAF_WATER_DRY, &open_bed, false);

	ROW_INT("hours", night.known, NIGHT_H);
	ROW_INT("hours", night.by_class, 0);
	ROW_NEAR("air", night.air_c, 3, 1e-9);
	ROW_INT("coldest", night.coldest, 12);
	ROW_TRUE("order", night.leaf_c < night.bed_c && night.bed_c < night.air_c);

	/* The same by hand from the hours one by one. */
	struct leaf_water water = LEAF_WATER_DRY;
	double bed_c = INFINITY, leaf_c = INFINITY, deposit_mm = 0;
	for (int h = 0; h < NIGHT_H; h++) {
		struct leaf_now now = leaf_step(&water, &hour[h], &open_bed);
		bed_c = fmin(bed_c, hour[h].air_c - fmin(0.55 * (hour[h].air_c - now.heat.dry_c), 1.7));
		leaf_c = fmin(leaf_c, now.heat.leaf_c);
		deposit_mm += now.deposit_mm;
	}
	ROW_NEAR("bed", night.bed_c, bed_c, 1e-12);
	ROW_NEAR("leaf", night.leaf_c, leaf_c, 1e-12);
	ROW_NEAR("deposit", night.deposit_mm, deposit_mm, 1e-12);
	ROW_NEAR("water", night.water.least_mm, water.least_mm, 0);
}
END_TEST

/* Frost white on the leaf while 2 m stays over 0: the case the whole chain is for. */
START_TEST(frost_over_zero)
{
	struct leaf_hour hour[NIGHT_H];
	fill(hour, 90, 1, 0);
	for (int h = 0; h < NIGHT_H; h++)
		hour[h] = hour_of(hour[h].air_c - 1.2, 90, 1, 0);
	struct bed_night night = bed_night(hour, NIGHT_H, LEAF_WATER_DRY, &open_bed, false);
	ROW_TRUE("2 m over 0, leaf under", night.air_c > 1.5 && night.leaf_c < 0);
	ROW_TRUE("white", night.deposit_mm > 0.05);
}
END_TEST

START_TEST(cloud_warms)
{
	double before = -INFINITY;
	for (double cloud = 0; cloud <= 1; cloud += 0.25) {
		struct leaf_hour hour[NIGHT_H];
		fill(hour, 80, 1.2, cloud);
		struct bed_night night = bed_night(hour, NIGHT_H, LEAF_WATER_DRY, &open_bed, false);
		ROW_TRUE("leaf", night.leaf_c > before);
		before = night.leaf_c;
	}
}
END_TEST

START_TEST(bed_thermometer)
{
	struct leaf_hour hour[NIGHT_H];
	fill(hour, 80, 1.2, 0);
	struct bed_night screen = bed_night(hour, NIGHT_H, LEAF_WATER_DRY, &open_bed, false);
	struct bed_night bed = bed_night(hour, NIGHT_H, LEAF_WATER_DRY, &open_bed, true);
	ROW_NEAR("the hours are bed air", bed.bed_c, bed.air_c, 0);
	ROW_NEAR("leaf by the balance", bed.leaf_c, screen.leaf_c, 0);
}
END_TEST

/* What is missing makes hours by class, or no hours; nothing is told of what was not known. */
START_TEST(holes)
{
	struct leaf_hour hour[NIGHT_H];
	fill(hour, 80, 1, 0);
	for (int h = 0; h < NIGHT_H; h++)
		hour[h].sky_emissivity = hour[h].cloud_frac = NAN;
	struct bed_night night = bed_night(hour, NIGHT_H, LEAF_WATER_UNTOLD, &open_bed, false);
	ROW_INT("no cloud", night.by_class, NIGHT_H);
	ROW_NEAR("no cloud", night.bed_c, 3 - 1.5, 1e-9);
	ROW_NEAR("no cloud", night.leaf_c, 3 - 2.5, 1e-9);
	ROW_TRUE("no cloud", isnan(night.deposit_mm));

	fill(hour, 80, 1, 0);
	hour[12].air_c = NAN; /* the coldest */
	night = bed_night(hour, NIGHT_H, LEAF_WATER_DRY, &open_bed, false);
	ROW_INT("one hour missing", night.known, NIGHT_H - 1);
	ROW_NEAR("one hour missing", night.air_c, 3.8, 1e-9);

	for (int h = 0; h < NIGHT_H; h++)
		hour[h].air_c = NAN;
	night = bed_night(hour, NIGHT_H, LEAF_WATER_DRY, &open_bed, false);
	ROW_INT("all missing", night.known, 0);
	ROW_INT("all missing", night.coldest, NIGHT_H);
	ROW_TRUE("all missing",
		 isnan(night.air_c) && isnan(night.bed_c) && isnan(night.leaf_c) && isnan(night.deposit_mm));

	night = bed_night(hour, 0, LEAF_WATER_DRY, &open_bed, false);
	ROW_TRUE("no hours", night.known == 0 && isnan(night.leaf_c));
	hour[0] = hour_of(5, 80, 1, 0);
	night = bed_night(hour, 1, LEAF_WATER_DRY, &open_bed, false);
	ROW_TRUE("a single hour", night.known == 1 && night.coldest == 0 && isfinite(night.leaf_c));
}
END_TEST

START_TEST(bad)
{
	ROW_TRUE("no air", isnan(bed_air(NAN, 1)));
	ROW_TRUE("no leaf", isnan(bed_air(1, NAN)));
	struct leaf_hour hour = hour_of(5, 80, -3, 0); /* wind under 0 */
	struct leaf_water water = LEAF_WATER_DRY;
	struct bed_now now = bed_step(&water, &hour, &open_bed, false);
	ROW_TRUE("wind under 0 is wind missing", now.by_class && now.leaf_c == 2.5);
	hour.air_c = NAN;
	now = bed_step(&water, &hour, &open_bed, true);
	ROW_TRUE("no air", !now.by_class && isnan(now.bed_c) && isnan(now.leaf_c));
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("bed");
	TCase *tc = tcase_create("bed");
	tcase_add_loop_test(tc, bed_rule, 0, COUNT(rule));
	tcase_add_loop_test(tc, classes, 0, COUNT(class));
	tcase_add_test(tc, corn);
	tcase_add_loop_test(tc, classes_and_balance, 0, COUNT(middle));
	tcase_add_test(tc, lows);
	tcase_add_test(tc, frost_over_zero);
	tcase_add_test(tc, cloud_warms);
	tcase_add_test(tc, bed_thermometer);
	tcase_add_test(tc, holes);
	tcase_add_test(tc, bad);
	suite_add_tcase(s, tc);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
