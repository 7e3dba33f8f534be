#include "lib/harness.h"

#include <string.h>

#include "base/fault.h"
#include "base/utf8.h"

static const struct {
	const char *row, *given, *text;
} harmless[] = {
    {"plain", "soil \"lome\" is not known", "soil \"lome\" is not known"},
    {"line break", "a\nb\r\nc", "a?b??c"},
    {"tab and escape", "a\tb\x1b[31m", "a?b?[31m"},
    {"DEL", "a\x7f", "a?"},
    {"UTF-8 stays",
     "k\xC3\xBCrbis 5 \xC2\xB0"
     "C \xE2\x82\xAC \xF0\x9F\x8C\xB1",
     "k\xC3\xBCrbis 5 \xC2\xB0"
     "C \xE2\x82\xAC \xF0\x9F\x8C\xB1"},
    {"C1 control (CSI, U+009B)",
     "a\xC2\x9B"
     "31m",
     "a??31m"},
    {"NO-BREAK SPACE is no control",
     "a\xC2\xA0"
     "b",
     "a\xC2\xA0"
     "b"},
    {"lone byte", "k\xFCrbis", "k?rbis"},
    {"surrogate", "\xED\xA0\x80", "???"},
};

START_TEST(makes_text_harmless)
{
	struct fault f;
	ROW_INT(harmless[_i].row, fault_set(&f, FAULT_DATA, "%s", harmless[_i].given), FAULT_DATA);
	ROW_INT(harmless[_i].row, f.code, FAULT_DATA);
	ROW_STR(harmless[_i].row, f.text, harmless[_i].text);
}
END_TEST

START_TEST(puts_the_place_first)
{
	struct fault f;
	fault_set(&f, FAULT_CONFIG, "soil \"%s\" is not known", "lome");
	fault_place(&f, "bed \"%s\": ", "south");
	ck_assert_int_eq(fault_place(&f, "%s:%d: ", "garden\n.ini", 14), FAULT_CONFIG);
	ck_assert_str_eq(f.text, "garden?.ini:14: bed \"south\": soil \"lome\" is not known");
}
END_TEST

START_TEST(takes_its_own_text_as_argument)
{
	struct fault f;
	fault_set(&f, FAULT_DATA, "inner");
	fault_set(&f, FAULT_TRY_LATER, "outer (%s)", f.text);
	ck_assert_str_eq(f.text, "outer (inner)");
	fault_place(&f, "%s: ", f.text);
	ck_assert_str_eq(f.text, "outer (inner): outer (inner)");
}
END_TEST

/* Texts of every length, of characters of every length: no character is ever cut. */
START_TEST(cuts_the_tail_between_characters)
{
	static const char *const letter[] = {"x", "\xC3\xBC", "\xE2\x82\xAC", "\xF0\x9F\x8C\xB1"};
	for (size_t lead = 0; lead < 8; lead++) {
		char text[1200] = "";
		for (size_t i = 0; i < lead; i++)
			text[i] = 'a';
		size_t len = lead, bytes = strlen(letter[_i]);
		while (len + bytes < 500) {
			memcpy(text + len, letter[_i], bytes);
			len += bytes;
		}
		text[len] = '\0';
		struct fault f;
		fault_set(&f, FAULT_DATA, "%s", text);
		size_t got = strlen(f.text);
		ck_assert_msg(got < FAULT_TEXT_SIZE && got + bytes >= FAULT_TEXT_SIZE, "lead %zu: %zu bytes", lead,
			      got);
		ck_assert_msg(strncmp(f.text, text, got) == 0, "lead %zu: not the beginning: %s", lead, f.text);
		ck_assert_msg(utf8_bad(f.text, got) == got, "lead %zu: a character was cut", lead);

		fault_place(&f, "garden.ini:%d: ", 14);
		got = strlen(f.text);
		ck_assert_msg(strncmp(f.text, "garden.ini:14: ", 15) == 0, "lead %zu: place lost: %s", lead, f.text);
		ck_assert_msg(strncmp(f.text + 15, text, got - 15) == 0, "lead %zu: not the beginning", lead);
		ck_assert_msg(got < FAULT_TEXT_SIZE && got + bytes >= FAULT_TEXT_SIZE, "lead %zu: %zu bytes", lead,
			      got);
		ck_assert_msg(utf8_bad(f.text, got) == got, "lead %zu: a character was cut", lead);
	}
}
END_TEST

START_TEST(keeps_a_place_of_160_bytes_whole)
{
	char folder[151];
	memset(folder, 'd', sizeof folder - 1);
	folder[sizeof folder - 1] = '\0';
	char text[400];
	memset(text, 't', sizeof text - 1);
	text[sizeof text - 1] = '\0';
	struct fault f;
	fault_set(&f, FAULT_DATA, "%s", text);
	fault_place(&f, "%s/g:1234: ", folder);
	ck_assert_uint_eq(strlen(f.text), FAULT_TEXT_SIZE - 1);
	ck_assert_int_eq(strncmp(f.text, folder, strlen(folder)), 0);
	ck_assert_int_eq(strncmp(f.text + strlen(folder), "/g:1234: ttt", 12), 0);
}
END_TEST

START_TEST(keeps_the_line_number_of_an_endless_place)
{
	char folder[3001];
	for (size_t i = 0; i + 1 < sizeof folder; i += 2)
		memcpy(folder + i, "\xC3\xBC", 2);
	folder[sizeof folder - 1] = '\0';
	for (int extra = 0; extra < 2; extra++) {
		struct fault f;
		fault_set(&f, FAULT_DATA, "what happened");
		fault_place(&f, "%s/garden.ini%s:77: ", folder, extra ? "x" : "");
		size_t n = strlen(f.text);
		ck_assert_uint_lt(n, FAULT_TEXT_SIZE);
		ck_assert_uint_eq(utf8_bad(f.text, n), n);
		ck_assert_ptr_nonnull(strstr(f.text, ":77: what happened"));
	}
}
END_TEST

START_TEST(lists_count_what_is_past_their_end)
{
	struct faults all = {0};
	ck_assert_int_eq(faults_code(&all), FAULT_NONE);
	for (int i = 0; i < FAULTS_MAX + 5; i++)
		faults_addf(&all, i == 0 ? FAULT_CONFIG : FAULT_DATA, "fault %d", i);
	ck_assert_uint_eq(all.n, FAULTS_MAX);
	ck_assert_uint_eq(all.more, 5);
	ck_assert_int_eq(faults_code(&all), FAULT_CONFIG);
	ck_assert_str_eq(all.at[FAULTS_MAX - 1].text, "fault 31");
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("base/fault");
	TCase *t = tcase_create("fault");
	tcase_add_loop_test(t, makes_text_harmless, 0, (int)(sizeof harmless / sizeof *harmless));
	tcase_add_test(t, puts_the_place_first);
	tcase_add_test(t, takes_its_own_text_as_argument);
	tcase_add_loop_test(t, cuts_the_tail_between_characters, 0, 4);
	tcase_add_test(t, keeps_a_place_of_160_bytes_whole);
	tcase_add_test(t, keeps_the_line_number_of_an_endless_place);
	tcase_add_test(t, lists_count_what_is_past_their_end);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
