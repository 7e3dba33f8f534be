#include <math.h>
#include <stdio.h>

#include "advice/cover.h"
#include "advice/letgo.h"
#include "base/instant.h"
#include "lib/bed.h"
#include "lib/harness.h"

/* What goes with a cover: whose chance counts, what it gains, what would tip it, wind, tubs, autumn, what lies. */

static struct crops crops;
static struct garden garden;
static struct season_state state;
static struct advice_list list;

#define NONE ((double)NAN)

static struct covers covers = {.n = 2,
			       .at = {{.name = "felt",
				       .gain_c = {2, 1, 3},
				       .spoilt_frac = 0.5,
				       .windy_ms = 4,
				       .sunless_frac = 0.3,
				       .off_by_s = NAN,
				       .off_over_c = 30,
				       .day = COVER_UNTIL_FLOWER},
				      {.name = "film",
				       .gain_c = {2, 0, 3},
				       .spoilt_frac = NAN,
				       .windy_ms = NAN,
				       .sunless_frac = NAN,
				       .off_by_s = 8 * HOUR_S,
				       .off_over_c = 15,
				       .day = COVER_NIGHT_ONLY}}};

static void setup(void)
{
	bed_crops(&crops);
	bed_garden(&garden, UNIT_US);
	bed_planting(&garden, &crops, "a", "gourdlet", "2026-04-10", "2026-05-01");
	garden.cover_table = &covers;
	list.n = 0;
}

static void begin(void)
{
	bed_state(&garden, &state);
}

static void nights(const double *low_f)
{
	bed_nights(&state, 0, low_f, 4);
}

/* The same state as many days later. */
static void shift(int days)
{
	state.today = date_add(state.today, days);
	state.cut += days * (int64_t)DAY_S;
	for (int i = 0; i < STATE_NIGHTS; i++)
		state.night[i].evening = date_add(state.night[i].evening, days);
	for (int i = 0; i < STATE_AHEAD; i++)
		state.day[i].date = date_add(state.day[i].date, days);
	for (int i = 0; i < STATE_HOURS_DAYS; i++) {
		state.hours[i].date = date_add(state.hours[i].date, days);
		state.hours[i].first += days * (int64_t)DAY_S;
	}
}

static void advise(void)
{
	list.n = 0;
	cover_advise(&garden, &state, 0, &list);
}

static double value(const struct advice *a, enum step_kind kind)
{
	return advice_step_of(a, kind, 0).value;
}

/*
 * Own chances.  Tonight at 34 F: 34.27 F expected, give or take 1.6 C, so 0.215 to be at 32 F or under; at 30 F 0.791.
 */
static const struct {
	const char *name;
	double cover_at, low_f;
	bool want;
} own[] = {
    {"the crop's 1 in 10", 0.1, 34, true},
    {"1 in 4 wanted", 0.25, 34, false},
    {"1 in 5 wanted", 0.2, 34, true},
    {"a gambler", 0.8, 30, false},
    {"nobody gave one: 1 in 10", NONE, 34, true},
};

START_TEST(own_chance)
{
	garden.planting[0].figures.cover_at = own[_i].cover_at;
	garden.planting[0].figures.cover_c = 0; /* leave it to the chance */
	begin();
	nights((const double[]){own[_i].low_f, 50, 50, 50});
	state.bedlow[STATE_NIGHTS_BEFORE][0].bed_c += 3;
	state.outlook[0].bed.low_c += 3;
	advise();
	ROW_INT(own[_i].name, (int)list.n, own[_i].want);
	if (own[_i].want && !isnan(own[_i].cover_at))
		ROW_NEAR(own[_i].name, value(&list.at[0], STEP_COVER_AT), own[_i].cover_at, 1e-12);
	if (own[_i].want)
		ROW_NEAR(own[_i].name, value(&list.at[0], STEP_FREEZE), 0.2153, 1e-4);
}
END_TEST

/* Whatever else: a colder forecast is never covered less, and its chance never smaller. */
START_TEST(colder_never_less)
{
	static const char *const planted[] = {"2026-05-01", "2026-05-12"};
	for (int p = 0; p < 2; p++)
		for (int units = UNIT_METRIC; units <= UNIT_US; units++)
			for (double under_k = 0; under_k < 3; under_k += 0.7) {
				size_t before = 0;
				double chance = 0;
				for (double f = 52; f > 24; f -= 0.4) {
					setup();
					garden.units = units;
					struct fault fault = {0};
					ck_assert_int_eq(date_parse(planted[p], &garden.planting[0].planted, &fault),
							 FAULT_NONE);
					begin();
					nights((const double[]){f, f, f, f});
					for (int i = 0; i < 4; i++)
						bed_clear(&state, i, 0.55 * under_k, under_k);
					advise();
					ck_assert_uint_ge(list.n, before);
					before = list.n;
					double now = list.n > 0 ? value(&list.at[0], STEP_FREEZE) : NONE;
					ck_assert(isnan(now) || now >= chance || list.at[0].day.n != state.today.n);
					chance = isnan(now) || list.at[0].day.n != state.today.n ? chance : now;
				}
				ck_assert_uint_eq(before, 4);
			}
}
END_TEST

