#include "advice/rank.h"

#include <string.h>

#include "base/instant.h"

/* Does the second say of its planting what the first says of another? */
static bool says_same(const struct advice *a, const struct advice *b)
{
	return a->decision == b->decision && a->verdict == b->verdict && a->day.n == b->day.n && a->rule == b->rule &&
	       a->cannot_tell == b->cannot_tell && !(a->line_c < b->line_c) && !(a->line_c > b->line_c);
}

static bool is_about(const struct line *l, size_t planting)
{
	for (size_t i = 0; i < l->n; i++) {
		if (l->of[i]->planting == planting) {
			return true;
		}
	}
	return false;
}

static bool repeats(const struct advice *a)
{
	return a->decision == DECISION_COVER;
}

/* Earlier days first; WAIT, where there is nothing to do, last; at one day by verdict. */
static bool comes_before(const struct advice *a, const struct advice *b)
{
	bool waits_a = a->verdict == VERDICT_WAIT, waits_b = b->verdict == VERDICT_WAIT;
	if (waits_a != waits_b) {
		return waits_b;
	}
	if (a->day.n != b->day.n) {
		return date_is(a->day) && (!date_is(b->day) || a->day.n < b->day.n);
	}
	return a->verdict != b->verdict ? a->verdict < b->verdict : a->planting < b->planting;
}

/* Put one advice into a line that says the same, or as a further night to an earlier COVER of its planting. */
static bool joined(struct lines *out, const struct advice *a)
{
	for (size_t k = 0; k < out->n; k++) {
		struct line *l = &out->at[k];
		if (says_same(l->lead, a)) {
			l->of[l->n++] = a;
			return true;
		}
		if (a->verdict != VERDICT_COVER || l->lead->verdict != VERDICT_COVER || !is_about(l, a->planting)) {
			continue;
		}
		bool listed = l->again_n > 0 && l->again[l->again_n - 1]->day.n == a->day.n;
		if (!listed) {
			l->again[l->again_n++] = a;
		}
		return true;
	}
	return false;
}

/* The next in order after `last` (NULL: the first) among what is to be said. */
static const struct advice *next_of(const struct advice_list *all, const struct advice *last)
{
	const struct advice *next = NULL;
	for (size_t i = 0; i < all->n; i++) {
		const struct advice *a = &all->at[i];
		bool after = last == NULL || comes_before(last, a);
		if ((repeats(a) || a->news) && after && (next == NULL || comes_before(a, next))) {
			next = a;
		}
	}
	return next;
}

void rank_lines(const struct advice_list *all, struct lines *out)
{
	memset(out, 0, sizeof *out);
	for (const struct advice *a = next_of(all, NULL); a != NULL; a = next_of(all, a)) {
		if (joined(out, a)) {
			continue;
		}
		if (out->n == RANK_LINES) {
			out->left_out++;
			continue;
		}
		struct line *l = &out->at[out->n++];
		l->lead = a;
		l->of[0] = a;
		l->n = 1;
	}
}
