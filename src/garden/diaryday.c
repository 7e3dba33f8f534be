#include "garden/diaryday.h"

#include <string.h>
#include <strings.h>

#include "base/num.h"
#include "base/text.h"

enum {
	HALF_YEAR = 183,
	WEEK = 7,
	MONTHS = 12,
	YEAR_DIGITS = 4,
	DAY_MOST = 31,
	AWAY_MOST_DAYS = 366,
	AGO_MOST = 3660,
	ISO_SIZE = 10
};

/* ---- words ---- */

static const char BLANKS[] = " \t", ENDS[] = ",;:.!";

void diarywords_cut(const char *line, struct diarywords *w)
{
	w->n = 0;
	for (line += strspn(line, BLANKS); *line != '\0' && w->n < DIARYWORDS_MAX; line += strspn(line, BLANKS)) {
		size_t n = strcspn(line, BLANKS), kept = n;
		struct text t;
		while (kept > 0 && strchr(ENDS, line[kept - 1]) != NULL)
			kept--;
		text_over(&t, w->at[w->n], DIARYWORD_SIZE);
		text_add_n(&t, line, kept);
		w->n += kept > 0;
		line += n;
	}
}

bool diarywords_is(const struct diarywords *w, size_t i, const char *word)
{
	return i < w->n && strcasecmp(w->at[i], word) == 0;
}

void diarywords_drop(struct diarywords *w, size_t from, size_t n)
{
	memmove(w->at[from], w->at[from + n], (w->n - from - n) * sizeof w->at[0]);
	w->n -= n;
}

/* ---- one day ---- */

/* What is named: a date at once, or a day of a month, perhaps without the year. */
struct named {
	struct date date;     /* DATE_NONE: the parts count */
	int year, month, day; /* 0: not said */
	int weekday;          /* of that day, from 1 for Monday; 0: not said */
};

static int month_of(const char *word)
{
	for (int m = 1; m <= MONTHS; m++)
		if (strcasecmp(word, date_month_short(m)) == 0 || strcasecmp(word, date_month_long(m)) == 0)
			return m;
	return strcasecmp(word, "sept") == 0 ? 9 : 0;
}

static int weekday_of(const char *word)
{
	for (int d = 0; d < WEEK; d++)
		if (strcasecmp(word, date_weekday_short(d)) == 0 || strcasecmp(word, date_weekday_long(d)) == 0)
			return d;
	if (strcasecmp(word, "tues") == 0)
		return 1;
	return strcasecmp(word, "thurs") == 0 ? 3 : -1;
}

/* A count of one or two digits, with st, nd, rd or th behind it; 0 where it is none. */
static int day_of(const char *word)
{
	static const char *const ends[] = {"", "st", "nd", "rd", "th"};
	size_t n = strspn(word, "0123456789");
	int day = 0;
	if (n == 0 || n > 2 || !num_digits(word, n, &day) || day > DAY_MOST)
		return 0;
	for (size_t i = 0; i < sizeof ends / sizeof *ends; i++)
		if (strcasecmp(word + n, ends[i]) == 0)
			return day;
	return 0;
}

static int year_of(const struct diarywords *w, size_t i)
{
	int year = 0;
	if (i >= w->n || strlen(w->at[i]) != YEAR_DIGITS || !num_digits(w->at[i], YEAR_DIGITS, &year))
		return 0;
	return year;
}

static const char *word_at(const struct diarywords *w, size_t i)
{
	return i < w->n ? w->at[i] : "";
}

/* "12 May", "May 12", and the year behind either. */
static size_t calendar_day(const struct diarywords *w, size_t i, struct named *out)
{
	int before = day_of(word_at(w, i)), after = day_of(word_at(w, i + 1));
	int month = before > 0 ? month_of(word_at(w, i + 1)) : month_of(word_at(w, i));
	if (month == 0 || (before == 0 && after == 0))
		return 0;
	*out = (struct named){date_none(), year_of(w, i + 2), month, before > 0 ? before : after, 0};
	return out->year > 0 ? 3 : 2;
}

