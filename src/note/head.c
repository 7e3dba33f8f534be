#include "note/head.h"

#include "note/phrase.h"
#include "note/say.h"
#include "note/sentence.h"

static bool is_frost(const struct advice *a)
{
	return (advice_shelters(a->verdict) || a->verdict == VERDICT_PICK) && a->rule != CROP_STALL;
}

static bool sooner(const struct advice *a, const struct advice *b)
{
	return b == NULL || date_diff(b->day, a->day) > 0;
}

/* The first night of frost among lines and their later nights; NULL where none is. */
static const struct advice *first_frost(const struct lines *lines)
{
	const struct advice *first = NULL;
	for (size_t k = 0; k < lines->n; k++) {
		const struct line *l = &lines->at[k];
		if (is_frost(l->lead) && sooner(l->lead, first))
			first = l->lead;
		for (size_t i = 0; i < l->again_n; i++)
			if (is_frost(l->again[i]) && sooner(l->again[i], first))
				first = l->again[i];
	}
	return first;
}

/* A leaf this cold freezes through, and few covers are enough: 28 F (common practice). */
static const double HEAD_HARD_C = -4 / 1.8;

/* How likely, where that can be told; a night with holes is at least as cold as it is known. */
static const char *frost_words(const struct advice *a)
{
	static const double LIKELY = 0.5;
	double freeze = advice_step_of(a, STEP_FREEZE, 0).value;
	if (a->rule != CROP_KILL || freeze < LIKELY)
		return "frost possible ";
	return a->number_c <= HEAD_HARD_C ? "hard frost likely " : "frost likely ";
}

void head_cold(const struct note_facts *n, const struct advice *a, struct text *t)
{
	int units = n->garden->units;
	text_add(t, is_frost(a) ? frost_words(a) : "cold ");
	phrase_night(t, a->day, n->state->today);
	text_add(t, ", ");
	phrase_degrees_unit(t, advice_air_c(a), units);
}

void head_words(const struct note_facts *n, struct text *t)
{
	const struct forecast_state *fs = &n->state->forecast;
	bool old = fs->trust > TRUST_FULL || n->trouble != NULL;
	bool look = n->lines->n > 0 && n->lines->at[0].lead->verdict == VERDICT_LOOK;
	const struct advice *frost = look ? NULL : first_frost(n->lines);
	if (!fs->any) {
		text_add(t, "no forecast");
	} else if (frost != NULL) {
		head_cold(n, frost, t);
		if (old) {
			text_add(t, "; forecast ");
			phrase_age(t, fs->age_s);
			text_add(t, " old");
		}
	} else if (old) {
		sentence_age(n, t);
	} else if (n->lines->n == 0) {
		text_add(t, n->evening ? "tonight needs no cover" : "nothing to do today");
	} else {
		const struct line *first = &n->lines->at[0];
		say_of(first->lead->decision)->head(n, first, t);
	}
}
