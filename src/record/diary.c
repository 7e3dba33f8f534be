#include "record/diary.h"

#include <assert.h>
#include <stdlib.h>
#include <string.h>

#include "base/instant.h"
#include "base/mem.h"
#include "record/db.h"

/* A diary goes out and comes in line by line. */
static bool is_line(const char *s)
{
	for (; *s != '\0'; s++)
		if ((unsigned char)*s < ' ' || *s == '\x7f')
			return false;
	return true;
}

static enum fault_code check_lines(const struct entry *e, struct fault *f)
{
	const char *const all[] = {e->planting, e->crop, e->variety, e->bed, e->verb, e->text};
	for (size_t i = 0; i < sizeof all / sizeof *all; i++)
		if (!is_line(all[i]))
			return fault_set(f, FAULT_DATA,
					 "\"%.40s\" has a line break or a control character in it; "
					 "one line of plain text is right",
					 all[i]);
	return FAULT_NONE;
}

/* Whether the entry that e takes back may be taken back. */
static enum fault_code check_undo(struct record *rec, const char *garden, const struct entry *e, struct fault *f)
{
	struct query q;
	bool row = false;
	long long id = (long long)e->undoes;
	enum fault_code code = query_open(&q, rec, sql_text(SQL_DIARY_FIND), f);
	if (code == FAULT_NONE) {
		query_text(&q, garden);
		query_int(&q, e->undoes);
		code = query_row(&q, &row, f);
	}
	if (code == FAULT_NONE && !row)
		code =
		    fault_set(f, FAULT_USAGE, "there is no diary entry %lld; the diary's list shows the numbers", id);
	else if (code == FAULT_NONE && query_get_instant(&q, 0) != INSTANT_NONE)
		code = fault_set(f, FAULT_USAGE, "entry %lld takes another back and stays; write that one again", id);
	else if (code == FAULT_NONE && query_get_int(&q, 1))
		code = fault_set(f, FAULT_USAGE, "entry %lld was taken back already", id);
	query_close(&q);
	return code;
}

static enum fault_code add(struct record *rec, const char *garden, const struct entry *e, int64_t *id, struct fault *f)
{
	struct query q;
	bool row = false;
	if (check_lines(e, f))
		return f->code;
	enum fault_code code = query_open(&q, rec, sql_text(SQL_DIARY_ADD), f);
	if (code == FAULT_NONE) {
		query_text(&q, garden);
		query_int(&q, e->written);
		query_int(&q, e->date.n);
		query_text(&q, e->planting);
		query_text(&q, e->crop);
		query_text(&q, e->variety);
		query_text(&q, e->bed);
		query_text(&q, e->verb);
		query_text(&q, e->text);
		query_real(&q, e->amount);
		query_instant(&q, e->undoes ? e->undoes : INSTANT_NONE);
		code = query_row(&q, &row, f);
	}
	if (row) {
		*id = query_get_int(&q, 0);
		/* It is done when its last row was asked for. */
		code = query_row(&q, &row, f);
	}
	query_close(&q);
	return code;
}

enum fault_code diary_append_all(struct record *rec, const char *garden, struct entry *entries, size_t n,
				 struct fault *f)
{
	if (db_write_begin(rec, f))
		return f->code;
	enum fault_code code = FAULT_NONE;
	for (size_t i = 0; i < n && code == FAULT_NONE; i++) {
		struct entry *e = &entries[i];
		code = e->undoes ? check_undo(rec, garden, e, f) : FAULT_NONE;
		if (code == FAULT_NONE)
			code = add(rec, garden, e, &e->id, f);
	}
	code = db_end(rec, code, f);
	for (size_t i = 0; i < n && code != FAULT_NONE; i++)
		entries[i].id = 0;
	return code;
}

enum fault_code diary_append(struct record *rec, const char *garden, struct entry *e, struct fault *f)
{
	return diary_append_all(rec, garden, e, 1, f);
}

