#include "note/frostline.h"

#include <math.h>

#include "base/utf8.h"

enum { FROST_PIECE = 512, FROST_INDENT = 8 };

/* Chances of a later frost (spring) or of one by then (autumn). */
static const double HALF = 0.5, ONE_IN_TEN = 0.1;

/* A day of the season's year as a date of the year that today is in; DATE_NONE where no chance can be told. */
static struct date date_for(const struct frostdate *f, const struct yeardate *y, double p, struct date today)
{
	return frostdate_date(f->south, frostdate_year(f->south, today), yeardate_normal(y, p));
}

/* "6 May": no weekday, for it is of no one year. */
static void calendar(struct text *t, struct date d)
{
	int year, month, day;
	date_parts(d, &year, &month, &day);
	text_addf(t, "%d %s", day, date_month_short(month));
}

static const struct frostdate_line *dated(const struct frostdate *f)
{
	const struct frostdate_line *l = &f->at[FROSTDATE_32F];
	return l->kind == FROSTDATE_DATED ? l : NULL;
}

static const char *freezing(int units)
{
	return units == UNIT_US ? "32 F" : "0 C";
}

bool frostline_spring(const struct frostdate *f, struct date today, int units, struct text *t)
{
	const struct frostdate_line *l = dated(f);
	struct date half = l ? date_for(f, &l->spring, HALF, today) : date_none();
	struct date most = l ? date_for(f, &l->spring, ONE_IN_TEN, today) : date_none();
	if (!date_is(most))
		return false;
	text_addf(t, "last %s: ", freezing(units));
	if (date_is(half)) {
		text_add(t, "half the years by ");
		calendar(t, half);
		text_add(t, ", ");
	}
	text_add(t, "nine in ten by ");
	calendar(t, most);
	return true;
}

bool frostline_autumn(const struct frostdate *f, struct date today, int units, struct text *t)
{
	const struct frostdate_line *l = dated(f);
	struct date first = l ? date_for(f, &l->autumn, ONE_IN_TEN, today) : date_none();
	struct date half = l ? date_for(f, &l->autumn, HALF, today) : date_none();
	if (!date_is(first))
		return false;
	text_addf(t, "first %s: one year in ten by ", freezing(units));
	calendar(t, first);
	if (date_is(half)) {
		text_add(t, ", half by ");
		calendar(t, half);
	}
	return true;
}

static bool any(const struct note_facts *n, bool out)
{
	for (size_t i = 0; i < n->state->plantings; i++) {
		enum planting_where where = n->state->planting[i].where;
		bool waits = where == PLANTING_IN_TRAY || where == PLANTING_TO_COME;
		if (out ? where == PLANTING_OUT : waits)
			return true;
	}
	return false;
}

/* From `early` days before a date to another; where the first is not known from the second's. */
static bool between(struct date today, struct date from, int early, struct date to)
{
	struct date begin = date_is(from) ? from : to;
	return date_is(to) && date_diff(today, date_add(begin, -early)) >= 0 && date_diff(to, today) >= 0;
}

static void years_words(int years, bool spring, struct text *t)
{
	text_addf(t, " (%s%d years of the station; low ground %s).", years < YEARDATE_ENOUGH ? "rough: " : "", years,
		  spring ? "runs later" : "is earlier");
}

void frostline_write(const struct note_facts *n, struct text *t)
{
	const struct frostdate *f = &n->state->frost;
	const struct frostdate_line *l = dated(f);
	struct date today = n->state->today;
	char mem[FROST_PIECE];
	struct text words;
	if (l == NULL)
		return;
	bool spring = any(n, false) && between(today, date_for(f, &l->spring, HALF, today), FROSTLINE_EARLY,
					       date_for(f, &l->spring, ONE_IN_TEN, today));
	struct date first = date_for(f, &l->autumn, ONE_IN_TEN, today), half = date_for(f, &l->autumn, HALF, today);
	bool autumn = any(n, true) && between(today, first, FROSTLINE_WARN, date_is(half) ? half : first);
	text_over(&words, mem, sizeof mem);
	if (!(spring && frostline_spring(f, today, n->garden->units, &words)) &&
	    !(autumn && frostline_autumn(f, today, n->garden->units, &words)))
		return;
	years_words(spring ? l->spring.years : l->autumn.years, spring, &words);
	text_addf(t, "%-*s", FROST_INDENT, "Frost");
	utf8_wrap(t, words.at, FROST_INDENT, FROST_INDENT, NOTE_COLUMNS);
	text_add(t, "\n");
}
