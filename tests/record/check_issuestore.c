#include "record/issuestore.h"

#include <limits.h>
#include <stdio.h>
#include <string.h>

#include "base/instant.h"
#include "base/mem.h"
#include "lib/harness.h"
#include "lib/scratchrecord.h"
#include "record/hourstore.h"

enum { T0 = 1747008000, H = HOUR_S, DAY = DAY_S };

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

/* An invented issue of n hours from an hour on. */
static void come_in_from(const char *source, int64_t received, int64_t first, size_t n, double x)
{
	struct issue i;
	struct fault f;
	issue_init(&i);
	(void)snprintf(i.source, sizeof i.source, "%s", source);
	i.received = received;
	ck_assert_int_eq(hours_init(&i.hours, first, n, &f), FAULT_NONE);
	for (size_t k = 0; k < n; k++)
		hours_set(&i.hours, VAR_AIR_TEMPERATURE, i.hours.first + (int64_t)k * H, x, ORIGIN_FORECAST);
	ck_assert_msg(hourstore_ingest(rec, place, &i, &f) == FAULT_NONE, "%s", f.text);
	issue_free(&i);
}

/* From the hour it came in. */
static void come_in(const char *source, int64_t received, size_t n, double x)
{
	come_in_from(source, received, instant_hour(received), n, x);
}

static const struct {
	const char *row;
	int cut;
	size_t skip;
	const char *source;
	int received;
	double x;
} picks[] = {
    {"before all", 99, 0, "", 0, 0},
    {"at the first", 100, 0, "one", 100, 1},
    {"one before the first", 100, 1, "", 0, 0},
    {"between", 199, 0, "one", 100, 1},
    {"at the second", 200, 0, "two", 200, 2},
    {"the one before", 200, 1, "one", 100, 1},
    {"of two at once the later in the alphabet", 300, 0, "three-b", 300, 4},
    {"then the other", 300, 1, "three-a", 300, 3},
    {"then on", 9999, 2, "two", 200, 2},
    {"past all", 9999, 4, "", 0, 0},
};

START_TEST(newest_at_a_cut)
{
	struct issue i;
	struct fault f;
	come_in("three-b", T0 + 300, 5, 4);
	come_in("one", T0 + 100, 5, 1);
	come_in("three-a", T0 + 300, 5, 3);
	come_in("two", T0 + 200, 5, 2);
	ck_assert_int_eq(issuestore_at(rec, place, T0 + picks[_i].cut, picks[_i].skip, &i, &f), FAULT_NONE);
	ROW_STR(picks[_i].row, i.source, picks[_i].source);
	if (picks[_i].received) {
		ROW_INT(picks[_i].row, i.received, T0 + picks[_i].received);
		ROW_NEAR(picks[_i].row, hours_get(&i.hours, VAR_AIR_TEMPERATURE, T0), picks[_i].x, 0);
	}
	issue_free(&i);
	ck_assert_int_eq(issuestore_head_at(rec, place, T0 + picks[_i].cut, picks[_i].skip, &i, &f), FAULT_NONE);
	ROW_STR(picks[_i].row, i.source, picks[_i].source);
	ROW_TRUE(picks[_i].row, i.hours.n == 0);
	issue_free(&i);
}
END_TEST

START_TEST(list)
{
	struct issue_row *rows;
	size_t n;
	struct fault f;
	come_in("one", T0 + 100, 5, 1);
	come_in("two", T0 + 2 * H, 7, 2);
	/* The same again replaces it. */
	come_in("one", T0 + 100, 6, 1);
	ck_assert_int_eq(issuestore_list(rec, place, &rows, &n, &f), FAULT_NONE);
	ck_assert_uint_eq(n, 2);
	ck_assert_str_eq(rows[0].source, "two");
	ck_assert_int_eq(rows[0].received, T0 + 2 * H);
	ck_assert_int_eq(rows[0].first, T0 + 2 * H);
	ck_assert_str_eq(rows[1].source, "one");
	ck_assert_uint_eq(rows[1].n, 6);
	mem_free(rows);
	ck_assert_int_eq(issuestore_list(rec, place + 1, &rows, &n, &f), FAULT_NONE);
	ck_assert_uint_eq(n, 0);
	mem_free(rows);
}
END_TEST

