#include "cli/gardens.h"

#include <signal.h>

#include "base/mem.h"
#include "base/text.h"
#include "cli/gardenlist.h"
#include "cli/part.h"
#include "cli/screen.h"
#include "net/net.h"

enum { LINE_SIZE = PATHS_SIZE + 128, THOUSAND = 1000 };

/* Too large for a stack that may be small. */
struct gardens {
	struct context *c;
	command_run *run;
	const struct options *given;
	struct options own; /* of the garden at work */
	struct gardenlist list;
	struct names ids;
	size_t *owner; /* of each id: number in the list */
	struct round round;
	size_t mine, done, failed;
	enum fault_code code; /* of the first that failed */
	char path[PATHS_SIZE];
	struct garden look; /* at the id alone, and what is wrong with the file is said later */
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

/* Also of gardens in other parts: whose id it is must not depend on how the folder is shared out. */
static enum fault_code claim_id(struct gardens *g, size_t i, struct fault *f)
{
	size_t known = g->ids.n, id;
	g->unsaid = (struct faults){0};
	if (garden_load(g->path, &g->c->crops, &g->look, &g->unsaid) != FAULT_NONE)
		return FAULT_NONE;
	if (names_add(&g->ids, g->look.id, &id, f) != FAULT_NONE)
		return f->code;
	if (id == known) {
		g->owner[id] = i;
		return FAULT_NONE;
	}
	return fault_set(f, FAULT_CONFIG, "%s: has the id %s, as %s has; each garden needs an id of its own", g->path,
			 g->look.id, g->list.name[g->owner[id]]);
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
	bool named = g->given->command == COMMAND_MORNING;
	if (!options_given(g->given, OPTION_JSON))
		screen_apart(named ? NULL : g->path);
}

static void one_garden(struct gardens *g, size_t i)
{
	struct fault f = {0};
	const char *name = g->list.name[i];
	enum fault_code code = find_path(g, name, &f);
	if (code == FAULT_NONE)
		code = claim_id(g, i, &f);
	if (!part_has(g->given->part, name))
		return;
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
	g->failed++;
	if (g->code == FAULT_NONE)
		g->code = code;
}

/* ---- all ---- */

static enum fault_code begin(struct gardens *g, struct fault *f)
{
	/* Tables that are wrong would be said once for each garden. */
	if (gardenlist_read(g->given->gardens, &g->list, f) || context_tables(g->c, f))
		return f->code;
	g->owner = mem_new(g->list.n, sizeof *g->owner);
	if (g->owner == NULL)
		return fault_set(f, FAULT_MEMORY, "out of memory");
	for (size_t i = 0; i < g->list.n; i++)
		g->mine += part_has(g->given->part, g->list.name[i]);
	g->own = *g->given;
	g->own.garden = g->path;
	g->round.patience_s = g->given->patience_s;
	g->c->round = &g->round;
	return FAULT_NONE;
}

static enum fault_code all_gardens(struct gardens *g)
{
	catch_signals();
	for (size_t i = 0; i < g->list.n && !stopped; i++)
		one_garden(g, i);
	context_next(g->c, g->given);
	say_sum(g);
	if (g->code == FAULT_NONE && g->done < g->mine)
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
	if (code == FAULT_NONE && g->mine == 0)
		say_none(g);
	else if (code == FAULT_NONE)
		code = all_gardens(g);
	c->options = g->given;
	c->round = NULL;
	gardenlist_free(&g->list);
	names_free(&g->ids);
	round_free(&g->round);
	mem_free(g->owner);
	mem_free(g);
	return code;
}
