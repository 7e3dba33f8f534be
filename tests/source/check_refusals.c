#include "base/mem.h"
#include "source/frame.h"

/* What is refused, and the line that says why. */
static const struct {
	const char *name, *var, *members, *want;
} refused[] = {
    {"rows that are not there", WIND "unit = m/s\nkind = instant\n" ROWS, "\"y\":[]", "/x is not in the answer"},
    {"rows that are null", WIND "unit = m/s\nkind = instant\n" ROWS, "\"x\":null", "/x is not in the answer"},
    {"rows that are no array", WIND "unit = m/s\nkind = instant\n" ROWS, "\"x\":{}", "/x is no array in the answer"},
    {"array that is not there", WIND "unit = m/s\nkind = instant\ntimes = /t\nvalues = /v\ntime_format = unix\n",
     "\"t\":[1934236800]", "/v is not in the answer"},
    {"unequal lengths", WIND "unit = m/s\nkind = instant\ntimes = /t\nvalues = /v\ntime_format = unix\n",
     "\"t\":[1934236800,1934240400,1934244000],\"v\":[1,2]", "/v has 2 values beside 3 stamps"},
    {"unit that is not known", WIND "unit = @/u\nkind = instant\n" ROWS, "\"u\":\"furlong\",\"x\":[" T("00:00") "1}]",
     "unit \"furlong\" is not known for wind_speed"},
    {"unit of another family", WIND "unit = @/u\nkind = instant\n" ROWS, "\"u\":\"degC\",\"x\":[" T("00:00") "1}]",
     "unit \"degC\" is not known for wind_speed"},
    {"unit that is not there", WIND "unit = @/u\nkind = instant\n" ROWS, "\"x\":[" T("00:00") "1}]",
     "unit: /u is not in the answer"},
    {"overlapping amounts", RAIN SPAN, "\"x\":[" I("01:00:00Z/PT3H") "3}," I("02:00:00Z/PT3H") "3}]",
     "amounts overlap: the same rain would be counted twice"},
    {"amounts with one end", RAIN SPAN, "\"x\":[" I("01:00:00Z/PT3H") "3}," I("02:00:00Z/PT2H") "3}]",
     "amounts overlap: the same rain would be counted twice"},
    {"no stamp that can be read", WIND "unit = m/s\nkind = instant\n" ROWS, "\"x\":[{\"v\":1},{\"v\":2}]",
     "/t: there is no stamp"},
};

START_TEST(refuses_a_variable)
{
	const char *name = refused[_i].name;
	struct issue out;
	struct fault f = {0};
	describe("", refused[_i].var);
	/* The others live. */
	ck_assert_msg(decode_framed(refused[_i].members, FIRST, &out, &f) == FAULT_NONE, "%s: %s", name, f.text);
	const struct answer_row *row = &rep.row[1];
	ROW_TRUE(name, row->refused);
	ROW_STR(name, row->said, refused[_i].want);
	ROW_INT(name, row->hours, 0);
	for (size_t h = 0; h < out.hours.n; h++)
		ROW_TRUE(name, isnan(out.hours.value[row->var][h]));
	ROW_INT(name, out.hours.n, HOURS);
	issue_free(&out);
}
END_TEST

static const struct {
	const char *name, *body, *want;
} whole[] = {
    {"empty", "", "the answer is empty"},
    {"blank", " \r\n", "the answer is empty"},
    {"HTML", "<!DOCTYPE html><html></html>", "the answer is HTML or XML, not JSON"},
    {"cut off", "{\"air\":[{\"t\":\"2031-04-18T00:0", "the answer is cut off after 29 bytes"},
    {"cut off behind a quotation mark of a text", "{\"a\":\"\\\"}", "the answer is cut off after 9 bytes"},
    {"cut off after a comma", "{\"air\":[1,", "the answer is cut off after 10 bytes"},
    {"text", "Service Unavailable", "the answer is not JSON (near byte 0)"},
    {"broken inside", "{\"a\":1,,\"b\":2}", "the answer is not JSON (near byte "},
    {"two documents", "{}{}", "the answer goes on after its JSON (at byte 2)"},
    {"a bare value", "17", "the answer is a bare value, not an object"},
    {"null", "null", "the answer is a bare value, not an object"},
    {"an array at top level", "[{" AIR "}]",
     "no usable air temperature: /air is not in the answer (the answer is an array)"},
    {"another object", "{\"hourly\":{}}", "no usable air temperature: /air is not in the answer"},
    {"no air temperature in range", "{\"air\":[{\"t\":\"2031-04-18T00:00:00Z/PT12H\",\"v\":4000}]}",
     "no usable air temperature: none of 1 values can be used"},
    {"one missing, two out of range",
     "{\"air\":[{\"t\":\"2031-04-18T00:00:00Z/PT1H\",\"v\":4000},{\"t\":\"2031-04-18T01:00:00Z/PT1H\"},"
     "{\"t\":\"2031-04-18T02:00:00Z/PT1H\",\"v\":-4000}]}",
     "no usable air temperature: none of 2 values can be used"},
    {"nothing but null", "{\"air\":[{\"t\":\"2031-04-18T00:00:00Z/PT12H\",\"v\":null}]}",
     "no usable air temperature: /v is in none of 1 rows"},
    {"no rows", "{\"air\":[]}", "no usable air temperature: /air is empty"},
    {"the service's own words", "{\"error\":true,\"reason\":\"limit\\nexceeded\"}", "the service says: limit exceeded"},
    {"too many days",
     "{\"air\":[{\"t\":\"2031-04-18T00:00:00Z/PT1H\",\"v\":1},{\"t\":\"2031-07-28T00:00:00Z/PT1H\",\"v\":1}]}",
     "the answer spans 101 days; at most 100"},
};

