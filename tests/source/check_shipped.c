#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/file.h"
#include "base/instant.h"
#include "base/mem.h"
#include "lib/harness.h"
#include "source/answer.h"
#include "source/plan.h"
#include "source/report.h"

/* The descriptions that are shipped, each with a small answer of our own in its service's shape: invented numbers. */

enum { WANTS = 13, ANSWER_MAX = 64 * 1024 };

static struct description d;
static struct issue issue;
static struct answer_report rep;
static struct fault f;

static int64_t at(int hour)
{
	struct date day;
	ck_assert(date_of(2031, 4, 18, &day));
	return instant_at(day, 0, 0) + hour * HOUR_S;
}

struct want {
	enum var v;
	int hour;
	double x;
};

#define NONE ((double)NAN)
#define END                                                                                                            \
	{                                                                                                              \
		VARS, 0, 0                                                                                             \
	}

/* 0.36 kWh/m2 in an hour are 360 W/m2; 18 km/h are 5 m/s: by definition. */
static const struct {
	const char *file, *answer;
	int64_t max_age_s;
	struct want want[WANTS];
} shipped[] = {
    {"config/sources/nws-grid.ini",
     "fixtures/source/nws-grid.json",
     18 * 3600,
     {{VAR_AIR_TEMPERATURE, 0, 10},
      {VAR_AIR_TEMPERATURE, 3, 80 / 9.0},
      {VAR_AIR_TEMPERATURE, 33, 20 / 9.0},
      {VAR_AIR_TEMPERATURE, 34, NONE},
      {VAR_WIND, 5, 5},
      {VAR_GUST, 0, NONE},
      {VAR_CLOUD, 0, 0.25},
      {VAR_PRECIPITATION, 5, 0.5},
      {VAR_PRECIPITATION, 17, 0.5},
      {VAR_WINDOW_MINIMUM, 0, 15 / 9.0},
      {VAR_WINDOW_MINIMUM_SPAN, 0, 14},
      END}},
    {"config/sources/metno.ini",
     "fixtures/source/metno.json",
     18 * 3600,
     {{VAR_AIR_TEMPERATURE, 0, 10},
      {VAR_AIR_TEMPERATURE, 2, 8},
      {VAR_AIR_TEMPERATURE, 5, 11},
      {VAR_AIR_TEMPERATURE, 8, 14},
      {VAR_PRECIPITATION, 1, 0.5},
      {VAR_PRECIPITATION, 2, 0.5},
      {VAR_PRECIPITATION, 7, 0.5},
      {VAR_PRECIPITATION, 8, NONE},
      {VAR_WINDOW_MINIMUM, 0, NONE},
      {VAR_WINDOW_MINIMUM, 2, 4.5},
      {VAR_WINDOW_MINIMUM_SPAN, 2, 6},
      END}},
    {"config/sources/open-meteo.ini",
     "fixtures/source/open-meteo.json",
     0,
     {{VAR_AIR_TEMPERATURE, 0, 10},
      {VAR_AIR_TEMPERATURE, 2, 9},
      {VAR_AIR_TEMPERATURE, 3, NONE},
      {VAR_PRECIPITATION, -1, 9},
      {VAR_PRECIPITATION, 0, 0.5},
      {VAR_PRECIPITATION, 1, 1.5},
      {VAR_SHORTWAVE, 1, 200},
      {VAR_CLOUD, 1, 0.5},
      {VAR_HUMIDITY, 2, 0.72},
      {VAR_SOIL_TEMPERATURE, 2, 12},
      END}},
    {"config/sources/open-meteo-archive.ini",
     "fixtures/source/open-meteo-archive.json",
     0,
     {{VAR_AIR_TEMPERATURE, 0, 10},
      {VAR_AIR_TEMPERATURE, 2, 9},
      {VAR_AIR_TEMPERATURE, 3, NONE},
      {VAR_PRECIPITATION, -1, 9},
      {VAR_PRECIPITATION, 2, NONE},
      {VAR_PRECIPITATION_CHANCE, 1, NONE},
      {VAR_SHORTWAVE, 1, 200},
      {VAR_HUMIDITY, 2, 0.72},
      {VAR_SOIL_TEMPERATURE, 2, 12},
      END}},
    {"config/sources/bright-sky.ini",
     "fixtures/source/bright-sky.json",
     0,
     {{VAR_AIR_TEMPERATURE, -9, 12.25},
      {VAR_SHORTWAVE, -10, 360},
      {VAR_SHORTWAVE, -9, 180},
      {VAR_WIND, -10, 5},
      {VAR_WIND, -9, 5},
      {VAR_GUST, -10, 10},
      {VAR_GUST, -7, NONE},
      {VAR_HUMIDITY, -3, 0.63},
      {VAR_HUMIDITY, -2, NONE},
      {VAR_PRECIPITATION_CHANCE, -4, NONE},
      {VAR_PRECIPITATION_CHANCE, -3, 0.05},
      END}},
};

