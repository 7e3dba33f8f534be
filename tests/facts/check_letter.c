#include "facts/letter.h"
#include "lib/harness.h"

START_TEST(states_have_names)
{
	ck_assert_str_eq(letter_state_name(LETTER_COMPOSED), "composed");
	ck_assert_str_eq(letter_state_name(LETTER_SENDING), "sending");
	ck_assert_str_eq(letter_state_name(LETTER_SENT), "sent");
	ck_assert_str_eq(letter_state_name(LETTER_UNKNOWN), "unknown");
	ck_assert_str_eq(letter_state_name(LETTER_FAILED), "failed");
	ck_assert_str_eq(letter_state_name(LETTER_EXPIRED), "expired");
}
END_TEST

START_TEST(kinds_have_names)
{
	ck_assert_str_eq(letter_kind_name(LETTER_MORNING), "morning");
	ck_assert_str_eq(letter_kind_name(LETTER_EVENING), "evening");
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("letter");
	TCase *c = tcase_create("letter");
	tcase_add_test(c, states_have_names);
	tcase_add_test(c, kinds_have_names);
	suite_add_tcase(s, c);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
