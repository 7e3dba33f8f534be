#include "note/entrywords.h"

#include <math.h>
#include <string.h>
#include <strings.h>

#include "base/unit.h"
#include "facts/verb.h"
#include "note/phrase.h"

/* Said with the figures that were read, not as notes round: so many decimals, fewer where they are nought. */
enum { DECIMALS_MOST = 3, NUMBER_SIZE = 40, SEEDS = 10 };

static void number(struct text *t, double x, int decimals)
{
	char mem[NUMBER_SIZE];
	struct text s;
	text_over(&s, mem, sizeof mem);
	text_addf(&s, "%.*f", decimals, x);
	while (decimals > 0 && s.len > 0 && mem[s.len - 1] == '0')
		mem[--s.len] = '\0';
	if (decimals > 0 && s.len > 0 && mem[s.len - 1] == '.')
		mem[--s.len] = '\0';
	text_add(t, strcmp(mem, "-0") == 0 ? "0" : mem);
}

static void amount(struct text *t, double x, enum unit_family family, int decimals, int units)
{
	enum unit_system s = (enum unit_system)units;
	if (isnan(x))
		return;
	text_add(t, " ");
	number(t, unit_outside(family, s, x), decimals);
	text_addf(t, " %s", unit_label(family, s));
}

/* "green-1 (crop)", or where there is no planting the bed or tub. */
static void name(struct text *t, const struct entry *e)
{
	if (e->planting[0] == '\0') {
		text_add(t, e->bed);
		return;
	}
	text_add(t, e->planting);
	if (e->crop[0] != '\0' && strcmp(e->crop, e->planting) != 0)
		text_addf(t, " (%s)", e->crop);
}

static void named(struct text *t, const struct entry *e, const char *before)
{
	if (e->planting[0] == '\0' && e->bed[0] == '\0')
		return;
	text_add(t, before);
	name(t, e);
}

static void reading(const struct entry *e, int units, struct text *t)
{
	enum { RAIN_MM_DECIMALS = 1, RAIN_IN_DECIMALS = 2 };
	text_add(t, e->verb);
	if (verb_of(e) == VERB_RAIN)
		amount(t, e->amount, UNIT_WATER, units == UNIT_US ? RAIN_IN_DECIMALS : RAIN_MM_DECIMALS, units);
	else
		amount(t, e->amount, UNIT_TEMPERATURE, 1, units);
	named(t, e, " at ");
}

static void sprouted(const struct entry *e, struct text *t)
{
	text_add(t, "sprouted");
	if (!isnan(e->amount)) {
		text_add(t, " ");
		number(t, e->amount, 1);
		text_addf(t, " of %d", SEEDS);
	}
	named(t, e, ", ");
}

static void away(const struct entry *e, struct text *t)
{
	int days = isnan(e->amount) ? 1 : (int)e->amount;
	text_add(t, "away");
	if (days > 1) {
		text_add(t, " until ");
		phrase_date_full(t, date_add(e->date, days - 1));
	}
	text_addf(t, ", %d day%s", days, days == 1 ? "" : "s");
}

static void done(const struct entry *e, int units, struct text *t)
{
	enum verb v = verb_of(e);
	text_add(t, e->verb);
	if (v == VERB_PICKED && !isnan(e->amount)) {
		text_add(t, " ");
		number(t, e->amount, DECIMALS_MOST);
		named(t, e, " from ");
		return;
	}
	named(t, e, v == VERB_MALE || v == VERB_FEMALE || v == VERB_TRUE_LEAF || v == VERB_FOUND ? " on " : " ");
	if (v == VERB_PLANTED_OUT && e->bed[0] != '\0')
		text_addf(t, " in %s", e->bed);
	if (v == VERB_WATERED)
		amount(t, e->amount, UNIT_VOLUME, 1, units);
	if (v == VERB_FOUND)
		text_addf(t, ": \"%s\"", e->text);
}

/* Without the day that a note may begin with. */
static const char *from_verb(const char *text)
{
	const char *note = verb_word(VERB_NOTE);
	for (const char *s = text; *s != '\0'; s++)
		if (strncasecmp(s, note, strlen(note)) == 0 && (s == text || s[-1] == ' '))
			return s;
	return text;
}

void entrywords(const struct entry *e, int units, struct text *t)
{
	if (e->undoes != 0) {
		text_addf(t, "takes back %lld", (long long)e->undoes);
		return;
	}
	enum verb v = verb_of(e);
	if (v == VERB_LOW || v == VERB_SOIL || v == VERB_RAIN) {
		reading(e, units, t);
	} else if (v == VERB_SPROUTED) {
		sprouted(e, t);
	} else if (v == VERB_AWAY) {
		away(e, t);
	} else if (v == VERB_NOTE) {
		text_add(t, from_verb(e->text));
	} else if (v == VERBS) {
		text_add(t, e->text);
	} else if (v == VERB_UP) {
		name(t, e);
		text_add(t, " is up");
	} else {
		done(e, units, t);
	}
}

void entrywords_dated(const struct entry *e, int units, struct date today, struct text *t)
{
	int year, this_year, month, day;
	date_parts(e->date, &year, &month, &day);
	date_parts(today, &this_year, &month, &day);
	phrase_date_full(t, e->date);
	if (year != this_year)
		text_addf(t, " %d", year);
	text_add(t, ": ");
	entrywords(e, units, t);
}
