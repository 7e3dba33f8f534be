/*
 * Days are counted in eras of 400 Gregorian years (146,097 days), and years
 * from 1 March, so that the leap day is the last of its year and month lengths
 * follow (153 m + 2) / 5 (common practice; checked against Julian day numbers).
 */
#include "base/date.h"

#include <stdio.h>
#include <string.h>

#include "base/num.h"

enum { ERA_YEARS = 400, ERA_DAYS = 146097, DAYS_0000_03_01_TO_EPOCH = 719468 };

static bool is_leap(int year)
{
	return year % 4 == 0 && (year % 100 != 0 || year % 400 == 0);
}

static int month_days(int year, int month)
{
	static const int days[12] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
	return month == 2 && is_leap(year) ? 29 : days[month - 1];
}

static int64_t floor_div(int64_t a, int64_t b)
{
	return a / b - (a % b < 0);
}

struct date date_none(void)
{
	return (struct date){DATE_NONE};
}

bool date_is(struct date d)
{
	return d.n != DATE_NONE;
}

bool date_of(int year, int month, int day, struct date *d)
{
	if (year < 1 || year > 9999 || month < 1 || month > 12 || day < 1 || day > month_days(year, month))
		return false;
	int y = month > 2 ? year : year - 1;
	int m = month > 2 ? month - 3 : month + 9;
	int era = y / ERA_YEARS, of_era = y % ERA_YEARS;
	int of_year = (153 * m + 2) / 5 + day - 1;
	d->n = era * ERA_DAYS + of_era * 365 + of_era / 4 - of_era / 100 + of_year - DAYS_0000_03_01_TO_EPOCH;
	return true;
}

void date_parts(struct date d, int *year, int *month, int *day)
{
	int64_t n = (int64_t)d.n + DAYS_0000_03_01_TO_EPOCH;
	int64_t era = floor_div(n, ERA_DAYS);
	int of_era = (int)(n - era * ERA_DAYS);
	/* Take the leap days out (one in 1460, but not 36524, but the era's last), then divide evenly. */
	int y = (of_era - of_era / 1460 + of_era / 36524 - of_era / 146096) / 365;
	int of_year = of_era - (365 * y + y / 4 - y / 100);
	int m = (5 * of_year + 2) / 153;
	*day = of_year - (153 * m + 2) / 5 + 1;
	*month = m < 10 ? m + 3 : m - 9;
	*year = (int)(era * ERA_YEARS) + y + (*month <= 2);
}

struct date date_add(struct date d, int days)
{
	int64_t n = (int64_t)d.n + days;
	if (!date_is(d) || n <= INT32_MIN || n > INT32_MAX)
		return date_none();
	return (struct date){(int32_t)n};
}

int date_diff(struct date later, struct date earlier)
{
	int64_t n = (int64_t)later.n - earlier.n;
	if (n > INT32_MAX)
		return INT32_MAX;
	return n < INT32_MIN ? INT32_MIN : (int)n;
}

int date_weekday(struct date d)
{
	int64_t n = (int64_t)d.n + 3; /* 1970-01-01 was a Thursday */
	return (int)(n - 7 * floor_div(n, 7));
}

int date_day_of_year(struct date d)
{
	int year, month, day;
	date_parts(d, &year, &month, &day);
	int n = day;
	for (int m = 1; m < month; m++)
		n += month_days(year, m);
	return n;
}

enum fault_code date_parse(const char *s, struct date *d, struct fault *f)
{
	int year, month, day;
	bool shaped = strlen(s) == 10 && s[4] == '-' && s[7] == '-' && num_digits(s, 4, &year) &&
		      num_digits(s + 5, 2, &month) && num_digits(s + 8, 2, &day);
	if (!shaped)
		return fault_set(f, FAULT_CONFIG, "\"%.40s\" is not a date; year-month-day is right, as 2026-04-20", s);
	if (year < 1 || month < 1 || month > 12)
		return fault_set(f, FAULT_CONFIG, "\"%s\" is not a date: months are 01 to 12, as in 2026-04-20", s);
	if (!date_of(year, month, day, d))
		return fault_set(f, FAULT_CONFIG, "\"%s\" is not a date: %s %d has the days 01 to %d", s,
				 date_month_long(month), year, month_days(year, month));
	return FAULT_NONE;
}

char *date_text(struct date d, char buf[static DATE_TEXT_SIZE])
{
	if (!date_is(d)) {
		snprintf(buf, DATE_TEXT_SIZE, "no date");
		return buf;
	}
	int year, month, day;
	date_parts(d, &year, &month, &day);
	snprintf(buf, DATE_TEXT_SIZE, "%04d-%02u-%02u", year, (unsigned)month % 100u, (unsigned)day % 100u);
	return buf;
}

static const char *const WEEKDAY[7] = {"Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday"};
static const char *const WEEKDAY_SHORT[7] = {"Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"};
static const char *const MONTH[12] = {"January", "February", "March",     "April",   "May",      "June",
				      "July",    "August",   "September", "October", "November", "December"};
static const char *const MONTH_SHORT[12] = {"Jan", "Feb", "Mar", "Apr", "May", "Jun",
					    "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"};

const char *date_weekday_short(int weekday)
{
	return weekday >= 0 && weekday < 7 ? WEEKDAY_SHORT[weekday] : "?";
}

const char *date_weekday_long(int weekday)
{
	return weekday >= 0 && weekday < 7 ? WEEKDAY[weekday] : "?";
}

const char *date_month_short(int month)
{
	return month >= 1 && month <= 12 ? MONTH_SHORT[month - 1] : "?";
}

const char *date_month_long(int month)
{
	return month >= 1 && month <= 12 ? MONTH[month - 1] : "?";
}