static void read_entry(struct query *q, void *element)
{
	struct entry *e = element;
	e->id = query_get_int(q, 0);
	e->written = query_get_int(q, 1);
	e->date.n = (int32_t)query_get_int(q, 2);
	query_get_text(q, 3, e->planting, sizeof e->planting);
	query_get_text(q, 4, e->crop, sizeof e->crop);
	query_get_text(q, 5, e->variety, sizeof e->variety);
	query_get_text(q, 6, e->bed, sizeof e->bed);
	query_get_text(q, 7, e->verb, sizeof e->verb);
	query_get_text(q, 8, e->text, sizeof e->text);
	e->amount = query_get_real(q, 9);
	int64_t undoes = query_get_instant(q, 10);
	e->undoes = undoes == INSTANT_NONE ? 0 : undoes;
}

enum fault_code diary_list(struct record *rec, const char *garden, enum diary_view view, struct entry **entries,
			   size_t *n, struct fault *f)
{
	struct query q;
	void *list = NULL;
	enum sql text = view == DIARY_ALL ? SQL_DIARY_ALL : SQL_DIARY_STANDING;
	enum fault_code code = query_open(&q, rec, sql_text(text), f);
	if (code == FAULT_NONE) {
		query_text(&q, garden);
		code = query_list(&q, sizeof **entries, read_entry, &list, n, f);
	}
	query_close(&q);
	if (code == FAULT_NONE)
		*entries = list;
	return code;
}

/* ---- entries from elsewhere ---- */

struct taking {
	struct record *rec;
	const char *garden;
	const struct entry *entries; /* given */
	int64_t *ids;                /* theirs in the record */
	struct entry *old;           /* what was there before, in the order it came in */
	size_t n_old;
	bool *used; /* old ones that were met among the given */
};

static int by_id(const void *a, const void *b)
{
	const struct entry *x = a, *y = b;
	return (x->id > y->id) - (x->id < y->id);
}

static enum fault_code begin_taking(struct taking *t, size_t n, struct fault *f)
{
	if (diary_list(t->rec, t->garden, DIARY_ALL, &t->old, &t->n_old, f))
		return f->code;
	if (t->n_old > 0)
		qsort(t->old, t->n_old, sizeof *t->old, by_id);
	t->ids = mem_new(n + 1, sizeof *t->ids);
	t->used = mem_new(t->n_old + 1, sizeof *t->used);
	return t->ids && t->used ? FAULT_NONE : fault_set(f, FAULT_MEMORY, "out of memory");
}

static void end_taking(struct taking *t)
{
	mem_free(t->ids);
	mem_free(t->used);
	mem_free(t->old);
}

/* An old one that says the same and was not met yet; n_old where there is none. */
static size_t find_old(const struct taking *t, const struct entry *e)
{
	size_t i = 0;
	while (i < t->n_old && (t->used[i] || t->old[i].written != e->written ||
				(t->old[i].undoes == 0) != (e->undoes == 0) || strcmp(t->old[i].text, e->text) != 0))
		i++;
	return i;
}

/* From the number that the given ones call it by to the record's id. */
static enum fault_code link_undo(const struct taking *t, size_t i, struct entry *e, struct fault *f)
{
	size_t j = 0;
	struct fault why;
	while (j < i && t->entries[j].id != e->undoes)
		j++;
	if (j == i)
		return fault_set(f, FAULT_DATA, "takes back %lld, which is no entry before it", (long long)e->undoes);
	long long number = (long long)e->undoes;
	e->undoes = t->ids[j];
	enum fault_code code = check_undo(t->rec, t->garden, e, &why);
	if (code == FAULT_USAGE)
		return fault_set(f, FAULT_DATA,
				 "takes back %lld, which takes another back itself or was taken back already", number);
	if (code != FAULT_NONE)
		*f = why;
	return code;
}

static enum fault_code take_one(struct taking *t, size_t i, struct diary_taken *taken, struct fault *f)
{
	assert(t->ids && t->used);
	struct entry e = t->entries[i];
	size_t old = find_old(t, &e);
	if (old < t->n_old) {
		t->used[old] = true;
		t->ids[i] = t->old[old].id;
		taken->there++;
		return FAULT_NONE;
	}
	taken->added++;
	if (e.undoes && link_undo(t, i, &e, f))
		return f->code;
	return add(t->rec, t->garden, &e, &t->ids[i], f);
}

