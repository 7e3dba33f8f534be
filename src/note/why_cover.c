#include "note/why.h"

#include <math.h>

#include "note/chance.h"
#include "note/phrase.h"

enum { WHY_PIECE = 1024 };

/* Wind over which a leaf stays near the air: physics/bed's class. */
static const double WHY_STIRRED_MS = 3;

static const struct cover *cover_of(const struct note_facts *n, const struct advice *a)
{
	double kind = advice_step_of(a, STEP_COVER_KIND, 0).value;
	return isnan(kind) || n->garden->cover_table == NULL ? NULL : &n->garden->cover_table->at[(size_t)kind];
}

bool why_cover_step(const struct note_facts *n, const struct advice *a, const struct step *s, struct text *t)
{
	const struct cover *c = cover_of(n, a);
	if (s->kind == STEP_COVER_AT) {
		text_add(t, "from this chance on it is covered");
		if (!isnan(advice_step_of(a, STEP_DAYS_OUT, 0).value))
			text_add(t, ", half of the settled plant's: it was just planted");
	} else if (s->kind == STEP_GAIN) {
		text_addf(t, "under your %s: the low end of its gain, and half the sky hidden",
			  c != NULL ? c->title : "cover");
	} else if (s->kind == STEP_OFF) {
		text_add(t, "off by then ");
		phrase_day(t, s->date, n->state->today);
	} else if (s->kind == STEP_LIES) {
		text_add(t, "since something was put over it, by your diary, on ");
		phrase_date(t, s->date, n->state->today);
	} else {
		return false;
	}
	return true;
}

void why_cover_rule(const struct note_facts *n, const struct advice *a, struct text *t)
{
	const struct planting *p = &n->garden->planting[a->planting];
	char mem[WHY_PIECE];
	struct text words;
	if (isnan(advice_step_of(a, STEP_COVER_AT, 0).value))
		return;
	text_over(&words, mem, sizeof mem);
	text_add(&words, "cover at that chance: ");
	if (p->own_line[CROP_COVER_AT] != 0)
		text_add(&words, "cover_at of the planting in your garden file");
	else
		text_addf(&words, "%s (yours to change: cover_at in the garden file)",
			  n->crops->basis[p->crop_index].of[CROP_COVER_AT]);
	why_headed(t, "", words.at);
}

/* What would make the cover needless. */
static void tips(const struct note_facts *n, const struct advice *a, struct text *t)
{
	double leaf_c = advice_step_of(a, STEP_TIP_LEAF, 0).value;
	char mem[WHY_PIECE];
	struct text words;
	text_over(&words, mem, sizeof mem);
	if (isnan(leaf_c)) {
		text_add(&words,
			 a->verdict == VERDICT_LOOK
			     ? "cloud comes over or a wind gets up after dusk: then the leaf stays near the air."
			     : "the forecast is off. Cloud or wind after dusk would help, but not enough.");
	} else {
		text_add(&words, "cloud covers most of the sky after dusk, or the wind is over ");
		phrase_wind(&words, WHY_STIRRED_MS, n->garden->units);
		text_add(&words, ": leaf ");
		phrase_degrees_unit(&words, leaf_c, n->garden->units);
		text_add(&words, ", ");
		chance_words(&words, advice_step_of(a, STEP_TIP_FREEZE, 0).value);
		text_add(&words, " to freeze; leave it.");
	}
	why_headed(t, "It tips if", words.at);
}

void why_cover_foot(const struct note_facts *n, const struct advice *a, struct text *t)
{
	const struct cover *c = cover_of(n, a);
	char mem[WHY_PIECE];
	struct text words;
	text_over(&words, mem, sizeof mem);
	if (c != NULL && !isnan(advice_step_of(a, STEP_GAIN, 0).value)) {
		text_addf(&words, "%s: %s", c->title, c->basis[COVER_GAIN]);
		why_headed(t, "The cover", words.at);
	}
	if (a->verdict == VERDICT_UNCOVER)
		return;
	tips(n, a, t);
	const struct planting *p = &n->garden->planting[a->planting];
	text_clear(&words);
	text_add(&words, "how cold it lies by your hedge or wall. Note tomorrow's low: dewpost diary add \"low ");
	phrase_degrees_unit(&words, advice_step_of(a, STEP_BED_LOW, 0).value, n->garden->units);
	text_addf(&words, "%s%s\"", p->in[0] != '\0' ? " at " : "", p->in);
	why_headed(t, "Not known", words.at);
}