static void load(const char *file)
{
	static struct faults all;
	all = (struct faults){0};
	ck_assert_msg(describe_load(file, &d, &all) == FAULT_NONE, "%s", all.at[0].text);
}

static void decode(const char *file)
{
	char *bytes;
	size_t n;
	ck_assert_msg(file_read(file, ANSWER_MAX, &bytes, &n, &f) == FAULT_NONE, "%s", f.text);
	const char *bodies[] = {bytes};
	const struct answer_given given = {.bodies = bodies, .sizes = &n, .n = 1, .received = at(0)};
	answer_init();
	ck_assert_msg(answer_decode(&d, &given, &issue, &rep, &f) == FAULT_NONE, "%s: %s", file, f.text);
	mem_free(bytes);
}

START_TEST(shipped_description)
{
	const char *row = shipped[_i].file;
	load(row);
	decode(shipped[_i].answer);
	for (const struct want *w = shipped[_i].want; w->v != VARS; w++) {
		double got = hours_get(&issue.hours, w->v, at(w->hour));
		ck_assert_msg(isnan(w->x) ? isnan(got) : fabs(got - w->x) < 1e-9,
			      "%s: %s at hour %d is %.10g, want %.10g", row, var_row(w->v)->name, w->hour, got, w->x);
	}
	ROW_TRUE(row, issue.credit[0] != '\0');
	ROW_INT(row, issue.max_age_s, shipped[_i].max_age_s);
	for (size_t i = 0; i < rep.n; i++)
		ck_assert_msg(!rep.row[i].refused, "%s: %s", row, rep.row[i].said);
	issue_free(&issue);
}
END_TEST

START_TEST(steps_of_the_grid)
{
	char *bytes;
	size_t n;
	static struct plan_vars vars;
	static struct plan_request request;
	const struct plan_ask ask = {
	    .place = {4431, -8990, 330}, .now = at(0), .start = date_none(), .end = date_none()};
	load("config/sources/nws-grid.ini");
	ck_assert_int_eq(plan_request(&d, 0, &ask, &vars, &request, &f), FAULT_NONE);
	ck_assert_str_eq(request.url, "https://api.weather.gov/points/44.31,-89.9");
	ck_assert_int_eq(file_read("fixtures/source/nws-grid-point.json", ANSWER_MAX, &bytes, &n, &f), FAULT_NONE);
	ck_assert_int_eq(plan_learn(&d, 0, bytes, n, &vars, &f), FAULT_NONE);
	ck_assert_int_eq(plan_request(&d, 1, &ask, &vars, &request, &f), FAULT_NONE);
	ck_assert_str_eq(request.url, "https://api.weather.gov/gridpoints/QQQ/1,2");
	mem_free(bytes);
}
END_TEST

/* One weather told by three services, each with its stamps and units. */
START_TEST(one_weather)
{
	static const struct {
		const char *file, *answer;
		bool but[VARS]; /* not told, or in another sense (a mean wind beside one at the hour) */
	} other[] = {
	    {"config/sources/open-meteo-archive.ini",
	     "fixtures/source/open-meteo-archive.json",
	     {[VAR_PRECIPITATION_CHANCE] = true}},
	    {"config/sources/bright-sky.ini",
	     "fixtures/source/bright-sky.json",
	     {[VAR_WIND] = true, [VAR_HUMIDITY] = true, [VAR_SOIL_TEMPERATURE] = true}},
	};
	struct issue first;
	size_t same = 0;
	load("config/sources/open-meteo.ini");
	decode("fixtures/source/open-meteo.json");
	first = issue;
	load(other[_i].file);
	decode(other[_i].answer);
	for (int v = 0; v < VARS; v++) {
		for (int64_t t = first.hours.first; t < hours_end(&first.hours) && !other[_i].but[v]; t += HOUR_S) {
			double want = hours_get(&first.hours, (enum var)v, t);
			if (isnan(want))
				continue;
			ROW_NEAR(var_row((enum var)v)->name, hours_get(&issue.hours, (enum var)v, t), want, 1e-9);
			same++;
		}
	}
	/* Three hours of each variable of the first but those. */
	ROW_INT(other[_i].file, same, 3 * (11 - (_i == 0 ? 1 : 3)));
	issue_free(&first);
	issue_free(&issue);
}
END_TEST

