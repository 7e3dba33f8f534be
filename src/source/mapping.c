#include "source/mapping.h"

#include <math.h>
#include <string.h>
#include <strings.h>

#include "base/ini.h"
#include "base/instant.h"
#include "base/num.h"
#include "base/suggest.h"
#include "base/text.h"

static const char *const KEY_NAME[MAPPING_KEYS] = {
    [MAPPING_KEY_FORMAT] = "format",
    [MAPPING_KEY_COLUMNS] = "columns",
    [MAPPING_KEY_ZONE] = "zone",
    [MAPPING_KEY_MISSING] = "missing",
    [MAPPING_KEY_TIME_FORMAT] = "time-format",
    [MAPPING_KEY_DELIMITER] = "delimiter",
    [MAPPING_KEY_DECIMAL] = "decimal",
    [MAPPING_KEY_STAMP] = "stamp",
    [MAPPING_KEY_STEP] = "step",
    [MAPPING_KEY_STATION] = "station",
    [MAPPING_KEY_OBSERVED] = "observed",
};

/* The targets that are no variable of hours; family UNIT_FAMILIES: no unit. */
static const struct target {
	const char *name;
	enum unit_family family;
} TARGET[MAPPING_TARGETS - VARS] = {
    [MAPPING_LOW - VARS] = {"low", UNIT_TEMPERATURE}, [MAPPING_HIGH - VARS] = {"high", UNIT_TEMPERATURE},
    [MAPPING_RAIN - VARS] = {"rain", UNIT_WATER},     [MAPPING_TIME - VARS] = {"time", UNIT_FAMILIES},
    [MAPPING_DATE - VARS] = {"date", UNIT_FAMILIES},  [MAPPING_CLOCK - VARS] = {"clock", UNIT_FAMILIES},
};

const char *mapping_key_name(enum mapping_key k)
{
	return KEY_NAME[k];
}

const char *mapping_target_name(int target)
{
	return target < VARS ? var_row((enum var)target)->name : TARGET[target - VARS].name;
}

static enum unit_family target_family(int target)
{
	return target < VARS ? var_row((enum var)target)->family : TARGET[target - VARS].family;
}

/* What about a window of hours is no column of hours. */
static bool target_open(int target)
{
	return target >= VARS || var_row((enum var)target)->kind != VAR_WINDOW;
}

void mapping_init(struct mapping *m)
{
	*m = (struct mapping){.observed = -1, .step_s = HOUR_S};
}

/* ---- Columns ---- */

static enum fault_code find_target(const char *name, int *target, struct fault *f)
{
	const char *known[MAPPING_TARGETS];
	size_t n = 0;
	for (int i = 0; i < MAPPING_TARGETS; i++) {
		if (!target_open(i))
			continue;
		known[n++] = mapping_target_name(i);
		if (strcmp(mapping_target_name(i), name) == 0) {
			*target = i;
			return FAULT_NONE;
		}
	}
	const char *near = suggest(name, known, n);
	if (near != NULL)
		return fault_set(f, FAULT_CONFIG, "column \"%.60s\" is not known; did you mean %s?", name, near);
	return fault_set(f, FAULT_CONFIG,
			 "column \"%.60s\" is not known; time, date, clock, low, high, rain or a variable as `dewpost "
			 "hours` heads it is right",
			 name);
}

static enum fault_code copy(char *to, size_t size, const char *s, size_t n, const char *what, struct fault *f)
{
	if (n >= size)
		return fault_set(f, FAULT_CONFIG, "%s is longer than %zu bytes", what, size - 1);
	memcpy(to, s, n);
	to[n] = '\0';
	return FAULT_NONE;
}

static size_t without_blanks(const char **s, size_t n)
{
	while (n > 0 && (**s == ' ' || **s == '\t')) {
		(*s)++;
		n--;
	}
	while (n > 0 && ((*s)[n - 1] == ' ' || (*s)[n - 1] == '\t'))
		n--;
	return n;
}

/* Bytes of the heading at the start of "Temp F": up to the first blank behind which all is a unit. */
static size_t heading(const char *s, enum unit_family family, struct unit *u)
{
	for (const char *blank = strpbrk(s, " \t"); blank != NULL; blank = strpbrk(blank + 1, " \t")) {
		const char *unit = blank + strspn(blank, " \t");
		if (unit_find(unit, family, u))
			return (size_t)(blank - s);
	}
	return 0;
}

