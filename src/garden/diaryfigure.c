#include "garden/diaryfigure.h"

#include <math.h>
#include <string.h>

#include "base/num.h"
#include "base/text.h"

struct figure {
	const struct diarywords *w;
	const struct diaryverb *verb;
	enum unit_system units;
	size_t i;         /* the word it begins with */
	double x;         /* its digits */
	const char *rest; /* of that word behind them */
};

static enum unit_family family_of(enum diaryverb_figure figure)
{
	if (figure == DIARYVERB_WATER)
		return UNIT_VOLUME;
	return figure == DIARYVERB_DEPTH ? UNIT_WATER : UNIT_TEMPERATURE;
}

/* The unit: what the word goes on with and up to two more words, as many of them as make one. */
static bool unit_behind(const struct figure *n, enum unit_family family, struct unit *u, size_t *words)
{
	enum { MORE = 2 };
	for (size_t more = MORE + 1; more-- > 0;) {
		char mem[DIARYWORD_SIZE * (MORE + 1)];
		struct text t;
		if (n->i + more >= n->w->n)
			continue;
		text_over(&t, mem, sizeof mem);
		text_add(&t, n->rest);
		for (size_t k = 1; k <= more; k++)
			text_addf(&t, "%s%s", t.len > 0 ? " " : "", n->w->at[n->i + k]);
		if (t.len == 0 || !unit_find(mem, family, u) || u->per_period)
			continue;
		*words = more;
		return true;
	}
	return false;
}

static enum fault_code not_a_unit(const struct figure *n, enum unit_family family, struct fault *f)
{
	const char *said = n->w->at[n->i], *verb = n->verb->phrase[0], *right = unit_proposal(family);
	if (n->rest[0] != '\0')
		return fault_set(f, FAULT_DATA, "%s %s: \"%s\" is not a unit of %s; %s is right", verb, said, n->rest,
				 unit_noun(family), right);
	if (n->i + 1 == n->w->n)
		return fault_set(f, FAULT_DATA, "%s %s: the unit is missing; %s is right", verb, said, right);
	const char *next = n->w->at[n->i + 1];
	return fault_set(f, FAULT_DATA, "%s %s %s: \"%s\" is not a unit of %s; %s is right", verb, said, next, next,
			 unit_noun(family), right);
}

static enum fault_code out_of_range(const struct figure *n, enum unit_family family, struct fault *f)
{
	return fault_set(f, FAULT_DATA, "%s %s: no such %s; %.4g to %.4g %s is right", n->verb->phrase[0],
			 n->w->at[n->i], unit_noun(family), unit_outside(family, n->units, n->verb->lo),
			 unit_outside(family, n->units, n->verb->hi), unit_label(family, n->units));
}

/* A unit of something else stands there; "in" may be the word. */
static bool other_unit(const struct figure *n)
{
	struct unit u;
	if (n->i + 1 == n->w->n || diarywords_is(n->w, n->i + 1, "in"))
		return false;
	for (int family = 0; family < UNIT_FAMILIES; family++)
		if (unit_find(n->w->at[n->i + 1], (enum unit_family)family, &u))
			return true;
	return false;
}

/* "38 F", "38F", "20 gal" */
static enum fault_code measured(const struct figure *n, double *amount, size_t *used, struct fault *f)
{
	enum unit_family family = family_of(n->verb->figure);
	struct unit u;
	size_t words = 0;
	bool given = unit_behind(n, family, &u, &words);
	if (!given && n->rest[0] == '\0' && family == UNIT_TEMPERATURE && !other_unit(n))
		given = unit_find(unit_label(family, n->units), family, &u);
	if (!given)
		return not_a_unit(n, family, f);
	*amount = unit_inside(&u, n->x, (double)NAN);
	*used = 1 + words;
	return *amount >= n->verb->lo && *amount <= n->verb->hi ? FAULT_NONE : out_of_range(n, family, f);
}

/* "7 of 10", "7/10", as so many of ten. */
static enum fault_code seeds(const struct figure *n, double *amount, size_t *used, struct fault *f)
{
	enum { SEEDS_MOST = 1000, OF = 10 };
	double all = 0;
	const char *second = n->rest[0] == '/' ? n->rest + 1 : "";
	bool of = diarywords_is(n->w, n->i + 1, "of") || diarywords_is(n->w, n->i + 1, "in");
	if (n->rest[0] == '\0' && of && n->i + 2 < n->w->n)
		second = n->w->at[n->i + 2];
	*used = n->rest[0] == '/' ? 1 : 3;
	size_t digits = strlen(second);
	if (digits == 0 || num_scan(second, digits, &all) != digits || all < 1 || all > SEEDS_MOST || n->x < 0 ||
	    n->x > all || n->x > floor(n->x) || all > floor(all))
		return fault_set(f, FAULT_DATA, "%s: how many of how many? \"%s\" is right", n->verb->phrase[0],
				 n->verb->example);
	*amount = OF * n->x / all;
	return FAULT_NONE;
}

static enum fault_code counted(const struct figure *n, double *amount, struct fault *f)
{
	if (n->rest[0] != '\0' || n->x < n->verb->lo || n->x > n->verb->hi || n->x > floor(n->x))
		return fault_set(f, FAULT_DATA, "%s \"%s\": a count is right, as \"%s\"", n->verb->phrase[0],
				 n->w->at[n->i], n->verb->example);
	*amount = n->x;
	return FAULT_NONE;
}

enum fault_code diaryfigure_at(const struct diarywords *w, size_t i, const struct diaryverb *verb,
			       enum unit_system units, double *amount, size_t *used, struct fault *f)
{
	struct figure n = {.w = w, .verb = verb, .units = units, .i = i};
	size_t digits = num_scan(w->at[i], strlen(w->at[i]), &n.x);
	n.rest = w->at[i] + digits;
	*used = digits > 0;
	if (digits == 0)
		return FAULT_NONE;
	switch (verb->figure) {
	case DIARYVERB_COUNT:
		return counted(&n, amount, f);
	case DIARYVERB_SEEDS:
		return seeds(&n, amount, used, f);
	case DIARYVERB_WATER:
	case DIARYVERB_TEMPERATURE:
	case DIARYVERB_DEPTH:
		return measured(&n, amount, used, f);
	case DIARYVERB_NO_FIGURE:
		break;
	}
	return fault_set(f, FAULT_DATA, "\"%s\": no number belongs to \"%s\"; \"%s\" is right", w->at[i],
			 verb->phrase[0], verb->example);
}
