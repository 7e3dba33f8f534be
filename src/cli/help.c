#include "cli/help.h"

#include <string.h>

#include "base/utf8.h"
#include "cli/options.h"

enum { HELP_COLUMNS = 80, HELP_INDENT = 22, HELP_HEAD = 64, HELP_PIECE = 1024 };

/* "  left      words, wrapped under each other". */
static void item(struct text *t, const char *left, const char *words)
{
	size_t width = strlen(left) + 2;
	text_addf(t, "  %s", left);
	if (width + 1 > HELP_INDENT) {
		text_add(t, "\n");
		width = 0;
	}
	text_add_char(t, ' ', HELP_INDENT - width);
	utf8_wrap(t, words, HELP_INDENT, HELP_INDENT, HELP_COLUMNS);
	text_add(t, "\n");
}

static void option_item(struct text *t, const struct option_row *row)
{
	char mem[HELP_HEAD];
	struct text head;
	text_over(&head, mem, sizeof mem);
	if (row->letter != 0)
		text_addf(&head, "-%c, ", row->letter);
	text_addf(&head, "--%s", row->name);
	if (row->word != NULL)
		text_addf(&head, " %s", row->word);
	item(t, head.at, row->help);
}

static void whole(struct text *t)
{
	text_add(t, "Usage: dewpost COMMAND [OPTION...]\n\n");
	utf8_wrap(t,
		  "A short note each morning for whoever grows tender vegetables: what to do in the "
		  "garden today, and why.",
		  0, 0, HELP_COLUMNS);
	text_add(t, "\n\nCommands\n");
	for (int i = 0; i < COMMANDS; i++) {
		const struct command *row = command_row((enum command_id)i);
		item(t, row->name, row->summary);
	}
	text_add(t, "\nOptions\n");
	for (int i = 0; i < OPTIONS; i++)
		if (option_row((enum option_id)i)->commands == 0)
			option_item(t, option_row((enum option_id)i));
	text_add(t, "\ndewpost COMMAND --help says what a command takes.\n");
}

void help_write(enum command_id id, struct text *t)
{
	if (id == COMMANDS) {
		whole(t);
		return;
	}
	const struct command *row = command_row(id);
	char mem[HELP_PIECE];
	struct text words;
	text_over(&words, mem, sizeof mem);
	text_addf(&words, "%s: %s. %s", row->name, row->summary, row->more);
	text_addf(t, "Usage: dewpost %s%s%s [OPTION...]\n\n", row->name, row->operands[0] != '\0' ? " " : "",
		  row->operands);
	utf8_wrap(t, words.at, 0, 0, HELP_COLUMNS);
	text_add(t, "\n\nOptions\n");
	for (int i = 0; i < OPTIONS; i++)
		if (option_taken_by((enum option_id)i, id))
			option_item(t, option_row((enum option_id)i));
}