static enum fault_code set_head(struct mapping_column *c, const char *s, size_t n, bool quoted, struct fault *f)
{
	n = without_blanks(&s, n);
	if (n == 0)
		return fault_set(f, FAULT_CONFIG, "names no column; its heading or its number is right");
	if (copy(c->head, sizeof c->head, s, n, "the heading", f) != FAULT_NONE)
		return f->code;
	int64_t number;
	struct fault ignored;
	if (quoted || strspn(c->head, "0123456789") != n)
		return FAULT_NONE;
	if (num_int(c->head, 1, MAPPING_FIELDS_MAX, &number, &ignored) != FAULT_NONE)
		return fault_set(f, FAULT_CONFIG, "column %s is not one of 1 to %d", c->head, (int)MAPPING_FIELDS_MAX);
	c->number = (size_t)number;
	c->head[0] = '\0';
	return FAULT_NONE;
}

/* Heading and unit of one column. */
static enum fault_code set_column(struct mapping *m, int target, const char *value, struct fault *f)
{
	enum unit_family family = target_family(target);
	bool unitless = family == UNIT_FAMILIES, quoted = value[0] == '"';
	struct mapping_column c = {.is = true};
	const char *head = value + quoted;
	size_t n = strlen(head);
	if (quoted) {
		const char *end = strchr(head, '"');
		if (end == NULL)
			return fault_set(f, FAULT_CONFIG, "%.80s: the quote does not end", value);
		n = (size_t)(end - head);
		const char *unit = end + 1 + strspn(end + 1, " \t");
		if (unitless ? *unit != '\0' : !unit_find(unit, family, &c.unit))
			n = 0;
	} else if (!unitless) {
		n = heading(head, family, &c.unit);
	}
	if (n == 0 && !unitless)
		return fault_set(f, FAULT_CONFIG, "\"%.60s\": a heading and then a unit is right, as \"%s = NAME %s\"",
				 value, mapping_target_name(target), unit_proposal(family));
	if (set_head(&c, head, n, quoted, f) != FAULT_NONE)
		return fault_place(f, "%s: ", mapping_target_name(target));
	struct text whole;
	text_over(&whole, c.whole, sizeof c.whole);
	text_add(&whole, quoted ? "" : value);
	m->column[target] = c;
	m->columns = true;
	return FAULT_NONE;
}

/* Bytes up to the next comma that stands in no quotes. */
static size_t piece(const char *s)
{
	bool quoted = false;
	size_t n = 0;
	for (; s[n] != '\0' && (quoted || s[n] != ','); n++)
		quoted = quoted != (s[n] == '"');
	return n;
}

/* "time=Date_Time, air_temperature=Temp F" */
static enum fault_code set_columns(struct mapping *m, const char *value, struct fault *f)
{
	enum { PIECE_SIZE = 256 };
	while (*value != '\0') {
		char mem[PIECE_SIZE];
		const char *s = value;
		size_t whole = piece(value), n = without_blanks(&s, whole);
		int target;
		if (copy(mem, sizeof mem, s, n, "a column", f) != FAULT_NONE)
			return f->code;
		char *is = strchr(mem, '=');
		if (is == NULL)
			return fault_set(f, FAULT_CONFIG,
					 "\"%.60s\" has no =; \"time=Date_Time, air_temperature=Temp F\" is right",
					 mem);
		*is = '\0';
		const char *name = mem, *rest = is + 1 + strspn(is + 1, " \t");
		mem[without_blanks(&name, strlen(mem))] = '\0';
		if (find_target(mem, &target, f) != FAULT_NONE || set_column(m, target, rest, f) != FAULT_NONE)
			return f->code;
		value += whole + (value[whole] == ',');
	}
	return FAULT_NONE;
}

/* ---- The other keys ---- */

struct choice {
	const char *word;
	int is;
};

static enum fault_code choose(const char *value, const struct choice *of, size_t n, int *is, struct fault *f)
{
	char mem[FAULT_TEXT_SIZE];
	struct text right;
	for (size_t i = 0; i < n; i++)
		if (strcmp(value, of[i].word) == 0) {
			*is = of[i].is;
			return FAULT_NONE;
		}
	text_over(&right, mem, sizeof mem);
	for (size_t i = 0; i < n; i++)
		text_addf(&right, "%s%s", i == 0 ? "" : i + 1 < n ? ", " : " or ", of[i].word);
	return fault_set(f, FAULT_CONFIG, "\"%.40s\" is not known; %s is right", value, right.at);
}