START_TEST(refuses_the_whole)
{
	struct issue out;
	struct fault f = {0};
	describe("", "");
	ROW_INT(whole[_i].name, decode(whole[_i].body, FIRST, &out, &f), FAULT_DATA);
	ROW_MSG(strncmp(f.text, whole[_i].want, strlen(whole[_i].want)) == 0, "%s: %s", whole[_i].name, f.text);
	ROW_TRUE(whole[_i].name, out.hours.n == 0 && out.hours.block == NULL);
}
END_TEST

START_TEST(takes_a_hundred_days)
{
	struct issue out;
	struct fault f = {0};
	describe("", "");
	ck_assert_msg(decode("{\"air\":[{\"t\":\"2031-04-18T00:00:00Z/PT1H\",\"v\":1},"
			     "{\"t\":\"2031-07-26T23:00:00Z/PT1H\",\"v\":2}]}",
			     FIRST, &out, &f) == FAULT_NONE,
		      "%s", f.text);
	ck_assert_uint_eq(out.hours.n, ANSWER_HOURS_MAX);
	issue_free(&out);
}
END_TEST

START_TEST(cuts_the_services_words)
{
	char body[2048], said[ANSWER_ERROR_SIZE];
	struct text t;
	text_over(&t, body, sizeof body);
	text_add(&t, "{\"title\":\"x\",\"reason\":\"");
	for (int i = 0; i < 400; i++)
		text_add(&t, "\xc3\xa9");
	text_add(&t, "\"}");
	describe("", "");
	ck_assert(answer_error(&d, t.at, t.len, said));
	/* 200 bytes with the NUL, not within a character. */
	ck_assert_uint_eq(strlen(said), 198);
	struct issue out;
	struct fault f = {0};
	ck_assert_int_eq(decode(body, FIRST, &out, &f), FAULT_DATA);
	ck_assert_str_eq(f.text + strlen("the service says: "), said);
	ck_assert(answer_error(&d, "{\"title\":\"a\\u0007b\"}", 19, said));
	ck_assert_str_eq(said, "a b");
	ck_assert(!answer_error(&d, "{\"other\":\"a\"}", 13, said));
	ck_assert(!answer_error(&d, "<html>", 6, said));
}
END_TEST

START_TEST(wants_a_body_a_step)
{
	const char *bodies[] = {"{}", "{}"};
	size_t sizes[] = {2, 2};
	struct answer_given given = {bodies, sizes, 2, FIRST, NULL};
	struct issue out;
	struct fault f = {0};
	describe("", "");
	ck_assert_int_eq(answer_decode(&d, &given, &out, &rep, &f), FAULT_USAGE);
	ck_assert_str_eq(f.text, "2 answers for 1 requests; give one for each, in order");
}
END_TEST

/* A key that is absent is usual in rows: nothing is refused, but a pointer that leads nowhere is to be seen. */
START_TEST(says_what_is_in_no_row)
{
	struct issue out;
	struct fault f = {0};
	describe("", WIND "unit = @/u\nkind = instant\nrows = /x\ntime = /t\ntime_format = rfc3339\nvalue = /w\n");
	ck_assert_int_eq(decode_framed("\"x\":[" T("00:00") "1}," T("01:00") "2}]", FIRST, &out, &f), FAULT_NONE);
	const struct answer_row *row = row_of(VAR_WIND);
	ck_assert(!row->refused);
	ck_assert_uint_eq(row->missing, 2);
	ck_assert_uint_eq(row->hours, 0);
	ck_assert_str_eq(row->said, "/w is in none of 2 rows");
	issue_free(&out);
}
END_TEST

