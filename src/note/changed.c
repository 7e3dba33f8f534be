#include "note/changed.h"

#include "note/phrase.h"
#include "note/sentence.h"

static void plantings(const struct note_facts *n, const struct change *c, struct text *t)
{
	for (size_t i = 0; i < c->n; i++)
		phrase_listed(t, n->garden->planting[c->of[i]].name, i, c->n);
}

static void day(const struct note_facts *n, struct date d, struct text *t)
{
	if (date_diff(d, n->state->today) == 0)
		text_add(t, "today");
	else
		phrase_date(t, d, n->state->today);
}

static const char *where(const struct change *c)
{
	return c->rule == CROP_KILL ? " on the leaf" : " in the bed";
}

static void was_now(const struct note_facts *n, const struct change *c, struct text *t)
{
	text_add(t, " (was ");
	phrase_degrees(t, c->was_c, n->garden->units);
	text_add(t, ", now ");
	phrase_degrees(t, c->now_c, n->garden->units);
	text_add(t, c->kind == CHANGE_COVER_OFF ? where(c) : "");
	text_add(t, ")");
}

static int moved_by(const struct note_facts *n, const struct change *c)
{
	int units = n->garden->units;
	return advice_degrees(c->now_c, units) - advice_degrees(c->was_c, units);
}

static void night_moved(const struct note_facts *n, const struct change *c, struct text *t)
{
	int moved = moved_by(n, c), units = n->garden->units;
	phrase_night(t, c->night, n->state->today);
	text_add(t, moved < 0 ? " fell " : " rose ");
	phrase_difference(t, advice_difference_c(moved, units), units);
	was_now(n, c, t);
}

/* Why a plan changed, as far as the nights or the forecast's age tell it. */
static void reason(const struct note_facts *n, const struct change *c, struct text *t)
{
	if (c->now == VERDICT_WAIT && n->state->forecast.trust > TRUST_FULL) {
		text_add(t, ": ");
		sentence_age(n, t);
	} else if (date_is(c->night) && moved_by(n, c) != 0) {
		text_add(t, ": ");
		night_moved(n, c, t);
	} else if (c->nights_unknown) {
		bool sooner = date_is(c->now_day) && date_diff(c->was_day, c->now_day) > 0;
		text_add(t, sooner ? ": more nights are known now" : ": not all nights after it are known now");
	}
}

static const char *to_do(const struct change *c)
{
	return c->now == VERDICT_WAIT_SOWING ? "sow " : "plant ";
}

static void date_moved(const struct note_facts *n, const struct change *c, struct text *t)
{
	if (date_is(c->now_day)) {
		text_addf(t, "the day to %s", to_do(c));
		plantings(n, c, t);
		text_add(t, " moved from ");
		day(n, c->was_day, t);
		text_add(t, " to ");
		day(n, c->now_day, t);
	} else {
		/* A forecast too old to name a day has not said that there is none. */
		bool old = n->state->forecast.trust > TRUST_FULL;
		text_add(t, old ? "I can name no day any more to " : "no day in sight any more to ");
		text_add(t, to_do(c));
		plantings(n, c, t);
		text_add(t, " (was ");
		day(n, c->was_day, t);
		text_add(t, ")");
	}
	reason(n, c, t);
}

static void harden_moved(const struct note_facts *n, const struct change *c, struct text *t)
{
	text_add(t, "hardening of ");
	plantings(n, c, t);
	text_add(t, " now ends ");
	phrase_day(t, c->now_day, n->state->today);
	text_add(t, " (was ");
	phrase_day(t, c->was_day, n->state->today);
	text_add(t, ")");
	if (date_is(c->night)) {
		text_add(t, ": in ");
		phrase_day(t, c->night, n->state->today);
	}
}

static void verdict_turned(const struct note_facts *n, const struct change *c, struct text *t)
{
	if (c->was == VERDICT_WAIT) {
		plantings(n, c, t);
		text_add(t, c->now == VERDICT_PLANT ? " can go out today already (was "
						    : " can go out today under a cover (was ");
		day(n, c->was_day, t);
		text_add(t, ")");
	} else {
		text_addf(t, "yesterday I said %s", to_do(c));
		plantings(n, c, t);
		text_add(t, c->now != VERDICT_PLANT_COVERED ? ", today I say wait" : ", today I say under a cover");
	}
	reason(n, c, t);
}

void changed_words(const struct note_facts *n, const struct change *c, struct text *t)
{
	switch (c->kind) {
	case CHANGE_NIGHT:
		night_moved(n, c, t);
		break;
	case CHANGE_COVER_OFF:
		phrase_night(t, c->night, n->state->today);
		text_add(t, " no longer needs a cover on ");
		plantings(n, c, t);
		if (moved_by(n, c) != 0)
			was_now(n, c, t);
		else
			text_add(t, ", by a hair");
		break;
	case CHANGE_COVER_LOST:
		phrase_night(t, c->night, n->state->today);
		text_add(t, " can no longer be judged (was ");
		phrase_degrees_unit(t, c->was_c, n->garden->units);
		text_add(t, where(c));
		text_add(t, "): be ready to cover ");
		plantings(n, c, t);
		break;
	case CHANGE_DATE:
		date_moved(n, c, t);
		break;
	case CHANGE_HARDEN:
		harden_moved(n, c, t);
		break;
	case CHANGE_VERDICT:
		verdict_turned(n, c, t);
		break;
	}
}
