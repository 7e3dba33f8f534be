/*
 * Decoding beside its floor: (parse + decode + free) / (parse + free) of the
 * same bytes with cJSON, for generated answers in the three layouts.
 */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cjson/cJSON.h>

#include "base/instant.h"
#include "base/text.h"
#include "bench.h"
#include "source/answer.h"

enum { TIMES = 401, HOURS = 384, BYTES_MAX = 1 << 20, ARRAYS = 15 };

static const int64_t FIRST = 1934236800; /* 2031-04-18T00:00:00Z */

static struct description d;
static char body[BYTES_MAX];
static size_t size;

static void parse_alone(void)
{
	cJSON *root = cJSON_ParseWithLength(body, size + 1);
	if (root == NULL)
		abort();
	cJSON_Delete(root);
}

static void decode(void)
{
	const char *bodies[] = {body};
	struct answer_given given = {bodies, &size, 1, FIRST, NULL};
	static struct answer_report rep;
	struct issue out;
	struct fault f = {0};
	if (answer_decode(&d, &given, &out, &rep, &f)) {
		fprintf(stderr, "%s\n", f.text);
		abort();
	}
	for (size_t i = 0; i < rep.n; i++) {
		if (rep.row[i].refused || rep.row[i].hours == 0) {
			fprintf(stderr, "%s\n", rep.row[i].said);
			abort();
		}
	}
	issue_free(&out);
}

static void compare(const char *what, const char *description, double at_most)
{
	static struct faults all;
	all = (struct faults){0};
	if (describe_parse("bench.ini", description, strlen(description), &d, &all)) {
		fprintf(stderr, "%s\n", all.at[0].text);
		abort();
	}
	/* By turns, so that a busy machine slows both. */
	static double ours[TIMES], alone[TIMES];
	for (int i = 0; i < TIMES; i++) {
		double from = bench_now();
		parse_alone();
		double between = bench_now();
		decode();
		ours[i] = bench_now() - between;
		alone[i] = between - from;
	}
	bench_line(what, bench_median(ours, TIMES), "cJSON: parse, free", bench_median(alone, TIMES), at_most);
}

#define HEAD "[source]\ntitle = T\ncredit = C\n[step a]\nurl = https://weather.example/\n"

static const char *const names[] = {
    "air_temperature",
    "dew_point_temperature",
    "relative_humidity",
    "cloud_area_fraction",
    "wind_speed",
    "air_pressure_at_mean_sea_level",
    "soil_temperature",
    "precipitation_amount",
    "probability_of_precipitation",
    "wind_speed_of_gust",
    "surface_downwelling_shortwave_flux_in_air",
};
static const char *const how[] = {
    "unit = degC\nkind = instant\n",
    "unit = degC\nkind = instant\n",
    "unit = %\nkind = instant\n",
    "unit = %\nkind = instant\n",
    "unit = m/s\nkind = instant\n",
    "unit = hPa\nkind = instant\n",
    "unit = degC\nkind = instant\n",
    "unit = mm\nkind = total\nstamp = end\nperiod = PT1H\n",
    "unit = %\nkind = prob\nstamp = end\nperiod = PT1H\n",
    "unit = m/s\nkind = max\nstamp = end\nperiod = PT1H\n",
    "unit = W/m2\nkind = mean\nstamp = end\nperiod = PT1H\n",
};
enum { MAPPED = sizeof names / sizeof names[0] };

/* A number with a decimal, like those of services; within the range of every variable. */
static double number(int variable, int hour)
{
	static const double base[MAPPED] = {15, 8, 60, 40, 3, 1010, 12, 0.3, 20, 7, 250};
	return (variable < MAPPED ? base[variable] : 50) + (double)((hour * 7 + variable) % 10) / 10;
}

static void add_time(struct text *t, int64_t at)
{
	char buf[INSTANT_TEXT_SIZE];
	text_addf(t, "\"%s\"", instant_text(at, buf));
}

