#include "note/say.h"

#include <math.h>

#include "advice/plantout.h"
#include "base/instant.h"
#include "note/chance.h"
#include "note/phrase.h"
#include "note/sentence.h"

enum { SAY_LATE_S = 17 * HOUR_S }; /* from then on a planting is tomorrow's (judgement) */

static int units_of(const struct note_facts *n)
{
	return n->garden->units;
}

static bool waits(const struct line *l)
{
	return l->lead->verdict == VERDICT_WAIT;
}

static void act(const struct note_facts *n, const struct line *l, struct text *t)
{
	text_add(t, waits(l) ? " with " : " ");
	say_plantings(n, l, t);
	if (!waits(l)) {
		text_add(t, zone_second(n->zone, n->state->cut) < SAY_LATE_S ? " today" : " tomorrow");
		text_add(t, l->lead->verdict == VERDICT_PLANT_COVERED ? ", late in the afternoon, under a cover"
								      : ", late in the afternoon");
	} else if (date_is(l->lead->day)) {
		text_add(t, " till ");
		phrase_date(t, l->lead->day, n->state->today);
	}
}

/* "7 in 10 that 4 of the next 5 nights keep 60 F (in the bed 57 61 ? 60 62)" */
static void nights(const struct note_facts *n, const struct plantday *d, double chance, double line_c, struct text *t)
{
	bool now = date_diff(d->day, n->state->today) == 0;
	chance_words(t, chance);
	text_addf(t, " that %d of %s%d nights keep ", PLANTDAY_WANTED, now ? "the next " : "", PLANTDAY_NIGHTS);
	phrase_degrees_unit(t, line_c, units_of(n));
	text_add(t, " (in the bed");
	for (int i = 0; i < PLANTDAY_NIGHTS; i++) {
		text_add(t, " ");
		phrase_degrees(t, d->bed[i].low_c, units_of(n));
	}
	text_add(t, d->nights_beyond ? ", some by the years)" : ")");
}

static void stall(const struct note_facts *n, const struct line *l, const struct plantday *d, struct text *t)
{
	text_add(t, "a night at ");
	phrase_degrees(t, advice_step_of(l->lead, STEP_STALL_LINE, 0).value, units_of(n));
	text_add(t, " or less, which stalls a new plant, is ");
	chance_words(t, d->stall);
}

static void frost(const struct note_facts *n, const struct plantday *d, struct text *t)
{
	text_add(t, "frost by ");
	phrase_date(t, date_add(d->frost_to, 1), n->state->today);
	text_add(t, " is ");
	chance_words(t, d->frost);
}

static void soil(const struct note_facts *n, const struct plantday *d, struct text *t)
{
	text_add(t, "soil ");
	phrase_degrees_unit(t, d->soil.c, units_of(n));
	text_add(t, " at 8 am ");
	if (d->soil.basis == SOIL_READ) {
		text_add(t, "(your reading of ");
		phrase_date(t, d->soil.read, n->state->today);
		text_add(t, ")");
	} else {
		text_add(t, "(reckoned)");
	}
}

/* What cannot be told goes for all plantings: said once a note. */
static void not_told(const struct note_facts *n, const struct line *l, const struct plantday *d, struct text *t)
{
	if (say_told_before(n, l))
		return;
	if (isnan(d->soil.c)) {
		text_add(t, " Soil not known: ");
		phrase_degrees_unit(t, d->soil_want_c, units_of(n));
		text_add(t, units_of(n) == UNIT_US ? " at 8 am, 4 in down, is wanted."
						   : " at 8:00, 10 cm down, is wanted.");
	}
	if (!date_is(d->frost_to) || date_diff(d->frost_to, d->day) < PLANTDAY_FROST_DAYS - 1) {
		text_add(t, " Of frost ");
		if (date_is(d->frost_to)) {
			text_add(t, "after ");
			phrase_date(t, date_add(d->frost_to, 1), n->state->today);
			text_add(t, " ");
		}
		text_add(t, "I cannot tell: ask your local extension office for the last one.");
	}
}

/* So small a chance of a stall is not worth a word (judgement). */
static const double SAY_STALL = 0.05;

static void plant_rest(const struct note_facts *n, const struct line *l, const struct plantday *d, struct text *t)
{
	bool covered = l->lead->verdict == VERDICT_PLANT_COVERED;
	double slow_c = n->garden->planting[l->lead->planting].figures.slow_c;
	text_add(t, covered ? ": " : ", or the next grey, still day: ");
	if (covered)
		nights(n, d, d->hold_slow, slow_c, t);
	else
		nights(n, d, d->hold, d->line_c, t);
	if (d->stall >= SAY_STALL) {
		text_add(t, "; ");
		stall(n, l, d, t);
	}
	if (date_is(d->frost_to)) {
		text_add(t, "; ");
		frost(n, d, t);
	}
	if (!isnan(d->soil.c)) {
		text_add(t, "; ");
		soil(n, d, t);
	}
	text_add(t, ".");
	if (covered)
		text_add(t, " Fleece on hoops, edges weighted, nothing touching the leaves.");
	not_told(n, l, d, t);
}

