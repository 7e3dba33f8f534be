#include "physics/wetness.h"

#include "lib/harness.h"
#include "physics/leafday.h"

enum { SERIES_MAX = 32 };

#define COUNT(a) (sizeof(a) / sizeof *(a))

/* Verdicts out of a picture: '*' wet, '.' dry, '?' cannot tell. */
static size_t series(const char *picture, enum wetness wet[SERIES_MAX])
{
	size_t n = 0;
	for (; picture[n] != '\0' && n < SERIES_MAX; n++)
		wet[n] = picture[n] == '*' ? WETNESS_WET : picture[n] == '.' ? WETNESS_DRY : WETNESS_CANNOT_TELL;
	return n;
}

/* The day of leafday.h: wet hours by each rule, counted elsewhere. */
static const struct {
	const char *name;
	double line_frac;
	int wet_h;
} humid[] = {{"RH >= 90 % (Sentelhas et al. 2008)", WETNESS_HUMID_FRAC, 8}, {"RH >= 87 %", 0.87, 9}};

START_TEST(day_humid)
{
	int wet_h = 0;
	for (int h = 0; h < LEAFDAY_H; h++)
		wet_h += wetness_humid(leafday_rh[h] / 100, 0, humid[_i].line_frac) == WETNESS_WET;
	ROW_INT(humid[_i].name, wet_h, humid[_i].wet_h);
}
END_TEST

static const struct {
	const char *name;
	double onset_k, dryoff_k;
	int wet_h;
} two_lines[] = {{"2.0/3.8 K", WETNESS_ONSET_K, WETNESS_DRYOFF_K, 9}, {"1.8/2.2 K", 1.8, 2.2, 8}};

START_TEST(day_depression)
{
	int wet_h = 0;
	enum wetness now = WETNESS_DRY;
	for (int h = 0; h < LEAFDAY_H; h++) {
		double dew_c = humid_dew_point(leafday_rh[h] / 100 * humid_saturation(leafday_t[h]));
		now = wetness_depression(now, leafday_t[h] - dew_c, two_lines[_i].onset_k, two_lines[_i].dryoff_k);
		wet_h += now == WETNESS_WET;
	}
	ROW_INT(two_lines[_i].name, wet_h, two_lines[_i].wet_h);
}
END_TEST

/* What the two rules' lines mean to each other. */
static const struct {
	const char *name;
	double t_c, depression_k, rh_percent;
	double tolerance;
} same[] = {
    {"2.0 K at 15 C", 15, 2.0, 87.8, 0.05}, {"2.0 K at 20 C", 20, 2.0, 88.3, 0.05},
    {"2.0 K at 25 C", 25, 2.0, 88.7, 0.05}, {"3.8 K at 15 C", 15, 3.8, 78.0, 0.05},
    {"3.8 K at 20 C", 20, 3.8, 78.8, 0.05}, {"3.8 K at 25 C", 25, 3.8, 79.5, 0.05},
    {"90 % at 15 C", 15, 1.63, 90, 0.06},   {"90 % at 20 C", 20, 1.69, 90, 0.06},
    {"90 % at 25 C", 25, 1.76, 90, 0.06},
};

START_TEST(lines)
{
	double rh = 100 * humid_saturation(same[_i].t_c - same[_i].depression_k) / humid_saturation(same[_i].t_c);
	ROW_NEAR(same[_i].name, rh, same[_i].rh_percent, same[_i].tolerance);
}
END_TEST

static const struct {
	const char *name;
	double rh, rain;
	enum wetness want;
} hour[] = {
    {"humid", 0.95, 0, WETNESS_WET},
    {"dry", 0.5, 0, WETNESS_DRY},
    {"rain in dry air", 0.5, 0.2, WETNESS_WET},
    {"rain, humidity missing", NAN, 0.2, WETNESS_WET},
    {"humid, rain missing", 0.95, NAN, WETNESS_WET},
    {"dry air, rain missing", 0.5, NAN, WETNESS_CANNOT_TELL},
    {"no rain, humidity missing", NAN, 0, WETNESS_CANNOT_TELL},
    {"nothing known", NAN, NAN, WETNESS_CANNOT_TELL},
    {"dry air, rain under 0", 0.5, -1, WETNESS_CANNOT_TELL},
};

START_TEST(humid_hours)
{
	ROW_INT(hour[_i].name, wetness_humid(hour[_i].rh, hour[_i].rain, WETNESS_HUMID_FRAC), hour[_i].want);
}
END_TEST

static const struct {
	const char *name;
	enum wetness before;
	double k;
	enum wetness want;
} turn[] = {
    {"falls under the first", WETNESS_DRY, 1.9, WETNESS_WET},
    {"between, was dry", WETNESS_DRY, 3.0, WETNESS_DRY},
    {"between, was wet", WETNESS_WET, 3.0, WETNESS_WET},
    {"rises over the second", WETNESS_WET, 3.9, WETNESS_DRY},
    {"missing", WETNESS_WET, NAN, WETNESS_CANNOT_TELL},
    {"between after a gap", WETNESS_CANNOT_TELL, 3.0, WETNESS_CANNOT_TELL},
    {"wet after a gap", WETNESS_CANNOT_TELL, 1.0, WETNESS_WET},
    {"dry after a gap", WETNESS_CANNOT_TELL, 5.0, WETNESS_DRY},
};

