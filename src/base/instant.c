#include "base/instant.h"

#include <math.h>
#include <stddef.h>
#include <stdio.h>
#include <string.h>

#include "base/num.h"

enum { MINUTE_S = 60, WEEK_S = 7 * DAY_S, DURATION_DIGITS_MAX = 9 };

/* Longer than any span a weather service or a garden can mean. */
#define DURATION_MAX_S (INT64_C(100) * 366 * DAY_S)

static int64_t floor_to(int64_t t, int64_t step)
{
	int64_t past = t % step;
	return t - past - (past < 0 ? step : 0);
}

int64_t instant_hour(int64_t t)
{
	return floor_to(t, HOUR_S);
}

int64_t instant_at(struct date d, int second, int offset_s)
{
	return date_is(d) ? (int64_t)d.n * DAY_S + second - offset_s : INSTANT_NONE;
}

struct date instant_date(int64_t t, int offset_s)
{
	/* The bounds keep t + offset and the day count from overflowing. */
	if (t < (int64_t)INT32_MIN * DAY_S + INT64_C(2) * DAY_S || t > (int64_t)INT32_MAX * DAY_S - INT64_C(2) * DAY_S)
		return date_none();
	return (struct date){(int32_t)(floor_to(t + offset_s, DAY_S) / DAY_S)};
}

int instant_standard_offset(double longitude_deg)
{
	return (int)lround(longitude_deg / 15.0) * HOUR_S;
}

/* Reading goes from the left over the unread rest; every taker moves `at` on only where it succeeds. */

static bool take_digits(const char **at, size_t n, int *value)
{
	if (!num_digits(*at, n, value))
		return false;
	*at += n;
	return true;
}

static bool take_char(const char **at, const char *one_of)
{
	/* By hand: a call to strchr for each mark of a stamp is a tenth of decoding. */
	while (*one_of != '\0' && *one_of != **at)
		one_of++;
	if (*one_of == '\0')
		return false;
	(*at)++;
	return true;
}

static bool take_date(const char **at, struct date *d)
{
	int year, month, day;
	return take_digits(at, 4, &year) && take_char(at, "-") && take_digits(at, 2, &month) && take_char(at, "-") &&
	       take_digits(at, 2, &day) && date_of(year, month, day, d);
}

/* HH:MM[:SS]; second 60 is let through and said in *leap. */
static bool take_clock(const char **at, int *second, bool *leap)
{
	int hour, minute, s = 0;
	if (!take_digits(at, 2, &hour) || !take_char(at, ":") || !take_digits(at, 2, &minute))
		return false;
	if (take_char(at, ":") && !take_digits(at, 2, &s))
		return false;
	*second = hour * HOUR_S + minute * MINUTE_S + s;
	*leap = s == 60;
	return hour < 24 && minute < 60 && s <= 60;
}

static bool take_fraction(const char **at)
{
	if (!take_char(at, "."))
		return true;
	size_t digits = strspn(*at, "0123456789");
	*at += digits;
	return digits > 0;
}

/* Z, +HH:MM or +HHMM. */
static bool take_offset(const char **at, int *offset_s)
{
	*offset_s = 0;
	if (take_char(at, "Zz"))
		return true;
	int sign = **at == '-' ? -1 : 1;
	int hour, minute;
	if (!take_char(at, "+-") || !take_digits(at, 2, &hour))
		return false;
	take_char(at, ":");
	if (!take_digits(at, 2, &minute) || hour > 23 || minute > 59)
		return false;
	*offset_s = sign * (hour * HOUR_S + minute * MINUTE_S);
	return true;
}

/* A leap second ends a UTC month: the second after it is the first of the next. */
static bool leap_second_fits(int64_t next)
{
	int year, month, day;
	date_parts(instant_date(next, 0), &year, &month, &day);
	return next % DAY_S == 0 && day == 1;
}

static bool take_instant(const char **at, int64_t *t)
{
	struct date d;
	int second, offset_s;
	bool leap;
	if (!take_date(at, &d) || !take_char(at, "Tt ") || !take_clock(at, &second, &leap) || !take_fraction(at) ||
	    !take_offset(at, &offset_s))
		return false;
	*t = instant_at(d, second, offset_s);
	return !leap || leap_second_fits(*t);
}

enum fault_code instant_rfc3339(const char *s, int64_t *t, struct fault *f)
{
	const char *at = s;
	int64_t got;
	if (!take_instant(&at, &got) || *at != '\0')
		return fault_set(f, FAULT_DATA,
				 "\"%.60s\" is not an instant with an offset; 2026-05-12T05:00:00Z is right", s);
	*t = got;
	return FAULT_NONE;
}

