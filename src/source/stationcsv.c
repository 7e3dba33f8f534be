#include "source/stationcsv.h"

#include <assert.h>
#include <math.h>
#include <string.h>

#include "base/instant.h"
#include "base/num.h"
#include "base/suggest.h"
#include "base/text.h"
#include "base/utf8.h"

enum { HEADING_WITHIN = 100, APART_MAX_S = 600, TIME_SIZE = 128, SHOWN_MAX = 40, MINUTE_S = 60, HALF_HOUR_S = 1800 };

/* ---- The heading ---- */

enum fault_code stationcsv_begin(struct stationcsv *x, const struct zone *zone, struct fault *f)
{
	x->daily = mapping_daily(x->how);
	x->delimiter = x->how->delimiter;
	return rowtime_init(&x->time, x->how->time_format, zone, f);
}

static bool by_name(const struct mapping *m)
{
	for (int i = 0; i < MAPPING_TARGETS; i++)
		if (m->column[i].is && m->column[i].head[0] != '\0')
			return true;
	return false;
}

static size_t named(const struct stationcsv *x, const char *name)
{
	size_t i = 0;
	while (i < x->csv.n && (name[0] == '\0' || strcmp(x->csv.field[i], name) != 0))
		i++;
	return i;
}

/* Where a column is in the line that was cut; x->csv.n where it is not. */
static size_t find(const struct stationcsv *x, const struct mapping_column *c)
{
	if (c->head[0] == '\0')
		return c->number - 1 < x->csv.n ? c->number - 1 : x->csv.n;
	size_t i = named(x, c->head);
	return i < x->csv.n ? i : named(x, c->whole);
}

/* The first line that has at least one of the names tells best which other one it lacks. */
static void note_lack(struct stationcsv *x, const struct mapping_column *c, bool any, size_t line)
{
	struct text t;
	if (x->lacks[0] != '\0' && !any)
		return;
	text_over(&t, x->lacks, sizeof x->lacks);
	if (c->head[0] != '\0')
		text_add(&t, c->head);
	else
		text_addf(&t, "%zu", c->number);
	const char *near = suggest(c->head, (const char *const *)x->csv.field, x->csv.n);
	text_over(&t, x->near, sizeof x->near);
	text_add(&t, near != NULL ? near : "");
	x->lacks_line = line;
}

static bool all_found(struct stationcsv *x, size_t line)
{
	const struct mapping_column *lacks = NULL;
	bool any = false;
	for (int i = 0; i < MAPPING_TARGETS; i++) {
		const struct mapping_column *c = &x->how->column[i];
		if (!c->is)
			continue;
		if (find(x, c) < x->csv.n)
			any = any || c->head[0] != '\0';
		else if (lacks == NULL)
			lacks = c;
	}
	if (lacks != NULL)
		note_lack(x, lacks, any, line);
	return lacks == NULL;
}

static void set_column(struct stationcsv *x, int target, const struct mapping_column *c)
{
	struct stationcsv_column *to = &x->column[x->n++];
	*to = (struct stationcsv_column){.target = target, .at = find(x, c), .unit = c->unit};
	if (target >= VARS)
		return;
	const struct var_row *of = var_row((enum var)target);
	to->lo = of->lo;
	to->hi = of->hi;
	to->part = of->kind == VAR_FLUX && x->how->step_s < HOUR_S;
	if (of->kind == VAR_FLUX && x->how->stamp == MAPPING_STAMP_END)
		to->shift_s = -x->how->step_s;
	x->hours->var[x->hours->n++] = (enum var)target;
}

static void set_columns(struct stationcsv *x)
{
	const struct mapping_column *c = x->how->column;
	x->fields = x->csv.n;
	x->time_at = find(x, &c[c[MAPPING_TIME].is ? MAPPING_TIME : MAPPING_DATE]);
	x->clock_at = c[MAPPING_CLOCK].is ? find(x, &c[MAPPING_CLOCK]) : x->csv.n;
	for (int i = 0; i < MAPPING_TIME; i++)
		if (c[i].is)
			set_column(x, i, &c[i]);
	x->begun = true;
}

