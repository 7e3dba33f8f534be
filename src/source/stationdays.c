#include "source/stationdays.h"

#include <assert.h>
#include <math.h>
#include <stdint.h>
#include <string.h>

#include "base/mem.h"
#include "base/text.h"

enum { YEAR_DAYS = 366 };

/* The air of a day: the extremes of the world rounded outward, and rain of a day (1825 mm, La Reunion 1966; WMO
   World Weather and Climate Extremes Archive, from memory). */
static const struct element {
	const char *name;
	double lo, hi;
	const char *unit;
} ELEMENT[STATION_ELEMENTS] = {
    [STATION_LOW] = {"low", -90, 70, "C"},
    [STATION_HIGH] = {"high", -90, 70, "C"},
    [STATION_RAIN] = {"rain", 0, 2000, "mm"},
};

struct cell {
	double value[STATION_ELEMENTS];
	int16_t observed[STATION_ELEMENTS];
	bool has[STATION_ELEMENTS];
};

struct station_year {
	struct cell day[YEAR_DAYS];
};

void stationdays_free(struct stationdays *d)
{
	for (size_t i = 0; i < d->n; i++)
		for (size_t y = 0; y < STATION_YEARS; y++)
			mem_free(d->series[i].year[y]);
	mem_free(d->series);
	*d = (struct stationdays){0};
}

enum fault_code stationdays_series(struct stationdays *d, const char *id, struct station_series **s, struct fault *f)
{
	for (size_t i = d->n; i-- > 0;) {
		*s = &d->series[i];
		if (strcmp((*s)->id, id) == 0)
			return FAULT_NONE;
	}
	if (d->n == STATIONDAYS_MAX)
		return fault_set(f, FAULT_USAGE, "more than %d stations in one file; --station ID takes one of them",
				 (int)STATIONDAYS_MAX);
	if (d->n == d->cap) {
		size_t cap = d->cap > 0 ? 2 * d->cap : 1;
		struct station_series *more = mem_resize(d->series, cap, sizeof *more);
		if (more == NULL)
			return fault_set(f, FAULT_MEMORY, "out of memory");
		d->series = more;
		d->cap = cap;
	}
	*s = &d->series[d->n++];
	**s = (struct station_series){.id = ""};
	struct text t;
	text_over(&t, (*s)->id, sizeof(*s)->id);
	text_add(&t, id);
	return FAULT_NONE;
}

static bool find_day(struct date date, size_t *year, size_t *day)
{
	int y, month, of_month;
	date_parts(date, &y, &month, &of_month);
	if (y < STATION_YEAR_FIRST || y >= STATION_YEAR_FIRST + STATION_YEARS)
		return false;
	*year = (size_t)(y - STATION_YEAR_FIRST);
	*day = (size_t)(date_day_of_year(date) - 1);
	return true;
}

enum fault_code stationdays_date(struct date date, struct fault *f)
{
	size_t year, day;
	char text[DATE_TEXT_SIZE];
	if (find_day(date, &year, &day))
		return FAULT_NONE;
	return fault_set(f, FAULT_DATA, "%s is no day of a station; %d to %d is right", date_text(date, text),
			 (int)STATION_YEAR_FIRST, STATION_YEAR_FIRST + STATION_YEARS - 1);
}

enum fault_code stationdays_put(struct station_series *s, struct date date, enum station_element e, double x,
				int observed, size_t line, struct tally *t, struct fault *f)
{
	const struct element *of = &ELEMENT[e];
	size_t year, day;
	char text[DATE_TEXT_SIZE];
	if (!(x >= of->lo && x <= of->hi)) {
		tally_odd(t, line, &t->out_of_range, "%s %s of %.10g %s is not between %g and %g; it is left out",
			  date_text(date, text), of->name, x, of->unit, of->lo, of->hi);
		return FAULT_NONE;
	}
	if (!find_day(date, &year, &day))
		return stationdays_date(date, f);
	if (s->year[year] == NULL) {
		s->year[year] = mem_new(1, sizeof *s->year[year]);
		if (s->year[year] == NULL)
			return fault_set(f, FAULT_MEMORY, "out of memory");
	}
	struct cell *c = &s->year[year]->day[day];
	if (c->has[e])
		tally_odd(t, line, &t->duplicates, "%s %s is there twice; this one counts", date_text(date, text),
			  of->name);
	else
		t->values++;
	c->has[e] = true;
	c->value[e] = x;
	c->observed[e] = (int16_t)observed;
	return FAULT_NONE;
}

static void judge_cell(struct cell *c, struct date date, const char *id, struct tally *t)
{
	if (!c->has[STATION_LOW] || !c->has[STATION_HIGH] || c->value[STATION_LOW] <= c->value[STATION_HIGH])
		return;
	if (t->crossed < TALLY_ODD_LISTED) {
		char text[DATE_TEXT_SIZE];
		faults_addf(&t->odd_lines, FAULT_DATA,
			    "%s: %s, %s: the low of %.10g C is over the high of %.10g C; both are left out", t->file,
			    id, date_text(date, text), c->value[STATION_LOW], c->value[STATION_HIGH]);
	}
	t->crossed++;
	t->values -= 2;
	c->has[STATION_LOW] = c->has[STATION_HIGH] = false;
}

static struct date year_begin(size_t year)
{
	struct date d = date_none();
	bool is = date_of(STATION_YEAR_FIRST + (int)year, 1, 1, &d);
	assert(is);
	(void)is;
	return d;
}

void stationdays_judge(struct stationdays *d, struct tally *t)
{
	for (size_t i = 0; i < d->n; i++)
		for (size_t y = 0; y < STATION_YEARS; y++)
			for (size_t k = 0; d->series[i].year[y] != NULL && k < YEAR_DAYS; k++)
				judge_cell(&d->series[i].year[y]->day[k], date_add(year_begin(y), (int)k),
					   d->series[i].id, t);
}

static double value_of(const struct cell *c, enum station_element e)
{
	return c->has[e] ? c->value[e] : (double)NAN;
}

/* The thermometer's hour before the gauge's: the day's low and high hang on it. */
static int observed_of(const struct cell *c)
{
	for (int e = 0; e < STATION_ELEMENTS; e++)
		if (c->has[e] && c->observed[e] >= 0)
			return c->observed[e];
	return -1;
}

struct date stationdays_begin(void)
{
	return year_begin(0);
}

/* A day of the year's block with a value from day k on; YEAR_DAYS where there is none. */
static size_t day_with_value(const struct station_year *year, size_t k)
{
	while (k < YEAR_DAYS &&
	       !(year->day[k].has[STATION_LOW] || year->day[k].has[STATION_HIGH] || year->day[k].has[STATION_RAIN]))
		k++;
	return k;
}

bool stationdays_next(const struct station_series *s, struct date *at, struct station_day *day)
{
	size_t y, k;
	for (bool in = find_day(*at, &y, &k); in && y < STATION_YEARS; y++, k = 0) {
		if (s->year[y] == NULL)
			continue;
		k = day_with_value(s->year[y], k);
		if (k == YEAR_DAYS)
			continue;
		const struct cell *c = &s->year[y]->day[k];
		*day = (struct station_day){.date = date_add(year_begin(y), (int)k),
					    .tmin_c = value_of(c, STATION_LOW),
					    .tmax_c = value_of(c, STATION_HIGH),
					    .rain_mm = value_of(c, STATION_RAIN),
					    .observed_hhmm = observed_of(c)};
		memcpy(day->station, s->id, sizeof day->station);
		*at = date_add(day->date, 1);
		return true;
	}
	return false;
}
