#include "cli/backfill.h"

#include <stdio.h>
#include <string.h>

#include "base/instant.h"
#include "base/mem.h"
#include "lib/harness.h"
#include "lib/marsh.h"
#include "lib/server.h"
#include "record/fetchlog.h"
#include "record/hourstore.h"

/*
 * An invented archive, three days at a time and two days late; it is 12 May.  Its
 * hours of day d say d + hour / 100 deg C.
 */

enum { PIECES = 4, BODY_SIZE = 8192, DAY_HOURS = 24 };

static struct marsh m;
static struct server s;
static struct backfill_result got;
static char bodies[PIECES][BODY_SIZE];

static struct date may(int day)
{
	struct date d;
	ck_assert(date_of(2026, 5, day, &d));
	return d;
}

static int64_t hour_of(int day, int hour)
{
	return instant_at(may(day), hour * HOUR_S, 0);
}

/* Days first to last; the hours of day `without` are null. */
static const char *body(size_t i, int first, int last, int without)
{
	struct text t;
	text_over(&t, bodies[i], BODY_SIZE);
	text_add(&t, "{\"at\":[");
	for (int64_t h = hour_of(first, 0); h < hour_of(last + 1, 0); h += HOUR_S)
		text_addf(&t, "%s%lld", t.at[t.len - 1] == '[' ? "" : ",", (long long)h);
	text_add(&t, "],\"air\":[");
	for (int day = first; day <= last; day++)
		for (int hour = 0; hour < DAY_HOURS; hour++)
			text_addf(&t, day == without ? "%snull" : "%s%d.%02d", t.at[t.len - 1] == '[' ? "" : ",", day,
				  hour);
	text_add(&t, "]}");
	ck_assert(!t.full);
	return t.at;
}

static struct server_row script[8];

static void serve(size_t n)
{
	char base[64];
	server_start(&s, script, n);
	snprintf(base, sizeof base, "http://127.0.0.1:%d", s.port);
	marsh_describe(&m, "fixtures/net/attic.ini", base);
}

static void serve_all(void)
{
	script[0] = (struct server_row){.path = "/attic?from=2026-05-01&to=2026-05-03", .body = body(0, 1, 3, 0)};
	script[1] = (struct server_row){.path = "/attic?from=2026-05-04&to=2026-05-06", .body = body(1, 4, 6, 0)};
	script[2] = (struct server_row){.path = "/attic?from=2026-05-07&to=2026-05-09", .body = body(2, 7, 9, 0)};
	script[3] = (struct server_row){.path = "/attic?from=2026-05-10&to=2026-05-10", .body = body(3, 10, 10, 0)};
}

static void setup(void)
{
	marsh_open(&m);
	serve_all();
}

static void teardown(void)
{
	marsh_close(&m);
}

static enum fault_code fill(struct date since)
{
	m.f = (struct fault){0};
	m.job.now = m.now;
	return backfill_run(&m.job, since, &got, &m.f);
}

#define FINE(call) ck_assert_msg((call) == FAULT_NONE, "%s", m.f.text)

static void assert_hour(int day, int hour)
{
	struct hours h;
	int64_t t = hour_of(day, hour);
	FINE(hourstore_known(m.scratch.rec, m.scratch.place, t, m.now, t + HOUR_S, &h, NULL, &m.f));
	ROW_NEAR("hour", hours_get(&h, VAR_AIR_TEMPERATURE, t), day + hour / 100.0, 1e-9);
	ck_assert_int_eq(hours_origin(&h, VAR_AIR_TEMPERATURE, t), ORIGIN_OBSERVED);
	hours_free(&h);
}

START_TEST(in_pieces)
{
	serve(4);
	FINE(fill(may(1)));
	ck_assert_uint_eq(server_asked(&s), 4);
	ck_assert_int_eq(got.pieces, 4);
	ck_assert_int_eq(got.days, 10);
	ck_assert_int_eq(got.last.n, may(10).n);
	ck_assert_uint_eq(got.gained, 10 * DAY_HOURS);
	ck_assert_uint_eq(got.missing, 0);
	ck_assert_int_eq(got.requests, 4);
	ck_assert_int_eq(m.slept_ms, (int64_t)3 * BACKFILL_PAUSE_MS);
	assert_hour(1, 0);
	assert_hour(5, 13);
	assert_hour(10, 23);
	/* Once more asks for nothing. */
	FINE(fill(may(1)));
	ck_assert_int_eq(got.requests, 0);
	ck_assert_uint_eq(server_asked(&s), 4);
	server_stop(&s);
}
END_TEST

START_TEST(no_forecast_is_made_of_it)
{
	struct issue newest;
	struct hours h;
	struct memo *memos;
	struct supply *list;
	size_t n;
	serve(4);
	FINE(fill(may(1)));
	FINE(hourstore_known(m.scratch.rec, m.scratch.place, MARSH_NOW, m.now, MARSH_NOW, &h, &newest, &m.f));
	ck_assert_str_eq(newest.source, "");
	hours_free(&h);
	FINE(fetchlog_list(m.scratch.rec, m.scratch.place, &memos, &n, &m.f));
	ck_assert_uint_eq(n, 0);
	mem_free(memos);
	/* But who gave it must be credited. */
	FINE(fetchlog_supplies(m.scratch.rec, m.scratch.place, hour_of(1, 0), hour_of(11, 0), &list, &n, &m.f));
	ck_assert_uint_eq(n, 1);
	ck_assert_str_eq(list[0].credit, "Past weather: Attic (invented)");
	ck_assert_int_eq(list[0].first, hour_of(1, 0));
	ck_assert_int_eq(list[0].end, hour_of(11, 0));
	mem_free(list);
	server_stop(&s);
}
END_TEST

