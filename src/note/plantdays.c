#include "note/plantdays.h"

#include <math.h>
#include <string.h>

#include "advice/plantout.h"
#include "base/utf8.h"
#include "note/chance.h"
#include "note/credit.h"
#include "note/phrase.h"
#include "note/say.h"
#include "note/sentence.h"

enum { DAYS_PIECE = 1024, WEEK = 7, OTHERS = 8 };

static bool among(const int *ahead, size_t n, int day)
{
	for (size_t i = 0; i < n; i++)
		if (ahead[i] == day)
			return true;
	return false;
}

size_t plantdays_choose(struct date today, int ahead[static PLANTDAYS_MAX], size_t *free)
{
	int coming[2], days = plantday_weekend(today, coming);
	size_t n = 0;
	for (int i = 0; i < days; i++)
		ahead[n++] = coming[i];
	*free = n;
	for (int day = 0; day < OTHERS; day++)
		if (!among(ahead, n, day))
			ahead[n++] = day;
	for (int i = 0; i < days; i++)
		if (coming[i] + WEEK <= PLANTDAY_AHEAD && !among(ahead, n, coming[i] + WEEK))
			ahead[n++] = coming[i] + WEEK;
	return n;
}

static bool own_figures(const struct planting *p)
{
	for (int i = 0; i < CROP_FIGURES; i++)
		if (p->own_line[i] != 0)
			return true;
	return false;
}

static bool alike(const struct note_facts *n, size_t a, size_t b)
{
	const struct planting *p = &n->garden->planting[a], *q = &n->garden->planting[b];
	const struct planting_state *ps = &n->state->planting[a], *qs = &n->state->planting[b];
	return qs->where == PLANTING_IN_TRAY && p->crop_index == q->crop_index && strcmp(p->in, q->in) == 0 &&
	       ps->age_days == qs->age_days && !own_figures(p) && !own_figures(q);
}

bool plantdays_group(const struct note_facts *n, size_t i, size_t of[static GARDEN_PLANTINGS_MAX], size_t *count)
{
	*count = 0;
	if (n->state->planting[i].where != PLANTING_IN_TRAY)
		return false;
	for (size_t k = 0; k < i; k++)
		if (alike(n, i, k))
			return false;
	of[(*count)++] = i;
	for (size_t k = i + 1; k < n->state->plantings; k++)
		if (alike(n, i, k))
			of[(*count)++] = k;
	return true;
}

static void paragraph(struct text *t, const struct text *words)
{
	utf8_wrap(t, words->at, 0, 0, NOTE_COLUMNS);
	text_add(t, "\n");
}

/* "a and b for south: NAME OF CROP, 29 days old, pots good to Mon 25 May.", and their lines. */
static void who(const struct note_facts *n, const size_t *of, size_t count, const struct plantout *p, struct text *t)
{
	const struct planting *planting = &n->garden->planting[of[0]];
	const struct crop *crop = &planting->figures;
	int units = n->garden->units;
	char mem[DAYS_PIECE];
	struct text words;
	text_over(&words, mem, sizeof mem);
	for (size_t i = 0; i < count; i++)
		phrase_listed(&words, n->garden->planting[of[i]].name, i, count);
	if (planting->in[0] != '\0')
		text_addf(&words, " for %s", planting->in);
	text_addf(&words, ": %s, %d days old", crop->title, n->state->planting[of[0]].age_days);
	if (date_is(p->pot_to)) {
		text_add(&words, ", pots good to ");
		phrase_date(&words, p->pot_to, n->state->today);
	}
	text_add(&words, ".");
	paragraph(t, &words);
	text_add(t, "Night line ");
	phrase_degrees_unit(t, crop->night_line_c, units);
	text_add(t, " in the bed; at ");
	phrase_degrees(t, crop->stall_c, units);
	text_add(t, " a new plant stalls, at ");
	phrase_degrees(t, crop->kill_c, units);
	text_add(t, " a leaf dies.\n");
}

/* One number of a row, in brackets where it is beyond the forecast. */
static void cell(struct text *row, const struct text *number, int width, bool beyond)
{
	char mem[DAYS_PIECE];
	struct text c;
	text_over(&c, mem, sizeof mem);
	text_addf(&c, beyond ? "(%s)" : "%s", number->at);
	text_addf(row, "%-*s", width, c.at);
}

