/*
 * Times of rows.  Clock changes: the time zone database, America/Chicago 2025
 * (9 March 02:00 to 03:00; 2 November 02:00 back to 01:00).
 */
#include <stdio.h>
#include <string.h>

#include "base/instant.h"
#include "lib/harness.h"
#include "source/rowtime.h"

static struct zone chicago, east;

static void setup(void)
{
	struct fault f;
	ck_assert_int_eq(zone_load("America/Chicago", -2208988800, 1780000000, &chicago, &f), FAULT_NONE);
	zone_fixed("-05:00", -5 * HOUR_S, &east);
}

static const struct row {
	const char *form, *written, *want; /* want NULL: refused */
} ROWS[] = {
    {"", "2025-05-12T05:00:00-05:00", "2025-05-12T10:00:00Z"},
    {"rfc3339", "2025-05-12T05:00Z", "2025-05-12T05:00:00Z"},
    {"rfc3339", "2025-05-12T05:00", NULL},
    {"", "2025-05-12 05:00", "2025-05-12T10:00:00Z"},
    {"", "2025-01-12T05:00:30", "2025-01-12T11:00:30Z"},
    {"local", "2025-05-12 24:00", "2025-05-13T05:00:00Z"},
    {"local", "2025-12-31 24:00", "2026-01-01T06:00:00Z"},
    {"local", "2025-05-12 24:01", NULL},
    {"local", "2025-05-12 23:60", NULL},
    {"local", "2025-02-29 05:00", NULL},
    {"local", "2025-05-12 5:00", NULL},
    {"local", "2025-05-12 05:00 ", NULL},
    {"local", "2025-05-12", NULL},
    {"local", "1936-07-13 12:00", "1936-07-13T17:00:00Z"}, /* that summer on Eastern time, UTC-5 */
    {"", "1747044000", "2025-05-12T10:00:00Z"},
    {"unix", "-3600", "1969-12-31T23:00:00Z"},
    {"unix", "1e99", NULL},
    {"unix", "2025-05-12", NULL},
    {"%m/%d/%Y %H:%M", "5/12/2025 5:00", "2025-05-12T10:00:00Z"},
    {"%m/%d/%Y %H:%M", "05/12/2025  05:00", "2025-05-12T10:00:00Z"},
    {"%m/%d/%Y %I:%M %p", "5/12/2025 5:00 PM", "2025-05-12T22:00:00Z"},
    {"%m/%d/%Y %I:%M %p", "5/12/2025 12:00 am", "2025-05-12T05:00:00Z"},
    {"%m/%d/%Y %I:%M %p", "5/12/2025 12:30 pm", "2025-05-12T17:30:00Z"},
    {"%m/%d/%Y %I:%M %p", "5/12/2025 13:00 pm", NULL},
    {"%d.%m.%y %H:%M:%S", "12.05.25 05:00:07", "2025-05-12T10:00:07Z"},
    {"%d.%m.%y %H:%M", "12.05.70 05:00", "1970-05-12T10:00:00Z"},
    {"%d-%b-%Y %H%M", "12-MAY-2025 0500", "2025-05-12T10:00:00Z"},
    {"%Y%m%d%H%M", "202505120500", "2025-05-12T10:00:00Z"},
    {"%m/%d/%Y %H:%M", "5/12/2025 5:00x", NULL},
    {"%m/%d/%Y %H:%M", "5/12/2025", NULL},
    {"%m/%d/%Y %H:%M", "13/12/2025 05:00", NULL},
    {"", "May 12", NULL},
    {"", "", NULL},
    /* the hour that spring skips */
    {"local", "2025-03-09 01:59", "2025-03-09T07:59:00Z"},
    {"local", "2025-03-09 02:00", NULL},
    {"local", "2025-03-09 02:59", NULL},
    {"local", "2025-03-09 03:00", "2025-03-09T08:00:00Z"},
};

