#include <math.h>
#include <string.h>

#include "advice/plantday.h"
#include "lib/bed.h"
#include "lib/harness.h"
#include "odds/normal.h"

/* gourdlet: night line 60, slow 50, stall 45, kill 32 F; old enough from 11 May on.  Outlooks are made by hand. */

static struct crops crops;
static struct garden garden;
static struct season_state state;
static struct plantday d;

static void setup(void)
{
	bed_crops(&crops);
	bed_garden(&garden, UNIT_US);
	bed_planting(&garden, &crops, "a", "gourdlet", "2026-04-20", "");
	bed_state(&garden, &state);
}

/* A night ahead: what is to be expected in the bed and on the leaf. */
static void expect(int i, double bed_f, double leaf_f, double spread_c, double rho)
{
	struct outlook_night *o = &state.outlook[i];
	o->basis = OUTLOOK_FORECAST;
	o->bed = o->air = (struct runs_night){bed_c(bed_f), spread_c, rho};
	for (int k = 0; k < OUTLOOK_LEAVES; k++)
		o->leaf[k] = (struct runs_night){bed_c(leaf_f), spread_c, rho};
}

static void steady(double bed_f)
{
	for (int i = 0; i < STATE_AHEAD; i++)
		expect(i, bed_f, bed_f, 0, 0);
}

static const struct plantday *judged(int ahead)
{
	plantday_of(&garden, &state, 0, ahead, &d);
	return &d;
}

/* Five nights with one error: what is asked of four of them is the chance of one.  Held against the line as it is
 * read: 60 F from 59.5 on. */
static const struct {
	const char *name;
	double chance;
	int verdict, why;
} holds[] = {
    {"at 62 in 100", 0.62, VERDICT_PLANT, PLANTDAY_FIT},
    {"at 58 in 100", 0.58, VERDICT_PLANT_COVERED, PLANTDAY_COLD},
};

START_TEST(nights_that_hold)
{
	double spread_c = 1.5, low_c = bed_c(59.5) + spread_c * normal_quantile(holds[_i].chance);
	steady(70);
	for (int i = 0; i < 5; i++)
		expect(i, low_c * 1.8 + 32, 70, spread_c, 1);
	judged(0);
	ROW_NEAR(holds[_i].name, d.hold, holds[_i].chance, 1e-9);
	ROW_INT(holds[_i].name, d.verdict, holds[_i].verdict);
	ROW_INT(holds[_i].name, d.why, holds[_i].why);
}
END_TEST

/* One night of five may be under the line; its chance of a stall is its own. */
static const struct {
	const char *name;
	double chance;
	int verdict, why;
} stalls[] = {
    {"14 in 100", 0.14, VERDICT_PLANT, PLANTDAY_FIT},
    {"16 in 100", 0.16, VERDICT_PLANT_COVERED, PLANTDAY_STALLING},
    {"32 in 100", 0.32, VERDICT_PLANT_COVERED, PLANTDAY_STALLING},
    {"35 in 100", 0.35, VERDICT_WAIT, PLANTDAY_STALLING},
};

START_TEST(a_night_that_stalls)
{
	double low_c = bed_c(45.5) - 2 * normal_quantile(stalls[_i].chance);
	steady(70);
	expect(2, low_c * 1.8 + 32, 70, 2, 0);
	judged(0);
	ROW_NEAR(stalls[_i].name, d.stall, stalls[_i].chance, 2e-6);
	ROW_INT(stalls[_i].name, d.verdict, stalls[_i].verdict);
	ROW_INT(stalls[_i].name, d.why, stalls[_i].why);
}
END_TEST

/* A frost is nature's line: 32 F and no half degree to it. */
static const struct {
	const char *name;
	double chance;
	int night, verdict, why;
} frosts[] = {
    {"29 in 1000", 0.029, 2, VERDICT_PLANT, PLANTDAY_FIT},
    {"31 in 1000", 0.031, 2, VERDICT_WAIT, PLANTDAY_FROSTY},
    {"on the fourteenth night", 0.031, 13, VERDICT_WAIT, PLANTDAY_FROSTY},
    {"on the fifteenth", 0.031, 14, VERDICT_PLANT, PLANTDAY_FIT},
};

START_TEST(a_frost)
{
	steady(70);
	expect(frosts[_i].night, 70, 32 - 2 * 1.8 * normal_quantile(frosts[_i].chance), 2, 0);
	judged(0);
	ROW_INT(frosts[_i].name, d.verdict, frosts[_i].verdict);
	ROW_INT(frosts[_i].name, d.why, frosts[_i].why);
	ROW_INT(frosts[_i].name, date_diff(d.frost_to, state.today), 13);
	ROW_TRUE(frosts[_i].name, !d.beyond);
}
END_TEST

