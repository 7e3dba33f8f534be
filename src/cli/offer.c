#include "cli/offer.h"

#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "base/text.h"
#include "cli/backfill.h"
#include "garden/tables.h"

static bool looks_ahead(const struct description *d)
{
	return !d->dated || d->step[d->data_step].to_day > 0;
}

static void add(const struct description *d, const char *country, struct offers *o)
{
	struct fault why_not;
	struct offer offer = {.fit = describe_fits(d, country), .contact = d->contact, .forecast = looks_ahead(d)};
	if (offer.fit == FIT_NOT || o->n == OFFERS_MAX)
		return;
	offer.past = backfill_can(d, &why_not) == FAULT_NONE;
	(void)text_copy(offer.name, sizeof offer.name, d->name);
	(void)text_copy(offer.title, sizeof offer.title, d->title[0] != '\0' ? d->title : d->name);
	o->at[o->n++] = offer;
}

static int better_first(const void *a, const void *b)
{
	const struct offer *x = a, *y = b;
	if (x->fit != y->fit)
		return x->fit > y->fit ? -1 : 1;
	return strcmp(x->name, y->name);
}

enum fault_code offers_load(const struct context *c, const char *country, struct offers *o, struct faults *left_out,
			    struct fault *f)
{
	char path[PATHS_SIZE];
	struct tables_sources names;
	const char *user = c->user[0] != '\0' ? c->user : NULL;
	struct description *d = mem_new(1, sizeof *d);
	o->n = 0;
	if (d == NULL)
		return fault_set(f, FAULT_MEMORY, "out of memory");
	tables_sources(c->tables, user, &names);
	for (size_t i = 0; i < names.n; i++) {
		struct faults wrong = {0};
		struct fault gone;
		if (tables_source_path(c->tables, user, names.at[i], path, &gone) != FAULT_NONE)
			faults_add(&wrong, &gone);
		else if (describe_load(path, d, &wrong) == FAULT_NONE)
			add(d, country, o);
		/* One line a description: dewpost check source has the rest. */
		if (wrong.n > 0)
			faults_add(left_out, &wrong.at[0]);
	}
	mem_free(d);
	qsort(o->at, o->n, sizeof o->at[0], better_first);
	return FAULT_NONE;
}

const struct offer *offers_named(const struct offers *o, const char *name)
{
	for (size_t i = 0; i < o->n; i++)
		if (strcmp(o->at[i].name, name) == 0)
			return &o->at[i];
	return NULL;
}
