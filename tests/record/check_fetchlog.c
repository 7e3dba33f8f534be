#include "record/fetchlog.h"

#include <stdio.h>
#include <string.h>

#include "base/instant.h"
#include "base/mem.h"
#include "lib/harness.h"
#include "lib/scratchrecord.h"

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

static void put(const char *source, const char *step, int64_t asked, int status)
{
	struct fault f;
	struct memo m = {.asked = asked, .answered = INSTANT_NONE, .not_before = asked + 60, .status = status};
	(void)snprintf(m.source, sizeof m.source, "%s", source);
	(void)snprintf(m.step, sizeof m.step, "%s", step);
	(void)snprintf(m.etag, sizeof m.etag, "%s", "\"abc\"");
	(void)snprintf(m.last_modified, sizeof m.last_modified, "%s", "Mon, 12 May 2025 00:00:00 GMT");
	(void)snprintf(m.outcome, sizeof m.outcome, "%s", "fine");
	m.address = UINT64_MAX - 1;
	ck_assert_msg(fetchlog_put(rec, place, &m, &f) == FAULT_NONE, "%s", f.text);
}

START_TEST(put_and_get)
{
	struct memo m;
	struct fault f;
	bool found = true;
	ck_assert_int_eq(fetchlog_get(rec, place, "invented", "grid", &m, &found, &f), FAULT_NONE);
	ck_assert(!found);
	put("invented", "grid", 1000, 200);
	put("invented", "grid", 2000, 304);
	ck_assert_int_eq(fetchlog_get(rec, place, "invented", "grid", &m, &found, &f), FAULT_NONE);
	ck_assert(found);
	ck_assert_str_eq(m.source, "invented");
	ck_assert_str_eq(m.step, "grid");
	ck_assert_int_eq(m.asked, 2000);
	ck_assert_int_eq(m.answered, INSTANT_NONE);
	ck_assert_int_eq(m.not_before, 2060);
	ck_assert_int_eq(m.status, 304);
	ck_assert_str_eq(m.etag, "\"abc\"");
	ck_assert_str_eq(m.last_modified, "Mon, 12 May 2025 00:00:00 GMT");
	ck_assert_str_eq(m.outcome, "fine");
	ck_assert(m.address == UINT64_MAX - 1);
	ck_assert_int_eq(fetchlog_get(rec, place, "invented", "point", &m, &found, &f), FAULT_NONE);
	ck_assert(!found);
	ck_assert_int_eq(fetchlog_get(rec, place + 1, "invented", "grid", &m, &found, &f), FAULT_NONE);
	ck_assert(!found);
}
END_TEST

START_TEST(list_last_asked_first)
{
	struct memo *list;
	size_t n;
	struct fault f;
	put("b", "grid", 1000, 200);
	put("a", "grid", 3000, 200);
	put("a", "point", 2000, 500);
	ck_assert_int_eq(fetchlog_list(rec, place, &list, &n, &f), FAULT_NONE);
	ck_assert_uint_eq(n, 3);
	ck_assert_int_eq(list[0].asked, 3000);
	ck_assert_int_eq(list[1].status, 500);
	ck_assert_str_eq(list[2].source, "b");
	mem_free(list);
}
END_TEST

/* ---- shut out ---- */

static const struct {
	const char *row, *source;
	int64_t until;
} HELD[] = {
    {"a service that shut us out counts for all places", "stern", 3060},
    {"its other failures hold nobody back", "weak", INSTANT_NONE},
    {"never asked", "unknown", INSTANT_NONE},
};

START_TEST(held_wherever_it_was_asked)
{
	struct fault f;
	struct place other = place_at(60, 10, 0);
	int64_t until = 7, here = place;
	put("stern", "point", 1000, 403);
	put("stern", "grid", 2000, 200);
	put("weak", "grid", 9000, 503);
	ck_assert_int_eq(record_place(rec, &other, &place, &f), FAULT_NONE);
	put("stern", "grid", 3000, 429);
	place = here;
	ck_assert_int_eq(fetchlog_held(rec, HELD[_i].source, &until, &f), FAULT_NONE);
	ROW_INT(HELD[_i].row, until, HELD[_i].until);
}
END_TEST

/* ---- discovered ---- */

static void assert_kept(const char *step, size_t want, const char *first)
{
	struct memo_found *found;
	size_t n;
	struct fault f;
	ck_assert_int_eq(fetchlog_kept(rec, place, "invented", step, &found, &n, &f), FAULT_NONE);
	ck_assert_uint_eq(n, want);
	if (n > 0) {
		ck_assert_str_eq(found[0].value, first);
		ck_assert_int_eq(found[0].since, 1000);
	}
	mem_free(found);
}

