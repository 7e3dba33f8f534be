#include <string.h>

#include "lib/harness.h"
#include "plant/stage.h"

static struct crop seed(double base_c, double sum_dd)
{
	struct crop c;
	memset(&c, 0, sizeof c);
	c.emerge_base_c = base_c;
	c.emerge_dd = sum_dd;
	return c;
}

static double fahrenheit(double f)
{
	return (f - 32) / 1.8;
}

/* Squash, whole days (practice: a week and a half at 65 F, under a week on a heat mat). */
static const struct {
	const char *name;
	double f;
	long days;
} practice[] = {
    {"squash at 65 F", 65, 10},
    {"squash at 68 F", 68, 8},
    {"squash at 77 F", 77, 5},
    {"squash at 86 F", 86, 4},
};

START_TEST(as_practice_has_it)
{
	struct crop squash = seed(11.5, 70);
	double c = fahrenheit(practice[_i].f);
	ROW_INT(practice[_i].name, lround(stage_emergence_days(&squash, c)), practice[_i].days);
	struct spread days = stage_emergence(&squash, &c, 1);
	ROW_INT(practice[_i].name, lround(days.likely), practice[_i].days);
}
END_TEST

/*
 * Days to emergence, seed half an inch deep: Harrington & Minges 1954 in Knott 1997; with the linear fits to these
 * rows.  A fit of rates is held against rates: a day in four is much, one in forty nothing.
 */
static const struct {
	const char *name;
	double base_c, sum_dd;
	double soil_c, days;
} harrington[] = {
    {"cucumber 15", 10.4, 59, 15, 13},  {"cucumber 20", 10.4, 59, 20, 6},   {"cucumber 25", 10.4, 59, 25, 4},
    {"cucumber 30", 10.4, 59, 30, 3},   {"muskmelon 20", 13.7, 48, 20, 8},  {"muskmelon 25", 13.7, 48, 25, 4},
    {"muskmelon 30", 13.7, 48, 30, 3},  {"squash 20", 15.9, 57, 20, 15},    {"squash 25", 15.9, 57, 25, 6},
    {"squash 30", 15.9, 57, 30, 4},     {"squash 35", 15.9, 57, 35, 3},     {"tomato 10", 7.5, 103, 10, 43},
    {"tomato 15", 7.5, 103, 15, 14},    {"tomato 20", 7.5, 103, 20, 8},     {"tomato 25", 7.5, 103, 25, 6},
    {"pepper 15", 10.5, 118, 15, 25},   {"pepper 20", 10.5, 118, 20, 13},   {"pepper 25", 10.5, 118, 25, 8},
    {"snap bean 15", 6.4, 144, 15, 16}, {"snap bean 20", 6.4, 144, 20, 11}, {"snap bean 25", 6.4, 144, 25, 8},
    {"snap bean 30", 6.4, 144, 30, 6},  {"sweet corn 10", 7.8, 74, 10, 22}, {"sweet corn 15", 7.8, 74, 15, 12},
    {"sweet corn 20", 7.8, 74, 20, 7},  {"sweet corn 25", 7.8, 74, 25, 4},
};

START_TEST(as_the_tables_have_it)
{
	struct crop c = seed(harrington[_i].base_c, harrington[_i].sum_dd);
	double days = stage_emergence_days(&c, harrington[_i].soil_c);
	ROW_NEAR(harrington[_i].name, 1 / days, 1 / harrington[_i].days, 0.026);
}
END_TEST

START_TEST(none_grows_in_the_cold)
{
	struct crop c = seed(10, 60), unknown = seed((double)NAN, (double)NAN);
	double cold = 10, warm = 20, missing = (double)NAN;
	ROW_TRUE("at its base", isnan(stage_emergence_days(&c, 10)));
	ROW_TRUE("under it", isnan(stage_emergence_days(&c, 4)));
	ROW_TRUE("not known", isnan(stage_emergence_days(&c, missing)));
	ROW_TRUE("crop without figures", isnan(stage_emergence_days(&unknown, 20)));
	ROW_TRUE("at its base, by days", isnan(stage_emergence(&c, &cold, 1).likely));
	ROW_TRUE("a day not known", isnan(stage_emergence(&c, &missing, 1).likely));
	ROW_TRUE("no day", isnan(stage_emergence(&c, &warm, 0).likely));
	ROW_TRUE("crop without figures, by days", isnan(stage_emergence(&unknown, &warm, 1).likely));
	ROW_TRUE("all of them",
		 isnan(stage_emergence(&unknown, &warm, 1).least) && isnan(stage_emergence(&unknown, &warm, 1).most));
}
END_TEST

