#include <math.h>

#include "advice/news.h"
#include "advice/rank.h"
#include "base/instant.h"
#include "garden/tables.h"
#include "lib/bed.h"
#include "lib/harness.h"

/*
 * A whole June, morning by morning, with our own table of crops: who covers in an ordinary one is soon not believed any
 * more, and who does not in a cold one has no garden.
 *
 * Invented by rule.  Lows rise from 54 F to 60 F; every ten days a cold spell comes, clear and calm.  Forecasts are off
 * by up to 2 F tonight and 4 F three nights ahead, sometimes too warm, sometimes too cold.
 */

enum { JUNE_DAYS = 30, JUNE_FROM = 13 /* 1 June, days after 19 May */ };

static struct crops crops;
static struct garden garden;
static struct season_state state, before;
static struct advice_list today, said;
static struct lines lines;
static struct changes changes;

/* The low at 2 m of the night from day d of June on, F; and whether it is clear and calm. */
static double low_f(int d, double colder_f, bool *clear)
{
	static const double spell[10] = {3, 5, 1, -4, -7, -3, 0, 4, 2, -1};
	double off = spell[(d + 9) % 10];
	*clear = off <= -3;
	return 54 + 6.0 * (d - 1) / (JUNE_DAYS - 1) + off - colder_f;
}

static double error_f(int d, int ahead)
{
	return ((d * 7 + ahead * 3) % 5 - 2) * (1 + ahead / 3.0);
}

static void plant(const char *crop, const char *planted)
{
	bed_planting(&garden, &crops, crop, crop, "2026-04-20", planted);
}

static void setup(void)
{
	struct faults all = {0};
	ck_assert_int_eq(tables_crops("config", NULL, &crops, &all), FAULT_NONE);
	bed_garden(&garden, UNIT_US);
	plant("zucchini", "2026-05-29");
	plant("tomato", "2026-05-20");
	plant("pepper", "2026-05-21");
	plant("cucumber", "2026-05-21");
	plant("basil", "2026-05-21");
	plant("winter-squash", "2026-05-22");
	plant("lettuce", "2026-04-25");
}

/* The state in the morning of day d: 1 June is day 1. */
static void morning(int d, double colder_f)
{
	bool clear;
	double low[8];
	bed_state(&garden, &state);
	int days = JUNE_FROM + d - 1;
	state.today = date_add(state.today, days);
	state.cut += days * (int64_t)DAY_S;
	for (int i = 0; i < STATE_NIGHTS; i++) {
		state.night[i].evening = date_add(state.night[i].evening, days);
		state.night[i].first += days * (int64_t)DAY_S;
	}
	for (size_t i = 0; i < state.plantings; i++) {
		state.planting[i].where = PLANTING_OUT;
		state.planting[i].days += days;
	}
	for (int i = 0; i < 8; i++)
		low[i] = low_f(d + i, colder_f, &clear) + error_f(d, i);
	bed_nights(&state, 0, low, 8);
	for (int i = 0; i < 8; i++) {
		(void)low_f(d + i, colder_f, &clear);
		bed_clear(&state, i, clear ? 1.4 : 0.3, clear ? 2.5 : 0.7);
	}
}

/* COVER lines of the whole month; *missed: nights with ice on a leaf that no COVER was said of in the morning. */
static int covers(double colder_f, int *missed)
{
	int count = 0;
	*missed = 0;
	for (int d = 1; d <= JUNE_DAYS; d++) {
		bool clear, tonight = false;
		morning(d, colder_f);
		advice_all(&garden, &state, &today);
		news_mark(&today, &state, &said, d > 1 ? &before : NULL, &changes);
		rank_lines(&today, &lines);
		for (size_t k = 0; k < lines.n; k++)
			count += lines.at[k].lead->verdict == VERDICT_COVER;
		for (size_t i = 0; i < today.n; i++)
			tonight =
			    tonight || (today.at[i].verdict == VERDICT_COVER && today.at[i].day.n == state.today.n);
		double leaf_c = bed_c(low_f(d, colder_f, &clear)) - (clear ? 2.5 : 0.7);
		*missed += leaf_c <= 0 && !tonight;
		before = state;
		said = today;
	}
	return count;
}

START_TEST(an_ordinary_june)
{
	int missed;
	int n = covers(0, &missed);
	ck_assert_msg(n <= 2, "%d COVER lines", n);
	ck_assert_int_eq(missed, 0);
}
END_TEST

/* One of which the same rules speak, so that the silence above is not that of a broken bell. */
START_TEST(a_cold_june)
{
	for (double colder_f = 10; colder_f <= 25; colder_f += 2.5) {
		int missed;
		int n = covers(colder_f, &missed);
		ck_assert_msg(n > 2, "%g F colder: %d COVER lines", colder_f, n);
		ck_assert_msg(missed == 0, "%g F colder: %d frosts that nobody warned of", colder_f, missed);
	}
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("june");
	TCase *t = tcase_create("june");
	tcase_set_timeout(t, 60);
	tcase_add_checked_fixture(t, setup, NULL);
	tcase_add_test(t, an_ordinary_june);
	tcase_add_test(t, a_cold_june);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
