#include "note/note.h"

#include <math.h>

#include "base/utf8.h"
#include "note/phrase.h"
#include "note/sentence.h"

enum { WHY_PIECE = 1024, WHY_NUMBER = 8, WHY_HEAD = 13 };

/* "  34 F   words", the words wrapped under each other. */
static void number_line(struct text *t, const char *number, const char *words)
{
	text_addf(t, "  %-*s", WHY_NUMBER, number);
	utf8_wrap(t, words, WHY_NUMBER + 2, WHY_NUMBER + 2, NOTE_COLUMNS);
	text_add(t, "\n");
}

/* "The rule     words". */
static void headed(struct text *t, const char *head, const char *words)
{
	text_addf(t, "%-*s", WHY_HEAD, head);
	utf8_wrap(t, words, WHY_HEAD, WHY_HEAD, NOTE_COLUMNS);
	text_add(t, "\n");
}

static void step_number(const struct note_facts *n, const struct step *s, struct text *t)
{
	int units = n->garden->units;
	switch (s->kind) {
	case STEP_NIGHT_LOW:
	case STEP_COVER_LINE:
	case STEP_STALL_LINE:
	case STEP_NIGHT_LINE:
	case STEP_COLDEST:
		phrase_degrees_unit(t, s->value, units);
		break;
	case STEP_MARGIN:
		text_add(t, s->value < 0 ? "-" : s->value > 0 ? "+" : "");
		phrase_difference(t, s->value, units);
		break;
	case STEP_DAYS_OUT:
	case STEP_SETTLE:
	case STEP_AGE:
	case STEP_TRAY:
		text_addf(t, "%.0f d", s->value);
		break;
	case STEP_REACHED:
	case STEP_WANTED:
	case STEP_UNKNOWN:
		text_addf(t, "%.0f", s->value);
		break;
	}
}

static void step_words(const struct note_facts *n, const struct step *s, struct text *t)
{
	static const char *const words[] = {
	    [STEP_COVER_LINE] = "the line: at or under it a tender planting outside is covered",
	    [STEP_STALL_LINE] = "the stall line: under it the just planted stand still",
	    [STEP_NIGHT_LINE] = "the night line: nights at or over it are fit for planting out",
	    [STEP_MARGIN] = "the forecast against the line",
	    [STEP_DAYS_OUT] = "since planting out, by that evening",
	    [STEP_SETTLE] = "in which the stall line counts",
	    [STEP_WANTED] = "of 5 nights are wanted, and none under the stall line",
	    [STEP_AGE] = "since sowing",
	    [STEP_TRAY] = "in the tray are wanted at least",
	};
	switch (s->kind) {
	case STEP_NIGHT_LOW:
		text_add(t, isnan(s->value) ? "not known: " : "the forecast's low for ");
		phrase_night(t, s->date, n->state->today);
		break;
	case STEP_REACHED:
		text_add(t, "of the 5 nights from ");
		phrase_day(t, s->date, n->state->today);
		text_add(t, " on reach the night line");
		break;
	case STEP_UNKNOWN:
		text_add(t, "of them nobody can tell: hours are missing");
		break;
	case STEP_COLDEST:
		text_add(t, "the coldest of them");
		break;
	case STEP_COVER_LINE:
	case STEP_STALL_LINE:
	case STEP_NIGHT_LINE:
	case STEP_MARGIN:
	case STEP_DAYS_OUT:
	case STEP_SETTLE:
	case STEP_WANTED:
	case STEP_AGE:
	case STEP_TRAY:
		text_add(t, words[s->kind]);
		break;
	}
}

static void steps(const struct note_facts *n, const struct advice *a, struct text *t)
{
	for (size_t i = 0; i < a->steps; i++) {
		const struct step *s = &a->step[i];
		if (s->kind == STEP_UNKNOWN && !(s->value > 0)) {
			continue;
		}
		char number_mem[WHY_PIECE], words_mem[WHY_PIECE];
		struct text number, words;
		text_over(&number, number_mem, sizeof number_mem);
		text_over(&words, words_mem, sizeof words_mem);
		step_number(n, s, &number);
		step_words(n, s, &words);
		number_line(t, number.at, words.at);
	}
}

/* Where the line comes from, planting by planting where their crops differ. */
static void rules(const struct note_facts *n, const struct line *l, struct text *t)
{
	for (size_t i = 0; i < l->n; i++) {
		const struct advice *a = l->of[i];
		const struct planting *p = &n->garden->planting[a->planting];
		bool told = false;
		for (size_t j = 0; j < i; j++) {
			told = told || n->garden->planting[l->of[j]->planting].crop_index == p->crop_index;
		}
		if (told) {
			continue;
		}
		const struct crop *crop = &n->crops->at[p->crop_index];
		char mem[WHY_PIECE];
		struct text words;
		text_over(&words, mem, sizeof mem);
		text_addf(&words, "%s: %s", crop->title,
			  a->own_line ? "night_line of the planting in your garden file" : crop->basis[a->rule]);
		headed(t, i == 0 ? "The rule" : "", words.at);
	}
}

static void source(const struct note_facts *n, struct text *t)
{
	char mem[WHY_PIECE];
	struct text words;
	text_over(&words, mem, sizeof mem);
	sentence_forecast(n, &words);
	if (n->state->forecast.any) {
		text_add(&words, " ");
		phrase_age(&words, n->state->forecast.age_s);
		text_addf(&words, " old at the time of the note. %s", n->state->forecast.credit);
	}
	headed(t, "From", words.at);
}

void why_write(const struct note_facts *n, size_t k, struct text *t)
{
	const struct line *l = &n->lines->at[k];
	char mem[WHY_PIECE];
	struct text act;
	text_over(&act, mem, sizeof mem);
	sentence_act(n, l, &act);
	text_addf(t, "%zu ", k + 1);
	utf8_wrap(t, act.at, 2, 2, NOTE_COLUMNS);
	text_add(t, "\n  on ");
	phrase_date_full(t, n->state->today);
	text_add(t, "\n\n");
	steps(n, l->lead, t);
	text_add(t, "\n");
	rules(n, l, t);
	if (l->lead->decision == DECISION_COVER) {
		headed(t, "It tips if",
		       "cloud comes over or a wind gets up after dusk: then the leaf stays near the air.");
		headed(t, "Not judged",
		       "the bed and the leaf, which lie under the forecast on clear, calm nights; how sure the "
		       "forecast is.");
	} else {
		headed(t, "Not judged", "soil warmth, the date of the last frost, how sure the forecast is.");
	}
	source(n, t);
}
