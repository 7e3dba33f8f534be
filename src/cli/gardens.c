#include "cli/gardens.h"

#include <signal.h>
#include <stdint.h>
#include <stdlib.h>

#include "base/mem.h"
#include "base/text.h"
#include "cli/gardenlist.h"
#include "cli/part.h"
#include "cli/screen.h"
#include "net/net.h"

enum { LINE_SIZE = PATHS_SIZE + 128, THOUSAND = 1000 };

enum { KEY_SIZE = 64 };

/* A garden file at its turn. */
struct turn {
	size_t number; /* in the list */
	size_t place;  /* gardens with the same are at one place */
	size_t id;     /* of ids; NONE where the file cannot be read */
};

static const size_t NONE = SIZE_MAX;

/* Too large for a stack that may be small. */
struct gardens {
	struct context *c;
	command_run *run;
	const struct options *given;
	struct options own; /* of the garden at work */
	struct gardenlist list;
	struct names ids, places;
	size_t *owner;     /* of each id: number in the list */
	struct turn *turn; /* `mine` of them */
	struct round round;
	size_t looked, mine, done, failed;
	size_t first;         /* number of the first that failed, ... */
	enum fault_code code; /* ... and how */
	char path[PATHS_SIZE];
	struct garden look; /* at id and place alone, and what is wrong with the file is said later */
	struct faults unsaid;
};

/* ---- a signal ends the run between two gardens; the second one at once ---- */

static volatile sig_atomic_t stopped;

static void stop(int signal)
{
	(void)signal;
	stopped = 1;
}

static void catch_signals(void)
{
	struct sigaction act = {.sa_handler = stop, .sa_flags = (int)(SA_RESTART | SA_RESETHAND)};
	stopped = 0;
	(void)sigemptyset(&act.sa_mask);
	(void)sigaction(SIGINT, &act, NULL);
	(void)sigaction(SIGTERM, &act, NULL);
}

/* ---- words ---- */

static void add_count(struct text *t, size_t n)
{
	size_t unit = 1;
	while (n / unit >= THOUSAND)
		unit *= THOUSAND;
	text_addf(t, "%zu", n / unit);
	for (; unit > 1; unit /= THOUSAND)
		text_addf(t, ",%03zu", n / (unit / THOUSAND) % THOUSAND);
}

static const char *done_word(enum command_id command)
{
	if (command == COMMAND_FETCH)
		return "fetched";
	return command == COMMAND_CHECK ? "fine" : "delivered";
}

static void say_progress(const struct gardens *g, const char *name)
{
	char mem[LINE_SIZE];
	struct text t;
	text_over(&t, mem, sizeof mem);
	text_add(&t, "garden ");
	add_count(&t, g->done + 1);
	text_add(&t, " of ");
	add_count(&t, g->mine);
	if (g->failed > 0) {
		text_add(&t, ", ");
		add_count(&t, g->failed);
		text_add(&t, " failed");
	}
	text_addf(&t, ": %s", name);
	screen_progress(t.at);
}

/* On a terminal always; else only where there is something to look after. */
static void say_sum(const struct gardens *g)
{
	char mem[LINE_SIZE];
	struct text t;
	text_over(&t, mem, sizeof mem);
	text_add(&t, "gardens: ");
	add_count(&t, g->done - g->failed);
	text_add(&t, " of ");
	add_count(&t, g->mine);
	text_addf(&t, " %s", done_word(g->given->command));
	if (g->failed > 0) {
		text_add(&t, ", ");
		add_count(&t, g->failed);
		text_add(&t, " failed");
	}
	if (g->done < g->mine) {
		text_add(&t, ", ");
		add_count(&t, g->mine - g->done);
		text_add(&t, " not begun: ended by a signal");
	}
	screen_progress(NULL);
	if (g->failed > 0 || g->done < g->mine)
		screen_warning(t.at);
	else
		screen_word(t.at);
}

/* One line, whatever number of things is wrong: `check` says all of a garden. */
static void say_trouble(const struct gardens *g, enum fault_code code, const struct fault *f)
{
	char mem[LINE_SIZE];
	struct text t;
	const struct faults *wrong = &g->c->wrong;
	size_t more = wrong->n + wrong->more - (f->text[0] == '\0');
	if (f->text[0] == '\0' && wrong->n == 0)
		return;
	text_over(&t, mem, sizeof mem);
	text_add(&t, f->text[0] != '\0' ? f->text : wrong->at[0].text);
	if (more > 0)
		text_addf(&t, " (and %zu more)", more);
	if (code != FAULT_NONE)
		screen_fault(t.at);
	else
		screen_warning(t.at);
}

/* ---- one garden ---- */

static enum fault_code find_path(struct gardens *g, const char *name, struct fault *f)
{
	struct text t;
	text_over(&t, g->path, sizeof g->path);
	text_addf(&t, "%s/%s", g->given->gardens, name);
	return t.full ? fault_set(f, FAULT_NO_INPUT, "%s: the path is too long", name) : FAULT_NONE;
}

/* A file that cannot be read is at a place of its own. */
static enum fault_code look_at(struct gardens *g, struct turn *t, struct fault *f)
{
	const struct place *p = &g->look.place;
	size_t known = g->ids.n;
	char mem[KEY_SIZE];
	struct text key;
	struct fault later;
	t->id = NONE;
	g->unsaid = (struct faults){0};
	if (find_path(g, g->list.name[t->number], &later) != FAULT_NONE ||
	    garden_load(g->path, &g->c->crops, &g->look, &g->unsaid) != FAULT_NONE)
		return names_add(&g->places, g->path, &t->place, f);
	text_over(&key, mem, sizeof mem);
	text_addf(&key, "%d %d %d", p->latitude_cdeg, p->longitude_cdeg, p->elevation_m);
	if (names_add(&g->places, key.at, &t->place, f) || names_add(&g->ids, g->look.id, &t->id, f))
		return f->code;
	if (t->id == known)
		g->owner[t->id] = t->number;
	return FAULT_NONE;
}

