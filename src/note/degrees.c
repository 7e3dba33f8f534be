#include "note/note.h"

#include <math.h>
#include <string.h>

#include "base/utf8.h"
#include "note/credit.h"
#include "note/phrase.h"
#include "note/sentence.h"
#include "note/stageline.h"

enum { DEGREES_PIECE = 1024 };

static const char *method_words(enum degree_method m)
{
	static const char *const words[DEGREE_METHODS] = {
	    [DEGREE_HOURLY] = "hour by hour",
	    [DEGREE_AVERAGE_MEAN] = "by the day's mean",
	    [DEGREE_AVERAGE_ENDS] = "by the mean of high and low, each held between base and cap",
	    [DEGREE_AVERAGE_HIGH] = "by the mean, the high held between base and cap",
	    [DEGREE_SINE] = "by a sine through high and low",
	    [DEGREE_TRIANGLE] = "by a triangle through high and low",
	    [DEGREE_SINE_DOUBLE] = "by two half sines",
	    [DEGREE_TRIANGLE_DOUBLE] = "by two half triangles",
	};
	return words[m];
}

static void rule_words(const struct degree_rule *rule, int units, struct text *t)
{
	text_add(t, "base ");
	phrase_degrees(t, rule->base_c, units);
	if (!isnan(rule->cap_c) && rule->cutoff != DEGREE_NO_CUTOFF) {
		text_add(t, rule->cutoff == DEGREE_HORIZONTAL ? ", no more counted above "
			    : rule->cutoff == DEGREE_VERTICAL ? ", nothing counted above "
							      : ", less counted above ");
		phrase_degrees(t, rule->cap_c, units);
	}
	text_addf(t, ", %s", method_words(rule->method));
}

static void days_of(struct text *t, int n, const char *what, bool *any)
{
	if (n > 0) {
		text_addf(t, "%s%d %s", *any ? ", " : "", n, what);
		*any = true;
	}
}

/* The station by name; of several, how it came to be the one. */
static void station_words(const struct season_state *s, int days, struct text *t, bool *any)
{
	days_of(t, days, days == 1 ? "from low and high" : "from lows and highs", any);
	if (days == 0 || s->station[0] == '\0')
		return;
	text_addf(t, " of station %s", s->station);
	if (s->stations > 1)
		text_addf(t, " (of %d the one with most days)", s->stations);
}

static void counted(const struct season_state *s, const struct planting_state *ps, struct text *t)
{
	const struct degree_sum *w = &ps->warmth;
	bool any = false;
	text_addf(t, "; %d day%s", w->days, w->days == 1 ? "" : "s");
	if (w->days == 0)
		return;
	text_add(t, ": ");
	if (ps->where == PLANTING_IN_TRAY) {
		days_of(t, w->days - w->missing_days, "reckoned at room temperature", &any);
	} else {
		days_of(t, w->hours_days, "with all hours", &any);
		days_of(t, w->filled_days, "with hours filled", &any);
		station_words(s, w->extremes_days, t, &any);
	}
	days_of(t, w->missing_days, "missing", &any);
	if (w->forecast_days > 0)
		text_addf(t, "; %d of them on forecast hours", w->forecast_days);
}

/* A sum with holes is no total: it is said as what is known of it. */
static void sum_words(const struct planting_state *ps, double indoor_c, int units, struct text *t)
{
	const struct degree_sum *w = &ps->warmth;
	if (ps->where == PLANTING_IN_TRAY && isnan(indoor_c)) {
		text_add(t, "cannot tell, the garden file does not say how warm the room is (key: indoor)");
		return;
	}
	if (w->days > 0 && w->missing_days == w->days) {
		text_add(t, "cannot tell, no day is known");
		return;
	}
	if (w->missing_days > 0) {
		int known = w->days - w->missing_days;
		text_addf(t, "cannot tell; the %d day%s known make%s ", known, known == 1 ? "" : "s",
			  known == 1 ? "s" : "");
	}
	phrase_degree_days(t, w->dd_c, units);
}

static void by_forecast(const struct forecast_state *fs, struct text *t)
{
	if (fs->trust == TRUST_FULL) {
		text_add(t, " by the forecast");
		return;
	}
	text_add(t, " by a forecast ");
	phrase_age(t, fs->age_s);
	text_add(t, " old");
}

