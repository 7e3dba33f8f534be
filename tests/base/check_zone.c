/*
 * Rows are from the tz database's own rules (file and rule named in the row),
 * worked out to UTC by hand.
 */
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "base/file.h"
#include "base/instant.h"
#include "base/mem.h"
#include "base/zone.h"
#include "lib/harness.h"

static int64_t utc(const char *text)
{
	int64_t t;
	struct fault f;
	ROW_MSG(!instant_rfc3339(text, &t, &f), "%s", text);
	return t;
}

static struct date day(const char *text)
{
	struct date d;
	struct fault f;
	ROW_MSG(!date_parse(text, &d, &f), "%s", text);
	return d;
}

static void load(const char *name, const char *from, const char *to, struct zone *z)
{
	struct fault f = {FAULT_NONE, ""};
	ck_assert_msg(!zone_load(name, utc(from), utc(to), z, &f), "%s: %s", name, f.text);
}

static void load_years(const char *name, struct zone *z)
{
	load(name, "2010-01-01T00:00:00Z", "2030-01-01T00:00:00Z", z);
}

#define HM(h, m) ((h)*3600 + ((h) < 0 ? -(m) : (m)) * 60)

static const struct {
	const char *row, *zone, *step; /* the first instant of the new offset */
	int before, after;
} steps[] = {
    {"northamerica, rule US: second Sunday of March, 2:00", "America/Chicago", "2026-03-08T08:00:00Z", HM(-6, 0),
     HM(-5, 0)},
    {"northamerica, rule US: first Sunday of November, 2:00", "America/Chicago", "2026-11-01T07:00:00Z", HM(-5, 0),
     HM(-6, 0)},
    {"australasia, rule LH: first Sunday of April, 2:00", "Australia/Lord_Howe", "2026-04-04T15:00:00Z", HM(11, 0),
     HM(10, 30)},
    {"australasia, rule LH: first Sunday of October, 2:00", "Australia/Lord_Howe", "2026-10-03T15:30:00Z", HM(10, 30),
     HM(11, 0)},
    {"australasia, rule AS: first Sunday of April, 2:00s", "Australia/Adelaide", "2026-04-04T16:30:00Z", HM(10, 30),
     HM(9, 30)},
    {"australasia, rule AS: first Sunday of October, 2:00s", "Australia/Adelaide", "2026-10-03T16:30:00Z", HM(9, 30),
     HM(10, 30)},
    {"australasia, rule NZ: first Sunday of April, 2:45s and 2:00s", "Pacific/Auckland", "2026-04-04T14:00:00Z",
     HM(13, 0), HM(12, 0)},
    {"australasia, rule NZ: last Sunday of September, 2:00s", "Pacific/Auckland", "2026-09-26T14:00:00Z", HM(12, 0),
     HM(13, 0)},
    {"europe, rule Eire (winter is the negative one): 1:00u", "Europe/Dublin", "2026-03-29T01:00:00Z", HM(0, 0),
     HM(1, 0)},
    {"europe, rule Eire: 1:00u", "Europe/Dublin", "2026-10-25T01:00:00Z", HM(1, 0), HM(0, 0)},
    {"africa, rule Morocco, before Ramadan 2026: 3:00", "Africa/Casablanca", "2026-02-15T02:00:00Z", HM(1, 0),
     HM(0, 0)},
    {"africa, rule Morocco, after Ramadan 2026: 2:00", "Africa/Casablanca", "2026-03-22T02:00:00Z", HM(0, 0), HM(1, 0)},
    {"southamerica, rule Brazil: 2017-10-15 0:00", "America/Sao_Paulo", "2017-10-15T03:00:00Z", HM(-3, 0), HM(-2, 0)},
    {"southamerica, rule Brazil: 2018-02-18 0:00", "America/Sao_Paulo", "2018-02-18T02:00:00Z", HM(-2, 0), HM(-3, 0)},
    {"australasia, Apia over the date line, end of 2011-12-29", "Pacific/Apia", "2011-12-30T10:00:00Z", HM(-10, 0),
     HM(14, 0)},
};

