#include "record/outbox.h"

#include <stdio.h>
#include <string.h>

#include "base/instant.h"
#include "base/mem.h"
#include "lib/harness.h"
#include "lib/scratchrecord.h"

static struct scratchrecord scratch;
static struct record *rec;

static void set_up(void)
{
	scratchrecord_open(&scratch);
	rec = scratch.rec;
}

static void tear_down(void)
{
	scratchrecord_close(&scratch);
}

static struct letter letter(const char *garden, int day, const char *way, int64_t cut, enum letter_state state)
{
	struct letter l = {.date = {day}, .cut = cut, .state = state, .changed = cut + 5};
	(void)snprintf(l.garden, sizeof l.garden, "%s", garden);
	(void)snprintf(l.way, sizeof l.way, "%s", way);
	return l;
}

static void put(const char *garden, int day, const char *way, int64_t cut, enum letter_state state)
{
	struct fault f;
	struct letter l = letter(garden, day, way, cut, state);
	ck_assert_msg(outbox_put(rec, &l, "a note\n", &f) == FAULT_NONE, "%s", f.text);
}

START_TEST(a_letter_comes_back_with_its_text)
{
	static const char note[] = "Good morning\n\n 1  COVER  caf\xc3\xa9's bed \"south\"; it's 34 F\n";
	struct letter in = letter("quarry-lane", 20000, "grower@example.org", 1000, LETTER_COMPOSED), out;
	struct fault f;
	bool found = true;
	char *text = NULL;
	memcpy(in.subject, "COVER caf\xc3\xa9", sizeof "COVER caf\xc3\xa9");
	memcpy(in.said, "mail.example.org: no connection", sizeof "mail.example.org: no connection");
	in.resent = true;
	ck_assert_int_eq(outbox_get(rec, "quarry-lane", in.date, LETTER_MORNING, in.way, &out, &text, &found, &f),
			 FAULT_NONE);
	ck_assert(!found && !text);
	ck_assert_int_eq(outbox_put(rec, &in, note, &f), FAULT_NONE);
	ck_assert_int_eq(outbox_get(rec, "quarry-lane", in.date, LETTER_MORNING, in.way, &out, &text, &found, &f),
			 FAULT_NONE);
	ck_assert(found);
	ck_assert_str_eq(text, note);
	ck_assert_str_eq(out.garden, in.garden);
	ck_assert_int_eq(out.date.n, in.date.n);
	ck_assert_str_eq(out.way, in.way);
	ck_assert_int_eq(out.cut, 1000);
	ck_assert_int_eq(out.state, LETTER_COMPOSED);
	ck_assert_int_eq(out.changed, 1005);
	ck_assert_str_eq(out.subject, in.subject);
	ck_assert_str_eq(out.said, in.said);
	ck_assert(out.resent);
	mem_free(text);
	ck_assert_int_eq(outbox_get(rec, "quarry-lane", in.date, LETTER_MORNING, "screen", &out, NULL, &found, &f),
			 FAULT_NONE);
	ck_assert(!found);
}
END_TEST

START_TEST(added_once_put_again)
{
	struct letter first = letter("g", 5, "w", 1000, LETTER_SENT),
		      second = letter("g", 5, "w", 2000, LETTER_COMPOSED);
	struct letter out;
	struct fault f;
	bool fresh, found;
	ck_assert_int_eq(outbox_add(rec, &first, "first", &fresh, &f), FAULT_NONE);
	ck_assert(fresh);
	ck_assert_int_eq(outbox_add(rec, &second, "second", &fresh, &f), FAULT_NONE);
	ck_assert(!fresh);
	ck_assert_int_eq(outbox_get(rec, "g", first.date, LETTER_MORNING, "w", &out, NULL, &found, &f), FAULT_NONE);
	ck_assert_int_eq(out.cut, 1000);
	ck_assert_int_eq(out.state, LETTER_SENT);
	ck_assert_int_eq(outbox_put(rec, &second, "second", &f), FAULT_NONE);
	ck_assert_int_eq(outbox_get(rec, "g", first.date, LETTER_MORNING, "w", &out, NULL, &found, &f), FAULT_NONE);
	ck_assert_int_eq(out.cut, 2000);
}
END_TEST

