#include "note/say.h"

#include <math.h>

#include "advice/harden.h"
#include "base/instant.h"
#include "note/phrase.h"
#include "note/sentence.h"

enum {
	SHADE_TO = 3, /* days of hardening (judgement; common practice: full sun after a week) */
	HALF_SHADE_TO = 5,
	ALL_DAY_S = 11 * HOUR_S, /* so much is called that (judgement) */
	NIGHTS_AHEAD = 3,        /* nights after tonight that are looked at */
};

/* Gusts that are told of as a reason (judgement; 16 mph). */
static const double GUSTY_MS = 7;

static int units_of(const struct note_facts *n)
{
	return n->garden->units;
}

static double step(const struct advice *a, enum step_kind kind)
{
	return advice_step_of(a, kind, 0).value;
}

static void act(const struct note_facts *n, const struct line *l, struct text *t)
{
	text_add(t, " ");
	say_plantings(n, l, t);
	if (l->lead->verdict == VERDICT_KEEP_IN) {
		text_add(t, " today");
		return;
	}
	if (step(l->lead, STEP_OUT_TO) - step(l->lead, STEP_OUT_FROM) >= ALL_DAY_S) {
		text_add(t, " all day");
		return;
	}
	text_add(t, " from ");
	phrase_clock(t, n->zone, (int64_t)step(l->lead, STEP_OUT_FROM), units_of(n));
	text_add(t, " to ");
	phrase_clock(t, n->zone, (int64_t)step(l->lead, STEP_OUT_TO), units_of(n));
}

/* Has its end moved since yesterday? */
static bool moved(const struct note_facts *n, const struct line *l)
{
	for (size_t i = 0; i < n->changes->n; i++) {
		const struct change *c = &n->changes->at[i];
		for (size_t k = 0; k < c->n && c->kind == CHANGE_HARDEN; k++)
			if (c->of[k] == l->lead->planting)
				return true;
	}
	return false;
}

/* "Then Wed 3 h, Thu in, Fri 4 h; hardened by Sat 23." */
static void days_to_come(const struct note_facts *n, const struct advice *a, struct text *t)
{
	struct step s;
	struct date ends = advice_step_of(a, STEP_HARDEN_WANTED, 0).date;
	size_t told = 0;
	for (; !isnan((s = advice_step_of(a, STEP_HARDEN_HOURS, told)).value); told++) {
		text_addf(t, "%s%s ", told > 0 ? ", " : " Then ", date_weekday_short(date_weekday(s.date)));
		if (s.value > 0)
			text_addf(t, "%.0f h", s.value);
		else
			text_add(t, "in");
	}
	if (date_is(ends)) {
		text_add(t, told > 0 ? "; hardened by " : " Hardened by ");
		phrase_date(t, ends, n->state->today);
		text_add(t, " if that holds");
	}
	text_add(t, told > 0 || date_is(ends) ? "." : "");
}

/* What keeps it in on a day to come, as far as two numbers tell. */
static void why_in(const struct note_facts *n, const struct advice *a, const struct day *d, struct text *t)
{
	if (!isnan(d->tmax_c) && advice_degrees(d->tmax_c, units_of(n)) < advice_degrees(a->line_c, units_of(n))) {
		text_add(t, " (");
		phrase_degrees_unit(t, d->tmax_c, units_of(n));
		text_add(t, ")");
	} else if (d->gust_ms > GUSTY_MS) {
		text_add(t, " (gusts of ");
		phrase_wind(t, d->gust_ms, units_of(n));
		text_add(t, ")");
	}
}

/* The first of the line's trays that stays in on the i-th day to come; NULL where none does. */
static const struct advice *stays_in(const struct line *l, size_t i)
{
	for (size_t k = 0; k < l->n; k++)
		if (advice_step_of(l->of[k], STEP_HARDEN_HOURS, i).value <= 0)
			return l->of[k];
	return NULL;
}

/* A day soon on which one of them stays in, and the rest with it: " In all Thursday (51 F)." */
static void day_in(const struct note_facts *n, const struct line *l, struct text *t)
{
	for (size_t i = 0; i < HARDEN_SOON; i++) {
		const struct advice *a = stays_in(l, i);
		if (a == NULL)
			continue;
		const struct day *d = &n->state->day[i + 1];
		text_addf(t, " In all %s", date_weekday_long(date_weekday(d->date)));
		why_in(n, a, d, t);
		text_add(t, ".");
		return;
	}
}

static const char *light(const struct advice *a)
{
	int day = harden_day_number(a);
	if (!isnan(step(a, STEP_OUT_SUN)) && day <= HALF_SHADE_TO)
		return "full shade, for the sun is strong";
	return day <= SHADE_TO        ? "shade"
	       : day <= HALF_SHADE_TO ? "half shade"
	       : day <= HARDEN_WANTED ? "half sun"
				      : "sun";
}

/* What ends the hours early. */
static void before_what(const struct note_facts *n, const struct advice *a, struct text *t)
{
	double gust_ms = step(a, STEP_OUT_GUST);
	if (!isnan(gust_ms)) {
		text_add(t, " In before the gusts (");
		phrase_wind(t, gust_ms, units_of(n));
		text_add(t, ").");
	} else if (!isnan(step(a, STEP_OUT_RAIN))) {
		text_add(t, " In before the hard rain.");
	}
}

/* The highest line for nights of the line's trays. */
static double night_line(const struct line *l)
{
	double line_c = (double)NAN;
	for (size_t i = 0; i < l->n; i++)
		line_c = fmax(line_c, step(l->of[i], STEP_HARDEN_NIGHT_LINE));
	return line_c;
}

