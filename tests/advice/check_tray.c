#include <math.h>

#include "advice/tray.h"
#include "base/instant.h"
#include "lib/bed.h"
#include "lib/harness.h"

static struct crops crops;
static struct garden garden;
static struct season_state state;
static struct advice_list list;

/* "redberry" stays five to seven weeks in its tray, "gourdlet" three to five; both are up after six days at 20 C. */
static void setup(void)
{
	bed_crops(&crops);
	for (int i = 0; i < 2; i++) {
		crops.at[i].emerge_base_c = 10;
		crops.at[i].emerge_dd = 60;
		crops.at[i].tray_most_days = i == 0 ? 35 : 49;
	}
	crops.at[1].tray_days = 35;
	bed_garden(&garden, UNIT_US);
}

static void sown(const char *crop, int days_ago)
{
	garden.plantings = 0;
	bed_planting(&garden, &crops, "a", crop, "", "");
	garden.planting[0].sown = bed_day(-days_ago);
	bed_state(&garden, &state);
	list.n = 0;
}

static const struct advice *of(enum verdict v)
{
	tray_advise(&garden, &state, 0, &list);
	for (size_t i = 0; i < list.n; i++)
		if (list.at[i].decision == DECISION_TRAY && list.at[i].verdict == v)
			return &list.at[i];
	return NULL;
}

static int day_of_advice(const struct advice *a)
{
	return date_is(a->day) ? date_diff(a->day, bed_day(0)) : 9999;
}

static const struct {
	const char *name;
	double mat_c;
	int sown;
	enum verb told; /* yesterday; VERBS: nothing */
	bool off;
} heat[] = {
    {"no mat", (double)NAN, 6, VERBS, false}, {"the day before", 20, 5, VERBS, false},
    {"the likely day", 20, 6, VERBS, true},   {"the third", 20, 8, VERBS, true},
    {"the fourth", 20, 9, VERBS, false},      {"told earlier", 20, 4, VERB_UP, true},
};

START_TEST(heat_off)
{
	garden.heat_mat_c = heat[_i].mat_c;
	sown("gourdlet", heat[_i].sown);
	if (heat[_i].told != VERBS) {
		state.planting[0].stage.now = STAGE_UP;
		state.planting[0].stage.basis = STAGE_TOLD;
		state.planting[0].stage.up.likely = bed_day(-1);
	}
	const struct advice *a = of(VERDICT_HEAT_OFF);
	ROW_TRUE(heat[_i].name, (a != NULL) == heat[_i].off);
	if (a != NULL) {
		bool told = date_is(advice_step_of(a, STEP_UP, 0).date);
		ROW_TRUE(heat[_i].name, told == (heat[_i].told != VERBS));
	}
}
END_TEST

/* The true leaf is due sixteen days after sowing. */
static const struct {
	const char *name, *crop;
	int sown;
	enum verb done;
	bool pot;
	int day;
} pots[] = {
    {"before the leaf", "redberry", 15, VERBS, false, 0}, {"at the leaf", "redberry", 16, VERBS, true, 5},
    {"five days on", "redberry", 21, VERBS, true, 0},     {"later", "redberry", 22, VERBS, false, 0},
    {"done", "redberry", 17, VERB_POTTED_ON, false, 0},   {"sown in its pot", "gourdlet", 16, VERBS, false, 0},
};

START_TEST(pot_on)
{
	sown(pots[_i].crop, pots[_i].sown);
	if (pots[_i].done != VERBS)
		bed_done(&state, 0, pots[_i].done, -1, -1, 1);
	const struct advice *a = of(VERDICT_POT_ON);
	ROW_TRUE(pots[_i].name, (a != NULL) == pots[_i].pot);
	if (a != NULL) {
		ROW_INT(pots[_i].name, day_of_advice(a), pots[_i].day);
		ROW_TRUE(pots[_i].name, isnan(advice_step_of(a, STEP_TRAY_FULL, 0).value));
	}
}
END_TEST

