#include <signal.h>
#include <sqlite3.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

#include "base/instant.h"
#include "base/mem.h"
#include "cli/compose.h"
#include "cli/json.h"
#include "lib/bed.h"
#include "lib/faultvfs.h"
#include "lib/harness.h"
#include "lib/scratchrecord.h"
#include "record/hourstore.h"
#include "record/outbox.h"
#include "record/prune.h"
#include "record/stationstore.h"
#include "source/answer.h"

/*
 * What pruning must never change: the note, and all numbers, of each past morning that had a letter.
 *
 * An invented spring of forty days.  Four issues a day, of two services: one whose past was observed in part, one
 * that knows no past and begins late; on some days none comes in, on some no note was written.
 */

enum {
	OFFSET = -5 * HOUR_S,
	DAYS = 40,
	BACK_H = 30,
	AHEAD_H = 6 * 24,
	MORNING_S = 5 * HOUR_S + 17 * 60,
	KEEP_S = 14 * DAY_S,
	TOLD_SIZE = NOTE_SIZE + JSON_SIZE,
	MOST_POINTS = 100000
};

static struct scratchrecord scratch;
static struct options options;
static struct context *c;
static struct fault f;
static char *told[DAYS]; /* NULL where there was no letter */

/* Second s of day n of the spring, by the garden's clock. */
static int64_t at(int n, int s)
{
	return instant_at(bed_day(n - DAYS + 1), s, OFFSET);
}

/* Digits without a rule to the eye, the same each time: a linear congruence (Numerical Recipes, 2nd ed. 7.1). */
static double any(uint32_t *state, double lo, double hi)
{
	*state = *state * UINT32_C(1664525) + UINT32_C(1013904223);
	return lo + (hi - lo) * (*state >> 8) / (double)(1 << 24);
}

static void fill(struct issue *i, int64_t first, size_t n, uint32_t *state)
{
	bool cloud_told = any(state, 0, 1) < 0.3;
	ck_assert_int_eq(hours_init(&i->hours, first, n, &f), FAULT_NONE);
	for (size_t k = 0; k < n; k++) {
		int64_t hour = first + (int64_t)k * HOUR_S;
		bool past = hour + HOUR_S <= i->received;
		hours_set(&i->hours, VAR_AIR_TEMPERATURE, hour, any(state, -3, 24), ORIGIN_FORECAST);
		hours_set(&i->hours, VAR_WIND, hour, any(state, 0, 9), ORIGIN_FORECAST);
		/* A station that seldom tells of clouds, and only half of the time of rain. */
		if (!past || cloud_told)
			hours_set(&i->hours, VAR_CLOUD, hour, any(state, 0, 1), ORIGIN_FORECAST);
		if (!past || any(state, 0, 1) < 0.5)
			hours_set(&i->hours, VAR_PRECIPITATION, hour, any(state, 0, 2), ORIGIN_FORECAST);
		if (any(state, 0, 1) < 0.05) {
			hours_set(&i->hours, VAR_WINDOW_MINIMUM, hour, any(state, -5, 5), ORIGIN_FORECAST);
			hours_set(&i->hours, VAR_WINDOW_MINIMUM_SPAN, hour, 6, ORIGIN_FORECAST);
		}
	}
}

static void come_in(int64_t t, bool knows_past, uint32_t *state)
{
	struct issue i;
	issue_init(&i);
	i.received = t;
	i.issued = t - HOUR_S;
	i.past = knows_past ? ISSUE_PAST_OBSERVED : ISSUE_PAST_NONE;
	snprintf(i.source, sizeof i.source, knows_past ? "vale" : "hill");
	snprintf(i.title, sizeof i.title, "Invented %s", i.source);
	int64_t running = instant_hour(t);
	if (knows_past)
		fill(&i, running - BACK_H * HOUR_S, BACK_H + AHEAD_H, state);
	else
		fill(&i, running + 3 * HOUR_S, AHEAD_H, state);
	ck_assert_msg(hourstore_ingest(c->record, c->place, &i, &f) == FAULT_NONE, "%s", f.text);
	issue_free(&i);
}

static void letter_at(int64_t cut, int n)
{
	struct letter l = {.date = bed_day(n - DAYS + 1), .way = "screen", .cut = cut, .state = LETTER_SENT};
	snprintf(l.garden, sizeof l.garden, "%s", c->garden.id);
	ck_assert_int_eq(outbox_put(c->record, &l, "a note\n", &f), FAULT_NONE);
}

