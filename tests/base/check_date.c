#include <string.h>

#include "base/date.h"
#include "lib/harness.h"

/* JD of 1970-01-01 0h, by definition of the Unix epoch. */
#define JD_EPOCH 2440587.5

static const struct {
	const char *row;
	int year, month, day;
	double jd; /* at 0h */
} julian[] = {
    {"J2000.0: 2000-01-01 12h is JD 2451545.0 (IAU)", 2000, 1, 1, 2451544.5},
    {"Meeus 1998 ch. 7: 1987-01-27", 1987, 1, 27, 2446822.5},
    {"Meeus 1998 ex. 7.a: 1957-10-04.81 is JD 2436116.31", 1957, 10, 4, 2436115.5},
    {"Meeus 1998 ex. 25.a: 1992-10-13", 1992, 10, 13, 2448908.5},
    {"Meeus 1998 ch. 7 (from memory): 1600-01-01", 1600, 1, 1, 2305447.5},
    {"Meeus 1998 ch. 7 (from memory): 1600-12-31", 1600, 12, 31, 2305812.5},
    {"Meeus 1998 ch. 7 (from memory): 1900-01-01", 1900, 1, 1, 2415020.5},
    {"Meeus 1998 ch. 7 (from memory): 1999-01-01", 1999, 1, 1, 2451179.5},
};

START_TEST(julian_day_numbers)
{
	struct date d;
	ROW_TRUE(julian[_i].row, date_of(julian[_i].year, julian[_i].month, julian[_i].day, &d));
	ROW_NEAR(julian[_i].row, d.n + JD_EPOCH, julian[_i].jd, 0);
	int year, month, day;
	date_parts(d, &year, &month, &day);
	ROW_INT(julian[_i].row, year, julian[_i].year);
	ROW_INT(julian[_i].row, month, julian[_i].month);
	ROW_INT(julian[_i].row, day, julian[_i].day);
}
END_TEST

static const struct {
	const char *row, *date;
	int weekday, day_of_year; /* 0: not in the source */
} weekdays[] = {
    {"Unix epoch, a Thursday", "1970-01-01", 3, 1},
    {"ISO 8601: week 1 of 2000 starts Monday 2000-01-03", "2000-01-03", 0, 3},
    {"Meeus 1998 ex. 7.e (from memory): a Wednesday", "1954-06-30", 2, 0},
    {"Meeus 1998 ex. 7.f (from memory)", "1978-11-14", 1, 318},
    {"Meeus 1998 ex. 7.g (from memory)", "1988-04-22", 4, 113},
    {"US summer time 2026 starts on a Sunday (15 USC 260a)", "2026-03-08", 6, 0},
    {"last day of a leap year", "2024-12-31", 1, 366},
    {"last day of a common year", "2023-12-31", 6, 365},
    {"before the epoch: 1969-07-20, a Sunday", "1969-07-20", 6, 0},
};

START_TEST(weekday_and_day_of_year)
{
	struct date d;
	struct fault f;
	ROW_INT(weekdays[_i].row, date_parse(weekdays[_i].date, &d, &f), FAULT_NONE);
	ROW_INT(weekdays[_i].row, date_weekday(d), weekdays[_i].weekday);
	if (weekdays[_i].day_of_year)
		ROW_INT(weekdays[_i].row, date_day_of_year(d), weekdays[_i].day_of_year);
}
END_TEST

static const struct {
	const char *row;
	int year, month, day;
	bool exists;
} existing[] = {
    {"1900 is no leap year (Gregorian rule: centuries by 400)", 1900, 2, 29, false},
    {"2000 is one", 2000, 2, 29, true},
    {"2024 is one", 2024, 2, 29, true},
    {"2026 is none", 2026, 2, 29, false},
    {"2100 is none", 2100, 2, 29, false},
    {"2024 has no 30 February", 2024, 2, 30, false},
    {"30 April", 2026, 4, 30, true},
    {"no 31 April", 2026, 4, 31, false},
    {"no month 0", 2026, 0, 1, false},
    {"no month 13", 2026, 13, 1, false},
    {"no day 0", 2026, 1, 0, false},
    {"negative day", 2026, 1, -1, false},
    {"no year 0", 0, 1, 1, false},
    {"first", 1, 1, 1, true},
    {"last", 9999, 12, 31, true},
    {"past the last", 10000, 1, 1, false},
};

START_TEST(which_dates_exist)
{
	struct date d = {77};
	ROW_TRUE(existing[_i].row,
		 date_of(existing[_i].year, existing[_i].month, existing[_i].day, &d) == existing[_i].exists);
	if (!existing[_i].exists)
		ROW_INT(existing[_i].row, d.n, 77);
}
END_TEST

