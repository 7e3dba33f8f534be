#include <stdlib.h>
#include <string.h>

#include "base/file.h"
#include "base/instant.h"
#include "base/mem.h"
#include "base/unit.h"
#include "cli/command.h"
#include "cli/context.h"
#include "cli/diarycsv.h"
#include "cli/options.h"
#include "cli/screen.h"
#include "record/copy.h"
#include "record/diary.h"
#include "record/health.h"
#include "record/issuestore.h"
#include "record/prune.h"

enum { SAY_SIZE = 16 * 1024, PIECE = 64 * 1024, KEEP_DAYS = 30, KEEP_MOST_DAYS = 3650 };

static const int64_t MB_BYTES = 1000000, TENTHS = 10;

/* The garden file says which record, and whose diary. */
static enum fault_code load(struct context *c, struct fault *f)
{
	return context_tables(c, f) || context_garden(c, f) ? f->code : FAULT_NONE;
}

/* To write, but never to make one: what would it be good for? */
static enum fault_code open_there(struct context *c, struct fault *f)
{
	if (!file_is(c->record_path))
		return record_open(c->record_path, RECORD_READ_ONLY, &c->record, f);
	return record_open(c->record_path, RECORD_READ_WRITE, &c->record, f);
}

static void add_size(struct text *t, int64_t bytes)
{
	int64_t tenths = (bytes * TENTHS + MB_BYTES / 2) / MB_BYTES;
	text_addf(t, "%lld.%lld MB", (long long)(tenths / TENTHS), (long long)(tenths % TENTHS));
}

static void add_count(struct text *t, int64_t n, const char *one)
{
	text_addf(t, "%lld %s%s", (long long)n, one, n == 1 ? "" : "s");
}

static enum fault_code say(struct text *t, struct fault *f)
{
	enum fault_code code = screen_text(t, "what there is to say", f);
	text_clear(t);
	return code;
}

/* ---- backup ---- */

static enum fault_code backup(struct context *c, const char *file, struct text *t, struct fault *f)
{
	(void)t;
	if (file == NULL)
		return fault_set(f, FAULT_USAGE, "record backup: to which file? dewpost record backup FILE is right");
	if (record_open(c->record_path, RECORD_AS_IS, &c->record, f))
		return f->code;
	return record_copy(c->record, file, f);
}

/* ---- check ---- */

static void say_fine(const struct context *c, const struct record_counts *n, struct text *t)
{
	text_addf(t, "fine: %s, ", c->record_path);
	add_size(t, n->bytes);
	text_add(t, ": ");
	add_count(t, n->places, "place");
	text_add(t, ", ");
	add_count(t, n->hours, "row");
	text_add(t, " of hours, ");
	add_count(t, n->issues, "forecast");
	text_add(t, ", ");
	add_count(t, n->station_days, "station day");
	text_addf(t, ", %lld in the diary, ", (long long)n->entries);
	add_count(t, n->letters, "note");
	text_add(t, "\n");
}

static void say_damage(const struct context *c, const struct faults *found, struct text *t)
{
	for (size_t i = 0; i < found->n; i++)
		text_addf(t, "%s: %s\n", c->record_path, found->at[i].text);
	if (found->more > 0)
		text_addf(t, "and %zu more\n", found->more);
	text_add(
	    t,
	    "What to do: `dewpost record diary` may still write the diary out. Put your last backup in this\n"
	    "file's place while no dewpost runs (this one aside, under another name); without one, move this\n"
	    "one away, and the next fetch makes a new one, into which `dewpost record diary FILE` takes the diary.\n");
}

