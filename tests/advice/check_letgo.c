#include <math.h>

#include "advice/letgo.h"
#include "lib/bed.h"
#include "lib/harness.h"

/* Days are shortening, and were two months ago: solstices of 2026 are 21 June and 21 December. */
static const struct {
	const char *name, *evening;
	double lat_deg;
	bool want;
} rows[] = {
    {"May", "2026-05-19", 44.3, false},
    {"the day after the longest", "2026-06-22", 44.3, false},
    {"a cold July in the mountains", "2026-07-20", 44.3, false},
    {"mid August", "2026-08-15", 44.3, false},
    {"late August", "2026-08-25", 44.3, true},
    {"September", "2026-09-20", 44.3, true},
    {"November", "2026-11-20", 44.3, true},
    {"past the shortest", "2026-12-30", 44.3, false},
    {"southern spring", "2026-11-20", -37.8, false},
    {"southern February, mid", "2026-02-15", -37.8, false},
    {"southern late February", "2026-02-25", -37.8, true},
    {"southern April", "2026-04-20", -37.8, true},
    {"southern July", "2026-07-20", -37.8, false},
    {"far north, September", "2026-09-20", 69.6, true},
    {"far north, light nights", "2026-07-01", 69.6, false},
};

START_TEST(autumn)
{
	struct date d;
	struct fault f = {0};
	ck_assert_int_eq(date_parse(rows[_i].evening, &d, &f), FAULT_NONE);
	ROW_INT(rows[_i].name, letgo_autumn(d, rows[_i].lat_deg, -89.9), rows[_i].want);
}
END_TEST

#define NONE ((double)NAN)

/* Means of the days from tomorrow on, F, after tonight. */
static const struct {
	const char *name;
	double mean_f[8];
	double want_f; /* NaN: too few are known */
} weeks[] = {
    {"seven days, the eighth does not count", {58, 60, 56, 58, 59, 57, 58, 90}, 58},
    {"four known", {60, NONE, 62, NONE, 58, NONE, 60, 90}, 60},
    {"three known", {60, NONE, 62, NONE, 58, NONE, NONE, 90}, NONE},
};

START_TEST(mean_after)
{
	static struct garden garden;
	static struct season_state state;
	bed_garden(&garden, UNIT_US);
	bed_state(&garden, &state);
	state.day[0].tmean_c = 40;
	for (int i = 0; i < 8; i++)
		state.day[1 + i].tmean_c = bed_c(weeks[_i].mean_f[i]);
	double got = letgo_mean_after(&state, state.today);
	if (isnan(weeks[_i].want_f))
		ROW_TRUE(weeks[_i].name, isnan(got));
	else
		ROW_NEAR(weeks[_i].name, got, bed_c(weeks[_i].want_f), 1e-9);
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("letgo");
	TCase *t = tcase_create("letgo");
	tcase_add_loop_test(t, autumn, 0, sizeof rows / sizeof *rows);
	tcase_add_loop_test(t, mean_after, 0, sizeof weeks / sizeof *weeks);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
