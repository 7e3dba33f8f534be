#include "record/hourstore.h"

#include <stdio.h>
#include <string.h>

#include "base/instant.h"
#include "base/mem.h"
#include "lib/harness.h"
#include "lib/scratchrecord.h"
#include "record/db.h"
#include "record/issuestore.h"

enum { T0 = 1747008000, H = HOUR_S }; /* 2025-05-12T00:00Z */

static struct scratchrecord scratch;
static struct record *rec;
static int64_t place;

static void set_up(void)
{
	scratchrecord_open(&scratch);
	rec = scratch.rec;
	place = scratch.place;
}

static void tear_down(void)
{
	scratchrecord_close(&scratch);
}

/* --- merging within a rank and between ranks ------------------------------------------------------------------------
 */

/* What is put for the hour T0: NaN is a hole. */
struct put {
	enum rank rank;
	int known;
	double temperature, dew;
};

enum { PUTS = 3 };

static const struct {
	const char *row;
	struct put put[PUTS];
	double temperature, dew;
	enum origin temperature_origin, dew_origin;
} merges[] = {
    {"later knowledge wins",
     {{RANK_FORECAST, 1, 1, 5}, {RANK_FORECAST, 2, 2, 6}},
     2,
     6,
     ORIGIN_FORECAST,
     ORIGIN_FORECAST},
    {"older knowledge fills holes only",
     {{RANK_FORECAST, 2, 2, NAN}, {RANK_FORECAST, 1, 1, 5}},
     2,
     5,
     ORIGIN_FORECAST,
     ORIGIN_FORECAST},
    {"each column has its own age",
     {{RANK_FORECAST, 1, 10, NAN}, {RANK_FORECAST, 2, 11, 1}, {RANK_FORECAST, 3, NAN, 2}},
     11,
     2,
     ORIGIN_FORECAST,
     ORIGIN_FORECAST},
    {"a better rank wins whatever its age",
     {{RANK_READING, 1, 4, 4}, {RANK_OBSERVED, 2, 3, 3}, {RANK_ANALYSED, 3, 2, 2}},
     4,
     4,
     ORIGIN_READING,
     ORIGIN_READING},
    {"analysed over forecast",
     {{RANK_FORECAST, 9, 1, 1}, {RANK_ANALYSED, 3, 2, 2}},
     2,
     2,
     ORIGIN_ANALYSED,
     ORIGIN_ANALYSED},
    {"observed over analysed",
     {{RANK_ANALYSED, 9, 2, 2}, {RANK_OBSERVED, 1, 3, 3}},
     3,
     3,
     ORIGIN_OBSERVED,
     ORIGIN_OBSERVED},
    {"a station with temperature alone leaves the rest",
     {{RANK_OBSERVED, 5, 3, NAN}, {RANK_FORECAST, 4, 1, 1}},
     3,
     1,
     ORIGIN_OBSERVED,
     ORIGIN_FORECAST},
    {"three ranks, a column each",
     {{RANK_READING, 5, 7, NAN}, {RANK_ANALYSED, 4, 2, 2}, {RANK_FORECAST, 6, 1, 1}},
     7,
     2,
     ORIGIN_READING,
     ORIGIN_ANALYSED},
    {"nothing at all", {{RANK_FORECAST, 1, NAN, NAN}}, NAN, NAN, ORIGIN_NONE, ORIGIN_NONE},
    {"zero is a value", {{RANK_FORECAST, 1, 9, 9}, {RANK_FORECAST, 2, 0, 0}}, 0, 0, ORIGIN_FORECAST, ORIGIN_FORECAST},
};

static const int orders[][PUTS] = {{0, 1, 2}, {0, 2, 1}, {1, 0, 2}, {1, 2, 0}, {2, 0, 1}, {2, 1, 0}};

static void put_one(const struct put *p)
{
	struct hours h;
	struct fault f;
	if (p->rank == 0)
		return;
	ck_assert_int_eq(hours_init(&h, T0, 1, &f), FAULT_NONE);
	hours_set(&h, VAR_AIR_TEMPERATURE, T0, p->temperature, ORIGIN_FORECAST);
	hours_set(&h, VAR_DEW_POINT, T0, p->dew, ORIGIN_FORECAST);
	ck_assert_int_eq(hourstore_put(rec, place, &h, p->rank, T0 + p->known, &f), FAULT_NONE);
	hours_free(&h);
}