/* Years that all had their last frost on a day of the year, with a spread; and none in autumn before November. */
static void frost_years(double spring_day, double spread)
{
	struct frostdate_line *f = &state.frost.at[FROSTDATE_32F];
	f->kind = FROSTDATE_DATED;
	yeardate_start(&f->spring, YEARDATE_LAST);
	yeardate_start(&f->autumn, YEARDATE_FIRST);
	for (int i = 0; i < 20; i++) {
		yeardate_add(&f->spring, spring_day + (i % 2 ? spread : -spread));
		yeardate_add(&f->autumn, 310 + i);
	}
	yeardate_close(&f->spring);
	yeardate_close(&f->autumn);
}

/* Six nights are forecast; then the dates of the years tell, from 25 May's night on: that is frost from 26 May on. */
START_TEST(frost_beyond_the_forecast)
{
	steady(70);
	for (int i = 6; i < STATE_AHEAD; i++)
		state.outlook[i].basis = OUTLOOK_NONE;
	judged(0);
	ROW_INT("no years: not held back", d.verdict, VERDICT_PLANT);
	ROW_INT("no years: told as far as it goes", date_diff(d.frost_to, state.today), 5);
	frost_years(126, 10); /* 6 May */
	judged(0);
	ROW_INT("told for all days", date_diff(d.frost_to, state.today), 13);
	ROW_TRUE("by the years", d.beyond && !d.nights_beyond);
	/* 26 May is day 146; a spread of ten to each side is one of 10.26 by the sample's formula. */
	ROW_NEAR("as the normal curve has it", d.frost, normal_over((145.5 - 126) / (10 * sqrt(20 / 19.))), 1e-9);
	ROW_INT("3 in 100 it is not under", d.verdict, d.frost < 0.03 ? VERDICT_PLANT : VERDICT_WAIT);
	frost_years(146, 5);
	ROW_INT("half the years", judged(0)->why, PLANTDAY_FROSTY);
	state.frost.at[FROSTDATE_32F].kind = FROSTDATE_NEVER;
	judged(0);
	ROW_NEAR("a place without frost", d.frost, 0, 0);
	ROW_INT("a place without frost", d.verdict, VERDICT_PLANT);
	state.frost.at[FROSTDATE_32F].kind = FROSTDATE_EVERY_MONTH;
	ROW_INT("every month: nobody can tell by dates", date_diff(judged(0)->frost_to, state.today), 5);
}
END_TEST

static const struct {
	const char *name;
	double soil_f, good_f; /* good: the crop's worthwhile soil; 0: not known */
	int verdict, why;
} soils[] = {
    {"62", 62, 0, VERDICT_PLANT, PLANTDAY_FIT},
    {"reads 62", 61.6, 0, VERDICT_PLANT, PLANTDAY_FIT},
    {"61", 61, 0, VERDICT_PLANT_COVERED, PLANTDAY_COLD_SOIL},
    {"60", 60, 0, VERDICT_PLANT_COVERED, PLANTDAY_COLD_SOIL},
    {"59", 59, 0, VERDICT_WAIT, PLANTDAY_COLD_SOIL},
    {"a crop content with 55", 55, 55, VERDICT_PLANT, PLANTDAY_FIT},
    {"54 is too cold for it", 54, 55, VERDICT_WAIT, PLANTDAY_COLD_SOIL},
    {"a crop that likes 70 to be sown is planted at 62", 62, 70, VERDICT_PLANT, PLANTDAY_FIT},
    {"not known", (double)NAN, 0, VERDICT_PLANT, PLANTDAY_FIT},
};

START_TEST(soil_at_eight)
{
	steady(70);
	bed_soil(&state, soils[_i].soil_f);
	garden.planting[0].figures.sow_soil_good_c = soils[_i].good_f > 0 ? bed_c(soils[_i].good_f) : (double)NAN;
	judged(0);
	ROW_INT(soils[_i].name, d.verdict, soils[_i].verdict);
	ROW_INT(soils[_i].name, d.why, soils[_i].why);
}
END_TEST

