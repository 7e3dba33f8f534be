#include <string.h>

#include "base/mem.h"
#include "cli/ask.h"
#include "cli/backfill.h"
#include "cli/check_climate.h"
#include "cli/check_diary.h"
#include "cli/check_live.h"
#include "cli/check_source.h"
#include "cli/command.h"
#include "cli/context.h"
#include "cli/findings.h"
#include "cli/options.h"
#include "cli/screen.h"
#include "source/describe.h"

enum { CHECK_SIZE = 64 * 1024 };

static bool check_garden(struct context *c, struct findings *w)
{
	struct fault f = {0};
	if (context_tables(c, &f) != FAULT_NONE) {
		findings_all_wrong(w, "tables", &c->wrong);
		return false;
	}
	findings_head(w, "tables");
	text_addf(&w->lines, "fine: %zu crops and %zu covers from %s\n", c->crops.n, c->covers.n, c->tables);
	if (context_garden(c, &f) != FAULT_NONE || context_zone(c, &f) != FAULT_NONE) {
		findings_all_wrong(w, "garden", &c->wrong);
		if (f.text[0] != '\0')
			findings_wrong(w, "garden", &f);
		return false;
	}
	findings_head(w, "garden");
	text_addf(&w->lines, "fine: %s, %zu bed%s, %zu tub%s, %zu planting%s, %s time\n", c->garden_path,
		  c->garden.beds, c->garden.beds == 1 ? "" : "s", c->garden.tubs, c->garden.tubs == 1 ? "" : "s",
		  c->garden.plantings, c->garden.plantings == 1 ? "" : "s", c->garden.timezone);
	return true;
}

typedef enum fault_code find_description(const struct context *c, char path[static PATHS_SIZE], struct fault *f);

static enum fault_code load(struct context *c, find_description *find, struct description *d, struct fault *f)
{
	char path[PATHS_SIZE];
	if (find(c, path, f) != FAULT_NONE)
		return f->code;
	enum fault_code code = describe_load(path, d, &c->wrong);
	if (code != FAULT_NONE)
		return code;
	if (find == context_history && backfill_can(d, f) != FAULT_NONE)
		return fault_place(f, "%s:%d: history: ", c->garden_path, c->garden.history_line);
	return ask_contact(d, c->garden.contact, f) != FAULT_NONE ? fault_place(f, "%s: ", c->garden_path) : FAULT_NONE;
}

static void check_description(struct context *c, const char *what, find_description *find, struct findings *w)
{
	struct fault f = {0};
	struct description *d = mem_new(1, sizeof *d);
	if (d == NULL)
		fault_set(&f, FAULT_MEMORY, "out of memory");
	else if (load(c, find, d, &f) == FAULT_NONE) {
		findings_head(w, what);
		text_addf(&w->lines, "fine: %s, %zu variables\n", d->title, d->vars);
	}
	if (c->wrong.n > 0)
		findings_all_wrong(w, what, &c->wrong);
	else if (f.code != FAULT_NONE)
		findings_wrong(w, what, &f);
	mem_free(d);
}

/* `live`: what only shows when it is tried is tried too. */
static enum fault_code check_all(struct context *c, bool live, struct fault *f)
{
	struct findings w = {.code = FAULT_NONE};
	text_init(&w.lines, CHECK_SIZE);
	check_live_year(c, &w);
	if (check_garden(c, &w)) {
		check_description(c, "source", context_source, &w);
		if (c->garden.history[0] != '\0')
			check_description(c, "history", context_history, &w);
		if (live)
			check_live_fetch(c, &w);
		findings_record(c, true, &w);
		check_diary(c, &w);
		check_climate(c, &w);
		if (live) {
			check_live_mail(c, &w);
			check_live_timers(&w);
		}
	}
	enum fault_code code = screen_text(&w.lines, "what was found", f);
	text_free(&w.lines);
	return code != FAULT_NONE ? code : w.code;
}

enum fault_code command_check(struct context *c, struct fault *f)
{
	const struct options *o = c->options;
	if (o->operands == 0 && o->answers == 0)
		return check_all(c, false, f);
	if (o->operands == 1 && o->answers == 0 && strcmp(o->operand[0], "live") == 0)
		return check_all(c, true, f);
	if (o->operands == 0)
		return fault_set(f, FAULT_USAGE,
				 "check: answers are read by a source description; right is: dewpost "
				 "check source FILE --answer FILE");
	if (strcmp(o->operand[0], "source") != 0 || o->operands < 2)
		return fault_set(
		    f, FAULT_USAGE,
		    "check: \"%.40s\" is not known here; right is: dewpost check live, or dewpost check source FILE",
		    o->operand[0]);
	return check_source(o->operand[1], o->answer, o->answers, c->now, &c->wrong, f);
}
