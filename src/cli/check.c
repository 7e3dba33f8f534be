#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/instant.h"
#include "base/mem.h"
#include "cli/check_source.h"
#include "cli/command.h"
#include "cli/compose.h"
#include "cli/context.h"
#include "cli/options.h"
#include "cli/screen.h"
#include "note/phrase.h"
#include "record/issuestore.h"
#include "source/describe.h"

enum { CHECK_SIZE = 64 * 1024, CHECK_HEAD = 10 };

/* What has been found so far: the lines, and the code of the worst. */
struct found {
	struct text lines;
	enum fault_code code;
};

static void head(struct found *w, const char *what)
{
	text_addf(&w->lines, "%-*s", CHECK_HEAD, what);
}

/* What is wrong is a line too; the first code counts, since the later ones often follow from it. */
static void wrong(struct found *w, const char *what, const struct fault *f)
{
	head(w, what);
	text_addf(&w->lines, "%s\n", f->text);
	w->code = w->code == FAULT_NONE ? f->code : w->code;
}

static void all_wrong(struct found *w, const char *what, struct faults *list)
{
	for (size_t i = 0; i < list->n; i++)
		wrong(w, what, &list->at[i]);
	if (list->more > 0) {
		head(w, what);
		text_addf(&w->lines, "and %zu more\n", list->more);
	}
	*list = (struct faults){0};
}

static void check_plantings(struct context *c, struct found *w)
{
	const struct garden *g = &c->garden;
	for (size_t i = 0; i < g->plantings; i++) {
		const struct planting *p = &g->planting[i];
		if (date_is(p->sown) || date_is(p->planted))
			continue;
		head(w, "planting");
		text_addf(&w->lines, "%s has neither sown = nor planted =: nothing can be said of it\n", p->name);
	}
}

static bool check_garden(struct context *c, struct found *w)
{
	struct fault f = {0};
	if (context_tables(c, &f) != FAULT_NONE) {
		all_wrong(w, "tables", &c->wrong);
		return false;
	}
	head(w, "tables");
	text_addf(&w->lines, "fine: %zu crops from %s\n", c->crops.n, c->tables);
	if (context_garden(c, &f) != FAULT_NONE || context_zone(c, &f) != FAULT_NONE) {
		all_wrong(w, "garden", &c->wrong);
		if (f.text[0] != '\0')
			wrong(w, "garden", &f);
		return false;
	}
	head(w, "garden");
	text_addf(&w->lines, "fine: %s, %zu bed%s, %zu tub%s, %zu planting%s, %s time\n", c->garden_path,
		  c->garden.beds, c->garden.beds == 1 ? "" : "s", c->garden.tubs, c->garden.tubs == 1 ? "" : "s",
		  c->garden.plantings, c->garden.plantings == 1 ? "" : "s", c->garden.timezone);
	check_plantings(c, w);
	return true;
}

static void check_description(struct context *c, struct found *w)
{
	char path[PATHS_SIZE];
	struct fault f = {0};
	struct description *d = mem_new(1, sizeof *d);
	if (d == NULL) {
		fault_set(&f, FAULT_MEMORY, "out of memory");
		wrong(w, "source", &f);
		return;
	}
	if (context_source(c, path, &f) != FAULT_NONE) {
		wrong(w, "source", &f);
	} else if (describe_load(path, d, &c->wrong) != FAULT_NONE) {
		all_wrong(w, "source", &c->wrong);
	} else if (d->contact && c->garden.contact[0] == '\0') {
		fault_set(&f, FAULT_CONFIG,
			  "%s: %s wants to know whom to write to; contact = you@example.org is missing", c->garden_path,
			  d->title);
		wrong(w, "source", &f);
	} else {
		head(w, "source");
		text_addf(&w->lines, "fine: %s, %zu variables\n", d->title, d->vars);
	}
	mem_free(d);
}

/* A cell far off or much higher is another climate: a wrong place is worse than none. */
static void say_cell(const struct context *c, const struct issue *newest, struct text *t)
{
	if (isnan(newest->cell_latitude) || isnan(newest->cell_longitude))
		return;
	text_addf(t, "%-*sits forecast is for a cell %.0f km from the garden", CHECK_HEAD, "cell",
		  place_distance_km(&c->garden.place, newest->cell_latitude, newest->cell_longitude));
	double apart_m = newest->cell_elevation_m - c->garden.elevation_m;
	if (!isnan(apart_m))
		text_addf(t, ", %.0f m %s", fabs(apart_m), apart_m > 0 ? "higher" : "lower");
	text_add(t, "\n");
}

static void say_issues(const struct context *c, const struct issue *newest, size_t issues, struct found *w)
{
	head(w, "record");
	text_addf(&w->lines, "fine: %s, ", c->record_path);
	if (newest->source[0] == '\0') {
		text_add(&w->lines, "no forecast yet: dewpost fetch\n");
		return;
	}
	text_addf(&w->lines, "%zu forecast%s, the newest %s came in ", issues, issues == 1 ? "" : "s", newest->source);
	phrase_age(&w->lines, c->now > newest->received ? c->now - newest->received : 0);
	text_add(&w->lines, " ago\n");
	say_cell(c, newest, &w->lines);
}

static void check_record(struct context *c, struct found *w)
{
	struct fault f = {0};
	struct issue newest;
	struct issue_row *rows = NULL;
	size_t issues = 0;
	issue_init(&newest);
	if (context_peek(c, &f) != FAULT_NONE) {
		wrong(w, "record", &f);
		return;
	}
	if (!c->placed) {
		head(w, "record");
		text_addf(&w->lines, "none yet of this place: dewpost fetch makes %s\n", c->record_path);
		return;
	}
	if (record_check(c->record, &f) != FAULT_NONE ||
	    issuestore_list(c->record, c->place, &rows, &issues, &f) != FAULT_NONE ||
	    issuestore_head_at(c->record, c->place, c->now, 0, &newest, &f) != FAULT_NONE)
		wrong(w, "record", &f);
	else
		say_issues(c, &newest, issues, w);
	mem_free(rows);
	issue_free(&newest);
}

static enum fault_code check_all(struct context *c, struct fault *f)
{
	struct found w = {.code = FAULT_NONE};
	text_init(&w.lines, CHECK_SIZE);
	if (check_garden(c, &w)) {
		check_description(c, &w);
		check_record(c, &w);
	}
	enum fault_code code = screen_text(&w.lines, "what was found", f);
	text_free(&w.lines);
	return code != FAULT_NONE ? code : w.code;
}

enum fault_code command_check(struct context *c, struct fault *f)
{
	const struct options *o = c->options;
	if (o->operands == 0 && o->answers == 0)
		return check_all(c, f);
	if (o->operands == 0)
		return fault_set(f, FAULT_USAGE,
				 "check: answers are read by a source description; right is: dewpost "
				 "check source FILE --answer FILE");
	if (strcmp(o->operand[0], "source") != 0 || o->operands < 2)
		return fault_set(f, FAULT_USAGE,
				 "check: \"%.40s\" is not known here; right is: dewpost check source FILE",
				 o->operand[0]);
	return check_source(o->operand[1], o->answer, o->answers, c->now, &c->wrong, f);
}
