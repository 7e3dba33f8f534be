#include "manual/pages.h"

#include <string.h>

#include "cli/command.h"
#include "cli/interview.h"
#include "cli/options.h"
#include "facts/var.h"
#include "garden/diaryverb.h"
#include "garden/garden.h"
#include "garden/keys.h"
#include "garden/tables.h"
#include "manual/mdoc.h"
#include "source/describe.h"
#include "source/mapping.h"

#define REMARK ".\\\""
#define MARK   REMARK " TABLE: "

enum { WORDS_SIZE = 1024 };

/* ---- dewpost(1) ---- */

static void synopsis(struct text *t)
{
	for (int i = 0; i < COMMANDS; i++) {
		const struct command *row = command_row((enum command_id)i);
		text_addf(t, ".Nm\n.Cm %s%s", row->name, row->operands[0] != '\0' ? "" : "\n");
		mdoc_operands(t, row->operands);
		text_addf(t, "%s.Op Ar option ...\n", row->operands[0] != '\0' ? "\n" : "");
	}
}

static bool of_some(enum option_id id, enum command_id command)
{
	enum { ALL = (1u << COMMANDS) - 1 };
	unsigned commands = option_row(id)->commands;
	return commands != 0 && commands != ALL && option_taken_by(id, command);
}

static void takes(struct text *t, enum command_id command)
{
	bool any = false;
	for (int i = 0; i < OPTIONS; i++) {
		if (!of_some((enum option_id)i, command))
			continue;
		text_addf(t, any ? " , Fl -%s" : "Takes\n.Fl -%s", option_row((enum option_id)i)->name);
		any = true;
	}
	text_add(t, any ? " .\n" : "");
}

static void command_list(struct text *t)
{
	text_add(t, ".Bl -tag -width Ds\n");
	for (int i = 0; i < COMMANDS; i++) {
		const struct command *row = command_row((enum command_id)i);
		text_addf(t, ".It Cm %s", row->name);
		mdoc_operands(t, row->operands);
		text_add(t, "\n");
		mdoc_words(t, row->summary);
		mdoc_words(t, row->more);
		takes(t, (enum command_id)i);
	}
	text_add(t, ".El\n");
}

static void taken_by(struct text *t, enum option_id id)
{
	bool any = false;
	for (int i = 0; i < COMMANDS; i++) {
		if (!of_some(id, (enum command_id)i))
			continue;
		text_addf(t, any ? " , %s" : "Taken by\n.Cm %s", command_row((enum command_id)i)->name);
		any = true;
	}
	text_add(t, any ? " .\n" : "");
}

static void option_list(struct text *t)
{
	text_add(t, ".Bl -tag -width Ds\n");
	for (int i = 0; i < OPTIONS; i++) {
		const struct option_row *row = option_row((enum option_id)i);
		text_add(t, ".It");
		if (row->letter != 0)
			text_addf(t, " Fl %c ,", row->letter);
		text_addf(t, " Fl -%s", row->name);
		if (row->word != NULL) {
			text_add(t, " Ar ");
			mdoc_argument(t, row->word);
		}
		text_add(t, "\n");
		mdoc_words(t, row->help);
		taken_by(t, (enum option_id)i);
	}
	text_add(t, ".El\n");
}

static void key_item(struct text *t, const char *name, const char *value)
{
	text_addf(t, ".It Cm %s No = ", name);
	mdoc_argument(t, value);
	text_add(t, "\n");
}

static void answers(struct text *t)
{
	const struct question *q;
	text_add(t, ".Bl -tag -width Ds\n");
	for (size_t i = 0; (q = interview_question(i)) != NULL; i++) {
		key_item(t, q->key, q->example);
		mdoc_words(t, q->help);
	}
	text_add(t, ".El\n");
}

static void mapping(struct text *t)
{
	text_add(t, ".Cm");
	for (int k = 0; k < MAPPING_KEYS; k++)
		if (k != MAPPING_KEY_COLUMNS)
			text_addf(t, "%s %s", k > 0 ? " ," : "", mapping_key_name((enum mapping_key)k));
	text_add(t, " .\n");
}

/* An example of each verb, and what else it may be written as. */
static void diary(struct text *t)
{
	text_add(t, ".Bl -tag -width Ds\n");
	for (int v = 0; v < VERBS; v++) {
		const struct diaryverb *row = diaryverb_row((enum verb)v);
		text_add(t, ".It Li ");
		mdoc_argument(t, row->example);
		text_add(t, "\n");
		for (size_t k = 0; row->phrase[k] != NULL; k++)
			text_addf(t, "%s%s", k > 0 ? ", " : "", row->phrase[k]);
		text_add(t, "\n");
	}
	text_add(t, ".El\n");
}

/* ---- garden.ini(5) ---- */

/* Keys that are told in their own section. */
static void shared_keys(struct text *t, const struct key_section *kind)
{
	if (kind->shareds == 0)
		return;
	mdoc_words(t, kind->shared_help);
	for (size_t i = 0; i < kind->shareds; i++)
		text_addf(t, i == 0 ? ".Cm %s" : " , %s", kind->shared[i].name);
	text_add(t, " .\n");
}