static int by_place(const void *a, const void *b)
{
	const struct turn *x = a, *y = b;
	if (x->place != y->place)
		return x->place < y->place ? -1 : 1;
	return x->number < y->number ? -1 : x->number > y->number;
}

/*
 * Gardens at one place follow each other, for what was read of it serves them all.  Gardens of other parts are looked
 * at too: whose an id is must not depend on how the folder is shared out.
 */
static enum fault_code find_turns(struct gardens *g, struct fault *f)
{
	screen_progress("looking through the garden files");
	for (; g->looked < g->list.n && !stopped; g->looked++) {
		struct turn t = {.number = g->looked};
		if (look_at(g, &t, f) != FAULT_NONE)
			return f->code;
		if (part_has(g->given->part, g->list.name[t.number]))
			g->turn[g->mine++] = t;
	}
	qsort(g->turn, g->mine, sizeof *g->turn, by_place);
	return FAULT_NONE;
}

static enum fault_code check_id(const struct gardens *g, const struct turn *t, struct fault *f)
{
	if (t->id == NONE || g->owner[t->id] == t->number)
		return FAULT_NONE;
	return fault_set(f, FAULT_CONFIG, "%s: has the id %s, as %s has; each garden needs an id of its own", g->path,
			 g->ids.at[t->id], g->list.name[g->owner[t->id]]);
}

/* The run's clock may stand still (--at), patience does not. */
static int64_t clock_now(void)
{
	return net_limits_default().now(NULL);
}

static enum fault_code run_one(struct gardens *g, struct fault *f)
{
	struct round *r = &g->round;
	int64_t began = clock_now();
	g->own.patience_s = r->patience_s;
	r->silence = r->recalled = false;
	enum fault_code code = g->run(g->c, f);
	int64_t spent_s = clock_now() - began;
	if (spent_s > 0 && (code == FAULT_TRY_LATER || r->silence))
		r->patience_s = r->patience_s > spent_s ? r->patience_s - spent_s : 0;
	return code;
}

static void set_apart(const struct gardens *g)
{
	bool named = g->given->command == COMMAND_MORNING || g->given->command == COMMAND_EVENING;
	if (!options_given(g->given, OPTION_JSON))
		screen_apart(named ? NULL : g->path);
}

static void one_garden(struct gardens *g, const struct turn *t)
{
	struct fault f = {0};
	const char *name = g->list.name[t->number];
	enum fault_code code = find_path(g, name, &f) || check_id(g, t, &f) ? f.code : FAULT_NONE;
	context_next(g->c, &g->own);
	say_progress(g, name);
	screen_about(g->path);
	set_apart(g);
	if (code == FAULT_NONE)
		code = run_one(g, &f);
	say_trouble(g, code, &f);
	screen_about(NULL);
	g->done++;
	if (code == FAULT_NONE)
		return;
	if (g->failed++ == 0 || t->number < g->first) {
		g->first = t->number;
		g->code = code;
	}
}

/* ---- all ---- */

static enum fault_code begin(struct gardens *g, struct fault *f)
{
	/* Tables that are wrong would be said once for each garden. */
	if (gardenlist_read(g->given->gardens, &g->list, f) || context_tables(g->c, f))
		return f->code;
	g->owner = mem_new(g->list.n, sizeof *g->owner);
	g->turn = mem_new(g->list.n, sizeof *g->turn);
	if (g->owner == NULL || g->turn == NULL)
		return fault_set(f, FAULT_MEMORY, "out of memory");
	g->own = *g->given;
	g->own.garden = g->path;
	round_begin(&g->round, g->given->patience_s);
	g->c->round = &g->round;
	catch_signals();
	return find_turns(g, f);
}

static enum fault_code all_gardens(struct gardens *g)
{
	for (size_t i = 0; i < g->mine && !stopped; i++)
		one_garden(g, &g->turn[i]);
	context_next(g->c, g->given);
	say_sum(g);
	if (g->code == FAULT_NONE && (g->done < g->mine || g->looked < g->list.n))
		return FAULT_TRY_LATER;
	return g->code;
}

/* More parts than gardens: nothing is wrong with it, and it is worth a word. */
static void say_none(const struct gardens *g)
{
	char mem[LINE_SIZE];
	struct text t;
	text_over(&t, mem, sizeof mem);
	text_addf(&t, "%s: none of its ", g->given->gardens);
	add_count(&t, g->list.n);
	text_addf(&t, " gardens is of part %d/%d", g->given->part.k, g->given->part.n);
	screen_warning(t.at);
}

enum fault_code gardens_run(struct context *c, command_run *run, struct fault *f)
{
	struct gardens *g = mem_new(1, sizeof *g);
	if (g == NULL)
		return fault_set(f, FAULT_MEMORY, "out of memory");
	g->c = c;
	g->run = run;
	g->given = c->options;
	enum fault_code code = begin(g, f);
	if (code == FAULT_NONE && g->mine == 0 && !stopped)
		say_none(g);
	else if (code == FAULT_NONE)
		code = all_gardens(g);
	c->options = g->given;
	c->round = NULL;
	gardenlist_free(&g->list);
	names_free(&g->ids);
	names_free(&g->places);
	mem_free(g->turn);
	round_free(&g->round);
	mem_free(g->owner);
	mem_free(g);
	return code;
}
