#include "record/db.h"

#include <math.h>
#include <sqlite3.h>

#include "base/instant.h"
#include "base/mem.h"

/* What SQLite's primary code is to the caller, and the words for it; NULL: SQLite's own. */
struct meaning {
	int rc;
	enum fault_code code;
	const char *words;
};

static const struct meaning meanings[] = {
    {SQLITE_BUSY, FAULT_TRY_LATER, "in use by another program; try again in a minute"},
    {SQLITE_LOCKED, FAULT_TRY_LATER, "in use by another program; try again in a minute"},
    {SQLITE_NOMEM, FAULT_MEMORY, "out of memory"},
    {SQLITE_FULL, FAULT_IO, "the disk is full; nothing of this step was kept"},
    {SQLITE_IOERR, FAULT_IO, NULL},
    {SQLITE_READONLY, FAULT_PERMISSION, "may not be written"},
    {SQLITE_PERM, FAULT_PERMISSION, "may not be opened"},
    {SQLITE_AUTH, FAULT_PERMISSION, "may not be opened"},
    {SQLITE_CANTOPEN, FAULT_PERMISSION, "cannot be opened"},
    {SQLITE_CORRUPT, FAULT_DATA, "the record is damaged; put a copy of it in its place"},
    {SQLITE_NOTADB, FAULT_DATA, "is not a dewpost record; name another file, or none to have one made"},
    {SQLITE_CONSTRAINT, FAULT_DATA, NULL},
    {SQLITE_MISMATCH, FAULT_DATA, NULL},
    {SQLITE_TOOBIG, FAULT_DATA, NULL},
};

enum fault_code db_fault(const struct record *rec, int rc, struct fault *f)
{
	/* The one I/O error that is none. */
	int primary = rc == SQLITE_IOERR_NOMEM ? SQLITE_NOMEM : rc & 0xff;
	const char *own =
	    rec->db && sqlite3_extended_errcode(rec->db) == rc ? sqlite3_errmsg(rec->db) : sqlite3_errstr(rc);
	for (size_t i = 0; i < sizeof meanings / sizeof *meanings; i++) {
		const struct meaning *m = &meanings[i];
		if (m->rc == primary)
			return fault_set(f, m->code, "%s: %s", rec->path, m->words ? m->words : own);
	}
	return fault_set(f, FAULT_SOFTWARE, "%s: %s", rec->path, own);
}

enum fault_code db_run(struct record *rec, const char *sql, struct fault *f)
{
	int rc = sqlite3_exec(rec->db, sql, NULL, NULL, NULL);
	return rc == SQLITE_OK ? FAULT_NONE : db_fault(rec, rc, f);
}

enum fault_code db_read_begin(struct record *rec, struct fault *f)
{
	return db_run(rec, sql_text(SQL_READ_BEGIN), f);
}

enum fault_code db_write_begin(struct record *rec, struct fault *f)
{
	if (rec->mode != RECORD_READ_WRITE)
		return fault_set(f, FAULT_PERMISSION, "%s: was opened to be read only", rec->path);
	return db_run(rec, sql_text(SQL_WRITE_BEGIN), f);
}

enum fault_code db_end(struct record *rec, enum fault_code code, struct fault *f)
{
	if (code == FAULT_NONE)
		code = db_run(rec, sql_text(SQL_COMMIT), f);
	/* A full disk or a failed write may have rolled back by itself. */
	if (code != FAULT_NONE && !sqlite3_get_autocommit(rec->db))
		(void)sqlite3_exec(rec->db, sql_text(SQL_ROLLBACK), NULL, NULL, NULL);
	return code;
}

enum fault_code query_open(struct query *q, struct record *rec, const char *sql, struct fault *f)
{
	*q = (struct query){.rec = rec};
	int rc = sqlite3_prepare_v2(rec->db, sql, -1, &q->stmt, NULL);
	return rc == SQLITE_OK ? FAULT_NONE : db_fault(rec, rc, f);
}

void query_close(struct query *q)
{
	sqlite3_finalize(q->stmt);
	q->stmt = NULL;
}

static void note(struct query *q, int rc)
{
	if (q->rc == SQLITE_OK)
		q->rc = rc;
}

void query_int(struct query *q, int64_t x)
{
	note(q, sqlite3_bind_int64(q->stmt, ++q->bound, x));
}

