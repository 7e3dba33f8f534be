#include <stdio.h>
#include <string.h>

#include "base/instant.h"
#include "lib/morning.h"

static struct planting_state *planted(void)
{
	size_t i = bed_planting(&morning.garden, &morning.crops, "green-1", "gourdlet", "2026-04-10", "2026-05-09");
	morning_compose((const double[]){50, 50, 50, 50, 50}, 5, NULL);
	return &morning.state.planting[i];
}

START_TEST(of_a_season)
{
	struct planting_state *ps = planted();
	ps->warmth = (struct degree_sum){.dd_c = 100, .days = 10, .hours_days = 9, .filled_days = 1};
	ps->last_week = (struct degree_sum){.dd_c = 70, .days = 7, .hours_days = 7};
	ps->coming = (struct degree_sum){.dd_c = 15, .days = 3, .hours_days = 3, .forecast_days = 3};
	degrees_write(&morning.facts, NULL, &morning.t);
	ck_assert_str_eq(morning.t.at, "green-1, gourdlet, planted out Sat 9 May\n"
				       "Warmth since then, to yesterday: 180 F-days (base 50, no more counted\n"
				       "above 86, hour by hour; 10 days: 9 with all hours, 1 with hours filled)\n"
				       "Pace    last 7 days: 18 F-days a day; next 3 days: 9 F-days a day by the\n"
				       "        forecast\n"
				       "Stage   set out since Sat 9\n"
				       "\n"
				       "Forecast of 4:17 am today. Invented forecast.\n");
}
END_TEST

/* How the days of the sum are told.  A sum with holes is never printed as the total. */
static const struct {
	const char *name;
	struct degree_sum sum;
	const char *want;
} sums[] = {
    {"whole", {.dd_c = 50, .days = 5, .hours_days = 5}, "to yesterday: 50 C-days (base 10,"},
    {"whole", {.dd_c = 50, .days = 5, .hours_days = 5}, "; 5 days: 5 with all hours)"},
    {"one day", {.dd_c = 10, .days = 1, .extremes_days = 1}, "; 1 day: 1 from low and high)"},
    {"planted today", {.dd_c = 0}, "to yesterday: 0 C-days (base 10, no more counted above 30, hour by hour; 0 days)"},
    {"holes",
     {.dd_c = 40, .days = 5, .hours_days = 4, .missing_days = 1},
     "to yesterday: cannot tell; the 4 days known make 40 C-days (base"},
    {"holes", {.dd_c = 40, .days = 5, .hours_days = 4, .missing_days = 1}, "5 days: 4 with all hours, 1 missing)"},
    {"one known",
     {.dd_c = 10, .days = 5, .hours_days = 1, .missing_days = 4},
     "cannot tell; the 1 day known makes 10 C-days"},
    {"nothing known", {.days = 5, .missing_days = 5}, "to yesterday: cannot tell, no day is known (base"},
    {"nothing known", {.days = 5, .missing_days = 5}, "; 5 days: 5 missing)"},
    {"every kind",
     {.dd_c = 40,
      .days = 9,
      .hours_days = 4,
      .filled_days = 2,
      .extremes_days = 1,
      .missing_days = 2,
      .forecast_days = 3},
     "9 days: 4 with all hours, 2 with hours filled, 1 from low and high, 2 missing; 3 of them on forecast hours)"},
};

START_TEST(days_of_the_sum)
{
	morning.garden.units = UNIT_METRIC;
	planted()->warmth = sums[_i].sum;
	degrees_write(&morning.facts, "green-1", &morning.t);
	HAS(sums[_i].name, sums[_i].want);
	if (sums[_i].sum.missing_days > 0) {
		LACKS(sums[_i].name, "yesterday: 40");
		LACKS(sums[_i].name, "yesterday: 0");
		LACKS(sums[_i].name, "yesterday: 10");
	}
}
END_TEST