/* "3 days ago", "a week ago" */
static size_t days_ago(const struct diarywords *w, size_t i, struct date today, struct named *out)
{
	struct fault none;
	int64_t count = 1;
	const char *unit = word_at(w, i + 1);
	bool days = strcasecmp(unit, "day") == 0 || strcasecmp(unit, "days") == 0;
	bool weeks = strcasecmp(unit, "week") == 0 || strcasecmp(unit, "weeks") == 0;
	if (!diarywords_is(w, i + 2, "ago") || (!days && !weeks))
		return 0;
	if (!diarywords_is(w, i, "a") && num_int(w->at[i], 0, AGO_MOST, &count, &none) != FAULT_NONE)
		return 0;
	out->date = date_add(today, -(int)count * (weeks ? WEEK : 1));
	return 3;
}

static size_t weekday(const struct diarywords *w, size_t i, struct date today, struct named *out, struct fault *f)
{
	bool last = diarywords_is(w, i, "last");
	int day = weekday_of(word_at(w, i + last));
	if (day < 0)
		return 0;
	/* "Tue 12 May" */
	size_t calendar = last ? 0 : calendar_day(w, i + 1, out);
	if (calendar > 0) {
		out->weekday = day + 1;
		return 1 + calendar;
	}
	int ago = (date_weekday(today) - day + WEEK) % WEEK;
	if (ago == 0 && !last) {
		fault_set(f, FAULT_DATA, "\"%s\" is today, or a week ago; \"today\" or \"last %s\" is right", w->at[i],
			  w->at[i]);
		return 0;
	}
	out->date = date_add(today, -(ago == 0 ? WEEK : ago));
	return last ? 2 : 1;
}

/* Digits and / or several points: which of them is the month nobody can tell. */
static bool is_figures(const char *word)
{
	size_t n = strlen(word), digits = strspn(word, "0123456789"), marks = 0;
	for (size_t i = 0; i < n; i++)
		marks += word[i] == '.';
	return n > 0 && digits > 0 && strspn(word, "0123456789/.") == n && (strchr(word, '/') != NULL || marks > 1);
}

static bool iso_at(const char *s)
{
	int year, month, day;
	return strlen(s) >= ISO_SIZE && s[4] == '-' && s[7] == '-' && num_digits(s, 4, &year) &&
	       num_digits(s + 5, 2, &month) && num_digits(s + 8, 2, &day);
}

static size_t figures(const char *word, struct named *out, struct fault *f)
{
	if (is_figures(word)) {
		fault_set(f, FAULT_DATA, "\"%s\": which is the month? \"12 May\" or 2026-05-12 is right", word);
		return 0;
	}
	if (strlen(word) != ISO_SIZE || !iso_at(word))
		return 0;
	if (date_parse(word, &out->date, f) != FAULT_NONE) {
		f->code = FAULT_DATA;
		return 0;
	}
	return 1;
}

static size_t name_at(const struct diarywords *w, size_t i, struct date today, struct named *out, struct fault *f)
{
	*out = (struct named){.date = date_none()};
	if (i >= w->n)
		return 0;
	out->date = today;
	if (diarywords_is(w, i, "today"))
		return 1;
	out->date = date_add(today, -1);
	if (diarywords_is(w, i, "yesterday"))
		return 1;
	out->date = date_add(today, 1);
	if (diarywords_is(w, i, "tomorrow"))
		return 1;
	out->date = date_none();
	size_t used = calendar_day(w, i, out);
	used = used > 0 ? used : days_ago(w, i, today, out);
	used = used > 0 ? used : weekday(w, i, today, out, f);
	return used > 0 || f->code != FAULT_NONE ? used : figures(w->at[i], out, f);
}

static enum fault_code no_such_day(const struct named *n, int year, struct fault *f)
{
	return fault_set(f, FAULT_DATA, "there is no %d %s %d; a day of that month is right", n->day,
			 date_month_long(n->month), year);
}

/* The same day of another year; DATE_NONE where that year does not have it. */
static struct date in_year(const struct named *n, int year)
{
	struct date d;
	return date_of(year, n->month, n->day, &d) ? d : date_none();
}

