#include "cli/importsay.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>

#include "base/instant.h"
#include "base/utf8.h"

static const double MILE_KM = 1.609344; /* statute, by definition */

enum { GAPS_LISTED = 4, NUMBER_SIZE = 32, COLUMNS = 80, INDENT = 2, WORDS_SIZE = 512 };

struct gaps {
	size_t n;
	struct text words;
	char mem[WORDS_SIZE];
};

/* A line, wrapped. */
static void line(struct text *t, size_t indent, const char *words)
{
	text_add_char(t, ' ', indent);
	utf8_wrap(t, words, indent, indent + INDENT, COLUMNS);
	text_add(t, "\n");
}

static void linef(struct text *t, size_t indent, const char *fmt, ...) PRINTF_LIKE(3, 4);

static void linef(struct text *t, size_t indent, const char *fmt, ...)
{
	char mem[WORDS_SIZE];
	va_list args;
	va_start(args, fmt);
	vsnprintf(mem, sizeof mem, fmt, args);
	va_end(args);
	line(t, indent, mem);
}

/* "262,800" */
static const char *thousands(size_t x, char mem[static NUMBER_SIZE])
{
	char digits[NUMBER_SIZE];
	struct text d, t;
	text_over(&d, digits, sizeof digits);
	text_addf(&d, "%zu", x);
	text_over(&t, mem, NUMBER_SIZE);
	for (size_t i = 0; i < d.len; i++) {
		if (i > 0 && (d.len - i) % 3 == 0)
			text_add(&t, ",");
		text_add_char(&t, digits[i], 1);
	}
	return mem;
}

static const char *plural(size_t n)
{
	return n == 1 ? "" : "s";
}

static void gaps_begin(struct gaps *g)
{
	g->n = 0;
	text_over(&g->words, g->mem, sizeof g->mem);
}

static void gap(struct gaps *g, const char *from, size_t n, const char *unit)
{
	g->n++;
	if (g->n > GAPS_LISTED)
		return;
	char mem[NUMBER_SIZE];
	text_addf(&g->words, "%s%s (%s %s%s)", g->n == 1 ? "nothing from " : ", ", from, thousands(n, mem), unit,
		  plural(n));
}

static void gaps_end(struct gaps *g, struct text *t)
{
	if (g->n > GAPS_LISTED) {
		char mem[NUMBER_SIZE];
		text_addf(&g->words, " and %s more times", thousands(g->n - GAPS_LISTED, mem));
	}
	if (g->n > 0)
		line(t, INDENT, g->mem);
}

/* ---- Days ---- */

struct day_sum {
	size_t n, low, high, rain, observed, apart; /* apart: with another hour than the first that is said */
	int hhmm;
	struct date first, last;
};

static struct day_sum sum_days(const struct station_series *s)
{
	struct day_sum sum = {.hhmm = -1, .first = date_none(), .last = date_none()};
	struct station_day d;
	for (struct date at = stationdays_begin(); stationdays_next(s, &at, &d); sum.n++) {
		sum.first = date_is(sum.first) ? sum.first : d.date;
		sum.last = d.date;
		sum.low += isnan(d.tmin_c) ? 0 : 1;
		sum.high += isnan(d.tmax_c) ? 0 : 1;
		sum.rain += isnan(d.rain_mm) ? 0 : 1;
		if (d.observed_hhmm < 0)
			continue;
		sum.observed++;
		sum.hhmm = sum.hhmm < 0 ? d.observed_hhmm : sum.hhmm;
		sum.apart += d.observed_hhmm != sum.hhmm;
	}
	return sum;
}

static void day_gaps(const struct station_series *s, struct text *t)
{
	struct gaps g;
	struct station_day d;
	struct date due = date_none();
	char text[DATE_TEXT_SIZE];
	gaps_begin(&g);
	for (struct date at = stationdays_begin(); stationdays_next(s, &at, &d); due = at)
		if (date_is(due) && date_diff(d.date, due) > 0)
			gap(&g, date_text(due, text), (size_t)date_diff(d.date, due), "day");
	gaps_end(&g, t);
}

static void distance(const struct station_series *s, const struct garden *garden, struct text *t)
{
	double up = s->elevation_m - place_elevation(&garden->place);
	double away = place_distance_km(&garden->place, s->latitude_deg, s->longitude_deg);
	enum unit_system system = (enum unit_system)garden->units;
	bool us = system == UNIT_US;
	if (!s->placed)
		return;
	text_addf(t, "  %.0f %s from the garden", us ? away / MILE_KM : away, us ? "miles" : "km");
	double shown = unit_outside(UNIT_LENGTH, system, fabs(up));
	if (!isnan(up) && shown < 0.5)
		text_add(t, " and as high");
	else if (!isnan(up))
		text_addf(t, " and %.0f %s %s", shown, unit_label(UNIT_LENGTH, system), up > 0 ? "higher" : "lower");
	text_add(t, "\n");
}