/* On a settled plant a small chance counts less than on a new one: never the other way. */
START_TEST(the_new_are_covered_first)
{
	for (double f = 30; f < 46; f += 0.3) {
		setup();
		bed_planting(&garden, &crops, "new", "gourdlet", "2026-04-10", "2026-05-14");
		begin();
		nights((const double[]){f, f, f, f});
		advise();
		size_t settled = list.n;
		list.n = 0;
		cover_advise(&garden, &state, 1, &list);
		ck_assert_uint_ge(list.n, settled);
	}
}
END_TEST

/* 38 F, clear and calm: bed and leaf lie 0.8 and 2.3 K under it, all 0.15 K warmer by the prior. */
START_TEST(what_a_cover_gains)
{
	snprintf(garden.cover[garden.covers++], COVER_NAME_SIZE, "felt");
	begin();
	nights((const double[]){38, 50, 50, 50});
	bed_clear(&state, 0, 0.8, 2.3);
	advise();
	const struct advice *a = &list.at[0];
	double leaf_c = bed_expected(0, 38) - 2.3;
	ROW_NEAR("freeze", value(a, STEP_FREEZE), 0.5 * erfc(leaf_c / 1.6 / sqrt(2)), 1e-6);
	/* The felt's least, 1 K, and half of the 1.5 K that the leaf lies under the bed's air. */
	ROW_NEAR("gain", value(a, STEP_GAIN), 1.75, 1e-9);
	ROW_NEAR("covered", value(a, STEP_COVERED), 0.5 * erfc((leaf_c + 1.75) / 1.6 / sqrt(2)), 1e-6);
	ck_assert(value(a, STEP_COVERED) < value(a, STEP_FREEZE));
	ROW_NEAR("may stay", value(a, STEP_MAY_STAY), 30, 0);
	ck_assert(isnan(value(a, STEP_OFF)));
	/* Under cloud or in wind: 0.4 K under the air. */
	ROW_NEAR("tip", value(a, STEP_TIP_LEAF), bed_expected(0, 38) - 0.4, 1e-9);
	ck_assert(value(a, STEP_TIP_FREEZE) < 0.1);
	/* A hot day after it: off in the morning. */
	state.day[1].tmax_c = 31;
	advise();
	ck_assert(isnan(value(&list.at[0], STEP_MAY_STAY)));
	ROW_INT("off", (int64_t)value(&list.at[0], STEP_OFF), instant_at(bed_day(1), 10 * HOUR_S, -5 * HOUR_S));
}
END_TEST

/* What would not be enough is no tip; an overcast night has none. */
START_TEST(no_tip)
{
	begin();
	nights((const double[]){31, 50, 50, 50});
	bed_clear(&state, 0, 0.8, 2.3);
	advise();
	ck_assert(isnan(value(&list.at[0], STEP_TIP_LEAF)));
	nights((const double[]){35, 50, 50, 50});
	advise();
	ck_assert_uint_eq(list.n, 1);
	ck_assert(isnan(value(&list.at[0], STEP_TIP_LEAF)));
}
END_TEST

/* Cold that comes with wind: mean of the night at 10 m. */
static const struct {
	const char *name;
	double low_f, wind_ms;
	bool told, want;
} winds[] = {
    {"calm", 33, 1, true, false},
    {"windy", 33, 4, true, true},
    {"most of the wind is not forecast", 33, 6, false, false},
};

START_TEST(cold_wind)
{
	begin();
	nights((const double[]){winds[_i].low_f, 50, 50, 50});
	struct night *n = &state.night[STATE_NIGHTS_BEFORE];
	n->wind_ms = winds[_i].wind_ms;
	n->wind_known = winds[_i].told ? n->dark_hours : 1;
	advise();
	ROW_INT(winds[_i].name, !isnan(value(&list.at[0], STEP_COLD_WIND)), winds[_i].want);
}
END_TEST

/* Autumn, by the mean of the seven days after: 20 September is 124 days after 19 May. */
static const struct {
	const char *name;
	int days_on, order;
	const char *tub; /* "" none, "movable" or "heavy" */
	double after_f;  /* NaN: not known */
	enum verdict want;
	size_t n; /* advice on four nights of 33 F */
} falls[] = {
    {"spring: always", 0, 3, "", 50, VERDICT_COVER, 4},
    {"autumn, 58 F", 124, 3, "", 58, VERDICT_COVER, 4},
    {"autumn, 57 F: picked once, and that is that", 124, 3, "", 57, VERDICT_PICK, 1},
    {"in whole degrees", 124, 3, "", 57.6, VERDICT_COVER, 4},
    {"autumn, not known", 124, 3, "", NONE, VERDICT_COVER, 4},
    {"autumn, nothing that frost spoils", 124, 0, "", 50, VERDICT_COVER, 4},
    {"autumn, a tub that is carried", 124, 3, "movable", 50, VERDICT_CARRY_IN, 4},
    {"spring, a tub that is carried", 0, 3, "movable", 50, VERDICT_CARRY_IN, 4},
    {"autumn, a tub too heavy", 124, 3, "heavy", 50, VERDICT_PICK, 1},
};