/* The bed's own reading goes before what is reckoned. */
START_TEST(own_reading)
{
	steady(70);
	bed_soil(&state, 58);
	state.planting[0].soil = (struct soil){bed_c(64), SOIL_READ, bed_day(-2)};
	ROW_INT("own", judged(0)->verdict, VERDICT_PLANT);
	ROW_NEAR("own", d.soil.c, bed_c(64), 1e-9);
	state.soil_c[STATE_NIGHTS_BEFORE] = bed_c(54);
	ROW_NEAR("cooled since", judged(0)->soil.c, bed_c(60), 1e-9);
}
END_TEST

/* Beyond the hours the soil is that of the last day they reach, for a week. */
START_TEST(soil_beyond_the_hours)
{
	steady(70);
	for (int i = 3; i < STATE_AHEAD; i++)
		state.soil_c[STATE_NIGHTS_BEFORE + i] = (double)NAN;
	for (int i = 0; i < 3; i++)
		state.soil_c[STATE_NIGHTS_BEFORE + i] = bed_c(60 + i);
	ROW_NEAR("within", judged(1)->soil.c, bed_c(61), 1e-9);
	ROW_TRUE("within", !d.soil_earlier);
	ROW_NEAR("a week on", judged(9)->soil.c, bed_c(62), 1e-9);
	ROW_TRUE("a week on", d.soil_earlier);
	ROW_TRUE("later", isnan(judged(10)->soil.c));
	state.planting[0].soil = (struct soil){bed_c(65), SOIL_READ, bed_day(0)};
	ROW_NEAR("a reading, warmed as far as is known", judged(9)->soil.c, bed_c(67), 1e-9);
}
END_TEST

/* Nights at 52: under the line, over the slow one. */
static const struct {
	const char *name;
	int frost_ago; /* days since the date that one spring in ten has frost beyond; 0: no years are known */
	double soil_f;
	int verdict;
	bool lenient;
} mild[] = {
    {"no years", 0, 66, VERDICT_PLANT_COVERED, false},
    {"nine days after", 9, 66, VERDICT_PLANT_COVERED, false},
    {"eleven days after", 11, 66, VERDICT_PLANT, true},
    {"soil of 64", 11, 64, VERDICT_PLANT_COVERED, false},
    {"soil of 65", 11, 65, VERDICT_PLANT, true},
    {"soil not known", 11, (double)NAN, VERDICT_PLANT_COVERED, false},
};

START_TEST(late_and_warm)
{
	steady(52);
	bed_soil(&state, mild[_i].soil_f);
	if (mild[_i].frost_ago > 0) {
		double spread = 2 * sqrt(20 / 19.);
		frost_years(139 - mild[_i].frost_ago - spread * normal_quantile(0.9), 2); /* 19 May is day 139 */
	}
	judged(0);
	ROW_INT(mild[_i].name, d.verdict, mild[_i].verdict);
	ROW_INT(mild[_i].name, d.lenient, mild[_i].lenient);
	ROW_NEAR(mild[_i].name, d.line_c, bed_c(mild[_i].lenient ? 50 : 60), 1e-9);
}
END_TEST

START_TEST(gusts)
{
	steady(52);
	state.day[0].gust_ms = 9;
	ROW_INT("a cover is torn", judged(0)->verdict, VERDICT_WAIT);
	ROW_INT("a cover is torn", d.why, PLANTDAY_WINDY);
	state.day[0].gust_ms = 8.9;
	ROW_INT("less wind", judged(0)->verdict, VERDICT_PLANT_COVERED);
	steady(65);
	state.day[0].gust_ms = 20;
	ROW_INT("without a cover nothing is torn", judged(0)->verdict, VERDICT_PLANT);
}
END_TEST

START_TEST(forecasts_age_and_plants_too)
{
	steady(65);
	state.forecast.trust = TRUST_AGED;
	ROW_INT("aged, today", judged(0)->why, PLANTDAY_TOO_OLD);
	ROW_INT("aged, a later day", judged(1)->verdict, VERDICT_PLANT);
	state.forecast.trust = TRUST_OLD;
	ROW_INT("old, a later day", judged(1)->why, PLANTDAY_TOO_OLD);
	ROW_INT("old, a later day", d.verdict, VERDICT_WAIT);
	state.forecast.trust = TRUST_FULL;
	state.planting[0].age_days = 18;
	ROW_INT("young", judged(2)->why, PLANTDAY_YOUNG);
	ROW_INT("old enough", judged(3)->verdict, VERDICT_PLANT);
}
END_TEST

