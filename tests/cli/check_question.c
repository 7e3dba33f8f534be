/*
 * Questions on a terminal, which is memory here, and answers given beforehand.
 */
#include "cli/question.h"

#include <stdio.h>
#include <string.h>

#include "base/text.h"
#include "lib/harness.h"

enum { SAID_SIZE = 4096, NOTED_SIZE = 256 };

static const struct question name = {"name", "Name?", "Quarry Lane", "What it is called"};
static const struct question size = {"size", "Size?", "40 sq ft", "How large it is"};

static char noted[NOTED_SIZE];

/* Notes it; what begins with "bad" is wrong. */
static enum fault_code note(void *into, const char *answer, struct fault *f)
{
	(void)into;
	if (strncmp(answer, "bad", 3) == 0)
		return fault_set(f, FAULT_CONFIG, "%s is wrong; good is right", answer);
	return text_copy(noted, sizeof noted, answer) ? FAULT_NONE : fault_set(f, FAULT_CONFIG, "too long");
}

static const struct {
	const char *row, *typed, *fallback, *noted, *said;
	enum fault_code code;
} terminal[] = {
    {"an answer", "good\n", NULL, "good", "Name? ", FAULT_NONE},
    {"blanks around it", "  good \t\r\n", NULL, "good", "Name? ", FAULT_NONE},
    {"a default is taken", "\n", "usual", "usual", "Name? [usual] ", FAULT_NONE},
    {"or not", "good\n", "usual", "good", "Name? [usual] ", FAULT_NONE},
    {"may be left out", "\n", "", "", "Name? ", FAULT_NONE},
    {"asked again when wrong", "bad\ngood\n", NULL, "good", "Name?   bad is wrong; good is right\nName? ", FAULT_NONE},
    {"asked again when needed", "\ngood\n", NULL, "good", "Name?   it is needed; as Quarry Lane\nName? ", FAULT_NONE},
    {"help", "?\ngood\n", NULL, "good", "Name?   What it is called; as Quarry Lane\nName? ", FAULT_NONE},
    {"a remark", "good # one\ngood#1\n", NULL, "good#1",
     "Name?   a # behind a blank would begin a remark in the garden file; without it is right\nName? ", FAULT_NONE},
    {"no text", "\xff\xfe\ngood\n", NULL, "good", "Name?   that is too long, or no text\nName? ", FAULT_NONE},
    {"a control character", "a\033[A\ngood\n", NULL, "good",
     "Name?   there is a control character in it; text alone is right\nName? ", FAULT_NONE},
    {"blanks alone", "   \ngood\n", NULL, "good", "Name?   it is needed; as Quarry Lane\nName? ", FAULT_NONE},
    {"the end", "bad\n", NULL, "", "Name?   bad is wrong; good is right\nName? ", FAULT_DATA},
};

static void ask(FILE *in, FILE *out, bool is_terminal, const struct question *q, const char *fallback,
		struct faults *wrong, struct fault *f, enum fault_code *code)
{
	struct asker a;
	bool taken;
	noted[0] = '\0';
	ck_assert_int_eq(asker_open(&a, in, out, is_terminal, wrong, f), FAULT_NONE);
	*code = asker_ask(&a, q, fallback, note, NULL, &taken, f);
	asker_close(&a);
}

static FILE *typed(const char *s)
{
	/* fmemopen knows no empty file. */
	FILE *in = fmemopen((void *)(uintptr_t)s, strlen(s), "r");
	ck_assert_ptr_nonnull(in);
	return in;
}

START_TEST(asks_on_a_terminal)
{
	char said[SAID_SIZE] = "";
	struct faults wrong = {0};
	struct fault f = {0};
	enum fault_code code;
	FILE *in = typed(terminal[_i].typed), *out = fmemopen(said, sizeof said, "w");
	ck_assert_ptr_nonnull(out);
	ask(in, out, true, &name, terminal[_i].fallback, &wrong, &f, &code);
	fclose(in);
	fclose(out);
	ROW_INT(terminal[_i].row, code, terminal[_i].code);
	ROW_STR(terminal[_i].row, noted, terminal[_i].noted);
	ROW_STR(terminal[_i].row, said, terminal[_i].said);
	ROW_INT(terminal[_i].row, wrong.n, 0);
}
END_TEST