static enum fault_code set_missing(struct mapping *m, const char *value, struct fault *f)
{
	m->marks = 0;
	while (*value != '\0') {
		const char *s = value;
		size_t whole = strcspn(value, ","), n = without_blanks(&s, whole);
		if (m->marks == MAPPING_MARKS)
			return fault_set(f, FAULT_CONFIG, "more than %d marks", (int)MAPPING_MARKS);
		if (n > 0 && copy(m->missing[m->marks++], MAPPING_MARK_SIZE, s, n, "a mark", f) != FAULT_NONE)
			return f->code;
		value += whole + (value[whole] == ',');
	}
	return FAULT_NONE;
}

static enum fault_code set_observed(struct mapping *m, const char *value, struct fault *f)
{
	int hour, minute;
	if (strlen(value) != 5 || value[2] != ':' || !num_digits(value, 2, &hour) ||
	    !num_digits(value + 3, 2, &minute) || minute > 59 || hour * 100 + minute > 2400)
		return fault_set(f, FAULT_CONFIG, "\"%.40s\" is no local clock time; 07:00 is right", value);
	m->observed = hour * 100 + minute;
	return FAULT_NONE;
}

static enum fault_code set_step(struct mapping *m, const char *value, struct fault *f)
{
	enum { LEAST_S = 60 };
	double s;
	if (unit_value(value, UNIT_DURATION, &s, f) != FAULT_NONE)
		return f->code;
	if (!(s >= LEAST_S && s <= HOUR_S) || fmod(HOUR_S, s) != 0)
		return fault_set(f, FAULT_CONFIG,
				 "\"%.40s\" does not divide the hour; 5 min, 15 min or 30 min is right", value);
	m->step_s = (int)s;
	return FAULT_NONE;
}

static enum fault_code set_choice(struct mapping *m, enum mapping_key k, const char *value, struct fault *f)
{
	static const struct choice format[] = {{"ghcn", MAPPING_GHCN}, {"csv", MAPPING_CSV}},
				   delimiter[] = {{"comma", ','}, {"semicolon", ';'}, {"tab", '\t'}},
				   decimal[] = {{"point", 0}, {"comma", 1}},
				   stamp[] = {{"begin", MAPPING_STAMP_BEGIN},
					      {"end", MAPPING_STAMP_END},
					      {"instant", MAPPING_STAMP_BEGIN}};
	int is = 0;
	if (k == MAPPING_KEY_FORMAT && choose(value, format, 2, &is, f) == FAULT_NONE)
		m->format = (enum mapping_format)is;
	else if (k == MAPPING_KEY_DELIMITER && choose(value, delimiter, 3, &is, f) == FAULT_NONE)
		m->delimiter = (char)is;
	else if (k == MAPPING_KEY_DECIMAL && choose(value, decimal, 2, &is, f) == FAULT_NONE)
		m->decimal_comma = is != 0;
	else if (k == MAPPING_KEY_STAMP && choose(value, stamp, 3, &is, f) == FAULT_NONE)
		m->stamp = (enum mapping_stamp)is;
	else
		return f->code;
	return FAULT_NONE;
}

enum fault_code mapping_set(struct mapping *m, enum mapping_key k, const char *value, struct fault *f)
{
	size_t n = strlen(value);
	switch (k) {
	case MAPPING_KEY_COLUMNS:
		return set_columns(m, value, f);
	case MAPPING_KEY_ZONE:
		return copy(m->zone, sizeof m->zone, value, n, "a zone's name", f);
	case MAPPING_KEY_MISSING:
		return set_missing(m, value, f);
	case MAPPING_KEY_TIME_FORMAT:
		return copy(m->time_format, sizeof m->time_format, value, n, "the format", f);
	case MAPPING_KEY_STATION:
		return copy(m->station, sizeof m->station, value, n, "a station's name", f);
	case MAPPING_KEY_OBSERVED:
		return set_observed(m, value, f);
	case MAPPING_KEY_STEP:
		return set_step(m, value, f);
	case MAPPING_KEY_FORMAT:
	case MAPPING_KEY_DELIMITER:
	case MAPPING_KEY_DECIMAL:
	case MAPPING_KEY_STAMP:
	case MAPPING_KEYS:
		break;
	}
	return set_choice(m, k, value, f);
}

