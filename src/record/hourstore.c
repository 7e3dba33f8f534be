#include "record/hourstore.h"

#include <assert.h>
#include <math.h>

#include "base/instant.h"
#include "record/db.h"
#include "record/issuestore.h"

/* Marks are stored as they are. */
static_assert(ORIGIN_ESTIMATED == 1 && ORIGIN_INTERPOLATED == 2 && ORIGIN_FORECAST == 3 && ORIGIN_ANALYSED == 4 &&
		  ORIGIN_OBSERVED == 5 && ORIGIN_READING == 6 && ORIGIN_WHOLE_HOUR == 0x10,
	      "marks are stored by number");

/* Hours of one series that go to one rank. */
struct part {
	const struct hours *hours;
	size_t from, to; /* indices */
	enum rank rank;
	int64_t known, settled; /* what is no forecast must have ended by `settled` */
};

static enum origin rank_origin(enum rank r)
{
	static const enum origin origins[] = {ORIGIN_NONE, ORIGIN_FORECAST, ORIGIN_ANALYSED, ORIGIN_OBSERVED,
					      ORIGIN_READING};
	return origins[r];
}

/* A window is about the past when all of it had ended in time; of unknown span it is an hour. */
static bool window_stands(const struct part *p, size_t i)
{
	double span_h = p->hours->value[VAR_WINDOW_MINIMUM_SPAN][i];
	int64_t start = p->hours->first + (int64_t)i * HOUR_S;
	return p->rank == RANK_FORECAST ||
	       (double)start + fmax(isnan(span_h) ? 1 : span_h, 1) * HOUR_S <= (double)p->settled;
}

static double part_value(const struct part *p, enum var v, size_t i)
{
	if (v == VAR_WINDOW_MINIMUM || v == VAR_WINDOW_MINIMUM_SPAN) {
		/* A span is nothing without its minimum. */
		if (isnan(p->hours->value[VAR_WINDOW_MINIMUM][i]) || !window_stands(p, i))
			return (double)NAN;
	}
	return p->hours->value[v][i];
}

/* What a source forecast of hours that had passed is worth what its rank says. */
static int64_t part_mark(const struct part *p, enum var v, size_t i)
{
	uint8_t mark = p->hours->origin[v][i];
	unsigned origin = mark & ORIGIN_MASK;
	if (origin == ORIGIN_NONE || (origin == ORIGIN_FORECAST && p->rank != RANK_FORECAST))
		origin = rank_origin(p->rank);
	return origin | (mark & ORIGIN_WHOLE_HOUR);
}

static void find_columns(const struct part *p, struct sql_columns *c)
{
	*c = (struct sql_columns){{false}};
	for (int v = 0; v < VARS; v++)
		for (size_t i = p->from; i < p->to && !c->has[v]; i++)
			c->has[v] = !isnan(part_value(p, (enum var)v, i));
	/* The two move together, so a minimum without a span must clear the span. */
	c->has[VAR_WINDOW_MINIMUM_SPAN] = c->has[VAR_WINDOW_MINIMUM];
}

static enum fault_code merge_hour(struct query *q, const struct part *p, const struct sql_columns *c, size_t i,
				  struct fault *f)
{
	int64_t hour = p->hours->first + (int64_t)i * HOUR_S;
	bool any = false;
	query_again(q, 3);
	query_int(q, hour);
	for (int v = 0; v < VARS; v++) {
		if (!c->has[v])
			continue;
		double x = part_value(p, (enum var)v, i);
		query_real(q, x);
		query_instant(q, isnan(x) ? INSTANT_NONE : part_mark(p, (enum var)v, i));
		any = any || !isnan(x);
	}
	if (!any || query_run(q, NULL, f) == FAULT_NONE)
		return FAULT_NONE;
	char text[INSTANT_TEXT_SIZE];
	return fault_place(f, "hour %s: ", instant_text(hour, text));
}

static enum fault_code merge(struct record *rec, int64_t place, const struct part *p, struct fault *f)
{
	struct sql_columns columns;
	find_columns(p, &columns);
	bool any = false;
	for (int v = 0; v < VARS; v++)
		any = any || columns.has[v];
	if (!any)
		return FAULT_NONE;