START_TEST(moved_by_one_alone)
{
	struct letter l = letter("g", 5, "w", 1000, LETTER_COMPOSED), out;
	struct fault f;
	bool moved, found;
	put("g", 5, "w", 1000, LETTER_COMPOSED);
	put("g", 6, "w", 1000, LETTER_COMPOSED);
	l.state = LETTER_SENDING;
	l.changed = 1100;
	ck_assert_int_eq(outbox_move(rec, &l, LETTER_COMPOSED, &moved, &f), FAULT_NONE);
	ck_assert(moved);
	ck_assert_int_eq(outbox_move(rec, &l, LETTER_COMPOSED, &moved, &f), FAULT_NONE);
	ck_assert(!moved);
	ck_assert_int_eq(outbox_get(rec, "g", l.date, LETTER_MORNING, "w", &out, NULL, &found, &f), FAULT_NONE);
	ck_assert_int_eq(out.state, LETTER_SENDING);
	ck_assert_int_eq(out.changed, 1100);
	ck_assert_int_eq(outbox_get(rec, "g", (struct date){6}, LETTER_MORNING, "w", &out, NULL, &found, &f),
			 FAULT_NONE);
	ck_assert_int_eq(out.state, LETTER_COMPOSED);
	l = letter("g", 7, "w", 1000, LETTER_SENT);
	ck_assert_int_eq(outbox_move(rec, &l, LETTER_COMPOSED, &moved, &f), FAULT_NONE);
	ck_assert(!moved);
}
END_TEST

/* The evening's letter is one of its own: no other is found, moved or put over for it. */
START_TEST(kinds_are_apart)
{
	struct letter l = letter("g", 5, "w", 1000, LETTER_SENT), out;
	struct fault f;
	bool fresh, moved, found;
	int64_t cut = 77;
	l.kind = LETTER_EVENING;
	ck_assert_int_eq(outbox_add(rec, &l, "evening", &fresh, &f), FAULT_NONE);
	ck_assert(fresh);
	ck_assert_int_eq(outbox_get(rec, "g", l.date, LETTER_MORNING, "w", &out, NULL, &found, &f), FAULT_NONE);
	ck_assert(!found);
	ck_assert_int_eq(outbox_cut(rec, "g", l.date, LETTER_MORNING, &cut, &f), FAULT_NONE);
	ck_assert_int_eq(cut, INSTANT_NONE);
	ck_assert_int_eq(outbox_last(rec, "g", &out, &found, &f), FAULT_NONE);
	ck_assert(!found);
	put("g", 5, "w", 900, LETTER_COMPOSED);
	l.state = LETTER_FAILED;
	ck_assert_int_eq(outbox_move(rec, &l, LETTER_COMPOSED, &moved, &f), FAULT_NONE);
	ck_assert(!moved);
	ck_assert_int_eq(outbox_get(rec, "g", l.date, LETTER_EVENING, "w", &out, NULL, &found, &f), FAULT_NONE);
	ck_assert(found && out.kind == LETTER_EVENING && out.state == LETTER_SENT);
}
END_TEST

START_TEST(moved_with_what_was_said)
{
	struct letter l = letter("g", 5, "w", 1000, LETTER_SENDING), out;
	struct fault f;
	bool moved, found;
	put("g", 5, "w", 1000, LETTER_SENDING);
	l.state = LETTER_UNKNOWN;
	l.resent = true;
	memcpy(l.said, "no answer", sizeof "no answer");
	ck_assert_int_eq(outbox_move(rec, &l, LETTER_SENDING, &moved, &f), FAULT_NONE);
	ck_assert(moved);
	ck_assert_int_eq(outbox_get(rec, "g", l.date, LETTER_MORNING, "w", &out, NULL, &found, &f), FAULT_NONE);
	ck_assert_int_eq(out.state, LETTER_UNKNOWN);
	ck_assert(out.resent);
	ck_assert_str_eq(out.said, "no answer");
}
END_TEST

