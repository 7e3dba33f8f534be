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
	for (int i = 0; i < STATE_NIGHTS; i++)
		before.night[i].evening = date_add(before.night[i].evening, -1);
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
	advice_all(&garden, &now, &today);
	yesterday(before_f);
	advice_all(&garden, &before, &said);
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
	double was[NIGHTS], is[NIGHTS];
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
    {"rose by 2 F: within the band", {50, 50, 34, 50, 50}, {50, 36, 50, 50}, false, 0, CHANGE_NIGHT, 0},
    {"rose out of sight and over the line", {50, 34, 50, 50, 50}, {50, 50, 50, 50}, false, 1, CHANGE_COVER_OFF, 0},
    {"a night nobody can judge any more", {50, 50, 34, 50, 50}, {50, NONE, 50, 50}, false, 1, CHANGE_COVER_LOST, 1},
    {"tonight, too", {50, 34, 50, 50, 50}, {NONE, 50, 50, 50}, false, 1, CHANGE_COVER_LOST, 0},
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
		/* What moved is the forecast; what was covered for was the low expected of it. */
		bool moved = nights[_i].kind == CHANGE_NIGHT;
		int night = nights[_i].night;
		double was_f = nights[_i].was[night + 1], now_f = nights[_i].is[night];
		double was_c = moved ? bed_c(was_f) : bed_expected(night + 1, was_f);
		double now_c = moved ? bed_c(now_f) : bed_expected(night, now_f);
		ROW_NEAR(row, changes.at[0].was_c, was_c, 1e-9);
		ROW_TRUE(row, isnan(now_c) ? isnan(changes.at[0].now_c) : fabs(changes.at[0].now_c - now_c) < 1e-9);
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
    {"a day is named", {50, 50, 50, 68, 68, 68, NONE}, {50, 50, 68, 68, 68, 68, 68}, true, 0, CHANGE_DATE},
    {"the same day again", {50, 50, 50, 68, 68, 68, 68, 68}, {50, 50, 68, 68, 68, 68, 68}, false, 0, CHANGE_DATE},
    {"a day later", {50, 50, 50, 68, 68, 68, 68, 68, 68}, {50, 50, 50, 68, 68, 68, 68, 68}, false, 0, CHANGE_DATE},
    {"two days later", {50, 50, 50, 68, 68, 68, 68, 68, 68}, {50, 50, 50, 50, 68, 68, 68, 68}, true, 1, CHANGE_DATE},
    {"the day is gone", {50, 50, 50, 68, 68, 68, 68, 68}, {50, 50, 50, 68, 50, 68, 50}, true, 1, CHANGE_DATE},
    {"a day sooner", {50, 50, 50, 50, 68, 68, 68, 68, 68}, {50, 50, 68, 68, 68, 68, 68, 68}, false, 0, CHANGE_DATE},
    {"two days sooner",
     {50, 50, 50, 50, 50, 70, 70, 70, 70, 70},
     {50, 50, 50, 70, 70, 70, 70, 70},
     true,
     1,
     CHANGE_DATE},
    {"due today, and a day later now: within the band, but it was a promise",
     {50, 50, 68, 68, 68, 68, 68},
     {50, 50, 68, 68, 68, 68, 68},
     true,
     1,
     CHANGE_DATE},
    {"PLANT a day sooner", {50, 50, 50, 68, 68, 68, 68, 68}, {68, 68, 68, 68, 68, 68}, true, 0, CHANGE_VERDICT},
    {"PLANT that was nowhere in sight", {50, 50, 50, 50, 50, 50}, {68, 68, 68, 68, 68}, true, 0, CHANGE_VERDICT},
    {"PLANT again", {68, 68, 68, 68, 68, 68}, {68, 68, 68, 68, 68}, true, 0, CHANGE_DATE},
    {"PLANT turned WAIT", {68, 68, 68, 68, 68, 68}, {68, 48, 42, 48, 68}, true, 1, CHANGE_VERDICT},
    {"PLANT on the day that was named", {50, 50, 68, 68, 68, 68}, {68, 68, 68, 68, 68}, true, 0, CHANGE_VERDICT},
    {"PLANT two days sooner", {50, 50, 50, 50, 68, 68, 68, 68}, {68, 68, 68, 68, 68, 68, 68}, true, 1, CHANGE_VERDICT},
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

/* What has not changed since Thursday is told again on Friday, but of a plant that is too young for any weekend. */
START_TEST(weekend)
{
	static const double cold[NIGHTS] = {50, 50, 50, 50, 50, NONE};
	garden_with("");
	mark(cold, cold);
	ck_assert(!today.at[0].news);
	for (int day = 0; day < 7; day++) {
		now.today = bed_day(day);
		news_mark(&today, &now, &said, &before, &changes);
		ROW_TRUE("Friday alone", today.at[0].news == (day == 3));
	}
	now.today = bed_day(3);
	advice_step(&today.at[0], STEP_AGE, 10, date_none());
	news_mark(&today, &now, &said, &before, &changes);
	ck_assert(!today.at[0].news);
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
	advice_all(&garden, &now, &today);
	yesterday(was);
	advice_all(&garden, &before, &said);
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
	advice_all(&garden, &now, &today);
	said.n = 0;
	news_mark(&today, &now, &said, NULL, &changes);
	ck_assert_uint_eq(today.n, 2);
	ck_assert(today.at[0].news && today.at[1].news);
	ck_assert_uint_eq(changes.n, 0);
}
END_TEST