static enum fault_code check(struct context *c, const char *file, struct text *t, struct fault *f)
{
	(void)file;
	struct record_counts n;
	struct faults found = {0};
	struct fault own = {0};
	enum fault_code code = record_open(c->record_path, RECORD_AS_IS, &c->record, &own);
	if (code == FAULT_NONE)
		code = record_examine(c->record, &found, &own);
	if (code == FAULT_NONE && found.n == 0)
		code = record_count(c->record, &n, &own);
	/* Too damaged to be opened, or another program's: its own line says which. */
	if (code != FAULT_NONE) {
		*f = own;
		return code;
	}
	if (found.n == 0)
		say_fine(c, &n, t);
	else
		say_damage(c, &found, t);
	return faults_code(&found);
}

/* ---- prune ---- */

static enum fault_code keep_time(const struct context *c, int64_t *keep_s, struct fault *f)
{
	const char *word = c->options->word[OPTION_KEEP];
	const int64_t least_s = ISSUESTORE_KEEP_S, most_s = (int64_t)KEEP_MOST_DAYS * DAY_S;
	double s;
	*keep_s = (int64_t)KEEP_DAYS * DAY_S;
	if (word == NULL)
		return FAULT_NONE;
	enum fault_code code = unit_value(word, UNIT_DURATION, &s, f);
	if (code == FAULT_NONE && !(s >= (double)least_s && s <= (double)most_s))
		code = fault_set(f, FAULT_USAGE, "\"%.40s\": from %d days to %d days is right", word,
				 (int)(ISSUESTORE_KEEP_S / DAY_S), (int)KEEP_MOST_DAYS);
	if (code != FAULT_NONE) {
		f->code = FAULT_USAGE;
		return fault_place(f, "--keep: ");
	}
	*keep_s = (int64_t)s;
	return FAULT_NONE;
}

static void say_dropped(const struct pruned *p, int64_t keep_s, struct text *t)
{
	long long days = keep_s / DAY_S;
	int64_t memos = p->memos + p->found;
	if (p->hours + p->issues + p->runs + memos == 0)
		text_add(t, "nothing to drop\n");
	if (p->hours > 0) {
		add_count(t, p->hours, "hour");
		text_addf(t, " of forecasts dropped: older than %lld days, and better known since\n", days);
	}
	if (p->issues > 0) {
		add_count(t, p->issues, "forecast");
		text_addf(t, " dropped that no note was made of, %lld kept\n", (long long)p->issues_left);
	}
	if (p->runs > 0) {
		add_count(t, p->runs, "run");
		text_addf(t, " dropped from the log of fetches, older than %lld days\n", days);
	}
	if (memos > 0) {
		add_count(t, memos, "memo");
		text_addf(t, " dropped of services that were asked nothing for %lld days\n", days);
	}
}

static void say_size(const struct context *c, const struct pruned *p, struct text *t)
{
	text_addf(t, "%s: ", c->record_path);
	add_size(t, p->before);
	text_add(t, " before, ");
	add_size(t, p->after);
	text_add(t, " after\n");
}

static enum fault_code prune(struct context *c, const char *file, struct text *t, struct fault *f)
{
	(void)file;
	struct pruned p;
	int64_t keep_s;
	if (keep_time(c, &keep_s, f) || open_there(c, f) || record_prune(c->record, c->now, keep_s, &p, f))
		return f->code;
	say_dropped(&p, keep_s, t);
	if (say(t, f))
		return f->code;
	if (record_shrink(c->record, &p, f))
		return fault_place(f, "the file is as large as before: ");
	say_size(c, &p, t);
	return FAULT_NONE;
}

/* ---- diary ---- */

static int by_id(const void *a, const void *b)
{
	const struct entry *x = a, *y = b;
	return (x->id > y->id) - (x->id < y->id);
}

/* The numbers of a file are those of its lines, whatever other gardens wrote in between. */
static int64_t number_of(const struct entry *all, size_t n, int64_t id)
{
	const struct entry key = {.id = id};
	const struct entry *at = bsearch(&key, all, n, sizeof *all, by_id);
	return at != NULL ? at - all + 1 : 0;
}

