#include "lib/harness.h"

#include <string.h>

#include "base/utf8.h"

/* Sources: RFC 3629 sections 3, 4 and 10; Unicode 15 table 3-7 (well-formed byte sequences). */
static const struct {
	const char *row, *s;
	size_t n, bad;
} bytes[] = {
    {"empty", "", 0, 0},
    {"ASCII", "abc", 3, 3},
    {"NUL", "ab\0c", 4, 2},
    {"first of two bytes, U+0080", "\xC2\x80", 2, 2},
    {"last of two bytes, U+07FF", "\xDF\xBF", 2, 2},
    {"first of three, U+0800", "\xE0\xA0\x80", 3, 3},
    {"before the surrogates, U+D7FF", "\xED\x9F\xBF", 3, 3},
    {"behind the surrogates, U+E000", "\xEE\x80\x80", 3, 3},
    {"last of three, U+FFFF", "\xEF\xBF\xBF", 3, 3},
    {"first of four, U+10000", "\xF0\x90\x80\x80", 4, 4},
    {"last of all, U+10FFFF", "\xF4\x8F\xBF\xBF", 4, 4},
    {"past the last, U+110000", "a\xF4\x90\x80\x80", 5, 1},
    {"overlong NUL", "a\xC0\x80", 3, 1},
    {"overlong / in two", "\xC0\xAF", 2, 0},
    {"overlong / in three", "\xE0\x80\xAF", 3, 0},
    {"overlong / in four", "\xF0\x80\x80\xAF", 4, 0},
    {"overlong U+07FF", "\xE0\x9F\xBF", 3, 0},
    {"overlong U+FFFF", "\xF0\x8F\xBF\xBF", 4, 0},
    {"overlong DEL", "\xC1\xBF", 2, 0},
    {"high surrogate U+D800", "ab\xED\xA0\x80", 5, 2},
    {"low surrogate U+DFFF", "\xED\xBF\xBF", 3, 0},
    {"lone continuation", "abc\x80", 4, 3},
    {"cut in two", "a\xC3", 2, 1},
    {"cut in three", "a\xE2\x82", 3, 1},
    {"cut in four", "a\xF0\x9F\x8C", 4, 1},
    {"no continuation", "\xC3(", 2, 0},
    {"old five-byte form", "\xF8\x88\x80\x80\x80", 5, 0},
    {"FE and FF", "ok\xFE\xFF", 4, 2},
};

START_TEST(finds_the_first_bad_byte)
{
	ROW_INT(bytes[_i].row, (long long)utf8_bad(bytes[_i].s, bytes[_i].n), (long long)bytes[_i].bad);
}
END_TEST

/* Sources: wide and combining by Unicode Standard Annex 11 as libc's C.UTF-8 has it. */
static const struct {
	const char *s;
	size_t columns;
} widths[] = {
    {"", 0},
    {"frost", 5},
    {"k\xC3\xBCrbis", 6},
    {"ku\xCC\x88rbis", 6},           /* combining diaeresis */
    {"\xE5\x8D\x97\xE7\x93\x9C", 4}, /* two ideographs */
    {"\xF0\x9F\x8C\xB1", 2},         /* seedling */
    {"\xE2\x96\x81\xE2\x96\x88", 2}, /* block elements */
    {"a\xFF\xFE", 3},                /* bytes that are not UTF-8 */
    {"a\x01", 2},                    /* not printable */
    {"\xC2\xB0"
     "C",
     2},
};

START_TEST(counts_columns)
{
	ROW_INT(widths[_i].s, (long long)utf8_width(widths[_i].s, strlen(widths[_i].s)), (long long)widths[_i].columns);
}
END_TEST

START_TEST(cuts_between_characters)
{
	static const char s[] = "a\xC3\xBC\xE2\x82\xAC\xF0\x9F\x8C\xB1z";
	static const size_t want[] = {0, 1, 1, 3, 3, 3, 6, 6, 6, 6, 10, 11};
	for (size_t n = 0; n < sizeof s; n++) {
		ck_assert_msg(utf8_cut(s, n) == want[n], "%zu bytes: %zu", n, utf8_cut(s, n));
		ck_assert_msg(utf8_most(s, (size_t)n) == (int)want[n], "at most %zu bytes", n);
	}
	ck_assert_int_eq(utf8_most(s, 100), 11);
	ck_assert_uint_eq(utf8_cut("\x80\x80\x80\x80\x80", 5), 5);
}
END_TEST