START_TEST(cover_or_let_go)
{
	const char *row = falls[_i].name;
	struct planting *p = &garden.planting[0];
	p->figures.frost_order = falls[_i].order;
	if (falls[_i].tub[0] != '\0') {
		struct tub *t = &garden.tub[garden.tubs++];
		*t = (struct tub){.name = "patio", .movable = falls[_i].tub[0] == 'm'};
		snprintf(p->in, sizeof p->in, "patio");
	}
	begin();
	shift(falls[_i].days_on);
	nights((const double[]){33, 33, 33, 33});
	for (int i = 1; i < STATE_AHEAD; i++)
		state.day[i].tmean_c = bed_c(falls[_i].after_f);
	advise();
	ROW_INT(row, (int)list.n, (int)falls[_i].n);
	ROW_INT(row, list.at[0].verdict, falls[_i].want);
	ROW_INT(row, list.at[0].act_by == list.at[0].sunset - HOUR_S, true);
	bool told = !isnan(value(&list.at[0], STEP_WARM_AFTER));
	ROW_INT(row, told,
		falls[_i].days_on > 0 && falls[_i].order > 0 && !isnan(falls[_i].after_f) && falls[_i].tub[0] != 'm');
}
END_TEST

/* What lies: with which cover, since how many days, its flowers, today's high, the hour of the cut. */
static const struct {
	const char *name, *cover; /* "": nobody named one */
	int since, flower;        /* days before today; 99 never */
	double high_f;
	int cut_h;
	int want_h; /* 0: nothing is said */
} lying[] = {
    {"film, the morning after", "film", 1, 99, 70, 5, 8},
    {"film, put on today", "film", 0, 99, 70, 5, 0},
    {"film, third morning", "film", 3, 99, 70, 5, 8},
    {"film, then silence", "film", 4, 99, 70, 5, 0},
    {"film, after noon", "film", 1, 99, 70, 12, 0},
    {"felt may lie", "felt", 9, 99, 70, 5, 0},
    {"felt, in flower since today", "felt", 9, 0, 70, 5, 10},
    {"felt, in flower since three days: silence", "felt", 9, 3, 70, 5, 0},
    {"felt put on when it flowered long since", "felt", 1, 60, 70, 5, 10},
    {"felt on a hot day", "felt", 9, 99, 88, 5, 10},
    {"whatever it is", "", 1, 99, 70, 5, 8},
};

START_TEST(uncover)
{
	const char *row = lying[_i].name;
	if (lying[_i].cover[0] != '\0')
		snprintf(garden.cover[garden.covers++], COVER_NAME_SIZE, "%s", lying[_i].cover);
	begin();
	nights((const double[]){50, 50, 50, 50});
	bed_done(&state, 0, VERB_COVERED, -lying[_i].since, -lying[_i].since, 1);
	if (lying[_i].flower != 99)
		bed_done(&state, 0, VERB_FEMALE, -lying[_i].flower, -lying[_i].flower, 1);
	state.day[0].tmax_c = bed_c(lying[_i].high_f);
	state.cut = instant_at(state.today, lying[_i].cut_h * HOUR_S, -5 * HOUR_S);
	advise();
	ROW_INT(row, (int)list.n, lying[_i].want_h > 0);
	if (list.n == 0)
		return;
	ROW_INT(row, list.at[0].verdict, VERDICT_UNCOVER);
	ROW_INT(row, list.at[0].day.n, state.today.n);
	ROW_INT(row, list.at[0].act_by, instant_at(state.today, lying[_i].want_h * HOUR_S, -5 * HOUR_S));
	ROW_NEAR(row, value(&list.at[0], STEP_LIES), lying[_i].since, 0);
}
END_TEST

/* Beyond the forecast years may be known, but nobody covers by years. */
START_TEST(not_by_years)
{
	begin();
	nights((const double[]){50, NONE, NONE, NONE});
	struct outlook_night *o = &state.outlook[1];
	o->basis = OUTLOOK_YEARS;
	o->air = o->bed = o->leaf[0] = (struct runs_night){-2, 3, 0};
	advise();
	ck_assert_uint_eq(list.n, 0);
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("cover rules");
	TCase *t = tcase_create("cover rules");
	tcase_set_timeout(t, 30);
	tcase_add_checked_fixture(t, setup, NULL);
	tcase_add_loop_test(t, own_chance, 0, sizeof own / sizeof *own);
	tcase_add_test(t, colder_never_less);
	tcase_add_test(t, the_new_are_covered_first);
	tcase_add_test(t, what_a_cover_gains);
	tcase_add_test(t, no_tip);
	tcase_add_loop_test(t, cold_wind, 0, sizeof winds / sizeof *winds);
	tcase_add_loop_test(t, cover_or_let_go, 0, sizeof falls / sizeof *falls);
	tcase_add_loop_test(t, uncover, 0, sizeof lying / sizeof *lying);
	tcase_add_test(t, not_by_years);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