/* 0: nobody can tell; the night has been seen at the number under `seen`, or not at all (0). */
static const struct {
	const char *name;
	double bed_f[5], seen_f;
	int verdict, why, unknown;
} holes[] = {
    {"one that could stall", {65, 65, 65, 65, 0}, 0, VERDICT_WAIT, PLANTDAY_UNTOLD, 1},
    {"none known", {0}, 0, VERDICT_WAIT, PLANTDAY_UNTOLD, 5},
    {"seen cold enough", {65, 65, 65, 65, 0}, 44, VERDICT_WAIT, PLANTDAY_STALLING, 1},
    {"seen warm", {65, 65, 65, 65, 0}, 61, VERDICT_WAIT, PLANTDAY_UNTOLD, 1},
    {"too cold whatever comes", {40, 40, 65, 65, 0}, 0, VERDICT_WAIT, PLANTDAY_COLD, 1},
};

START_TEST(what_nobody_can_tell)
{
	steady(65);
	for (int i = 0; i < 5; i++)
		if (holes[_i].bed_f[i] > 0)
			expect(i, holes[_i].bed_f[i], 65, 0, 0);
		else
			outlook_by_years(NULL, bed_day(i), &state.outlook[i]);
	if (holes[_i].seen_f > 0)
		state.bedlow[STATE_NIGHTS_BEFORE + 4][0].bed_c = bed_c(holes[_i].seen_f);
	judged(0);
	ROW_INT(holes[_i].name, d.verdict, holes[_i].verdict);
	ROW_INT(holes[_i].name, d.why, holes[_i].why);
	ROW_INT(holes[_i].name, d.unknown, holes[_i].unknown);
}
END_TEST

/* Years of the station: 15 C on all mornings, give or take. */
static void warm_years(void)
{
	static struct station_day day[10 * 366];
	size_t n = 0;
	struct date on, end;
	ck_assert(date_of(2016, 1, 1, &on) && date_of(2026, 1, 1, &end));
	for (; date_diff(end, on) > 0; on = date_add(on, 1)) {
		day[n] = (struct station_day){.date = on, .tmin_c = 17 + (on.n % 2 ? 1 : -1), .tmax_c = 25};
		memcpy(day[n++].station, "S", 2);
	}
	climate_of(day, n, "S", &state.climate);
	frostdate_of(day, n, "S", false, &state.frost);
}

START_TEST(beyond_the_forecast)
{
	warm_years();
	steady(65);
	judged(14);
	ROW_TRUE("two nights are told, three by the years", d.nights_beyond && d.unknown == 0);
	ROW_NEAR("in the bed", d.bed[4].low_c, 17 - 0.7, 0.02);
	ROW_INT("years without frost", d.verdict, VERDICT_PLANT);
	state.climate = (struct climate){0};
	ROW_INT("without years", judged(14)->why, PLANTDAY_UNTOLD);
	ROW_INT("without years", d.unknown, 3);
}
END_TEST

/* Chance of four of five independent nights by the binomial, out of the published chance of one: lows of 11, spread
 * 1.5, line 10 C (case B: 0.747507). */
START_TEST(four_of_five)
{
	const double p = 0.747507;
	garden.units = UNIT_METRIC;
	garden.planting[0].figures.night_line_c = 10.5; /* reads so from 10 on */
	garden.planting[0].figures.slow_c = 10.5;
	for (int i = 0; i < STATE_AHEAD; i++)
		expect(i, 11 * 1.8 + 32, 70, 1.5, 0);
	ROW_NEAR("4 of 5", judged(0)->hold, 5 * pow(p, 4) * (1 - p) + pow(p, 5), 2e-6);
	ROW_NEAR("nights under", d.under, 5 * (1 - p), 5e-6);
}
END_TEST

static unsigned lot(unsigned *seed, unsigned of)
{
	*seed = *seed * 1664525u + 1013904223u;
	return (*seed >> 16) % of;
}

static void some_outlook(unsigned *seed)
{
	for (int i = 0; i < STATE_AHEAD; i++) {
		double bed_f = 40 + lot(seed, 30);
		expect(i, bed_f, bed_f - lot(seed, 5), 0.5 + lot(seed, 30) / 10.0, lot(seed, 9) / 10.0);
		if (lot(seed, 12) == 0)
			outlook_by_years(NULL, bed_day(i), &state.outlook[i]);
	}
	bed_soil(&state, 55 + lot(seed, 14));
	state.day[0].gust_ms = lot(seed, 4) == 0 ? 12 : 3;
	if (lot(seed, 2) == 0)
		frost_years(100 + lot(seed, 30), 4);
	else
		state.frost.at[FROSTDATE_32F].kind = FROSTDATE_TOO_FEW;
}

