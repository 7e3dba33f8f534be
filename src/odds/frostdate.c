#include "odds/frostdate.h"

#include <math.h>
#include <string.h>

#include "odds/runs.h"

static const double LINE_C[FROSTDATE_LINES] = {20.0 / 9, 0, -20.0 / 9}; /* 36, 32, 28 F */
static const double STEP_C = 0.1; /* stations report in tenths C (GHCN-Daily readme) */

enum {
	SPRING_MONTHS = 7,
	SPRING_DAYS = 212, /* January to July */
	SPRING_DAYS_SOUTH = 215,
	SHIFT_DAYS = 181, /* 1 July is day 182 of the year */
	SHIFT_MONTHS = 6,
	MONTH_DAYS = 20, /* lows that a month must have to say whether it freezes (judgement) */
};

/* A date as the season counts. */
struct when {
	int year, month, day; /* month 0..11, day 1..365, both from the season's first */
	bool leap_day;
};

/* What one line has met in this half of the year, and in this month. */
struct met {
	double line_c;
	int frost, known; /* day of the frost to keep, 0 none; lows known up to it */
	bool month;
	int months[12]; /* years with frost in it */
};

struct pass {
	struct frostdate *f;
	struct when now;
	int known, month_known; /* lows in this half, in this month */
	int months[12];         /* years that know it */
	struct met met[FROSTDATE_LINES];
};

static struct when when_of(bool south, struct date d)
{
	struct yearday y = yearday_of(d);
	struct when w = {y.year, y.month - 1, y.day, y.leap_day};
	if (!south)
		return w;
	bool second_half = y.month <= SHIFT_MONTHS;
	w.year -= second_half;
	w.month += second_half ? SHIFT_MONTHS : -SHIFT_MONTHS;
	w.day += second_half ? YEAR_DAYS - SHIFT_DAYS : -SHIFT_DAYS;
	return w;
}

int frostdate_year(bool south, struct date d)
{
	return when_of(south, d).year;
}

double frostdate_day(bool south, struct date d)
{
	return when_of(south, d).day;
}

struct date frostdate_date(bool south, int year, double day)
{
	return yearday_date(year, day + (south ? SHIFT_DAYS : 0));
}

static bool in_spring(const struct when *w)
{
	return w->month < SPRING_MONTHS;
}

/* Days of this half whose low is not known and that could hold a later (an earlier) frost. */
static int missing(const struct pass *p, const struct met *m)
{
	int spring = p->f->south ? SPRING_DAYS_SOUTH : SPRING_DAYS;
	if (in_spring(&p->now))
		return spring - m->frost - (p->known - m->known);
	if (m->frost == 0)
		return YEAR_DAYS - spring - p->known;
	return m->frost - spring - m->known;
}

static void close_half(struct pass *p)
{
	bool spring = in_spring(&p->now);
	for (int i = 0; i < FROSTDATE_LINES; i++) {
		struct met *m = &p->met[i];
		struct yeardate *side = spring ? &p->f->at[i].spring : &p->f->at[i].autumn;
		if (p->known > 0 && missing(p, m) <= FROSTDATE_MISSING)
			yeardate_add(side, m->frost > 0 ? m->frost : (double)NAN);
		m->frost = m->known = 0;
	}
	p->known = 0;
}

static void close_month(struct pass *p)
{
	bool enough = p->month_known >= MONTH_DAYS;
	p->months[p->now.month] += enough;
	p->month_known = 0;
	for (int i = 0; i < FROSTDATE_LINES; i++) {
		p->met[i].months[p->now.month] += enough && p->met[i].month;
		p->met[i].month = false;
	}
}

static void take_low(struct pass *p, double low_c)
{
	p->known += !p->now.leap_day;
	p->month_known++;
	for (int i = 0; i < FROSTDATE_LINES; i++) {
		struct met *m = &p->met[i];
		if (!(low_c <= m->line_c))
			continue;
		m->month = true;
		if (m->frost > 0 && !in_spring(&p->now))
			continue;
		m->frost = p->now.day;
		m->known = p->known;
	}
}

static bool every_month(const struct pass *p, const struct met *m)
{
	for (int i = 0; i < 12; i++)
		if (p->months[i] < YEARDATE_SOME || 2 * m->months[i] < p->months[i])
			return false;
	return true;
}

static enum frostdate_kind kind_of(const struct pass *p, int i)
{
	const struct frostdate_line *l = &p->f->at[i];
	if (l->spring.years < YEARDATE_SOME || l->autumn.years < YEARDATE_SOME)
		return FROSTDATE_TOO_FEW;
	if (l->spring.with == 0 && l->autumn.with == 0)
		return FROSTDATE_NEVER;
	return every_month(p, &p->met[i]) ? FROSTDATE_EVERY_MONTH : FROSTDATE_DATED;
}

void frostdate_of(const struct station_day *day, size_t n, const char *station, bool south, struct frostdate *f)
{
	struct pass p = {.f = f};
	f->south = south;
	for (int i = 0; i < FROSTDATE_LINES; i++) {
		p.met[i].line_c = runs_reads_under_c(LINE_C[i], STEP_C);
		yeardate_start(&f->at[i].spring, YEARDATE_LAST);
		yeardate_start(&f->at[i].autumn, YEARDATE_FIRST);
	}
	for (size_t i = 0; i < n; i++) {
		if (isnan(day[i].tmin_c) || strcmp(day[i].station, station) != 0)
			continue;
		struct when w = when_of(south, day[i].date);
		bool same_year = w.year == p.now.year;
		if (!same_year || w.month != p.now.month)
			close_month(&p);
		if (!same_year || in_spring(&w) != in_spring(&p.now))
			close_half(&p);
		p.now = w;
		take_low(&p, day[i].tmin_c);
	}
	close_month(&p);
	/* An autumn that still runs would count where it froze early, and not where it did not. */
	if (in_spring(&p.now) || p.now.day >= YEAR_DAYS - FROSTDATE_MISSING)
		close_half(&p);
	for (int i = 0; i < FROSTDATE_LINES; i++) {
		yeardate_close(&f->at[i].spring);
		yeardate_close(&f->at[i].autumn);
		f->at[i].kind = kind_of(&p, i);
	}
}
