#include <string.h>

#include "base/instant.h"
#include "lib/harness.h"

static int64_t at(int year, int month, int day, int second)
{
	struct date d;
	ck_assert(date_of(year, month, day, &d));
	return instant_at(d, second, 0);
}

#define HMS(h, m, s) ((h)*3600 + (m)*60 + (s))

static const struct {
	const char *row, *text;
	int year, month, day, second; /* UTC */
} instants[] = {
    {"RFC 3339 5.8, first", "1985-04-12T23:20:50.52Z", 1985, 4, 12, HMS(23, 20, 50)},
    {"RFC 3339 5.8, second", "1996-12-19T16:39:57-08:00", 1996, 12, 20, HMS(0, 39, 57)},
    {"RFC 3339 5.8, leap second", "1990-12-31T23:59:60Z", 1991, 1, 1, 0},
    {"RFC 3339 5.8, leap second in Pacific time", "1990-12-31T15:59:60-08:00", 1991, 1, 1, 0},
    {"RFC 3339 5.8, Netherlands 1937", "1937-01-01T12:00:27.87+00:20", 1937, 1, 1, HMS(11, 40, 27)},
    {"RFC 3339 5.6: t and z may be small", "2026-05-12t05:00:00z", 2026, 5, 12, HMS(5, 0, 0)},
    {"RFC 3339 5.6: a blank for T", "2026-05-12 05:00:00Z", 2026, 5, 12, HMS(5, 0, 0)},
    {"RFC 3339 4.3: -00:00 is UTC", "2026-05-12T05:00:00-00:00", 2026, 5, 12, HMS(5, 0, 0)},
    {"ISO 8601: no seconds", "2026-05-12T05:07Z", 2026, 5, 12, HMS(5, 7, 0)},
    {"ISO 8601: offset without colon", "2026-05-12T05:00:00+0545", 2026, 5, 11, HMS(23, 15, 0)},
    {"half-hour offset", "2026-05-12T05:00:00-03:30", 2026, 5, 12, HMS(8, 30, 0)},
    {"offset at its end", "2026-05-12T05:00:00+23:59", 2026, 5, 11, HMS(5, 1, 0)},
    {"long fraction is cut", "2026-05-12T05:00:00.999999999999Z", 2026, 5, 12, HMS(5, 0, 0)},
    {"before the epoch", "1969-12-31T23:59:59Z", 1969, 12, 31, HMS(23, 59, 59)},
    {"first year", "0001-01-01T00:00:00Z", 1, 1, 1, 0},
};

START_TEST(rfc3339)
{
	int64_t t = 0;
	struct fault f = {FAULT_NONE, ""};
	ck_assert_msg(!instant_rfc3339(instants[_i].text, &t, &f), "%s: %s", instants[_i].row, f.text);
	ROW_INT(instants[_i].row, t,
		at(instants[_i].year, instants[_i].month, instants[_i].day, 0) + instants[_i].second);
}
END_TEST

static const struct {
	const char *row, *text;
} refused_instants[] = {
    {"empty", ""},
    {"date alone", "2026-05-12"},
    {"no offset", "2026-05-12T05:00:00"},
    {"31 February", "2026-02-31T05:00:00Z"},
    {"month 13", "2026-13-01T05:00:00Z"},
    {"hour 24", "2026-05-12T24:00:00Z"},
    {"minute 60", "2026-05-12T05:60:00Z"},
    {"second 61", "2026-06-30T23:59:61Z"},
    {"leap second in the middle of a day", "2026-05-12T05:00:60Z"},
    {"leap second in the middle of a month", "2026-05-12T23:59:60Z"},
    {"empty fraction", "2026-05-12T05:00:00.Z"},
    {"comma fraction", "2026-05-12T05:00:00,5Z"},
    {"offset hour 24", "2026-05-12T05:00:00+24:00"},
    {"offset minute 60", "2026-05-12T05:00:00+05:60"},
    {"offset of hours alone", "2026-05-12T05:00:00+05"},
    {"offset cut", "2026-05-12T05:00:00+05:3"},
    {"zone word", "2026-05-12T05:00:00 CEST"},
    {"text after it", "2026-05-12T05:00:00Zulu"},
    {"blank before", " 2026-05-12T05:00:00Z"},
    {"signed year", "+2026-05-12T05:00:00Z"},
    {"basic form", "20260512T050000Z"},
    {"week date", "2026-W20-2T05:00:00Z"},
    {"NOW", "NOW"},
    {"one digit of hour", "2026-05-12T5:00:00Z"},
};

