#include "record/diary.h"

#include <math.h>
#include <string.h>

#include "base/instant.h"
#include "base/mem.h"
#include "base/num.h"
#include "base/suggest.h"
#include "base/utf8.h"
#include "cli/command.h"
#include "cli/context.h"
#include "cli/json.h"
#include "cli/options.h"
#include "cli/screen.h"
#include "garden/diaryline.h"
#include "note/entrywords.h"

enum { DIARY_SIZE = 64 * 1024 * 1024, LINE_SIZE = 4096, DIARY_PIECE = 1024, DIARY_COLUMNS = 72, DIARY_WORDS = 22 };

static struct date today(const struct context *c)
{
	return zone_date(&c->zone, c->now);
}

static enum fault_code say(struct text *t, struct fault *f)
{
	enum fault_code code = screen_text(t, "the diary", f);
	text_free(t);
	return code;
}

/* ---- add ---- */

static void say_entries(const struct context *c, const struct entry *e, size_t n, const char *before, struct text *t)
{
	for (size_t i = 0; i < n; i++) {
		char mem[DIARY_PIECE];
		struct text words;
		text_over(&words, mem, sizeof mem);
		text_add(&words, before);
		entrywords_dated(&e[i], c->garden.units, today(c), &words);
		utf8_wrap(t, words.at, 0, 2, DIARY_COLUMNS);
		text_add(t, "\n");
	}
}

static enum fault_code add(struct context *c, struct fault *f)
{
	const struct options *o = c->options;
	char line[LINE_SIZE];
	struct text words, said;
	struct diaryline read;
	text_over(&words, line, sizeof line);
	for (size_t i = 1; i < o->operands; i++)
		text_addf(&words, "%s%s", i > 1 ? " " : "", o->operand[i]);
	if (text_ok(&words, "the line", f) || diaryline_read(line, &c->garden, today(c), &read, f))
		return fault_place(f, "diary add: ");
	for (size_t i = 0; i < read.n; i++)
		read.entry[i].written = c->now;
	if (context_record(c, f) || diary_append_all(c->record, c->garden.id, read.entry, read.n, f))
		return f->code;
	text_init(&said, DIARY_SIZE);
	say_entries(c, read.entry, read.n, "", &said);
	return say(&said, f);
}

/* ---- list ---- */

static void list_entry(const struct context *c, const struct entry *e, struct text *t)
{
	char mem[DIARY_PIECE], day[DATE_TEXT_SIZE];
	struct text words;
	text_over(&words, mem, sizeof mem);
	entrywords(e, c->garden.units, &words);
	text_addf(t, "%5lld  %s %s  ", (long long)e->id, date_weekday_short(date_weekday(e->date)),
		  date_text(e->date, day));
	utf8_wrap(t, words.at, DIARY_WORDS + 1, DIARY_WORDS + 1, DIARY_COLUMNS);
	text_add(t, "\n");
}

/* Nothing where there is no record yet. */
static enum fault_code standing(struct context *c, struct entry **all, size_t *n, struct fault *f)
{
	*all = NULL;
	*n = 0;
	if (c->record == NULL)
		return FAULT_NONE;
	return diary_list(c->record, c->garden.id, DIARY_STANDING, all, n, f);
}

static enum fault_code list(struct context *c, struct fault *f)
{
	struct entry *all;
	size_t n;
	struct text t;
	if (context_peek(c, f) || standing(c, &all, &n, f))
		return f->code;
	enum fault_code code = FAULT_NONE;
	text_init(&t, DIARY_SIZE);
	if (options_given(c->options, OPTION_JSON))
		code = json_diary(all, n, &t, f);
	else if (n == 0)
		text_add(&t, "nothing yet; dewpost diary add \"planted out green-1\" is how it begins\n");
	for (size_t i = 0; i < n && !options_given(c->options, OPTION_JSON); i++)
		list_entry(c, &all[i], &t);
	mem_free(all);
	if (code == FAULT_NONE)
		return say(&t, f);
	text_free(&t);
	return code;
}

/* ---- undo ---- */

/* The entries of the line that was written last: of one text and instant. */
static size_t last_line(const struct entry *all, size_t n, struct entry which[static DIARYLINE_ENTRIES])
{
	const struct entry *last = NULL;
	size_t found = 0;
	for (size_t i = 0; i < n; i++)
		if (last == NULL || all[i].id > last->id)
			last = &all[i];
	for (size_t i = 0; last != NULL && i < n && found < DIARYLINE_ENTRIES; i++)
		if (all[i].written == last->written && strcmp(all[i].text, last->text) == 0)
			which[found++] = all[i];
	return found;
}