void query_instant(struct query *q, int64_t t)
{
	if (t == INSTANT_NONE)
		note(q, sqlite3_bind_null(q->stmt, ++q->bound));
	else
		query_int(q, t);
}

void query_real(struct query *q, double x)
{
	if (isnan(x))
		note(q, sqlite3_bind_null(q->stmt, ++q->bound));
	else
		note(q, sqlite3_bind_double(q->stmt, ++q->bound, x));
}

void query_text(struct query *q, const char *s)
{
	note(q, sqlite3_bind_text(q->stmt, ++q->bound, s, -1, SQLITE_STATIC));
}

void query_bytes(struct query *q, const uint8_t *bytes, size_t n)
{
	note(q, sqlite3_bind_blob64(q->stmt, ++q->bound, bytes, n, SQLITE_STATIC));
}

void query_again(struct query *q, int keep)
{
	/* What reset returns was told by the step before it. */
	(void)sqlite3_reset(q->stmt);
	q->bound = keep;
}

enum fault_code query_fine(const struct query *q, struct fault *f)
{
	return q->rc == SQLITE_OK ? FAULT_NONE : db_fault(q->rec, q->rc, f);
}

enum fault_code query_row(struct query *q, bool *row, struct fault *f)
{
	if (query_fine(q, f))
		return f->code;
	int rc = sqlite3_step(q->stmt);
	if (rc != SQLITE_ROW && rc != SQLITE_DONE)
		return db_fault(q->rec, rc, f);
	*row = rc == SQLITE_ROW;
	return FAULT_NONE;
}

enum fault_code query_run(struct query *q, int *changed, struct fault *f)
{
	bool row;
	if (query_row(q, &row, f))
		return f->code;
	if (changed)
		*changed = sqlite3_changes(q->rec->db);
	return FAULT_NONE;
}

int64_t query_get_int(const struct query *q, int col)
{
	return sqlite3_column_int64(q->stmt, col);
}

int64_t query_get_instant(const struct query *q, int col)
{
	return sqlite3_column_type(q->stmt, col) == SQLITE_NULL ? INSTANT_NONE : query_get_int(q, col);
}

double query_get_real(const struct query *q, int col)
{
	double x = sqlite3_column_double(q->stmt, col);
	/* NULL reads as 0: only then is it worth asking. */
	return x == 0 && sqlite3_column_type(q->stmt, col) == SQLITE_NULL ? (double)NAN : x;
}

const char *query_get_string(struct query *q, int col)
{
	const unsigned char *s = sqlite3_column_text(q->stmt, col);
	if (s)
		return (const char *)s;
	if (sqlite3_column_type(q->stmt, col) != SQLITE_NULL)
		note(q, SQLITE_NOMEM);
	return "";
}

void query_get_text(struct query *q, int col, char *buf, size_t size)
{
	struct text t;
	text_over(&t, buf, size);
	text_add(&t, query_get_string(q, col));
}

const uint8_t *query_get_bytes(struct query *q, int col, size_t *n)
{
	const uint8_t *bytes = sqlite3_column_blob(q->stmt, col);
	*n = (size_t)sqlite3_column_bytes(q->stmt, col);
	return bytes;
}

/* Room for one more element. */
static enum fault_code grow(void **list, size_t n, size_t *cap, size_t size, struct fault *f)
{
	if (n < *cap)
		return FAULT_NONE;
	size_t want = *cap ? *cap * 2 : 16;
	void *more = mem_resize(*list, want, size);
	if (!more)
		return fault_set(f, FAULT_MEMORY, "out of memory");
	*list = more;
	*cap = want;
	return FAULT_NONE;
}

enum fault_code query_list(struct query *q, size_t size, query_reader *read, void **list, size_t *n, struct fault *f)
{
	void *all = NULL;
	size_t count = 0, cap = 0;
	bool row = false;
	enum fault_code code;
	while ((code = query_row(q, &row, f)) == FAULT_NONE && row) {
		code = grow(&all, count, &cap, size, f);
		if (code != FAULT_NONE)
			break;
		read(q, (char *)all + size * count++);
	}
	if (code != FAULT_NONE) {
		mem_free(all);
		return code;
	}
	*list = all;
	*n = count;
	return FAULT_NONE;
}