enum fault_code diary_take(struct record *rec, const char *garden, const struct entry *entries, size_t n,
			   struct diary_taken *taken, struct fault *f)
{
	struct taking t = {.rec = rec, .garden = garden, .entries = entries};
	*taken = (struct diary_taken){0};
	if (db_write_begin(rec, f))
		return f->code;
	enum fault_code code = begin_taking(&t, n, f);
	for (size_t i = 0; i < n && code == FAULT_NONE; i++) {
		taken->wrong = i;
		code = take_one(&t, i, taken, f);
	}
	end_taking(&t);
	return db_end(rec, code, f);
}

/* ---- lines of the grower's file ---- */

static void read_line(struct query *q, void *element)
{
	struct diary_line *l = element;
	l->line = query_get_int(q, 0);
	l->taken = query_get_int(q, 1);
	l->refused = query_get_int(q, 2);
}

enum fault_code diary_lines(struct record *rec, const char *garden, struct diary_line **lines, size_t *n,
			    struct fault *f)
{
	struct query q;
	void *list = NULL;
	enum fault_code code = query_open(&q, rec, sql_text(SQL_DIARY_LINES), f);
	if (code == FAULT_NONE) {
		query_text(&q, garden);
		code = query_list(&q, sizeof **lines, read_line, &list, n, f);
	}
	query_close(&q);
	if (code == FAULT_NONE)
		*lines = list;
	return code;
}

static bool same_lines(const struct diary_line *a, size_t n_a, const struct diary_line *b, size_t n_b)
{
	if (n_a != n_b)
		return false;
	for (size_t i = 0; i < n_a; i++)
		if (a[i].line != b[i].line || a[i].taken != b[i].taken || a[i].refused != b[i].refused)
			return false;
	return true;
}

static enum fault_code still_so(struct record *rec, const char *garden, const struct diary_line *before, size_t n,
				bool *so, struct fault *f)
{
	struct diary_line *lines = NULL;
	size_t n_lines = 0;
	enum fault_code code = diary_lines(rec, garden, &lines, &n_lines, f);
	*so = code == FAULT_NONE && same_lines(before, n, lines, n_lines);
	mem_free(lines);
	return code;
}

static enum fault_code put_lines(struct record *rec, const char *garden, const struct diary_line *lines, size_t n,
				 struct fault *f)
{
	enum { GARDEN = 1 };
	struct query q;
	enum fault_code code = query_open(&q, rec, sql_text(SQL_DIARY_LINES_DROP), f);
	if (code == FAULT_NONE) {
		query_text(&q, garden);
		code = query_run(&q, NULL, f);
	}
	query_close(&q);
	if (code != FAULT_NONE || query_open(&q, rec, sql_text(SQL_DIARY_LINE_PUT), f))
		return f->code;
	query_text(&q, garden);
	for (size_t i = 0; i < n && code == FAULT_NONE; i++) {
		query_again(&q, GARDEN);
		query_int(&q, lines[i].line);
		query_int(&q, lines[i].taken);
		query_int(&q, lines[i].refused);
		code = query_run(&q, NULL, f);
	}
	query_close(&q);
	return code;
}

enum fault_code diary_take_lines(struct record *rec, const char *garden, const struct entry *entries, size_t n,
				 const struct diary_line *before, size_t n_before, const struct diary_line *now,
				 size_t n_now, bool *done, struct fault *f)
{
	*done = false;
	if (db_write_begin(rec, f))
		return f->code;
	enum fault_code code = still_so(rec, garden, before, n_before, done, f);
	for (size_t i = 0; i < n && *done && code == FAULT_NONE; i++) {
		int64_t id;
		code = add(rec, garden, &entries[i], &id, f);
	}
	if (code == FAULT_NONE && *done)
		code = put_lines(rec, garden, now, n_now, f);
	return db_end(rec, code, f);
}
