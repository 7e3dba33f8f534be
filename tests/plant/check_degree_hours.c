#include "plant/degree.h"

#include "facts/hours.h"
#include "lib/harness.h"

#define NONE ((double)NAN)

enum { DAY = 24 };

/* 24 samples of a pure sine with its low at 02:00 against the integral, computed independently; within 1 %. */
static const struct {
	const char *name;
	double tmin, tmax, base, cap, samples, exact;
} sampled[] = {
    {"4,24", 4, 24, 10, 30, 5.4492, 5.4413},
    {"6,38", 6, 38, 10, 30, 10.8905, 10.8641},
    {"7,23", 7, 23, 8, 32, 7.1023, 7.1068},
    {"2,12", 2, 12, 10, 30, 0.3913, 0.3877},
};

static void sine_day(double *t, int n, double tmin, double tmax)
{
	for (int h = 0; h < n; h++)
		t[h] = (tmin + tmax) / 2 - (tmax - tmin) / 2 * cos(2 * M_PI * (h - 2) / 24);
}

START_TEST(hourly)
{
	struct degree_rule r = {sampled[_i].base, sampled[_i].cap, DEGREE_HOURLY, DEGREE_HORIZONTAL};
	double t[DAY];
	sine_day(t, DAY, sampled[_i].tmin, sampled[_i].tmax);
	struct degree_count c = degree_day_hours(&r, t, NULL, DAY, NULL);
	ROW_INT(sampled[_i].name, c.how, DEGREE_HOURS);
	ROW_INT(sampled[_i].name, c.hours_known, DAY);
	ROW_NEAR(sampled[_i].name, c.dd_c, sampled[_i].samples, 6e-5);
	ROW_NEAR(sampled[_i].name, c.dd_c, sampled[_i].exact, 0.01 * sampled[_i].exact);
}
END_TEST

/* A steady 20 C over base 10 is 10 a day of 24 h, and in proportion on days of 23 and 25. */
START_TEST(odd_days)
{
	const struct degree_rule r = {10, 30, DEGREE_HOURLY, DEGREE_HORIZONTAL};
	double t[25];
	for (int h = 0; h < 25; h++)
		t[h] = 20;
	for (int n = 23; n <= 25; n++) {
		ROW_NEAR("steady", degree_day_hours(&r, t, NULL, n, NULL).dd_c, 10.0 * n / 24, 1e-12);
		ROW_INT("steady", degree_day_hours(&r, t, NULL, n, NULL).how, DEGREE_HOURS);
	}
	t[0] = t[7] = NONE;
	struct degree_count c = degree_day_hours(&r, t, NULL, 25, NULL);
	ROW_INT("filled", c.how, DEGREE_HOURS_FILLED);
	ROW_INT("filled", c.hours_missing, 2);
	ROW_NEAR("filled", c.dd_c, 10.0 * 25 / 24, 1e-12);
}
END_TEST

/* Twenty known hours are enough, nineteen are not; then the extremes, then nobody can tell. */
START_TEST(ladder)
{
	const struct degree_rule r = {10, 30, DEGREE_HOURLY, DEGREE_HORIZONTAL};
	const struct degree_extremes known = {4, 24, NONE}, half = {4, NONE, NONE};
	for (int missing = 0; missing <= DAY; missing++) {
		double t[DAY];
		for (int h = 0; h < DAY; h++)
			t[h] = h < missing ? NONE : 16;
		struct degree_count c = degree_day_hours(&r, t, NULL, DAY, &known);
		ROW_INT("missing", c.hours_missing, missing);
		if (missing <= 4) {
			ROW_INT("from hours", c.how, missing == 0 ? DEGREE_HOURS : DEGREE_HOURS_FILLED);
			ROW_NEAR("from hours", c.dd_c, 6, 1e-12);
			continue;
		}
		ROW_INT("from extremes", c.how, DEGREE_EXTREMES);
		ROW_NEAR("from extremes", c.dd_c, 5.4413, 6e-5);
		c = degree_day_hours(&r, t, NULL, DAY, &half);
		ROW_INT("cannot tell", c.how, DEGREE_UNKNOWN);
		ROW_TRUE("cannot tell", isnan(c.dd_c));
		ROW_INT("cannot tell", degree_day_hours(&r, t, NULL, DAY, NULL).how, DEGREE_UNKNOWN);
	}
}
END_TEST

