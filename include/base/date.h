/*
 * Civil dates: days since 1970-01-01 in the proleptic Gregorian calendar.
 *
 * A struct of its own so that the compiler keeps days and seconds apart.
 * No time zone here: which date an instant falls on is base/zone's business.
 */
#ifndef BASE_DATE_H
#define BASE_DATE_H

#include <stdbool.h>
#include <stdint.h>

#include "base/fault.h"

struct date {
	int32_t n; /* days since 1970-01-01; DATE_NONE where there is none */
};

#define DATE_NONE INT32_MIN

enum { DATE_TEXT_SIZE = 16 };

struct date date_none(void);
bool date_is(struct date d);

/* False where year (1..9999), month or day does not exist; *d is then left alone. */
bool date_of(int year, int month, int day, struct date *d) MUST_USE;
void date_parts(struct date d, int *year, int *month, int *day);

struct date date_add(struct date d, int days);
int date_diff(struct date later, struct date earlier);
int date_weekday(struct date d);     /* 0 Monday .. 6 Sunday (ISO 8601 minus one) */
int date_day_of_year(struct date d); /* 1..366 */

/* "2026-04-20" (ISO 8601); the fault says what is wrong and shows a right one. */
enum fault_code date_parse(const char *s, struct date *d, struct fault *f) MUST_USE;

/* ISO 8601 into buf[DATE_TEXT_SIZE]; returns buf. */
char *date_text(struct date d, char buf[static DATE_TEXT_SIZE]);

/* English names as notes use them: "Mon", "Monday", "May". */
const char *date_weekday_short(int weekday);
const char *date_weekday_long(int weekday);
const char *date_month_short(int month); /* 1..12: Jan .. Dec */
const char *date_month_long(int month);

#endif