START_TEST(test_read)
{
	const struct row *row = &ROWS[_i];
	struct rowtime r;
	struct fault f;
	int64_t t = 0;
	bool doubled;
	char text[INSTANT_TEXT_SIZE];
	ck_assert_int_eq(rowtime_init(&r, row->form, &chicago, &f), FAULT_NONE);
	enum fault_code code = rowtime_read(&r, row->written, &t, &doubled, &f);
	if (row->want == NULL) {
		ROW_INT(row->written, code, FAULT_DATA);
		return;
	}
	ROW_MSG(code == FAULT_NONE, "%s: %s", row->written, f.text);
	ROW_STR(row->written, instant_text(t, text), row->want);
	ROW_TRUE(row->written, !doubled);
}
END_TEST

START_TEST(test_fixed_zone)
{
	struct rowtime r;
	struct fault f;
	int64_t t;
	bool doubled;
	char text[INSTANT_TEXT_SIZE];
	ck_assert_int_eq(rowtime_init(&r, "local", &east, &f), FAULT_NONE);
	/* Standard time has no hole. */
	ck_assert_int_eq(rowtime_read(&r, "2025-03-09 02:30", &t, &doubled, &f), FAULT_NONE);
	ck_assert_str_eq(instant_text(t, text), "2025-03-09T07:30:00Z");
	ck_assert_int_eq(rowtime_read(&r, "2025-11-02 01:30", &t, &doubled, &f), FAULT_NONE);
	ck_assert(!doubled);
}
END_TEST

/* The night that clocks go back, as files have it: what each row reads as. */
static const struct night {
	const char *name, *row[6], *want[6];
	int doubled;
} NIGHTS[] = {
    {"hours",
     {"2025-11-02 00:00", "2025-11-02 01:00", "2025-11-02 01:00", "2025-11-02 02:00"},
     {"2025-11-02T05:00:00Z", "2025-11-02T06:00:00Z", "2025-11-02T07:00:00Z", "2025-11-02T08:00:00Z"},
     2},
    {"half hours",
     {"2025-11-02 00:30", "2025-11-02 01:00", "2025-11-02 01:30", "2025-11-02 01:00", "2025-11-02 01:30",
      "2025-11-02 02:00"},
     {"2025-11-02T05:30:00Z", "2025-11-02T06:00:00Z", "2025-11-02T06:30:00Z", "2025-11-02T07:00:00Z",
      "2025-11-02T07:30:00Z", "2025-11-02T08:00:00Z"},
     4},
    {"backwards",
     {"2025-11-02 02:00", "2025-11-02 01:00", "2025-11-02 01:00", "2025-11-02 00:00"},
     {"2025-11-02T08:00:00Z", "2025-11-02T07:00:00Z", "2025-11-02T06:00:00Z", "2025-11-02T05:00:00Z"},
     2},
    {"one of the two",
     {"2025-11-02 00:00", "2025-11-02 01:00", "2025-11-02 02:00"},
     {"2025-11-02T05:00:00Z", "2025-11-02T06:00:00Z", "2025-11-02T08:00:00Z"},
     1},
    {"three",
     {"2025-11-02 01:00", "2025-11-02 01:00", "2025-11-02 01:00"},
     {"2025-11-02T06:00:00Z", "2025-11-02T07:00:00Z", "2025-11-02T07:00:00Z"},
     3},
};

START_TEST(test_night)
{
	const struct night *n = &NIGHTS[_i];
	struct rowtime r;
	struct fault f;
	int count = 0;
	ck_assert_int_eq(rowtime_init(&r, "local", &chicago, &f), FAULT_NONE);
	for (size_t i = 0; i < 6 && n->row[i] != NULL; i++) {
		int64_t t = 0;
		bool doubled;
		char text[INSTANT_TEXT_SIZE];
		ROW_MSG(rowtime_read(&r, n->row[i], &t, &doubled, &f) == FAULT_NONE, "%s: %s", n->name, f.text);
		ROW_MSG(strcmp(instant_text(t, text), n->want[i]) == 0, "%s, row %zu: %s, want %s", n->name, i, text,
			n->want[i]);
		count += doubled;
	}
	ROW_INT(n->name, count, n->doubled);
}
END_TEST