/* The list goes from station to forecast at 21 h; what counts as observed ends six hours before the request. */
START_TEST(station_becomes_forecast)
{
	load("config/sources/bright-sky.ini");
	decode("fixtures/source/bright-sky.json");
	for (int h = -9; h <= 2; h++) {
		enum origin want = h < -6 ? ORIGIN_OBSERVED : h < 0 ? ORIGIN_ANALYSED : ORIGIN_FORECAST;
		ck_assert_msg(hours_origin(&issue.hours, VAR_AIR_TEMPERATURE, at(h)) == want, "hour %d", h);
	}
	ck_assert_int_eq(hours_origin(&issue.hours, VAR_SHORTWAVE, at(-7)), ORIGIN_OBSERVED);
	ck_assert_int_eq(hours_origin(&issue.hours, VAR_SHORTWAVE, at(-6)), ORIGIN_ANALYSED);
	ck_assert(hours_whole(&issue.hours, VAR_WIND, at(-7)));
	issue_free(&issue);
}
END_TEST

/* Days, as the services want them: both ends belong to what is asked. */
static const struct {
	const char *file, *start, *end, *want;
} days[] = {
    {"config/sources/open-meteo-archive.ini", "2031-03-01", "2031-03-31",
     "&start_date=2031-03-01&end_date=2031-03-31&"},
    {"config/sources/open-meteo-archive.ini", NULL, NULL, "&start_date=2031-04-04&end_date=2031-04-13&"},
    {"config/sources/bright-sky.ini", "2031-03-01", "2031-03-31", "&date=2031-03-01&last_date=2031-03-31T23:00Z&"},
    {"config/sources/bright-sky.ini", NULL, NULL, "&date=2031-04-16&last_date=2031-04-27T23:00Z&"},
};

START_TEST(asks_for_days)
{
	static struct plan_vars vars;
	static struct plan_request request;
	struct plan_ask ask = {.place = {4431, -8990, 330}, .now = at(0), .start = date_none(), .end = date_none()};
	load(days[_i].file);
	if (days[_i].start != NULL)
		ck_assert(date_parse(days[_i].start, &ask.start, &f) == FAULT_NONE &&
			  date_parse(days[_i].end, &ask.end, &f) == FAULT_NONE);
	ck_assert_int_eq(plan_request(&d, 0, &ask, &vars, &request, &f), FAULT_NONE);
	ck_assert_msg(strstr(request.url, days[_i].want) != NULL, "%s", request.url);
	ck_assert(d.dated && d.piece_days == 31);
}
END_TEST

/* The query asks for just what is mapped. */
static const char *const asking[] = {"config/sources/open-meteo.ini", "config/sources/open-meteo-archive.ini"};

START_TEST(asks_what_it_maps)
{
	static struct plan_vars vars;
	static struct plan_request request;
	const struct plan_ask ask = {
	    .place = {4431, -8990, 330}, .now = at(0), .start = date_none(), .end = date_none()};
	load(asking[_i]);
	ck_assert_int_eq(plan_request(&d, 0, &ask, &vars, &request, &f), FAULT_NONE);
	const char *list = strstr(request.url, "hourly=");
	ck_assert(list != NULL && strstr(request.url, "latitude=44.31&longitude=-89.9&elevation=330&") != NULL);
	size_t n = strcspn(list, "&"), commas = 0;
	for (size_t i = 0; i < n; i++)
		commas += list[i] == ',';
	ck_assert_uint_eq(commas + 1, d.vars);
	for (size_t i = 0; i < d.vars; i++) {
		const char *name = pointer_last(&d.var[i].way[0].value);
		ck_assert_msg(strstr(list, name) != NULL, "%s is not asked for", name);
	}
}
END_TEST

START_TEST(report_lines)
{
	static char mem[16 * 1024];
	struct text t;
	load("config/sources/nws-grid.ini");
	decode("fixtures/source/nws-grid.json");
	text_over(&t, mem, sizeof mem);
	report_print(&rep, &d, &issue, &t);
	size_t lines = 0;
	for (const char *p = t.at; (p = strchr(p, '\n')) != NULL; p++)
		lines++;
	ck_assert_uint_ge(lines, d.vars + 1);
	for (size_t i = 0; i < d.vars; i++)
		ck_assert_ptr_nonnull(strstr(t.at, var_row(d.var[i].var)->name));
	ck_assert_ptr_nonnull(strstr(t.at, "wmoUnit:km_h-1 -> m/s"));
	ck_assert_ptr_nonnull(strstr(t.at, "precipitation_amount: 9.000 mm in, 9.000 mm laid into 18 hours"));
	issue_free(&issue);
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("shipped");
	TCase *t = tcase_create("shipped");
	tcase_add_loop_test(t, shipped_description, 0, sizeof shipped / sizeof *shipped);
	tcase_add_test(t, steps_of_the_grid);
	tcase_add_loop_test(t, one_weather, 0, 2);
	tcase_add_test(t, station_becomes_forecast);
	tcase_add_loop_test(t, asks_for_days, 0, sizeof days / sizeof *days);
	tcase_add_loop_test(t, asks_what_it_maps, 0, sizeof asking / sizeof *asking);
	tcase_add_test(t, report_lines);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
