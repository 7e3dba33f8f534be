#include "source/stamp.h"

#include <string.h>

#include "base/instant.h"
#include "lib/harness.h"

/* Instants checked with `date -u -d TEXT +%s`. */
enum { APRIL_18 = 1934236800 }; /* 2031-04-18T00:00:00Z */

static const struct {
	const char *name;
	enum stamp_format format;
	int offset_s;
	const char *json;
	int64_t begin, end; /* INSTANT_NONE: refused */
} stamps[] = {
    {"rfc3339 Z", STAMP_RFC3339, 0, "\"2031-04-18T00:00:00Z\"", APRIL_18, APRIL_18},
    {"rfc3339 offset", STAMP_RFC3339, 0, "\"2031-04-17T19:00:00-05:00\"", APRIL_18, APRIL_18},
    {"rfc3339 fraction", STAMP_RFC3339, 0, "\"2031-04-18T00:00:00.250+00:00\"", APRIL_18, APRIL_18},
    {"rfc3339 takes no number", STAMP_RFC3339, 0, "1934236800", INSTANT_NONE, 0},
    {"rfc3339 wants an offset", STAMP_RFC3339, 0, "\"2031-04-18T00:00:00\"", INSTANT_NONE, 0},
    {"no such day", STAMP_RFC3339, 0, "\"2031-02-31T00:00:00Z\"", INSTANT_NONE, 0},
    {"interval hours", STAMP_INTERVAL, 0, "\"2031-04-18T00:00:00+00:00/PT1H\"", APRIL_18, APRIL_18 + 3600},
    {"interval 72 h", STAMP_INTERVAL, 0, "\"2031-04-18T00:00:00+00:00/PT72H\"", APRIL_18, APRIL_18 + 72 * 3600},
    {"interval days and hours", STAMP_INTERVAL, 0, "\"2031-04-18T00:00:00+00:00/P1DT6H\"", APRIL_18,
     APRIL_18 + 30 * 3600},
    {"interval with end", STAMP_INTERVAL, 0, "\"2031-04-18T00:00:00Z/2031-04-18T06:00:00Z\"", APRIL_18,
     APRIL_18 + 6 * 3600},
    {"interval backwards", STAMP_INTERVAL, 0, "\"2031-04-18T00:00:00Z/2031-04-17T06:00:00Z\"", INSTANT_NONE, 0},
    {"interval of months", STAMP_INTERVAL, 0, "\"2031-04-18T00:00:00Z/P1M\"", INSTANT_NONE, 0},
    {"interval over 31 days", STAMP_INTERVAL, 0, "\"2031-04-18T00:00:00Z/P32D\"", INSTANT_NONE, 0},
    {"interval from now", STAMP_INTERVAL, 0, "\"NOW/PT1H\"", INSTANT_NONE, 0},
    {"unix", STAMP_UNIX, 0, "1934236800", APRIL_18, APRIL_18},
    {"unix milliseconds", STAMP_UNIX, 0, "1934236800000", INSTANT_NONE, 0},
    {"unix 1e300", STAMP_UNIX, 0, "1e300", INSTANT_NONE, 0},
    {"unix as text", STAMP_UNIX, 0, "\"1934236800\"", INSTANT_NONE, 0},
    {"local east", STAMP_LOCAL, 7200, "\"2031-04-18T02:00\"", APRIL_18, APRIL_18},
    {"local west", STAMP_LOCAL, -18000, "\"2031-04-17T19:00\"", APRIL_18, APRIL_18},
    {"local takes no offset", STAMP_LOCAL, 0, "\"2031-04-18T02:00Z\"", INSTANT_NONE, 0},
    {"before 1900", STAMP_RFC3339, 0, "\"1899-12-31T23:59:59Z\"", INSTANT_NONE, 0},
    {"1900", STAMP_RFC3339, 0, "\"1900-01-01T00:00:00Z\"", -2208988800, -2208988800},
    {"after 2199", STAMP_RFC3339, 0, "\"2200-01-01T00:00:00Z\"", INSTANT_NONE, 0},
    {"true", STAMP_RFC3339, 0, "true", INSTANT_NONE, 0},
};

