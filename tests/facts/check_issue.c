#include "base/instant.h"
#include "facts/issue.h"
#include "lib/harness.h"

START_TEST(starts_empty_and_knows_nothing)
{
	struct issue i;
	issue_init(&i);
	ck_assert_str_eq(i.source, "");
	ck_assert_str_eq(i.credit, "");
	ck_assert_int_eq(i.past, ISSUE_PAST_NONE);
	ck_assert(i.received == INSTANT_NONE);
	ck_assert(issue_made(&i) == INSTANT_NONE);
	ck_assert(isnan(i.cell_latitude) && isnan(i.cell_longitude) && isnan(i.cell_elevation_m));
	ck_assert_uint_eq(i.hours.n, 0);
	issue_free(&i);
}
END_TEST

START_TEST(age_counts_from_the_making)
{
	struct issue i;
	issue_init(&i);
	i.received = 7200;
	ck_assert_int_eq(issue_made(&i), 7200);
	i.issued = 3600;
	ck_assert_int_eq(issue_made(&i), 3600);
	i.issued = 0; /* the epoch is an instant like any other */
	ck_assert_int_eq(issue_made(&i), 0);
}
END_TEST

START_TEST(observations_want_time)
{
	struct issue i;
	issue_init(&i);
	i.received = 7200;
	ck_assert_int_eq(issue_settled(&i), 7200);
	i.observed_after_s = 3600;
	ck_assert_int_eq(issue_settled(&i), 3600);
}
END_TEST

START_TEST(gives_its_hours_back)
{
	struct issue i;
	struct fault f;
	issue_init(&i);
	ck_assert_int_eq(hours_init(&i.hours, 0, 48, &f), FAULT_NONE);
	issue_free(&i);
	ck_assert_ptr_null(i.hours.block);
	issue_free(&i);
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("issue");
	TCase *c = tcase_create("issue");
	tcase_add_test(c, starts_empty_and_knows_nothing);
	tcase_add_test(c, age_counts_from_the_making);
	tcase_add_test(c, observations_want_time);
	tcase_add_test(c, gives_its_hours_back);
	suite_add_tcase(s, c);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