START_TEST(offsets_at_a_step)
{
	struct zone z;
	load_years(steps[_i].zone, &z);
	int64_t t = utc(steps[_i].step);
	ROW_INT(steps[_i].row, zone_offset(&z, t - 1), steps[_i].before);
	ROW_INT(steps[_i].row, zone_offset(&z, t), steps[_i].after);
	ROW_STR(steps[_i].row, z.name, steps[_i].zone);
}
END_TEST

static const struct {
	const char *row, *zone, *date;
	int minutes;
} days[] = {
    {"US spring", "America/Chicago", "2026-03-08", 23 * 60},
    {"US autumn", "America/Chicago", "2026-11-01", 25 * 60},
    {"US plain", "America/Chicago", "2026-06-01", 24 * 60},
    {"southern autumn, half an hour", "Australia/Lord_Howe", "2026-04-05", 24 * 60 + 30},
    {"southern spring, half an hour", "Australia/Lord_Howe", "2026-10-04", 23 * 60 + 30},
    {"southern autumn", "Australia/Adelaide", "2026-04-05", 25 * 60},
    {"southern spring", "Australia/Adelaide", "2026-10-04", 23 * 60},
    {"southern autumn", "Pacific/Auckland", "2026-04-05", 25 * 60},
    {"southern spring", "Pacific/Auckland", "2026-09-27", 23 * 60},
    {"Ireland, spring", "Europe/Dublin", "2026-03-29", 23 * 60},
    {"Ireland, autumn", "Europe/Dublin", "2026-10-25", 25 * 60},
    {"Morocco, into Ramadan", "Africa/Casablanca", "2026-02-15", 25 * 60},
    {"Morocco, out of it", "Africa/Casablanca", "2026-03-22", 23 * 60},
    {"midnight skipped", "America/Sao_Paulo", "2017-10-15", 23 * 60},
    {"midnight twice: the hour belongs to the day before", "America/Sao_Paulo", "2018-02-17", 25 * 60},
    {"the day after it is plain", "America/Sao_Paulo", "2018-02-18", 24 * 60},
    {"a day that is not", "Pacific/Apia", "2011-12-30", 0},
    {"the days around it are whole", "Pacific/Apia", "2011-12-29", 24 * 60},
    {"the days around it are whole", "Pacific/Apia", "2011-12-31", 24 * 60},
};

START_TEST(length_of_days)
{
	struct zone z;
	load_years(days[_i].zone, &z);
	struct date d = day(days[_i].date);
	ROW_INT(days[_i].row, (zone_day_start(&z, date_add(d, 1)) - zone_day_start(&z, d)) / 60, days[_i].minutes);
}
END_TEST

static const struct {
	const char *row, *zone, *date;
	int second;
	const char *instant;
} clocks[] = {
    {"plain", "America/Chicago", "2026-06-01", HM(6, 0), "2026-06-01T11:00:00Z"},
    {"just before the gap", "America/Chicago", "2026-03-08", HM(2, 0) - 1, "2026-03-08T07:59:59Z"},
    {"the gap's first: 2:00 reads 3:00", "America/Chicago", "2026-03-08", HM(2, 0), "2026-03-08T08:00:00Z"},
    {"in the gap: 2:30 reads 3:30", "America/Chicago", "2026-03-08", HM(2, 30), "2026-03-08T08:30:00Z"},
    {"after the gap", "America/Chicago", "2026-03-08", HM(3, 0), "2026-03-08T08:00:00Z"},
    {"twice: the first 1:30", "America/Chicago", "2026-11-01", HM(1, 30), "2026-11-01T06:30:00Z"},
    {"after the second: 2:00", "America/Chicago", "2026-11-01", HM(2, 0), "2026-11-01T08:00:00Z"},
    {"half an hour's gap: 2:15 reads 2:45", "Australia/Lord_Howe", "2026-10-04", HM(2, 15), "2026-10-03T15:45:00Z"},
    {"half an hour twice: the first 1:45", "Australia/Lord_Howe", "2026-04-05", HM(1, 45), "2026-04-04T14:45:00Z"},
    {"half-hour zone", "Asia/Kolkata", "2026-06-01", HM(6, 0), "2026-06-01T00:30:00Z"},
    {"quarter-hour zone", "Asia/Kathmandu", "2026-06-01", HM(6, 0), "2026-06-01T00:15:00Z"},
    {"midnight skipped reads 1:00", "America/Sao_Paulo", "2017-10-15", 0, "2017-10-15T03:00:00Z"},
    {"no summer time since 2019 (southamerica, rule Brazil)", "America/Sao_Paulo", "2026-12-15", HM(6, 0),
     "2026-12-15T09:00:00Z"},
    {"summer in Dublin", "Europe/Dublin", "2026-07-01", HM(6, 0), "2026-07-01T05:00:00Z"},
    {"winter in Dublin", "Europe/Dublin", "2026-01-01", HM(6, 0), "2026-01-01T06:00:00Z"},
    {"noon of a day that is not reads noon of the next", "Pacific/Apia", "2011-12-30", HM(12, 0),
     "2011-12-30T22:00:00Z"},
};