static enum fault_code write_entries(const struct context *c, const struct entry *all, size_t n, struct text *t,
				     struct fault *f)
{
	diarycsv_head(t);
	for (size_t i = 0; i < n; i++) {
		struct entry e = all[i];
		e.id = (int64_t)i + 1;
		e.undoes = e.undoes != 0 ? number_of(all, n, e.undoes) : 0;
		diarycsv_line(c->garden.id, &e, t);
		if (t->len >= PIECE && say(t, f))
			return f->code;
	}
	return FAULT_NONE;
}

static enum fault_code diary_out(struct context *c, struct text *t, struct fault *f)
{
	struct entry *all = NULL;
	size_t n = 0;
	if (record_open(c->record_path, RECORD_AS_IS, &c->record, f) ||
	    diary_list(c->record, c->garden.id, DIARY_ALL, &all, &n, f))
		return f->code;
	if (n > 0)
		qsort(all, n, sizeof *all, by_id);
	enum fault_code code = write_entries(c, all, n, t, f);
	mem_free(all);
	return code;
}

static enum fault_code diary_in(struct context *c, const char *file, struct text *t, struct fault *f)
{
	struct diarycsv d;
	struct diary_taken taken = {0};
	enum fault_code code = diarycsv_read(file, c->garden.id, &d, &c->wrong, f);
	if (code == FAULT_NONE)
		code = record_open(c->record_path, RECORD_READ_WRITE, &c->record, f);
	if (code == FAULT_NONE) {
		code = diary_take(c->record, c->garden.id, d.entries, d.n, &taken, f);
		if (code == FAULT_DATA && taken.wrong < d.n)
			fault_place(f, "%s:%zu: ", file, d.line[taken.wrong]);
	}
	if (code == FAULT_NONE)
		text_addf(t, "%zu taken in, %zu there already\n", taken.added, taken.there);
	diarycsv_free(&d);
	return code;
}

static enum fault_code diary(struct context *c, const char *file, struct text *t, struct fault *f)
{
	return file != NULL ? diary_in(c, file, t, f) : diary_out(c, t, f);
}

/* ---- which of them ---- */

/* What is left in the text is printed, also after a fault. */
typedef enum fault_code action(struct context *c, const char *file, struct text *t, struct fault *f);

static const struct {
	const char *name;
	bool file; /* takes one */
	action *run;
} ACTIONS[] = {{"backup", true, backup}, {"check", false, check}, {"prune", false, prune}, {"diary", true, diary}};

static enum fault_code run(struct context *c, const char *file, action *act, struct fault *f)
{
	struct text t;
	struct fault late;
	text_init(&t, PIECE + SAY_SIZE);
	enum fault_code code = load(c, f);
	if (code == FAULT_NONE)
		code = act(c, file, &t, f);
	enum fault_code said = say(&t, &late);
	text_free(&t);
	if (code == FAULT_NONE && said != FAULT_NONE) {
		*f = late;
		code = said;
	}
	return code;
}

enum fault_code command_record(struct context *c, struct fault *f)
{
	const struct options *o = c->options;
	const char *name = o->operands > 0 ? o->operand[0] : "";
	for (size_t i = 0; i < sizeof ACTIONS / sizeof *ACTIONS; i++) {
		if (strcmp(ACTIONS[i].name, name) != 0)
			continue;
		if (o->operands > 1 && !ACTIONS[i].file)
			return fault_set(f, FAULT_USAGE, "record %s: one word too many, \"%.60s\"", name,
					 o->operand[1]);
		if (options_given(o, OPTION_KEEP) && ACTIONS[i].run != prune)
			return fault_set(f, FAULT_USAGE, "record %s takes no --keep; record prune does", name);
		return run(c, o->operands > 1 ? o->operand[1] : NULL, ACTIONS[i].run, f);
	}
	return fault_set(f, FAULT_USAGE, "record: %s%.60s%s; backup FILE, check, prune or diary [FILE] is right",
			 name[0] != '\0' ? "\"" : "what is to be done", name, name[0] != '\0' ? "\" is not known" : "");
}