static void cannot_tell(const struct note_facts *n, const struct plantday *d, struct text *t)
{
	if (!n->state->forecast.any) {
		text_add(t, "I cannot tell without a forecast");
		return;
	}
	text_add(t, "I cannot tell, ");
	if (d->unknown > 0 && n->state->forecast.trust <= TRUST_AGED) {
		text_addf(t, "%d of the next %d nights %s not known", d->unknown, PLANTDAY_NIGHTS,
			  say_plural(d->unknown, "is", "are"));
	} else {
		sentence_age(n, t);
	}
}

/* "14 days old, 21 wanted in the tray (till Tue 26)". */
static void young(const struct note_facts *n, const struct advice *a, struct text *t)
{
	double age = advice_step_of(a, STEP_AGE, 0).value, tray = advice_step_of(a, STEP_TRAY, 0).value;
	text_addf(t, "%.0f day%s old, %.0f wanted in the tray (till ", age, say_plural(age, "", "s"), tray);
	phrase_date(t, date_add(n->state->today, (int)(tray - age)), n->state->today);
	text_add(t, ")");
}

static void against(const struct note_facts *n, const struct line *l, const struct plantday *d, struct text *t)
{
	switch (d->why) {
	case PLANTDAY_TOO_OLD:
	case PLANTDAY_UNTOLD:
		cannot_tell(n, d, t);
		break;
	case PLANTDAY_YOUNG:
		young(n, l->lead, t);
		break;
	case PLANTDAY_FROSTY:
		frost(n, d, t);
		break;
	case PLANTDAY_STALLING:
		stall(n, l, d, t);
		break;
	case PLANTDAY_COLD_SOIL:
		soil(n, d, t);
		text_add(t, ", ");
		phrase_degrees(t, d->soil_want_c, units_of(n));
		text_add(t, " wanted");
		break;
	case PLANTDAY_FIT:
	case PLANTDAY_COLD:
	case PLANTDAY_WINDY:
		nights(n, d, d->hold, d->line_c, t);
		break;
	}
}

/* The good day's own number; of the same kind as today's it is enough by itself. */
static void then(const struct note_facts *n, const struct plantout *p, struct text *t)
{
	bool same = p->today.why == PLANTDAY_COLD && p->today.lenient == p->good.lenient;
	text_add(t, "; then ");
	if (same)
		chance_words(t, p->good.hold);
	else
		nights(n, &p->good, p->good.hold, p->good.line_c, t);
	text_add(t, same && p->good.nights_beyond ? ", by the years" : "");
}

/* How far ahead there is nothing: to the last day that was judged, or as far as the nights are known. */
static void none_in_sight(const struct note_facts *n, const struct plantout *p, struct text *t)
{
	struct date last = date_add(n->state->today, PLANTDAY_AHEAD);
	struct date reach = zone_date(n->zone, n->state->forecast.reaches);
	bool years = season_expect(n->state, last).basis == OUTLOOK_YEARS;
	if (p->today.why == PLANTDAY_TOO_OLD || n->state->forecast.reaches <= n->state->cut)
		return;
	text_add(t, "; no fit day in sight (");
	text_add(t, years ? "to " : "forecast known to ");
	phrase_date(t, years ? last : reach, n->state->today);
	text_add(t, ")");
}

static void free_day(const struct note_facts *n, const struct line *l, struct text *t)
{
	struct step free = advice_step_of(l->lead, STEP_FREE, 0);
	if (!date_is(free.date))
		return;
	text_add(t, " Only free this weekend? ");
	phrase_date(t, free.date, n->state->today);
	text_add(t, ", late, under a cover, edges weighted: a stall is ");
	chance_words(t, free.value);
	text_add(t, ".");
}

static void wait_rest(const struct note_facts *n, const struct line *l, const struct plantout *p, struct text *t)
{
	text_add(t, ": ");
	against(n, l, &p->today, t);
	if (date_is(l->lead->day))
		then(n, p, t);
	else if (p->today.why != PLANTDAY_UNTOLD)
		none_in_sight(n, p, t);
	text_add(t, ".");
	free_day(n, l, t);
	if (date_is(l->lead->day))
		not_told(n, l, &p->good, t);
}

static void rest(const struct note_facts *n, const struct line *l, struct text *t)
{
	struct plantout p;
	plantout_days(n->garden, n->state, l->lead->planting, &p);
	if (waits(l))
		wait_rest(n, l, &p, t);
	else
		plant_rest(n, l, &p.today, t);
}

static void head(const struct note_facts *n, const struct line *l, struct text *t)
{
	(void)n;
	text_add(t, waits(l) ? "nothing goes out today" : "planting weather");
}

const struct saying say_plantout = {act, rest, head};