static void assert_value(const char *row, const struct hours *h, enum var v, int64_t t, double want, enum origin o)
{
	double got = hours_get(h, v, t);
	ck_assert_msg((isnan(got) && isnan(want)) || got == want, "%s: %s is %g, want %g", row, var_row(v)->name, got,
		      want);
	ROW_INT(row, hours_origin(h, v, t), o);
}

START_TEST(merge_in_any_order)
{
	for (size_t order = 0; order < sizeof orders / sizeof *orders; order++) {
		struct hours out;
		struct fault f;
		struct place p = place_at(10, (double)order, NAN);
		ck_assert_int_eq(record_place(rec, &p, &place, &f), FAULT_NONE);
		/* Twice, as doing it again must be harmless. */
		for (int i = 0; i < 2 * PUTS; i++)
			put_one(&merges[_i].put[orders[order][i % PUTS]]);
		ck_assert_int_eq(hourstore_known(rec, place, T0, T0 + 9 * H, T0 + H, &out, NULL, &f), FAULT_NONE);
		assert_value(merges[_i].row, &out, VAR_AIR_TEMPERATURE, T0, merges[_i].temperature,
			     merges[_i].temperature_origin);
		assert_value(merges[_i].row, &out, VAR_DEW_POINT, T0, merges[_i].dew, merges[_i].dew_origin);
		hours_free(&out);
	}
}
END_TEST

/* --- windows --------------------------------------------------------------------------------------------------------
 */

struct window {
	enum rank rank;
	int known_h;
	double low, span;
};

static const struct {
	const char *row;
	struct window put[2];
	double low, span;
} windows[] = {
    {"span goes with its minimum", {{RANK_ANALYSED, 20, 3, 6}, {RANK_ANALYSED, 30, 4, 12}}, 4, 12},
    {"a later minimum without span clears it", {{RANK_ANALYSED, 20, 3, 6}, {RANK_ANALYSED, 30, 4, NAN}}, 4, NAN},
    {"a span alone is nothing", {{RANK_ANALYSED, 20, 3, 6}, {RANK_ANALYSED, 30, NAN, 12}}, 3, 6},
    {"a better rank takes the span along", {{RANK_OBSERVED, 20, 3, NAN}, {RANK_ANALYSED, 30, 4, 12}}, 3, NAN},
    {"what was foreseen does not count any more", {{RANK_FORECAST, 20, 3, 6}}, NAN, NAN},
    {"a window still open is no analysis", {{RANK_ANALYSED, 12, 3, 13}}, NAN, NAN},
    {"a window just closed is", {{RANK_ANALYSED, 13, 3, 13}}, 3, 13},
};

/* The origin that the better of two ranks gives. */
static enum origin better(const struct window put[static 2])
{
	enum rank r = put[0].rank > put[1].rank ? put[0].rank : put[1].rank;
	return r == RANK_OBSERVED ? ORIGIN_OBSERVED : ORIGIN_ANALYSED;
}

START_TEST(window_and_span)
{
	for (size_t order = 0; order < 2; order++) {
		struct hours h, out;
		struct fault f;
		struct place p = place_at(10, (double)order, NAN);
		ck_assert_int_eq(record_place(rec, &p, &place, &f), FAULT_NONE);
		for (size_t i = 0; i < 2; i++) {
			const struct window *w = &windows[_i].put[i ^ order];
			if (w->rank == 0)
				continue;
			ck_assert_int_eq(hours_init(&h, T0, 1, &f), FAULT_NONE);
			hours_set(&h, VAR_WINDOW_MINIMUM, T0, w->low, ORIGIN_FORECAST);
			hours_set(&h, VAR_WINDOW_MINIMUM_SPAN, T0, w->span, ORIGIN_FORECAST);
			ck_assert_int_eq(hourstore_put(rec, place, &h, w->rank, T0 + w->known_h * H, &f), FAULT_NONE);
			hours_free(&h);
		}
		ck_assert_int_eq(hourstore_known(rec, place, T0, T0 + 99 * H, T0 + H, &out, NULL, &f), FAULT_NONE);
		enum origin low = isnan(windows[_i].low) ? ORIGIN_NONE : better(windows[_i].put);
		assert_value(windows[_i].row, &out, VAR_WINDOW_MINIMUM, T0, windows[_i].low, low);
		assert_value(windows[_i].row, &out, VAR_WINDOW_MINIMUM_SPAN, T0, windows[_i].span,
			     isnan(windows[_i].span) ? ORIGIN_NONE : low);
		hours_free(&out);
	}
}
END_TEST