START_TEST(rfc3339_refused)
{
	int64_t t = 77;
	struct fault f = {FAULT_NONE, ""};
	ROW_INT(refused_instants[_i].row, instant_rfc3339(refused_instants[_i].text, &t, &f), FAULT_DATA);
	ROW_INT(refused_instants[_i].row, t, 77);
	ROW_TRUE(refused_instants[_i].row, strstr(f.text, "2026-05-12T05:00:00Z is right"));
}
END_TEST

static const struct {
	const char *row, *text;
	int second; /* of 2026-07-26; -1 refused */
} locals[] = {
    {"hour and minute", "2026-07-26T13:30", HMS(13, 30, 0)},
    {"with seconds", "2026-07-26T13:30:15", HMS(13, 30, 15)},
    {"midnight", "2026-07-26T00:00", 0},
    {"an offset", "2026-07-26T13:30Z", -1},
    {"an offset", "2026-07-26T13:30:00+02:00", -1},
    {"fraction", "2026-07-26T13:30:00.5", -1},
    {"second 60", "2026-07-26T23:59:60", -1},
    {"hour alone", "2026-07-26T13", -1},
    {"date alone", "2026-07-26", -1},
    {"31 June", "2026-06-31T13:30", -1},
};

START_TEST(local)
{
	struct date d = {77}, want;
	int second = 77;
	struct fault f = {FAULT_NONE, ""};
	enum fault_code code = instant_local(locals[_i].text, &d, &second, &f);
	ck_assert(date_of(2026, 7, 26, &want));
	bool good = locals[_i].second >= 0;
	ROW_INT(locals[_i].row, code, good ? FAULT_NONE : FAULT_DATA);
	ROW_INT(locals[_i].row, d.n, good ? want.n : 77);
	ROW_INT(locals[_i].row, second, good ? locals[_i].second : 77);
}
END_TEST

static const struct {
	const char *row, *text;
	int64_t seconds; /* 0: refused */
} durations[] = {
    {"seen in weather answers", "PT1H", 3600},
    {"seen in weather answers", "PT72H", 72 * 3600},
    {"seen in weather answers", "P1D", 86400},
    {"seen in weather answers", "P7D", 7 * 86400},
    {"seen in weather answers", "P1DT6H", 30 * 3600},
    {"seen in weather answers", "P8DT6H", 198 * 3600},
    {"ISO 8601: weeks", "P2W", 14 * 86400},
    {"weeks and days", "P1W2D", 9 * 86400},
    {"hours and minutes", "PT1H30M", 5400},
    {"seconds past a minute", "PT90S", 90},
    {"all parts", "P1W1DT1H1M1S", 8 * 86400 + 3661},
    {"the longest", "P36600D", INT64_C(36600) * 86400},
    {"longer than 100 years", "P36601D", 0},
    {"overflow", "P999999999999999999999W", 0},
    {"overflow", "PT9223372036854775807S", 0},
    {"overflow by adding", "P999999999WT999999999H", 0},
    {"years", "P1Y", 0},
    {"months", "P1M", 0},
    {"ISO 8601 example with years and months", "P3Y6M4DT12H30M5S", 0},
    {"zero", "PT0H", 0},
    {"zero", "P0D", 0},
    {"nothing", "P", 0},
    {"nothing", "PT", 0},
    {"T without time", "P1DT", 0},
    {"empty", "", 0},
    {"time without T", "P6H", 0},
    {"date after T", "PT1D", 0},
    {"wrong order", "PT1M1H", 0},
    {"twice", "PT1H1H", 0},
    {"fraction", "PT0.5H", 0},
    {"sign", "-PT1H", 0},
    {"sign inside", "PT-1H", 0},
    {"no unit", "PT1", 0},
    {"small letters", "pt1h", 0},
    {"two T", "PT1HT1H", 0},
    {"text after it", "PT1H ", 0},
    {"NOW", "NOW", 0},
};