/* Which station, and of how many. */
static const struct {
	const char *name, *station;
	int of;
	struct degree_sum sum;
	const char *want;
} stations[] = {
    {"some",
     "INV1",
     1,
     {.dd_c = 40, .days = 24, .hours_days = 20, .extremes_days = 3, .missing_days = 1},
     "; 24 days: 20 with all hours, 3 from lows and highs of station INV1, 1 missing)"},
    {"one day", "INV1", 1, {.dd_c = 10, .days = 1, .extremes_days = 1}, "1 day: 1 from low and high of station INV1)"},
    {"of several",
     "INV1",
     3,
     {.dd_c = 20, .days = 2, .extremes_days = 2},
     "2 days: 2 from lows and highs of station INV1 (of 3 the one with most days))"},
    {"there, not needed", "INV1", 2, {.dd_c = 20, .days = 2, .hours_days = 2}, "; 2 days: 2 with all hours)"},
};

START_TEST(station_by_name)
{
	planted()->warmth = stations[_i].sum;
	snprintf(morning.state.station, sizeof morning.state.station, "%s", stations[_i].station);
	morning.state.stations = stations[_i].of;
	degrees_write(&morning.facts, "green-1", &morning.t);
	HAS(stations[_i].name, stations[_i].want);
}
END_TEST

START_TEST(pace)
{
	struct planting_state *ps = planted();
	ps->last_week = (struct degree_sum){.dd_c = 50, .days = 7, .hours_days = 5, .missing_days = 2};
	degrees_write(&morning.facts, NULL, &morning.t);
	HAS("missing days are no zeros", "Pace last 7 days: 18 F-days a day (2 missing)");
	ps->last_week.missing_days = 7;
	text_clear(&morning.t);
	degrees_write(&morning.facts, NULL, &morning.t);
	LACKS("nothing to go by", "Pace");
	ps->coming = (struct degree_sum){.dd_c = 5, .days = 1, .hours_days = 1};
	text_clear(&morning.t);
	degrees_write(&morning.facts, NULL, &morning.t);
	HAS("only what comes", "Pace next 1 day: 9 F-days a day by the forecast");
}
END_TEST

START_TEST(of_a_tray)
{
	size_t i = bed_planting(&morning.garden, &morning.crops, "t", "redberry", "2026-05-09", "");
	morning_compose((const double[]){50, 50, 50, 50, 50}, 5, NULL);
	struct planting_state *ps = &morning.state.planting[i];
	ps->warmth = (struct degree_sum){.dd_c = 100, .days = 10, .extremes_days = 10};
	ps->coming = (struct degree_sum){.dd_c = 70, .days = 7, .extremes_days = 7};
	degrees_write(&morning.facts, NULL, &morning.t);
	HAS("tray", "t, redberry, in the tray since Sat 9 May Warmth since then, to yesterday: 180 F-days");
	HAS("tray", "10 days: 10 reckoned at room temperature)");
	HAS("tray", "next 7 days: 18 F-days a day");
	LACKS("a room has no forecast", "by the forecast");
	morning.garden.indoor_c = (double)NAN;
	ps->warmth = (struct degree_sum){.days = 10, .missing_days = 10};
	ps->coming = (struct degree_sum){0};
	text_clear(&morning.t);
	degrees_write(&morning.facts, NULL, &morning.t);
	HAS("room", "cannot tell, the garden file does not say how warm the room is (key: indoor)");
	LACKS("room", " 0 F-days");
}
END_TEST

static const struct {
	const char *name;
	enum planting_where where;
	const char *want;
} spans[] = {
    {"out", PLANTING_OUT, "p, gourdlet, planted out Fri 1 May\nWarmth"},
    {"to come", PLANTING_TO_COME, "p, gourdlet, not begun\n\nForecast"},
    {"undated", PLANTING_UNDATED, "p, gourdlet, no date in the garden file: give it sown = or planted =\n\nForecast"},
    {"ended", PLANTING_ENDED, "p, gourdlet, ended Mon 18 May\n\nForecast"},
};