/* Nights after tonight, a few, in which what stays out now comes in: " In again on Sun (47)." */
static void nights_in(const struct note_facts *n, const struct line *l, struct text *t)
{
	int line = advice_degrees(night_line(l), units_of(n));
	size_t told = 0;
	for (int i = 1; i <= NIGHTS_AHEAD; i++) {
		const struct night *night = &season_tonight(n->state)[i];
		double low_c = advice_low_c(night);
		if (isnan(low_c) || advice_degrees(low_c, units_of(n)) >= line)
			continue;
		text_addf(t, "%s%s (", told++ == 0 ? " In again on " : ", ",
			  date_weekday_short(date_weekday(night->evening)));
		phrase_degrees(t, low_c, units_of(n));
		text_add(t, ")");
	}
	text_add(t, told > 0 ? "." : "");
}

static void tonight(const struct note_facts *n, const struct line *l, struct text *t)
{
	const struct advice *a = l->lead;
	double stays = step(a, STEP_OUT_STAYS);
	if (isnan(stays))
		return;
	text_add(t, stays > 0 ? " Out tonight too (" : " In tonight (");
	phrase_degrees_unit(t, step(a, STEP_OUT_NIGHT), units_of(n));
	text_add(t, ").");
	if (stays > 0)
		nights_in(n, l, t);
}

static void put_out_rest(const struct note_facts *n, const struct line *l, struct text *t)
{
	const struct advice *a = l->lead;
	int day = harden_day_number(a);
	bool first = !say_told_before(n, l);
	bool planned = !isnan(step(a, STEP_HARDEN_PLANNED));
	if (day <= HARDEN_WANTED)
		text_addf(t, ", day %d of hardening%s: ", day, planned && day > 1 ? " by plan" : "");
	else
		text_add(t, ", hardened: ");
	text_addf(t, "%s%s, ", light(a), day <= HARDEN_WANTED ? ", out of the wind" : "");
	phrase_degrees_unit(t, a->number_c, units_of(n));
	text_add(t, ".");
	before_what(n, a, t);
	tonight(n, l, t);
	if (day == 1 && first)
		text_add(t, " A leaf from indoors burns in an hour of sun, and tears in wind: no hurry.");
	if (day == 1 || moved(n, l))
		days_to_come(n, a, t);
	else
		day_in(n, l, t);
	if (!isnan(step(a, STEP_HARDEN_SHORT)))
		text_add(t, " Planted out today already, it wants shade for a week.");
	if (planned && day == 1 && first) {
		text_addf(t, " I count by plan; to have it go by you: dewpost diary add \"put out %s\".",
			  n->garden->planting[a->planting].name);
	}
}

/* The lowest and the highest of the lines that the trays have. */
static void lines_words(const struct note_facts *n, const struct line *l, struct text *t)
{
	double least_c = l->lead->line_c, most_c = least_c;
	for (size_t i = 0; i < l->n; i++) {
		least_c = fmin(least_c, l->of[i]->line_c);
		most_c = fmax(most_c, l->of[i]->line_c);
	}
	phrase_degrees(t, least_c, units_of(n));
	if (advice_degrees(least_c, units_of(n)) < advice_degrees(most_c, units_of(n))) {
		text_add(t, " to ");
		phrase_degrees(t, most_c, units_of(n));
	}
}

static void untold(const struct note_facts *n, const struct line *l, struct text *t)
{
	text_add(t, " I cannot tell, ");
	if (n->state->forecast.any && n->state->forecast.trust >= TRUST_OLD)
		sentence_age(n, t);
	else
		text_add(t, "hours of the day are not in the forecast");
	text_add(t, ". Out only if it is still, dry and over ");
	lines_words(n, l, t);
	text_add(t, ".");
}

static void keep_in_rest(const struct note_facts *n, const struct line *l, struct text *t)
{
	const struct advice *a = l->lead;
	text_add(t, ":");
	if (a->cannot_tell) {
		untold(n, l, t);
		return;
	}
	if (!isnan(step(a, STEP_OUT_GUST))) {
		text_add(t, " gusts of ");
		phrase_wind(t, step(a, STEP_OUT_GUST), units_of(n));
		text_add(t, ".");
	} else if (!isnan(step(a, STEP_OUT_RAIN))) {
		text_add(t, " hard rain, ");
		phrase_rain(t, step(a, STEP_OUT_RAIN), units_of(n));
		text_add(t, " in an hour; hail can be in it.");
	} else if (!isnan(step(a, STEP_OUT_SUN))) {
		text_add(t, " sun and ");
		phrase_degrees_unit(t, a->number_c, units_of(n));
		text_add(t, " would scorch them.");
	} else {
		text_add(t, " ");
		phrase_degrees_unit(t, a->number_c, units_of(n));
		text_add(t, " at best, they want ");
		lines_words(n, l, t);
		text_add(t, ".");
	}
	if (moved(n, l))
		days_to_come(n, a, t);
}

static void rest(const struct note_facts *n, const struct line *l, struct text *t)
{
	if (l->lead->verdict == VERDICT_PUT_OUT)
		put_out_rest(n, l, t);
	else
		keep_in_rest(n, l, t);
}

static void head(const struct note_facts *n, const struct line *l, struct text *t)
{
	(void)n;
	text_add(t, l->lead->verdict == VERDICT_PUT_OUT ? "hardening weather" : "trays stay in");
}

const struct saying say_harden = {act, rest, head};