/* Missing hours take the mean rate of the others, not of the temperature: half the known day is under the base. */
START_TEST(filled_rate)
{
	const struct degree_rule r = {10, 30, DEGREE_HOURLY, DEGREE_HORIZONTAL};
	double t[DAY];
	for (int h = 0; h < DAY; h++)
		t[h] = h < 4 ? NONE : h < 14 ? 0 : 20;
	ROW_NEAR("filled", degree_day_hours(&r, t, NULL, DAY, NULL).dd_c, 10 * 10.0 / 20, 1e-12);
}
END_TEST

/* A plain intermediate day is held at 0 as a whole, a floored one hour by hour. */
START_TEST(hot_hours)
{
	double t[DAY];
	for (int h = 0; h < DAY; h++)
		t[h] = h < 12 ? 56 : 30; /* rates -6 and 20 */
	struct degree_rule r = {10, 30, DEGREE_HOURLY, DEGREE_INTERMEDIATE};
	ROW_NEAR("plain", degree_day_hours(&r, t, NULL, DAY, NULL).dd_c, 7, 1e-12);
	r.cutoff = DEGREE_INTERMEDIATE_FLOORED;
	ROW_NEAR("floored", degree_day_hours(&r, t, NULL, DAY, NULL).dd_c, 10, 1e-12);
	r.cutoff = DEGREE_VERTICAL;
	ROW_NEAR("vertical: the cap itself still counts", degree_day_hours(&r, t, NULL, DAY, NULL).dd_c, 10, 1e-12);
	for (int h = 0; h < DAY; h++)
		t[h] = 56;
	r.cutoff = DEGREE_INTERMEDIATE;
	ROW_NEAR("plain, all hot", degree_day_hours(&r, t, NULL, DAY, NULL).dd_c, 0, 0);
}
END_TEST

/* A rule of a daily method keeps it: known extremes first, else those of the hours. */
START_TEST(daily_methods)
{
	const struct degree_rule r = {10, 30, DEGREE_AVERAGE_ENDS, DEGREE_HORIZONTAL};
	const struct degree_extremes known = {6, 38, NONE};
	double t[DAY];
	sine_day(t, DAY, 4, 24);
	struct degree_count c = degree_day_hours(&r, t, NULL, DAY, NULL);
	ROW_INT("hours' extremes", c.how, DEGREE_HOURS);
	ROW_NEAR("hours' extremes", c.dd_c, 7, 1e-9);
	c = degree_day_hours(&r, t, NULL, DAY, &known);
	ROW_INT("known extremes", c.how, DEGREE_EXTREMES);
	ROW_NEAR("known extremes", c.dd_c, 10, 1e-12);
}
END_TEST

START_TEST(forecast_is_said)
{
	const struct degree_rule r = {10, 30, DEGREE_HOURLY, DEGREE_HORIZONTAL};
	double t[DAY];
	uint8_t origin[DAY];
	sine_day(t, DAY, 4, 24);
	for (int h = 0; h < DAY; h++)
		origin[h] = ORIGIN_OBSERVED | ORIGIN_WHOLE_HOUR;
	ROW_TRUE("observed", !degree_day_hours(&r, t, origin, DAY, NULL).any_forecast);
	origin[23] = ORIGIN_FORECAST | ORIGIN_WHOLE_HOUR;
	ROW_TRUE("one forecast", degree_day_hours(&r, t, origin, DAY, NULL).any_forecast);
	t[23] = NONE;
	origin[23] = ORIGIN_NONE;
	ROW_TRUE("missing is not forecast", !degree_day_hours(&r, t, origin, DAY, NULL).any_forecast);
}
END_TEST