static const struct {
	const char *row, *text, *says;
} refused[] = {
    {"empty", "", "2026-04-20"},
    {"day first", "20.04.2026", "2026-04-20"},
    {"slashes", "2026/04/20", "2026-04-20"},
    {"short month", "2026-4-20", "2026-04-20"},
    {"basic form", "20260420", "2026-04-20"},
    {"clock after it", "2026-04-20T05:00", "2026-04-20"},
    {"blank before", " 2026-04-20", "2026-04-20"},
    {"blank after", "2026-04-20 ", "2026-04-20"},
    {"sign", "-026-04-20", "2026-04-20"},
    {"letters", "2026-ap-20", "2026-04-20"},
    {"month 13", "2026-13-01", "01 to 12"},
    {"31 February", "2026-02-31", "February 2026 has the days 01 to 28"},
    {"29 February 2024 exists, 30 does not", "2024-02-30", "01 to 29"},
    {"day 0", "2026-04-00", "01 to 30"},
    {"year 0", "0000-01-01", "2026-04-20"},
};

START_TEST(what_is_refused)
{
	struct date d = {77};
	struct fault f = {FAULT_NONE, ""};
	ROW_INT(refused[_i].row, date_parse(refused[_i].text, &d, &f), FAULT_CONFIG);
	ROW_INT(refused[_i].row, f.code, FAULT_CONFIG);
	ck_assert_msg(strstr(f.text, refused[_i].says), "%s: \"%s\" says nothing of \"%s\"", refused[_i].row, f.text,
		      refused[_i].says);
	ROW_INT(refused[_i].row, d.n, 77);
}
END_TEST

START_TEST(print_and_parse_are_inverse_and_days_follow_each_other)
{
	struct date d, end;
	ck_assert(date_of(1900, 1, 1, &d));
	ck_assert(date_of(2101, 1, 1, &end));
	int weekday = 0; /* 1900-01-01 was a Monday */
	char before[DATE_TEXT_SIZE] = "1899-12-31", text[DATE_TEXT_SIZE];
	for (; d.n < end.n; d = date_add(d, 1)) {
		struct date back;
		struct fault f;
		date_text(d, text);
		ROW_INT(text, date_parse(text, &back, &f), FAULT_NONE);
		ROW_INT(text, back.n, d.n);
		ROW_MSG(strcmp(before, text) < 0, "%s is not before %s", before, text);
		ROW_INT(text, date_weekday(d), weekday);
		weekday = (weekday + 1) % 7;
		memcpy(before, text, sizeof before);
	}
	ck_assert_str_eq(before, "2100-12-31");
}
END_TEST

START_TEST(adding_and_missing)
{
	struct date d;
	char text[DATE_TEXT_SIZE];
	ck_assert(date_of(2026, 12, 31, &d));
	ck_assert_str_eq(date_text(date_add(d, 1), text), "2027-01-01");
	ck_assert_str_eq(date_text(date_add(d, -365), text), "2025-12-31");
	ck_assert_int_eq(date_diff(date_add(d, 40), d), 40);
	ck_assert(date_is(d));
	ck_assert(!date_is(date_none()));
	ck_assert(!date_is(date_add(date_none(), 5)));
	ck_assert(!date_is(date_add((struct date){INT32_MAX}, 1)));
	ck_assert(!date_is(date_add((struct date){INT32_MIN + 1}, -1)));
	ck_assert_int_eq(date_diff((struct date){INT32_MAX}, (struct date){INT32_MIN + 1}), INT32_MAX);
	ck_assert_str_eq(date_text(date_none(), text), "no date");
}
END_TEST

START_TEST(names)
{
	ck_assert_str_eq(date_weekday_short(0), "Mon");
	ck_assert_str_eq(date_weekday_long(6), "Sunday");
	ck_assert_str_eq(date_month_short(9), "Sep");
	ck_assert_str_eq(date_month_long(12), "December");
	ck_assert_str_eq(date_month_long(0), "?");
	ck_assert_str_eq(date_weekday_short(7), "?");
	for (int w = 0; w < 7; w++)
		ck_assert(strncmp(date_weekday_short(w), date_weekday_long(w), 3) == 0);
	for (int m = 1; m <= 12; m++)
		ck_assert(strncmp(date_month_short(m), date_month_long(m), 3) == 0);
}
END_TEST

#define ROWS(t) ((int)(sizeof(t) / sizeof((t)[0])))

static Suite *suite(void)
{
	Suite *s = suite_create("date");
	TCase *c = tcase_create("date");
	tcase_add_loop_test(c, julian_day_numbers, 0, ROWS(julian));
	tcase_add_loop_test(c, weekday_and_day_of_year, 0, ROWS(weekdays));
	tcase_add_loop_test(c, which_dates_exist, 0, ROWS(existing));
	tcase_add_loop_test(c, what_is_refused, 0, ROWS(refused));
	tcase_add_test(c, print_and_parse_are_inverse_and_days_follow_each_other);
	tcase_add_test(c, adding_and_missing);
	tcase_add_test(c, names);
	suite_add_tcase(s, c);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
