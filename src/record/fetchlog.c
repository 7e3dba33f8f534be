#include "record/fetchlog.h"

#include "record/db.h"

enum fault_code fetchlog_put(struct record *rec, int64_t place, const struct memo *m, struct fault *f)
{
	if (db_write_begin(rec, f))
		return f->code;
	struct query q;
	enum fault_code code = query_open(&q, rec, sql_text(SQL_FETCH_PUT), f);
	if (code == FAULT_NONE) {
		query_int(&q, place);
		query_text(&q, m->source);
		query_text(&q, m->step);
		query_int(&q, m->asked);
		query_instant(&q, m->answered);
		query_instant(&q, m->not_before);
		query_int(&q, m->status);
		query_text(&q, m->etag);
		query_text(&q, m->last_modified);
		query_text(&q, m->outcome);
		code = query_run(&q, NULL, f);
	}
	query_close(&q);
	return db_end(rec, code, f);
}

static void read_memo(struct query *q, void *element)
{
	struct memo *m = element;
	query_get_text(q, 0, m->source, sizeof m->source);
	query_get_text(q, 1, m->step, sizeof m->step);
	m->asked = query_get_int(q, 2);
	m->answered = query_get_instant(q, 3);
	m->not_before = query_get_instant(q, 4);
	m->status = (int)query_get_int(q, 5);
	query_get_text(q, 6, m->etag, sizeof m->etag);
	query_get_text(q, 7, m->last_modified, sizeof m->last_modified);
	query_get_text(q, 8, m->outcome, sizeof m->outcome);
}

enum fault_code fetchlog_get(struct record *rec, int64_t place, const char *source, const char *step, struct memo *m,
			     bool *found, struct fault *f)
{
	struct query q;
	bool row = false;
	struct memo read;
	enum fault_code code = query_open(&q, rec, sql_text(SQL_FETCH_GET), f);
	if (code == FAULT_NONE) {
		query_int(&q, place);
		query_text(&q, source);
		query_text(&q, step);
		code = query_row(&q, &row, f);
	}
	if (row) {
		read_memo(&q, &read);
		code = query_fine(&q, f);
	}
	query_close(&q);
	if (code != FAULT_NONE)
		return code;
	*found = row;
	if (row)
		*m = read;
	return FAULT_NONE;
}

enum fault_code fetchlog_list(struct record *rec, int64_t place, struct memo **memos, size_t *n, struct fault *f)
{
	struct query q;
	void *list = NULL;
	enum fault_code code = query_open(&q, rec, sql_text(SQL_FETCH_LIST), f);
	if (code == FAULT_NONE) {
		query_int(&q, place);
		code = query_list(&q, sizeof **memos, read_memo, &list, n, f);
	}
	query_close(&q);
	if (code == FAULT_NONE)
		*memos = list;
	return code;
}
