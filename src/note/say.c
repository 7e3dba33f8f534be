#include "note/say.h"

#include "note/phrase.h"

const struct saying *say_of(enum decision d)
{
	static const struct saying *const sayings[DECISIONS] = {
	    [DECISION_COVER] = &say_cover,   [DECISION_PLANT_OUT] = &say_plantout,
	    [DECISION_HARDEN] = &say_harden, [DECISION_SETTLE] = &say_settle,
	    [DECISION_SOW] = &say_sow,       [DECISION_TRAY] = &say_tray};
	return sayings[d];
}

void say_plantings(const struct note_facts *n, const struct line *l, struct text *t)
{
	for (size_t i = 0; i < l->n; i++)
		phrase_listed(t, n->garden->planting[l->of[i]->planting].name, i, l->n);
}

const char *say_plural(double n, const char *one, const char *more)
{
	return n > 1 || n < 1 ? more : one;
}

bool say_is_news(const struct line *l)
{
	for (size_t i = 0; i < l->n; i++)
		if (l->of[i]->news)
			return true;
	return false;
}

bool say_told_before(const struct note_facts *n, const struct line *l)
{
	for (size_t k = 0; k < n->lines->n && &n->lines->at[k] != l; k++) {
		const struct line *before = &n->lines->at[k];
		if (before->lead->decision == l->lead->decision && before->lead->verdict != VERDICT_LOOK &&
		    say_is_news(before))
			return true;
	}
	return false;
}