static int year_now(struct date today)
{
	int year, month, day;
	date_parts(today, &year, &month, &day);
	return year;
}

static enum fault_code check_weekday(const struct named *n, struct date day, struct fault *f)
{
	char text[DATE_TEXT_SIZE];
	int is = date_weekday(day);
	if (n->weekday == 0 || n->weekday == is + 1)
		return FAULT_NONE;
	return fault_set(f, FAULT_DATA, "%s is a %s; one of the two is right", date_text(day, text),
			 date_weekday_long(is));
}

/* A day that is over. */
static enum fault_code settle(const struct named *n, struct date today, struct date *day, struct fault *f)
{
	int year = n->year > 0 ? n->year : year_now(today);
	*day = date_is(n->date) ? n->date : in_year(n, year);
	if (date_is(n->date))
		return FAULT_NONE;
	if (n->year > 0)
		return date_is(*day) ? check_weekday(n, *day, f) : no_such_day(n, year, f);
	if (!date_is(*day) || date_diff(*day, today) > 0)
		*day = in_year(n, year - 1);
	if (date_is(*day) && date_diff(today, *day) <= HALF_YEAR)
		return check_weekday(n, *day, f);
	if (!date_is(in_year(n, year)))
		return no_such_day(n, year, f);
	const char *month = date_month_short(n->month);
	bool ahead = date_diff(in_year(n, year), today) > 0;
	return fault_set(f, FAULT_DATA, "%d %s is %s; \"%d %s %d\" is right if that is meant", n->day, month,
			 ahead ? "still to come" : "over for half a year", n->day, month, year - ahead);
}

size_t diaryday_at(const struct diarywords *w, size_t i, struct date today, struct date *day, struct fault *f)
{
	struct named n;
	struct fault wrong = {0};
	size_t used = name_at(w, i, today, &n, &wrong);
	if (used > 0 && settle(&n, today, day, &wrong) != FAULT_NONE)
		used = 0;
	if (wrong.code != FAULT_NONE)
		*f = wrong;
	return used;
}

bool diaryday_two_ways(const struct diarywords *w, size_t i)
{
	return day_of(word_at(w, i)) > 0 && month_of(word_at(w, i + 1)) > 0 && day_of(word_at(w, i + 2)) > 0;
}

/* ---- a time away ---- */

/* Bytes of a dash, short or long. */
static size_t dash_at(const char *s)
{
	static const char en[] = "\xe2\x80\x93";
	if (*s == '-')
		return 1;
	return strncmp(s, en, sizeof en - 1) == 0 ? sizeof en - 1 : 0;
}

/* Blanks round every dash but those of a date in figures. */
static void part_dashes(const struct diarywords *from, size_t i, struct diarywords *w)
{
	enum { SIZE = DIARYWORDS_MAX * 3 };
	char mem[SIZE];
	struct text t;
	text_over(&t, mem, sizeof mem);
	for (; i < from->n; i++) {
		for (const char *s = from->at[i]; *s != '\0';) {
			size_t dash = dash_at(s), whole = iso_at(s) ? ISO_SIZE : 1;
			text_add(&t, dash > 0 ? " - " : "");
			text_add_n(&t, s, dash > 0 ? 0 : whole);
			s += dash > 0 ? dash : whole;
		}
		text_add(&t, " ");
	}
	diarywords_cut(mem, w);
}

/* Away is mostly ahead: the next such day, or one that is past by no more than a month (judgement). */
static struct date nearest(const struct named *n, struct date today)
{
	enum { MONTH_DAYS = 31 };
	int year = year_now(today);
	if (date_is(n->date))
		return n->date;
	if (n->year > 0)
		return in_year(n, n->year);
	for (int y = year - 1; y <= year + 1; y++) {
		struct date d = in_year(n, y);
		if (date_is(d) && date_diff(today, d) <= MONTH_DAYS)
			return d;
	}
	return date_none();
}