START_TEST(duration)
{
	int64_t seconds = 77;
	struct fault f = {FAULT_NONE, ""};
	enum fault_code code = instant_duration(durations[_i].text, &seconds, &f);
	bool good = durations[_i].seconds != 0;
	ck_assert_msg(code == (good ? FAULT_NONE : FAULT_DATA), "%s \"%s\": code %d", durations[_i].row,
		      durations[_i].text, code);
	ck_assert_msg(seconds == (good ? durations[_i].seconds : 77), "%s \"%s\": %lld s", durations[_i].row,
		      durations[_i].text, (long long)seconds);
}
END_TEST

static const struct {
	const char *row, *text;
	int start_h, end_h; /* from 2022-02-03 00:00 UTC; equal: refused */
} intervals[] = {
    {"weather answer", "2022-02-03T21:00:00+00:00/PT1H", 21, 22},
    {"start and end", "2022-02-03T21:00:00Z/2022-02-04T03:00:00Z", 21, 27},
    {"offsets of their own", "2022-02-03T21:00:00Z/2022-02-04T03:00:00+02:00", 21, 25},
    {"PT72H", "2022-02-03T06:00:00+00:00/PT72H", 6, 78},
    {"P1DT6H", "2022-02-03T06:00:00+00:00/P1DT6H", 6, 36},
    {"ISO 8601: 2007-03-01T13:00:00Z/2008-05-11T15:30:00Z in shape", "2022-02-03T13:00:00Z/2022-02-03T15:00:00Z", 13,
     15},
    {"end before start", "2022-02-03T21:00:00Z/2022-02-03T20:00:00Z", 0, 0},
    {"end at start", "2022-02-03T21:00:00Z/2022-02-03T21:00:00Z", 0, 0},
    {"NOW", "NOW/PT1H", 0, 0},
    {"NOW", "2022-02-03T21:00:00Z/NOW", 0, 0},
    {"duration first", "PT1H/2022-02-03T21:00:00Z", 0, 0},
    {"no slash", "2022-02-03T21:00:00Z", 0, 0},
    {"nothing after the slash", "2022-02-03T21:00:00Z/", 0, 0},
    {"three parts", "2022-02-03T21:00:00Z/PT1H/PT1H", 0, 0},
    {"year in the duration", "2022-02-03T21:00:00Z/P1Y", 0, 0},
    {"zero", "2022-02-03T21:00:00Z/PT0S", 0, 0},
    {"no offset", "2022-02-03T21:00:00/PT1H", 0, 0},
    {"empty", "", 0, 0},
};

START_TEST(interval)
{
	int64_t start = 77, end = 77, zero = at(2022, 2, 3, 0);
	struct fault f = {FAULT_NONE, ""};
	enum fault_code code = instant_interval(intervals[_i].text, &start, &end, &f);
	bool good = intervals[_i].end_h > intervals[_i].start_h;
	ROW_INT(intervals[_i].row, code, good ? FAULT_NONE : FAULT_DATA);
	ROW_INT(intervals[_i].row, start, good ? zero + intervals[_i].start_h * 3600 : 77);
	ROW_INT(intervals[_i].row, end, good ? zero + intervals[_i].end_h * 3600 : 77);
}
END_TEST

