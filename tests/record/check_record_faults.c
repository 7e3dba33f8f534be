/*
 * Every allocation and every call to the disk fails once: each deed is then
 * done wholly or not at all, it says which, and the record stays whole.
 */
#include "record/record.h"

#include <sqlite3.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "base/instant.h"
#include "base/mem.h"
#include "lib/faultvfs.h"
#include "lib/harness.h"
#include "lib/scratch.h"
#include "record/diary.h"
#include "record/fetchlog.h"
#include "record/hourstore.h"
#include "record/issuestore.h"
#include "record/outbox.h"
#include "record/stationstore.h"

enum { T0 = 1747008000, H = HOUR_S, HOURS = 96, PAST = 40, MOST_POINTS = 20000 };

static char folder[SCRATCH_SIZE], path[SCRATCH_SIZE];
static const struct place here = {4431, -8990, 330}, there = {4500, -9000, 200};
static const int64_t first_place = 1;

/* --- the deeds ------------------------------------------------------------------------------------------------------
 */

/* An invented issue, made before anything may fail. */
static struct issue old_issue, first_issue, second_issue;

static void make_issue(struct issue *i, int64_t received, double x)
{
	struct fault f;
	issue_init(i);
	(void)snprintf(i->source, sizeof i->source, "%s", "invented");
	i->received = received;
	i->past = ISSUE_PAST_ANALYSED;
	ck_assert_int_eq(hours_init(&i->hours, T0, HOURS, &f), FAULT_NONE);
	for (int k = 0; k < HOURS; k++)
		for (int v = 0; v < VAR_WINDOW_MINIMUM; v++)
			hours_set(&i->hours, (enum var)v, T0 + k * H, var_row((enum var)v)->lo + x, ORIGIN_FORECAST);
}

static enum fault_code do_open(struct record *rec, struct fault *f)
{
	struct record *mine;
	(void)rec;
	if (record_open_patient(path, RECORD_READ_WRITE, 0, &mine, f))
		return f->code;
	record_close(mine);
	return FAULT_NONE;
}

static enum fault_code do_place(struct record *rec, struct fault *f)
{
	int64_t place;
	return record_place(rec, &there, &place, f);
}

static bool done_place(struct record *rec)
{
	struct fault f;
	int64_t place;
	struct record *reader;
	(void)rec;
	ck_assert_int_eq(record_open(path, RECORD_READ_ONLY, &reader, &f), FAULT_NONE);
	enum fault_code code = record_place(reader, &there, &place, &f);
	record_close(reader);
	return code == FAULT_NONE;
}

static enum fault_code do_ingest(struct record *rec, struct fault *f)
{
	return hourstore_ingest(rec, first_place, &second_issue, f);
}

/* Both its parts and the issue itself are there, or none of them is. */
static bool done_ingest(struct record *rec)
{
	struct hours h;
	struct issue newest;
	struct fault f;
	int past = 0, coming = 0;
	ck_assert_int_eq(hourstore_known(rec, first_place, T0, T0 + 999 * H, T0 + HOURS * H, &h, &newest, &f), 0);
	for (int k = 0; k < HOURS; k++) {
		bool fresh = hours_get(&h, VAR_AIR_TEMPERATURE, T0 + k * H) > var_row(VAR_AIR_TEMPERATURE)->lo + 0.3;
		past += k < PAST && fresh;
		coming += k >= PAST && fresh;
	}
	bool stored = newest.received == second_issue.received;
	ck_assert_int_eq(past, stored ? PAST : 0);
	ck_assert_int_eq(coming, stored ? HOURS - PAST : 0);
	hours_free(&h);
	return stored;
}

static enum fault_code do_known(struct record *rec, struct fault *f)
{
	struct hours h;
	struct issue newest;
	if (hourstore_known(rec, first_place, T0, T0 + 50 * H, T0 + HOURS * H, &h, &newest, f))
		return f->code;
	ck_assert_str_eq(newest.source, "invented");
	for (int k = 0; k < HOURS; k++)
		ck_assert_double_eq(hours_get(&h, VAR_AIR_TEMPERATURE, T0 + k * H),
				    var_row(VAR_AIR_TEMPERATURE)->lo + 0.25);
	hours_free(&h);
	return FAULT_NONE;
}

static enum fault_code do_thin(struct record *rec, struct fault *f)
{
	return issuestore_thin(rec, first_place, T0 + 99 * DAY_S, NULL, 0, f);
}

static bool done_thin(struct record *rec)
{
	struct issue_row *rows;
	size_t n;
	struct fault f;
	ck_assert_int_eq(issuestore_list(rec, first_place, &rows, &n, &f), FAULT_NONE);
	mem_free(rows);
	return n == 1;
}

