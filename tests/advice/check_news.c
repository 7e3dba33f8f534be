#include <string.h>

#include "advice/news.h"
#include "lib/bed.h"
#include "lib/harness.h"

#define NONE ((double)NAN)

enum { NIGHTS = 12 };

static struct crops crops;
static struct garden garden;
static struct season_state now, before;
static struct advice_list today, said;
static struct changes changes;

/* The state of the morning before: its nights are those of today's table, one further on. */
static void yesterday(const double *low_f)
{
	bed_state(&garden, &before);
	before.today = bed_day(-1);
	before.cut -= 86400;
	for (int i = 0; i < STATE_NIGHTS; i++) {
		before.night[i].evening = date_add(before.night[i].evening, -1);
	}
	for (size_t i = 0; i < before.plantings; i++) {
		before.planting[i].days--;
		before.planting[i].age_days--;
	}
	bed_nights(&before, 0, low_f, NIGHTS);
}

static void mark(const double *now_f, const double *before_f)
{
	bed_state(&garden, &now);
	bed_nights(&now, 0, now_f, NIGHTS);
	advice_all(&garden, &crops, &now, &today);
	yesterday(before_f);
	advice_all(&garden, &crops, &before, &said);
	news_mark(&today, &now, &said, &before, &changes);
}

static void garden_with(const char *planted)
{
	bed_crops(&crops);
	bed_garden(&garden, UNIT_US);
	bed_planting(&garden, &crops, "a", "gourdlet", "2026-04-10", planted);
}

/* Nights from yesterday's on; the first is over by today. */
static const struct {
	const char *name;
	double was[NIGHTS], is[NIGHTS - 1];
	bool news; /* of the first of today's COVER lines */
	int changes;
	enum change_kind kind;
	int night; /* days from today */
} nights[] = {
    {"nothing to cover", {50, 50, 50, 50, 50}, {50, 50, 50, 50}, false, 0, CHANGE_NIGHT, 0},
    {"the same night again", {50, 50, 34, 50, 50}, {50, 34, 50, 50}, false, 0, CHANGE_NIGHT, 0},
    {"fell by 2 F: within the band", {50, 50, 38, 50, 50}, {50, 36, 50, 50}, true, 0, CHANGE_NIGHT, 0},
    {"fell by 3 F", {50, 50, 38, 50, 50}, {50, 35, 50, 50}, true, 1, CHANGE_NIGHT, 1},
    {"fell by 5 F, was a COVER", {50, 50, 36, 50, 50}, {50, 31, 50, 50}, false, 1, CHANGE_NIGHT, 1},
    {"rose by 3 F, still a COVER", {50, 50, 30, 50, 50}, {50, 33, 50, 50}, false, 1, CHANGE_NIGHT, 1},
    {"no longer needed", {50, 50, 34, 50, 50}, {50, 41, 50, 50}, false, 1, CHANGE_COVER_OFF, 1},
    {"no longer needed by a hair: it is owned all the same",
     {50, 50, 36, 50, 50},
     {50, 37, 50, 50},
     false,
     1,
     CHANGE_COVER_OFF,
     1},
    {"last night's COVER is over", {34, 50, 50, 50, 50}, {50, 50, 50, 50}, false, 0, CHANGE_NIGHT, 0},
    {"a night that comes into sight", {50, 50, 50, 50, 34}, {50, 50, 50, 34}, true, 0, CHANGE_NIGHT, 0},
    {"a night nobody knew of", {50, 50, 50, 50, NONE}, {50, 50, 50, 34}, true, 0, CHANGE_NIGHT, 0},
};

START_TEST(nights_to_cover)
{
	const char *row = nights[_i].name;
	garden_with("2026-05-01");
	mark(nights[_i].is, nights[_i].was);
	for (size_t i = 0; i < today.n; i++) {
		if (today.at[i].verdict == VERDICT_COVER) {
			ROW_INT(row, today.at[i].news, nights[_i].news);
			break;
		}
	}
	ROW_INT(row, changes.n, nights[_i].changes);
	if (changes.n > 0) {
		ROW_INT(row, changes.at[0].kind, nights[_i].kind);
		ROW_INT(row, date_diff(changes.at[0].night, now.today), nights[_i].night);
		ROW_NEAR(row, changes.at[0].was_c, bed_c(nights[_i].was[nights[_i].night + 1]), 1e-9);
		ROW_NEAR(row, changes.at[0].now_c, bed_c(nights[_i].is[nights[_i].night]), 1e-9);
	}
}
END_TEST