START_TEST(hours_are_floors)
{
	ck_assert_int_eq(instant_hour(0), 0);
	ck_assert_int_eq(instant_hour(3599), 0);
	ck_assert_int_eq(instant_hour(3600), 3600);
	ck_assert_int_eq(instant_hour(-1), -3600);
	ck_assert_int_eq(instant_hour(-3600), -3600);
	ck_assert_int_eq(instant_hour(-3601), -7200);
}
END_TEST

static const struct {
	const char *row;
	double longitude;
	int hours;
} standards[] = {
    {"Greenwich", 0, 0},
    {"90 W, the US Central meridian", -90, -6},
    {"89.90 W", -89.90, -6},
    {"75 W, the US Eastern meridian", -75, -5},
    {"15 E", 15, 1},
    {"just under half way", 7.49, 0},
    {"just over half way", 7.51, 1},
    {"just over half way west", -7.51, -1},
    {"date line east", 180, 12},
    {"date line west", -180, -12},
};

START_TEST(standard_time)
{
	ROW_INT(standards[_i].row, instant_standard_offset(standards[_i].longitude), standards[_i].hours * 3600);
}
END_TEST

START_TEST(dates_at_an_offset)
{
	struct date d;
	ck_assert(date_of(2026, 5, 12, &d));
	int64_t midnight = instant_at(d, 0, 0);
	ck_assert_int_eq(instant_date(midnight, 0).n, d.n);
	ck_assert_int_eq(instant_date(midnight - 1, 0).n, d.n - 1);
	ck_assert_int_eq(instant_date(midnight, -6 * 3600).n, d.n - 1);
	ck_assert_int_eq(instant_date(midnight - 1, 5 * 3600 + 1800).n, d.n);
	ck_assert_int_eq(instant_date(-1, 0).n, -1);
	ck_assert_int_eq(instant_at(d, 3600, 7200), midnight - 3600);
	ck_assert(!date_is(instant_date(INSTANT_NONE, 0)));
	ck_assert(!date_is(instant_date(INT64_MAX, 50400)));
	ck_assert(instant_at(date_none(), 0, 0) == INSTANT_NONE);
}
END_TEST

START_TEST(print_and_parse_are_inverse)
{
	/* The step is no part of a day, so that all kinds of clock times come by. */
	char text[INSTANT_TEXT_SIZE];
	int64_t end = at(2101, 1, 1, 0);
	for (int64_t t = at(1900, 1, 1, 0); t < end; t += INT64_C(259301)) {
		int64_t back;
		struct fault f;
		ROW_INT(text, instant_rfc3339(instant_text(t, text), &back, &f), FAULT_NONE);
		ROW_INT(text, back, t);
	}
	ck_assert_str_eq(instant_text(0, text), "1970-01-01T00:00:00Z");
	ck_assert_str_eq(instant_text(INSTANT_NONE, text), "no instant");
	ck_assert_str_eq(instant_text(INT64_MAX, text), "no instant");
}
END_TEST

#define ROWS(t) ((int)(sizeof(t) / sizeof((t)[0])))

static Suite *suite(void)
{
	Suite *s = suite_create("instant");
	TCase *c = tcase_create("instant");
	tcase_add_loop_test(c, rfc3339, 0, ROWS(instants));
	tcase_add_loop_test(c, rfc3339_refused, 0, ROWS(refused_instants));
	tcase_add_loop_test(c, local, 0, ROWS(locals));
	tcase_add_loop_test(c, duration, 0, ROWS(durations));
	tcase_add_loop_test(c, interval, 0, ROWS(intervals));
	tcase_add_loop_test(c, standard_time, 0, ROWS(standards));
	tcase_add_test(c, hours_are_floors);
	tcase_add_test(c, dates_at_an_offset);
	tcase_add_test(c, print_and_parse_are_inverse);
	suite_add_tcase(s, c);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