START_TEST(clock_times)
{
	struct zone z;
	load_years(clocks[_i].zone, &z);
	int64_t got = zone_instant(&z, day(clocks[_i].date), clocks[_i].second);
	char text[INSTANT_TEXT_SIZE];
	ROW_STR(clocks[_i].row, instant_text(got, text), clocks[_i].instant);
}
END_TEST

START_TEST(a_gap_over_midnight)
{
	/* northamerica, rule Toronto: 1919-03-30 23:30 became 1919-03-31 0:30. */
	struct zone z;
	load("America/Toronto", "1919-01-01T00:00:00Z", "1919-12-31T00:00:00Z", &z);
	ck_assert_int_eq(zone_day_start(&z, day("1919-03-31")), utc("1919-03-31T04:30:00Z"));
	ck_assert_int_eq(zone_second(&z, utc("1919-03-31T04:30:00Z")), HM(0, 30));
	ck_assert_int_eq(zone_instant(&z, day("1919-03-31"), 0), utc("1919-03-31T05:00:00Z"));
	ck_assert_int_eq(zone_day_start(&z, day("1919-03-31")) - zone_day_start(&z, day("1919-03-30")), HM(23, 30));
}
END_TEST

START_TEST(zones_without_steps)
{
	struct zone z;
	load_years("Asia/Kolkata", &z);
	ck_assert_uint_eq(z.n, 1);
	ck_assert_int_eq(zone_offset(&z, 0), HM(5, 30));
	load_years("Asia/Kathmandu", &z);
	ck_assert_uint_eq(z.n, 1);
	ck_assert_int_eq(zone_offset(&z, utc("2026-01-01T00:00:00Z")), HM(5, 45));
	load_years("Etc/UTC", &z);
	ck_assert_uint_eq(z.n, 1);
	ck_assert_int_eq(zone_offset(&z, utc("2026-01-01T00:00:00Z")), 0);
}
END_TEST

START_TEST(fixed)
{
	struct zone z;
	zone_fixed("+05:45", HM(5, 45), &z);
	ck_assert_str_eq(z.name, "+05:45");
	struct date d = day("2026-06-01");
	ck_assert_int_eq(zone_instant(&z, d, 0), utc("2026-05-31T18:15:00Z"));
	ck_assert_int_eq(zone_day_start(&z, d), utc("2026-05-31T18:15:00Z"));
	ck_assert_int_eq(zone_date(&z, utc("2026-05-31T18:14:59Z")).n, d.n - 1);
	ck_assert_int_eq(zone_second(&z, utc("2026-05-31T18:14:59Z")), 86399);
	ck_assert_int_eq(zone_second(&z, utc("1969-12-31T18:15:00Z")), 0);
	ck_assert(zone_instant(&z, date_none(), 0) == INSTANT_NONE);
	ck_assert(zone_day_start(&z, date_none()) == INSTANT_NONE);
	ck_assert(!date_is(zone_date(&z, INSTANT_NONE)));
	ck_assert_int_eq(zone_second(&z, INSTANT_NONE), 0);
}
END_TEST

