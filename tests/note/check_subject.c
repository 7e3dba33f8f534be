#include "note/subject.h"

#include <string.h>

#include "base/instant.h"
#include "facts/letter.h"
#include "lib/morning.h"

/* What grows: o out since long, n new, t in the tray.  Nights from 19 May on, in F. */
static const struct {
	const char *name, *grows;
	double low[6];
	const char *want;
} rows[] = {
    {"nothing", "o", {55, 55, 55, 55, 55}, "nothing to do today (Test Lane, Tue 19 May)"},
    {"one act", "o", {32, 50, 50, 50, 50}, "COVER a today by 7 pm (Test Lane, Tue 19 May)"},
    {"a night to come", "o", {50, 32, 50, 50, 50}, "COVER a tomorrow by 7 pm (Test Lane, Tue 19 May)"},
    {"more than one", "ot", {32, 50, 50, 50, 50}, "COVER a today by 7 pm, and 1 more (Test Lane, Tue 19 May)"},
    {"wait", "t", {50, 50, 50, 50, 50}, "WAIT with a (Test Lane, Tue 19 May)"},
};

static void write(void)
{
	text_over(&morning.t, morning.mem, LETTER_SUBJECT_SIZE);
	subject_write(&morning.facts, &morning.t);
}

START_TEST(subjects)
{
	char name[2] = "a";
	for (const char *g = rows[_i].grows; *g != '\0'; g++, name[0]++)
		bed_planting(&morning.garden, &morning.crops, name, "gourdlet", "2026-04-10",
			     *g == 'o' ? "2026-05-01" : "");
	morning_compose(rows[_i].low, 5, NULL);
	write();
	ROW_STR(rows[_i].name, morning.t.at, rows[_i].want);
}
END_TEST

START_TEST(without_a_forecast)
{
	bed_planting(&morning.garden, &morning.crops, "a", "gourdlet", "2026-04-10", "2026-05-01");
	morning_compose(NULL, 0, NULL);
	morning.state.forecast.any = false;
	morning_again(false);
	write();
	ck_assert_msg(strncmp(morning.t.at, "LOOK at the sky at dusk", 23) == 0, "%s", morning.t.at);
}
END_TEST

/* However many plantings, and however long the garden's name: whole UTF-8, and the day at its end. */
START_TEST(long_ones_are_cut_in_the_act)
{
	static const char umlaut[] = "\xc3\xbc";
	for (int i = 0; i < 20; i++) {
		char name[] = "a-long-name-0";
		name[sizeof name - 2] = (char)('a' + i);
		bed_planting(&morning.garden, &morning.crops, name, "gourdlet", "2026-04-10", "2026-05-01");
	}
	struct text garden;
	text_over(&garden, morning.garden.name, sizeof morning.garden.name);
	while (!garden.full)
		text_add(&garden, umlaut);
	morning_compose((const double[]){32, 50, 50, 50, 50}, 5, NULL);
	write();
	ck_assert(!morning.t.full);
	ck_assert_ptr_nonnull(strstr(morning.t.at, "... ("));
	ck_assert_str_eq(morning.t.at + morning.t.len - 13, ", Tue 19 May)");
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("note/subject");
	TCase *t = tcase_create("subject");
	tcase_add_checked_fixture(t, morning_setup, NULL);
	tcase_add_loop_test(t, subjects, 0, (int)(sizeof rows / sizeof *rows));
	tcase_add_test(t, without_a_forecast);
	tcase_add_test(t, long_ones_are_cut_in_the_act);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
