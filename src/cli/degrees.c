#include "base/suggest.h"
#include "cli/command.h"
#include "cli/compose.h"
#include "cli/context.h"
#include "cli/json.h"
#include "cli/options.h"
#include "cli/screen.h"

/* A garden of many plantings, each a few lines. */
enum { DEGREES_SIZE = 256 * 1024 };

static enum fault_code known_planting(const struct garden *g, const char *name, struct fault *f)
{
	const char *known[GARDEN_PLANTINGS_MAX];
	if (name == NULL || garden_planting(g, name) != NULL)
		return FAULT_NONE;
	for (size_t i = 0; i < g->plantings; i++)
		known[i] = g->planting[i].name;
	const char *near = suggest(name, known, g->plantings);
	if (near != NULL)
		return fault_set(f, FAULT_USAGE, "planting \"%.60s\" is not in the garden file; did you mean \"%s\"?",
				 name, near);
	return fault_set(f, FAULT_USAGE, "planting \"%.60s\" is not in the garden file; without a name all are shown",
			 name);
}

enum fault_code command_degrees(struct context *c, struct fault *f)
{
	struct composed *m = NULL;
	int64_t cut;
	const char *name = c->options->operands > 0 ? c->options->operand[0] : NULL;
	if (context_load(c, f) || known_planting(&c->garden, name, f) || context_peek(c, f) ||
	    context_cut(c, &cut, f) || compose_state(c, cut, &m, f))
		return f->code;
	enum fault_code code = FAULT_NONE;
	struct text t;
	text_init(&t, DEGREES_SIZE);
	if (options_given(c->options, OPTION_JSON))
		code = json_degrees(m, name, &t, f);
	else
		degrees_write(&m->facts, name, &t);
	if (code == FAULT_NONE)
		code = screen_text(&t, "the degree days", f);
	text_free(&t);
	compose_free(m);
	return code;
}