static void warm(unsigned *seed)
{
	if (lot(seed, 3) == 0) {
		for (int i = 0; i < STATE_NIGHTS; i++)
			state.soil_c[i] += 2;
		return;
	}
	struct outlook_night *o = &state.outlook[lot(seed, 6)];
	o->bed.low_c += 1.5;
	for (int k = 0; k < OUTLOOK_LEAVES; k++)
		o->leaf[k].low_c += 1.5;
}

/* The quick look never passes over a day of PLANT. */
START_TEST(quick_look)
{
	unsigned seed = 11;
	int plants = 0, passed = 0;
	for (int round = 0; round < 800; round++) {
		some_outlook(&seed);
		if (round % 3 != 0)
			for (int i = 0; i < 6; i++)
				expect(i, 58 + lot(&seed, 12), 55 + lot(&seed, 12), 1 + lot(&seed, 20) / 10.0, 0.4);
		bool plant = judged(1)->verdict == VERDICT_PLANT, never = plantday_surely_not(&garden, &state, 0, 1);
		ck_assert_msg(!plant || !never, "round %d", round);
		plants += plant;
		passed += never;
	}
	ck_assert_int_gt(plants, 30);
	ck_assert_int_gt(passed, 200);
}
END_TEST

/* Verdicts stand in the order from the best to the worst. */
START_TEST(warmer_is_never_worse)
{
	unsigned seed = 7;
	int moved = 0;
	for (int round = 0; round < 800; round++) {
		some_outlook(&seed);
		int was = (int)judged(0)->verdict;
		for (int step = 0; step < 3; step++) {
			warm(&seed);
			int now = (int)judged(0)->verdict;
			ck_assert_msg(now <= was, "round %d: %d became %d", round, was, now);
			moved += now < was;
			was = now;
		}
	}
	ck_assert_int_gt(moved, 20);
}
END_TEST

START_TEST(weekends)
{
	/* 19 May 2026 is a Tuesday. */
	static const struct {
		const char *name;
		int day, n, first;
	} row[] = {
	    {"Tuesday", 0, 2, 4}, {"Friday", 3, 2, 1}, {"Saturday", 4, 2, 0}, {"Sunday", 5, 1, 0}, {"Monday", 6, 2, 5}};
	for (size_t i = 0; i < sizeof row / sizeof *row; i++) {
		int ahead[2];
		ROW_INT(row[i].name, plantday_weekend(bed_day(row[i].day), ahead), row[i].n);
		ROW_INT(row[i].name, ahead[0], row[i].first);
	}
}
END_TEST

START_TEST(the_better_day)
{
	struct plantday a = {.day = bed_day(1), .verdict = VERDICT_PLANT_COVERED, .stall = 0.2}, b = a;
	b.day = bed_day(2);
	ROW_TRUE("the earlier", plantday_better(&a, &b) && !plantday_better(&b, &a));
	b.stall = 0.1;
	ROW_TRUE("the less likely to stall", plantday_better(&b, &a) && !plantday_better(&a, &b));
	a.verdict = VERDICT_PLANT;
	ROW_TRUE("by verdict", plantday_better(&a, &b) && !plantday_better(&b, &a));
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("plantday");
	TCase *t = tcase_create("plantday");
	tcase_add_checked_fixture(t, setup, NULL);
	tcase_add_loop_test(t, nights_that_hold, 0, sizeof holds / sizeof *holds);
	tcase_add_loop_test(t, a_night_that_stalls, 0, sizeof stalls / sizeof *stalls);
	tcase_add_loop_test(t, a_frost, 0, sizeof frosts / sizeof *frosts);
	tcase_add_test(t, frost_beyond_the_forecast);
	tcase_add_loop_test(t, soil_at_eight, 0, sizeof soils / sizeof *soils);
	tcase_add_test(t, own_reading);
	tcase_add_test(t, soil_beyond_the_hours);
	tcase_add_loop_test(t, late_and_warm, 0, sizeof mild / sizeof *mild);
	tcase_add_test(t, gusts);
	tcase_add_test(t, forecasts_age_and_plants_too);
	tcase_add_loop_test(t, what_nobody_can_tell, 0, sizeof holes / sizeof *holes);
	tcase_add_test(t, beyond_the_forecast);
	tcase_add_test(t, four_of_five);
	tcase_add_test(t, quick_look);
	tcase_add_test(t, warmer_is_never_worse);
	tcase_add_test(t, weekends);
	tcase_add_test(t, the_better_day);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
