#include "base/instant.h"
#include "lib/morning.h"
#include "note/head.h"

/* What grows: o out since long, n new, t in the tray.  Nights from 19 May on, in F; 0 is not known. */
static const struct {
	const char *name, *grows;
	double low[7];
	bool stale, trouble;
	const char *want;
} rows[] = {
    {"nothing", "o", {55, 55, 55, 55, 55}, false, false, "nothing to do today"},
    {"a killing night", "o", {31, 50, 50, 50, 50}, false, false, "frost likely tonight, 31 F"},
    {"as likely as not", "o", {32, 50, 50, 50, 50}, false, false, "frost possible tonight, 32 F"},
    {"28 F on the leaf", "o", {27, 50, 50, 50, 50}, false, false, "hard frost likely tonight, 27 F"},
    {"a clear night may do it", "o", {36, 50, 50, 50, 50}, false, false, "frost possible tonight, 36 F"},
    {"a new plant stalls", "n", {44, 50, 50, 50, 50}, false, false, "cold tonight, 44 F"},
    {"cold, then frost", "n", {44, 50, 31, 50, 50}, false, false, "frost likely Thursday night, 31 F"},
    {"the first of two frosts", "o", {50, 34, 31, 50, 50}, false, false, "frost possible tomorrow night, 34 F"},
    {"planting does not hide it", "to", {60, 60, 60, 33, 60}, false, false, "frost possible Friday night, 33 F"},
    {"planting", "t", {60, 60, 60, 60, 60}, false, false, "planting weather"},
    {"waiting", "t", {50, 50, 50, 50, 50}, false, false, "nothing goes out today"},
    {"not known", "o", {0, 50, 50, 50, 50}, false, false, "tonight cannot be judged"},
    {"not known, and frost after", "o", {0, 50, 31, 50, 50}, false, false, "tonight cannot be judged"},
    {"old", "o", {55, 55, 55, 55, 55}, true, false, "the forecast is 31 hours old"},
    {"fetch failed", "o", {55, 55, 55, 55, 55}, false, true, "the forecast is 31 hours old"},
    {"old, but frost", "o", {31, 55, 55, 55, 55}, true, false, "frost likely tonight, 31 F; forecast 31 hours old"},
    {"fetch failed, but frost",
     "o",
     {31, 55, 55, 55, 55},
     false,
     true,
     "frost likely tonight, 31 F; forecast 31 hours old"},
};

START_TEST(heads)
{
	for (const char *g = rows[_i].grows; *g != '\0'; g++) {
		bed_planting(&morning.garden, &morning.crops, "a", "gourdlet", "2026-04-10",
			     *g == 'o'   ? "2026-05-01"
			     : *g == 'n' ? "2026-05-17"
					 : "");
	}
	double low[7];
	for (int i = 0; i < 7; i++)
		low[i] = rows[_i].low[i] > 0 ? rows[_i].low[i] : (double)NAN;
	morning_compose(low, 7, NULL);
	morning.state.forecast.age_s = 31 * HOUR_S;
	morning.state.forecast.trust = rows[_i].stale ? TRUST_AGED : TRUST_FULL;
	morning.facts.trouble = rows[_i].trouble ? "no answer" : NULL;
	morning_again(false);
	head_words(&morning.facts, &morning.t);
	ROW_STR(rows[_i].name, morning.t.at, rows[_i].want);
}
END_TEST

START_TEST(without_a_forecast)
{
	bed_planting(&morning.garden, &morning.crops, "a", "gourdlet", "2026-04-10", "2026-05-01");
	morning_compose(NULL, 0, NULL);
	morning.state.forecast.any = false;
	morning.facts.trouble = "no answer";
	head_words(&morning.facts, &morning.t);
	ck_assert_str_eq(morning.t.at, "no forecast");
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("head");
	TCase *c = tcase_create("head");
	tcase_add_checked_fixture(c, morning_setup, NULL);
	tcase_add_loop_test(c, heads, 0, sizeof rows / sizeof *rows);
	tcase_add_test(c, without_a_forecast);
	suite_add_tcase(s, c);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
