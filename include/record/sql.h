/*
 * All SQL text of the record.  Nothing is ever pasted into it but the names and
 * ranges of our own table of variables; every value is bound.
 *
 * For this room alone.
 */
#ifndef RECORD_SQL_H
#define RECORD_SQL_H

#include <stdbool.h>

#include "base/text.h"
#include "facts/var.h"

enum sql {
	SQL_SETUP_READ,
	SQL_SETUP_WRITE,
	SQL_SETUP_LOOK,
	SQL_SETUP_COPY,
	SQL_READ_BEGIN,
	SQL_WRITE_BEGIN,
	SQL_COMMIT,
	SQL_ROLLBACK,
	SQL_IDENTITY,
	SQL_OBJECTS,
	SQL_QUICK_CHECK,
	SQL_INTEGRITY_CHECK,
	SQL_REFERENCE_CHECK,
	SQL_COUNTS,
	SQL_VACUUM,
	SQL_CREATE_1,
	SQL_STAMP_1,
	SQL_CREATE_2,
	SQL_STAMP_2,
	SQL_CREATE_3,
	SQL_STAMP_3,
	SQL_CREATE_4,
	SQL_STAMP_4,

	SQL_PLACE_FIND,
	SQL_PLACE_ADD,
	SQL_PLACE_LIST,

	SQL_ISSUE_PUT,
	SQL_ISSUE_LIST,
	SQL_ISSUE_AT,
	SQL_ISSUE_KEYS,
	SQL_ISSUE_BYTES,
	SQL_ISSUE_DROP,

	SQL_STATION_PUT,
	SQL_STATION_LIST,

	SQL_DIARY_ADD,
	SQL_DIARY_FIND,
	SQL_DIARY_STANDING,
	SQL_DIARY_ALL,
	SQL_DIARY_LINES,
	SQL_DIARY_LINE_PUT,
	SQL_DIARY_LINES_DROP,

	SQL_FETCH_PUT,
	SQL_FETCH_GET,
	SQL_FETCH_LIST,
	SQL_FETCH_HELD,
	SQL_FETCH_THIN,

	SQL_DISCOVERED_PUT,
	SQL_DISCOVERED_LIST,
	SQL_DISCOVERED_DROP,
	SQL_DISCOVERED_THIN,

	SQL_RUN_ADD,
	SQL_RUN_LIST,
	SQL_RUN_THIN,
	SQL_RUN_THIN_ALL,

	SQL_SUPPLY_PUT,
	SQL_SUPPLY_LIST,

	SQL_HOURS_COUNT,

	SQL_LETTER_PUT,
	SQL_LETTER_ADD,
	SQL_LETTER_MOVE,
	SQL_LETTER_BEFORE,
	SQL_LETTER_GET,
	SQL_LETTER_CUT,
	SQL_LETTER_LAST,
	SQL_LETTER_CUTS,
	SQLS
};

const char *sql_text(enum sql s);

/* The variables a statement speaks of.  A window's minimum and span come as one. */
struct sql_columns {
	bool has[VARS];
};

/* CREATE TABLE hours of schema 1, its CHECKs from the ranges of the variables. */
void sql_hours_create(struct text *t);

/* Bound: 1 place, 2 rank, 3 known, 4 hour, then value and mark of each variable that is there, in order. */
void sql_hours_merge(struct text *t, const struct sql_columns *c);

/* Bound: 1 place, 2 from, 3 to.  Columns: hour, rank, the values of all variables, their marks.  Best rank last. */
void sql_hours_read(struct text *t);

/*
 * Drop forecast rows that no reading of past hours misses: all they have, better ranks have too,
 * but for a window's minimum, which sql_hours_read's reader leaves out.  Bound: 1 before which hour.
 */
void sql_hours_thin(struct text *t);

/* A buffer for any of them. */
enum { SQL_TEXT_MAX = 32768 };

#endif
