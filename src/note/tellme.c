#include "note/tellme.h"

#include <math.h>

#include "base/utf8.h"
#include "note/phrase.h"
#include "note/soilline.h"

enum { TELLME_PIECE = 1024 };

static void wrapped(struct text *t, const char *words)
{
	utf8_wrap(t, words, 0, 0, NOTE_COLUMNS);
	text_add(t, "\n");
}

static bool ask_date(const struct note_facts *n, struct text *t)
{
	size_t count = 0, said = 0;
	const char *first = NULL;
	for (size_t i = 0; i < n->state->plantings; i++)
		count += n->state->planting[i].where == PLANTING_UNDATED;
	if (count == 0)
		return false;
	char mem[TELLME_PIECE];
	struct text words;
	text_over(&words, mem, sizeof mem);
	text_add(&words, "Tell me when you sowed or planted out ");
	for (size_t i = 0; i < n->state->plantings; i++) {
		if (n->state->planting[i].where != PLANTING_UNDATED)
			continue;
		first = first != NULL ? first : n->garden->planting[i].name;
		phrase_listed(&words, n->garden->planting[i].name, said++, count);
	}
	text_add(&words, ". If today:");
	wrapped(t, words.at);
	text_addf(t, "  dewpost diary add \"planted out %s\"\n", first);
	return true;
}

/* What a stage is asked by, "has green-1 come up?"; NULL where it is not asked for. */
static const char *question(enum verb v)
{
	return v == VERB_UP       ? "come up"
	       : v == VERB_FEMALE ? "opened a female flower (a small fruit behind it)"
	       : v == VERB_PICKED ? "given its first pick"
				  : NULL;
}

static bool ask_stage(const struct note_facts *n, struct text *t)
{
	for (size_t i = 0; i < n->state->plantings; i++) {
		enum verb v = n->state->planting[i].stage.ask;
		const char *name = n->garden->planting[i].name;
		char mem[TELLME_PIECE];
		struct text words;
		if (question(v) == NULL)
			continue;
		text_over(&words, mem, sizeof mem);
		text_addf(&words, "Tell me: has %s %s? If so:", name, question(v));
		wrapped(t, words.at);
		text_addf(t, "  dewpost diary add \"%s %s\"\n", verb_word(v), name);
		return true;
	}
	return false;
}

/* A reading's command, with the number that is expected for an example. */
static void reading(const struct note_facts *n, enum verb v, double c, const char *bed, struct text *t)
{
	text_addf(t, "  dewpost diary add \"%s ", verb_word(v));
	phrase_degrees_unit(t, c, n->garden->units);
	text_addf(t, "%s%s\"\n", bed[0] != '\0' ? " at " : "", bed);
}

static bool ask_low(const struct note_facts *n, struct text *t)
{
	for (size_t k = 0; k < n->lines->n; k++) {
		const struct advice *a = n->lines->at[k].lead;
		double bed_c = advice_step_of(a, STEP_BED_LOW, 0).value;
		if (a->verdict != VERDICT_COVER || isnan(bed_c) || date_diff(a->day, n->state->today) != 0)
			continue;
		wrapped(t, "Tell me tomorrow how cold it was in the bed, as:");
		reading(n, VERB_LOW, bed_c, n->garden->planting[a->planting].in, t);
		return true;
	}
	return false;
}

static bool ask_soil(const struct note_facts *n, struct text *t)
{
	const struct planting *p = soilline_of(n);
	if (p == NULL || !soilline_unread(n))
		return false;
	wrapped(t, "Tell me the soil at 8 am, 4 in (10 cm) down, as:");
	reading(n, VERB_SOIL, season_soil(n->state, (size_t)(p - n->garden->planting), n->state->today).c, p->in, t);
	return true;
}

void tellme_write(const struct note_facts *n, struct text *t)
{
	if (n->state->plantings == 0)
		text_add(t, "No planting in the garden file yet.\n");
	else
		(void)(ask_date(n, t) || ask_stage(n, t) || ask_low(n, t) || ask_soil(n, t));
}
