/*
 * The open database under the record: transactions, statements, and what
 * SQLite's result codes mean to us.
 *
 * For this room alone.
 */
#ifndef RECORD_DB_H
#define RECORD_DB_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/date.h"
#include "base/fault.h"
#include "record/record.h"
#include "record/sql.h"

struct sqlite3;
struct sqlite3_stmt;

struct record {
	struct sqlite3 *db;
	char *path;
	enum record_mode mode;
};

/* The fault for a result code, with SQLite's own words behind it where they help. */
enum fault_code db_fault(const struct record *rec, int rc, struct fault *f);

/* Run text of one or more statements that bind nothing; rows are dropped. */
enum fault_code db_run(struct record *rec, const char *sql, struct fault *f) MUST_USE;

enum fault_code db_read_begin(struct record *rec, struct fault *f) MUST_USE;
enum fault_code db_write_begin(struct record *rec, struct fault *f) MUST_USE;

/* Commit where code is fine, else roll back.  Returns what came out of it all. */
enum fault_code db_end(struct record *rec, enum fault_code code, struct fault *f) MUST_USE;

/* One prepared statement.  What goes wrong while binding is told by the next query_row or query_run. */
struct query {
	struct record *rec;
	struct sqlite3_stmt *stmt;
	int bound; /* parameters bound so far */
	int rc;    /* first failure */
};

/* On a fault query_close is harmless. */
enum fault_code query_open(struct query *q, struct record *rec, const char *sql, struct fault *f) MUST_USE;
void query_close(struct query *q);

/* Bind the next parameter.  Text and bytes must stay until the statement has run. */
void query_int(struct query *q, int64_t x);
void query_instant(struct query *q, int64_t t); /* INSTANT_NONE is NULL */
void query_real(struct query *q, double x);     /* NaN is NULL */
void query_text(struct query *q, const char *s);
void query_bytes(struct query *q, const uint8_t *bytes, size_t n);

/* Begin anew, with the first `keep` parameters as they are. */
void query_again(struct query *q, int keep);

/* The next row, if there is one. */
enum fault_code query_row(struct query *q, bool *row, struct fault *f) MUST_USE;

/* Run a statement that gives no rows; *changed (may be NULL): rows changed. */
enum fault_code query_run(struct query *q, int *changed, struct fault *f) MUST_USE;

/* Columns of the row, from 0. */
int64_t query_get_int(const struct query *q, int col);
int64_t query_get_instant(const struct query *q, int col); /* NULL is INSTANT_NONE */
double query_get_real(const struct query *q, int col);     /* NULL is NaN */
const char *query_get_string(struct query *q, int col);    /* until the next row; "" for NULL */
void query_get_text(struct query *q, int col, char *buf, size_t size);
const uint8_t *query_get_bytes(struct query *q, int col, size_t *n); /* until the next row */

/* What went wrong while binding or reading columns, where no query_row follows. */
enum fault_code query_fine(const struct query *q, struct fault *f) MUST_USE;

/* What a row is, read into one element of a list. */
typedef void query_reader(struct query *q, void *element);

/* All rows of a bound query as a list of elements of `size` bytes; mem_free(*list).  Nothing is left on a fault. */
enum fault_code query_list(struct query *q, size_t size, query_reader *read, void **list, size_t *n,
			   struct fault *f) MUST_USE;

#endif
