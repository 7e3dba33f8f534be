#include "record/diary.h"

#include "base/instant.h"
#include "record/db.h"

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

enum fault_code diary_append(struct record *rec, const char *garden, struct entry *e, struct fault *f)
{
	int64_t id = 0;
	if (db_write_begin(rec, f))
		return f->code;
	enum fault_code code = e->undoes ? check_undo(rec, garden, e, f) : FAULT_NONE;
	if (code == FAULT_NONE)
		code = add(rec, garden, e, &id, f);
	code = db_end(rec, code, f);
	if (code == FAULT_NONE)
		e->id = id;
	return code;
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
