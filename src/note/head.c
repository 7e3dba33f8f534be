#include "note/head.h"

#include "note/phrase.h"
#include "note/say.h"
#include "note/sentence.h"

static bool is_frost(const struct advice *a)
{
	return a->verdict == VERDICT_COVER && a->rule != CROP_STALL;
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

void head_cold(const struct note_facts *n, const struct advice *a, struct text *t)
{
	int units = n->garden->units;
	text_add(t, a->rule == CROP_KILL ? "frost likely " : is_frost(a) ? "frost possible " : "cold ");
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
		text_add(t, "nothing to do today");
	} else {
		const struct line *first = &n->lines->at[0];
		say_of(first->lead->decision)->head(n, first, t);
	}
}