/* By each part of the key in turn: decision, planting, day and verdict. */
START_TEST(key)
{
	bed_crops(&crops);
	bed_garden(&garden, UNIT_US);
	bed_planting(&garden, &crops, "a", "gourdlet", "2026-04-10", "2026-05-01");
	bed_planting(&garden, &crops, "b", "gourdlet", "2026-04-10", "2026-05-17");
	static const double was[NIGHTS] = {50, 34, 37, 50, 50}, is[NIGHTS] = {34, 34, 50, 50};
	mark(is, was);
	/* Yesterday: today's night for both, tomorrow's for b, which is just planted: less than 1 in 10. */
	for (size_t i = 0; i < today.n; i++) {
		const struct advice *a = &today.at[i];
		bool tonight = date_diff(a->day, now.today) == 0;
		ck_assert_int_eq(a->verdict, VERDICT_COVER);
		ck_assert_int_eq(a->news, !tonight && a->planting == 0);
	}
	ck_assert_uint_eq(today.n, 4);
	/* LOOK instead of the COVER of the same night is news. */
	static const double unknown[NIGHTS] = {NONE, 50, 50, 50};
	mark(unknown, was);
	ck_assert_int_eq(today.at[0].verdict, VERDICT_LOOK);
	ck_assert(today.at[0].news);
}
END_TEST

/* A night of which hours are missing: its fall is certain, its rise is not. */
START_TEST(nights_with_holes)
{
	static const double was[NIGHTS] = {50, 30, 50, 50, 50}, is[NIGHTS] = {NONE, 50, 50, 50};
	garden_with("2026-05-01");
	for (int i = 0; i < 2; i++) {
		yesterday(was);
		advice_all(&garden, &before, &said);
		bed_state(&garden, &now);
		bed_nights(&now, 0, is, NIGHTS);
		bed_seen(&now, 0, 9, i == 0 ? 35 : 25);
		advice_all(&garden, &now, &today);
		news_mark(&today, &now, &said, &before, &changes);
		ck_assert_int_eq(today.at[0].verdict, VERDICT_COVER);
		ck_assert_uint_eq(changes.n, (size_t)i);
	}
	ck_assert_int_eq(changes.at[0].kind, CHANGE_NIGHT);
}
END_TEST

/* An old forecast takes no cover off: tonight is to be looked at, and that is owned. */
START_TEST(no_all_clear_from_an_old_forecast)
{
	static const double was[NIGHTS] = {50, 34, 50, 50, 50}, is[NIGHTS] = {45, 50, 50, 50};
	garden_with("2026-05-01");
	yesterday(was);
	advice_all(&garden, &before, &said);
	bed_state(&garden, &now);
	bed_nights(&now, 0, is, NIGHTS);
	now.forecast.trust = TRUST_AGED;
	advice_all(&garden, &now, &today);
	news_mark(&today, &now, &said, &before, &changes);
	ck_assert_uint_eq(changes.n, 1);
	ck_assert_int_eq(changes.at[0].kind, CHANGE_COVER_LOST);
}
END_TEST

/* Too old for COVER: every night that the morning before covered is lost, also those after tonight. */
START_TEST(lost_to_age)
{
	static const double was[NIGHTS] = {50, 50, 34, 50, 50}, is[NIGHTS] = {50, 50, 50, 50};
	for (int age_h = 35; age_h <= 37; age_h += 2) {
		garden_with("2026-05-01");
		yesterday(was);
		advice_all(&garden, &before, &said);
		bed_state(&garden, &now);
		bed_nights(&now, 0, is, NIGHTS);
		bed_age(&now, age_h * HOUR_S);
		advice_all(&garden, &now, &today);
		news_mark(&today, &now, &said, &before, &changes);
		ck_assert_uint_eq(changes.n, 1);
		ROW_INT("tomorrow night", date_diff(changes.at[0].night, bed_day(0)), 1);
		ROW_INT("tomorrow night", changes.at[0].kind, age_h > 36 ? CHANGE_COVER_LOST : CHANGE_COVER_OFF);
	}
}
END_TEST

/* What has been taken in or has ended since is no contradiction. */
START_TEST(ended_since)
{
	static const double was[NIGHTS] = {50, 34, 50, 50, 50}, is[NIGHTS] = {50, 50, 50, 50};
	garden_with("2026-05-01");
	yesterday(was);
	advice_all(&garden, &before, &said);
	bed_state(&garden, &now);
	bed_nights(&now, 0, is, NIGHTS);
	now.planting[0].where = PLANTING_ENDED;
	advice_all(&garden, &now, &today);
	news_mark(&today, &now, &said, &before, &changes);
	ck_assert_uint_eq(changes.n, 0);
}
END_TEST