static void series(const struct station_series *s, const struct garden *garden, struct text *t)
{
	char n[NUMBER_SIZE], a[NUMBER_SIZE], b[NUMBER_SIZE], c[NUMBER_SIZE], first[DATE_TEXT_SIZE],
	    last[DATE_TEXT_SIZE];
	struct day_sum sum = sum_days(s);
	if (sum.n == 0) {
		text_addf(t, "%s: no day with a value\n", s->id);
		return;
	}
	linef(t, 0, "%s day%s of %s, %s to %s; %s with a low, %s with a high, %s with rain measured",
	      thousands(sum.n, n), plural(sum.n), s->id, date_text(sum.first, first), date_text(sum.last, last),
	      thousands(sum.low, a), thousands(sum.high, b), thousands(sum.rain, c));
	distance(s, garden, t);
	if (sum.observed == 0)
		text_add(t, "  the hour of the day's readings is not known; --observed HH:MM says it\n");
	else if (sum.apart > 0)
		text_addf(t, "  read at %02d:%02d, on %s day%s at another hour\n", sum.hhmm / 100, sum.hhmm % 100,
			  thousands(sum.apart, a), plural(sum.apart));
	else
		text_addf(t, "  read at %02d:%02d\n", sum.hhmm / 100, sum.hhmm % 100);
	if (sum.observed > 0 && sum.observed < sum.n)
		text_addf(t, "  on %s day%s the hour is not known\n", thousands(sum.n - sum.observed, a),
			  plural(sum.n - sum.observed));
	day_gaps(s, t);
}

/* ---- Hours ---- */

static void hour_gaps(const struct stationhours *h, struct text *t)
{
	struct gaps g;
	char text[INSTANT_TEXT_SIZE];
	int64_t hour, due = INSTANT_NONE;
	gaps_begin(&g);
	for (int64_t at = stationhours_begin(); stationhours_next(h, &at, &hour); due = at)
		if (due != INSTANT_NONE && hour > due)
			gap(&g, instant_text(due, text), (size_t)((hour - due) / HOUR_S), "hour");
	gaps_end(&g, t);
}

static void hours(const struct stationhours *h, const struct zone *zone, struct text *t)
{
	char mem[NUMBER_SIZE], from[INSTANT_TEXT_SIZE], to[INSTANT_TEXT_SIZE];
	int64_t hour, first = INSTANT_NONE, last = INSTANT_NONE;
	size_t n = 0;
	for (int64_t at = stationhours_begin(); stationhours_next(h, &at, &hour); n++) {
		first = first == INSTANT_NONE ? hour : first;
		last = hour;
	}
	text_addf(t, "%s hour%s, %s to %s\n", thousands(n, mem), plural(n), instant_text(first, from),
		  instant_text(last, to));
	for (size_t v = 0; v < h->n; v++)
		text_addf(t, "  %s: %s\n", var_row(h->var[v])->name, thousands(stationhours_count(h, v), mem));
	if (zone != NULL)
		text_addf(t, "  times without an offset read by the clock of %s\n", zone->name);
	hour_gaps(h, t);
}

/* ---- Counts ---- */

static void count(size_t n, const char *one, const char *many, struct text *t)
{
	if (n == 0)
		return;
	char mem[NUMBER_SIZE];
	text_addf(t, "  %s %s\n", thousands(n, mem), n == 1 ? one : many);
}

static void quality(const struct tally *y, struct text *t)
{
	char mem[NUMBER_SIZE];
	size_t all = 0, n = 0;
	for (size_t i = 0; i < TALLY_LETTERS; i++)
		all += y->quality[i];
	if (all == 0)
		return;
	text_addf(t, "  %s value%s failed the quality checks (", thousands(all, mem), plural(all));
	for (size_t i = 0; i < TALLY_LETTERS; i++)
		if (y->quality[i] > 0)
			text_addf(t, "%s%c %s", n++ > 0 ? ", " : "", (char)('A' + (int)i),
				  thousands(y->quality[i], mem));
	text_add(t, ")\n");
}

static void counts(const struct tally *y, struct text *t)
{
	quality(y, t);
	count(y->missing, "value is missing", "values are missing", t);
	count(y->presumed, "value is missing and presumed to be 0: taken as missing",
	      "values are missing and presumed to be 0: taken as missing", t);
	count(y->lagged, "value may be of the day before", "values may be of the day before", t);
	count(y->out_of_range, "value is out of range", "values are out of range", t);
	count(y->crossed, "day with its low over its high: neither is taken",
	      "days with the low over the high: neither is taken", t);
	count(y->between, "row is not of a whole hour, or another is nearer",
	      "rows are not of whole hours, or others are nearer", t);
	count(y->partial, "hour lacks some of its rows, so that it has no total",
	      "hours lack some of their rows, so that they have no total", t);
	count(y->unused, "value of something the record does not keep", "values of things the record does not keep", t);
	count(y->others, "line of other stations", "lines of other stations", t);
	count(y->bad, "line cannot be read", "lines cannot be read", t);
}

void importsay(const struct stationfile *s, const struct garden *garden, const struct zone *zone, bool stored,
	       struct text *t)
{
	char rows[NUMBER_SIZE], values[NUMBER_SIZE];
	const struct tally *y = &s->tally;
	struct text left;
	char mem[IMPORTSAY_SIZE / 16];
	for (size_t i = 0; i < s->days.n; i++)
		series(&s->days.series[i], garden, t);
	if (s->kind == STATIONFILE_HOURS)
		hours(&s->hours, zone, t);
	text_addf(t, "%s line%s read, %s value%s taken%s\n", thousands(y->rows, rows), plural(y->rows),
		  thousands(y->values, values), plural(y->values), stored ? "" : "; nothing is stored, as asked");
	count(y->duplicates, "value or hour is there twice: the later one is taken",
	      "values or hours are there twice: the later one is taken", t);
	count(y->trace, "trace of rain, too little to measure, taken as 0",
	      "traces of rain, too little to measure, taken as 0", t);
	count(y->doubled, "row at a clock time that occurs twice: told by its order",
	      "rows at clock times that occur twice: told by their order", t);
	text_over(&left, mem, sizeof mem);
	counts(y, &left);
	if (left.len > 0)
		text_addf(t, "Left out:\n%s", left.at);
}
