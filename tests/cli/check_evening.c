#include <stdio.h>
#include <string.h>

#include "base/instant.h"
#include "cli/compose.h"
#include "lib/bed.h"
#include "lib/harness.h"
#include "lib/scratchrecord.h"
#include "note/head.h"
#include "note/subject.h"
#include "record/hourstore.h"
#include "record/outbox.h"
#include "source/answer.h"

/*
 * The evening's note against the morning's: an invented record whose issues say the same of every hour, of nights
 * without humidity, wind and cloud (calm and clear by the class: 1.5 K in the bed, 2.5 K on the leaf).
 */

enum { OFFSET = -5 * HOUR_S, AHEAD_H = 8 * 24, AFTERNOON_S = 15 * HOUR_S + 1800 };

static struct scratchrecord scratch;
static struct options options;
static struct context *c;
static struct composed *m;
static struct fault f;
static char mem[NOTE_SIZE];
static struct text t;

/* Second s of 19 May, by the garden's clock. */
static int64_t at(int s)
{
	return instant_at(bed_day(0), s, OFFSET);
}

static void setup(void)
{
	f = (struct fault){0};
	m = NULL;
	answer_init();
	scratchrecord_open(&scratch);
	options = (struct options){.command = COMMAND_EVENING,
				   .date = date_none(),
				   .since = date_none(),
				   .until = date_none(),
				   .at = at(AFTERNOON_S)};
	ck_assert_int_eq(context_new(&options, &c, &f), FAULT_NONE);
	bed_crops(&c->crops);
	bed_garden(&c->garden, UNIT_US);
	bed_planting(&c->garden, &c->crops, "green-1", "gourdlet", "2026-04-10", "2026-05-01");
	c->garden.place = place_at(44.31, -89.90, 330);
	zone_fixed("Test/Lane", OFFSET, &c->zone);
	c->record = scratch.rec;
	c->place = scratch.place;
	c->placed = true;
	text_over(&t, mem, sizeof mem);
}

static void teardown(void)
{
	compose_free(m);
	c->record = NULL; /* the scratch's own */
	context_free(c);
	scratchrecord_close(&scratch);
}

static void issue_at(int64_t when, double air_f)
{
	struct issue i;
	issue_init(&i);
	i.received = when;
	snprintf(i.source, sizeof i.source, "vale");
	ck_assert_int_eq(hours_init(&i.hours, instant_hour(when), AHEAD_H, &f), FAULT_NONE);
	for (size_t k = 0; k < AHEAD_H; k++)
		hours_set(&i.hours, VAR_AIR_TEMPERATURE, i.hours.first + (int64_t)k * HOUR_S, bed_c(air_f),
			  ORIGIN_FORECAST);
	ck_assert_msg(hourstore_ingest(c->record, c->place, &i, &f) == FAULT_NONE, "%s", f.text);
	issue_free(&i);
}

static void letter_at(int64_t cut, enum letter_kind kind)
{
	struct letter l = {
	    .date = bed_day(0), .kind = kind, .way = "screen", .cut = cut, .state = LETTER_SENT, .changed = cut};
	snprintf(l.garden, sizeof l.garden, "%s", c->garden.id);
	ck_assert_int_eq(outbox_put(c->record, &l, "a note\n", &f), FAULT_NONE);
}

#define NO ((double)NAN)

/* What the morning's forecast said of every night, and what the afternoon's says; none came in: NO. */
static const struct {
	const char *name;
	double morning_f, afternoon_f;
	const char *head; /* NULL: silent */
	int lines, changes;
} rows[] = {
    {"warm, and warm", 60, 60, NULL, 0, 0},
    {"cold, and as cold", 33, 33, NULL, 0, 0},
    {"cold, and no newer forecast", 33, NO, NULL, 0, 0},
    {"within 2 F", 33, 31.2, NULL, 0, 0},
    {"a cover is new", 60, 33, "frost likely tonight, 33 F", 1, 1},
    {"it is colder by 3 F", 34, 31, "hard frost likely tonight, 31 F", 1, 1},
    {"it is warmer by 3 F, and a cover still", 31, 34, "frost likely tonight, 34 F", 1, 1},
    {"no cover after all", 34, 50, "tonight needs no cover", 0, 1},
    {"the morning had no forecast", NO, 33, "frost likely tonight, 33 F", 1, 0},
    {"nobody had one", NO, NO, "no forecast", 1, 0},
};