/* --- issues ---------------------------------------------------------------------------------------------------------
 */

/* An invented forecast: temperature `base` + hours since T0, wind for the even hours alone. */
static void make_issue(struct issue *i, const char *source, int64_t received, int64_t first, size_t n, double base)
{
	struct fault f;
	issue_init(i);
	(void)snprintf(i->source, sizeof i->source, "%s", source);
	(void)snprintf(i->title, sizeof i->title, "An invented service");
	(void)snprintf(i->credit, sizeof i->credit, "Data: nobody");
	i->received = received;
	i->issued = received - 600;
	i->max_age_s = 3 * H;
	i->past = ISSUE_PAST_ANALYSED;
	i->cell_latitude = 44.25;
	i->cell_longitude = -90;
	ck_assert_int_eq(hours_init(&i->hours, first, n, &f), FAULT_NONE);
	for (size_t k = 0; k < n; k++) {
		int64_t t = first + (int64_t)k * H;
		int64_t hour = (t - T0) / H;
		hours_set(&i->hours, VAR_AIR_TEMPERATURE, t, base + (double)hour / 8, ORIGIN_FORECAST);
		if (hour % 2 == 0)
			hours_set(&i->hours, VAR_WIND, t, 3, ORIGIN_INTERPOLATED | ORIGIN_WHOLE_HOUR);
	}
}

static void ingest(const char *source, int64_t received, int64_t first, size_t n, double base)
{
	struct issue i;
	struct fault f;
	make_issue(&i, source, received, first, n, base);
	ck_assert_msg(hourstore_ingest(rec, place, &i, &f) == FAULT_NONE, "%s", f.text);
	issue_free(&i);
}

static void known(int64_t from, int64_t cut, int64_t to, struct hours *out, struct issue *newest)
{
	struct fault f;
	ck_assert_msg(hourstore_known(rec, place, from, cut, to, out, newest, &f) == FAULT_NONE, "%s", f.text);
}

static const struct {
	const char *row;
	enum issue_past past;
	int received_s;       /* after T0; the issue's hours are T0 - 3 h to T0 + 3 h */
	int observed_after_s; /* 0 but where observations want time */
	enum origin before_last, last, running;
} pasts[] = {
    {"analysed", ISSUE_PAST_ANALYSED, 0, 0, ORIGIN_ANALYSED, ORIGIN_ANALYSED, ORIGIN_FORECAST},
    {"observed", ISSUE_PAST_OBSERVED, 0, 0, ORIGIN_OBSERVED, ORIGIN_OBSERVED, ORIGIN_FORECAST},
    {"left out", ISSUE_PAST_NONE, 0, 0, ORIGIN_NONE, ORIGIN_NONE, ORIGIN_FORECAST},
    {"the running hour is no past", ISSUE_PAST_ANALYSED, -1, 0, ORIGIN_ANALYSED, ORIGIN_FORECAST, ORIGIN_FORECAST},
    {"late in the running hour", ISSUE_PAST_ANALYSED, 3599, 0, ORIGIN_ANALYSED, ORIGIN_ANALYSED, ORIGIN_FORECAST},
    {"wholly foreseen", ISSUE_PAST_ANALYSED, -4 * H, 0, ORIGIN_FORECAST, ORIGIN_FORECAST, ORIGIN_FORECAST},
    {"wholly past", ISSUE_PAST_ANALYSED, 99 * H, 0, ORIGIN_ANALYSED, ORIGIN_ANALYSED, ORIGIN_ANALYSED},
    {"observed, the newest not yet", ISSUE_PAST_OBSERVED, 0, H, ORIGIN_OBSERVED, ORIGIN_ANALYSED, ORIGIN_FORECAST},
    {"a second short of it", ISSUE_PAST_OBSERVED, 0, H + 1, ORIGIN_ANALYSED, ORIGIN_ANALYSED, ORIGIN_FORECAST},
    {"late in the running hour too", ISSUE_PAST_OBSERVED, 3599, H, ORIGIN_OBSERVED, ORIGIN_ANALYSED, ORIGIN_FORECAST},
    {"so long ago that all is", ISSUE_PAST_OBSERVED, 4 * H, H, ORIGIN_OBSERVED, ORIGIN_OBSERVED, ORIGIN_OBSERVED},
    {"none of it yet", ISSUE_PAST_OBSERVED, 0, 9 * H, ORIGIN_ANALYSED, ORIGIN_ANALYSED, ORIGIN_FORECAST},
};