/* Hours at 16 C, some seen and some foreseen, beside a station's 4 and 24 C: which of them a day is counted by. */
static const struct {
	const char *name;
	int seen, foreseen;
	bool station;
	enum degree_how how;
	bool forecast;
} beside[] = {
    {"all seen", 24, 0, true, DEGREE_HOURS, false},
    {"seen but for four: foreseen hours help out", 20, 4, true, DEGREE_HOURS, true},
    {"twenty seen, the rest missing", 20, 0, true, DEGREE_HOURS_FILLED, false},
    {"one short of twenty: the station", 19, 5, true, DEGREE_EXTREMES, false},
    {"one short of twenty, no station", 19, 5, false, DEGREE_HOURS, true},
    {"all foreseen: the station", 0, 24, true, DEGREE_EXTREMES, false},
    {"all foreseen, no station", 0, 24, false, DEGREE_HOURS, true},
    {"twenty foreseen, no station", 0, 20, false, DEGREE_HOURS_FILLED, true},
    {"few of both, no station", 10, 9, false, DEGREE_UNKNOWN, false},
    {"few of both", 10, 9, true, DEGREE_EXTREMES, false},
    {"none", 0, 0, true, DEGREE_EXTREMES, false},
};

START_TEST(beside_a_station)
{
	const char *row = beside[_i].name;
	const struct degree_extremes station = {4, 24, NONE};
	static const enum origin seen_as[] = {ORIGIN_ANALYSED, ORIGIN_OBSERVED, ORIGIN_READING};
	static const enum origin foreseen_as[] = {ORIGIN_FORECAST, ORIGIN_INTERPOLATED, ORIGIN_ESTIMATED};
	for (int k = 0; k < 3; k++) {
		double t[DAY];
		uint8_t origin[DAY];
		for (int h = 0; h < DAY; h++) {
			bool seen = h < beside[_i].seen, known = h < beside[_i].seen + beside[_i].foreseen;
			t[h] = known ? 16 : NONE;
			origin[h] = (uint8_t)(!known ? ORIGIN_NONE : seen ? seen_as[k] : foreseen_as[k]);
			origin[h] = (uint8_t)(origin[h] | (known ? ORIGIN_WHOLE_HOUR : 0));
		}
		struct degree_rule r = {10, 30, DEGREE_HOURLY, DEGREE_HORIZONTAL};
		struct degree_count c = degree_day_hours(&r, t, origin, DAY, beside[_i].station ? &station : NULL);
		ROW_INT(row, c.how, beside[_i].how);
		ROW_TRUE(row, c.any_forecast == beside[_i].forecast);
		if (c.how != DEGREE_UNKNOWN)
			ROW_NEAR(row, c.dd_c, c.how == DEGREE_EXTREMES ? 5.4413 : 6, 6e-5);
		/* A daily method goes by the station wherever there is one. */
		r.method = DEGREE_SINE;
		c = degree_day_hours(&r, t, origin, DAY, beside[_i].station ? &station : NULL);
		ROW_INT(row, c.how, beside[_i].station ? DEGREE_EXTREMES : beside[_i].how);
	}
}
END_TEST

START_TEST(sum)
{
	const struct degree_count days[] = {
	    {.dd_c = 5, .how = DEGREE_HOURS},
	    {.dd_c = 4, .how = DEGREE_HOURS_FILLED, .any_forecast = true},
	    {.dd_c = NONE, .how = DEGREE_UNKNOWN},
	    {.dd_c = 3, .how = DEGREE_EXTREMES},
	};
	struct degree_sum s = {0};
	for (size_t i = 0; i < sizeof days / sizeof *days; i++)
		degree_sum_add(&s, &days[i]);
	ROW_NEAR("sum", s.dd_c, 12, 0);
	ROW_INT("sum", s.days, 4);
	ROW_INT("sum", s.hours_days, 1);
	ROW_INT("sum", s.filled_days, 1);
	ROW_INT("sum", s.extremes_days, 1);
	ROW_INT("sum", s.missing_days, 1);
	ROW_INT("sum", s.forecast_days, 1);
}
END_TEST

#define LOOP(c, test, rows) tcase_add_loop_test(c, test, 0, (int)(sizeof(rows) / sizeof *(rows)))

static Suite *suite(void)
{
	Suite *s = suite_create("degree_hours");
	TCase *c = tcase_create("a day from its hours");
	LOOP(c, hourly, sampled);
	tcase_add_test(c, odd_days);
	tcase_add_test(c, ladder);
	tcase_add_test(c, filled_rate);
	tcase_add_test(c, hot_hours);
	tcase_add_test(c, daily_methods);
	tcase_add_test(c, forecast_is_said);
	LOOP(c, beside_a_station, beside);
	tcase_add_test(c, sum);
	suite_add_tcase(s, c);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
