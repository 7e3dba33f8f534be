#include <stdio.h>
#include <string.h>

#include "base/instant.h"
#include "cli/help.h"
#include "cli/options.h"
#include "lib/harness.h"
#include "source/manners.h"

enum { WORDS_MAX = 40, HELP_COLUMNS = 80 };

#define COUNT(array) ((int)(sizeof(array) / sizeof((array)[0])))

/* A command line as argv; the words are the caller's. */
static enum fault_code parse(const char *const *words, struct options *o, struct fault *f)
{
	static char program[] = "dewpost", copies[WORDS_MAX][80];
	static char *argv[WORDS_MAX + 2];
	int n = 1;
	argv[0] = program;
	for (; n <= WORDS_MAX && words[n - 1] != NULL; n++) {
		ck_assert_int_lt(snprintf(copies[n - 1], sizeof copies[0], "%s", words[n - 1]), (int)sizeof copies[0]);
		argv[n] = copies[n - 1];
	}
	argv[n] = NULL;
	*f = (struct fault){0};
	return options_parse(n, argv, o, f);
}

/* ---- refused ---- */

static const struct {
	const char *words[5];
	const char *says;
} REFUSED[] = {
    {{NULL}, "no command is given; dewpost --help lists them"},
    {{"mornin"}, "command \"mornin\" is not known; did you mean morning?"},
    {{"whey"}, "command \"whey\" is not known; did you mean why?"},
    {{"harvest"}, "command \"harvest\" is not known; dewpost --help lists them"},
    {{""}, "command \"\" is not known; dewpost --help lists them"},
    {{"morning", "--jsn"}, "option --jsn is not known; did you mean --json?"},
    {{"morning", "--colour=never"}, "option --colour is not known; dewpost --help lists them"},
    {{"morning", "-x"}, "option -x is not known; dewpost --help lists them"},
    {{"morning", "--garden"}, "option --garden wants FILE behind it"},
    {{"fetch", "--answer"}, "option --answer wants FILE behind it"},
    {{"morning", "--offline=yes"}, "option --offline takes no value"},
    {{"why", "--json"}, "why takes no --json; dewpost why --help says what it takes"},
    {{"--offline", "fetch"}, "fetch takes no --offline; dewpost fetch --help says what it takes"},
    {{"hours", "--date", "2026-05-12"}, "hours takes no --date; dewpost hours --help says what it takes"},
    {{"morning", "today"}, "morning: one word too many, \"today\"; right is: dewpost morning"},
    {{"degrees", "a", "b"}, "degrees: one word too many, \"b\"; right is: dewpost degrees [PLANTING]"},
    {{"morning", "--date", "12 May"}, "--date: \"12 May\" is not a date; year-month-day is right, as 2026-04-20"},
    {{"hours", "--since", "2026-13-01"},
     "--since: \"2026-13-01\" is not a date: months are 01 to 12, as in 2026-04-20"},
    {{"hours", "--until", "2026-02-30"}, "--until: \"2026-02-30\" is not a date: "},
    {{"fetch", "--spread", "40"}, "--spread: 40: a unit is missing; "},
    {{"fetch", "--spread", "7h"}, "--spread: \"7h\": from 0min to 360min is right"},
    {{"fetch", "--spread", "-1min"}, "--spread: \"-1min\": from 0min to 360min is right"},
    {{"morning", "--patience", "2h"}, "--patience: \"2h\": from 0min to 60min is right"},
    {{"degrees", "--patience", "1min"}, "degrees takes no --patience; dewpost degrees --help says what it takes"},
    {{"morning", "--at", "2026-05-12T05:00:00"}, "--at: \"2026-05-12T05:00:00\" "},
};

START_TEST(refused)
{
	struct options o;
	struct fault f;
	const char *want = REFUSED[_i].says;
	ROW_INT(want, parse(REFUSED[_i].words, &o, &f), FAULT_USAGE);
	ROW_INT(want, f.code, FAULT_USAGE);
	ck_assert_msg(strncmp(f.text, want, strlen(want)) == 0, "says \"%s\", want \"%s\"", f.text, want);
	/* Only where the text names a remedy of another room may it go on. */
	bool whole = want[strlen(want) - 1] != ' ';
	ck_assert_msg(!whole || strcmp(f.text, want) == 0, "says \"%s\", want \"%s\"", f.text, want);
}
END_TEST

/* ---- taken ---- */

static const struct {
	const char *name;
	const char *words[8];
	enum command_id command;
	size_t answers, operands;
	const char *answer, *operand; /* the last of each */
} TAKEN[] = {
    {"plain", {"morning"}, COMMAND_MORNING, 0, 0, NULL, NULL},
    {"option before the command", {"--garden", "g.ini", "morning", "--json"}, COMMAND_MORNING, 0, 0, NULL, NULL},
    {"shortened", {"morning", "--off"}, COMMAND_MORNING, 0, 0, NULL, NULL},
    {"a line", {"why", "3"}, COMMAND_WHY, 0, 1, NULL, "3"},
    {"after --", {"degrees", "--", "-odd"}, COMMAND_DEGREES, 0, 1, NULL, "-odd"},
    {"an answer each", {"fetch", "--answer", "a", "--answer=b"}, COMMAND_FETCH, 2, 0, "b", NULL},
    {"answers in a row", {"fetch", "--answer", "a", "b", "c"}, COMMAND_FETCH, 3, 0, "c", NULL},
    {"a row, then an option", {"fetch", "--answer", "a", "b", "-v"}, COMMAND_FETCH, 2, 0, "b", NULL},
    {"a source's answers", {"check", "source", "s.ini", "--answer", "a", "b"}, COMMAND_CHECK, 2, 2, "b", "s.ini"},
    {"answers without the word", {"check", "source", "s.ini", "a"}, COMMAND_CHECK, 1, 2, "a", "s.ini"},
};

