#include "record/issuestore.h"

#include <assert.h>

#include "base/instant.h"
#include "base/mem.h"
#include "record/blob.h"
#include "record/db.h"

/* Stored as they are. */
static_assert(ISSUE_PAST_NONE == 0 && ISSUE_PAST_ANALYSED == 1 && ISSUE_PAST_OBSERVED == 2, "past is stored by number");

enum fault_code issuestore_put(struct record *rec, int64_t place, const struct issue *issue, struct fault *f)
{
	uint8_t *bytes;
	size_t size;
	if (blob_encode(&issue->hours, &bytes, &size, f))
		return f->code;
	struct query q;
	enum fault_code code = query_open(&q, rec, sql_text(SQL_ISSUE_PUT), f);
	if (code == FAULT_NONE) {
		query_int(&q, place);
		query_int(&q, issue->hours.first);
		query_int(&q, (int64_t)issue->hours.n);
		query_bytes(&q, bytes, size);
		query_text(&q, issue->source);
		query_text(&q, issue->title);
		query_text(&q, issue->credit);
		query_int(&q, issue->received);
		query_instant(&q, issue->issued);
		query_int(&q, issue->max_age_s);
		query_int(&q, issue->past);
		query_real(&q, issue->cell_latitude);
		query_real(&q, issue->cell_longitude);
		query_real(&q, issue->cell_elevation_m);
		code = query_run(&q, NULL, f);
	}
	query_close(&q);
	mem_free(bytes);
	return code;
}

static void read_row(struct query *q, void *element)
{
	struct issue_row *r = element;
	query_get_text(q, 0, r->source, sizeof r->source);
	r->received = query_get_int(q, 1);
	r->issued = query_get_instant(q, 2);
	r->first = query_get_int(q, 3);
	r->n = (size_t)query_get_int(q, 4);
}

enum fault_code issuestore_list(struct record *rec, int64_t place, struct issue_row **rows, size_t *n, struct fault *f)
{
	struct query q;
	void *list = NULL;
	enum fault_code code = query_open(&q, rec, sql_text(SQL_ISSUE_LIST), f);
	if (code == FAULT_NONE) {
		query_int(&q, place);
		code = query_list(&q, sizeof **rows, read_row, &list, n, f);
	}
	query_close(&q);
	if (code == FAULT_NONE)
		*rows = list;
	return code;
}

static void read_head(struct query *q, struct issue *issue)
{
	query_get_text(q, 0, issue->source, sizeof issue->source);
	query_get_text(q, 1, issue->title, sizeof issue->title);
	query_get_text(q, 2, issue->credit, sizeof issue->credit);
	issue->received = query_get_int(q, 3);
	issue->issued = query_get_instant(q, 4);
	issue->max_age_s = query_get_int(q, 5);
	issue->past = (enum issue_past)query_get_int(q, 6);
	issue->cell_latitude = query_get_real(q, 7);
	issue->cell_longitude = query_get_real(q, 8);
	issue->cell_elevation_m = query_get_real(q, 9);
}

static enum fault_code read_hours(struct query *q, struct issue *issue, struct fault *f)
{
	size_t size;
	const uint8_t *bytes = query_get_bytes(q, 10, &size);
	if (blob_decode(bytes, bytes ? size : 0, &issue->hours, f))
		return fault_place(f, "%s: ", record_path(q->rec));
	return FAULT_NONE;
}

static enum fault_code read_at(struct record *rec, int64_t place, int64_t cut, size_t skip, bool hours,
			       struct issue *issue, struct fault *f)
{
	struct query q;
	bool row = false;
	issue_init(issue);
	enum fault_code code = query_open(&q, rec, sql_text(SQL_ISSUE_AT), f);
	if (code == FAULT_NONE) {
		query_int(&q, place);
		query_int(&q, cut);
		query_int(&q, (int64_t)skip);
		code = query_row(&q, &row, f);
	}
	if (row)
		read_head(&q, issue);
	if (row && hours)
		code = read_hours(&q, issue, f);
	if (code == FAULT_NONE)
		code = query_fine(&q, f);
	query_close(&q);
	if (code != FAULT_NONE)
		issue_free(issue);
	return code;
}

enum fault_code issuestore_at(struct record *rec, int64_t place, int64_t cut, size_t skip, struct issue *issue,
			      struct fault *f)
{
	return read_at(rec, place, cut, skip, true, issue, f);
}

enum fault_code issuestore_head_at(struct record *rec, int64_t place, int64_t cut, size_t skip, struct issue *issue,
				   struct fault *f)
{
	return read_at(rec, place, cut, skip, false, issue, f);
}

struct key {
	int64_t id, received, first, n;
};

static void read_key(struct query *q, void *element)
{
	*(struct key *)element =
	    (struct key){query_get_int(q, 0), query_get_int(q, 1), query_get_int(q, 2), query_get_int(q, 3)};
}

/* The issues of a place, the newest first. */
static enum fault_code list_keys(struct record *rec, int64_t place, void **keys, size_t *n, struct fault *f)
{
	struct query q;
	enum fault_code code = query_open(&q, rec, sql_text(SQL_ISSUE_KEYS), f);
	if (code == FAULT_NONE) {
		query_int(&q, place);
		code = query_list(&q, sizeof(struct key), read_key, keys, n, f);
	}
	query_close(&q);
	return code;
}

/* Whether an issue is the last one at some instant of a span: that lies between it and the next newer one. */
static bool any_asks(const struct issue_span *spans, size_t n, int64_t received, int64_t newer)
{
	for (size_t i = 0; i < n; i++)
		if (spans[i].from < newer && spans[i].to >= received)
			return true;
	return false;
}

static bool begins_late(const struct key *k)
{
	return k->n == 0 || k->first > instant_hour(k->received);
}

static enum fault_code drop(struct record *rec, int64_t id, struct fault *f)
{
	struct query q;
	enum fault_code code = query_open(&q, rec, sql_text(SQL_ISSUE_DROP), f);
	if (code == FAULT_NONE) {
		query_int(&q, id);
		code = query_run(&q, NULL, f);
	}
	query_close(&q);
	return code;
}

enum fault_code issuestore_thin(struct record *rec, int64_t place, int64_t now, const struct issue_span *spans,
				size_t n, struct fault *f)
{
	void *list = NULL;
	size_t count = 0;
	if (db_write_begin(rec, f))
		return f->code;
	enum fault_code code = list_keys(rec, place, &list, &count, f);
	const struct key *keys = list;
	const struct issue_span today = {now, now};
	int64_t newer = INT64_MAX;
	bool fills = false; /* the newer one wants this one before it */
	for (size_t i = 0; i < count && code == FAULT_NONE; i++) {
		const struct key *k = &keys[i];
		bool asked = k->received >= now - ISSUESTORE_KEEP_S || any_asks(&today, 1, k->received, newer) ||
			     any_asks(spans, n, k->received, newer);
		if (!asked && !fills)
			code = drop(rec, k->id, f);
		fills = asked && begins_late(k);
		newer = k->received;
	}
	mem_free(list);
	return db_end(rec, code, f);
}