START_TEST(past_goes_where_the_issue_says)
{
	struct issue i;
	struct hours out;
	struct fault f;
	make_issue(&i, "invented", T0 + pasts[_i].received_s, T0 - 3 * H, 6, 10);
	i.past = pasts[_i].past;
	i.observed_after_s = pasts[_i].observed_after_s;
	ck_assert_int_eq(hourstore_ingest(rec, place, &i, &f), FAULT_NONE);
	issue_free(&i);
	/* From far later all of it is past, so only the ranks speak. */
	known(T0 - 3 * H, T0 + 999 * H, T0 + 3 * H, &out, NULL);
	ROW_INT(pasts[_i].row, hours_origin(&out, VAR_AIR_TEMPERATURE, T0 - 2 * H), pasts[_i].before_last);
	ROW_INT(pasts[_i].row, hours_origin(&out, VAR_AIR_TEMPERATURE, T0 - H), pasts[_i].last);
	ROW_INT(pasts[_i].row, hours_origin(&out, VAR_AIR_TEMPERATURE, T0), pasts[_i].running);
	/* An estimate stays one, and its bit goes with it. */
	ROW_INT(pasts[_i].row, hours_origin(&out, VAR_WIND, T0), ORIGIN_INTERPOLATED);
	ROW_TRUE(pasts[_i].row, hours_whole(&out, VAR_WIND, T0));
	hours_free(&out);
}
END_TEST

START_TEST(head_and_hours_of_an_issue_come_back)
{
	struct hours out;
	struct issue newest;
	ingest("invented", T0 + 60, T0 - 2 * H, 20, 10);
	known(T0 - H, T0 + 61, T0 + 30 * H, &out, &newest);
	ck_assert_str_eq(newest.source, "invented");
	ck_assert_str_eq(newest.title, "An invented service");
	ck_assert_str_eq(newest.credit, "Data: nobody");
	ck_assert_int_eq(newest.received, T0 + 60);
	ck_assert_int_eq(newest.issued, T0 - 540);
	ck_assert_int_eq(newest.max_age_s, 3 * H);
	ck_assert_int_eq(newest.past, ISSUE_PAST_ANALYSED);
	ck_assert_double_eq(newest.cell_latitude, 44.25);
	ck_assert_double_eq(newest.cell_longitude, -90);
	ck_assert_double_nan(newest.cell_elevation_m);
	ck_assert_uint_eq(newest.hours.n, 0);
	ck_assert_int_eq(out.first, T0 - H);
	ck_assert_uint_eq(out.n, 31);
	assert_value("past", &out, VAR_AIR_TEMPERATURE, T0 - H, 10 - 1.0 / 8, ORIGIN_ANALYSED);
	assert_value("running", &out, VAR_AIR_TEMPERATURE, T0, 10, ORIGIN_FORECAST);
	assert_value("last", &out, VAR_AIR_TEMPERATURE, T0 + 17 * H, 10 + 17.0 / 8, ORIGIN_FORECAST);
	assert_value("past its end", &out, VAR_AIR_TEMPERATURE, T0 + 18 * H, NAN, ORIGIN_NONE);
	assert_value("a hole stays one", &out, VAR_WIND, T0 + H, NAN, ORIGIN_NONE);
	hours_free(&out);
	issue_free(&newest);
}
END_TEST

START_TEST(nothing_is_said_as_nothing)
{
	struct hours out;
	struct issue newest;
	known(T0, T0 + H, T0 + 4 * H, &out, &newest);
	ck_assert_str_eq(newest.source, "");
	for (int64_t t = T0; t < T0 + 4 * H; t += H)
		assert_value("empty", &out, VAR_AIR_TEMPERATURE, t, NAN, ORIGIN_NONE);
	hours_free(&out);
	/* An issue that came in after the cut is not known at it. */
	ingest("invented", T0 + 3 * H, T0, 10, 10);
	known(T0, T0 + 3 * H - 1, T0 + 4 * H, &out, &newest);
	ck_assert_str_eq(newest.source, "");
	assert_value("later", &out, VAR_AIR_TEMPERATURE, T0 + 3 * H, NAN, ORIGIN_NONE);
	hours_free(&out);
}
END_TEST