/* A star where it is one of the slow line. */
static void chance_in(struct text *row, double p, int width, bool beyond, bool slow)
{
	char mem[DAYS_PIECE];
	struct text number;
	text_over(&number, mem, sizeof mem);
	chance_cell(&number, p);
	text_add(&number, slow && !isnan(p) ? "*" : "");
	cell(row, &number, width, beyond);
}

static void degrees_in(const struct note_facts *n, struct text *row, double c, int width, bool beyond)
{
	char mem[DAYS_PIECE];
	struct text number;
	text_over(&number, mem, sizeof mem);
	phrase_degrees(&number, c, n->garden->units);
	cell(row, &number, width, beyond);
}

enum { COLUMN_DAY = 7, COLUMN_DEGREES = 6, COLUMN_CHANCE = 12, COLUMN_FROST = 10 };

static void heads(const struct note_facts *n, const struct crop *crop, struct text *t)
{
	char keep_mem[DAYS_PIECE], less_mem[DAYS_PIECE];
	struct text keep, less;
	text_over(&keep, keep_mem, sizeof keep_mem);
	text_over(&less, less_mem, sizeof less_mem);
	text_add(&keep, "keep ");
	phrase_degrees(&keep, crop->night_line_c, n->garden->units);
	phrase_degrees(&less, crop->stall_c, n->garden->units);
	text_add(&less, " or less");
	text_addf(t, "%*s%-*s%-*s%-*s%-*s%s\n", COLUMN_DAY, "", COLUMN_DEGREES, "bed", COLUMN_CHANCE, "4 of 5",
		  COLUMN_CHANCE, "a night", COLUMN_FROST, "frost in", "soil");
	text_addf(t, "%*s%-*s%-*s%-*s%-*s%s\n", COLUMN_DAY, "", COLUMN_DEGREES, "low", COLUMN_CHANCE, keep.at,
		  COLUMN_CHANCE, less.at, COLUMN_FROST, "14 days", n->garden->units == UNIT_US ? "8 am" : "8:00");
}

static void row(const struct note_facts *n, const struct plantday *d, struct text *t)
{
	text_addf(t, "%s ", date_weekday_short(date_weekday(d->day)));
	int year, month, day;
	date_parts(d->day, &year, &month, &day);
	text_addf(t, "%-*d", COLUMN_DAY - (int)sizeof "Sat", day);
	degrees_in(n, t, d->coldest_c, COLUMN_DEGREES, d->nights_beyond);
	chance_in(t, d->unknown > 0 ? (double)NAN : d->hold, COLUMN_CHANCE, d->nights_beyond, d->lenient);
	chance_in(t, d->unknown > 0 ? (double)NAN : d->stall, COLUMN_CHANCE, d->nights_beyond, false);
	chance_in(t, d->frost, COLUMN_FROST, false, false);
	degrees_in(n, t, d->soil.c, COLUMN_DEGREES, d->soil_earlier);
	text_add(t, plantday_word(d->verdict));
	bool none = d->why == PLANTDAY_TOO_OLD && !n->state->forecast.any;
	if (d->verdict == VERDICT_WAIT)
		text_addf(t, ": %s", none ? "no forecast" : plantday_against(d->why));
	text_add(t, "\n");
}

static void star(const struct note_facts *n, const struct crop *crop, struct text *t)
{
	char mem[DAYS_PIECE];
	struct text words;
	text_over(&words, mem, sizeof mem);
	text_add(&words, "* ");
	phrase_degrees_unit(&words, crop->slow_c, n->garden->units);
	text_addf(&words, " is enough by then: the frosts are %d days past and the soil is warm.",
		  PLANTDAY_AFTER_FROST);
	paragraph(t, &words);
	text_add(t, "\n");
}

static void table(const struct note_facts *n, size_t planting, const int *ahead, size_t days, size_t free,
		  struct text *t)
{
	const struct crop *crop = &n->garden->planting[planting].figures;
	bool any_slow = false;
	heads(n, crop, t);
	for (size_t i = 0; i < days; i++) {
		struct plantday d;
		plantday_of(n->garden, n->state, planting, ahead[i], &d);
		text_add(t, i > 0 && i == free ? "\n" : "");
		row(n, &d, t);
		any_slow = any_slow || (d.lenient && d.unknown == 0);
	}
	text_add(t, "\n");
	if (any_slow)
		star(n, crop, t);
}

