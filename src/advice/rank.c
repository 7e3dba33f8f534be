#include "advice/rank.h"

#include <math.h>
#include <string.h>

#include "advice/cover.h"
#include "advice/harden.h"
#include "advice/plantday.h"
#include "advice/settle.h"
#include "base/instant.h"

/* A WAIT for cold nights tells the chance that they hold, today and on the day it names, and nothing of stall, frost
 * or soil. */
static bool waits_for_nights(const struct advice *a)
{
	return a->verdict == VERDICT_WAIT && advice_step_of(a, STEP_HOLD, 0).value < PLANTDAY_HOLD &&
	       !(advice_step_of(a, STEP_FROST, 0).value >= PLANTDAY_FROST);
}

static bool same_nights(const struct advice *a, const struct advice *b)
{
	double good = advice_step_of(a, STEP_HOLD, 1).value, other = advice_step_of(b, STEP_HOLD, 1).value;
	return advice_same_step(a, b, STEP_HOLD) && advice_same_step(a, b, STEP_FREE) &&
	       advice_same_number(good, other);
}

/* The numbers that a line about planting out tells: those of the first planting speak for all of it. */
static bool same_planting_out(const struct advice *a, const struct advice *b)
{
	static const enum step_kind told[] = {STEP_STALL_LINE, STEP_HOLD, STEP_STALL, STEP_FROST, STEP_SOIL};
	if (waits_for_nights(a) && waits_for_nights(b))
		return same_nights(a, b);
	for (size_t i = 0; i < sizeof told / sizeof *told; i++)
		if (!advice_same_step(a, b, told[i]))
			return false;
	return true;
}

/* Of seed and trays every number is told. */
static bool same_steps(const struct advice *a, const struct advice *b)
{
	if (a->steps != b->steps)
		return false;
	for (size_t i = 0; i < a->steps; i++)
		if (a->step[i].kind != b->step[i].kind || a->step[i].date.n != b->step[i].date.n ||
		    !advice_same_number(a->step[i].value, b->step[i].value))
			return false;
	return true;
}

/* By which lines.  A WAIT that can tell nothing names neither day nor line, and is the same for all. */
static bool same_lines(const struct advice *a, const struct advice *b)
{
	if (a->decision == DECISION_HARDEN)
		return harden_says_same(a, b);
	if (a->decision == DECISION_SETTLE)
		return settle_says_same(a, b);
	if (a->decision == DECISION_SOW || a->decision == DECISION_TRAY)
		return same_steps(a, b);
	if (a->verdict == VERDICT_WAIT && a->cannot_tell && b->cannot_tell && !date_is(a->day))
		return true;
	if (a->decision == DECISION_COVER && !cover_says_same(a, b))
		return false;
	/* One that freezes by the leaf and one that does by the bed are covered in one line. */
	if (a->decision == DECISION_COVER && a->rule != b->rule)
		return advice_same_danger(a, b);
	return advice_same_number(a->line_c, b->line_c) &&
	       (a->decision != DECISION_PLANT_OUT || same_planting_out(a, b));
}

/* A night that cannot be judged and holds no number against any line: the sky is looked at once for all. */
static bool looks_blindly(const struct advice *a)
{
	return a->verdict == VERDICT_LOOK && isnan(advice_step_of(a, STEP_MARGIN, 0).value);
}

/* Does the second say of its planting what the first says of another? */
static bool says_same(const struct advice *a, const struct advice *b)
{
	if (looks_blindly(a) && looks_blindly(b))
		return a->day.n == b->day.n;
	return a->decision == b->decision && a->verdict == b->verdict && a->day.n == b->day.n &&
	       advice_same_danger(a, b) && a->cannot_tell == b->cannot_tell && same_lines(a, b) &&
	       advice_same_step(a, b, STEP_AGE) && advice_same_step(a, b, STEP_TRAY);
}

static bool is_about(const struct line *l, size_t planting)
{
	for (size_t i = 0; i < l->n; i++)
		if (l->of[i]->planting == planting)
			return true;
	return false;
}

/* Earlier days first; WAIT, where there is nothing to do, last; at one day by verdict. */
static bool comes_before(const struct advice *a, const struct advice *b)
{
	bool waits_a = advice_verdict(a->verdict)->waits, waits_b = advice_verdict(b->verdict)->waits;
	if (waits_a != waits_b)
		return waits_b;
	if (a->day.n != b->day.n)
		return date_is(a->day) && (!date_is(b->day) || a->day.n < b->day.n);
	return a->verdict != b->verdict ? a->verdict < b->verdict : a->planting < b->planting;
}

static bool covered(const struct advice_list *all, size_t planting, const struct advice *like)
{
	for (size_t i = 0; i < all->n; i++) {
		const struct advice *a = &all->at[i];
		if (a->verdict == like->verdict && a->planting == planting && a->day.n == like->day.n &&
		    advice_same_danger(a, like))
			return true;
	}
	return false;
}

static bool listed(const struct line *l, const struct advice *a)
{
	return l->again_n > 0 && l->again[l->again_n - 1]->day.n == a->day.n;
}

/* A further night of a COVER line: only where it is one for every planting of the line, and for the same reason. */
static bool further_night(const struct advice_list *all, const struct line *l, const struct advice *a)
{
	if (!advice_shelters(a->verdict) || l->lead->verdict != a->verdict || !is_about(l, a->planting))
		return false;
	if (listed(l, a))
		return true;
	for (size_t i = 0; i < l->n; i++)
		if (!covered(all, l->of[i]->planting, a))
			return false;
	return true;
}

/* Put one advice into a line that says the same, or as a further night to an earlier COVER of its planting. */
static bool joined(const struct advice_list *all, struct lines *out, const struct advice *a)
{
	for (size_t k = 0; k < out->n; k++) {
		struct line *l = &out->at[k];
		if (says_same(l->lead, a)) {
			l->of[l->n++] = a;
			return true;
		}
		if (!further_night(all, l, a))
			continue;
		if (!listed(l, a))
			l->again[l->again_n++] = a;
		return true;
	}
	return false;
}

/* What did not fit, by the advice that would have led each line. */
struct rest {
	size_t n;
	const struct advice *lead[ADVICE_MAX];
};

static void leave_out(struct rest *rest, const struct advice *a)
{
	for (size_t i = 0; i < rest->n; i++) {
		const struct advice *b = rest->lead[i];
		bool further = advice_shelters(a->verdict) && b->verdict == a->verdict && a->planting == b->planting;
		if (says_same(b, a) || further)
			return;
	}
	rest->lead[rest->n++] = a;
}

/* The next in order after `last` (NULL: the first) among what is to be said. */
static const struct advice *next_of(const struct advice_list *all, const struct advice *last)
{
	const struct advice *next = NULL;
	for (size_t i = 0; i < all->n; i++) {
		const struct advice *a = &all->at[i];
		bool after = last == NULL || comes_before(last, a);
		if ((advice_verdict(a->verdict)->repeats || a->news) && after &&
		    (next == NULL || comes_before(a, next)))
			next = a;
	}
	return next;
}

void rank_lines(const struct advice_list *all, struct lines *out)
{
	struct rest rest = {.n = 0};
	memset(out, 0, sizeof *out);
	for (const struct advice *a = next_of(all, NULL); a != NULL; a = next_of(all, a)) {
		if (joined(all, out, a))
			continue;
		if (out->n == RANK_LINES) {
			leave_out(&rest, a);
			continue;
		}
		struct line *l = &out->at[out->n++];
		l->lead = a;
		l->of[0] = a;
		l->n = 1;
	}
	out->left_out = rest.n;
}