/* Base 10, sum 60: 5 a day and then 10 a day. */
START_TEST(day_by_day)
{
	struct crop c = seed(10, 60);
	const double soil_c[] = {15, 15, 15, 15, 20, 20, 20, 20};
	struct spread days = stage_emergence(&c, soil_c, 8);
	ROW_NEAR("twenty in four days, forty in four more", days.likely, 8, 1e-12);
	ROW_NEAR("42 of 60", days.least, 6.2, 1e-12);
	ROW_NEAR("half as long again", days.most, 12, 1e-12);
	/* After the days the mean of the last five goes on: (15 + 15 + 20 + 20 + 20) / 5 is 18, 8 a day. */
	const double five[] = {15, 15, 20, 20, 20};
	ROW_NEAR("the pace goes on", stage_emergence(&c, five, 5).likely, 5 + 20.0 / 8, 1e-12);
	/* (-5 + 4 + 20) / 3 is under the base: nothing comes of it, though the last day gave ten. */
	const double frozen[] = {-5, 4, 20};
	ROW_TRUE("cold on the whole", isnan(stage_emergence(&c, frozen, 3).likely));
	const double thawed[] = {-5, 20, 20, 20, 20, 20, 20};
	ROW_NEAR("cold takes nothing back", stage_emergence(&c, thawed, 7).likely, 7, 1e-12);
}
END_TEST

/* Warmer soil never comes up later, and least, likely and most stay in order. */
START_TEST(warmer_is_never_later)
{
	struct crop c = seed(11.5, 70);
	double soil_c[20];
	for (int day = 0; day < 20; day++) {
		for (int i = 0; i < 20; i++)
			soil_c[i] = 12 + (i * 7) % 9;
		struct spread before = stage_emergence(&c, soil_c, 20);
		soil_c[day] += 3;
		struct spread after = stage_emergence(&c, soil_c, 20);
		ROW_TRUE("known", !isnan(before.likely));
		ROW_TRUE("least", after.least <= before.least);
		ROW_TRUE("likely", after.likely <= before.likely);
		ROW_TRUE("most", after.most <= before.most);
		ROW_TRUE("in order", after.least <= after.likely && after.likely < after.most);
	}
	double last = stage_emergence_days(&c, 11.6);
	for (double t = 11.7; t < 40; t += 0.1) {
		double days = stage_emergence_days(&c, t);
		ROW_TRUE("rising", days < last);
		last = days;
	}
}
END_TEST

START_TEST(until)
{
	struct spread sum = {475, 350, 650}, one = {475, (double)NAN, (double)NAN};
	struct spread days = stage_until(sum, 250, 15);
	ROW_NEAR("likely", days.likely, 15, 1e-12);
	ROW_NEAR("least", days.least, 100.0 / 15, 1e-12);
	ROW_NEAR("most", days.most, 400.0 / 15, 1e-12);
	ROW_TRUE("reached", stage_until(sum, 480, 15).likely < 0);
	ROW_TRUE("one number", !isnan(stage_until(one, 250, 15).likely) && isnan(stage_until(one, 250, 15).most));
	ROW_TRUE("no pace", isnan(stage_until(sum, 250, 0).likely));
	ROW_TRUE("pace not known", isnan(stage_until(sum, 250, (double)NAN).likely));
	ROW_TRUE("sum not known", isnan(stage_until(sum, (double)NAN, 15).likely));
}
END_TEST

START_TEST(words)
{
	for (int s = 0; s < STAGES; s++)
		for (int other = 0; other < s; other++)
			ROW_TRUE(stage_word((enum stage)s),
				 strcmp(stage_word((enum stage)s), stage_word((enum stage)other)) != 0);
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("stage");
	TCase *t = tcase_create("stage");
	tcase_add_loop_test(t, as_practice_has_it, 0, sizeof practice / sizeof *practice);
	tcase_add_loop_test(t, as_the_tables_have_it, 0, sizeof harrington / sizeof *harrington);
	tcase_add_test(t, none_grows_in_the_cold);
	tcase_add_test(t, day_by_day);
	tcase_add_test(t, warmer_is_never_later);
	tcase_add_test(t, until);
	tcase_add_test(t, words);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