START_TEST(past_the_span_the_last_offset_holds)
{
	struct zone z;
	load("America/Chicago", "2026-06-01T00:00:00Z", "2026-07-01T00:00:00Z", &z);
	ck_assert_uint_eq(z.n, 1);
	ck_assert_int_eq(z.from, utc("2026-06-01T00:00:00Z"));
	ck_assert_int_eq(z.to, utc("2026-07-01T00:00:00Z"));
	ck_assert_int_eq(zone_offset(&z, utc("2026-12-24T00:00:00Z")), HM(-5, 0));
	ck_assert_int_eq(zone_offset(&z, utc("2026-01-06T00:00:00Z")), HM(-5, 0));
	/* A day that ends at the span's edge, on the day of a step, has its right length. */
	load("America/Chicago", "2026-03-07T06:00:00Z", "2026-03-08T06:00:00Z", &z);
	ck_assert_int_eq(zone_day_start(&z, day("2026-03-09")) - zone_day_start(&z, day("2026-03-08")), HM(23, 0));
}
END_TEST

static const struct {
	const char *row, *name, *says;
} bad[] = {
    {"unknown", "Nowhere/Bad", "time zone \"Nowhere/Bad\" is not known; a name such as America/Chicago is right"},
    {"misspelt", "America/Chicgo", "did you mean \"America/Chicago\"?"},
    {"small letters", "america/chicago", "did you mean \"America/Chicago\"?"},
    {"a blank", "America/New York", "did you mean \"America/New_York\"?"},
    {"the city alone", "Chicago", "did you mean \"America/Chicago\"?"},
    {"another continent", "Europe/Chicago", "did you mean \"America/Chicago\"?"},
    {"empty", "", "is not known"},
    {"a folder", "America", "is not known"},
    {"a folder", "America/", "is not known"},
    {"an absolute path", "/etc/localtime", "is not known"},
    {"up and out", "../../../etc/passwd", "is not known"},
    {"up within", "America/../Europe/Dublin", "is not known"},
    {"a colon", ":America/Chicago", "is not known"},
    {"a rule of POSIX", "CST6CDT,M3.2.0,M11.1.0", "is not known"},
    {"a table that is no zone", "zone.tab", "is not known"},
    {"a file that is no zone", "leapseconds", "is not known"},
    {"leap seconds counted", "right/America/Chicago", "is not known"},
    {"whatever the machine has", "localtime", "is not known"},
    {"too long", "America/Aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa",
     "is not known"},
    {"an abbreviation", "CDT", "is not known"},
};

START_TEST(unknown_names)
{
	static struct zone z;
	struct fault f = {FAULT_NONE, ""};
	z.n = 77;
	ROW_INT(bad[_i].row, zone_load(bad[_i].name, 0, DAY_S, &z, &f), FAULT_CONFIG);
	ROW_INT(bad[_i].row, f.code, FAULT_CONFIG);
	ck_assert_msg(strstr(f.text, bad[_i].says), "%s: \"%s\" says nothing of \"%s\"", bad[_i].row, f.text,
		      bad[_i].says);
	ROW_TRUE(bad[_i].row, z.n == 77);
}
END_TEST

START_TEST(tz_is_put_back)
{
	struct zone z;
	setenv("TZ", "Asia/Kathmandu", 1);
	tzset();
	load_years("America/Chicago", &z);
	ck_assert_str_eq(getenv("TZ"), "Asia/Kathmandu");
	ck_assert_int_eq(timezone, -HM(5, 45));
	unsetenv("TZ");
	load_years("America/Chicago", &z);
	ck_assert_ptr_null(getenv("TZ"));
	ck_assert_int_eq(zone_offset(&z, utc("2026-07-01T00:00:00Z")), HM(-5, 0));
}
END_TEST

START_TEST(several_live_side_by_side)
{
	static struct zone a, b;
	load_years("America/Chicago", &a);
	load_years("Australia/Adelaide", &b);
	int64_t t = utc("2026-01-01T00:00:00Z");
	ck_assert_int_eq(zone_offset(&a, t), HM(-6, 0));
	ck_assert_int_eq(zone_offset(&b, t), HM(10, 30));
}
END_TEST