START_TEST(changes)
{
	const char *row = rows[_i].name;
	if (!isnan(rows[_i].morning_f))
		issue_at(at(4 * HOUR_S), rows[_i].morning_f);
	if (!isnan(rows[_i].afternoon_f))
		issue_at(at(15 * HOUR_S), rows[_i].afternoon_f);
	ck_assert_msg(compose_evening(c, at(AFTERNOON_S), &m, &f) == FAULT_NONE, "%s", f.text);
	ROW_INT(row, m != NULL, rows[_i].head != NULL);
	if (m == NULL)
		return;
	ROW_INT(row, (int)m->lines.n, rows[_i].lines);
	ROW_INT(row, (int)m->changes.n, rows[_i].changes);
	head_words(&m->facts, &t);
	ROW_STR(row, t.at, rows[_i].head);
}
END_TEST

/* What is new for the grower hangs on what the morning's note said, at the instant it was made. */
START_TEST(against_the_note)
{
	issue_at(at(4 * HOUR_S), 60);
	issue_at(at(6 * HOUR_S + 1800), 33);
	ck_assert_int_eq(compose_evening(c, at(AFTERNOON_S), &m, &f), FAULT_NONE);
	ck_assert_ptr_nonnull(m); /* none went out: it is held against 06:00 */
	compose_free(m);
	letter_at(at(7 * HOUR_S), LETTER_MORNING);
	ck_assert_int_eq(compose_evening(c, at(AFTERNOON_S), &m, &f), FAULT_NONE);
	ck_assert_ptr_null(m);
	/* An evening's letter is no morning's. */
	letter_at(at(5 * HOUR_S), LETTER_EVENING);
	ck_assert_int_eq(compose_evening(c, at(AFTERNOON_S), &m, &f), FAULT_NONE);
	ck_assert_ptr_null(m);
	int64_t cut;
	ck_assert_int_eq(context_morning(c, bed_day(0), &cut, &f), FAULT_NONE);
	ck_assert_int_eq(cut, at(7 * HOUR_S));
	/* --date goes by it. */
	options.date = bed_day(0);
	ck_assert_int_eq(context_cut(c, &cut, &f), FAULT_NONE);
	ck_assert_int_eq(cut, at(5 * HOUR_S));
}
END_TEST

/* Nothing of trays, days and tomorrow's cold is in it. */
START_TEST(tonight_alone)
{
	bed_planting(&c->garden, &c->crops, "tray", "gourdlet", "2026-04-20", "");
	issue_at(at(4 * HOUR_S), 60);
	issue_at(at(15 * HOUR_S), 33);
	ck_assert_int_eq(compose_evening(c, at(AFTERNOON_S), &m, &f), FAULT_NONE);
	ck_assert_uint_eq(m->lines.n, 1);
	ck_assert_uint_eq(m->lines.at[0].again_n, 0);
	note_write(&m->facts, &t);
	ck_assert_ptr_nonnull(strstr(t.at, "1 COVER green-1 today by 7 pm: 33 F forecast for tonight"));
	ck_assert_ptr_null(strstr(t.at, "tray"));
	ck_assert_ptr_null(strstr(t.at, "Nights"));
	ck_assert_ptr_null(strstr(t.at, "tomorrow"));
	text_clear(&t);
	subject_write(&m->facts, &t);
	ck_assert_str_eq(t.at, "COVER green-1 today by 7 pm (Test Lane, Tue 19 May)");
}
END_TEST

START_TEST(says_since_when)
{
	issue_at(at(4 * HOUR_S), 34);
	issue_at(at(15 * HOUR_S), 50);
	ck_assert_int_eq(compose_evening(c, at(AFTERNOON_S), &m, &f), FAULT_NONE);
	note_write(&m->facts, &t);
	ck_assert_ptr_nonnull(strstr(t.at, "CHANGED since this morning: tonight no longer needs a cover on green-1"));
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("evening");
	TCase *tc = tcase_create("evening");
	tcase_add_checked_fixture(tc, setup, teardown);
	tcase_add_loop_test(tc, changes, 0, sizeof rows / sizeof *rows);
	tcase_add_test(tc, against_the_note);
	tcase_add_test(tc, tonight_alone);
	tcase_add_test(tc, says_since_when);
	suite_add_tcase(s, tc);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
