#include "manual/completion.h"

#include <ctype.h>
#include <string.h>

#include "cli/command.h"
#include "cli/options.h"

/* Bash's dynamic scope: what `_dewpost` calls sets its cur, prev, words and files. */
static const char *const PLANTINGS = "# bash completion of dewpost(1), made from the program's own tables.\n"
				     "# shellcheck shell=bash\n"
				     "\n"
				     "_dewpost_plantings() {\n"
				     "\tlocal file=${XDG_CONFIG_HOME:-$HOME/.config}/dewpost/garden.ini i\n"
				     "\tfor ((i = 1; i < COMP_CWORD; i++)); do\n"
				     "\t\t[[ ${COMP_WORDS[i]} == --garden ]] || continue\n"
				     "\t\tfile=${COMP_WORDS[i + 1]}\n"
				     "\t\t[[ $file == = ]] && file=${COMP_WORDS[i + 2]}\n"
				     "\tdone\n"
				     "\tsed -n 's/^\\[planting  *\\([^]\"]*\\)\\].*/\\1/p' -- \"$file\" 2>/dev/null\n"
				     "}\n\n";

static const char *const WHOLE = "_dewpost() {\n"
				 "\tlocal cur=${COMP_WORDS[COMP_CWORD]} prev=${COMP_WORDS[COMP_CWORD - 1]}\n"
				 "\tlocal command='' words='' files='' i\n"
				 "\tif [[ $cur == = ]]; then\n"
				 "\t\tcur=\n"
				 "\telif [[ $prev == = ]]; then\n"
				 "\t\tprev=${COMP_WORDS[COMP_CWORD - 2]}\n"
				 "\tfi\n"
				 "\t_dewpost_find\n"
				 "\t_dewpost_value || _dewpost_word\n"
				 "\tif [[ $files ]]; then\n"
				 "\t\tcompopt -o filenames 2>/dev/null\n"
				 "\t\tmapfile -t COMPREPLY < <(compgen -W \"$words\" \"$files\" -- \"$cur\")\n"
				 "\telse\n"
				 "\t\tmapfile -t COMPREPLY < <(compgen -W \"$words\" -- \"$cur\")\n"
				 "\tfi\n"
				 "}\n"
				 "complete -F _dewpost dewpost\n";

/* "a|b|c", each of them a word to choose. */
static bool choices(const char *word)
{
	return strchr(word, '|') != NULL;
}

static void add_choices(struct text *t, const char *word)
{
	while (*word != '\0') {
		size_t n = strcspn(word, "|");
		text_add_n(t, word, n);
		word += n;
		if (*word == '|') {
			text_add(t, " ");
			word++;
		}
	}
}

/* What follows an option that takes something. */
static void option_case(struct text *t, const struct option_row *row)
{
	text_addf(t, "\t--%s", row->name);
	if (row->letter != 0)
		text_addf(t, " | -%c", row->letter);
	text_add(t, ")\n");
	if (strcmp(row->word, "FILE") == 0) {
		text_add(t, "\t\tfiles=-f\n");
	} else if (strcmp(row->word, "DIR") == 0) {
		text_add(t, "\t\tfiles=-d\n");
	} else if (choices(row->word)) {
		text_add(t, "\t\twords='");
		add_choices(t, row->word);
		text_add(t, "'\n");
	} else {
		text_add(t, "\t\t:\n");
	}
	text_add(t, "\t\t;;\n");
}

static void option_words(struct text *t, enum command_id command)
{
	for (int i = 0; i < OPTIONS; i++)
		if (option_taken_by((enum option_id)i, command))
			text_addf(t, " --%s", option_row((enum option_id)i)->name);
}

/* Words of the operands that stand for themselves: "source" of "[source FILE]". */
static void own_words(struct text *t, const char *operands)
{
	while (*operands != '\0') {
		size_t n = strcspn(operands, " []|.");
		if (islower((unsigned char)operands[0])) {
			text_add(t, " ");
			text_add_n(t, operands, n);
		}
		operands += n + (operands[n] != '\0');
	}
}

static void command_case(struct text *t, enum command_id id)
{
	const struct command *row = command_row(id);
	bool files = strstr(row->operands, "FILE") != NULL || id == COMMAND_FETCH;
	text_addf(t, "\t%s)\n\t\tcase $cur in\n\t\t-*) words='", row->name);
	option_words(t, id);
	text_add(t, "' ;;\n\t\t*)\n\t\t\twords='");
	own_words(t, row->operands);
	text_add(t, "'\n");
	if (strstr(row->operands, "PLANTING") != NULL)
		text_add(t, "\t\t\twords+=\" $(_dewpost_plantings)\"\n");
	text_add(t, files ? "\t\t\tfiles=-f\n" : "");
	text_add(t, "\t\t\t;;\n\t\tesac\n\t\t;;\n");
}

static void command_names(struct text *t, const char *between)
{
	for (int i = 0; i < COMMANDS; i++)
		text_addf(t, "%s%s", i > 0 ? between : "", command_row((enum command_id)i)->name);
}

/* The command is the first word that is one. */
static void find_command(struct text *t)
{
	text_add(t, "_dewpost_find() {\n\tfor ((i = 1; i < COMP_CWORD; i++)); do\n\t\tcase ${COMP_WORDS[i]} in\n\t\t");
	command_names(t, " | ");
	text_add(t, ")\n\t\t\tcommand=${COMP_WORDS[i]}\n\t\t\treturn\n\t\t\t;;\n\t\tesac\n\tdone\n}\n\n");
}

static void value_of_option(struct text *t)
{
	text_add(t, "_dewpost_value() {\n\tcase $prev in\n");
	for (int i = 0; i < OPTIONS; i++)
		if (option_row((enum option_id)i)->word != NULL)
			option_case(t, option_row((enum option_id)i));
	text_add(t, "\t*)\n\t\treturn 1\n\t\t;;\n\tesac\n}\n\n");
}

static void word_of_command(struct text *t)
{
	text_add(t, "_dewpost_word() {\n\tcase $command in\n");
	for (int i = 0; i < COMMANDS; i++)
		command_case(t, (enum command_id)i);
	text_add(t, "\t*)\n\t\twords='");
	command_names(t, " ");
	option_words(t, COMMANDS);
	text_add(t, "'\n\t\t;;\n\tesac\n}\n\n");
}

void completion_write(struct text *t)
{
	text_add(t, PLANTINGS);
	find_command(t);
	value_of_option(t);
	word_of_command(t);
	text_add(t, WHOLE);
}