static const struct {
	const char *row, *words;
	size_t at, indent, columns;
	const char *text;
} wraps[] = {
    {"nothing", "", 0, 0, 20, ""},
    {"fits", "cover the beds", 0, 0, 14, "cover the beds"},
    {"one too many", "cover the beds", 0, 0, 13, "cover the\nbeds"},
    {"starts in a column", "cover the beds", 4, 2, 12, "cover\n  the beds"},
    {"long word alone", "a extraordinarily b", 0, 2, 8, "a\n  extraordinarily\n  b"},
    {"long word first", "extraordinarily b", 3, 1, 8, "extraordinarily\n b"},
    {"two blanks hold together", "low 34 F  wind 3 mph", 0, 0, 12, "low 34\nF  wind 3\nmph"},
    {"blanks at the ends", " low 34 F ", 0, 0, 80, "low 34 F"},
    {"many blanks at the end", "low   ", 0, 0, 80, "low"},
    {"only blanks", "   ", 0, 0, 80, ""},
    {"columns, not bytes", "k\xC3\xBCrbis k\xC3\xBCrbis", 0, 0, 13, "k\xC3\xBCrbis k\xC3\xBCrbis"},
    {"wide letters", "\xE5\x8D\x97\xE7\x93\x9C \xE5\x8D\x97", 0, 0, 6, "\xE5\x8D\x97\xE7\x93\x9C\n\xE5\x8D\x97"},
};

START_TEST(wraps_words)
{
	char mem[200];
	struct text t;
	text_over(&t, mem, sizeof mem);
	utf8_wrap(&t, wraps[_i].words, wraps[_i].at, wraps[_i].indent, wraps[_i].columns);
	ROW_STR(wraps[_i].row, t.at, wraps[_i].text);
}
END_TEST

/* Next line of s, without its end; false after the last. */
static bool next_line(const char **s, const char **line, size_t *n)
{
	if (*s == NULL)
		return false;
	*line = *s;
	const char *end = strchr(*s, '\n');
	*n = end == NULL ? strlen(*s) : (size_t)(end - *s);
	*s = end == NULL ? NULL : end + 1;
	return true;
}

static void check_lines(const char *wrapped, size_t at, size_t indent, size_t columns)
{
	const char *s = wrapped, *line;
	size_t n;
	for (bool first = true; next_line(&s, &line, &n); first = false) {
		size_t lead = first ? 0 : indent, width = utf8_width(line, n) + (first ? at : 0);
		ck_assert_msg(n > lead && line[lead] != ' ' && line[n - 1] != ' ', "blanks at the ends of a line: %s",
			      wrapped);
		ck_assert_msg(first || strspn(line, " ") == indent, "indent: %s", wrapped);
		bool single = memchr(line + lead, ' ', n - lead) == NULL;
		ck_assert_msg(width <= columns || single, "wider than %zu: %s", columns, wrapped);
	}
}

/* At every width all words stand there in their order, and no line is too wide that could be narrower. */
START_TEST(wrapping_keeps_the_words)
{
	static const char words[] = "Cover the z\xC3\xBC"
				    "kini tonight: the low of 34 \xC2\xB0"
				    "F comes at 05:30, before sunrise, and "
				    "\xE5\x8D\x97\xE7\x93\x9C in the bed stand lower than the thermometer.";
	for (size_t columns = 1; columns < 140; columns++) {
		for (size_t indent = 0; indent < 5; indent++) {
			char mem[1500], unwrapped[1500];
			struct text t;
			text_over(&t, mem, sizeof mem);
			utf8_wrap(&t, words, indent, indent, columns);
			struct fault f;
			ck_assert_int_eq(text_ok(&t, "it", &f), FAULT_NONE);
			check_lines(t.at, indent, indent, columns);
			size_t len = 0;
			for (const char *s = t.at; *s != '\0'; s++) {
				unwrapped[len++] = *s == '\n' ? ' ' : *s;
				if (*s == '\n')
					s += indent;
			}
			unwrapped[len] = '\0';
			ck_assert_str_eq(unwrapped, words);
		}
	}
}
END_TEST

#define ROWS(table) ((int)(sizeof(table) / sizeof *(table)))

static Suite *suite(void)
{
	Suite *s = suite_create("base/utf8");
	TCase *t = tcase_create("utf8");
	tcase_add_loop_test(t, finds_the_first_bad_byte, 0, ROWS(bytes));
	tcase_add_loop_test(t, counts_columns, 0, ROWS(widths));
	tcase_add_test(t, cuts_between_characters);
	tcase_add_loop_test(t, wraps_words, 0, ROWS(wraps));
	tcase_add_test(t, wrapping_keeps_the_words);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
