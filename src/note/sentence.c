#include "note/sentence.h"

#include "note/phrase.h"
#include "note/say.h"

void sentence_act(const struct note_facts *n, const struct line *l, struct text *t)
{
	text_add(t, advice_verdict(l->lead->verdict)->word);
	say_of(l->lead->decision)->act(n, l, t);
}

void sentence_line(const struct note_facts *n, const struct line *l, struct text *t)
{
	sentence_act(n, l, t);
	say_of(l->lead->decision)->rest(n, l, t);
}

void sentence_age(const struct note_facts *n, struct text *t)
{
	text_add(t, "the forecast is ");
	phrase_age(t, n->state->forecast.age_s);
	text_add(t, " old");
}

void sentence_forecast(const struct note_facts *n, struct text *t)
{
	const struct forecast_state *fs = &n->state->forecast;
	if (!fs->any) {
		text_add(t, "No forecast in the record.");
		return;
	}
	text_add(t, "Forecast of ");
	struct date made = zone_date(n->zone, fs->made);
	bool today = date_diff(n->state->today, made) == 0;
	if (!today) {
		phrase_date(t, made, n->state->today);
		text_add(t, ", ");
	}
	phrase_clock(t, n->zone, fs->made, n->garden->units);
	text_add(t, today ? " today" : "");
	if (fs->trust > TRUST_FULL) {
		text_add(t, ", ");
		phrase_age(t, fs->age_s);
		text_add(t, " old");
	}
	text_add(t, fs->trust == TRUST_SPENT ? ", too old to go by" : "");
	text_add(t, ".");
}