/* Four issues a day for 30 days, at 0, 6, 12, 18 h; a cut at 7 h of each of the first 28 days but the fourth. */
START_TEST(thin)
{
	enum { DAYS = 30 };
	struct issue_span cuts[DAYS];
	size_t ncuts = 0, n;
	struct issue_row *rows;
	struct issue before, after;
	struct fault f;
	for (int d = 0; d < DAYS; d++) {
		for (int h = 0; h < 24; h += 6)
			come_in("invented", T0 + d * DAY + h * H, 3, d);
		int64_t cut = T0 + (27 - d) * DAY + 7 * H; /* in no order that matters */
		if (d < 28 && d != 3)
			cuts[ncuts++] = (struct issue_span){cut, cut};
	}
	int64_t now = T0 + 29 * DAY + 20 * H;
	ck_assert_int_eq(issuestore_at(rec, place, cuts[5].from, 0, &before, &f), FAULT_NONE);
	ck_assert_int_eq(issuestore_thin(rec, place, now, cuts, ncuts, &f), FAULT_NONE);
	ck_assert_int_eq(issuestore_list(rec, place, &rows, &n, &f), FAULT_NONE);
	int64_t line = now - 14 * (int64_t)DAY;
	size_t recent = 0, older = 0;
	for (size_t i = 0; i < n; i++) {
		if (rows[i].received >= line) {
			recent++;
			continue;
		}
		older++;
		ck_assert_int_eq((rows[i].received - T0) % DAY, 6 * H);
		ck_assert_int_ne((rows[i].received - T0) / DAY, 24);
	}
	/* Received from day 15, 20 h on: 14 days of 4.  Before it days 0 to 15, each with a cut (27 - 3 = 24 has none).
	 */
	ck_assert_uint_eq(recent, 56);
	ck_assert_uint_eq(older, 16);
	mem_free(rows);
	/* What a kept morning knows has not moved. */
	ck_assert_int_eq(issuestore_at(rec, place, cuts[5].from, 0, &after, &f), FAULT_NONE);
	ck_assert_int_eq(after.received, before.received);
	issue_free(&before);
	issue_free(&after);
	/* Again it drops nothing more. */
	ck_assert_int_eq(issuestore_thin(rec, place, now, cuts, ncuts, &f), FAULT_NONE);
	size_t again;
	ck_assert_int_eq(issuestore_list(rec, place, &rows, &again, &f), FAULT_NONE);
	ck_assert_uint_eq(again, n);
	mem_free(rows);
}
END_TEST

/* The last issue before a cut may itself be much older than the cut. */
START_TEST(thin_keeps_an_old_one_for_a_late_cut)
{
	struct issue_row *rows;
	size_t n;
	struct fault f;
	struct issue_span cut = {T0 + 20 * (int64_t)DAY, T0 + 20 * (int64_t)DAY};
	come_in("older", T0 - 5, 3, 1);
	come_in("old", T0, 3, 1);
	come_in("new", T0 + 40 * (int64_t)DAY, 3, 1);
	ck_assert_int_eq(issuestore_thin(rec, place, T0 + 40 * (int64_t)DAY, &cut, 1, &f), FAULT_NONE);
	ck_assert_int_eq(issuestore_list(rec, place, &rows, &n, &f), FAULT_NONE);
	ck_assert_uint_eq(n, 2);
	ck_assert_str_eq(rows[0].source, "new");
	ck_assert_str_eq(rows[1].source, "old");
	mem_free(rows);
}
END_TEST

/* What is kept of five old issues, "a" the oldest, an hour between them; now is 40 days later. */
static const struct {
	const char *row;
	int from, to;     /* a span, hours after "a" came in; INT_MAX: no cut at all */
	int late;         /* hours that "c" and "d" begin late */
	const char *kept; /* newest first */
} thinnings[] = {
    {"no cut: the newest of all", INT_MAX, 0, 0, "e"},
    {"a cut", 2, 2, 0, "ec"},
    {"a span over three", 1, 3, 0, "edcb"},
    {"a span before all", -9, -8, 0, "e"},
    {"a cut after all", 30, 30, 0, "e"},
    {"one that begins late wants the one before", 2, 2, 1, "ecb"},
    {"and that one no other", 3, 3, 1, "edc"},
};

START_TEST(thin_keeps)
{
	static const char *const names[] = {"a", "b", "c", "d", "e"};
	char kept[8] = "";
	struct issue_row *rows;
	size_t n;
	struct fault f;
	for (int k = 0; k < 5; k++) {
		int late = k == 2 || k == 3 ? thinnings[_i].late : 0;
		come_in_from(names[k], T0 + k * H, T0 + (k + late) * H, 6, k);
	}
	bool none = thinnings[_i].from == INT_MAX;
	struct issue_span span = {T0 + (int64_t)thinnings[_i].from * H, T0 + (int64_t)thinnings[_i].to * H};
	ck_assert_int_eq(issuestore_thin(rec, place, T0 + 40 * (int64_t)DAY, &span, none ? 0 : 1, &f), FAULT_NONE);
	ck_assert_int_eq(issuestore_list(rec, place, &rows, &n, &f), FAULT_NONE);
	for (size_t i = 0; i < n; i++)
		kept[i] = rows[i].source[0];
	ROW_STR(thinnings[_i].row, kept, thinnings[_i].kept);
	mem_free(rows);
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("issuestore");
	TCase *t = tcase_create("issuestore");
	tcase_add_checked_fixture(t, set_up, tear_down);
	tcase_add_loop_test(t, newest_at_a_cut, 0, sizeof picks / sizeof *picks);
	tcase_add_test(t, list);
	tcase_add_test(t, thin);
	tcase_add_test(t, thin_keeps_an_old_one_for_a_late_cut);
	tcase_add_loop_test(t, thin_keeps, 0, sizeof thinnings / sizeof *thinnings);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