/* ---- Rows ---- */

static enum fault_code cut_row(struct stationcsv *x, struct fileline *line, struct fault *f)
{
	if (csv_cut(line->at, x->delimiter, &x->csv, f) != FAULT_NONE)
		return f->code;
	/* Some programs end each row with a delimiter. */
	size_t n = x->csv.n;
	while (n > x->fields && x->csv.field[n - 1][0] == '\0')
		n--;
	if (n != x->fields)
		return fault_set(f, FAULT_DATA, "fields: %zu in place of %zu", n, x->fields);
	return FAULT_NONE;
}

static enum fault_code no_number(int target, bool decimal_comma, const char *s, struct fault *f)
{
	return fault_set(
	    f, FAULT_DATA, "%s: \"%.*s\" is no number; %s", mapping_target_name(target), utf8_most(s, SHOWN_MAX), s,
	    !decimal_comma && strchr(s, ',') != NULL ? "is the comma its decimal sign? --decimal comma says so"
						     : "a mark for \"no value\" is told by --missing");
}

/* T, as observers write rain too little to measure. */
static bool is_trace(int target, const char *s)
{
	return (target == VAR_PRECIPITATION || target == MAPPING_RAIN) && (s[0] == 'T' || s[0] == 't') && s[1] == '\0';
}

static enum fault_code read_value(const struct stationcsv *x, const struct stationcsv_column *c, double *value,
				  struct fault *f)
{
	char *s = x->csv.field[c->at];
	double number;
	*value = (double)NAN;
	if (mapping_missing(x->how, s)) {
		x->tally->missing++;
		return FAULT_NONE;
	}
	if (is_trace(c->target, s)) {
		x->tally->trace++;
		*value = 0;
		return FAULT_NONE;
	}
	size_t n = strlen(s);
	char *comma = x->how->decimal_comma ? strchr(s, ',') : NULL;
	if (comma != NULL)
		*comma = '.';
	bool is = num_scan(s, n, &number) == n;
	if (!is && comma != NULL)
		*comma = ','; /* as it is to be shown */
	if (!is)
		return no_number(c->target, x->how->decimal_comma, s, f);
	*value = unit_inside(&c->unit, number, x->how->step_s);
	return FAULT_NONE;
}

static enum fault_code read_values(const struct stationcsv *x, double value[static MAPPING_TARGETS], struct fault *f)
{
	for (size_t i = 0; i < x->n; i++)
		if (read_value(x, &x->column[i], &value[i], f) != FAULT_NONE)
			return f->code;
	return FAULT_NONE;
}

static enum fault_code still_to_come(const char *s, struct fault *f)
{
	return fault_set(f, FAULT_DATA, "\"%.*s\" is still to come; a past time is right", utf8_most(s, SHOWN_MAX), s);
}

/* ---- Days ---- */

/* Columns of days have been checked to be of days when the heading was read. */
static enum station_element day_element(int target)
{
	static const enum station_element element[] = {STATION_LOW, STATION_HIGH, STATION_RAIN};
	size_t i = (size_t)(target - MAPPING_LOW);
	assert(i < sizeof element / sizeof *element);
	return element[i];
}

static enum fault_code day_row(struct stationcsv *x, struct fileline *line, struct fault *f)
{
	double value[MAPPING_TARGETS] = {0};
	struct date date;
	struct station_series *s;
	const char *day = x->csv.field[x->time_at];
	if (rowtime_date(&x->time, day, &date, f) != FAULT_NONE || stationdays_date(date, f) != FAULT_NONE)
		return f->code;
	if (instant_at(date, 0, 0) > x->now)
		return still_to_come(day, f);
	if (read_values(x, value, f) != FAULT_NONE || stationdays_series(x->days, x->station, &s, f) != FAULT_NONE)
		return f->code;
	for (size_t i = 0; i < x->n; i++)
		if (!isnan(value[i]) && stationdays_put(s, date, day_element(x->column[i].target), value[i],
							x->how->observed, line->number, x->tally, f) != FAULT_NONE)
			return f->code;
	return FAULT_NONE;
}