	struct text t;
	struct query q = {.rec = rec};
	text_init(&t, SQL_TEXT_MAX);
	sql_hours_merge(&t, &columns);
	enum fault_code code = text_ok(&t, "the merge", f);
	if (code == FAULT_NONE)
		code = query_open(&q, rec, t.at, f);
	if (code == FAULT_NONE) {
		query_int(&q, place);
		query_int(&q, p->rank);
		query_int(&q, p->known);
	}
	for (size_t i = p->from; i < p->to && code == FAULT_NONE; i++)
		code = merge_hour(&q, p, &columns, i, f);
	query_close(&q);
	text_free(&t);
	return code;
}

/* The hours that had ended: what `past` says, but for the newest of a source whose observations want time. */
static enum fault_code merge_past(struct record *rec, int64_t place, const struct issue *issue, struct fault *f)
{
	static const enum rank ranks[] = {[ISSUE_PAST_ANALYSED] = RANK_ANALYSED, [ISSUE_PAST_OBSERVED] = RANK_OBSERVED};
	const struct hours *h = &issue->hours;
	int64_t received = issue->received, settled = issue_settled(issue);
	if (issue->past == ISSUE_PAST_NONE)
		return FAULT_NONE;
	struct part past = {h, 0, hours_ended(h, settled), ranks[issue->past], received, settled};
	struct part recent = {h, past.to, hours_ended(h, received), RANK_ANALYSED, received, received};
	return merge(rec, place, &past, f) || merge(rec, place, &recent, f) ? f->code : FAULT_NONE;
}

enum fault_code hourstore_ingest(struct record *rec, int64_t place, const struct issue *issue, struct fault *f)
{
	const struct hours *h = &issue->hours;
	int64_t received = issue->received;
	struct part forecast = {h, hours_ended(h, received), h->n, RANK_FORECAST, received, received};
	if (db_write_begin(rec, f))
		return f->code;
	enum fault_code code = FAULT_NONE;
	if (issuestore_put(rec, place, issue, f) || merge_past(rec, place, issue, f) || merge(rec, place, &forecast, f))
		code = f->code;
	return db_end(rec, code, f);
}

enum fault_code hourstore_past(struct record *rec, int64_t place, const struct issue *issue, struct fault *f)
{
	if (db_write_begin(rec, f))
		return f->code;
	return db_end(rec, merge_past(rec, place, issue, f), f);
}

enum fault_code hourstore_put_pieces(struct record *rec, int64_t place, hourstore_piece *next, void *with,
				     enum rank rank, int64_t known_at, struct fault *f)
{
	const struct hours *piece;
	enum fault_code code = FAULT_NONE;
	if (db_write_begin(rec, f))
		return f->code;
	while (code == FAULT_NONE && (piece = next(with)) != NULL) {
		struct part all = {piece, 0, piece->n, rank, known_at, known_at};
		code = merge(rec, place, &all, f);
	}
	return db_end(rec, code, f);
}

static const struct hours *only_piece(void *with)
{
	const struct hours **piece = with, *only = *piece;
	*piece = NULL;
	return only;
}

enum fault_code hourstore_put(struct record *rec, int64_t place, const struct hours *hours, enum rank rank,
			      int64_t known_at, struct fault *f)
{
	return hourstore_put_pieces(rec, place, only_piece, &hours, rank, known_at, f);
}

enum fault_code hourstore_count(struct record *rec, int64_t place, int64_t from, int64_t to, enum rank least, size_t *n,
				struct fault *f)
{
	struct query q;
	bool row = false;
	enum fault_code code = query_open(&q, rec, sql_text(SQL_HOURS_COUNT), f);
	if (code == FAULT_NONE) {
		query_int(&q, place);
		query_int(&q, from);
		query_int(&q, to);
		query_int(&q, least);
		code = query_row(&q, &row, f);
	}
	if (row)
		*n = (size_t)query_get_int(&q, 0);
	query_close(&q);
	return code;
}

