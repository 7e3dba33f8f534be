#include "note/credit.h"

#include <stdio.h>
#include <string.h>

#include "lib/harness.h"

/* Invented givers of weather; the cut is at 1000. */

enum { CUT = 1000, SIZE = 512 };

#define FORECAST "Forecast: Vale (invented)"

static const struct {
	const char *row;
	bool forecast;
	struct supply supply[2];
	size_t n;
	const char *want;
} ROWS[] = {
    {"the forecast alone", true, {{"", "", 0, 0}}, 0, FORECAST "."},
    {"nobody", false, {{"", "", 0, 0}}, 0, ""},
    {"an archive beside it", true, {{"attic", "Past: Attic", 100, 900}}, 1, FORECAST ". Past hours: Past: Attic."},
    {"an archive alone", false, {{"attic", "Past: Attic.", 100, 900}}, 1, "Past hours: Past: Attic."},
    {"the same words once", true, {{"vale-past", FORECAST, 100, 900}}, 1, FORECAST "."},
    {"two of the same house", false, {{"a", "Attic", 100, 900}, {"b", "Attic", 100, 900}}, 2, "Past hours: Attic."},
    {"hours before what is shown", true, {{"attic", "Past: Attic", 100, 500}}, 1, FORECAST "."},
    {"hours after the cut", true, {{"attic", "Past: Attic", CUT, 2000}}, 1, FORECAST "."},
    {"no words, none said", true, {{"attic", "", 100, 900}}, 1, FORECAST "."},
};

START_TEST(credits)
{
	static struct season_state state;
	char mem[SIZE];
	struct text t;
	const struct note_facts n = {.state = &state, .supply = ROWS[_i].supply, .supplies = ROWS[_i].n};
	state.cut = CUT;
	state.forecast.any = ROWS[_i].forecast;
	snprintf(state.forecast.credit, sizeof state.forecast.credit, FORECAST);
	text_over(&t, mem, sizeof mem);
	credit_words(&n, 500, &t);
	ROW_STR(ROWS[_i].row, t.at, ROWS[_i].want);
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("credit");
	TCase *t = tcase_create("credit");
	tcase_add_loop_test(t, credits, 0, (int)(sizeof ROWS / sizeof *ROWS));
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