static enum fault_code find(const struct context *c, const struct entry *all, size_t n,
			    struct entry which[static DIARYLINE_ENTRIES], size_t *found, struct fault *f)
{
	const struct options *o = c->options;
	int64_t id;
	*found = 0;
	if (o->operands == 1) {
		*found = last_line(all, n, which);
		return *found > 0 ? FAULT_NONE
				  : fault_set(f, FAULT_USAGE, "diary undo: there is nothing in the diary to take back");
	}
	if (num_int(o->operand[1], 1, INT64_MAX, &id, f) != FAULT_NONE) {
		f->code = FAULT_USAGE;
		return fault_place(f, "diary undo: ");
	}
	which[0] = (struct entry){.id = id};
	for (size_t i = 0; i < n; i++)
		if (all[i].id == id)
			which[0] = all[i];
	*found = 1;
	return FAULT_NONE;
}

static enum fault_code take_back(struct context *c, const struct entry *which, size_t n, struct fault *f)
{
	struct entry back[DIARYLINE_ENTRIES];
	struct text t;
	for (size_t i = 0; i < n; i++) {
		struct text words;
		back[i] = (struct entry){
		    .written = c->now, .date = today(c), .verb = "undo", .amount = (double)NAN, .undoes = which[i].id};
		text_over(&words, back[i].text, sizeof back[i].text);
		text_addf(&words, "undo %lld", (long long)which[i].id);
	}
	if (diary_append_all(c->record, c->garden.id, back, n, f) != FAULT_NONE)
		return f->code;
	text_init(&t, DIARY_SIZE);
	say_entries(c, which, n, "taken back: ", &t);
	return say(&t, f);
}

static enum fault_code undo(struct context *c, struct fault *f)
{
	struct entry *all, which[DIARYLINE_ENTRIES];
	size_t n, found;
	if (c->options->operands > 2)
		return fault_set(f, FAULT_USAGE,
				 "diary undo: one number, of those that dewpost diary list shows, is right");
	if (context_record(c, f) || standing(c, &all, &n, f))
		return f->code;
	enum fault_code code = find(c, all, n, which, &found, f);
	mem_free(all);
	return code == FAULT_NONE ? take_back(c, which, found, f) : code;
}

/* ---- which of them ---- */

static const struct {
	const char *name;
	enum fault_code (*run)(struct context *c, struct fault *f);
} ACTIONS[] = {{"add", add}, {"list", list}, {"undo", undo}};

enum { ACTION_COUNT = sizeof ACTIONS / sizeof *ACTIONS };

static enum fault_code not_known(const char *name, struct fault *f)
{
	const char *known[ACTION_COUNT];
	for (size_t i = 0; i < ACTION_COUNT; i++)
		known[i] = ACTIONS[i].name;
	if (name == NULL)
		return fault_set(f, FAULT_USAGE, "diary: what is to be done; add \"TEXT\", list or undo [ID] is right");
	const char *near = suggest(name, known, ACTION_COUNT);
	if (near != NULL)
		return fault_set(f, FAULT_USAGE, "diary: \"%.60s\" is not known; did you mean %s?", name, near);
	return fault_set(f, FAULT_USAGE, "diary: \"%.60s\" is not known; add \"TEXT\", list or undo [ID] is right",
			 name);
}

enum fault_code command_diary(struct context *c, struct fault *f)
{
	const struct options *o = c->options;
	const char *name = o->operands > 0 ? o->operand[0] : NULL;
	for (size_t i = 0; name != NULL && i < ACTION_COUNT; i++) {
		if (strcmp(ACTIONS[i].name, name) != 0)
			continue;
		if (options_given(o, OPTION_JSON) && ACTIONS[i].run != list)
			return fault_set(f, FAULT_USAGE, "diary %s takes no --json; diary list does", name);
		if (ACTIONS[i].run == list && o->operands > 1)
			return fault_set(f, FAULT_USAGE, "diary list: one word too many, \"%.60s\"", o->operand[1]);
		return context_load(c, f) ? f->code : ACTIONS[i].run(c, f);
	}
	return not_known(name, f);
}