/* Every half hour of thirty years by the local clock, printed and read, is itself. */
START_TEST(test_round)
{
	struct rowtime r;
	struct fault f;
	int64_t first = 788918400, last = first + INT64_C(30) * 365 * DAY_S; /* 1995 on */
	ck_assert_int_eq(rowtime_init(&r, "local", &chicago, &f), FAULT_NONE);
	for (int64_t t = first; t < last; t += HOUR_S / 2) {
		char text[64], day[DATE_TEXT_SIZE];
		int64_t got = 0;
		bool doubled;
		int s = zone_second(&chicago, t);
		(void)snprintf(text, sizeof text, "%s %02d:%02d", date_text(zone_date(&chicago, t), day), s / HOUR_S,
			       s / 60 % 60);
		ROW_MSG(rowtime_read(&r, text, &got, &doubled, &f) == FAULT_NONE && got == t, "%s: %lld, want %lld",
			text, (long long)got, (long long)t);
	}
}
END_TEST

static const struct {
	const char *form, *written, *want;
} DAYS[] = {
    {"", "2025-05-12", "2025-05-12"},
    {"", "20250512", "2025-05-12"},
    {"%m/%d/%Y", "5/12/2025", "2025-05-12"},
    {"%d %b %y", "12 may 25", "2025-05-12"},
    {"", "2025-02-29", NULL},
    {"", "20250229", NULL},
    {"", "5/12/2025", NULL},
    {"%m/%d/%Y", "2/29/2025", NULL},
    {"", "", NULL},
};

START_TEST(test_day)
{
	struct rowtime r;
	struct fault f;
	struct date d = date_none();
	char text[DATE_TEXT_SIZE];
	ck_assert_int_eq(rowtime_init(&r, DAYS[_i].form, &chicago, &f), FAULT_NONE);
	enum fault_code code = rowtime_date(&r, DAYS[_i].written, &d, &f);
	ROW_INT(DAYS[_i].written, code, DAYS[_i].want != NULL ? FAULT_NONE : FAULT_DATA);
	if (DAYS[_i].want != NULL)
		ROW_STR(DAYS[_i].written, date_text(d, text), DAYS[_i].want);
}
END_TEST

static const struct {
	const char *form, *text;
} FORMS[] = {
    {"iso", "\"iso\" is not known; rfc3339, local, unix or a pattern as \"%m/%d/%Y %H:%M\" is right"},
    {"%Y-%q", "\"%Y-%q\": %q is not known; %Y %y %m %d %b %H %I %M %S %p are right"},
    {"%Y%", "\"%Y%\": % is not known; %Y %y %m %d %b %H %I %M %S %p are right"},
};

START_TEST(test_form)
{
	struct rowtime r;
	struct fault f;
	ROW_INT(FORMS[_i].form, rowtime_init(&r, FORMS[_i].form, &chicago, &f), FAULT_CONFIG);
	ROW_STR(FORMS[_i].form, f.text, FORMS[_i].text);
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("source/rowtime");
	TCase *t = tcase_create("rowtime");
	tcase_add_checked_fixture(t, setup, NULL);
	tcase_add_loop_test(t, test_read, 0, sizeof ROWS / sizeof ROWS[0]);
	tcase_add_test(t, test_fixed_zone);
	tcase_add_loop_test(t, test_night, 0, sizeof NIGHTS / sizeof NIGHTS[0]);
	tcase_add_test(t, test_round);
	tcase_add_loop_test(t, test_day, 0, sizeof DAYS / sizeof DAYS[0]);
	tcase_add_loop_test(t, test_form, 0, sizeof FORMS / sizeof FORMS[0]);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