/* One sentence for all that it concerns, each named once; another day is another sentence. */
START_TEST(shared)
{
	bed_crops(&crops);
	bed_garden(&garden, UNIT_US);
	for (int i = 0; i < 4; i++) {
		size_t p = bed_planting(&garden, &crops, "a", "gourdlet", "2026-04-10", i < 2 ? "2026-05-01" : "");
		garden.planting[p].figures.night_line_c = bed_c(i == 3 ? 55 : 60);
	}
	static const double was[NIGHTS] = {50, 50, 34, 70, 70, 70, 70, 70, 70, 70, 70, 70};
	static const double is[NIGHTS] = {50, 40, 50, 50, 57, 57, 70, 70, 70, 70, 70, 70};
	mark(is, was);
	ck_assert_uint_eq(changes.n, 3);
	ck_assert_int_eq(changes.at[0].kind, CHANGE_COVER_OFF);
	ck_assert_uint_eq(changes.at[0].n, 2);
	ck_assert_uint_eq(changes.at[0].of[0], 0);
	ck_assert_uint_eq(changes.at[0].of[1], 1);
	for (size_t i = 1; i < 3; i++) {
		ck_assert_int_eq(changes.at[i].kind, CHANGE_DATE);
		ck_assert_uint_eq(changes.at[i].n, 1);
		ck_assert_uint_eq(changes.at[i].of[0], i + 1);
	}
}
END_TEST

/* The same nights a day later: nothing has changed, and only what is due today is said again as new. */
START_TEST(same_nights)
{
	unsigned seed = 99;
	for (int round = 0; round < 200; round++) {
		bed_crops(&crops);
		bed_garden(&garden, UNIT_US);
		for (int i = 0; i < 4; i++) {
			bed_planting(&garden, &crops, "a", i % 2 ? "gourdlet" : "redberry", "2026-04-10",
				     i < 2 ? "2026-04-20" : "");
		}
		double was[NIGHTS + 1];
		for (int i = 0; i < NIGHTS + 1; i++) {
			seed = seed * 1103515245u + 12345u;
			was[i] = 30 + (double)((seed >> 16) % 40);
		}
		mark(was + 1, was);
		for (size_t i = 0; i < changes.n; i++) {
			/* A day of planting may have been missed: only PLANT of yesterday turns to WAIT.  A night that
			 * is a day nearer is surer, so a small chance of frost may be gone. */
			if (changes.at[i].kind == CHANGE_COVER_OFF) {
				ROW_TRUE("surer", changes.at[i].now_c > changes.at[i].was_c && changes.at[i].was_c > 0);
				continue;
			}
			ROW_TRUE("same nights",
				 changes.at[i].kind == CHANGE_VERDICT || changes.at[i].kind == CHANGE_DATE);
			ROW_TRUE("same nights", !date_is(changes.at[i].night));
		}
		for (size_t i = 0; i < today.n; i++) {
			const struct advice *a = &today.at[i];
			ROW_TRUE("COVER repeats", a->verdict != VERDICT_COVER || !a->news ||
						      date_diff(a->day, now.today) == ADVICE_COVER_AHEAD - 1);
		}
	}
}
END_TEST

/* One night is one change, however many plantings it concerns; and the list is bounded. */
START_TEST(bounded)
{
	bed_crops(&crops);
	bed_garden(&garden, UNIT_US);
	for (int i = 0; i < GARDEN_PLANTINGS_MAX; i++)
		bed_planting(&garden, &crops, "a", "gourdlet", "2026-04-10", i % 2 ? "2026-05-01" : "");
	static const double was[NIGHTS] = {60, 60, 60, 60, 60, 60, 60, 60, 60, 60, 60, 60};
	static const double is[NIGHTS] = {34, 33, 32, 31, 60, 60, 60, 60, 60, 60, 60, 60};
	mark(is, was);
	ck_assert_uint_le(changes.n, CHANGES_MAX);
	ck_assert_uint_eq(changes.at[0].n, GARDEN_PLANTINGS_MAX / 2);
	size_t per_night[4] = {0};
	for (size_t i = 0; i < changes.n; i++)
		if (changes.at[i].kind == CHANGE_NIGHT)
			per_night[date_diff(changes.at[i].night, now.today)]++;
	for (int i = 0; i < 4; i++)
		ck_assert_uint_eq(per_night[i], 1);
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("news");
	TCase *t = tcase_create("news");
	tcase_add_loop_test(t, nights_to_cover, 0, sizeof nights / sizeof *nights);
	tcase_add_loop_test(t, planting_out, 0, sizeof plants / sizeof *plants);
	tcase_add_test(t, weekend);
	tcase_add_test(t, the_night_that_runs);
	tcase_add_test(t, no_morning_before);
	tcase_add_test(t, key);
	tcase_add_test(t, nights_with_holes);
	tcase_add_test(t, no_all_clear_from_an_old_forecast);
	tcase_add_test(t, lost_to_age);
	tcase_add_test(t, ended_since);
	tcase_add_test(t, shared);
	tcase_add_test(t, same_nights);
	tcase_add_test(t, bounded);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