/* ---- Hours ---- */

/* Whether this row is the one that its hour takes: the nearest, and of two as near the later in the file. */
static bool claim(struct stationcsv *x, uint8_t *mark, uint8_t minutes, size_t line, const char *time)
{
	struct tally *t = x->tally;
	if (*mark == minutes)
		tally_odd(t, line, &t->duplicates, "%.*s: this hour is there twice; this row counts",
			  utf8_most(time, SHOWN_MAX), time);
	else if (*mark != STATIONHOURS_NONE)
		t->between += x->how->step_s == HOUR_S; /* one of the two */
	if (*mark < minutes)
		return false;
	*mark = minutes;
	return true;
}

static bool in_range(struct stationcsv *x, const struct stationcsv_column *c, double value, size_t line)
{
	const struct var_row *of = var_row((enum var)c->target);
	if (value >= c->lo && value <= c->hi)
		return true;
	tally_odd(x->tally, line, &x->tally->out_of_range, "%s of %.6g %s is not between %g and %g; it is left out",
		  of->name, value, of->unit, of->lo, of->hi);
	return false;
}

/* Values that are of the hour by themselves. */
static enum fault_code keep(struct stationcsv *x, int64_t hour, const double *value, size_t line, struct fault *f)
{
	for (size_t i = 0; i < x->n; i++) {
		const struct stationcsv_column *c = &x->column[i];
		if (c->part || isnan(value[i]) || !stationhours_holds(hour + c->shift_s) ||
		    !in_range(x, c, value[i], line))
			continue;
		double *cell = stationhours_cell(x->hours, hour + c->shift_s, i);
		if (cell == NULL)
			return fault_set(f, FAULT_MEMORY, "out of memory");
		x->tally->values += isnan(*cell) ? 1 : 0;
		*cell = value[i];
	}
	return FAULT_NONE;
}

/* Values that are added up. */
static enum fault_code add(struct stationcsv *x, int64_t t, const double *value, size_t line, struct fault *f)
{
	for (size_t i = 0; i < x->n; i++) {
		const struct stationcsv_column *c = &x->column[i];
		/* Loggers may be some seconds late or early; the step divides the hour. */
		int64_t hour = instant_hour(t + c->shift_s + x->how->step_s / 2);
		if (!c->part || isnan(value[i]) || !stationhours_holds(hour) || !in_range(x, c, value[i], line))
			continue;
		if (!stationhours_add(x->hours, hour, i, value[i]))
			return fault_set(f, FAULT_MEMORY, "out of memory");
	}
	return FAULT_NONE;
}

/* The row's time, from one column or two. */
static enum fault_code row_time(struct stationcsv *x, int64_t *t, char mem[static TIME_SIZE], struct fault *f)
{
	struct text whole;
	bool doubled = false;
	text_over(&whole, mem, TIME_SIZE);
	text_add(&whole, x->csv.field[x->time_at]);
	if (x->clock_at < x->fields) {
		text_add(&whole, " ");
		text_add(&whole, x->csv.field[x->clock_at]);
	}
	if (rowtime_read(&x->time, mem, t, &doubled, f) != FAULT_NONE)
		return f->code;
	x->tally->doubled += doubled;
	return *t > x->now ? still_to_come(mem, f) : FAULT_NONE;
}

static enum fault_code hour_row(struct stationcsv *x, const struct fileline *line, struct fault *f)
{
	double value[MAPPING_TARGETS] = {0};
	char time[TIME_SIZE];
	int64_t t = 0;
	if (row_time(x, &t, time, f) != FAULT_NONE || read_values(x, value, f) != FAULT_NONE)
		return f->code;
	int64_t hour = instant_hour(t + HALF_HOUR_S), apart = t < hour ? hour - t : t - hour;
	if (!stationhours_holds(hour))
		return fault_set(f, FAULT_DATA, "\"%s\" lies before 1700 or after 2199", time);
	if (x->how->step_s < HOUR_S && add(x, t, value, line->number, f) != FAULT_NONE)
		return f->code;
	if (apart > APART_MAX_S) {
		/* That such rows come is known where their step is. */
		x->tally->between += x->how->step_s == HOUR_S;
		return FAULT_NONE;
	}
	uint8_t *mark = stationhours_row(x->hours, hour);
	if (mark == NULL)
		return fault_set(f, FAULT_MEMORY, "out of memory");
	return claim(x, mark, (uint8_t)(apart / MINUTE_S), line->number, time) ? keep(x, hour, value, line->number, f)
									       : FAULT_NONE;
}

