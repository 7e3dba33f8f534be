#include "source/rowtime.h"

#include <math.h>
#include <string.h>
#include <strings.h>

#include "base/instant.h"
#include "base/num.h"
#include "base/utf8.h"

enum { SHOWN_MAX = 40, CENTURY_TURN = 69, NOON = 12 };

/* What a pattern picked up. */
struct parts {
	int year, month, day, hour, minute, second;
	bool half, pm; /* a clock of twelve hours */
};

enum fault_code rowtime_init(struct rowtime *r, const char *written, const struct zone *zone, struct fault *f)
{
	static const char *const names[] = {"", "rfc3339", "local", "unix"};
	*r = (struct rowtime){.form = ROWTIME_PATTERN, .pattern = written, .zone = zone};
	for (int i = 0; i < ROWTIME_PATTERN; i++)
		if (strcmp(written, names[i]) == 0)
			r->form = (enum rowtime_form)i;
	if (r->form != ROWTIME_PATTERN)
		return FAULT_NONE;
	for (const char *s = strchr(written, '%'); s != NULL; s = strchr(s + 2, '%'))
		if (s[1] == '\0' || strchr("YymdbHIMSp", s[1]) == NULL)
			return fault_set(
			    f, FAULT_CONFIG,
			    "\"%s\": %%%.1s is not known; %%Y %%y %%m %%d %%b %%H %%I %%M %%S %%p are right", written,
			    s + 1);
	if (strchr(written, '%') == NULL)
		return fault_set(
		    f, FAULT_CONFIG,
		    "\"%s\" is not known; rfc3339, local, unix or a pattern as \"%%m/%%d/%%Y %%H:%%M\" is right",
		    written);
	return FAULT_NONE;
}

/* ---- Patterns ---- */

/* One or two digits, or exactly four. */
static bool take_number(const char **at, bool year, int *x)
{
	size_t n = year ? 4 : 1;
	if (!year && (*at)[0] != '\0' && (*at)[1] >= '0' && (*at)[1] <= '9')
		n = 2;
	if (strnlen(*at, n) < n || !num_digits(*at, n, x))
		return false;
	*at += n;
	return true;
}

static bool take_month(const char **at, int *month)
{
	enum { LETTERS = 3 };
	for (*month = 1; *month <= 12; ++*month)
		if (strncasecmp(*at, date_month_short(*month), LETTERS) == 0) {
			*at += LETTERS;
			return true;
		}
	return false;
}

static bool take_half(const char **at, struct parts *p)
{
	if (strncasecmp(*at, "am", 2) != 0 && strncasecmp(*at, "pm", 2) != 0)
		return false;
	p->half = true;
	p->pm = **at == 'p' || **at == 'P';
	*at += 2;
	return true;
}

static bool take_part(const char **at, char letter, struct parts *p)
{
	switch (letter) {
	case 'Y':
		return take_number(at, true, &p->year);
	case 'y':
		if (!take_number(at, false, &p->year))
			return false;
		p->year += p->year < CENTURY_TURN ? 2000 : 1900;
		return true;
	case 'm':
		return take_number(at, false, &p->month);
	case 'b':
		return take_month(at, &p->month);
	case 'd':
		return take_number(at, false, &p->day);
	case 'H':
	case 'I':
		return take_number(at, false, &p->hour);
	case 'M':
		return take_number(at, false, &p->minute);
	case 'S':
		return take_number(at, false, &p->second);
	default:
		return take_half(at, p);
	}
}

static bool take_pattern(const char *pattern, const char *s, struct parts *p)
{
	*p = (struct parts){.month = 1, .day = 1};
	for (; *pattern != '\0'; pattern++) {
		if (*pattern == '%') {
			if (!take_part(&s, *++pattern, p))
				return false;
		} else if (*pattern == ' ') {
			s += strspn(s, " ");
		} else if (*s++ != *pattern) {
			return false;
		}
	}
	return *s == '\0';
}

/* ---- Day and clock ---- */

static bool two_digits(const char *s, int *x)
{
	if (s[0] < '0' || s[0] > '9' || s[1] < '0' || s[1] > '9')
		return false;
	*x = (s[0] - '0') * 10 + (s[1] - '0');
	return true;
}

/* YYYY-MM-DD HH:MM[:SS] */
static bool take_local(const char *s, struct parts *p)
{
	enum { SHORT_SIZE = 16, LONG_SIZE = 19 };
	int century;
	size_t n = strnlen(s, LONG_SIZE + 1);
	*p = (struct parts){0};
	if ((n != SHORT_SIZE && n != LONG_SIZE) || !two_digits(s, &century) || !two_digits(s + 2, &p->year))
		return false;
	p->year += century * 100;
	return s[4] == '-' && two_digits(s + 5, &p->month) && s[7] == '-' && two_digits(s + 8, &p->day) &&
	       (s[10] == ' ' || s[10] == 'T') && two_digits(s + 11, &p->hour) && s[13] == ':' &&
	       two_digits(s + 14, &p->minute) && (n == SHORT_SIZE || (s[16] == ':' && two_digits(s + 17, &p->second)));
}

/* Midnight may be written as the end of the day before. */
static bool clock_fits(const struct parts *p)
{
	bool end = p->hour == 24 && p->minute == 0 && p->second == 0;
	return (p->hour < 24 || end) && p->minute < 60 && p->second < 60;
}

static bool clock_of(const struct rowtime *r, const char *s, struct date *d, int *second)
{
	struct parts p;
	if (r->form == ROWTIME_LOCAL ? !take_local(s, &p) : !take_pattern(r->pattern, s, &p))
		return false;
	if (p.half && (p.hour < 1 || p.hour > NOON))
		return false;
	if (p.half)
		p.hour = p.hour % NOON + (p.pm ? NOON : 0);
	*second = (p.hour * 60 + p.minute) * 60 + p.second;
	return clock_fits(&p) && date_of(p.year, p.month, p.day, d);
}