START_TEST(yesterdays_is_not_sent_today)
{
	static const struct {
		const char *way;
		int day;
		enum letter_state state, want;
	} rows[] = {
	    {"a", 4, LETTER_COMPOSED, LETTER_EXPIRED},  {"b", 4, LETTER_SENDING, LETTER_UNKNOWN},
	    {"c", 4, LETTER_SENT, LETTER_SENT},         {"d", 4, LETTER_UNKNOWN, LETTER_UNKNOWN},
	    {"e", 4, LETTER_FAILED, LETTER_FAILED},     {"f", 1, LETTER_COMPOSED, LETTER_EXPIRED},
	    {"g", 5, LETTER_COMPOSED, LETTER_COMPOSED}, {"h", 5, LETTER_SENDING, LETTER_SENDING},
	};
	struct letter out;
	struct fault f;
	bool found;
	for (size_t i = 0; i < sizeof rows / sizeof *rows; i++)
		put("g", rows[i].day, rows[i].way, 1000, rows[i].state);
	put("other", 4, "a", 1000, LETTER_COMPOSED);
	ck_assert_int_eq(outbox_expire(rec, "g", (struct date){5}, 2000, &f), FAULT_NONE);
	for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
		ck_assert_int_eq(outbox_get(rec, "g", (struct date){rows[i].day}, LETTER_MORNING, rows[i].way, &out,
					    NULL, &found, &f),
				 FAULT_NONE);
		ck_assert_msg(out.state == rows[i].want, "%s: %s", rows[i].way, letter_state_name(out.state));
		ck_assert_int_eq(out.changed, rows[i].state == rows[i].want ? 1005 : 2000);
	}
	ck_assert_int_eq(outbox_get(rec, "other", (struct date){4}, LETTER_MORNING, "a", &out, NULL, &found, &f),
			 FAULT_NONE);
	ck_assert_int_eq(out.state, LETTER_COMPOSED);
}
END_TEST

START_TEST(cut_of_a_day)
{
	static const struct {
		int day;
		int64_t want;
	} rows[] = {{5, INSTANT_NONE}, {6, 1000}, {7, 2500}, {8, 3000}};
	struct fault f;
	put("g", 6, "screen", 1000, LETTER_COMPOSED);
	put("h", 6, "screen", 1500, LETTER_SENT);
	put("g", 7, "screen", 2000, LETTER_COMPOSED);
	put("g", 7, "other", 2500, LETTER_FAILED);
	put("g", 8, "mail", 3000, LETTER_SENT);
	put("g", 8, "screen", 3500, LETTER_COMPOSED);
	put("g", 8, "other", 2900, LETTER_SENT);
	for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
		int64_t cut = 77;
		ck_assert_int_eq(outbox_cut(rec, "g", (struct date){rows[i].day}, LETTER_MORNING, &cut, &f),
				 FAULT_NONE);
		ck_assert_int_eq(cut, rows[i].want);
	}
}
END_TEST

START_TEST(last_delivered)
{
	struct letter out;
	struct fault f;
	bool found = true;
	ck_assert_int_eq(outbox_last(rec, "g", &out, &found, &f), FAULT_NONE);
	ck_assert(!found);
	put("g", 6, "mail", 1000, LETTER_SENT);
	put("g", 7, "mail", 2000, LETTER_SENT);
	put("g", 8, "mail", 3000, LETTER_FAILED);
	put("h", 8, "mail", 4000, LETTER_SENT);
	ck_assert_int_eq(outbox_last(rec, "g", &out, &found, &f), FAULT_NONE);
	ck_assert(found);
	ck_assert_int_eq(out.cut, 2000);
}
END_TEST

/* Local mornings at 06:00 of the day before are at 16:00 UTC of the day before that (14 h east) to 18:00 (12 h west).
 */
START_TEST(all_cuts)
{
	static const struct issue_span want[] = {
	    {1000, 1000},
	    {2000, 2000},
	    {5 * 86400 - 8 * 3600, 5 * 86400 + 18 * 3600},
	};
	struct fault f;
	struct issue_span *cuts;
	size_t n;
	ck_assert_int_eq(outbox_cuts(rec, &cuts, &n, &f), FAULT_NONE);
	ck_assert_uint_eq(n, 0);
	mem_free(cuts);
	put("g", 7, "mail", 2000, LETTER_SENT);
	put("g", 6, "mail", 1000, LETTER_SENT); /* the day before had none */
	put("h", 6, "screen", 1000, LETTER_COMPOSED);
	ck_assert_int_eq(outbox_cuts(rec, &cuts, &n, &f), FAULT_NONE);
	ck_assert_uint_eq(n, 3);
	for (size_t i = 0; i < n; i++) {
		ck_assert_int_eq(cuts[i].from, want[i].from);
		ck_assert_int_eq(cuts[i].to, want[i].to);
	}
	mem_free(cuts);
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("outbox");
	TCase *t = tcase_create("outbox");
	tcase_add_checked_fixture(t, set_up, tear_down);
	tcase_add_test(t, a_letter_comes_back_with_its_text);
	tcase_add_test(t, added_once_put_again);
	tcase_add_test(t, moved_by_one_alone);
	tcase_add_test(t, kinds_are_apart);
	tcase_add_test(t, moved_with_what_was_said);
	tcase_add_test(t, yesterdays_is_not_sent_today);
	tcase_add_test(t, cut_of_a_day);
	tcase_add_test(t, last_delivered);
	tcase_add_test(t, all_cuts);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
