#include "note/stageline.h"

#include "note/phrase.h"

void stageline_span(struct date from, struct date to, struct text *t)
{
	int year, month, day, to_month;
	date_parts(to, &year, &to_month, &day);
	date_parts(from, &year, &month, &day);
	if (month == to_month)
		text_addf(t, "%d", day);
	else
		phrase_day_month(t, from);
	text_add(t, " to ");
	phrase_day_month(t, to);
}

static const char *what(enum stage s)
{
	static const char *const words[STAGES] = {[STAGE_UP] = "up",
						  [STAGE_TRUE_LEAF] = "first true leaf",
						  [STAGE_FLOWERING] = "first female flower",
						  [STAGE_PICKING] = "first pick"};
	return words[s];
}

static void due_words(const struct due *due, enum stage s, struct text *t)
{
	text_addf(t, "; %s about ", what(s));
	phrase_day_month(t, due->likely);
	if (date_is(due->least) && date_is(due->most)) {
		text_add(t, " (");
		stageline_span(due->least, due->most, t);
		text_add(t, ")");
	}
}

void stageline_words(const struct note_facts *n, size_t planting, struct text *t)
{
	const struct stage_state *st = &n->state->planting[planting].stage;
	enum stage next;
	const struct due *due = stages_next(st, &next);
	if (st->now == STAGE_NONE)
		return;
	text_add(t, st->now == STAGE_TRUE_LEAF ? "in its first true leaf" : stage_word(st->now));
	if (date_is(st->since)) {
		text_add(t, " since ");
		phrase_date(t, st->since, n->state->today);
	}
	text_add(t, st->basis == STAGE_RECKONED ? ", reckoned" : "");
	if (due != NULL && date_is(due->likely) && date_diff(due->likely, n->state->today) >= 0)
		due_words(due, next, t);
	if (next == STAGE_FLOWERING && date_is(st->pick.likely) && date_diff(st->pick.likely, n->state->today) >= 0)
		due_words(&st->pick, STAGE_PICKING, t);
	if (date_is(st->fit)) {
		text_add(t, "; fit for the bed from ");
		phrase_day_month(t, st->fit);
	}
	if (date_is(st->full)) {
		text_add(t, ", its tray good to ");
		phrase_day_month(t, st->full);
	}
}
