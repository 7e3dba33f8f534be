#include <string.h>

#include "base/instant.h"
#include "lib/bed.h"
#include "lib/harness.h"
#include "note/phrase.h"

static char mem[256];
static struct text t;

static void setup(void)
{
	text_over(&t, mem, sizeof mem);
}

static const struct {
	const char *name;
	double c;
	int units;
	const char *want;
} degrees[] = {
    {"a whole F", 1.1111111111, UNIT_US, "34"},  {"halves up", 2.5, UNIT_METRIC, "3"},
    {"never -0", -0.4, UNIT_METRIC, "0"},        {"under zero", -3.6, UNIT_METRIC, "-4"},
    {"under zero F", -20, UNIT_US, "-4"},        {"not known", (double)NAN, UNIT_US, "?"},
    {"half under zero", -0.5, UNIT_METRIC, "0"},
};

START_TEST(whole_degrees)
{
	phrase_degrees(&t, degrees[_i].c, degrees[_i].units);
	ROW_STR(degrees[_i].name, t.at, degrees[_i].want);
}
END_TEST

START_TEST(with_a_unit)
{
	phrase_degrees_unit(&t, 1.1111111111, UNIT_US);
	text_add(&t, "|");
	phrase_degrees_unit(&t, 1.1111111111, UNIT_METRIC);
	text_add(&t, "|");
	phrase_difference(&t, -5 / 1.8, UNIT_US);
	text_add(&t, "|");
	phrase_difference(&t, 3, UNIT_METRIC);
	text_add(&t, "|");
	phrase_degree_days(&t, 100, UNIT_US);
	text_add(&t, "|");
	phrase_degree_days(&t, 100.4, UNIT_METRIC);
	ck_assert_str_eq(t.at, "34 F|1 C|5 F|3 C|180 F-days|100 C-days");
}
END_TEST

/* Today is Tuesday 19 May 2026. */
static const struct {
	const char *name;
	int ahead;
	const char *date, *day, *night;
} dates[] = {
    {"today", 0, "Tue 19", "today", "tonight"},
    {"tomorrow", 1, "Wed 20", "tomorrow", "tomorrow night"},
    {"this week", 4, "Sat 23", "Sat 23", "Saturday night"},
    {"in six days", 6, "Mon 25", "Mon 25", "Monday night"},
    {"in a week", 7, "Tue 26", "Tue 26", "the night of Tue 26 May"},
    {"next month", 13, "Mon 1 Jun", "Mon 1 Jun", "the night of Mon 1 Jun"},
    {"three weeks ago", -18, "Fri 1", "Fri 1", "the night of Fri 1 May"},
    {"a year on", 365, "Wed 19 May", "Wed 19 May", "the night of Wed 19 May"},
};

START_TEST(dates_in_words)
{
	struct date today = bed_day(0), d = bed_day(dates[_i].ahead);
	phrase_date(&t, d, today);
	ROW_STR(dates[_i].name, t.at, dates[_i].date);
	text_clear(&t);
	phrase_day(&t, d, today);
	ROW_STR(dates[_i].name, t.at, dates[_i].day);
	text_clear(&t);
	phrase_night(&t, d, today);
	ROW_STR(dates[_i].name, t.at, dates[_i].night);
}
END_TEST

static const struct {
	int hour, minute;
	const char *us, *metric;
} clocks[] = {
    {0, 0, "12 am", "0:00"},       {0, 30, "12:30 am", "0:30"}, {5, 7, "5:07 am", "5:07"},     {12, 0, "noon", "12:00"},
    {12, 30, "12:30 pm", "12:30"}, {18, 0, "6 pm", "18:00"},    {23, 59, "11:59 pm", "23:59"},
};

START_TEST(clock_times)
{
	struct zone z;
	zone_fixed("Test/Lane", -5 * HOUR_S, &z);
	int64_t at = instant_at(bed_day(0), clocks[_i].hour * HOUR_S + clocks[_i].minute * 60, -5 * HOUR_S);
	phrase_clock(&t, &z, at, UNIT_US);
	ROW_STR(clocks[_i].us, t.at, clocks[_i].us);
	text_clear(&t);
	phrase_clock(&t, &z, at, UNIT_METRIC);
	ROW_STR(clocks[_i].metric, t.at, clocks[_i].metric);
}
END_TEST

static const struct {
	int64_t seconds;
	const char *want;
} ages[] = {
    {0, "1 minute"},   {59, "1 minute"},        {60, "1 minute"},      {3599, "59 minutes"},  {3600, "1 hour"},
    {7200, "2 hours"}, {47 * 3600, "47 hours"}, {48 * 3600, "2 days"}, {7 * 86400, "7 days"},
};

START_TEST(ages_in_words)
{
	phrase_age(&t, ages[_i].seconds);
	ROW_STR(ages[_i].want, t.at, ages[_i].want);
}
END_TEST

START_TEST(lists)
{
	static const char *const word[] = {"a", "b", "c"};
	for (size_t n = 1; n <= 3; n++) {
		for (size_t i = 0; i < n; i++)
			phrase_listed(&t, word[i], i, n);
		text_add(&t, "|");
	}
	ck_assert_str_eq(t.at, "a|a and b|a, b and c|");
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("phrase");
	TCase *c = tcase_create("phrase");
	tcase_add_checked_fixture(c, setup, NULL);
	tcase_add_loop_test(c, whole_degrees, 0, sizeof degrees / sizeof *degrees);
	tcase_add_test(c, with_a_unit);
	tcase_add_loop_test(c, dates_in_words, 0, sizeof dates / sizeof *dates);
	tcase_add_loop_test(c, clock_times, 0, sizeof clocks / sizeof *clocks);
	tcase_add_loop_test(c, ages_in_words, 0, sizeof ages / sizeof *ages);
	tcase_add_test(c, lists);
	suite_add_tcase(s, c);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
