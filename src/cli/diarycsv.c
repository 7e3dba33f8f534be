#include "cli/diarycsv.h"

#include <math.h>
#include <stdbool.h>
#include <stdio.h>
#include <string.h>

#include "base/instant.h"
#include "base/linefile.h"
#include "base/mem.h"
#include "base/num.h"
#include "base/suggest.h"
#include "base/utf8.h"
#include "source/csv.h"

enum column { GARDEN, NUMBER, WRITTEN, DATE, PLANTING, CROP, VARIETY, BED, VERB, TEXT, AMOUNT, UNDOES, COLUMNS };

static const char *const NAMES[COLUMNS] = {"garden",  "number", "written", "date", "planting", "crop",
					   "variety", "bed",    "verb",    "text", "amount",   "undoes"};

/* What is no number of a garden: no amount of water, of fruit or of degrees comes near. */
static const double AMOUNT_MOST = 1e12;

static const char LINE_END[] = "\r\n"; /* RFC 4180 2.1 */

/* ---- out ---- */

/* Quoted where RFC 4180 asks for it, or where a reader might drop blanks. */
static void field(struct text *t, const char *s)
{
	size_t n = strlen(s);
	if (s[strcspn(s, ",;\"\t")] == '\0' && (n == 0 || (s[0] != ' ' && s[n - 1] != ' '))) {
		text_add(t, s);
		return;
	}
	text_add(t, "\"");
	for (; *s != '\0'; s++)
		text_add_char(t, *s, *s == '"' ? 2 : 1);
	text_add(t, "\"");
}

/* The shortest digits that are read back as the same number. */
static void number(struct text *t, double x)
{
	enum { ALWAYS = 15, EXACT = 17, NUMBER_SIZE = 40 }; /* IEEE 754 double */
	char mem[NUMBER_SIZE];
	double back = (double)NAN;
	for (int digits = ALWAYS; digits <= EXACT && back != x; digits++) {
		struct text s;
		text_over(&s, mem, sizeof mem);
		text_addf(&s, "%.*g", digits, x);
		if (num_scan(s.at, s.len, &back) != s.len)
			back = (double)NAN;
	}
	text_add(t, mem);
}

void diarycsv_head(struct text *t)
{
	for (int c = 0; c < COLUMNS; c++)
		text_addf(t, "%s%s", c > 0 ? "," : "", NAMES[c]);
	text_add(t, LINE_END);
}

void diarycsv_line(const char *garden, const struct entry *e, struct text *t)
{
	char at[INSTANT_TEXT_SIZE], day[DATE_TEXT_SIZE];
	const char *const cells[] = {e->planting, e->crop, e->variety, e->bed, e->verb, e->text};
	field(t, garden);
	text_addf(t, ",%lld,%s,%s", (long long)e->id, instant_text(e->written, at), date_text(e->date, day));
	for (size_t i = 0; i < sizeof cells / sizeof *cells; i++) {
		text_add(t, ",");
		field(t, cells[i]);
	}
	text_add(t, ",");
	if (!isnan(e->amount))
		number(t, e->amount);
	text_add(t, ",");
	if (e->undoes != 0)
		text_addf(t, "%lld", (long long)e->undoes);
	text_add(t, LINE_END);
}

/* ---- in ---- */

struct reader {
	const char *file, *garden;
	struct linefile lines;
	char delimiter;
	size_t where[COLUMNS]; /* which field of a line it is */
	struct diarycsv *out;
	size_t cap;
	struct csv cut;
};

static enum fault_code read_head(struct reader *r, char *line, struct fault *f)
{
	bool there[COLUMNS] = {false};
	r->delimiter = csv_delimiter(line);
	if (csv_cut(line, r->delimiter, &r->cut, f))
		return f->code;
	for (size_t i = 0; i < r->cut.n; i++) {
		int c = 0;
		while (c < COLUMNS && strcmp(NAMES[c], r->cut.field[i]) != 0)
			c++;
		if (c == COLUMNS || there[c])
			return fault_set(f, FAULT_DATA,
					 "column \"%.*s\" is %s; as `dewpost record diary` heads them is right",
					 utf8_most(r->cut.field[i], 40), r->cut.field[i],
					 c == COLUMNS ? "not known" : "there twice");
		there[c] = true;
		r->where[c] = i;
	}
	for (int c = 0; c < COLUMNS; c++)
		if (!there[c])
			return fault_set(f, FAULT_DATA,
					 "there is no column \"%s\"; as `dewpost record diary` heads them is right",
					 NAMES[c]);
	return FAULT_NONE;
}

static const char *cell(const struct reader *r, enum column c)
{
	return r->cut.field[r->where[c]];
}

static enum fault_code words(const struct reader *r, struct entry *e, struct fault *f)
{
	const struct {
		enum column c;
		char *to;
		size_t size;
	} all[] = {{PLANTING, e->planting, sizeof e->planting},
		   {CROP, e->crop, sizeof e->crop},
		   {VARIETY, e->variety, sizeof e->variety},
		   {BED, e->bed, sizeof e->bed},
		   {VERB, e->verb, sizeof e->verb},
		   {TEXT, e->text, sizeof e->text}};
	for (size_t i = 0; i < sizeof all / sizeof *all; i++) {
		const char *s = cell(r, all[i].c);
		if (utf8_bad(s, strlen(s)) < strlen(s))
			return fault_set(f, FAULT_DATA, "%s is not UTF-8; save the file as UTF-8", NAMES[all[i].c]);
		if (!text_copy(all[i].to, all[i].size, s))
			return fault_set(f, FAULT_DATA, "%s is longer than %zu bytes; a shorter one is right",
					 NAMES[all[i].c], all[i].size - 1);
	}
	return FAULT_NONE;
}