static enum fault_code do_list(struct record *rec, struct fault *f)
{
	struct issue_row *rows;
	size_t n;
	if (issuestore_list(rec, first_place, &rows, &n, f))
		return f->code;
	ck_assert_uint_eq(n, 2);
	ck_assert_str_eq(rows[0].source, "invented");
	mem_free(rows);
	return FAULT_NONE;
}

static enum fault_code do_diary(struct record *rec, struct fault *f)
{
	struct entry e = {.written = T0, .date = {20000}, .verb = "watered", .amount = 5};
	return diary_append(rec, "g", &e, f);
}

static bool done_diary(struct record *rec)
{
	struct entry *entries;
	size_t n;
	struct fault f;
	ck_assert_int_eq(diary_list(rec, "g", DIARY_ALL, &entries, &n, &f), FAULT_NONE);
	mem_free(entries);
	return n == 1;
}

static enum fault_code do_letter(struct record *rec, struct fault *f)
{
	struct letter l = {.garden = "g", .date = {20000}, .way = "screen", .cut = T0};
	bool fresh;
	return outbox_add(rec, &l, "a note", &fresh, f);
}

static bool done_letter(struct record *rec)
{
	struct letter l;
	bool found;
	struct fault f;
	ck_assert_int_eq(outbox_get(rec, "g", (struct date){20000}, LETTER_MORNING, "screen", &l, NULL, &found, &f),
			 FAULT_NONE);
	return found;
}

static enum fault_code do_read_letter(struct record *rec, struct fault *f)
{
	struct letter l;
	bool found;
	char *text;
	if (outbox_get(rec, "old", (struct date){1}, LETTER_MORNING, "screen", &l, &text, &found, f))
		return f->code;
	ck_assert(found);
	ck_assert_str_eq(text, "an old note");
	mem_free(text);
	return FAULT_NONE;
}

static enum fault_code do_memo(struct record *rec, struct fault *f)
{
	struct memo m = {.source = "new", .step = "grid", .asked = 5};
	return fetchlog_put(rec, first_place, &m, f);
}

static bool done_memo(struct record *rec)
{
	struct memo m;
	bool found;
	struct fault f;
	ck_assert_int_eq(fetchlog_get(rec, first_place, "new", "grid", &m, &found, &f), FAULT_NONE);
	return found;
}

static enum fault_code do_station(struct record *rec, struct fault *f)
{
	static const struct station_day days[] = {{"INV1", {1}, 1, 2, 3, 700}, {"INV1", {2}, 1, 2, 3, 700}};
	return stationstore_put(rec, first_place, days, 2, f);
}

static bool done_station(struct record *rec)
{
	struct station_day *days;
	size_t n;
	struct fault f;
	ck_assert_int_eq(stationstore_list(rec, first_place, NULL, (struct date){0}, (struct date){9}, &days, &n, &f),
			 0);
	mem_free(days);
	ck_assert(n == 0 || n == 2);
	return n == 2;
}

static const struct deed {
	const char *row;
	bool from_nothing; /* there is no record before it */
	bool opens;        /* opens and closes the record itself */
	enum fault_code (*act)(struct record *rec, struct fault *f);
	bool (*done)(struct record *rec); /* NULL: it only reads */
} deeds[] = {
    {"make", true, true, do_open, NULL},
    {"open", false, true, do_open, NULL},
    {"add a place", false, false, do_place, done_place},
    {"ingest", false, false, do_ingest, done_ingest},
    {"read the hours", false, false, do_known, NULL},
    {"thin", false, false, do_thin, done_thin},
    {"list issues", false, false, do_list, NULL},
    {"append to the diary", false, false, do_diary, done_diary},
    {"add a letter", false, false, do_letter, done_letter},
    {"read a letter", false, false, do_read_letter, NULL},
    {"put a memo", false, false, do_memo, done_memo},
    {"put station days", false, false, do_station, done_station},
};

/* --- the loop -------------------------------------------------------------------------------------------------------
 */

/* A record to begin from, as bytes. */
static char *start;
static size_t start_size;

static struct record *open_fine(const char *row)
{
	struct record *rec;
	struct fault f;
	ck_assert_msg(record_open_patient(path, RECORD_READ_WRITE, 0, &rec, &f) == FAULT_NONE, "%s: %s", row, f.text);
	return rec;
}