/* Thirty-five days are all that its tray is good for. */
static const struct {
	const char *name;
	int sown;
	int goes_out; /* in so many days; 9999: no day is named */
	enum verb done;
	int done_ago;
	enum verdict verdict;
	int day;
} full[] = {
    {"four days left", 31, 9999, VERBS, 0, VERDICTS, 0},
    {"three", 32, 9999, VERBS, 0, VERDICT_FEED, 3},
    {"full", 35, 9999, VERBS, 0, VERDICT_FEED, 0},
    {"over", 36, 9999, VERBS, 0, VERDICT_POT_ON, 6},
    {"a week over", 42, 9999, VERBS, 0, VERDICT_POT_ON, 0},
    {"then silence", 43, 9999, VERBS, 0, VERDICTS, 0},
    {"goes out within the week", 36, 7, VERBS, 0, VERDICTS, 0},
    {"later than that", 36, 8, VERBS, 0, VERDICT_POT_ON, 6},
    {"fed", 33, 9999, VERB_FED, 13, VERDICTS, 0},
    {"fed too long ago", 33, 9999, VERB_FED, 14, VERDICT_FEED, 2},
    {"potted on", 36, 9999, VERB_POTTED_ON, 10, VERDICTS, 0},
    {"potted on, and full again", 38, 9999, VERB_POTTED_ON, 14, VERDICT_FEED, 0},
};

START_TEST(held_back)
{
	sown("gourdlet", full[_i].sown);
	if (full[_i].done != VERBS)
		bed_done(&state, 0, full[_i].done, -full[_i].done_ago, -full[_i].done_ago, 1);
	struct advice *out = advice_add(&list, DECISION_PLANT_OUT, VERDICT_WAIT, 0);
	if (full[_i].goes_out != 9999)
		out->day = bed_day(full[_i].goes_out);
	const struct advice *a = of(VERDICT_FEED);
	list.n = 1;
	const struct advice *pot = of(VERDICT_POT_ON);
	ROW_INT(full[_i].name, list.n, 1 + (full[_i].verdict != VERDICTS));
	ROW_TRUE(full[_i].name, (a != NULL) == (full[_i].verdict == VERDICT_FEED));
	ROW_TRUE(full[_i].name, (pot != NULL) == (full[_i].verdict == VERDICT_POT_ON));
	if (list.n > 1)
		ROW_INT(full[_i].name, day_of_advice(&list.at[1]), full[_i].day);
}
END_TEST

/* Cloud of today and the days after, tenths; -1: not told. */
static const struct {
	const char *name;
	int sown;
	int cloud[5];
	bool drier;
	int to;
} sky[] = {
    {"three grey days", 10, {9, 9, 9, 2, 2}, true, 2},
    {"five", 10, {9, 9, 9, 8, 10}, true, 4},
    {"two", 10, {9, 9, 2, 9, 9}, false, 0},
    {"not yet today", 10, {2, 9, 9, 9, 9}, false, 0},
    {"the third is not told", 10, {9, 9, -1, 9, 9}, false, 0},
    {"not up", 3, {9, 9, 9, 9, 9}, false, 0},
};

START_TEST(drier)
{
	sown("gourdlet", sky[_i].sown);
	for (int i = 0; i < 5; i++) {
		bool told = sky[_i].cloud[i] >= 0;
		state.day[i].cloud_known = told ? state.day[i].daylight_hours : 0;
		state.day[i].cloud_frac = told ? sky[_i].cloud[i] / 10.0 : (double)NAN;
	}
	const struct advice *a = of(VERDICT_DRIER);
	ROW_TRUE(sky[_i].name, (a != NULL) == sky[_i].drier);
	if (a != NULL)
		ROW_INT(sky[_i].name, date_diff(advice_step_of(a, STEP_GREY_DAYS, 0).date, bed_day(0)), sky[_i].to);
	bed_age(&state, 50 * HOUR_S);
	list.n = 0;
	ROW_TRUE("an old forecast tells of no spell", of(VERDICT_DRIER) == NULL);
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("tray");
	TCase *t = tcase_create("tray");
	tcase_add_checked_fixture(t, setup, NULL);
	tcase_add_loop_test(t, heat_off, 0, sizeof heat / sizeof *heat);
	tcase_add_loop_test(t, pot_on, 0, sizeof pots / sizeof *pots);
	tcase_add_loop_test(t, held_back, 0, sizeof full / sizeof *full);
	tcase_add_loop_test(t, drier, 0, sizeof sky / sizeof *sky);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