static void keys(struct text *t, const struct key_section *kind, size_t kinds)
{
	for (size_t i = 0; i < kinds; i++) {
		text_addf(t, ".Ss [%s%s]\n", kind[i].kind, kind[i].named ? " NAME" : "");
		mdoc_words(t, kind[i].help);
		text_add(t, ".Bl -tag -width Ds\n");
		for (size_t j = 0; j < kind[i].keys; j++) {
			const struct key *k = &kind[i].key[j];
			char mem[WORDS_SIZE];
			struct text help;
			text_over(&help, mem, sizeof mem);
			keys_help(k, &help);
			key_item(t, k->name, k->example);
			mdoc_words(t, help.at);
		}
		text_add(t, ".El\n");
		shared_keys(t, &kind[i]);
	}
}

static void garden(struct text *t)
{
	size_t n;
	const struct key_section *kind = garden_sections(&n);
	keys(t, kind, n);
}

static void crops(struct text *t)
{
	size_t n;
	const struct key_section *kind = tables_crops_sections(&n);
	keys(t, kind, n);
}

static void covers(struct text *t)
{
	size_t n;
	const struct key_section *kind = tables_covers_sections(&n);
	keys(t, kind, n);
}

/* ---- dewpost-source(5) ---- */

static void source_key(struct text *t, const struct describe_key *k)
{
	text_addf(t, ".It Cm %s%s No = ", k->key, k->form == KEY_NAMED ? ".NAME" : "");
	mdoc_argument(t, k->value);
	text_add(t, "\n");
	mdoc_words(t, k->help);
	if (k->form == KEY_NUMBERED)
		text_addf(t, "Also\n.Cm %s.2\nto\n.Cm %s.%d .\n", k->key, k->key, DESCRIBE_WAYS_MAX);
}

static void source_section(struct text *t, enum describe_section which, const char *head)
{
	const struct describe_key *k;
	text_addf(t, ".Ss %s\n.Bl -tag -width Ds\n", head);
	for (size_t i = 0; (k = describe_key_at(i)) != NULL; i++)
		if ((k->sections & which) != 0 && (which != SECTION_VAR || k->sections == SECTION_VAR))
			source_key(t, k);
	text_add(t, ".El\n");
}

static void source(struct text *t)
{
	const struct describe_key *k;
	bool any = false;
	source_section(t, SECTION_SOURCE, "[source]");
	source_section(t, SECTION_STEP, "[step NAME]");
	source_section(t, SECTION_DATA, "[data]");
	source_section(t, SECTION_VAR, "[var VARIABLE]");
	text_add(t, "What a variable does differently from\n.Cm [data]\nit says itself:\n.Cm");
	for (size_t i = 0; (k = describe_key_at(i)) != NULL; i++) {
		if (k->sections != (SECTION_DATA | SECTION_VAR))
			continue;
		text_addf(t, "%s %s", any ? " ," : "", k->key);
		any = true;
	}
	text_add(t, " .\n");
}

static void variables(struct text *t)
{
	text_add(t, ".Bl -tag -width Ds\n");
	for (int i = 0; i < VARS; i++) {
		const struct var_row *row = var_row((enum var)i);
		if (!row->described)
			continue;
		text_addf(t, ".It Cm %s\n", row->name);
		mdoc_words(t, row->note);
	}
	text_add(t, ".El\n");
}

/* ---- all ---- */

static const struct part {
	const char *name;
	void (*write)(struct text *t);
} PARTS[] = {
    {"synopsis", synopsis}, {"commands", command_list}, {"options", option_list}, {"mapping", mapping},
    {"setup", answers},     {"garden", garden},         {"crops", crops},         {"covers", covers},
    {"source", source},     {"variables", variables},   {"diary", diary},
};

static const struct part *part_named(const char *name, size_t n)
{
	for (size_t i = 0; i < sizeof PARTS / sizeof PARTS[0]; i++)
		if (strlen(PARTS[i].name) == n && strncmp(PARTS[i].name, name, n) == 0)
			return &PARTS[i];
	return NULL;
}

enum fault_code pages_fill(const char *page, struct text *t, struct fault *f)
{
	for (size_t n; *page != '\0'; page += n) {
		n = strcspn(page, "\n");
		n += page[n] == '\n';
		if (strncmp(page, REMARK, strlen(REMARK)) != 0)
			text_add_n(t, page, n);
		if (strncmp(page, MARK, strlen(MARK)) != 0)
			continue;
		const char *name = page + strlen(MARK);
		size_t letters = strcspn(name, "\n");
		const struct part *part = part_named(name, letters);
		if (part == NULL)
			return fault_set(f, FAULT_DATA, "no part \"%.*s\"", (int)letters, name);
		part->write(t);
	}
	return text_ok(t, "the page", f);
}