/* Planting out: gourdlet's line is 60, stall 45.  Nights from yesterday's on. */
static const struct {
	const char *name;
	double was[NIGHTS], is[NIGHTS - 1];
	bool news;
	int changes;
	enum change_kind kind;
} plants[] = {
    {"WAIT without a day, twice", {50, 50, 50, 50, 50, 50}, {50, 50, 50, 50, 50}, false, 0, CHANGE_DATE},
    {"a day is named", {50, 50, 50, 60, 60, 60, NONE}, {50, 50, 60, 60, 60, 60, 60}, true, 0, CHANGE_DATE},
    {"the same day again", {50, 50, 50, 60, 60, 60, 60, 60}, {50, 50, 60, 60, 60, 60, 60}, false, 0, CHANGE_DATE},
    {"a day later", {50, 50, 50, 60, 60, 60, 60, 60, 60}, {50, 50, 50, 60, 60, 60, 60, 60}, false, 0, CHANGE_DATE},
    {"two days later", {50, 50, 50, 60, 60, 60, 60, 60, 60}, {50, 50, 50, 50, 60, 60, 60, 60}, true, 1, CHANGE_DATE},
    {"the day is gone", {50, 50, 50, 60, 60, 60, 60, 60}, {50, 50, 50, 60, 55, 60, 55}, true, 1, CHANGE_DATE},
    {"PLANT again", {60, 60, 60, 60, 60, 60}, {60, 60, 60, 60, 60}, true, 0, CHANGE_DATE},
    {"PLANT turned WAIT", {60, 60, 60, 60, 60, 60}, {60, 55, 44, 55, 60}, true, 1, CHANGE_VERDICT},
    {"PLANT on the day that was named", {50, 50, 60, 60, 60, 60}, {60, 60, 60, 60, 60}, true, 0, CHANGE_VERDICT},
    {"PLANT two days sooner", {50, 50, 50, 50, 60, 60, 60, 60}, {60, 60, 60, 60, 60, 60, 60}, true, 1, CHANGE_VERDICT},
};

START_TEST(planting_out)
{
	const char *row = plants[_i].name;
	garden_with("");
	double was[NIGHTS], is[NIGHTS];
	for (int i = 0; i < NIGHTS; i++) {
		was[i] = plants[_i].was[i] > 0 ? plants[_i].was[i] : NONE;
		is[i] = i < NIGHTS - 1 && plants[_i].is[i] > 0 ? plants[_i].is[i] : NONE;
	}
	mark(is, was);
	ck_assert_uint_eq(today.n, 1);
	ROW_INT(row, today.at[0].news, plants[_i].news);
	ROW_INT(row, changes.n, plants[_i].changes);
	if (changes.n > 0) {
		ROW_INT(row, changes.at[0].kind, plants[_i].kind);
		ROW_INT(row, changes.at[0].now, today.at[0].verdict);
		ROW_INT(row, changes.at[0].was, said.at[0].verdict);
	}
}
END_TEST

/* At five in the morning the night is not over, but its cover has been on since the evening: nothing changed. */
START_TEST(the_night_that_runs)
{
	static const double is[NIGHTS] = {50, 50, 50, 50}, was[NIGHTS] = {34, 50, 50, 50, 50}, last = 34;
	garden_with("2026-05-01");
	bed_state(&garden, &now);
	bed_nights(&now, -1, &last, 1);
	bed_nights(&now, 0, is, NIGHTS);
	now.night[STATE_NIGHTS_BEFORE - 1].phase = NIGHT_RUNNING;
	advice_all(&garden, &crops, &now, &today);
	yesterday(was);
	advice_all(&garden, &crops, &before, &said);
	ck_assert_uint_eq(said.n, 1);
	news_mark(&today, &now, &said, &before, &changes);
	ck_assert_uint_eq(changes.n, 0);
}
END_TEST

START_TEST(no_morning_before)
{
	garden_with("2026-05-01");
	bed_state(&garden, &now);
	bed_nights(&now, 0, (const double[]){34, 50, 33, 50}, 4);
	advice_all(&garden, &crops, &now, &today);
	said.n = 0;
	news_mark(&today, &now, &said, NULL, &changes);
	ck_assert_uint_eq(today.n, 2);
	ck_assert(today.at[0].news && today.at[1].news);
	ck_assert_uint_eq(changes.n, 0);
}
END_TEST

/* One night is one change, however many plantings it concerns; and the list is bounded. */
START_TEST(bounded)
{
	bed_crops(&crops);
	bed_garden(&garden, UNIT_US);
	for (int i = 0; i < GARDEN_PLANTINGS_MAX; i++) {
		bed_planting(&garden, &crops, "a", "gourdlet", "2026-04-10", i % 2 ? "2026-05-01" : "");
	}
	static const double was[NIGHTS] = {60, 60, 60, 60, 60, 60, 60, 60, 60, 60, 60, 60};
	static const double is[NIGHTS] = {34, 33, 32, 31, 60, 60, 60, 60, 60, 60, 60, 60};
	mark(is, was);
	ck_assert_uint_le(changes.n, CHANGES_MAX);
	size_t per_night[4] = {0};
	for (size_t i = 0; i < changes.n; i++) {
		if (changes.at[i].kind == CHANGE_NIGHT) {
			per_night[date_diff(changes.at[i].night, now.today)]++;
		}
	}
	for (int i = 0; i < 4; i++) {
		ck_assert_uint_eq(per_night[i], 1);
	}
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("news");
	TCase *t = tcase_create("news");
	tcase_add_loop_test(t, nights_to_cover, 0, sizeof nights / sizeof *nights);
	tcase_add_loop_test(t, planting_out, 0, sizeof plants / sizeof *plants);
	tcase_add_test(t, the_night_that_runs);
	tcase_add_test(t, no_morning_before);
	tcase_add_test(t, bounded);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