START_TEST(turns)
{
	ROW_INT(turn[_i].name, wetness_depression(turn[_i].before, turn[_i].k, WETNESS_ONSET_K, WETNESS_DRYOFF_K),
		turn[_i].want);
}
END_TEST

/* Spells as start-end, with < or > where they are open. */
static const struct {
	const char *name, *picture;
	size_t spells;
	struct {
		size_t start, end;
		bool open_start, open_end;
	} want[3];
} runs[] = {
    {"none", "......", 0, {{0}}},
    {"one", "..***.", 1, {{2, 5, false, false}}},
    {"a single hour", "..*...", 1, {{2, 3, false, false}}},
    {"two", ".**.*.", 2, {{1, 3, false, false}, {4, 5, false, false}}},
    {"from the start", "**....", 1, {{0, 2, true, false}}},
    {"to the end", "....**", 1, {{4, 6, false, true}}},
    {"all of it", "******", 1, {{0, 6, true, true}}},
    {"beside hours that cannot be told", ".?**?.", 1, {{2, 4, true, true}}},
    {"cut by one", ".**?*.", 2, {{1, 3, false, true}, {4, 5, true, false}}},
    {"nothing told", "??????", 0, {{0}}},
    {"one hour in all", "*", 1, {{0, 1, true, true}}},
    {"no hours", "", 0, {{0}}},
};

START_TEST(spells)
{
	enum wetness wet[SERIES_MAX];
	double t_c[SERIES_MAX];
	size_t n = series(runs[_i].picture, wet), found = 0;
	struct wetness_spell spell = {0};
	const char *name = runs[_i].name;

	for (size_t i = 0; i < SERIES_MAX; i++)
		t_c[i] = 10 + (double)i;
	for (size_t from = 0; wetness_next(wet, t_c, n, from, &spell); from = spell.end, found++) {
		ROW_TRUE(name, found < runs[_i].spells);
		ROW_INT(name, spell.start, runs[_i].want[found].start);
		ROW_INT(name, spell.end, runs[_i].want[found].end);
		ROW_INT(name, spell.open_start, runs[_i].want[found].open_start);
		ROW_INT(name, spell.open_end, runs[_i].want[found].open_end);
		/* Of an even rise: the mean of first and last. */
		ROW_NEAR(name, spell.mean_c, (t_c[spell.start] + t_c[spell.end - 1]) / 2, 1e-12);
	}
	ROW_INT(name, found, runs[_i].spells);
}
END_TEST

START_TEST(spell_without_temperature)
{
	const enum wetness wet[] = {WETNESS_WET, WETNESS_WET, WETNESS_DRY};
	const double t_c[] = {10, NAN, 12};
	struct wetness_spell spell;
	ROW_TRUE("found", wetness_next(wet, t_c, 3, 0, &spell));
	ROW_TRUE("no mean out of half of it", isnan(spell.mean_c));
}
END_TEST

static const struct {
	const char *name, *balance, *fallback;
	struct wetness_night want;
} pair[] = {
    {"the same", "..****..", "..****..", {4, 4, 0, false}},
    {"three apart", "..****..", ".....*..", {4, 1, 0, false}},
    {"four apart", "..****..", "........", {4, 0, 0, true}},
    {"the other way", "........", "..****..", {0, 4, 0, true}},
    {"at other hours", "****....", "....****", {4, 4, 0, false}},
    {"three untold", "..**???.", "..****..", {2, 4, 3, true}},
    {"few untold", "..***?..", "..****..", {3, 4, 1, false}},
    {"no fallback", "..****..", "????????", {4, 0, 8, true}},
};

START_TEST(compare)
{
	enum wetness balance[SERIES_MAX], fallback[SERIES_MAX];
	size_t n = series(pair[_i].balance, balance);
	series(pair[_i].fallback, fallback);
	struct wetness_night night = wetness_compare(balance, fallback, n);
	ROW_INT(pair[_i].name, night.balance_h, pair[_i].want.balance_h);
	ROW_INT(pair[_i].name, night.fallback_h, pair[_i].want.fallback_h);
	ROW_INT(pair[_i].name, night.untold_h, pair[_i].want.untold_h);
	ROW_INT(pair[_i].name, night.uncertain, pair[_i].want.uncertain);
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("wetness");
	TCase *tc = tcase_create("wetness");
	tcase_add_loop_test(tc, day_humid, 0, COUNT(humid));
	tcase_add_loop_test(tc, day_depression, 0, COUNT(two_lines));
	tcase_add_loop_test(tc, lines, 0, COUNT(same));
	tcase_add_loop_test(tc, humid_hours, 0, COUNT(hour));
	tcase_add_loop_test(tc, turns, 0, COUNT(turn));
	tcase_add_loop_test(tc, spells, 0, COUNT(runs));
	tcase_add_test(tc, spell_without_temperature);
	tcase_add_loop_test(tc, compare, 0, COUNT(pair));
	suite_add_tcase(s, tc);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
