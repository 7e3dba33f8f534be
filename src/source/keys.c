#include "source/keys.h"

#include <stddef.h>
#include <string.h>

#include "base/suggest.h"
#include "source/readers.h"

/* A member of what is being read. */
struct field {
	enum { IN_DESCRIPTION, IN_STEP, IN_DRAFT } in;
	size_t offset, size;
};

#define DESCRIPTION(member)                                                                                            \
	{                                                                                                              \
		IN_DESCRIPTION, offsetof(struct description, member), sizeof(((struct description *)0)->member)        \
	}
#define STEP(member)                                                                                                   \
	{                                                                                                              \
		IN_STEP, offsetof(struct describe_step, member), sizeof(((struct describe_step *)0)->member)           \
	}
#define DRAFT(member)                                                                                                  \
	{                                                                                                              \
		IN_DRAFT, offsetof(struct draft, member), sizeof(((struct draft *)0)->member)                          \
	}
#define NO_FIELD                                                                                                       \
	{                                                                                                              \
		IN_DESCRIPTION, 0, 0                                                                                   \
	}

static const struct row {
	struct describe_key key;
	key_reader *read;
	struct field field; /* of the readers that serve several keys */
} rows[] = {
    {{SECTION_SOURCE, "title", KEY_PLAIN, "text", "the service, as a note names it"}, read_text, DESCRIPTION(title)},
    {{SECTION_SOURCE, "credit", KEY_PLAIN, "text", "the line a note must print"}, read_text, DESCRIPTION(credit)},
    {{SECTION_SOURCE, "contact", KEY_PLAIN, "no | required", "the grower's contact must go with each request"},
     read_contact,
     NO_FIELD},
    {{SECTION_SOURCE, "min_interval", KEY_PLAIN, "PT1H", "not asked more often than this"},
     read_duration,
     DESCRIPTION(min_interval_s)},
    {{SECTION_SOURCE, "piece", KEY_PLAIN, "P31D",
      "days of the past asked for at once; P31D where not said, at most P99D"},
     read_days,
     DESCRIPTION(piece_days)},
    {{SECTION_SOURCE, "lag", KEY_PLAIN, "P5D", "the newest day it has is so long ago; later ones are not asked for"},
     read_days,
     DESCRIPTION(lag_days)},
    {{SECTION_SOURCE, "honour", KEY_PLAIN, "expires, last-modified, etag, retry-after",
      "answer fields that are obeyed"},
     read_honour,
     NO_FIELD},
    {{SECTION_SOURCE, "area", KEY_PLAIN, "world | CC CC",
      "where it has data: the whole globe, or countries by their two letters (ISO 3166); set-up offers it there"},
     read_area,
     NO_FIELD},
    {{SECTION_SOURCE, "error", KEY_PLAIN, "/detail /title", "where an answer has the service's own error text"},
     read_error,
     NO_FIELD},
    {{SECTION_SOURCE, "warn_status", KEY_PLAIN, "203", "an HTTP status that is reported"}, read_warn_status, NO_FIELD},

    {{SECTION_STEP, "url", KEY_PLAIN, "https://...{lat}...{lon}",
      "address: {lat} {lon} {alt} {vars} {start} {end}, and what earlier steps set"},
     read_text,
     STEP(url)},
    {{SECTION_STEP, "accept", KEY_PLAIN, "media type", "the Accept header"}, read_text, STEP(accept)},
    {{SECTION_STEP, "cache", KEY_PLAIN, "P7D", "its answer is kept and used this long"}, read_duration, STEP(cache_s)},
    {{SECTION_STEP, "on_404", KEY_PLAIN, "forget STEP", "drop the kept answer of that step"}, read_on_404, NO_FIELD},
    {{SECTION_STEP, "host", KEY_PLAIN, "name, name", "hosts that an address found in its answer may lie on"},
     read_host,
     NO_FIELD},
    {{SECTION_STEP, "from_day", KEY_PLAIN, "-2", "{start}, the first day, in days from today (UTC)"},
     read_day,
     STEP(from_day)},
    {{SECTION_STEP, "to_day", KEY_PLAIN, "7", "{end}, the last day, in days from today (UTC)"}, read_day, STEP(to_day)},
    {{SECTION_STEP, "set", KEY_NAMED, "pointer", "a variable for later steps, out of this answer"}, read_set, NO_FIELD},
    {{SECTION_STEP, "header", KEY_NAMED, "text", "a header line"}, read_header, NO_FIELD},

    {{SECTION_DATA, "step", KEY_PLAIN, "STEP", "the step whose answer has the data; the last where not said"},
     read_step,
     NO_FIELD},
    {{SECTION_DATA, "past", KEY_PLAIN, "none | analysed | observed", "what hours before the request are worth"},
     read_past,
     NO_FIELD},
    {{SECTION_DATA, "observed_after", KEY_PLAIN, "PT6H",
      "past = observed: hours that ended less than this before the request may be filled from a forecast, and are "
      "analysed"},
     read_duration,
     DESCRIPTION(observed_after_s)},
    {{SECTION_DATA, "updated", KEY_PLAIN, "pointer", "when the service made it (RFC 3339 or unix seconds)"},
     read_pointer,
     DESCRIPTION(updated)},
    {{SECTION_DATA, "max_age", KEY_PLAIN, "PT18H", "older than this is said to be old"},
     read_duration,
     DESCRIPTION(max_age_s)},
    {{SECTION_DATA, "time_offset", KEY_PLAIN, "+02:00 | seconds | @pointer", "local stamps: east of UTC"},
     read_time_offset,
     NO_FIELD},
    {{SECTION_DATA, "time_zone", KEY_PLAIN, "Area/Town", "local stamps: the zone of the clock"},
     read_text,
     DESCRIPTION(time_zone)},
    {{SECTION_DATA, "cell_latitude", KEY_PLAIN, "pointer", "middle of the grid cell, degrees"},
     read_pointer,
     DESCRIPTION(cell_latitude)},
    {{SECTION_DATA, "cell_longitude", KEY_PLAIN, "pointer", "middle of the grid cell, degrees"},
     read_pointer,
     DESCRIPTION(cell_longitude)},
    {{SECTION_DATA, "cell_elevation", KEY_PLAIN, "pointer", "height that the forecast is for"},
     read_pointer,
     DESCRIPTION(cell_elevation)},
    {{SECTION_DATA, "cell_elevation_unit", KEY_PLAIN, "m | ft | @pointer", "its unit; m where not said"},
     read_cell_unit,
     NO_FIELD},

    {{SECTION_DATA | SECTION_VAR, "time_format", KEY_PLAIN, "rfc3339 | iso8601-interval | unix | local",
      "how stamps are written"},
     read_time_format,
     NO_FIELD},
    {{SECTION_DATA | SECTION_VAR, "times", KEY_PLAIN, "pointer", "parallel arrays: the array of stamps"},
     read_pointer,
     DRAFT(times)},
    {{SECTION_DATA | SECTION_VAR, "rows", KEY_PLAIN, "pointer", "rows or intervals: the array of them"},
     read_pointer,
     DRAFT(rows)},
    {{SECTION_DATA | SECTION_VAR, "time", KEY_PLAIN, "pointer", "rows: the stamp, from the row"},
     read_pointer,
     DRAFT(time)},
    {{SECTION_DATA | SECTION_VAR, "value", KEY_NUMBERED, "pointer",
      "rows: the number, from the row; value.2 fills hours that value leaves empty"},
     read_value,
     NO_FIELD},
    {{SECTION_DATA | SECTION_VAR, "numbers", KEY_PLAIN, "strict | lenient", "lenient: numbers may be texts"},
     read_numbers,
     NO_FIELD},
    {{SECTION_DATA | SECTION_VAR, "missing", KEY_PLAIN, "-9999", "numbers that mean missing"}, read_missing, NO_FIELD},

    {{SECTION_VAR, "values", KEY_NUMBERED, "pointer", "parallel arrays: the array of numbers"}, read_values, NO_FIELD},
    {{SECTION_VAR, "kind", KEY_PLAIN, "instant | hold | mean | max | min | prob | total",
      "how the number stands to time"},
     read_kind,
     NO_FIELD},
    {{SECTION_VAR, "stamp", KEY_PLAIN, "instant | begin | end", "what the stamp marks"}, read_stamp, NO_FIELD},
    {{SECTION_VAR, "period", KEY_NUMBERED, "PT1H", "the time that the number is about"}, read_period, NO_FIELD},
    {{SECTION_VAR, "unit", KEY_PLAIN, "unit | @pointer", "its unit, or where the answer has it"}, read_unit, NO_FIELD},
    {{SECTION_VAR, "fill", KEY_PLAIN, "none | linear", "hours between instants"}, read_fill, NO_FIELD},
    {{SECTION_VAR, "max_gap", KEY_PLAIN, "PT6H", "filled no further than this apart"},
     read_duration,
     DRAFT(v.max_gap_s)},
    {{SECTION_VAR, "only_if_missing", KEY_PLAIN, "pointer", "use a row only where this is absent from it"},
     read_pointer,
     DRAFT(v.only_if_missing)},
    {{SECTION_VAR, "ask", KEY_PLAIN, "name", "the service's name of it, for {vars}; the last part of values else"},
     read_text,
     DRAFT(v.ask)},
};