START_TEST(where_it_stands)
{
	bed_planting(&morning.garden, &morning.crops, "p", "gourdlet", "2026-04-10", "2026-05-01");
	morning_compose((const double[]){50, 50, 50, 50, 50}, 5, NULL);
	struct planting_state *ps = &morning.state.planting[0];
	ps->where = spans[_i].where;
	ps->since = ps->where == PLANTING_OUT ? ps->since : ps->where == PLANTING_ENDED ? bed_day(-1) : date_none();
	degrees_write(&morning.facts, NULL, &morning.t);
	ROW_MSG(strncmp(morning.t.at, spans[_i].want, strlen(spans[_i].want)) == 0, "%s: %s", spans[_i].name,
		morning.t.at);
}
END_TEST

/* Sown in place, a planting out still to come in the file: what stands there was sown. */
START_TEST(sown_in_place)
{
	bed_planting(&morning.garden, &morning.crops, "p", "gourdlet", "2026-05-08", "2026-06-01");
	morning.garden.planting[0].sowing = GARDEN_SOWN_OUTDOORS;
	morning_compose((const double[]){50, 50, 50, 50, 50}, 5, NULL);
	morning.state.planting[0].where = PLANTING_OUT;
	degrees_write(&morning.facts, NULL, &morning.t);
	HAS("sown", "p, gourdlet, sown outdoors Fri 8 May");
}
END_TEST

START_TEST(which)
{
	bed_planting(&morning.garden, &morning.crops, "a", "gourdlet", "2026-04-10", "2026-05-01");
	bed_planting(&morning.garden, &morning.crops, "b", "redberry", "2026-04-10", "2026-05-01");
	morning_compose((const double[]){50, 50, 50, 50, 50}, 5, NULL);
	degrees_write(&morning.facts, NULL, &morning.t);
	HAS("all", "a, gourdlet");
	HAS("all", "b, redberry");
	text_clear(&morning.t);
	degrees_write(&morning.facts, "b", &morning.t);
	LACKS("one", "a, gourdlet");
	HAS("one", "b, redberry");
	morning_setup();
	morning_compose(NULL, 0, NULL);
	degrees_write(&morning.facts, NULL, &morning.t);
	ck_assert_str_eq(morning.t.at, "No planting in the garden file.\n");
}
END_TEST

/* The rule is said with the numbers: base, cap, how what lies above it counts, how a day is counted. */
START_TEST(rules)
{
	planted();
	struct degree_rule *rule = &morning.garden.planting[0].figures.rule;
	rule->cutoff = DEGREE_INTERMEDIATE;
	rule->method = DEGREE_SINE;
	degrees_write(&morning.facts, NULL, &morning.t);
	HAS("intermediate", "(base 50, less counted above 86, by a sine through high and low;");
	rule->cutoff = DEGREE_VERTICAL;
	text_clear(&morning.t);
	degrees_write(&morning.facts, NULL, &morning.t);
	HAS("vertical", ", nothing counted above 86,");
	rule->cap_c = (double)NAN;
	rule->method = DEGREE_AVERAGE_ENDS;
	text_clear(&morning.t);
	degrees_write(&morning.facts, NULL, &morning.t);
	HAS("no cap", "(base 50, by the mean of high and low, each held between base and cap;");
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("degrees");
	TCase *c = tcase_create("degrees");
	tcase_add_checked_fixture(c, morning_setup, NULL);
	tcase_add_test(c, of_a_season);
	tcase_add_loop_test(c, days_of_the_sum, 0, sizeof sums / sizeof *sums);
	tcase_add_loop_test(c, station_by_name, 0, sizeof stations / sizeof *stations);
	tcase_add_test(c, pace);
	tcase_add_test(c, of_a_tray);
	tcase_add_loop_test(c, where_it_stands, 0, sizeof spans / sizeof *spans);
	tcase_add_test(c, sown_in_place);
	tcase_add_test(c, which);
	tcase_add_test(c, rules);
	suite_add_tcase(s, c);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
