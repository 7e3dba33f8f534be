/* Fields of a line: RFC 4180, section 2, but for line ends in fields. */
#include <stdio.h>
#include <string.h>

#include "lib/harness.h"
#include "source/csv.h"

static const struct row {
	const char *name, *line;
	char delimiter;
	const char *fields; /* each in [] ; NULL: refused */
} ROWS[] = {
    {"RFC 4180, 2.1", "aaa,bbb,ccc", ',', "[aaa][bbb][ccc]"},
    {"RFC 4180, 2.5: quotes", "\"aaa\",\"bbb\",\"ccc\"", ',', "[aaa][bbb][ccc]"},
    {"RFC 4180, 2.6: commas in quotes", "\"a,a\",bbb,\"c,\"", ',', "[a,a][bbb][c,]"},
    {"RFC 4180, 2.7: doubled quotes", "\"aaa\",\"b\"\"bb\",\"ccc\"", ',', "[aaa][b\"bb][ccc]"},
    {"one doubled quote alone", "\"\"\"\"", ',', "[\"]"},
    {"empty", "", ',', "[]"},
    {"empty fields", ",,", ',', "[][][]"},
    {"empty quoted", "\"\",\"\"", ',', "[][]"},
    {"blanks round a field go", " a\t, b b ,\tc ", ',', "[a][b b][c]"},
    {"blanks in quotes stay", "\" a \", \" b\" ,c", ',', "[ a ][ b][c]"},
    {"a quote inside", "a\"b,c", ',', "[a\"b][c]"},
    {"semicolon", "a;b,c;d", ';', "[a][b,c][d]"},
    {"tab", "a\t\tb c\t", '\t', "[a][][b c][]"},
    {"quote does not end", "a,\"b,c", ',', NULL},
    {"quote does not end, doubled", "\"b\"\"", ',', NULL},
    {"text behind a quote", "\"a\"b,c", ',', NULL},
};

START_TEST(test_cut)
{
	const struct row *row = &ROWS[_i];
	char line[128], got[256] = "";
	struct csv c;
	struct fault f;
	(void)snprintf(line, sizeof line, "%s", row->line);
	enum fault_code code = csv_cut(line, row->delimiter, &c, &f);
	ROW_INT(row->name, code, row->fields != NULL ? FAULT_NONE : FAULT_DATA);
	for (size_t i = 0; row->fields != NULL && i < c.n; i++) {
		size_t n = strlen(got);
		(void)snprintf(got + n, sizeof got - n, "[%s]", c.field[i]);
	}
	if (row->fields != NULL)
		ROW_STR(row->name, got, row->fields);
}
END_TEST

START_TEST(test_too_many)
{
	char line[2 * CSV_FIELDS_MAX + 2];
	struct csv c;
	struct fault f;
	memset(line, ',', CSV_FIELDS_MAX - 1);
	line[CSV_FIELDS_MAX - 1] = '\0';
	ck_assert_int_eq(csv_cut(line, ',', &c, &f), FAULT_NONE);
	ck_assert_uint_eq(c.n, CSV_FIELDS_MAX);
	memset(line, ',', CSV_FIELDS_MAX);
	line[CSV_FIELDS_MAX] = '\0';
	ck_assert_int_eq(csv_cut(line, ',', &c, &f), FAULT_DATA);
}
END_TEST

START_TEST(test_delimiter)
{
	ck_assert_int_eq(csv_delimiter("a,b;c,d"), ',');
	ck_assert_int_eq(csv_delimiter("a;b;c,d"), ';');
	ck_assert_int_eq(csv_delimiter("a\tb\tc"), '\t');
	ck_assert_int_eq(csv_delimiter("a"), ',');
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("source/csv");
	TCase *t = tcase_create("csv");
	tcase_add_loop_test(t, test_cut, 0, sizeof ROWS / sizeof ROWS[0]);
	tcase_add_test(t, test_too_many);
	tcase_add_test(t, test_delimiter);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
