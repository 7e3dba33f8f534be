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
		query_int(&q, (int64_t)m->address);
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
	m->address = (uint64_t)query_get_int(q, 9);
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

enum fault_code fetchlog_held(struct record *rec, const char *source, int64_t *until, struct fault *f)
{
	struct query q;
	bool row = false;
	enum fault_code code = query_open(&q, rec, sql_text(SQL_FETCH_HELD), f);
	if (code == FAULT_NONE) {
		query_text(&q, source);
		code = query_row(&q, &row, f);
	}
	if (row)
		*until = query_get_instant(&q, 0);
	query_close(&q);
	return code;
}

/* ---- what was discovered ---- */

static enum fault_code drop(struct record *rec, int64_t place, const char *source, const char *step, struct fault *f)
{
	struct query q;
	enum fault_code code = query_open(&q, rec, sql_text(SQL_DISCOVERED_DROP), f);
	if (code == FAULT_NONE) {
		query_int(&q, place);
		query_text(&q, source);
		query_text(&q, step);
		code = query_run(&q, NULL, f);
	}
	query_close(&q);
	return code;
}

static enum fault_code add_all(struct record *rec, int64_t place, const char *source, const char *step,
			       const struct memo_found *found, size_t n, struct fault *f)
{
	struct query q;
	enum fault_code code = query_open(&q, rec, sql_text(SQL_DISCOVERED_PUT), f);
	if (code == FAULT_NONE) {
		query_int(&q, place);
		query_text(&q, source);
		query_text(&q, step);
	}
	for (size_t i = 0; i < n && code == FAULT_NONE; i++) {
		query_again(&q, 3);
		query_text(&q, found[i].name);
		query_text(&q, found[i].value);
		query_int(&q, found[i].since);
		code = query_run(&q, NULL, f);
	}
	query_close(&q);
	return code;
}

enum fault_code fetchlog_keep(struct record *rec, int64_t place, const char *source, const char *step,
			      const struct memo_found *found, size_t n, struct fault *f)
{
	if (db_write_begin(rec, f))
		return f->code;
	enum fault_code code = drop(rec, place, source, step, f);
	if (code == FAULT_NONE && n > 0)
		code = add_all(rec, place, source, step, found, n, f);
	return db_end(rec, code, f);
}

static void read_found(struct query *q, void *element)
{
	struct memo_found *found = element;
	query_get_text(q, 0, found->name, sizeof found->name);
	query_get_text(q, 1, found->value, sizeof found->value);
	found->since = query_get_int(q, 2);
}

enum fault_code fetchlog_kept(struct record *rec, int64_t place, const char *source, const char *step,
			      struct memo_found **found, size_t *n, struct fault *f)
{
	struct query q;
	void *list = NULL;
	enum fault_code code = query_open(&q, rec, sql_text(SQL_DISCOVERED_LIST), f);
	if (code == FAULT_NONE) {
		query_int(&q, place);
		query_text(&q, source);
		query_text(&q, step);
		code = query_list(&q, sizeof **found, read_found, &list, n, f);
	}
	query_close(&q);
	if (code == FAULT_NONE)
		*found = list;
	return code;
}

/* ---- the runs ---- */

static enum fault_code add_run(struct record *rec, int64_t place, const struct run *run, struct fault *f)
{
	struct query q;
	enum fault_code code = query_open(&q, rec, sql_text(SQL_RUN_ADD), f);
	if (code == FAULT_NONE) {
		query_int(&q, place);
		query_text(&q, run->source);
		query_int(&q, run->started);
		query_int(&q, run->code);
		query_int(&q, run->requests);
		query_int(&q, run->bytes);
		query_int(&q, run->gained);
		query_text(&q, run->said);
		code = query_run(&q, NULL, f);
	}
	query_close(&q);
	return code;
}

static enum fault_code thin_runs(struct record *rec, int64_t place, int64_t before, struct fault *f)
{
	struct query q;
	enum fault_code code = query_open(&q, rec, sql_text(SQL_RUN_THIN), f);
	if (code == FAULT_NONE) {
		query_int(&q, place);
		query_int(&q, before);
		code = query_run(&q, NULL, f);
	}
	query_close(&q);
	return code;
}

enum fault_code fetchlog_run(struct record *rec, int64_t place, const struct run *run, struct fault *f)
{
	if (db_write_begin(rec, f))
		return f->code;
	enum fault_code code = add_run(rec, place, run, f);
	if (code == FAULT_NONE)
		code = thin_runs(rec, place, run->started - FETCHLOG_RUNS_S, f);
	return db_end(rec, code, f);
}

static void read_run(struct query *q, void *element)
{
	struct run *run = element;
	query_get_text(q, 0, run->source, sizeof run->source);
	run->started = query_get_int(q, 1);
	run->code = (int)query_get_int(q, 2);
	run->requests = (int)query_get_int(q, 3);
	run->bytes = query_get_int(q, 4);
	run->gained = query_get_int(q, 5);
	query_get_text(q, 6, run->said, sizeof run->said);
}

enum fault_code fetchlog_runs(struct record *rec, int64_t place, size_t most, struct run **runs, size_t *n,
			      struct fault *f)
{
	struct query q;
	void *list = NULL;
	enum fault_code code = query_open(&q, rec, sql_text(SQL_RUN_LIST), f);
	if (code == FAULT_NONE) {
		query_int(&q, place);
		query_int(&q, (int64_t)most);
		code = query_list(&q, sizeof **runs, read_run, &list, n, f);
	}
	query_close(&q);
	if (code == FAULT_NONE)
		*runs = list;
	return code;
}

/* ---- who gave past hours ---- */

enum fault_code fetchlog_supplied(struct record *rec, int64_t place, const struct supply *s, struct fault *f)
{
	if (db_write_begin(rec, f))
		return f->code;
	struct query q;
	enum fault_code code = query_open(&q, rec, sql_text(SQL_SUPPLY_PUT), f);
	if (code == FAULT_NONE) {
		query_int(&q, place);
		query_text(&q, s->source);
		query_text(&q, s->credit);
		query_int(&q, s->first);
		query_int(&q, s->end);
		code = query_run(&q, NULL, f);
	}
	query_close(&q);
	return db_end(rec, code, f);
}

static void read_supply(struct query *q, void *element)
{
	struct supply *s = element;
	query_get_text(q, 0, s->source, sizeof s->source);
	query_get_text(q, 1, s->credit, sizeof s->credit);
	s->first = query_get_int(q, 2);
	s->end = query_get_int(q, 3);
}

enum fault_code fetchlog_supplies(struct record *rec, int64_t place, int64_t from, int64_t to, struct supply **list,
				  size_t *n, struct fault *f)
{
	struct query q;
	void *read = NULL;
	enum fault_code code = query_open(&q, rec, sql_text(SQL_SUPPLY_LIST), f);
	if (code == FAULT_NONE) {
		query_int(&q, place);
		query_int(&q, from);
		query_int(&q, to);
		code = query_list(&q, sizeof **list, read_supply, &read, n, f);
	}
	query_close(&q);
	if (code == FAULT_NONE)
		*list = read;
	return code;
}