/* The instants at which a clock shows a local time: none, one or two. */
static size_t instants(const struct zone *z, int64_t local, int64_t t[static 2])
{
	size_t n = 0;
	for (size_t i = 0; i < z->n && n < 2; i++) {
		int64_t at = local - z->step[i].offset_s;
		bool after = i == 0 || at >= z->step[i].from, before = i + 1 == z->n || at < z->step[i + 1].from;
		if (after && before)
			t[n++] = at;
	}
	return n;
}

/* Two days from any change of the clock on either side its offset holds for sure. */
static void remember(struct rowtime *r, int64_t t)
{
	const struct zone *z = r->zone;
	size_t i = 0;
	while (i + 1 < z->n && z->step[i + 1].from <= t)
		i++;
	r->offset_s = z->step[i].offset_s;
	r->sure_from = i == 0 ? INT64_MIN : z->step[i].from + INT64_C(2) * DAY_S;
	r->sure_to = i + 1 == z->n ? INT64_MAX : z->step[i + 1].from - INT64_C(2) * DAY_S;
}

static enum fault_code local_instant(struct rowtime *r, const char *s, struct date d, int second, int64_t *t,
				     bool *doubled, struct fault *f)
{
	int64_t local = instant_at(d, second, 0), at[2];
	*doubled = false;
	if (local >= r->sure_from && local < r->sure_to) {
		*t = local - r->offset_s;
		return FAULT_NONE;
	}
	size_t n = instants(r->zone, local, at);
	if (n == 0)
		return fault_set(f, FAULT_DATA,
				 "the clocks of %s skipped %.*s; is the file in local standard time? a zone as -05:00 "
				 "is right then",
				 r->zone->name, utf8_most(s, SHOWN_MAX), s);
	*doubled = n == 2;
	/* The one that goes on from the row before. */
	bool second_one = *doubled && r->started && (r->down ? at[1] < r->last : at[0] <= r->last);
	*t = at[second_one];
	remember(r, *t);
	return FAULT_NONE;
}

static enum fault_code unix_instant(const char *s, int64_t *t, struct fault *f)
{
	double x;
	size_t n = strlen(s);
	if (n == 0 || num_scan(s, n, &x) != n || !(fabs(x) < 1e11))
		return fault_set(f, FAULT_DATA, "\"%.*s\" is no count of seconds since 1970", utf8_most(s, SHOWN_MAX),
				 s);
	*t = (int64_t)floor(x);
	return FAULT_NONE;
}

/* What the first time looks like. */
static enum rowtime_form tell(const char *s)
{
	int64_t t;
	double x;
	struct parts p;
	struct fault ignored;
	size_t n = strlen(s);
	if (take_local(s, &p))
		return ROWTIME_LOCAL;
	if (instant_rfc3339(s, &t, &ignored) == FAULT_NONE)
		return ROWTIME_RFC3339;
	return n > 0 && num_scan(s, n, &x) == n ? ROWTIME_UNIX : ROWTIME_TOLD;
}

static enum fault_code no_time(const struct rowtime *r, const char *s, struct fault *f)
{
	const char *right = "2026-05-12 05:00, 2026-05-12T05:00Z and seconds since 1970 are known; --time-format names "
			    "another form";
	if (r->form == ROWTIME_PATTERN)
		right = r->pattern;
	if (r->form == ROWTIME_LOCAL)
		right = "2026-05-12 05:00";
	return fault_set(f, FAULT_DATA, "\"%.*s\" is no time; %s%s", utf8_most(s, SHOWN_MAX), s, right,
			 r->form == ROWTIME_TOLD ? "" : " is right");
}

static enum fault_code read_any(struct rowtime *r, const char *s, int64_t *t, bool *doubled, struct fault *f)
{
	struct date d;
	int second;
	*doubled = false;
	if (r->form == ROWTIME_TOLD)
		r->form = tell(s);
	if (r->form == ROWTIME_UNIX)
		return unix_instant(s, t, f);
	if (r->form == ROWTIME_RFC3339)
		return instant_rfc3339(s, t, f);
	if (r->form == ROWTIME_TOLD || !clock_of(r, s, &d, &second))
		return no_time(r, s, f);
	return local_instant(r, s, d, second, t, doubled, f);
}

enum fault_code rowtime_read(struct rowtime *r, const char *s, int64_t *t, bool *doubled, struct fault *f)
{
	if (read_any(r, s, t, doubled, f) != FAULT_NONE)
		return f->code;
	if (!r->directed && r->started && *t != r->last) {
		r->down = *t < r->last;
		r->directed = true;
	}
	r->started = true;
	r->last = *t;
	return FAULT_NONE;
}

enum fault_code rowtime_date(struct rowtime *r, const char *s, struct date *d, struct fault *f)
{
	enum { PACKED = 8 };
	struct parts p = {0};
	int packed;
	if (r->form == ROWTIME_PATTERN) {
		if (take_pattern(r->pattern, s, &p) && date_of(p.year, p.month, p.day, d))
			return FAULT_NONE;
		return no_time(r, s, f);
	}
	if (strlen(s) == PACKED && num_digits(s, PACKED, &packed) &&
	    date_of(packed / 10000, packed / 100 % 100, packed % 100, d))
		return FAULT_NONE;
	return date_parse(s, d, f) != FAULT_NONE ? f->code = FAULT_DATA : FAULT_NONE;
}