static void describe(struct text *t, const char *data, const char *key, const char *where)
{
	text_addf(t, HEAD "[data]\n%s", data);
	for (int v = 0; v < MAPPED; v++)
		text_addf(t, "[var %s]\n%s = %s/v%d\n%s", names[v], key, where, v, how[v]);
}

static void bench_arrays(void)
{
	static char mem[8192];
	struct text t, description;
	text_over(&t, body, sizeof body);
	text_add(&t, "{\"time\":[");
	for (int h = 0; h < HOURS; h++)
		text_addf(&t, "%s%lld", h == 0 ? "" : ",", (long long)(FIRST + (int64_t)h * HOUR_S));
	text_add(&t, "]");
	for (int v = 0; v < ARRAYS; v++) {
		text_addf(&t, ",\"v%d\":[", v);
		for (int h = 0; h < HOURS; h++)
			text_addf(&t, "%s%.1f", h == 0 ? "" : ",", number(v, h));
		text_add(&t, "]");
	}
	text_add(&t, "}");
	size = t.len;
	text_over(&description, mem, sizeof mem);
	describe(&description, "times = /time\ntime_format = unix\n", "values", "");
	compare("arrays, 384 h, 11 of 15 mapped", mem, 1.3);
}

static void bench_rows(void)
{
	static char mem[8192];
	struct text t, description;
	text_over(&t, body, sizeof body);
	text_add(&t, "{\"rows\":[");
	for (int h = 0; h < HOURS; h++) {
		text_addf(&t, "%s{\"time\":", h == 0 ? "" : ",");
		add_time(&t, FIRST + (int64_t)h * HOUR_S);
		text_add(&t, ",\"data\":{\"details\":{");
		for (int v = 0; v < ARRAYS; v++)
			text_addf(&t, "%s\"v%d\":%.1f", v == 0 ? "" : ",", v, number(v, h));
		text_add(&t, "}}}");
	}
	text_add(&t, "]}");
	size = t.len;
	text_over(&description, mem, sizeof mem);
	describe(&description, "rows = /rows\ntime = /time\ntime_format = rfc3339\n", "value", "/data/details");
	compare("rows, 384 h, 11 of 15 mapped", mem, 1.9);
}

/*
 * Spans of 1, 2, 3 and 6 hours by turns, as run-length coding makes them; values with all their digits, as
 * services print what they have converted; layers beside those that are mapped.
 */
static void bench_intervals(void)
{
	static const int span[] = {1, 2, 3, 6};
	static char mem[8192];
	struct text t, description;
	text_over(&t, body, sizeof body);
	text_add(&t, "{");
	text_over(&description, mem, sizeof mem);
	text_add(&description, HEAD "[data]\ntime = /validTime\nvalue = /value\ntime_format = iso8601-interval\n");
	for (int v = 0; v < ARRAYS; v++) {
		text_addf(&t, "%s\"v%d\":{\"values\":[", v == 0 ? "" : ",", v);
		for (int h = 0, i = 0; h < HOURS / 2; h += span[i % 4], i++) {
			char buf[INSTANT_TEXT_SIZE];
			text_addf(&t, "%s{\"validTime\":\"%.19s+00:00/PT%dH\",\"value\":%.17g}", h == 0 ? "" : ",",
				  instant_text(FIRST + (int64_t)h * HOUR_S, buf), span[i % 4], number(v, h));
		}
		text_add(&t, "]}");
		if (v >= MAPPED)
			continue;
		const char *unit_end = strchr(how[v], '\n') + 1;
		const char *kind = strstr(how[v], "kind = instant") != NULL ? "kind = hold\n" : unit_end;
		text_addf(&description, "[var %s]\nrows = /v%d/values\n%.*s%.*s", names[v], v, (int)(unit_end - how[v]),
			  how[v], (int)(strchr(kind, '\n') + 1 - kind), kind);
	}
	text_add(&t, "}");
	size = t.len;
	compare("intervals, 192 h, 11 of 15 mapped", mem, 1.4);
}

void bench_answer(void)
{
	answer_init();
	bench_arrays();
	bench_intervals();
	bench_rows();
}