/* The first such day that is not before another. */
static struct date from_there(const struct named *n, struct date first)
{
	int year = year_now(first);
	if (date_is(n->date) || n->year > 0)
		return nearest(n, first);
	struct date d = in_year(n, year);
	return date_is(d) && date_diff(d, first) >= 0 ? d : in_year(n, year + 1);
}

static enum fault_code not_away(struct fault *f)
{
	return f->code != FAULT_NONE ? f->code
				     : fault_set(f, FAULT_DATA,
						 "away when? \"away 20-27 July\", \"away until 27 July\" or "
						 "\"away 28 Dec to 3 Jan\" is right");
}

/* A weekday ahead is one of two. */
static bool names_weekday(const struct diarywords *w)
{
	for (size_t i = 0; i < w->n; i++)
		if (weekday_of(w->at[i]) >= 0)
			return true;
	return false;
}

static bool joins(const struct diarywords *w, size_t i)
{
	return diarywords_is(w, i, "-") || diarywords_is(w, i, "to") || diarywords_is(w, i, "until") ||
	       diarywords_is(w, i, "till") || diarywords_is(w, i, "through");
}

/* A bare day on one side has the month of the other. */
static size_t side(const struct diarywords *w, size_t i, struct date today, struct named *n, struct fault *f)
{
	size_t used = name_at(w, i, today, n, f);
	if (used > 0 || f->code != FAULT_NONE || day_of(word_at(w, i)) == 0)
		return used;
	*n = (struct named){.date = date_none(), .day = day_of(w->at[i])};
	return 1;
}

/* The first side, or today before "until"; words used, 0 where there is none. */
static size_t first_side(const struct diarywords *w, size_t i, struct date today, struct named *a, struct fault *f)
{
	if (!joins(w, i))
		return side(w, i, today, a, f);
	a->date = today;
	return 0;
}

/* What one side leaves to the other; false where neither has a month. */
static bool complete(struct named *a, struct named *b)
{
	if (!date_is(a->date) && a->month == 0) {
		a->month = b->month;
		a->year = b->year;
	}
	if (!date_is(b->date) && b->month == 0)
		b->month = a->month;
	return date_is(a->date) || a->month > 0;
}

static enum fault_code both_sides(const struct diarywords *w, struct date today, struct named *a, struct named *b,
				  struct fault *f)
{
	size_t i = diarywords_is(w, 0, "from") ? 1 : 0;
	i += first_side(w, i, today, a, f);
	if (!date_is(a->date) && a->day == 0)
		return not_away(f);
	*b = *a;
	size_t used = joins(w, i) ? side(w, i + 1, today, b, f) + 1 : 0;
	if (used == 1 || i + used != w->n)
		return not_away(f);
	return complete(a, b) ? FAULT_NONE : not_away(f);
}

enum fault_code diaryday_span(const struct diarywords *w, size_t i, struct date today, struct date *first,
			      struct date *last, struct fault *f)
{
	struct named a = {.date = date_none()}, b = a;
	struct diarywords parted;
	struct fault wrong = {0};
	part_dashes(w, i, &parted);
	if (names_weekday(&parted) || both_sides(&parted, today, &a, &b, &wrong) != FAULT_NONE) {
		*f = wrong;
		return not_away(f);
	}
	*first = nearest(&a, today);
	if (!date_is(*first))
		return no_such_day(&a, a.year > 0 ? a.year : year_now(today), f);
	*last = from_there(&b, *first);
	if (!date_is(*last))
		return no_such_day(&b, b.year > 0 ? b.year : year_now(*first), f);
	int days = date_diff(*last, *first) + 1;
	/* "27-20 July": without its year no last day is so far off. */
	bool turned = days > HALF_YEAR && !date_is(b.date) && b.year == 0;
	if (days < 1 || turned || days > AWAY_MOST_DAYS || date_diff(*first, today) > AWAY_MOST_DAYS)
		return fault_set(f, FAULT_DATA,
				 "away from %d %s on is not a time of a day to a year; the first day and then the last "
				 "is right",
				 a.day, a.month > 0 ? date_month_short(a.month) : "today");
	return FAULT_NONE;
}
