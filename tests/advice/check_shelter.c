#include <math.h>
#include <stdio.h>

#include "advice/shelter.h"
#include "base/instant.h"
#include "lib/bed.h"
#include "lib/harness.h"

static struct crops crops;
static struct garden garden;
static struct season_state state;

#define NONE ((double)NAN)

/* Invented covers: gains likely and least, what spoils them, when they come off. */
static struct covers covers = {
    .n = 5,
    .at = {
	{.name = "veil",
	 .gain_c = {1, 0, 2},
	 .spoilt_frac = 0.5,
	 .windy_ms = 4,
	 .sunless_frac = 0.3,
	 .off_by_s = NAN,
	 .off_over_c = 30,
	 .day = COVER_UNTIL_FLOWER},
	{.name = "felt",
	 .gain_c = {2, 1, 3},
	 .spoilt_frac = 0.5,
	 .windy_ms = 4,
	 .sunless_frac = 0.3,
	 .off_by_s = NAN,
	 .off_over_c = 30,
	 .day = COVER_UNTIL_FLOWER},
	{.name = "film",
	 .gain_c = {2, 0.8, 3},
	 .spoilt_frac = NAN,
	 .windy_ms = NAN,
	 .sunless_frac = NAN,
	 .off_by_s = 8 * HOUR_S,
	 .off_over_c = 15,
	 .day = COVER_NIGHT_ONLY},
	{.name = "crate", .gain_c = {NAN, NAN, NAN}, .off_by_s = NAN, .off_over_c = NAN, .day = COVER_NIGHT_ONLY},
	{.name = "frame", .gain_c = {5, NAN, NAN}, .off_by_s = NAN, .off_over_c = NAN, .day = COVER_ALWAYS},
    }};

static void setup(void)
{
	bed_crops(&crops);
	bed_garden(&garden, UNIT_US);
	bed_planting(&garden, &crops, "a", "gourdlet", "2026-04-10", "2026-05-01");
	bed_state(&garden, &state);
	bed_nights(&state, 0, (const double[]){34, 34, 34, 34}, 4);
	garden.cover_table = &covers;
}

static void at_hand(const char *const name[3])
{
	for (size_t i = 0; i < 3 && name[i] != NULL; i++)
		snprintf(garden.cover[garden.covers++], COVER_NAME_SIZE, "%s", name[i]);
}

static void wind(double ms)
{
	struct night *n = &state.night[STATE_NIGHTS_BEFORE];
	n->wind_ms = ms;
	n->wind_known = n->dark_hours;
}

static const struct bed_weather sunny = {.low_f = 40, .high_f = 60, .sun = 1},
				dull = {.low_f = 40, .high_f = 50, .sun = 0.2};

/* Which cover is reckoned with, and what it gains the air for sure. */
static const struct {
	const char *name, *cover[3];
	double wind_ms;
	const struct bed_weather *day;
	const char *want; /* NULL: none */
	double gain_c;
} hands[] = {
    {"none", {NULL}, NONE, NULL, NULL, NONE},
    {"one the table does not know", {"net"}, NONE, NULL, NULL, NONE},
    {"the surest", {"veil", "felt", "film"}, NONE, NULL, "felt", 1},
    {"in wind half of it is left, but of film all", {"veil", "felt", "film"}, 5, NULL, "film", 0.8},
    {"at the wind's edge it is not spoilt", {"veil", "felt", "film"}, 4, NULL, "felt", 1},
    {"after a sunny day", {"felt"}, NONE, &sunny, "felt", 1},
    {"after a dull day", {"felt"}, NONE, &dull, "felt", 0.5},
    {"dull and windy is not halved twice", {"felt"}, 5, &dull, "felt", 0.5},
    {"measured goes before unmeasured", {"crate", "veil"}, NONE, NULL, "veil", 0},
    {"unmeasured is better than none", {"crate"}, NONE, NULL, "crate", NONE},
    {"of a gain without ends the likely one", {"frame", "felt"}, NONE, NULL, "frame", 5},
};

START_TEST(which_cover)
{
	const char *row = hands[_i].name;
	at_hand(hands[_i].cover);
	if (!isnan(hands[_i].wind_ms))
		wind(hands[_i].wind_ms);
	if (hands[_i].day != NULL)
		bed_hours(&state, 0, hands[_i].day);
	struct shelter s = shelter_at_hand(&garden, &state, 0, state.today);
	ROW_INT(row, s.cover != NULL, hands[_i].want != NULL);
	if (s.cover == NULL)
		return;
	ROW_STR(row, s.cover->name, hands[_i].want);
	ROW_STR(row, covers.at[s.kind].name, hands[_i].want);
	if (isnan(hands[_i].gain_c))
		ROW_TRUE(row, isnan(s.gain_c));
	else
		ROW_NEAR(row, s.gain_c, hands[_i].gain_c, 1e-12);
}
END_TEST