static void set_up(void)
{
	struct letter l = {.garden = "old", .date = {1}, .way = "screen", .cut = 5};
	struct fault f;
	int64_t place;
	/* Small blocks too must come through the gate. */
	ck_assert_int_eq(sqlite3_config(SQLITE_CONFIG_LOOKASIDE, 0, 0), SQLITE_OK);
	scratch_make(folder);
	scratch_path(folder, "record.db", path);
	make_issue(&old_issue, T0 - H, 0.25);
	make_issue(&first_issue, T0, 0.25);
	make_issue(&second_issue, T0 + PAST * H, 0.5);
	struct record *rec = open_fine("start");
	faultvfs_install();
	ck_assert_int_eq(record_place(rec, &here, &place, &f), FAULT_NONE);
	ck_assert_int_eq(place, first_place);
	ck_assert_int_eq(hourstore_ingest(rec, place, &old_issue, &f), FAULT_NONE);
	ck_assert_int_eq(hourstore_ingest(rec, place, &first_issue, &f), FAULT_NONE);
	ck_assert_int_eq(outbox_put(rec, &l, "an old note", &f), FAULT_NONE);
	record_close(rec);
	FILE *in = fopen(path, "rb");
	start = malloc(1 << 20);
	start_size = fread(start, 1, 1 << 20, in);
	fclose(in);
}

static void tear_down(void)
{
	issue_free(&old_issue);
	issue_free(&first_issue);
	issue_free(&second_issue);
	free(start);
	scratch_remove(folder);
}

static void begin_from(const struct deed *d)
{
	char journal[SCRATCH_SIZE];
	scratch_path(folder, "record.db-journal", journal);
	(void)unlink(journal);
	(void)unlink(path);
	if (d->from_nothing)
		return;
	FILE *out = fopen(path, "wb");
	ck_assert_uint_eq(fwrite(start, 1, start_size, out), start_size);
	fclose(out);
}

/* The record after a deed that said `code`: whole, and the deed is done where that was said. */
static void assert_whole(const struct deed *d, long point, enum fault_code code)
{
	struct fault f;
	struct record *rec = open_fine(d->row);
	ck_assert_msg(record_check(rec, &f) == FAULT_NONE, "%s, point %ld: %s", d->row, point, f.text);
	if (d->done)
		ck_assert_msg(d->done(rec) == (code == FAULT_NONE), "%s, point %ld: said %d", d->row, point, (int)code);
	record_close(rec);
}

/* What fails. */
enum way { MEMORY_ONCE, MEMORY_FROM_THEN_ON, DISK_ONCE, DISK_FROM_THEN_ON, FULL_ONCE, FULL_FROM_THEN_ON, WAYS };

static void arm(enum way w, long point)
{
	bool sticky = w == MEMORY_FROM_THEN_ON || w == DISK_FROM_THEN_ON || w == FULL_FROM_THEN_ON;
	if (w <= MEMORY_FROM_THEN_ON)
		mem_fail_after(point, sticky);
	else
		faultvfs_fail_after(point, sticky, w >= FULL_ONCE);
}

static long disarm(enum way w)
{
	long refused = w <= MEMORY_FROM_THEN_ON ? mem_refused() : faultvfs_refused();
	mem_fail_after(-1, false);
	faultvfs_off();
	return refused;
}

/* One deed with its point-th call failing; false once it has no such call. */
static bool try_point(const struct deed *d, enum way w, long point)
{
	struct fault f = {FAULT_NONE, ""};
	begin_from(d);
	struct record *rec = d->opens ? NULL : open_fine(d->row);
	arm(w, point);
	enum fault_code code = d->act(rec, &f);
	long refused = disarm(w);
	record_close(rec);
	enum fault_code want = w <= MEMORY_FROM_THEN_ON ? FAULT_MEMORY : FAULT_IO;
	ck_assert_msg(code == FAULT_NONE || (refused > 0 && code == want && f.text[0]),
		      "%s, way %d, point %ld: %d \"%s\"", d->row, (int)w, point, (int)code, f.text);
	assert_whole(d, point, code);
	return refused > 0;
}

START_TEST(each_point_fails)
{
	const struct deed *d = &deeds[_i / WAYS];
	enum way w = (enum way)(_i % WAYS);
	long point = 0;
	/* Dense at the start, then ever wider; DEWPOST_EVERY_POINT=1 takes its time. */
	while (try_point(d, w, point)) {
		point += getenv("DEWPOST_EVERY_POINT") ? 1 : 1 + point / 8;
		ck_assert_msg(point < MOST_POINTS, "%s never ends", d->row);
	}
	/* The layers were really between: every deed allocates and reads. */
	ck_assert_msg(point > 2, "%s, way %d: %ld points", d->row, (int)w, point);
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("record faults");
	TCase *t = tcase_create("record faults");
	tcase_add_checked_fixture(t, set_up, tear_down);
	tcase_set_timeout(t, 120);
	tcase_add_loop_test(t, each_point_fails, 0, (int)(sizeof deeds / sizeof *deeds) * WAYS);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