static void invent(void)
{
	static const int hours[] = {2, 4, 10, 17};
	uint32_t state = 20260519;
	for (int d = 0; d < DAYS; d++) {
		for (int k = 0; k < 4; k++)
			if (any(&state, 0, 1) < 0.8)
				come_in(at(d, hours[k] * HOUR_S + 600), any(&state, 0, 1) < 0.6, &state);
		if (d > 2 && any(&state, 0, 1) < 0.7)
			letter_at(at(d, MORNING_S), d);
	}
	struct station_day day = {"INV1", bed_day(-30), 1, 9, 0, 700};
	ck_assert_int_eq(stationstore_put(c->record, c->place, &day, 1, &f), FAULT_NONE);
}

/* The note of a morning as --date composes it, and its JSON behind it; NULL where it had no letter. */
static char *note_of(int d)
{
	struct composed *m;
	struct text t;
	int64_t cut;
	struct date day = bed_day(d - DAYS + 1);
	ck_assert_int_eq(outbox_cut(c->record, c->garden.id, day, LETTER_MORNING, &cut, &f), FAULT_NONE);
	if (cut == INSTANT_NONE)
		return NULL;
	options.date = day;
	ck_assert_msg(context_cut(c, &cut, &f) == FAULT_NONE, "%s", f.text);
	ck_assert_msg(compose(c, cut, &m, &f) == FAULT_NONE, "%s", f.text);
	text_init(&t, TOLD_SIZE);
	note_write(&m->facts, &t);
	ck_assert_int_eq(json_morning(m, false, &t, &f), FAULT_NONE);
	ck_assert_msg(text_ok(&t, "the note", &f) == FAULT_NONE, "%s", f.text);
	compose_free(m);
	return t.at;
}

/* How many of the notes, of every `step`th day, are not what they were. */
static int changed_of(int step)
{
	int n = 0;
	for (int d = 0; d < DAYS; d += step) {
		char *now = note_of(d);
		ck_assert_int_eq(now == NULL, told[d] == NULL);
		n += now != NULL && strcmp(now, told[d]) != 0;
		mem_free(now);
	}
	return n;
}

static int changed(void)
{
	return changed_of(1);
}

/* Where it is asked often. */
static int some_changed(void)
{
	enum { STEP = 7 };
	return changed_of(STEP);
}

static void use(struct record *rec)
{
	scratch.rec = c->record = rec;
}

static void reopen(void)
{
	struct record *rec;
	ck_assert_msg(record_open(scratch.path, RECORD_READ_WRITE, &rec, &f) == FAULT_NONE, "%s", f.text);
	use(rec);
}

static void setup(void)
{
	f = (struct fault){0};
	answer_init();
	faultvfs_install();
	scratchrecord_open(&scratch);
	options = (struct options){.command = COMMAND_MORNING,
				   .date = date_none(),
				   .since = date_none(),
				   .until = date_none(),
				   .at = at(DAYS, MORNING_S)};
	ck_assert_int_eq(context_new(&options, &c, &f), FAULT_NONE);
	bed_crops(&c->crops);
	bed_garden(&c->garden, UNIT_US);
	bed_planting(&c->garden, &c->crops, "green-1", "gourdlet", "2026-04-01", "2026-04-20");
	bed_planting(&c->garden, &c->crops, "red-1", "redberry", "2026-04-05", "");
	c->garden.place = place_at(44.31, -89.90, 330);
	zone_fixed("Test/Lane", OFFSET, &c->zone);
	c->place = scratch.place;
	c->placed = true;
	use(scratch.rec);
	invent();
	for (int d = 0; d < DAYS; d++)
		told[d] = note_of(d);
}

static void teardown(void)
{
	for (int d = 0; d < DAYS; d++)
		mem_free(told[d]);
	c->record = NULL; /* the scratch's own */
	context_free(c);
	scratchrecord_close(&scratch);
}

static struct pruned prune(void)
{
	struct pruned p;
	ck_assert_msg(record_prune(c->record, c->now, KEEP_S, &p, &f) == FAULT_NONE, "%s", f.text);
	return p;
}

START_TEST(no_note_changes)
{
	struct pruned p = prune();
	ck_assert_int_gt(p.hours, 50);
	ck_assert_int_gt(p.issues, 20);
	ck_assert_int_eq(changed(), 0);
	ck_assert_msg(record_shrink(c->record, &p, &f) == FAULT_NONE, "%s", f.text);
	ck_assert_int_lt(p.after, p.before);
	ck_assert_int_eq(changed(), 0);
	/* Again it finds nothing. */
	struct pruned again = prune();
	ck_assert_int_eq(again.hours + again.issues + again.runs + again.memos + again.found, 0);
	ck_assert_int_eq(again.before, p.after);
	ck_assert_msg(record_check(c->record, &f) == FAULT_NONE, "%s", f.text);
}
END_TEST