START_TEST(taken)
{
	struct options o;
	struct fault f;
	const char *name = TAKEN[_i].name;
	enum fault_code code = parse(TAKEN[_i].words, &o, &f);
	ck_assert_msg(code == FAULT_NONE, "%s: %s", name, f.text);
	ROW_INT(name, o.command, TAKEN[_i].command);
	ROW_INT(name, o.answers, TAKEN[_i].answers);
	ROW_INT(name, o.operands, TAKEN[_i].operands);
	if (TAKEN[_i].answer != NULL)
		ROW_STR(name, o.answer[o.answers - 1], TAKEN[_i].answer);
	if (TAKEN[_i].operand != NULL)
		ROW_STR(name, o.operand[o.operands - 1], TAKEN[_i].operand);
}
END_TEST

START_TEST(values)
{
	struct options o;
	struct fault f;
	struct date d;
	const char *const words[] = {"morning",    "--garden", "g.ini",
				     "--tables",   "t",        "--date",
				     "2026-05-12", "--at",     "2026-05-12T05:00:00-05:00",
				     "--print",    "--spread", "40min",
				     "--patience", "90 s",     NULL};
	ck_assert_int_eq(parse(words, &o, &f), FAULT_NONE);
	ck_assert_str_eq(o.garden, "g.ini");
	ck_assert_str_eq(o.tables, "t");
	ck_assert(date_of(2026, 5, 12, &d));
	ck_assert_int_eq(o.date.n, d.n);
	ck_assert_int_eq(o.at, 1778580000); /* date -u -d 2026-05-12T10:00:00Z +%s */
	ck_assert_int_eq(o.spread_s, 2400);
	ck_assert_int_eq(o.patience_s, 90);
	ck_assert(options_given(&o, OPTION_PRINT));
	ck_assert(!options_given(&o, OPTION_OFFLINE));
}
END_TEST

START_TEST(nothing_given)
{
	struct options o;
	struct fault f;
	const char *const words[] = {"hours", NULL};
	ck_assert_int_eq(parse(words, &o, &f), FAULT_NONE);
	ck_assert(o.garden == NULL && o.tables == NULL && o.given == 0);
	ck_assert(!date_is(o.date) && !date_is(o.since) && !date_is(o.until));
	ck_assert(o.at == INSTANT_NONE);
	ck_assert_int_eq(o.spread_s, 0);
	ck_assert_int_eq(o.patience_s, MANNERS_RUN_S);
}
END_TEST

/* Who asks for help gets it, whatever else the line says or lacks. */
START_TEST(help_first)
{
	static const struct {
		const char *words[4];
		enum command_id command;
	} row[] = {
	    {{"--help"}, COMMANDS},
	    {{"-h", "why"}, COMMAND_WHY},
	    {{"why", "--json", "--help"}, COMMAND_WHY},
	    {{"--version"}, COMMANDS},
	    {{"morning", "one", "-V"}, COMMAND_MORNING},
	};
	struct options o;
	struct fault f;
	for (int i = 0; i < COUNT(row); i++) {
		ck_assert_msg(parse(row[i].words, &o, &f) == FAULT_NONE, "row %d: %s", i, f.text);
		ck_assert_int_eq(o.command, row[i].command);
	}
}
END_TEST

START_TEST(too_many_words)
{
	struct options o;
	struct fault f;
	const char *words[WORDS_MAX + 1] = {"fetch"};
	for (int i = 0; i < OPTIONS_WORDS_MAX; i++)
		words[1 + i] = "a";
	ck_assert_int_eq(parse(words, &o, &f), FAULT_NONE);
	ck_assert_uint_eq(o.answers, OPTIONS_WORDS_MAX);
	words[1 + OPTIONS_WORDS_MAX] = "a";
	ck_assert_int_eq(parse(words, &o, &f), FAULT_USAGE);
	ck_assert_str_eq(f.text, "more than 32 files or words");
}
END_TEST

/* ---- help ---- */

START_TEST(help_tells_all)
{
	static char mem[HELP_SIZE];
	struct text t;
	for (int id = 0; id <= COMMANDS; id++) {
		text_over(&t, mem, sizeof mem);
		help_write((enum command_id)id, &t);
		ck_assert(!t.full);
		for (int k = 0; id < COMMANDS && k < OPTIONS; k++) {
			char word[40], after_letter[40];
			const char *name = option_row((enum option_id)k)->name;
			snprintf(word, sizeof word, "\n  --%s", name);
			snprintf(after_letter, sizeof after_letter, ", --%s", name);
			bool said = strstr(mem, word) != NULL || strstr(mem, after_letter) != NULL;
			ck_assert_msg(said == option_taken_by((enum option_id)k, (enum command_id)id), "%s: %s",
				      command_row((enum command_id)id)->name, name);
		}
		for (const char *line = mem; *line != '\0'; line += strcspn(line, "\n") + 1)
			ck_assert_msg(strcspn(line, "\n") <= HELP_COLUMNS, "%.90s", line);
	}
	for (int k = 0; k < COMMANDS; k++)
		ck_assert_ptr_nonnull(strstr(mem, command_row((enum command_id)k)->name));
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("options");
	TCase *tc = tcase_create("options");
	tcase_add_loop_test(tc, refused, 0, COUNT(REFUSED));
	tcase_add_loop_test(tc, taken, 0, COUNT(TAKEN));
	tcase_add_test(tc, values);
	tcase_add_test(tc, nothing_given);
	tcase_add_test(tc, help_first);
	tcase_add_test(tc, too_many_words);
	tcase_add_test(tc, help_tells_all);
	suite_add_tcase(s, tc);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
