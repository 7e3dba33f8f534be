#include "record/outbox.h"

#include <assert.h>
#include <string.h>

#include "base/instant.h"
#include "base/mem.h"
#include "record/db.h"

/* The cut of a morning without a letter, 06:00 by the clock; the offsets of civil time from UTC run from -12 to +14 h.
 */
enum { MORNING_S = 6 * HOUR_S, EASTMOST_S = 14 * HOUR_S, WESTMOST_S = -12 * HOUR_S };

/* Stored as they are. */
static_assert(LETTER_COMPOSED == 0 && LETTER_SENDING == 1 && LETTER_SENT == 2 && LETTER_UNKNOWN == 3 &&
		  LETTER_FAILED == 4 && LETTER_EXPIRED == 5,
	      "states are stored by number");
static_assert(LETTER_MORNING == 0 && LETTER_EVENING == 1, "and kinds");

static enum fault_code put(struct record *rec, enum sql how, const struct letter *l, const char *text, int *changed,
			   struct fault *f)
{
	struct query q;
	if (db_write_begin(rec, f))
		return f->code;
	enum fault_code code = query_open(&q, rec, sql_text(how), f);
	if (code == FAULT_NONE) {
		query_text(&q, l->garden);
		query_int(&q, l->date.n);
		query_int(&q, l->kind);
		query_text(&q, l->way);
		query_int(&q, l->cut);
		query_int(&q, l->state);
		query_int(&q, l->changed);
		query_text(&q, l->subject);
		query_int(&q, l->resent);
		query_text(&q, l->said);
		query_text(&q, text);
		code = query_run(&q, changed, f);
	}
	query_close(&q);
	return db_end(rec, code, f);
}

enum fault_code outbox_put(struct record *rec, const struct letter *letter, const char *text, struct fault *f)
{
	return put(rec, SQL_LETTER_PUT, letter, text, NULL, f);
}

enum fault_code outbox_add(struct record *rec, const struct letter *letter, const char *text, bool *fresh,
			   struct fault *f)
{
	int changed = 0;
	enum fault_code code = put(rec, SQL_LETTER_ADD, letter, text, &changed, f);
	*fresh = code == FAULT_NONE && changed > 0;
	return code;
}

enum fault_code outbox_move(struct record *rec, const struct letter *letter, enum letter_state from, bool *moved,
			    struct fault *f)
{
	struct query q;
	int changed = 0;
	*moved = false;
	if (db_write_begin(rec, f))
		return f->code;
	enum fault_code code = query_open(&q, rec, sql_text(SQL_LETTER_MOVE), f);
	if (code == FAULT_NONE) {
		query_int(&q, letter->state);
		query_int(&q, letter->changed);
		query_int(&q, letter->resent);
		query_text(&q, letter->said);
		query_text(&q, letter->garden);
		query_int(&q, letter->date.n);
		query_int(&q, letter->kind);
		query_text(&q, letter->way);
		query_int(&q, from);
		code = query_run(&q, &changed, f);
	}
	query_close(&q);
	code = db_end(rec, code, f);
	*moved = code == FAULT_NONE && changed > 0;
	return code;
}

/* Behind the letter's own columns. */
enum { TEXT_COLUMN = 10 };

static enum fault_code move_before(struct record *rec, const char *garden, struct date today, enum letter_state from,
				   enum letter_state to, int64_t now, struct fault *f)
{
	struct query q;
	enum fault_code code = query_open(&q, rec, sql_text(SQL_LETTER_BEFORE), f);
	if (code == FAULT_NONE) {
		query_int(&q, to);
		query_int(&q, now);
		query_text(&q, garden);
		query_int(&q, today.n);
		query_int(&q, from);
		code = query_run(&q, NULL, f);
	}
	query_close(&q);
	return code;
}

enum fault_code outbox_expire(struct record *rec, const char *garden, struct date today, int64_t now, struct fault *f)
{
	enum fault_code code = FAULT_NONE;
	if (db_write_begin(rec, f))
		return f->code;
	if (move_before(rec, garden, today, LETTER_COMPOSED, LETTER_EXPIRED, now, f) ||
	    move_before(rec, garden, today, LETTER_SENDING, LETTER_UNKNOWN, now, f))
		code = f->code;
	return db_end(rec, code, f);
}