static void pace(const struct planting_state *ps, const struct forecast_state *fs, int units, struct text *t)
{
	const struct degree_sum *past = &ps->last_week, *next = &ps->coming;
	int past_known = past->days - past->missing_days;
	char mem[DEGREES_PIECE];
	struct text words;
	text_over(&words, mem, sizeof mem);
	if (past_known > 0) {
		text_addf(&words, "last %d day%s: ", past->days, past->days == 1 ? "" : "s");
		phrase_degree_days(&words, past->dd_c / past_known, units);
		text_add(&words, " a day");
		if (past->missing_days > 0)
			text_addf(&words, " (%d missing)", past->missing_days);
	}
	if (next->days > 0) {
		text_addf(&words, "%snext %d day%s: ", past_known > 0 ? "; " : "", next->days,
			  next->days == 1 ? "" : "s");
		phrase_degree_days(&words, next->dd_c / next->days, units);
		text_add(&words, " a day");
		if (ps->where != PLANTING_IN_TRAY)
			by_forecast(fs, &words);
	}
	if (words.len > 0) {
		text_add(t, "Pace    ");
		utf8_wrap(t, words.at, sizeof "Pace    " - 1, sizeof "Pace    " - 1, NOTE_COLUMNS);
		text_add(t, "\n");
	}
}

static void since_words(const struct planting *p, const struct planting_state *ps, const char *crop, struct text *t)
{
	text_addf(t, "%s, %s, ", p->name, crop);
	switch (ps->where) {
	case PLANTING_OUT:
		text_add(t, ps->dates.first[VERB_PLANTED_OUT].n == ps->since.n ? "planted out " : "sown outdoors ");
		break;
	case PLANTING_IN_TRAY:
		text_add(t, "in the tray since ");
		break;
	case PLANTING_ENDED:
		text_add(t, "ended ");
		break;
	case PLANTING_TO_COME:
		text_add(t, "not begun");
		break;
	case PLANTING_UNDATED:
		text_add(t, "no date in the garden file: give it sown = or planted =");
		break;
	}
	if (date_is(ps->since))
		phrase_date_full(t, ps->since);
	text_add(t, "\n");
}

static void stage(const struct note_facts *n, size_t i, struct text *t)
{
	char mem[DEGREES_PIECE];
	struct text words;
	text_over(&words, mem, sizeof mem);
	stageline_words(n, i, &words);
	if (words.len == 0)
		return;
	text_add(t, "Stage   ");
	utf8_wrap(t, words.at, sizeof "Stage   " - 1, sizeof "Stage   " - 1, NOTE_COLUMNS);
	text_add(t, "\n");
}

static void planting(const struct note_facts *n, size_t i, struct text *t)
{
	const struct planting *p = &n->garden->planting[i];
	const struct planting_state *ps = &n->state->planting[i];
	const struct crop *crop = &p->figures;
	since_words(p, ps, crop->title, t);
	if (ps->where != PLANTING_OUT && ps->where != PLANTING_IN_TRAY)
		return;
	char mem[DEGREES_PIECE];
	struct text words;
	text_over(&words, mem, sizeof mem);
	text_add(&words, "Warmth since then, to yesterday: ");
	sum_words(ps, n->garden->indoor_c, n->garden->units, &words);
	text_add(&words, " (");
	rule_words(&crop->rule, n->garden->units, &words);
	counted(n->state, ps, &words);
	text_add(&words, ")");
	utf8_wrap(t, words.at, 0, 0, NOTE_COLUMNS);
	text_add(t, "\n");
	pace(ps, &n->state->forecast, n->garden->units, t);
	stage(n, i, t);
}

void degrees_write(const struct note_facts *n, const char *name, struct text *t)
{
	bool any = false;
	for (size_t i = 0; i < n->state->plantings; i++) {
		if (name != NULL && strcmp(name, n->garden->planting[i].name) != 0)
			continue;
		text_add(t, any ? "\n" : "");
		planting(n, i, t);
		any = true;
	}
	if (!any) {
		text_add(t, "No planting in the garden file.\n");
		return;
	}
	char mem[DEGREES_PIECE];
	struct text words;
	text_over(&words, mem, sizeof mem);
	if (n->state->forecast.any)
		sentence_forecast(n, &words);
	credit_words(n, INT64_MIN, &words);
	if (words.len == 0)
		return;
	text_add(t, "\n");
	utf8_wrap(t, words.at, 0, 0, NOTE_COLUMNS);
	text_add(t, "\n");
}