bool mapping_missing(const struct mapping *m, const char *field)
{
	static const char *const always[] = {"NA", "N/A", "NaN", "null", "-", "--", "---"};
	if (field[0] == '\0')
		return true;
	for (size_t i = 0; i < m->marks; i++)
		if (strcmp(field, m->missing[i]) == 0)
			return true;
	/* A number begins with a digit, a point or a sign and a digit: most fields are seen through at once. */
	if ((field[0] >= '0' && field[0] <= '9') || (field[0] == '-' && field[1] >= '0' && field[1] <= '9'))
		return false;
	for (size_t i = 0; i < sizeof always / sizeof always[0]; i++)
		if (strcasecmp(field, always[i]) == 0)
			return true;
	return false;
}

/* ---- The description file ---- */

static enum fault_code take_entry(struct mapping *m, bool columns, const struct ini_entry *e, struct fault *f)
{
	int target;
	if (columns)
		return find_target(e->key, &target, f) || set_column(m, target, e->value, f) ? f->code : FAULT_NONE;
	for (int k = 0; k < MAPPING_KEYS; k++)
		if (k != MAPPING_KEY_COLUMNS && strcmp(KEY_NAME[k], e->key) == 0)
			return mapping_set(m, (enum mapping_key)k, e->value, f) ? fault_place(f, "%s: ", e->key)
										: FAULT_NONE;
	const char *near = suggest(e->key, KEY_NAME, MAPPING_KEYS);
	if (near != NULL)
		return fault_set(f, FAULT_CONFIG, "key \"%.60s\" is not known; did you mean \"%s\"?", e->key, near);
	return fault_set(f, FAULT_CONFIG, "key \"%.60s\" is not known in [file]", e->key);
}

static void take_section(struct mapping *m, const struct ini *doc, const struct ini_section *s, struct faults *wrong)
{
	bool columns = strcmp(s->kind, "columns") == 0;
	struct fault f;
	if (!columns && strcmp(s->kind, "file") != 0) {
		ini_fault(doc, s->line, wrong, "section [%.60s] is not known; [columns] and [file] are right", s->kind);
		return;
	}
	for (size_t i = s->first; i < s->first + s->n; i++)
		if (take_entry(m, columns, &doc->entry[i], &f) != FAULT_NONE)
			ini_fault(doc, doc->entry[i].line, wrong, "%s", f.text);
}

enum fault_code mapping_load(const char *path, struct mapping *m, struct faults *wrong)
{
	struct ini doc;
	enum fault_code code = ini_load(path, &doc, wrong);
	for (size_t i = 0; i < doc.sections; i++)
		take_section(m, &doc, &doc.section[i], wrong);
	ini_free(&doc);
	return code != FAULT_NONE ? code : faults_code(wrong);
}

/* ---- The whole ---- */

bool mapping_daily(const struct mapping *m)
{
	return m->column[MAPPING_DATE].is && !m->column[MAPPING_CLOCK].is;
}

static bool any_of(const struct mapping *m, int from, int to)
{
	for (int i = from; i < to; i++)
		if (m->column[i].is)
			return true;
	return false;
}

static enum fault_code check_time(const struct mapping *m, struct fault *f)
{
	bool time = m->column[MAPPING_TIME].is, date = m->column[MAPPING_DATE].is, clock = m->column[MAPPING_CLOCK].is;
	if (time && (date || clock))
		return fault_set(f, FAULT_CONFIG, "columns: time beside date or clock; one of the two ways is right");
	if (!time && !date)
		return fault_set(f, FAULT_CONFIG,
				 "columns: none for the time; time=NAME (hours), date=NAME with clock=NAME (hours) or "
				 "date=NAME (days) is right");
	return FAULT_NONE;
}

enum fault_code mapping_check(const struct mapping *m, struct fault *f)
{
	bool days = any_of(m, MAPPING_LOW, MAPPING_RAIN + 1), hours = any_of(m, 0, VARS);
	if (check_time(m, f) != FAULT_NONE)
		return f->code;
	if (mapping_daily(m) ? hours || !days : days || !hours)
		return fault_set(f, FAULT_CONFIG,
				 "columns: %s; low, high or rain are right with a date alone, variables of hours with "
				 "a time",
				 days && hours ? "of days and of hours" : "none that can be used");
	for (int v = 0; v < VARS; v++)
		if (m->column[v].is && var_row((enum var)v)->kind == VAR_FLUX && m->stamp == MAPPING_STAMP_NONE)
			return fault_set(f, FAULT_CONFIG,
					 "%s is of a whole hour: which one does a row's time mark, its begin or its "
					 "end? stamp end (most loggers) or begin is right",
					 var_row((enum var)v)->name);
	return FAULT_NONE;
}
