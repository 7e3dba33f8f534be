#include "source/ghcn.h"

#include <math.h>
#include <string.h>

#include "base/num.h"
#include "base/text.h"

/* Columns of .dly, from 0, and lengths. */
enum {
	ID_SIZE = 11,
	YEAR_AT = 11,
	MONTH_AT = 15,
	ELEMENT_AT = 17,
	ELEMENT_SIZE = 4,
	DAYS_AT = 21,
	DAY_SIZE = 8,
	VALUE_SIZE = 5,
	MONTH_DAYS = 31,
	DLY_SIZE = DAYS_AT + MONTH_DAYS * DAY_SIZE,   /* 269 */
	DLY_LEAST = DLY_SIZE - DAY_SIZE + VALUE_SIZE, /* the last flags may have been trimmed */
	DIGITS_MAX = 6,
	MISSING = -9999,
};

enum { LONG_FIELDS_LEAST = 7, LONG_FIELDS = 8, FLAGS_MOST = 4 };

static const char *const ELEMENT_NAME[STATION_ELEMENTS] = {"TMIN", "TMAX", "PRCP"};

/* One value with its flags; ' ' where there is none. */
struct flagged {
	int tenths;
	char m, q;
	int observed; /* HHMM; -1 */
};

/* ---- Pieces ---- */

