#include <math.h>

#include "advice/calendar.h"
#include "lib/bed.h"
#include "lib/harness.h"

static struct crops crops;
static struct garden garden;
static struct season_state state;

static void setup(void)
{
	bed_crops(&crops);
	bed_garden(&garden, UNIT_US);
	bed_planting(&garden, &crops, "a", "gourdlet", "", "");
	bed_state(&garden, &state);
}

static struct date on(int month, int day)
{
	struct date d;
	ck_assert(date_of(2026, month, day, &d));
	return d;
}

static int day_n(struct date d)
{
	return date_is(d) ? date_day_of_year(d) : 0;
}

/* Half of the frosts ten days early, half ten late: spread 10.17, and the tenth 1.2816 spreads after the mean. */
enum { MEAN = 126, TENTH = 126 + 13 };

START_TEST(frost_keeps_it_in)
{
	/* Nights that are over any line all year: frost alone decides. */
	bed_years(&state, MEAN, 285, 30, 31);
	struct calendar_out out = calendar_planting_out(&garden, &state, 0);
	ROW_INT("basis", out.basis, CALENDAR_FROST);
	ROW_INT("half", day_n(out.half), MEAN);
	ROW_INT("tenth", day_n(out.tenth), TENTH);
	ROW_INT("from", day_n(out.early), TENTH);
	ROW_INT("to", day_n(out.late), TENTH + 10);
	ROW_INT("years", out.years, 30);
}
END_TEST

START_TEST(nights_keep_it_in)
{
	/* Nights that are under it all year: once frost is ten days over, those that slow it are enough. */
	bed_years(&state, MEAN, 285, 0, 1);
	struct calendar_out out = calendar_planting_out(&garden, &state, 0);
	ROW_INT("basis", out.basis, CALENDAR_NIGHTS);
	ROW_INT("from", day_n(out.early), TENTH + 10);
	ROW_INT("to", day_n(out.late), TENTH + 20);
}
END_TEST

START_TEST(no_frost)
{
	bed_years(&state, MEAN, 285, 10, 30);
	for (int i = 0; i < FROSTDATE_LINES; i++)
		state.frost.at[i].kind = FROSTDATE_NEVER;
	struct calendar_out out = calendar_planting_out(&garden, &state, 0);
	ROW_INT("basis", out.basis, CALENDAR_NIGHTS);
	/* The first night at 60 F in seven years of ten, lows with a spread of 3 K. */
	double line_c = bed_c(60), need_c = line_c + 0.5244 * 3;
	struct runs_night night = climate_night(&state.climate, out.early);
	struct runs_night before = climate_night(&state.climate, date_add(out.early, -1));
	ROW_TRUE("there", night.low_c >= need_c - 0.1 && before.low_c < need_c + 0.1);
	ROW_TRUE("in spring", day_n(out.early) > 60 && day_n(out.early) < 150);
	ROW_INT("frost", day_n(out.tenth), 0);
}
END_TEST

START_TEST(cannot_tell)
{
	ROW_INT("no years", calendar_planting_out(&garden, &state, 0).basis, CALENDAR_UNKNOWN);
	bed_years(&state, MEAN, 285, 0, 22);
	for (int i = 0; i < FROSTDATE_LINES; i++)
		state.frost.at[i].kind = FROSTDATE_EVERY_MONTH;
	ROW_INT("frost in every month", calendar_planting_out(&garden, &state, 0).basis, CALENDAR_UNKNOWN);
	for (int i = 0; i < FROSTDATE_LINES; i++)
		state.frost.at[i].kind = FROSTDATE_TOO_FEW;
	ROW_INT("too few", calendar_planting_out(&garden, &state, 0).basis, CALENDAR_UNKNOWN);
}
END_TEST

START_TEST(planned)
{
	bed_years(&state, MEAN, 285, 0, 22);
	garden.planting[0].planted = bed_day(12);
	struct calendar_out out = calendar_planting_out(&garden, &state, 0);
	ROW_INT("basis", out.basis, CALENDAR_PLANNED);
	ROW_INT("day", out.early.n, bed_day(12).n);
	ROW_INT("day", out.late.n, bed_day(12).n);
}
END_TEST

/* A crop that lives through a light frost goes by the hard one. */
START_TEST(hardy)
{
	bed_years(&state, MEAN, 285, 30, 31);
	state.frost.at[FROSTDATE_28F].spring.mean = MEAN - 20;
	garden.planting[0].figures.kill_c = bed_c(28);
	ROW_INT("28 F", day_n(calendar_planting_out(&garden, &state, 0).tenth), TENTH - 20);
}
END_TEST

/*
 * All year the same day: base 10, cap 30, low 14.5 and high 25.5 are 10 degree days whatever the method.  100 of them
 * are ten days; two weeks before the frost of day 285 is day 271.
 */
START_TEST(last_sowing)
{
	bed_years(&state, MEAN, 285, 20, 20);
	ROW_TRUE("no figure", !date_is(calendar_last_sowing(&garden, &state, 0, false).day));
	struct crop *c = &garden.planting[0].figures;
	c->pick_sown_dd = (struct spread){400, 300, 500};
	c->pick_planted_dd = (struct spread){200, 150, 250};
	struct calendar_last last = calendar_last_sowing(&garden, &state, 0, false);
	ROW_INT("frost", day_n(last.frost), 285);
	ROW_INT("pick", day_n(last.pick), 271);
	ROW_INT("in place", day_n(last.day), 271 - 40);
	ROW_INT("from a tray", day_n(calendar_last_sowing(&garden, &state, 0, true).day), 271 - 20 - 21);
	state.frost.at[FROSTDATE_32F].kind = FROSTDATE_NEVER;
	ROW_TRUE("no frost", !date_is(calendar_last_sowing(&garden, &state, 0, false).day));
	bed_years(&state, MEAN, 285, 5, 5);
	ROW_TRUE("never warm enough", !date_is(calendar_last_sowing(&garden, &state, 0, false).day));
}
END_TEST

/* Warmer years never end it earlier. */
START_TEST(warmer_is_later)
{
	garden.planting[0].figures.pick_sown_dd.likely = 550;
	int last = 0;
	for (int warm = 18; warm <= 26; warm++) {
		bed_years(&state, MEAN, 285, -5, warm);
		int day = day_n(calendar_last_sowing(&garden, &state, 0, false).day);
		ROW_TRUE("not earlier", day >= last);
		last = day;
	}
	ROW_TRUE("known", last > 0);
}
END_TEST

/* South of the equator the year of seasons begins on 1 July: the same days lie half a year on. */
START_TEST(south)
{
	garden.latitude = -44.31;
	state.frost.south = true;
	state.today = on(9, 1);
	bed_years(&state, MEAN, 285, 30, 31);
	struct calendar_out out = calendar_planting_out(&garden, &state, 0);
	ROW_INT("day of the year of seasons", calendar_day(&garden, out.tenth), TENTH);
	ROW_INT("November", out.tenth.n, date_add(on(7, 1), TENTH - 1).n);
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("calendar");
	TCase *t = tcase_create("calendar");
	tcase_add_checked_fixture(t, setup, NULL);
	tcase_add_test(t, frost_keeps_it_in);
	tcase_add_test(t, nights_keep_it_in);
	tcase_add_test(t, no_frost);
	tcase_add_test(t, cannot_tell);
	tcase_add_test(t, planned);
	tcase_add_test(t, hardy);
	tcase_add_test(t, last_sowing);
	tcase_add_test(t, warmer_is_later);
	tcase_add_test(t, south);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