START_TEST(keep_and_forget)
{
	static const struct memo_found two[] = {{"grid", "https://a.example/grid/1", 1000}, {"zone", "Lane", 1000}};
	static const struct memo_found one[] = {{"grid", "https://a.example/grid/2", 1000}};
	struct fault f;
	assert_kept("point", 0, "");
	ck_assert_int_eq(fetchlog_keep(rec, place, "invented", "point", two, 2, &f), FAULT_NONE);
	ck_assert_int_eq(fetchlog_keep(rec, place, "invented", "other", two, 2, &f), FAULT_NONE);
	assert_kept("point", 2, two[0].value);
	ck_assert_int_eq(fetchlog_keep(rec, place, "invented", "point", one, 1, &f), FAULT_NONE);
	assert_kept("point", 1, one[0].value);
	ck_assert_int_eq(fetchlog_keep(rec, place, "invented", "point", NULL, 0, &f), FAULT_NONE);
	assert_kept("point", 0, "");
	assert_kept("other", 2, two[0].value);
}
END_TEST

/* ---- runs ---- */

static void run_at(int64_t started, const char *said)
{
	struct fault f;
	struct run run = {
	    .source = "invented", .started = started, .code = 75, .requests = 3, .bytes = 4096, .gained = 9};
	(void)snprintf(run.said, sizeof run.said, "%s", said);
	ck_assert_msg(fetchlog_run(rec, place, &run, &f) == FAULT_NONE, "%s", f.text);
}

START_TEST(runs_come_back_the_newest_first)
{
	struct run *runs;
	size_t n;
	struct fault f;
	run_at(1000, "one");
	run_at(3000, "three");
	run_at(2000, "two");
	ck_assert_int_eq(fetchlog_runs(rec, place, 2, &runs, &n, &f), FAULT_NONE);
	ck_assert_uint_eq(n, 2);
	ck_assert_str_eq(runs[0].said, "three");
	ck_assert_str_eq(runs[1].said, "two");
	ck_assert_str_eq(runs[1].source, "invented");
	ck_assert_int_eq(runs[1].started, 2000);
	ck_assert_int_eq(runs[1].code, 75);
	ck_assert_int_eq(runs[1].requests, 3);
	ck_assert_int_eq(runs[1].bytes, 4096);
	ck_assert_int_eq(runs[1].gained, 9);
	mem_free(runs);
}
END_TEST

START_TEST(old_runs_go)
{
	struct run *runs;
	size_t n;
	struct fault f;
	run_at(1000, "goes");
	run_at(1001, "stays");
	run_at(1001 + FETCHLOG_RUNS_S, "now");
	ck_assert_int_eq(fetchlog_runs(rec, place, 10, &runs, &n, &f), FAULT_NONE);
	ck_assert_uint_eq(n, 2);
	ck_assert_str_eq(runs[1].said, "stays");
	mem_free(runs);
}
END_TEST

/* ---- supplies ---- */

static void supplied(const char *source, const char *credit, int64_t first, int64_t end)
{
	struct fault f;
	struct supply s = {.first = first, .end = end};
	(void)snprintf(s.source, sizeof s.source, "%s", source);
	(void)snprintf(s.credit, sizeof s.credit, "%s", credit);
	ck_assert_msg(fetchlog_supplied(rec, place, &s, &f) == FAULT_NONE, "%s", f.text);
}

static const struct {
	const char *row;
	int64_t from, to;
	size_t n;
} SPANS[] = {
    {"before all", 0, 1000, 0},       {"the first hour", 0, 1001, 1}, {"both", 0, 9000, 2},
    {"the last hour", 7999, 9000, 1}, {"past all", 8000, 9000, 0},
};

START_TEST(supplies_by_span)
{
	struct supply *list;
	size_t n;
	struct fault f;
	supplied("archive", "old words", 3000, 5000);
	supplied("archive", "Credit: archive", 1000, 2000);
	supplied("station", "Credit: station", 5000, 8000);
	ck_assert_int_eq(fetchlog_supplies(rec, place, SPANS[_i].from, SPANS[_i].to, &list, &n, &f), FAULT_NONE);
	ROW_INT(SPANS[_i].row, n, SPANS[_i].n);
	if (n == 2) {
		ck_assert_str_eq(list[0].credit, "Credit: archive");
		ck_assert_int_eq(list[0].first, 1000);
		ck_assert_int_eq(list[0].end, 5000);
		ck_assert_str_eq(list[1].source, "station");
	}
	mem_free(list);
}
END_TEST

#define ROWS(table) ((int)(sizeof(table) / sizeof *(table)))

static Suite *suite(void)
{
	Suite *s = suite_create("fetchlog");
	TCase *t = tcase_create("fetchlog");
	tcase_add_checked_fixture(t, set_up, tear_down);
	tcase_add_test(t, put_and_get);
	tcase_add_test(t, list_last_asked_first);
	tcase_add_loop_test(t, held_wherever_it_was_asked, 0, ROWS(HELD));
	tcase_add_test(t, keep_and_forget);
	tcase_add_test(t, runs_come_back_the_newest_first);
	tcase_add_test(t, old_runs_go);
	tcase_add_loop_test(t, supplies_by_span, 0, ROWS(SPANS));
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