static void lay_row(struct query *q, struct hours *out)
{
	enum { HOUR, RANK, VALUES, MARKS = VALUES + VARS };
	int64_t hour = query_get_int(q, HOUR);
	bool forecast = query_get_int(q, RANK) == RANK_FORECAST;
	for (int v = 0; v < VARS; v++) {
		bool window = v == VAR_WINDOW_MINIMUM || v == VAR_WINDOW_MINIMUM_SPAN;
		double x = query_get_real(q, VALUES + v);
		/* A bound foreseen says nothing once the night has passed. */
		if (isnan(x) || (window && forecast))
			continue;
		/* A better minimum ends what a lesser one said of its span. */
		if (v == VAR_WINDOW_MINIMUM)
			hours_set(out, VAR_WINDOW_MINIMUM_SPAN, hour, (double)NAN, ORIGIN_NONE);
		hours_set(out, (enum var)v, hour, x, (uint8_t)query_get_int(q, MARKS + v));
	}
}

/* Hours in [from, to) from the ranks, the best laid last. */
static enum fault_code lay_past(struct record *rec, int64_t place, int64_t from, int64_t to, struct hours *out,
				struct fault *f)
{
	struct text t;
	struct query q = {.rec = rec};
	bool row;
	text_init(&t, SQL_TEXT_MAX);
	sql_hours_read(&t);
	enum fault_code code = text_ok(&t, "the reading", f);
	if (code == FAULT_NONE)
		code = query_open(&q, rec, t.at, f);
	if (code == FAULT_NONE) {
		query_int(&q, place);
		query_int(&q, from);
		query_int(&q, to);
	}
	while (code == FAULT_NONE && (code = query_row(&q, &row, f)) == FAULT_NONE && row)
		lay_row(&q, out);
	query_close(&q);
	text_free(&t);
	return code;
}

/* Hours in [from, to) from the newest issue at the cut; before its first hour from the one before. */
static enum fault_code lay_coming(struct record *rec, int64_t place, int64_t from, int64_t cut, int64_t to,
				  struct hours *out, struct issue *newest, struct fault *f)
{
	if (issuestore_at(rec, place, cut, 0, newest, f))
		return f->code;
	int64_t first = newest->hours.n > 0 ? newest->hours.first : to;
	enum fault_code code = FAULT_NONE;
	if (first > from) {
		struct issue before;
		code = issuestore_at(rec, place, cut, 1, &before, f);
		if (code == FAULT_NONE) {
			hours_lay_over(out, &before.hours, from, first < to ? first : to);
			issue_free(&before);
		}
	}
	if (code == FAULT_NONE)
		hours_lay_over(out, &newest->hours, from, to);
	hours_free(&newest->hours);
	return code;
}

/* Hours that had ended, which `later` may have (NULL: it is not there). */
static enum fault_code lay_ended(struct record *rec, int64_t place, const struct hours *later, int64_t to,
				 struct hours *out, struct fault *f)
{
	int64_t read_to = later != NULL && later->first < to ? later->first : to;
	if (read_to > out->first && lay_past(rec, place, out->first, read_to, out, f) != FAULT_NONE)
		return f->code;
	if (read_to < to)
		hours_lay_over(out, later, read_to, to);
	return FAULT_NONE;
}

enum fault_code hourstore_known_earlier(struct record *rec, int64_t place, const struct hours *later, int64_t from,
					int64_t cut, int64_t to, struct hours *out, struct issue *newest,
					struct fault *f)
{
	assert(from % HOUR_S == 0 && to % HOUR_S == 0);
	struct issue head = {.source = ""};
	struct issue *told = newest ? newest : &head;
	if (hours_init(out, from, to > from ? (size_t)((to - from) / HOUR_S) : 0, f))
		return f->code;
	int64_t running = instant_hour(cut);
	int64_t past_end = running < to ? running : to;
	int64_t coming = running > from ? running : from;
	enum fault_code code = db_read_begin(rec, f);
	if (code == FAULT_NONE) {
		if (lay_ended(rec, place, later, past_end, out, f) ||
		    lay_coming(rec, place, coming, cut, to, out, told, f))
			code = f->code;
		code = db_end(rec, code, f);
	}
	if (code != FAULT_NONE)
		hours_free(out);
	return code;
}

enum fault_code hourstore_known(struct record *rec, int64_t place, int64_t from, int64_t cut, int64_t to,
				struct hours *out, struct issue *newest, struct fault *f)
{
	return hourstore_known_earlier(rec, place, NULL, from, cut, to, out, newest, f);
}
