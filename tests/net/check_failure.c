#include <string.h>

#include "lib/harness.h"
#include "net/failure.h"

/* libcurl's codes by number, libcurl-errors(3): what may work later; everything else may not. */
static const struct later_row {
	int rc;
	const char *says;
} later_rows[] = {
    {5, "the proxy's name was not found"},
    {6, "the host's name was not found"},
    {7, "no connection"},
    {16, "the connection broke"},
    {18, "the answer broke off"},
    {28, "no whole answer in time"},
    {35, "no secure connection"},
    {52, "the server closed without an answer"},
    {55, "the connection broke"},
    {56, "the connection broke"},
    {61, "the compressed answer is damaged"},
    {92, "the connection broke"},
};

enum { LATER_ROWS = sizeof later_rows / sizeof later_rows[0], CACERT_BADFILE = 77 };

START_TEST(what_may_work_later)
{
	size_t later = 0;
	for (int rc = 1; rc < CURL_LAST; rc++) {
		struct fault f = {0};
		enum fault_code code = failure_set((CURLcode)rc, "in its words", &f);
		ck_assert_msg(strstr(f.text, " (in its words)") != NULL, "%d: %s", rc, f.text);
		if (later < LATER_ROWS && later_rows[later].rc == rc) {
			ck_assert_msg(code == FAULT_TRY_LATER, "%d: %d", rc, code);
			ck_assert_msg(strncmp(f.text, later_rows[later].says, strlen(later_rows[later].says)) == 0,
				      "%d: %s", rc, f.text);
			later++;
		} else {
			ck_assert_msg(code == (rc == CACERT_BADFILE ? FAULT_CONFIG : FAULT_UNAVAILABLE), "%d: %d", rc,
				      code);
		}
	}
	ck_assert_uint_eq(later, LATER_ROWS);
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("failure");
	TCase *t = tcase_create("codes");
	tcase_add_test(t, what_may_work_later);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