/*
 * An old issue from T0 on, a newer one that begins at T0 + 10 h: at a cut of T0 + 6 h the hours from the running one
 * to the newer's first come from the old, a third older one is not asked.
 */
static const struct {
	const char *row;
	int hour;
	double base;
} bridges[] = {
    {"running hour, from the one before", 6, 20},
    {"just before the newest begins", 9, 20},
    {"first of the newest", 10, 30},
    {"the newest's last", 19, 30},
    {"the older runs on, but is not asked", 20, NAN},
};

START_TEST(before_the_newest_begins)
{
	struct hours out;
	ingest("invented", T0 - 9 * H, T0 - 9 * H, 60, 10);
	ingest("invented", T0, T0, 40, 20);
	ingest("invented", T0 + 6 * H, T0 + 10 * H, 10, 30);
	known(T0 + 6 * H, T0 + 6 * H + 1800, T0 + 50 * H, &out, NULL);
	int64_t t = T0 + bridges[_i].hour * H;
	assert_value(bridges[_i].row, &out, VAR_AIR_TEMPERATURE, t, bridges[_i].base + bridges[_i].hour / 8.0,
		     isnan(bridges[_i].base) ? ORIGIN_NONE : ORIGIN_FORECAST);
	hours_free(&out);
}
END_TEST

/* Where not even the issue before covers an hour, the one before that is not asked. */
START_TEST(nothing_else_is_filled)
{
	struct hours out;
	ingest("invented", T0 - 9 * H, T0 - 9 * H, 60, 10);
	ingest("invented", T0 + 1, T0 + 8 * H, 10, 20);
	ingest("invented", T0 + 2, T0 + 10 * H, 10, 30);
	known(T0, T0 + 3, T0 + 20 * H, &out, NULL);
	assert_value("hole", &out, VAR_AIR_TEMPERATURE, T0 + 7 * H, NAN, ORIGIN_NONE);
	assert_value("from the one before", &out, VAR_AIR_TEMPERATURE, T0 + 8 * H, 21, ORIGIN_FORECAST);
	hours_free(&out);
}
END_TEST

/* --- replay ---------------------------------------------------------------------------------------------------------
 */

enum { MORNINGS = 3 };

/* What is known at a cut, of the hours that had not ended by it. */
static void coming_at(int64_t cut, struct hours *out)
{
	int64_t running = instant_hour(cut);
	known(running, cut, running + 100 * H, out, NULL);
}

static void assert_same_hours(const char *row, const struct hours *a, const struct hours *b)
{
	ck_assert_uint_eq(b->n, a->n);
	for (int v = 0; v < VARS; v++)
		for (size_t i = 0; i < a->n; i++) {
			double x = a->value[v][i], y = b->value[v][i];
			ck_assert_msg((isnan(x) && isnan(y)) || x == y, "%s: %s %zu: %g and %g", row,
				      var_row((enum var)v)->name, i, x, y);
			ROW_INT(row, b->origin[v][i], a->origin[v][i]);
		}
}

START_TEST(later_issues_do_not_move_a_morning)
{
	struct hours then[MORNINGS], again;
	for (int m = 0; m < MORNINGS; m++) {
		int64_t cut = T0 + m * 24 * H + 11 * H + 300;
		/* Each morning's answer reaches back to midnight and has its own idea of everything. */
		ingest("invented", cut - 60, T0 + m * 24 * H, 72, 10 * m);
		coming_at(cut, &then[m]);
		assert_value("own", &then[m], VAR_AIR_TEMPERATURE, T0 + m * 24 * H + 12 * H,
			     10 * m + (m * 24 + 12) / 8.0, ORIGIN_FORECAST);
	}
	for (int m = 0; m < MORNINGS; m++) {
		coming_at(T0 + m * 24 * H + 11 * H + 300, &again);
		assert_same_hours("replayed", &then[m], &again);
		hours_free(&then[m]);
		hours_free(&again);
	}
}
END_TEST