enum fault_code instant_local(const char *s, struct date *d, int *second, struct fault *f)
{
	const char *at = s;
	struct date day;
	int clock;
	bool leap;
	if (!take_date(&at, &day) || !take_char(&at, "Tt ") || !take_clock(&at, &clock, &leap) || leap || *at != '\0')
		return fault_set(f, FAULT_DATA,
				 "\"%.60s\" is not a local time without an offset; 2026-05-12T05:00 is right", s);
	*d = day;
	*second = clock;
	return FAULT_NONE;
}

/* One "12H" of a duration; the unit's place among W D (before T), H M S (after it) moves forward only. */
static bool take_part(const char **at, const char *units, size_t *place, const int *unit_s, int64_t *seconds)
{
	size_t digits = strspn(*at, "0123456789");
	if (digits == 0 || digits > DURATION_DIGITS_MAX)
		return false;
	int64_t n = 0;
	for (size_t i = 0; i < digits; i++)
		n = n * 10 + ((*at)[i] - '0');
	const char *unit = (*at)[digits] != '\0' ? strchr(units + *place, (*at)[digits]) : NULL;
	if (!unit)
		return false;
	size_t i = (size_t)(unit - units);
	*seconds += n * unit_s[i];
	*place = i + 1;
	*at += digits + 1;
	return true;
}

static bool take_parts(const char **at, const char *units, const int *unit_s, int64_t *seconds)
{
	size_t place = 0;
	while (**at != '\0' && **at != 'T')
		if (!take_part(at, units, &place, unit_s, seconds))
			return false;
	return place > 0;
}

static bool duration_of(const char *s, int64_t *seconds)
{
	static const int date_unit_s[] = {WEEK_S, DAY_S}, time_unit_s[] = {HOUR_S, MINUTE_S, 1};
	const char *at = s;
	*seconds = 0;
	if (!take_char(&at, "P"))
		return false;
	if (*at != 'T' && !take_parts(&at, "WD", date_unit_s, seconds))
		return false;
	if (take_char(&at, "T") && !take_parts(&at, "HMS", time_unit_s, seconds))
		return false;
	return *at == '\0';
}

enum fault_code instant_duration(const char *s, int64_t *seconds, struct fault *f)
{
	int64_t got;
	if (!duration_of(s, &got))
		return fault_set(f, FAULT_DATA,
				 "\"%.60s\" is not a duration of weeks, days, hours, minutes and whole seconds; "
				 "PT6H or P1DT6H is right",
				 s);
	if (got == 0)
		return fault_set(f, FAULT_DATA, "\"%.60s\" is a duration of nothing; PT1H is the shortest useful one",
				 s);
	if (got > DURATION_MAX_S)
		return fault_set(f, FAULT_DATA, "\"%.60s\" is a duration of more than 100 years", s);
	*seconds = got;
	return FAULT_NONE;
}

enum fault_code instant_interval(const char *s, int64_t *start, int64_t *end, struct fault *f)
{
	const char *at = s;
	int64_t first, last = 0, seconds = 0;
	if (!take_instant(&at, &first) || !take_char(&at, "/"))
		return fault_set(f, FAULT_DATA,
				 "\"%.60s\" is not an interval; 2026-05-12T05:00:00Z/PT6H is right (start, then its "
				 "duration or its end)",
				 s);
	if (*at == 'P') {
		if (instant_duration(at, &seconds, f))
			return f->code;
		last = first + seconds;
	} else if (instant_rfc3339(at, &last, f)) {
		return f->code;
	}
	if (last <= first)
		return fault_set(f, FAULT_DATA, "\"%.60s\" is an interval that does not end after its start", s);
	*start = first;
	*end = last;
	return FAULT_NONE;
}

char *instant_text(int64_t t, char buf[static INSTANT_TEXT_SIZE])
{
	struct date d = instant_date(t, 0);
	if (!date_is(d)) {
		snprintf(buf, INSTANT_TEXT_SIZE, "no instant");
		return buf;
	}
	unsigned s = (unsigned)(t - (int64_t)d.n * DAY_S) % DAY_S;
	char day[DATE_TEXT_SIZE];
	snprintf(buf, INSTANT_TEXT_SIZE, "%.13sT%02u:%02u:%02uZ", date_text(d, day), s / HOUR_S, s / MINUTE_S % 60u,
		 s % 60u);
	return buf;
}