static void best(const struct note_facts *n, const struct plantout *p, struct text *t)
{
	struct date today = n->state->today;
	if (date_is(p->good.day)) {
		text_add(t, "Best: ");
		phrase_day(t, p->good.day, today);
		text_add(t, ", late in the afternoon. ");
	} else if (p->today.why != PLANTDAY_TOO_OLD) {
		text_add(t, "No day of PLANT up to ");
		phrase_date(t, date_add(today, PLANTDAY_AHEAD), today);
		text_add(t, ", as far as the nights are known. ");
	} else if (n->state->forecast.any) {
		text_add(t, "I can name no day: ");
		sentence_age(n, t);
		text_add(t, ". ");
	} else {
		text_add(t, "I can name no day without a forecast. ");
	}
}

static void weekend(const struct note_facts *n, const struct plantout *p, struct text *t)
{
	if (p->today.why == PLANTDAY_TOO_OLD && p->free.why == PLANTDAY_TOO_OLD)
		return;
	text_add(t, "Only free this weekend? ");
	if (p->free.verdict == VERDICT_WAIT) {
		text_addf(t, "Wait all the same: %s. ", plantday_against(p->free.why));
		return;
	}
	phrase_day(t, p->free.day, n->state->today);
	text_add(t, p->free.verdict == VERDICT_PLANT ? ". " : ", late, under a cover, its edges weighted. ");
}

static void pots(const struct note_facts *n, const struct plantout *p, struct text *t)
{
	bool late = date_is(p->good.day) ? date_diff(p->good.day, p->pot_to) > 0
					 : date_diff(p->pot_to, n->state->today) <= PLANTDAY_AHEAD;
	if (!date_is(p->pot_to) || !late)
		return;
	bool over = date_diff(p->pot_to, n->state->today) < 0;
	text_add(t, over ? "The pots have been full since " : "The pots are full by ");
	phrase_date(t, p->pot_to, n->state->today);
	text_add(t, ": pot on, and feed at half strength. ");
}

static void what_to_do(const struct note_facts *n, const struct plantout *p, struct text *t)
{
	char mem[DAYS_PIECE];
	struct text words;
	text_over(&words, mem, sizeof mem);
	best(n, p, &words);
	weekend(n, p, &words);
	pots(n, p, &words);
	if (p->today.soil.basis == SOIL_READ) {
		text_add(&words, "Soil: your reading of ");
		phrase_date(&words, p->today.soil.read, n->state->today);
		text_add(&words, " carried forward.");
	}
	paragraph(t, &words);
}

/* What goes for all of them. */
static void foot(const struct note_facts *n, bool frost_told, struct text *t)
{
	int years = n->state->climate.years;
	char mem[DAYS_PIECE];
	struct text words;
	text_over(&words, mem, sizeof mem);
	text_add(&words, "Chances are of the nights after the day, in the bed. ");
	if (years > 0) {
		text_addf(&words, "In brackets: beyond the forecast, by %d year%s of the station. ", years,
			  say_plural(years, "", "s"));
	}
	text_add(&words, frost_told ? "Low ground has frost more often. "
				    : "Of frost I can tell no more than the forecast does: ask your local extension "
				      "office for the last one. ");
	text_add(&words, "Soil at 4 in (10 cm) is reckoned for bare soil where there is no reading of yours. ");
	sentence_forecast(n, &words);
	credit_words(n, n->state->night[0].first, &words);
	paragraph(t, &words);
}

void plantdays_write(const struct note_facts *n, const int *ahead, size_t days, size_t free, struct text *t)
{
	bool any = false, frost_told = true;
	size_t of[GARDEN_PLANTINGS_MAX], count;
	for (size_t i = 0; i < n->state->plantings; i++) {
		struct plantout p;
		if (!plantdays_group(n, i, of, &count))
			continue;
		plantout_days(n->garden, n->state, i, &p);
		text_add(t, any ? "\n" : "");
		who(n, of, count, &p, t);
		text_add(t, "\n");
		table(n, i, ahead, days, free, t);
		what_to_do(n, &p, t);
		frost_told = frost_told && date_is(p.today.frost_to) &&
			     date_diff(p.today.frost_to, p.today.day) >= PLANTDAY_FROST_DAYS - 1;
		any = true;
	}
	if (!any) {
		text_add(t, "Nothing stands in a tray: nothing waits to be planted out.\n");
		return;
	}
	text_add(t, "\n");
	foot(n, frost_told, t);
}