START_TEST(without_a_table)
{
	garden.cover_table = NULL;
	at_hand((const char *const[3]){"felt"});
	ck_assert_ptr_null(shelter_at_hand(&garden, &state, 0, state.today).cover);
}
END_TEST

/* On a leaf: the air's gain and half of what it lies under the air; nothing where the air gains nothing. */
START_TEST(of_a_leaf)
{
	ROW_NEAR("felt", shelter_leaf_gain(1, 1.2), 1.6, 1e-12);
	ROW_NEAR("an overcast night", shelter_leaf_gain(1, 0), 1, 1e-12);
	ROW_NEAR("no gain", shelter_leaf_gain(0, 1.2), 0, 1e-12);
	ROW_NEAR("colder in it", shelter_leaf_gain(-1, 1.2), -1, 1e-12);
}
END_TEST

/* Whether it may stay on through a day, and when it is off: hours of the clock on 20 May, 8 or 10. */
static const struct {
	const char *name, *cover; /* NULL: none */
	double high_f;
	bool flowers;
	double stays_to_c; /* NaN: it may not */
	int off_h;
} offs[] = {
    {"fleece before it flowers", "felt", 70, false, 30, 10},
    {"fleece when it flowers", "felt", 70, true, NONE, 10},
    {"film on a warm day", "film", 70, false, NONE, 8},
    {"film on a cold one", "film", 50, false, NONE, 10},
    {"film on a day that is not known", "film", NONE, false, NONE, 8},
    {"a crate", "crate", 70, false, NONE, 10},
    {"a frame", "frame", 70, true, INFINITY, 10},
    {"what nobody named may be plastic", NULL, 50, false, NONE, 8},
};

START_TEST(off_again)
{
	const char *row = offs[_i].name;
	const struct cover *c = offs[_i].cover != NULL ? cover_find(&covers, offs[_i].cover) : NULL;
	struct date day = bed_day(1);
	state.day[1].tmax_c = bed_c(offs[_i].high_f);
	if (offs[_i].flowers)
		bed_done(&state, 0, VERB_FEMALE, -3, -3, 1);
	double to_c = shelter_stays_to_c(c, &garden, &state, 0);
	if (isnan(offs[_i].stays_to_c))
		ROW_TRUE(row, isnan(to_c));
	else
		ROW_TRUE(row, !(to_c < offs[_i].stays_to_c) && !(to_c > offs[_i].stays_to_c));
	ROW_INT(row, shelter_off(c, &state, day), instant_at(day, offs[_i].off_h * HOUR_S, -5 * HOUR_S));
}
END_TEST

/* Flowers by the degree days where the diary has none. */
START_TEST(flowers_by_warmth)
{
	garden.planting[0].figures.female_planted_dd = (struct spread){275, 195, 340};
	state.planting[0].warmth.dd_c = 274;
	ck_assert(!isnan(shelter_stays_to_c(&covers.at[1], &garden, &state, 0)));
	state.planting[0].warmth.dd_c = 275;
	ck_assert(isnan(shelter_stays_to_c(&covers.at[1], &garden, &state, 0)));
}
END_TEST

/* What lies, by the diary: days against today, 99 never. */
static const struct {
	const char *name;
	int covered, uncovered, want;
} lies[] = {
    {"never covered", 99, 99, 99},
    {"covered yesterday", -1, 99, -1},
    {"and uncovered today", -1, 0, 99},
    {"uncovered, and covered again that evening", -1, -1, -1},
    {"covered after it was off", -1, -5, -1},
};

START_TEST(what_lies)
{
	if (lies[_i].covered != 99)
		bed_done(&state, 0, VERB_COVERED, lies[_i].covered, lies[_i].covered, 1);
	if (lies[_i].uncovered != 99)
		bed_done(&state, 0, VERB_UNCOVERED, lies[_i].uncovered, lies[_i].uncovered, 1);
	struct date since = shelter_lies(&state, 0);
	ROW_INT(lies[_i].name, date_is(since), lies[_i].want != 99);
	if (date_is(since))
		ROW_INT(lies[_i].name, date_diff(since, state.today), lies[_i].want);
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("shelter");
	TCase *t = tcase_create("shelter");
	tcase_add_checked_fixture(t, setup, NULL);
	tcase_add_loop_test(t, which_cover, 0, sizeof hands / sizeof *hands);
	tcase_add_test(t, without_a_table);
	tcase_add_test(t, of_a_leaf);
	tcase_add_loop_test(t, off_again, 0, sizeof offs / sizeof *offs);
	tcase_add_test(t, flowers_by_warmth);
	tcase_add_loop_test(t, what_lies, 0, sizeof lies / sizeof *lies);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