START_TEST(broken_off_and_gone_on)
{
	script[4] = script[2];
	script[2].act = SERVER_CLOSE;
	script[2].times = 3;
	serve(5);
	ck_assert_int_eq(fill(may(1)), FAULT_TRY_LATER);
	ck_assert_msg(strstr(m.f.text, "2026-05-07 to 2026-05-09: attic, step attic: tried 3 times: ") == m.f.text,
		      "%s", m.f.text);
	ck_assert_int_eq(got.pieces, 2);
	ck_assert_uint_eq(got.gained, 6 * DAY_HOURS);
	ck_assert_uint_eq(got.missing, 4 * DAY_HOURS);
	assert_hour(6, 23);
	FINE(fill(may(1)));
	ck_assert_int_eq(got.requests, 2);
	ck_assert_uint_eq(got.gained, 4 * DAY_HOURS);
	assert_hour(10, 23);
	server_stop(&s);
}
END_TEST

/* What is known from elsewhere is not asked for. */
START_TEST(holes_alone)
{
	struct hours known;
	ck_assert_int_eq(hours_init(&known, hour_of(4, 0), 3 * DAY_HOURS, &m.f), FAULT_NONE);
	for (int day = 4; day <= 6; day++)
		for (int hour = 0; hour < DAY_HOURS; hour++)
			hours_set(&known, VAR_AIR_TEMPERATURE, hour_of(day, hour), day + hour / 100.0, ORIGIN_OBSERVED);
	FINE(hourstore_put(m.scratch.rec, m.scratch.place, &known, RANK_OBSERVED, m.now, &m.f));
	hours_free(&known);
	script[0] = (struct server_row){.path = "/attic?from=2026-05-02&to=2026-05-03", .body = body(0, 2, 3, 0)};
	serve(4);
	FINE(fill(may(2)));
	/* 2 to 4 May as 2 and 3, for a piece ends where all is known; then 7 to 9, and 10. */
	ck_assert_int_eq(got.requests, 3);
	ck_assert_uint_eq(got.gained, 6 * DAY_HOURS);
	ck_assert_uint_eq(got.missing, 0);
	server_stop(&s);
}
END_TEST

/* What the service did not have is asked for again the next time, and nothing else. */
START_TEST(what_it_did_not_have)
{
	script[1] = (struct server_row){.path = "/attic?from=2026-05-08&to=2026-05-08", .body = body(1, 8, 8, 0)};
	script[2].body = body(2, 7, 9, 8);
	serve(4);
	FINE(fill(may(7)));
	ck_assert_uint_eq(got.missing, DAY_HOURS);
	FINE(fill(may(7)));
	ck_assert_int_eq(got.requests, 1);
	ck_assert_uint_eq(got.missing, 0);
	assert_hour(8, 7);
	server_stop(&s);
}
END_TEST

/* A service that shuts us out is left alone, and no forecast is asked of it either. */
START_TEST(shut_out)
{
	script[0].status = "429 Slow Down";
	serve(4);
	ck_assert_int_eq(fill(may(1)), FAULT_TRY_LATER);
	ck_assert_int_eq(got.requests, 1);
	m.now += 600;
	ck_assert_int_eq(fill(may(1)), FAULT_TRY_LATER);
	ck_assert_int_eq(got.requests, 0);
	ck_assert_int_eq(marsh_fetch(&m), FAULT_TRY_LATER);
	ck_assert_uint_eq(server_asked(&s), 1);
	m.now += HOUR_S;
	ck_assert_int_eq(fill(may(1)), FAULT_TRY_LATER);
	ck_assert_int_eq(got.requests, 1);
	server_stop(&s);
}
END_TEST

static const struct {
	const char *row, *file;
	int year, month, day;
	enum fault_code code;
	const char *says;
} REFUSED[] = {
    {"not there yet", "fixtures/net/attic.ini", 2026, 5, 11, FAULT_USAGE,
     "the newest day that attic can have is 2026-05-10"},
    {"a slip of the hand", "fixtures/net/attic.ini", 206, 5, 11, FAULT_USAGE, "more than 10 years back"},
    {"a forecast alone", MARSH_FILE, 2026, 5, 1, FAULT_CONFIG, "its url has no {start} and {end}"},
};

START_TEST(refused)
{
	struct date since;
	ck_assert(date_of(REFUSED[_i].year, REFUSED[_i].month, REFUSED[_i].day, &since));
	marsh_describe(&m, REFUSED[_i].file, "http://127.0.0.1:1");
	ROW_INT(REFUSED[_i].row, fill(since), REFUSED[_i].code);
	ck_assert_msg(strstr(m.f.text, REFUSED[_i].says) != NULL, "%s: %s", REFUSED[_i].row, m.f.text);
	ROW_INT(REFUSED[_i].row, got.requests, 0);
}
END_TEST

static Suite *suite(void)
{
	Suite *suite = suite_create("backfill");
	TCase *t = tcase_create("backfill");
	tcase_set_timeout(t, 60);
	tcase_add_checked_fixture(t, setup, teardown);
	tcase_add_test(t, in_pieces);
	tcase_add_test(t, no_forecast_is_made_of_it);
	tcase_add_test(t, broken_off_and_gone_on);
	tcase_add_test(t, holes_alone);
	tcase_add_test(t, what_it_did_not_have);
	tcase_add_test(t, shut_out);
	tcase_add_loop_test(t, refused, 0, (int)(sizeof REFUSED / sizeof *REFUSED));
	suite_add_tcase(suite, t);
	return suite;
}

int main(void)
{
	return harness_run(suite());
}