enum { ROWS = sizeof rows / sizeof rows[0] };

const struct describe_key *describe_key_at(size_t i)
{
	return i < ROWS ? &rows[i].key : NULL;
}

/* Does the key of a file belong to this row?  Then what follows its name is in *m. */
static bool key_fits(const struct describe_key *k, const char *key, struct met *m)
{
	size_t n = strlen(k->key);
	if (strncmp(key, k->key, n) != 0)
		return false;
	const char *rest = key + n;
	m->name = "";
	m->way = 0;
	switch (k->form) {
	case KEY_PLAIN:
		return *rest == '\0';
	case KEY_NAMED:
		m->name = rest + 1;
		return rest[0] == '.' && rest[1] != '\0';
	case KEY_NUMBERED:
		if (*rest == '\0')
			return true;
		m->way = (size_t)(rest[1] - '1');
		return rest[0] == '.' && rest[1] >= '2' && rest[1] < '1' + DESCRIBE_WAYS_MAX && rest[2] == '\0';
	default:
		return false;
	}
}

static const struct row *row_of(const char *key, enum describe_section which, struct met *m)
{
	for (size_t i = 0; i < ROWS; i++)
		if ((rows[i].key.sections & which) && key_fits(&rows[i].key, key, m))
			return &rows[i];
	return NULL;
}