/* --- doing it again -------------------------------------------------------------------------------------------------
 */

/* All rows of the hours and of the issues' heads as text; mem_free. */
static void dump(struct text *t)
{
	static const char *const tables[] = {"SELECT * FROM hours ORDER BY place, hour, rank",
					     "SELECT place, received, source, first, n, hex(hours) FROM issue"
					     " ORDER BY place, received, source"};
	struct fault f;
	text_init(t, 1 << 24);
	for (size_t i = 0; i < 2; i++) {
		struct query q;
		bool row;
		ck_assert_int_eq(query_open(&q, rec, tables[i], &f), FAULT_NONE);
		while (query_row(&q, &row, &f) == FAULT_NONE && row) {
			for (int c = 0; c < (i == 0 ? 3 + 3 * VARS : 6); c++) {
				text_add(t, query_get_string(&q, c));
				text_add(t, "|");
			}
			text_add(t, "\n");
		}
		query_close(&q);
	}
	ck_assert_int_eq(text_ok(t, "dump", &f), FAULT_NONE);
}

static void ingest_number(int i)
{
	/* Overlapping, with pasts, holes and two sources. */
	ingest(i % 2 ? "invented" : "other", T0 + i * 5 * H + 7, T0 + i * 4 * H, (size_t)(20 + 7 * (i % 3)), i);
}

START_TEST(order_and_repetition_do_not_matter)
{
	static const int some[][6] = {{5, 4, 3, 2, 1, 0}, {2, 2, 0, 5, 1, 0}, {3, 4, 0, 1, 5, 2}};
	struct text want, got;
	for (int i = 0; i < 6; i++)
		ingest_number(i);
	dump(&want);
	ck_assert_uint_gt(want.len, 1000);
	for (size_t k = 0; k < sizeof some / sizeof *some; k++) {
		tear_down();
		set_up();
		for (int i = 0; i < 6; i++)
			ingest_number(some[k][i]);
		for (int i = 0; i < 6; i++)
			ingest_number(i);
		dump(&got);
		ck_assert_str_eq(got.at, want.at);
		text_free(&got);
	}
	text_free(&want);
}
END_TEST

/* Hours that have passed are the same at both cuts, wherever the two readings begin. */
START_TEST(earlier_cut_from_a_later_reading)
{
	enum { CUTS = 12, CUT_STEP = 5 * H - 700, BACK = 10 * H, AHEAD = 60 * H };
	struct fault f;
	struct hours later, want, got;
	struct issue newest, newest_got;
	for (int i = 0; i < 6; i++)
		ingest_number(i);
	for (int a = 0; a < CUTS; a++)
		for (int b = 0; b <= a; b++) {
			int64_t cut_a = T0 + a * (int64_t)CUT_STEP, cut_b = T0 + b * (int64_t)CUT_STEP;
			int64_t from_a = T0 + (a % 3 - 1) * (int64_t)BACK, from_b = T0 + (b % 4 - 2) * (int64_t)BACK;
			known(from_a, cut_a, T0 + AHEAD, &later, NULL);
			known(from_b, cut_b, T0 + AHEAD, &want, &newest);
			ck_assert_int_eq(hourstore_known_earlier(rec, place, &later, from_b, cut_b, T0 + AHEAD, &got,
								 &newest_got, &f),
					 FAULT_NONE);
			assert_same_hours("earlier", &want, &got);
			ck_assert_int_eq(newest_got.received, newest.received);
			hours_free(&later);
			hours_free(&want);
			hours_free(&got);
		}
}
END_TEST

START_TEST(places_are_kept_apart)
{
	struct hours out;
	struct fault f;
	int64_t here = place;
	struct place p = place_at(44.32, -89.90, 330);
	ingest("invented", T0, T0 - 5 * H, 20, 10);
	ck_assert_int_eq(record_place(rec, &p, &place, &f), FAULT_NONE);
	ck_assert_int_ne(place, here);
	known(T0 - 5 * H, T0, T0 + 5 * H, &out, NULL);
	for (size_t i = 0; i < out.n; i++)
		ck_assert_double_nan(out.value[VAR_AIR_TEMPERATURE][i]);
	hours_free(&out);
}
END_TEST

/* --- what is refused ------------------------------------------------------------------------------------------------
 */

