#include <string.h>

#include "base/text.h"
#include "lib/harness.h"
#include "manual/mdoc.h"

enum { OUT_SIZE = 512 };

/* mdoc(7), MACRO SYNTAX and SENTENCES; mandoc_char(7) for the escapes. */
static const struct {
	const char *name;
	void (*write)(struct text *t, const char *s);
	const char *in, *out;
} ROWS[] = {
    {"capital and stop", mdoc_words, "the day", "The day.\n"},
    {"stop is there", mdoc_words, "The day.", "The day.\n"},
    {"a sentence a line", mdoc_words, "the day. With 5.5 C. See a.b c", "The day.\nWith 5.5 C.\nSee a.b c.\n"},
    {"no request", mdoc_words, ".Dd is none. 'so neither", "\\&.Dd is none. 'so neither.\n"},
    {"dashes of options", mdoc_words, "half-open --since x", "Half-open \\-\\-since x.\n"},
    {"bold", mdoc_words, "in `a-b` all", "In \\fBa\\-b\\fR all.\n"},
    {"escape", mdoc_words, "C:\\x", "C:\\ex.\n"},
    {"a word of the file", mdoc_words, "rows: the stamp", "rows: the stamp.\n"},
    {"a name", mdoc_words, "rfc3339 or unix", "rfc3339 or unix.\n"},
    {"an equation", mdoc_words, "past = observed", "past = observed.\n"},
    {"nothing", mdoc_words, "", ".\n"},
    {"argument", mdoc_argument, "-5 \"F\" \\", "\"\\-5 \\(dqF\\(dq \\e\""},
    {"no operand", mdoc_operands, "", ""},
    {"one operand", mdoc_operands, "FILE", " Ar FILE"},
    {"perhaps one", mdoc_operands, "[N]", " Oo Ar N Oc"},
    {"nested", mdoc_operands, "[source FILE [ANSWER...]]", " Oo Cm source Ar FILE Oo Ar ANSWER ... Oc Oc"},
    {"choice", mdoc_operands, "add|list [-n]", " Cm add | Cm list Oo Cm -n Oc"},
};

START_TEST(lines)
{
	char mem[OUT_SIZE];
	struct text t;
	text_over(&t, mem, sizeof mem);
	ROWS[_i].write(&t, ROWS[_i].in);
	ROW_STR(ROWS[_i].name, t.at, ROWS[_i].out);
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("manual/mdoc");
	TCase *t = tcase_create("mdoc");
	tcase_add_loop_test(t, lines, 0, sizeof ROWS / sizeof ROWS[0]);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