/* ---- The whole ---- */

/* Columns told by number alone need no heading: a first line whose time cannot be read is one all the same. */
static bool is_row(struct stationcsv *x)
{
	char time[TIME_SIZE];
	struct rowtime before = x->time;
	size_t doubled = x->tally->doubled;
	struct fault ignored;
	struct date d;
	int64_t t;
	bool is = x->daily ? rowtime_date(&x->time, x->csv.field[x->time_at], &d, &ignored) == FAULT_NONE
			   : row_time(x, &t, time, &ignored) == FAULT_NONE;
	x->time = before;
	x->tally->doubled = doubled;
	return is;
}

static enum fault_code no_heading(const struct stationcsv *x, struct fault *f)
{
	if (x->lacks[0] == '\0')
		return fault_set(f, FAULT_DATA, "there is no row in it");
	if (x->near[0] != '\0')
		return fault_set(f, FAULT_CONFIG, "line %zu has no column \"%s\"; did you mean \"%s\"?", x->lacks_line,
				 x->lacks, x->near);
	return fault_set(f, FAULT_CONFIG,
			 "no line has a column \"%s\"; its heading as it stands there, or its number from 1, is right",
			 x->lacks);
}

/* *row: the line, which was cut, is to be read as one. */
static enum fault_code look_for_heading(struct stationcsv *x, struct fileline *line, bool *row, struct fault *f)
{
	struct fault ignored; /* text before the heading need not be CSV */
	*row = false;
	if (x->how->delimiter == 0)
		x->delimiter = csv_delimiter(line->at);
	if (csv_cut(line->at, x->delimiter, &x->csv, &ignored) != FAULT_NONE || !all_found(x, line->number)) {
		x->looked++;
		return x->looked < HEADING_WITHIN ? FAULT_NONE : no_heading(x, f);
	}
	set_columns(x);
	*row = !by_name(x->how) && is_row(x);
	return FAULT_NONE;
}

enum fault_code stationcsv_line(struct stationcsv *x, struct fileline *line, bool *row, struct fault *f)
{
	bool begun = x->begun;
	*row = begun;
	if (begun ? cut_row(x, line, f) : look_for_heading(x, line, row, f))
		return f->code;
	if (!*row)
		return FAULT_NONE;
	return x->daily ? day_row(x, line, f) : hour_row(x, line, f);
}

/* Rows between whole hours are a good part of a file that is written every 30 minutes and oftener. */
static bool too_close(const struct tally *t)
{
	enum { SHARE = 4 };
	return t->between > 0 && t->between * SHARE >= t->rows;
}

static void total(struct stationcsv *x, size_t i)
{
	size_t partial;
	bool mean = x->column[i].target != VAR_PRECIPITATION;
	unsigned parts = (unsigned)(HOUR_S / x->how->step_s);
	x->tally->values += stationhours_total(x->hours, i, parts, mean, &partial);
	x->tally->partial += partial;
}

enum fault_code stationcsv_end(struct stationcsv *x, struct fault *f)
{
	if (!x->begun)
		return no_heading(x, f);
	for (size_t i = 0; i < x->n && !x->daily; i++) {
		const struct stationcsv_column *c = &x->column[i];
		if (c->part)
			total(x, i);
		else if (var_row((enum var)c->target)->kind == VAR_FLUX && too_close(x->tally))
			return fault_set(f, FAULT_DATA,
					 "its rows are less than an hour apart, so that %s of a row is not the hour's; "
					 "--step with their distance, as 15min, adds it up",
					 mapping_target_name(c->target));
	}
	return FAULT_NONE;
}