static bool is_upper_or_digit(char c)
{
	return (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9');
}

static bool all_upper_or_digit(const char *s, size_t n)
{
	for (size_t i = 0; i < n; i++)
		if (!is_upper_or_digit(s[i]))
			return false;
	return true;
}

bool ghcn_id(const char *s, size_t n)
{
	/* P, cooperative stations from before they were numbered, came later: from memory. */
	static const char network[] = "01CEMNPRSW";
	return n == ID_SIZE && all_upper_or_digit(s, n) && s[0] >= 'A' && s[1] >= 'A' && strchr(network, s[2]) != NULL;
}

/* A whole number with blanks round it. */
static bool whole_number(const char *s, size_t n, int *x)
{
	while (n > 0 && *s == ' ') {
		s++;
		n--;
	}
	while (n > 0 && s[n - 1] == ' ')
		n--;
	size_t minus = n > 0 && *s == '-' ? 1 : 0;
	if (n <= minus || n - minus > DIGITS_MAX || !num_digits(s + minus, n - minus, x))
		return false;
	*x = minus > 0 ? -*x : *x;
	return true;
}

static enum fault_code check_id(const char *s, size_t n, struct fault *f)
{
	if (ghcn_id(s, n))
		return FAULT_NONE;
	return fault_set(
	    f, FAULT_DATA,
	    "\"%.*s\" is no station; two letters, a network's sign and eight more, as USW00000000, is right",
	    (int)(n > ID_SIZE ? ID_SIZE : n), s);
}

/* STATION_ELEMENTS for what the record does not keep. */
static enum station_element element_of(const char *s)
{
	int e = 0;
	while (e < STATION_ELEMENTS && strncmp(s, ELEMENT_NAME[e], ELEMENT_SIZE) != 0)
		e++;
	return (enum station_element)e;
}

static bool wanted(const struct ghcn *g, const char *id)
{
	return g->how->station[0] == '\0' || strcmp(g->how->station, id) == 0;
}

static enum fault_code put(struct ghcn *g, struct station_series *s, struct date date, enum station_element e,
			   const struct flagged *v, size_t line, struct fault *f)
{
	struct tally *t = g->tally;
	bool trace = e == STATION_RAIN && v->m == 'T';
	if (v->tenths == MISSING) {
		t->missing++;
		return FAULT_NONE;
	}
	if (v->q != ' ') {
		tally_quality(t, v->q);
		return FAULT_NONE;
	}
	if (v->m == 'P' || v->m == 'L') {
		*(v->m == 'P' ? &t->presumed : &t->lagged) += 1;
		return FAULT_NONE;
	}
	t->trace += trace;
	return stationdays_put(s, date, e, trace ? 0 : v->tenths / 10.0,
			       v->observed >= 0 ? v->observed : g->how->observed, line, t, f);
}

/* ---- .dly ---- */

static enum fault_code dly_check(const struct fileline *line, struct date *first, struct fault *f)
{
	int year, month;
	if (line->n < DLY_LEAST || line->n > DLY_SIZE)
		return fault_set(f, FAULT_DATA, "%zu characters; a line of a .dly file has %d", line->n, (int)DLY_SIZE);
	if (check_id(line->at, ID_SIZE, f) != FAULT_NONE)
		return f->code;
	if (!num_digits(line->at + YEAR_AT, 4, &year) || !num_digits(line->at + MONTH_AT, 2, &month) ||
	    !date_of(year, month, 1, first))
		return fault_set(f, FAULT_DATA, "\"%.6s\" is no month; 201502 is right", line->at + YEAR_AT);
	if (!all_upper_or_digit(line->at + ELEMENT_AT, ELEMENT_SIZE))
		return fault_set(f, FAULT_DATA, "\"%.4s\" is no element; TMIN is one", line->at + ELEMENT_AT);
	return stationdays_date(*first, f);
}

/* What was trimmed are blanks. */
static char flag_at(const struct fileline *line, const char *at)
{
	if (at < line->at + line->n)
		return *at;
	return ' ';
}

static enum fault_code dly_values(const struct fileline *line, struct date first, struct flagged v[static MONTH_DAYS],
				  size_t *days, struct fault *f)
{
	int year, month, day;
	*days = 0;
	for (int d = 0; d < MONTH_DAYS; d++) {
		const char *at = line->at + DAYS_AT + (size_t)d * DAY_SIZE;
		const char *flags = at + VALUE_SIZE;
		v[d] = (struct flagged){.m = flag_at(line, flags), .q = flag_at(line, flags + 1), .observed = -1};
		if (!whole_number(at, VALUE_SIZE, &v[d].tenths))
			return fault_set(f, FAULT_DATA,
					 "day %d: \"%.5s\" is no whole number; -9999 is right where none was measured",
					 d + 1, at);
		date_parts(date_add(first, d), &year, &month, &day);
		if (day == d + 1)
			(*days)++;
		else if (v[d].tenths != MISSING)
			return fault_set(f, FAULT_DATA,
					 "day %d of that month has a value; -9999 is right for days that are not",
					 d + 1);
	}
	return FAULT_NONE;
}

static enum fault_code dly_row(struct ghcn *g, struct fileline *line, struct fault *f)
{
	struct flagged v[MONTH_DAYS];
	struct date first = date_none();
	struct station_series *s;
	size_t days = 0;
	while (line->n > DLY_SIZE && line->at[line->n - 1] == ' ')
		line->n--;
	if (dly_check(line, &first, f) != FAULT_NONE || dly_values(line, first, v, &days, f) != FAULT_NONE)
		return f->code;
	enum station_element e = element_of(line->at + ELEMENT_AT);
	line->at[ID_SIZE] = '\0';
	if (!wanted(g, line->at)) {
		g->tally->others++;
		return FAULT_NONE;
	}
	if (e == STATION_ELEMENTS) {
		for (size_t d = 0; d < days; d++)
			g->tally->unused += v[d].tenths != MISSING;
		return FAULT_NONE;
	}
	if (stationdays_series(g->days, line->at, &s, f) != FAULT_NONE)
		return f->code;
	for (size_t d = 0; d < days; d++)
		if (put(g, s, date_add(first, (int)d), e, &v[d], line->number, f) != FAULT_NONE)
			return f->code;
	return FAULT_NONE;
}

/* ---- The CSV layouts ---- */

static enum fault_code take_value(const char *s, struct flagged *v, struct fault *f)
{
	if (whole_number(s, strlen(s), &v->tenths))
		return FAULT_NONE;
	return fault_set(f, FAULT_DATA, "\"%.20s\" is no whole number of tenths; 140 is right for 14.0", s);
}

static enum fault_code take_flag(const char *s, char *flag, struct fault *f)
{
	*flag = ' ';
	if (s[0] != '\0')
		*flag = s[0];
	if (s[0] == '\0' || s[1] == '\0')
		return FAULT_NONE;
	return fault_set(f, FAULT_DATA, "\"%.20s\" is no flag; one letter is right", s);
}

static enum fault_code take_observed(const char *s, int *observed, struct fault *f)
{
	*observed = -1;
	if (s[0] == '\0')
		return FAULT_NONE;
	if (strlen(s) != 4 || !num_digits(s, 4, observed) || *observed > 2400 || *observed % 100 > 59)
		return fault_set(f, FAULT_DATA, "\"%.20s\" is no time of observation; 0700 is right", s);
	return FAULT_NONE;
}

static enum fault_code take_day(const char *s, struct date *date, struct fault *f)
{
	int year, month, day;
	if (strlen(s) == 8 && num_digits(s, 4, &year) && num_digits(s + 4, 2, &month) && num_digits(s + 6, 2, &day)) {
		if (!date_of(year, month, day, date))
			return fault_set(f, FAULT_DATA, "there is no day \"%s\"; 20150228 is right", s);
	} else if (date_parse(s, date, f) != FAULT_NONE) {
		return f->code = FAULT_DATA;
	}
	return stationdays_date(*date, f);
}

static enum fault_code long_row(struct ghcn *g, const struct fileline *line, struct fault *f)
{
	enum { ID, DATE, ELEMENT, VALUE, M, Q, S, OBSERVED };
	struct csv *c = &g->csv;
	struct flagged v = {.tenths = MISSING, .m = ' ', .q = ' ', .observed = -1};
	struct date date;
	struct station_series *s;
	if (c->n < LONG_FIELDS_LEAST || c->n > LONG_FIELDS)
		return fault_set(f, FAULT_DATA, "%zu fields; %d are right: ID,YYYYMMDD,ELEMENT,VALUE,M,Q,S,HHMM", c->n,
				 (int)LONG_FIELDS);
	if (check_id(c->field[ID], strlen(c->field[ID]), f) != FAULT_NONE ||
	    take_day(c->field[DATE], &date, f) != FAULT_NONE || take_value(c->field[VALUE], &v, f) != FAULT_NONE ||
	    take_flag(c->field[M], &v.m, f) != FAULT_NONE || take_flag(c->field[Q], &v.q, f) != FAULT_NONE ||
	    take_observed(c->n > OBSERVED ? c->field[OBSERVED] : "", &v.observed, f) != FAULT_NONE)
		return f->code;
	if (!wanted(g, c->field[ID])) {
		g->tally->others++;
		return FAULT_NONE;
	}
	enum station_element e =
	    strlen(c->field[ELEMENT]) == ELEMENT_SIZE ? element_of(c->field[ELEMENT]) : STATION_ELEMENTS;
	if (e == STATION_ELEMENTS) {
		g->tally->unused += v.tenths != MISSING;
		return FAULT_NONE;
	}
	return stationdays_series(g->days, c->field[ID], &s, f) || put(g, s, date, e, &v, line->number, f) ? f->code
													   : FAULT_NONE;
}

/* "M,Q,S" or "M,Q,S,HHMM"; trailing ones may be left out. */
static enum fault_code take_flags(char *s, struct flagged *v, struct fault *f)
{
	struct csv part;
	if (csv_cut(s, ',', &part, f) != FAULT_NONE)
		return f->code;
	if (part.n > FLAGS_MOST)
		return fault_set(f, FAULT_DATA, "%zu flags beside a value; M,Q,S is right", part.n);
	char *none = part.field[part.n - 1] + strlen(part.field[part.n - 1]);
	while (part.n < FLAGS_MOST)
		part.field[part.n++] = none;
	return take_flag(part.field[0], &v->m, f) || take_flag(part.field[1], &v->q, f) ||
		       take_observed(part.field[3], &v->observed, f)
		   ? f->code
		   : FAULT_NONE;
}

static bool place_number(const struct ghcn *g, size_t at, double lo, double hi, double *x)
{
	if (at == CSV_FIELDS_MAX)
		return false;
	const char *s = g->csv.field[at];
	size_t n = strlen(s);
	return n > 0 && num_scan(s, n, x) == n && *x >= lo && *x <= hi;
}

static void place(const struct ghcn *g, struct station_series *s)
{
	enum { DEPTH_M = -500, HEIGHT_M = 9000 };
	if (s->placed || !place_number(g, g->latitude, -90, 90, &s->latitude_deg) ||
	    !place_number(g, g->longitude, -180, 180, &s->longitude_deg))
		return;
	s->placed = true;
	/* -999.9 stands for a height that is not known. */
	if (!place_number(g, g->elevation, DEPTH_M, HEIGHT_M, &s->elevation_m))
		s->elevation_m = (double)NAN;
}

static enum fault_code wide_values(const struct ghcn *g, struct flagged v[static STATION_ELEMENTS], struct fault *f)
{
	for (int e = 0; e < STATION_ELEMENTS; e++) {
		v[e] = (struct flagged){.tenths = MISSING, .m = ' ', .q = ' ', .observed = -1};
		if (g->value[e] == CSV_FIELDS_MAX || g->csv.field[g->value[e]][0] == '\0')
			continue;
		if (take_value(g->csv.field[g->value[e]], &v[e], f) != FAULT_NONE ||
		    take_flags(g->csv.field[g->flags[e]], &v[e], f) != FAULT_NONE)
			return fault_place(f, "%s: ", ELEMENT_NAME[e]);
	}
	return FAULT_NONE;
}

static enum fault_code wide_row(struct ghcn *g, const struct fileline *line, struct fault *f)
{
	struct flagged v[STATION_ELEMENTS];
	struct date date;
	struct station_series *s;
	const char *id = g->csv.n > g->station ? g->csv.field[g->station] : "";
	if (g->csv.n != g->fields)
		return fault_set(f, FAULT_DATA, "fields: %zu in place of %zu", g->csv.n, g->fields);
	if (check_id(id, strlen(id), f) != FAULT_NONE || take_day(g->csv.field[g->date], &date, f) != FAULT_NONE ||
	    wide_values(g, v, f) != FAULT_NONE)
		return f->code;
	if (!wanted(g, id)) {
		g->tally->others++;
		return FAULT_NONE;
	}
	if (stationdays_series(g->days, id, &s, f) != FAULT_NONE)
		return f->code;
	place(g, s);
	for (int e = 0; e < STATION_ELEMENTS; e++)
		if (g->value[e] != CSV_FIELDS_MAX &&
		    put(g, s, date, (enum station_element)e, &v[e], line->number, f) != FAULT_NONE)
			return f->code;
	return FAULT_NONE;
}

/* ---- The whole ---- */

/* A line cut as a CSV of its own, for looking at. */
struct look {
	char line[LINEFILE_MAX + 1];
	struct csv csv;
};

static bool look_at(const struct fileline *line, struct look *l)
{
	struct fault ignored;
	memcpy(l->line, line->at, line->n + 1);
	return csv_cut(l->line, ',', &l->csv, &ignored) == FAULT_NONE;
}

static size_t column(const struct csv *c, const char *name)
{
	for (size_t i = 0; i < c->n; i++)
		if (strcmp(c->field[i], name) == 0)
			return i;
	return CSV_FIELDS_MAX;
}

static bool is_dly(const struct fileline *line)
{
	int month;
	return line->n > DAYS_AT + VALUE_SIZE && ghcn_id(line->at, ID_SIZE) &&
	       num_digits(line->at + YEAR_AT, 6, &month) && all_upper_or_digit(line->at + ELEMENT_AT, ELEMENT_SIZE);
}

enum ghcn_layout ghcn_tell(const struct fileline *line)
{
	struct look l;
	int day;
	if (is_dly(line))
		return GHCN_DLY;
	if (!look_at(line, &l) || l.csv.n < 3)
		return GHCN_NONE;
	char *const *field = l.csv.field;
	if (ghcn_id(field[0], strlen(field[0])) && strlen(field[1]) == 8 && num_digits(field[1], 8, &day) &&
	    strlen(field[2]) == ELEMENT_SIZE)
		return GHCN_LONG;
	if (strcmp(field[0], "ID") == 0 && strcmp(field[1], "DATE") == 0 && strcmp(field[2], "ELEMENT") == 0)
		return GHCN_LONG_HEADED;
	if (column(&l.csv, "STATION") < l.csv.n && column(&l.csv, "DATE") < l.csv.n)
		for (int e = 0; e < STATION_ELEMENTS; e++)
			if (column(&l.csv, ELEMENT_NAME[e]) < l.csv.n)
				return GHCN_WIDE;
	return GHCN_NONE;
}

static enum fault_code find_columns(struct ghcn *g, struct fileline *heading, struct fault *f)
{
	enum { NAME_SIZE = 24 };
	const struct csv *c = &g->csv;
	if (csv_cut(heading->at, ',', &g->csv, f) != FAULT_NONE)
		return f->code;
	g->fields = c->n;
	g->station = column(c, "STATION");
	g->date = column(c, "DATE");
	g->latitude = column(c, "LATITUDE");
	g->longitude = column(c, "LONGITUDE");
	g->elevation = column(c, "ELEVATION");
	for (int e = 0; e < STATION_ELEMENTS; e++) {
		char mem[NAME_SIZE];
		struct text name;
		text_over(&name, mem, sizeof mem);
		text_addf(&name, "%s_ATTRIBUTES", ELEMENT_NAME[e]);
		g->value[e] = column(c, ELEMENT_NAME[e]);
		g->flags[e] = column(c, mem);
		/* Without them nobody knows which values failed, nor that these are tenths. */
		if (g->value[e] < c->n && g->flags[e] == CSV_FIELDS_MAX)
			return fault_set(f, FAULT_CONFIG,
					 "the heading has %s without %s, so its values may not be tenths of a degree; "
					 "--columns says what they are",
					 ELEMENT_NAME[e], mem);
	}
	return FAULT_NONE;
}

enum fault_code ghcn_begin(struct ghcn *g, enum ghcn_layout layout, struct fileline *first, struct fault *f)
{
	g->layout = layout;
	return layout == GHCN_WIDE ? find_columns(g, first, f) : FAULT_NONE;
}

bool ghcn_headed(const struct ghcn *g)
{
	return g->layout == GHCN_LONG_HEADED || g->layout == GHCN_WIDE;
}

enum fault_code ghcn_row(struct ghcn *g, struct fileline *line, struct fault *f)
{
	if (g->layout == GHCN_DLY)
		return dly_row(g, line, f);
	if (csv_cut(line->at, ',', &g->csv, f) != FAULT_NONE)
		return f->code;
	return g->layout == GHCN_WIDE ? wide_row(g, line, f) : long_row(g, line, f);
}
