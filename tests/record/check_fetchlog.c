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

static Suite *suite(void)
{
	Suite *s = suite_create("fetchlog");
	TCase *t = tcase_create("fetchlog");
	tcase_add_checked_fixture(t, set_up, tear_down);
	tcase_add_test(t, put_and_get);
	tcase_add_test(t, list_last_asked_first);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