/* One stamp that cannot be read is dropped, and the reason said. */
START_TEST(says_what_stamp_is_bad)
{
	struct issue out;
	struct fault f = {0};
	describe("", WIND "unit = m/s\nkind = instant\n" ROWS);
	ck_assert_int_eq(decode_framed("\"x\":[" T("00:00") "1},{\"v\":2}]", FIRST, &out, &f), FAULT_NONE);
	const struct answer_row *row = row_of(VAR_WIND);
	ck_assert(!row->refused);
	ck_assert_uint_eq(row->hours, 1);
	ck_assert_str_eq(row->said, "/t: there is no stamp");
	issue_free(&out);
}
END_TEST

static const struct {
	const char *name, *members;
} offsets[] = {
    {"no offset", "\"y\":0"},
    {"no number", "\"o\":true"},
    {"over 18 hours", "\"o\":64801"},
    {"under 18 hours", "\"o\":-64801"},
};

/* Local times without their offset would be hours off: nothing of them is used. */
START_TEST(refuses_an_offset)
{
	struct issue out;
	struct fault f = {0};
	describe("time_offset = @/o\n",
		 WIND "unit = m/s\nkind = instant\nrows = /x\ntime = /t\ntime_format = local\nvalue = /v\n");
	ROW_INT(offsets[_i].name, decode_framed(offsets[_i].members, FIRST, &out, &f), FAULT_DATA);
	ROW_STR(offsets[_i].name, f.text, "the time offset of the answer is missing or no number of seconds");
	ROW_TRUE(offsets[_i].name, out.hours.block == NULL);
}
END_TEST

static const struct {
	const char *name, *var, *members;
} poor[] = {
    {"intervals", RAIN SPAN, "\"x\":[" I("01:00:00Z/PT4H") "6}," I("05:00:00Z/PT1H") "0}]"},
    {"rows", WIND "unit = @/u\nkind = instant\nfill = linear\nmax_gap = PT3H\n" ROWS,
     "\"u\":\"kn\",\"x\":[" T("00:00") "1}," T("02:00") "2}]"},
    {"arrays", WIND "unit = m/s\nkind = instant\ntimes = /t\nvalues = /w\ntime_format = unix\n",
     "\"t\":[1934236800,1934240400],\"w\":[1,2]"},
};

/* Memory refused at each place once, or from there on: a fault of memory, nothing kept, and at last a whole issue. */
static void starve(size_t i, bool sticky)
{
	struct issue out;
	long n = 0;
	for (;; n++) {
		struct fault f = {0};
		mem_fail_after(n, sticky);
		enum fault_code code = decode_framed(poor[i].members, FIRST, &out, &f);
		bool refused_some = mem_refused() > 0;
		mem_fail_after(-1, false);
		if (!refused_some) {
			ROW_MSG(code == FAULT_NONE, "%s: %s", poor[i].name, f.text);
			break;
		}
		ROW_MSG(code == FAULT_MEMORY, "%s, allocation %ld: %d %s", poor[i].name, n, code, f.text);
		ROW_TRUE(poor[i].name, out.hours.block == NULL && out.hours.n == 0);
	}
	ROW_TRUE(poor[i].name, n > 10);
	issue_free(&out);
}

START_TEST(survives_want_of_memory)
{
	answer_init();
	describe("", poor[_i].var);
	starve((size_t)_i, false);
	starve((size_t)_i, true);
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("refusals");
	TCase *t = tcase_create("refusals");
	tcase_add_loop_test(t, refuses_a_variable, 0, sizeof refused / sizeof refused[0]);
	tcase_add_loop_test(t, refuses_the_whole, 0, sizeof whole / sizeof whole[0]);
	tcase_add_test(t, takes_a_hundred_days);
	tcase_add_test(t, cuts_the_services_words);
	tcase_add_test(t, wants_a_body_a_step);
	tcase_add_test(t, says_what_is_in_no_row);
	tcase_add_test(t, says_what_stamp_is_bad);
	tcase_add_loop_test(t, refuses_an_offset, 0, sizeof offsets / sizeof offsets[0]);
	tcase_add_loop_test(t, survives_want_of_memory, 0, sizeof poor / sizeof poor[0]);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