START_TEST(no_memory)
{
	static struct zone z;
	struct fault f;
	setenv("TZ", "Asia/Kathmandu", 1);
	for (int after = 0;; after++) {
		mem_fail_after(after, false);
		enum fault_code code = zone_load("America/Chicago", 0, DAY_S, &z, &f);
		bool refused = mem_refused() > 0;
		mem_fail_after(-1, false);
		ck_assert_int_eq(code, refused ? FAULT_MEMORY : FAULT_NONE);
		ck_assert_str_eq(getenv("TZ"), "Asia/Kathmandu");
		if (!refused)
			break;
		ck_assert_int_lt(after, 20);
	}
}
END_TEST

/* Days tile the span; noon of a day is on that day; the table says what libc says. */
static void check_zone(const char *name)
{
	static struct zone z;
	const char *from = "2024-01-01T00:00:00Z", *to = "2028-01-01T00:00:00Z";
	load(name, from, to, &z);
	int64_t sum = 0;
	struct date first = day("2024-01-02"), last = day("2027-12-30");
	for (struct date d = first; d.n < last.n; d = date_add(d, 1)) {
		int64_t start = zone_day_start(&z, d), end = zone_day_start(&z, date_add(d, 1));
		/* Troll in Antarctica moves its clocks by two hours, all others by one or a half. */
		ROW_MSG(end - start >= 22 * HOUR_S && end - start <= 26 * HOUR_S, "%s: day %d", name, d.n);
		ROW_INT(name, zone_date(&z, start).n, d.n);
		ROW_INT(name, zone_date(&z, start - 1).n, d.n - 1);
		int64_t noon = zone_instant(&z, d, 12 * HOUR_S);
		ROW_INT(name, zone_date(&z, noon).n, d.n);
		ROW_INT(name, zone_second(&z, noon), 12 * HOUR_S);
		sum += end - start;
	}
	ROW_INT(name, sum, zone_day_start(&z, last) - zone_day_start(&z, first));
	setenv("TZ", name, 1);
	tzset();
	for (int64_t t = z.from; t < z.to; t += 7 * HOUR_S + 11 * 60) {
		time_t instant = (time_t)t;
		struct tm tm;
		ROW_TRUE(name, localtime_r(&instant, &tm));
		ROW_MSG(zone_offset(&z, t) == tm.tm_gmtoff, "%s at %lld", name, (long long)t);
	}
}

START_TEST(every_zone_of_the_database)
{
	char *tab;
	size_t n, zones = 0;
	struct fault f;
	ck_assert_int_eq(file_read("/usr/share/zoneinfo/zone.tab", 1 << 20, &tab, &n, &f), FAULT_NONE);
	for (char *line = tab; *line != '\0';) {
		char *end = line + strcspn(line, "\n");
		char *next = *end != '\0' ? end + 1 : end;
		*end = '\0';
		/* country, coordinates, name, parted by tabs */
		char *field = line[0] == '#' ? NULL : strchr(line, '\t');
		field = field ? strchr(field + 1, '\t') : NULL;
		if (field) {
			field[1 + strcspn(field + 1, "\t")] = '\0';
			check_zone(field + 1);
			zones++;
		}
		line = next;
	}
	ck_assert_uint_gt(zones, 300);
	mem_free(tab);
}
END_TEST

#define ROWS(t) ((int)(sizeof(t) / sizeof((t)[0])))

static Suite *suite(void)
{
	Suite *s = suite_create("zone");
	TCase *c = tcase_create("zone");
	tcase_set_timeout(c, 60);
	tcase_add_loop_test(c, offsets_at_a_step, 0, ROWS(steps));
	tcase_add_loop_test(c, length_of_days, 0, ROWS(days));
	tcase_add_loop_test(c, clock_times, 0, ROWS(clocks));
	tcase_add_test(c, a_gap_over_midnight);
	tcase_add_test(c, zones_without_steps);
	tcase_add_test(c, fixed);
	tcase_add_test(c, past_the_span_the_last_offset_holds);
	tcase_add_loop_test(c, unknown_names, 0, ROWS(bad));
	tcase_add_test(c, tz_is_put_back);
	tcase_add_test(c, several_live_side_by_side);
	tcase_add_test(c, no_memory);
	tcase_add_test(c, every_zone_of_the_database);
	suite_add_tcase(s, c);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