static const struct {
	const char *row;
	enum var v;
	double x;
} bad[] = {
    {"hot", VAR_AIR_TEMPERATURE, 1e300}, {"endless", VAR_AIR_TEMPERATURE, INFINITY}, {"dry", VAR_HUMIDITY, -0.01},
    {"wet", VAR_HUMIDITY, 1.01},         {"unrain", VAR_PRECIPITATION, -0.1},
};

START_TEST(out_of_range_keeps_nothing)
{
	struct issue i;
	struct fault f;
	struct text t;
	make_issue(&i, "invented", T0, T0 - 5 * H, 20, 10);
	i.hours.value[bad[_i].v][14] = bad[_i].x; /* 09:00, behind the back of hours_set */
	ROW_INT(bad[_i].row, hourstore_ingest(rec, place, &i, &f), FAULT_DATA);
	ck_assert_msg(strstr(f.text, var_row(bad[_i].v)->name) && strstr(f.text, "2025-05-12T09:00:00Z"), "%s: %s",
		      bad[_i].row, f.text);
	dump(&t);
	ck_assert_uint_eq(t.len, 0);
	text_free(&t);
	issue_free(&i);
	/* And the record is none the worse. */
	ingest("invented", T0, T0 - 5 * H, 20, 10);
}
END_TEST

/* Ten hours from five before T0, the first five analysed; hours with several ranks count once. */
static const struct {
	const char *row;
	int from_h, to_h; /* after T0 */
	enum rank least;
	size_t n;
} counts[] = {
    {"all", -9, 9, RANK_FORECAST, 10},         {"known as past", -9, 9, RANK_ANALYSED, 5},
    {"of a station", -9, 9, RANK_OBSERVED, 1}, {"the end is open", -5, -4, RANK_FORECAST, 1},
    {"none there", 5, 9, RANK_FORECAST, 0},
};

START_TEST(hours_are_counted_once)
{
	struct hours one;
	struct fault f;
	size_t n = 99;
	ingest("invented", T0, T0 - 5 * H, 10, 10);
	ck_assert_int_eq(hours_init(&one, T0 - 5 * H, 1, &f), FAULT_NONE);
	hours_set(&one, VAR_AIR_TEMPERATURE, one.first, 12, ORIGIN_OBSERVED);
	ck_assert_int_eq(hourstore_put(rec, place, &one, RANK_OBSERVED, T0, &f), FAULT_NONE);
	hours_free(&one);
	ck_assert_int_eq(
	    hourstore_count(rec, place, T0 + counts[_i].from_h * H, T0 + counts[_i].to_h * H, counts[_i].least, &n, &f),
	    FAULT_NONE);
	ROW_INT(counts[_i].row, n, counts[_i].n);
}
END_TEST

START_TEST(unknown_place_is_refused)
{
	struct issue i;
	struct fault f;
	make_issue(&i, "invented", T0, T0 - 5 * H, 20, 10);
	ck_assert_int_eq(hourstore_ingest(rec, place + 1, &i, &f), FAULT_DATA);
	issue_free(&i);
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("hourstore");
	TCase *t = tcase_create("hourstore");
	tcase_add_checked_fixture(t, set_up, tear_down);
	tcase_add_loop_test(t, merge_in_any_order, 0, sizeof merges / sizeof *merges);
	tcase_add_loop_test(t, window_and_span, 0, sizeof windows / sizeof *windows);
	tcase_add_loop_test(t, past_goes_where_the_issue_says, 0, sizeof pasts / sizeof *pasts);
	tcase_add_test(t, head_and_hours_of_an_issue_come_back);
	tcase_add_test(t, nothing_is_said_as_nothing);
	tcase_add_loop_test(t, before_the_newest_begins, 0, sizeof bridges / sizeof *bridges);
	tcase_add_test(t, nothing_else_is_filled);
	tcase_add_test(t, later_issues_do_not_move_a_morning);
	tcase_add_test(t, order_and_repetition_do_not_matter);
	tcase_add_test(t, earlier_cut_from_a_later_reading);
	tcase_add_test(t, places_are_kept_apart);
	tcase_add_loop_test(t, out_of_range_keeps_nothing, 0, sizeof bad / sizeof *bad);
	tcase_add_loop_test(t, hours_are_counted_once, 0, sizeof counts / sizeof *counts);
	tcase_add_test(t, unknown_place_is_refused);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
