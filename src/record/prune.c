#include "record/prune.h"

#include "base/instant.h"
#include "base/mem.h"
#include "record/db.h"
#include "record/health.h"
#include "record/issuestore.h"
#include "record/outbox.h"

/* One statement with the parameters that it has of two. */
static enum fault_code drop_by(struct record *rec, const char *sql, int parameters, int64_t first, int64_t second,
			       int64_t *dropped, struct fault *f)
{
	struct query q;
	int changed = 0;
	enum fault_code code = query_open(&q, rec, sql, f);
	if (code == FAULT_NONE) {
		query_int(&q, first);
		if (parameters > 1)
			query_int(&q, second);
		code = query_run(&q, &changed, f);
	}
	*dropped = changed;
	query_close(&q);
	return code;
}

static enum fault_code drop_hours(struct record *rec, int64_t before, struct pruned *p, struct fault *f)
{
	struct text t;
	text_init(&t, SQL_TEXT_MAX);
	sql_hours_thin(&t);
	enum fault_code code = text_ok(&t, "the thinning", f);
	if (code == FAULT_NONE)
		code = db_write_begin(rec, f);
	if (code == FAULT_NONE)
		code = db_end(rec, drop_by(rec, t.at, 1, before, 0, &p->hours, f), f);
	text_free(&t);
	return code;
}

/* An address goes with the last memo of its service, so these two are one deed. */
static enum fault_code drop_log(struct record *rec, int64_t now, int64_t before, struct pruned *p, struct fault *f)
{
	if (db_write_begin(rec, f))
		return f->code;
	enum fault_code code = FAULT_NONE;
	if (drop_by(rec, sql_text(SQL_RUN_THIN_ALL), 2, before, PRUNE_RUNS_LEFT, &p->runs, f) ||
	    drop_by(rec, sql_text(SQL_FETCH_THIN), 2, before, now, &p->memos, f) ||
	    drop_by(rec, sql_text(SQL_DISCOVERED_THIN), 1, before, 0, &p->found, f))
		code = f->code;
	return db_end(rec, code, f);
}

static void read_place(struct query *q, void *element)
{
	*(int64_t *)element = query_get_int(q, 0);
}

static enum fault_code list_places(struct record *rec, void **places, size_t *n, struct fault *f)
{
	struct query q;
	enum fault_code code = query_open(&q, rec, sql_text(SQL_PLACE_LIST), f);
	if (code == FAULT_NONE)
		code = query_list(&q, sizeof(int64_t), read_place, places, n, f);
	query_close(&q);
	return code;
}

static enum fault_code drop_issues(struct record *rec, int64_t now, struct fault *f)
{
	struct issue_span *cuts = NULL;
	void *places = NULL;
	size_t n_cuts = 0, n = 0;
	enum fault_code code = FAULT_NONE;
	if (outbox_cuts(rec, &cuts, &n_cuts, f) || list_places(rec, &places, &n, f))
		code = f->code;
	for (size_t i = 0; i < n && code == FAULT_NONE; i++)
		code = issuestore_thin(rec, ((const int64_t *)places)[i], now, cuts, n_cuts, f);
	mem_free(places);
	mem_free(cuts);
	return code;
}

enum fault_code record_prune(struct record *rec, int64_t now, int64_t keep_s, struct pruned *p, struct fault *f)
{
	struct record_counts before, after;
	*p = (struct pruned){.after = INSTANT_NONE};
	if (record_count(rec, &before, f))
		return f->code;
	p->before = before.bytes;
	if (drop_hours(rec, now - keep_s, p, f) || drop_log(rec, now, now - keep_s, p, f) || drop_issues(rec, now, f) ||
	    record_count(rec, &after, f))
		return f->code;
	p->issues = before.issues - after.issues;
	p->hours_left = after.hours;
	p->issues_left = after.issues;
	return FAULT_NONE;
}

enum fault_code record_shrink(struct record *rec, struct pruned *p, struct fault *f)
{
	struct record_counts after;
	if (db_run(rec, sql_text(SQL_VACUUM), f) || record_count(rec, &after, f))
		return f->code;
	p->after = after.bytes;
	return FAULT_NONE;
}