static void unknown_key(const struct ini *doc, const struct ini_section *s, const struct ini_entry *e,
			enum describe_section which, struct faults *all)
{
	const char *known[ROWS];
	size_t n = 0;
	for (size_t i = 0; i < ROWS; i++)
		if (rows[i].key.sections & which)
			known[n++] = rows[i].key.key;
	const char *near = suggest(e->key, known, n);
	if (near != NULL)
		ini_fault(doc, e->line, all, "[%s] has no key \"%s\"; did you mean %s?", s->kind, e->key, near);
	else
		ini_fault(doc, e->line, all, "[%s] has no key \"%s\"", s->kind, e->key);
}

static bool given_before(const struct ini *doc, const struct ini_section *s, size_t i, int *line)
{
	for (size_t j = s->first; j < i; j++) {
		if (strcmp(doc->entry[j].key, doc->entry[i].key) == 0) {
			*line = doc->entry[j].line;
			return true;
		}
	}
	return false;
}

static enum fault_code read_row(const struct row *row, struct met *m, struct fault *f)
{
	void *const base[] = {m->to.d, m->to.step, m->to.draft};
	m->field = row->field.size == 0 ? NULL : (char *)base[row->field.in] + row->field.offset;
	m->size = row->field.size;
	return row->read(m, f);
}

void keys_read(const struct ini *doc, const struct ini_section *s, enum describe_section which,
	       struct keys_target target, struct faults *all)
{
	for (size_t i = s->first; i < s->first + s->n; i++) {
		const struct ini_entry *e = &doc->entry[i];
		struct met m = {.to = target, .value = e->value};
		const struct row *row = row_of(e->key, which, &m);
		struct fault f = {0};
		int line;
		if (row == NULL)
			unknown_key(doc, s, e, which, all);
		else if (given_before(doc, s, i, &line))
			ini_fault(doc, e->line, all, "%s is given twice, first in line %d", e->key, line);
		else if (*e->value == '\0')
			ini_fault(doc, e->line, all, "%s has no value; write %s", e->key, row->key.value);
		else if (read_row(row, &m, &f))
			ini_fault(doc, e->line, all, "%s: %s", e->key, f.text);
	}
}