static void read_letter(struct query *q, struct letter *l)
{
	query_get_text(q, 0, l->garden, sizeof l->garden);
	l->date.n = (int32_t)query_get_int(q, 1);
	l->kind = (enum letter_kind)query_get_int(q, 2);
	query_get_text(q, 3, l->way, sizeof l->way);
	l->cut = query_get_int(q, 4);
	l->state = (enum letter_state)query_get_int(q, 5);
	l->changed = query_get_int(q, 6);
	query_get_text(q, 7, l->subject, sizeof l->subject);
	l->resent = query_get_int(q, 8) != 0;
	query_get_text(q, 9, l->said, sizeof l->said);
}

static enum fault_code copy_text(struct query *q, int col, char **copy, struct fault *f)
{
	const char *s = query_get_string(q, col);
	if (query_fine(q, f))
		return f->code;
	size_t size = strlen(s) + 1;
	*copy = mem_new(size, 1);
	if (!*copy)
		return fault_set(f, FAULT_MEMORY, "out of memory");
	memcpy(*copy, s, size);
	return FAULT_NONE;
}

/* The one row of a bound query as a letter, and its text where that is wanted. */
static enum fault_code take_letter(struct query *q, struct letter *letter, char **text, bool *found, struct fault *f)
{
	bool row;
	struct letter read = {.state = LETTER_COMPOSED};
	if (query_row(q, &row, f))
		return f->code;
	if (row) {
		read_letter(q, &read);
		if (query_fine(q, f) || (text && copy_text(q, TEXT_COLUMN, text, f)))
			return f->code;
		*letter = read;
	}
	*found = row;
	return FAULT_NONE;
}

enum fault_code outbox_get(struct record *rec, const char *garden, struct date date, enum letter_kind kind,
			   const char *way, struct letter *letter, char **text, bool *found, struct fault *f)
{
	struct query q;
	enum fault_code code = query_open(&q, rec, sql_text(SQL_LETTER_GET), f);
	if (code == FAULT_NONE) {
		query_text(&q, garden);
		query_int(&q, date.n);
		query_int(&q, kind);
		query_text(&q, way);
		code = take_letter(&q, letter, text, found, f);
	}
	query_close(&q);
	return code;
}

enum fault_code outbox_cut(struct record *rec, const char *garden, struct date date, enum letter_kind kind,
			   int64_t *cut, struct fault *f)
{
	struct query q;
	bool row = false;
	enum fault_code code = query_open(&q, rec, sql_text(SQL_LETTER_CUT), f);
	if (code == FAULT_NONE) {
		query_text(&q, garden);
		query_int(&q, date.n);
		query_int(&q, kind);
		query_int(&q, LETTER_SENT);
		code = query_row(&q, &row, f);
	}
	if (code == FAULT_NONE)
		*cut = row ? query_get_int(&q, 0) : INSTANT_NONE;
	query_close(&q);
	return code;
}

enum fault_code outbox_last(struct record *rec, const char *garden, struct letter *letter, bool *found, struct fault *f)
{
	struct query q;
	enum fault_code code = query_open(&q, rec, sql_text(SQL_LETTER_LAST), f);
	if (code == FAULT_NONE) {
		query_text(&q, garden);
		query_int(&q, LETTER_MORNING);
		query_int(&q, LETTER_SENT);
		code = take_letter(&q, letter, NULL, found, f);
	}
	query_close(&q);
	return code;
}

static void read_span(struct query *q, void *element)
{
	*(struct issue_span *)element = (struct issue_span){query_get_int(q, 0), query_get_int(q, 1)};
}

enum fault_code outbox_cuts(struct record *rec, struct issue_span **spans, size_t *n, struct fault *f)
{
	struct query q;
	void *list = NULL;
	enum fault_code code = query_open(&q, rec, sql_text(SQL_LETTER_CUTS), f);
	if (code == FAULT_NONE) {
		query_int(&q, LETTER_MORNING);
		query_int(&q, MORNING_S - EASTMOST_S);
		query_int(&q, MORNING_S - WESTMOST_S);
		code = query_list(&q, sizeof **spans, read_span, &list, n, f);
	}
	query_close(&q);
	if (code == FAULT_NONE)
		*spans = list;
	return code;
}