START_TEST(reads)
{
	const char *row = stamps[_i].name;
	struct stamp_rule rule = {stamps[_i].format, stamps[_i].offset_s, NULL};
	int64_t begin = 0, end = 0;
	struct fault f = {0};
	cJSON *item = cJSON_Parse(stamps[_i].json);
	enum fault_code code = stamp_read(&rule, item, &begin, &end, &f);
	cJSON_Delete(item);
	if (stamps[_i].begin == INSTANT_NONE) {
		ROW_INT(row, code, FAULT_DATA);
		ROW_TRUE(row, f.text[0] != '\0');
		return;
	}
	ROW_INT(row, code, FAULT_NONE);
	ROW_INT(row, begin, stamps[_i].begin);
	ROW_INT(row, end, stamps[_i].end);
}
END_TEST

START_TEST(reads_zone)
{
	/* A zone two hours east until the instant, one hour from then on. */
	struct zone z = {.n = 2, .step = {{0, 7200}, {APRIL_18, 3600}}};
	struct stamp_rule rule = {STAMP_LOCAL, 0, &z};
	int64_t begin = 0, end = 0;
	struct fault f = {0};
	cJSON *before = cJSON_CreateString("2031-04-17T20:00"), *after = cJSON_CreateString("2031-04-18T20:00");
	ck_assert_int_eq(stamp_read(&rule, before, &begin, &end, &f), FAULT_NONE);
	ck_assert_int_eq(begin, APRIL_18 - 6 * 3600);
	ck_assert_int_eq(stamp_read(&rule, after, &begin, &end, &f), FAULT_NONE);
	ck_assert_int_eq(begin, APRIL_18 + 19 * 3600);
	cJSON_Delete(before);
	cJSON_Delete(after);
}
END_TEST

START_TEST(tells_instants_by_type)
{
	int64_t t = 0;
	struct fault f = {0};
	cJSON *number = cJSON_CreateNumber(APRIL_18), *text = cJSON_CreateString("2031-04-18T00:00:00Z");
	ck_assert_int_eq(stamp_instant(number, &t, &f), FAULT_NONE);
	ck_assert_int_eq(t, APRIL_18);
	ck_assert_int_eq(stamp_instant(text, &t, &f), FAULT_NONE);
	ck_assert_int_eq(t, APRIL_18);
	ck_assert_int_eq(stamp_instant(NULL, &t, &f), FAULT_DATA);
	cJSON_Delete(number);
	cJSON_Delete(text);
}
END_TEST

static const struct {
	const char *text;
	int want; /* INT32_MIN: refused */
} offsets[] = {
    {"+02:00", 7200},     {"-0330", -12600},     {"Z", 0},
    {"7200", 7200},       {"-18000", -18000},    {"+05:45", 20700},
    {"+2:00", INT32_MIN}, {"+02:60", INT32_MIN}, {"+19:00", INT32_MIN},
    {"CEST", INT32_MIN},  {"", INT32_MIN},       {"+", INT32_MIN},
    {"70000", INT32_MIN},
};

START_TEST(reads_offsets)
{
	int got = 0;
	struct fault f = {0};
	enum fault_code code = stamp_offset(offsets[_i].text, &got, &f);
	if (offsets[_i].want == INT32_MIN) {
		ROW_INT(offsets[_i].text, code, FAULT_DATA);
		return;
	}
	ROW_INT(offsets[_i].text, code, FAULT_NONE);
	ROW_INT(offsets[_i].text, got, offsets[_i].want);
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("stamp");
	TCase *t = tcase_create("stamp");
	tcase_add_loop_test(t, reads, 0, sizeof stamps / sizeof stamps[0]);
	tcase_add_test(t, reads_zone);
	tcase_add_test(t, tells_instants_by_type);
	tcase_add_loop_test(t, reads_offsets, 0, sizeof offsets / sizeof offsets[0]);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