static enum fault_code named(enum column c, struct fault *f)
{
	f->code = FAULT_DATA;
	return fault_place(f, "%s: ", NAMES[c]);
}

static enum fault_code numbers(const struct reader *r, struct entry *e, struct fault *f)
{
	const struct diarycsv *d = r->out;
	int64_t last = d->n > 0 ? d->entries[d->n - 1].id : 0;
	if (num_int(cell(r, NUMBER), 1, INT64_MAX, &e->id, f))
		return named(NUMBER, f);
	if (e->id <= last)
		return fault_set(f, FAULT_DATA,
				 "number: %lld comes after %lld; each entry has a higher one than those before",
				 (long long)e->id, (long long)last);
	e->amount = (double)NAN;
	if (cell(r, AMOUNT)[0] != '\0' && num_double(cell(r, AMOUNT), -AMOUNT_MOST, AMOUNT_MOST, &e->amount, f))
		return named(AMOUNT, f);
	e->undoes = 0;
	if (cell(r, UNDOES)[0] != '\0' && num_int(cell(r, UNDOES), 1, INT64_MAX, &e->undoes, f))
		return named(UNDOES, f);
	return FAULT_NONE;
}

static enum fault_code read_entry(struct reader *r, char *line, struct entry *e, struct fault *f)
{
	*e = (struct entry){0};
	if (csv_cut(line, r->delimiter, &r->cut, f))
		return f->code;
	if (r->cut.n != COLUMNS)
		return fault_set(f, FAULT_DATA, "has %zu fields; %d as in the heading is right", r->cut.n,
				 (int)COLUMNS);
	if (strcmp(cell(r, GARDEN), r->garden) != 0)
		return fault_set(f, FAULT_DATA, "is of garden \"%.*s\"; this garden's id is \"%s\"",
				 utf8_most(cell(r, GARDEN), 40), cell(r, GARDEN), r->garden);
	if (instant_rfc3339(cell(r, WRITTEN), &e->written, f))
		return named(WRITTEN, f);
	if (date_parse(cell(r, DATE), &e->date, f))
		return named(DATE, f);
	return words(r, e, f) || numbers(r, e, f) ? f->code : FAULT_NONE;
}

static enum fault_code keep(struct reader *r, const struct entry *e, size_t line, struct fault *f)
{
	struct diarycsv *d = r->out;
	if (d->n == DIARYCSV_ENTRIES_MAX)
		return fault_set(f, FAULT_DATA, "more than %d entries; two files are right", DIARYCSV_ENTRIES_MAX);
	if (d->n == r->cap) {
		size_t want = r->cap > 0 ? 2 * r->cap : 64;
		void *entries = mem_resize(d->entries, want, sizeof *d->entries);
		d->entries = entries != NULL ? entries : d->entries;
		void *lines = entries != NULL ? mem_resize(d->line, want, sizeof *d->line) : NULL;
		d->line = lines != NULL ? lines : d->line;
		if (lines == NULL)
			return fault_set(f, FAULT_MEMORY, "out of memory");
		r->cap = want;
	}
	d->line[d->n] = line;
	d->entries[d->n++] = *e;
	return FAULT_NONE;
}

static enum fault_code read_line(struct reader *r, const struct fileline *line, struct fault *f)
{
	struct entry e;
	if (line->wrong != NULL)
		return fault_set(f, FAULT_DATA, "%s", line->wrong);
	if (r->lines.number == 1)
		return read_head(r, line->at, f);
	if (line->n == 0)
		return FAULT_NONE;
	return read_entry(r, line->at, &e, f) || keep(r, &e, line->number, f) ? f->code : FAULT_NONE;
}

static enum fault_code read_lines(struct reader *r, struct faults *wrong, struct fault *f)
{
	struct fileline line;
	bool there = true, usable = true;
	while (usable) {
		struct fault bad = {0};
		if (linefile_next(&r->lines, &line, &there, f))
			return fault_place(f, "%s: ", r->file);
		if (!there)
			break;
		enum fault_code code = read_line(r, &line, &bad);
		if (code != FAULT_NONE && code != FAULT_DATA) {
			*f = bad;
			return code;
		}
		if (code == FAULT_NONE)
			continue;
		fault_place(&bad, "%s:%zu: ", r->file, line.number);
		faults_add(wrong, &bad);
		usable = line.number > 1 && r->out->n < DIARYCSV_ENTRIES_MAX;
	}
	if (r->lines.number == 0)
		faults_addf(wrong, FAULT_DATA, "%s: is empty; a diary begins with its heading", r->file);
	enum fault_code code = faults_code(wrong);
	if (code != FAULT_NONE)
		*f = (struct fault){.code = code};
	return code;
}

enum fault_code diarycsv_read(const char *file, const char *garden, struct diarycsv *d, struct faults *wrong,
			      struct fault *f)
{
	*d = (struct diarycsv){0};
	struct reader *r = mem_new(1, sizeof *r);
	if (r == NULL)
		return fault_set(f, FAULT_MEMORY, "out of memory");
	*r = (struct reader){.file = file, .garden = garden, .out = d};
	enum fault_code code = linefile_open(&r->lines, file, f);
	if (code == FAULT_NONE)
		code = read_lines(r, wrong, f);
	linefile_close(&r->lines);
	mem_free(r);
	return code;
}

void diarycsv_free(struct diarycsv *d)
{
	mem_free(d->entries);
	mem_free(d->line);
	*d = (struct diarycsv){0};
}