/* A line that is too long is one answer, not two. */
START_TEST(takes_a_long_line_for_one)
{
	char said[SAID_SIZE] = "", line[2 * QUESTION_ANSWER_SIZE];
	struct faults wrong = {0};
	struct fault f = {0};
	enum fault_code code;
	memset(line, 'x', sizeof line);
	memcpy(line + sizeof line - 6, "\ngood\n", 6);
	FILE *in = fmemopen(line, sizeof line, "r"), *out = fmemopen(said, sizeof said, "w");
	ask(in, out, true, &name, NULL, &wrong, &f, &code);
	fclose(in);
	fclose(out);
	ck_assert_int_eq(code, FAULT_NONE);
	ck_assert_str_eq(noted, "good");
	ck_assert_str_eq(said, "Name?   that is too long, or no text\nName? ");
}
END_TEST

static const struct {
	const char *row, *given, *fallback, *noted, *says; /* says: the only fault, "" none */
} beforehand[] = {
    {"an answer", "name = good\n", NULL, "good", ""},
    {"among others", "# first\nsize = 1\n\nname=good\n", NULL, "good", ""},
    {"a default", "size = 1\n", "usual", "usual", ""},
    {"an empty one is the default", "name =\n", "usual", "usual", ""},
    {"left out", "size = 1\n", "", "", ""},
    {"missing", "size = 1\n", NULL, "", "standard input: name is missing; as name = Quarry Lane"},
    {"empty and needed", "size = 1\nname =\n", NULL, "", "standard input:2: name is missing; as name = Quarry Lane"},
    {"wrong", "size = 1\nname = bad one\n", NULL, "", "standard input:2: bad one is wrong; good is right"},
    {"no =", "name\nname = good\n", NULL, "good", "standard input:1: \"name\" has no =; key = value is wanted"},
    {"a head", "[garden]\nname = good\n", NULL, "good",
     "standard input:1: section head \"[garden]\" has no place here; key = value is wanted"},
    {"no text", "name = g\xffod\nname = good\n", NULL, "good",
     "standard input:1: byte 9 of the line (0xFF) is not UTF-8; save the file as UTF-8"},
};

START_TEST(takes_answers_given_beforehand)
{
	char said[SAID_SIZE] = "";
	struct faults wrong = {0};
	struct fault f = {0};
	enum fault_code code;
	FILE *in = typed(beforehand[_i].given), *out = fmemopen(said, sizeof said, "w");
	ask(in, out, false, &name, beforehand[_i].fallback, &wrong, &f, &code);
	fclose(in);
	fclose(out);
	ROW_INT(beforehand[_i].row, code, FAULT_NONE);
	ROW_STR(beforehand[_i].row, noted, beforehand[_i].noted);
	ROW_INT(beforehand[_i].row, wrong.n, beforehand[_i].says[0] != '\0');
	if (wrong.n > 0)
		ROW_STR(beforehand[_i].row, wrong.at[0].text, beforehand[_i].says);
	ROW_STR(beforehand[_i].row, said, ""); /* nobody is asked */
}
END_TEST

START_TEST(says_what_was_not_asked_for)
{
	static const char *const says[] = {
	    "standard input:2: \"nmae\" is not asked for; did you mean name?",
	    "standard input:3: \"colour\" is not asked for; man dewpost lists what is",
	    "standard input:4: size is one too many, or not asked for with these other answers"};
	const struct question known[] = {name, size};
	struct faults wrong = {0};
	struct fault f = {0};
	struct asker a;
	bool taken;
	FILE *in = typed("name = good\nnmae = x\ncolour = x\nsize = 1\n");
	ck_assert_int_eq(asker_open(&a, in, stdout, false, &wrong, &f), FAULT_NONE);
	ck_assert_int_eq(asker_ask(&a, &name, NULL, note, NULL, &taken, &f), FAULT_NONE);
	asker_unused(&a, known, 2);
	asker_close(&a);
	fclose(in);
	ck_assert_uint_eq(wrong.n, 3);
	for (size_t i = 0; i < 3; i++)
		ck_assert_str_eq(wrong.at[i].text, says[i]);
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("question");
	TCase *t = tcase_create("question");
	tcase_add_loop_test(t, asks_on_a_terminal, 0, sizeof terminal / sizeof terminal[0]);
	tcase_add_test(t, takes_a_long_line_for_one);
	tcase_add_loop_test(t, takes_answers_given_beforehand, 0, sizeof beforehand / sizeof beforehand[0]);
	tcase_add_test(t, says_what_was_not_asked_for);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