/* What the test above would find out: one careless thing each, which must change a note. */
static const struct {
	const char *row, *sql;
} CARELESS[] = {
    {"all forecast hours that passed", "DELETE FROM hours WHERE rank = 1"},
    {"hours of a forecast that anything better is known of",
     "DELETE FROM hours WHERE rank = 1 AND EXISTS (SELECT 1 FROM hours b WHERE b.hour = hours.hour AND b.rank > 1)"},
    {"issues but the last before a cut", "DELETE FROM issue WHERE received NOT IN (SELECT (SELECT max(received) FROM "
					 "issue i WHERE i.received <= l.cut) FROM letter l)"},
    {"what the forecast said of hours better known", "DELETE FROM hours WHERE rank > 1"},
};

START_TEST(carelessness_would_show)
{
	sqlite3 *db;
	ck_assert_int_eq(sqlite3_open(scratch.path, &db), SQLITE_OK);
	ck_assert_msg(sqlite3_exec(db, CARELESS[_i].sql, NULL, NULL, NULL) == SQLITE_OK, "%s", sqlite3_errmsg(db));
	ck_assert_msg(sqlite3_changes(db) > 0, "%s", CARELESS[_i].row);
	sqlite3_close(db);
	ck_assert_msg(changed() > 0, "%s", CARELESS[_i].row);
}
END_TEST

/* A child that prunes and shrinks, killed at its point-th call to the disk; false: it came to its end. */
static bool killed(long point)
{
	int status;
	record_close(c->record);
	use(NULL);
	pid_t pid = fork();
	ck_assert_int_ge(pid, 0);
	if (pid == 0) {
		reopen();
		faultvfs_kill_after(point);
		struct pruned p = prune();
		_exit(record_shrink(c->record, &p, &f) == FAULT_NONE ? 0 : 1);
	}
	ck_assert_int_eq(waitpid(pid, &status, 0), pid);
	ck_assert(WIFEXITED(status) ? WEXITSTATUS(status) == 0 : WTERMSIG(status) == SIGKILL);
	reopen();
	return WIFSIGNALED(status);
}

START_TEST(killed_at_any_point)
{
	long point = 0;
	for (; killed(point); point += 3 + point) {
		ck_assert_int_lt(point, MOST_POINTS);
		ck_assert_msg(record_check(c->record, &f) == FAULT_NONE, "point %ld: %s", point, f.text);
		ck_assert_msg(some_changed() == 0, "point %ld", point);
	}
	ck_assert_int_gt(point, 100);
	ck_assert_int_eq(changed(), 0);
}
END_TEST

/* A disk that is full, or fails, from some point on: said, and no note is another for it. */
static bool try_point(long point, bool full)
{
	struct pruned p;
	faultvfs_fail_after(point, true, full);
	enum fault_code code = record_prune(c->record, c->now, KEEP_S, &p, &f);
	if (code == FAULT_NONE)
		code = record_shrink(c->record, &p, &f);
	long refused = faultvfs_refused();
	faultvfs_off();
	ck_assert_msg(code == FAULT_NONE || (code == FAULT_IO && refused > 0), "point %ld: %d %s", point, (int)code,
		      f.text);
	record_close(c->record);
	reopen();
	ck_assert_msg(record_check(c->record, &f) == FAULT_NONE, "point %ld: %s", point, f.text);
	ck_assert_msg(some_changed() == 0, "point %ld", point);
	return refused > 0;
}

START_TEST(disk_full_or_broken)
{
	long point = 0;
	while (try_point(point, _i == 0)) {
		point += 3 + point;
		ck_assert_int_lt(point, MOST_POINTS);
	}
	ck_assert_int_gt(point, 100);
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("cli/prune");
	TCase *tc = tcase_create("prune");
	tcase_add_checked_fixture(tc, setup, teardown);
	tcase_set_timeout(tc, 120);
	tcase_add_test(tc, no_note_changes);
	tcase_add_loop_test(tc, carelessness_would_show, 0, (int)(sizeof CARELESS / sizeof CARELESS[0]));
	tcase_add_test(tc, killed_at_any_point);
	tcase_add_loop_test(tc, disk_full_or_broken, 0, 2);
	suite_add_tcase(s, tc);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
