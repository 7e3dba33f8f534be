#include "note/note.h"

#include <math.h>
#include <string.h>

#include "advice/harden.h"
#include "advice/settle.h"
#include "base/utf8.h"
#include "note/chance.h"
#include "note/credit.h"
#include "note/phrase.h"
#include "note/sentence.h"
#include "note/why.h"
#include "note/why_plant.h"
#include "note/why_sow.h"

enum { WHY_PIECE = 1024, WHY_NUMBER = 8, WHY_HEAD = 13 };

/* From when on a sky is called so (judgement). */
static const double WHY_CLEAR_FRAC = 0.25, WHY_OVERCAST_FRAC = 0.75;

/* "  34 F   words", the words wrapped under each other. */
static void number_line(struct text *t, const char *number, const char *words)
{
	size_t wide = utf8_width(number, strlen(number));
	bool fits = wide < WHY_NUMBER;
	text_addf(t, "  %-*s%s", WHY_NUMBER, number, fits ? "" : "  ");
	utf8_wrap(t, words, (fits ? WHY_NUMBER : wide + 2) + 2, WHY_NUMBER + 2, NOTE_COLUMNS);
	text_add(t, "\n");
}

/* "The rule     words". */
void why_headed(struct text *t, const char *head, const char *words)
{
	text_addf(t, "%-*s", WHY_HEAD, head);
	utf8_wrap(t, words, WHY_HEAD, WHY_HEAD, NOTE_COLUMNS);
	text_add(t, "\n");
}

/* A night with holes has no low; what is known of it decides where even that calls for a cover. */
static bool has_holes(const struct note_facts *n, const struct step *s)
{
	const struct night *night = s->kind == STEP_NIGHT_LOW ? season_night(n->state, s->date) : NULL;
	return night != NULL && !night->complete;
}

/* Whether what is known of a night with holes was enough to act on. */
static bool counts_holes(const struct advice *a)
{
	return advice_shelters(a->verdict) || a->verdict == VERDICT_PICK;
}

/* What a step is: its unit and its words; those of a step without words depend on the night (special_words). */
enum step_unit {
	STEP_DEGREES,
	STEP_DIFFERENCE,
	STEP_SPAN, /* a difference that goes both ways */
	STEP_CHANCE,
	STEP_DAYS,
	STEP_COUNT,
	STEP_HOURS,
	STEP_CLOCK,
	STEP_SPEED,
	STEP_WATER,
	STEP_VOLUME,
	STEP_DATE,
	STEP_NONE,
	STEP_SILENT, /* not printed by itself */
};

static const struct step_row {
	enum step_unit unit;
	const char *words;
} STEP[STEPS] = {
    [STEP_NIGHT_LOW] = {STEP_DEGREES, NULL},
    [STEP_CORRECTED] = {STEP_DIFFERENCE, "what such forecasts are off, by what came of earlier ones"},
    [STEP_AIR_LOW] = {STEP_DEGREES, "the air at 2 m, as expected"},
    [STEP_BED_UNDER] = {STEP_DIFFERENCE, "the air in the bed, against the forecast's height of 2 m"},
    [STEP_BED_LOW] = {STEP_DEGREES, "air in the bed"},
    [STEP_LEAF_UNDER] = {STEP_DIFFERENCE, NULL},
    [STEP_LEAF_LOW] = {STEP_DEGREES, "the leaf"},
    [STEP_KILL_LINE] = {STEP_DEGREES, "the kill line: at or under it the leaf freezes"},
    [STEP_COVER_LINE] = {STEP_DEGREES, "the line in the bed: at or under it a tender planting outside is covered"},
    [STEP_STALL_LINE] = {STEP_DEGREES, "the stall line: under it the just planted stand still"},
    [STEP_NIGHT_LINE] = {STEP_DEGREES, "the night line: nights at or over it are fit for planting out"},
    [STEP_MARGIN] = {STEP_DIFFERENCE, "against the line"},
    [STEP_DAYS_OUT] = {STEP_DAYS, NULL},
    [STEP_SETTLE] = {STEP_DAYS, NULL},
    [STEP_SLOW_LINE] = {STEP_DEGREES, "the slow line: with frost well past and warm soil, nights at or over it do"},
    [STEP_BED_NIGHT] = {STEP_DEGREES, NULL},
    [STEP_WANTED] = {STEP_COUNT, NULL},
    [STEP_HOLD] = {STEP_CHANCE, NULL},
    [STEP_STALL] = {STEP_CHANCE, "that one of them is at the stall line or under it"},
    [STEP_FROST] = {STEP_CHANCE, NULL},
    [STEP_FREE] = {STEP_CHANCE, NULL},
    [STEP_AGE] = {STEP_DAYS, "since sowing"},
    [STEP_TRAY] = {STEP_DAYS, "in the tray are wanted at least"},
    [STEP_MISS] = {STEP_SPAN, "such lows miss by more than this one night in three"},
    [STEP_FREEZE] = {STEP_CHANCE, "the chance that the leaf gets to the kill line"},
    [STEP_COVER_AT] = {STEP_CHANCE, NULL},
    [STEP_COVER_KIND] = {STEP_SILENT, NULL},
    [STEP_GAIN] = {STEP_DIFFERENCE, NULL},
    [STEP_COVERED] = {STEP_CHANCE, "the chance that it freezes under that"},
    [STEP_OFF] = {STEP_CLOCK, NULL},
    [STEP_MAY_STAY] = {STEP_SILENT, NULL},
    [STEP_LIES] = {STEP_DAYS, NULL},
    [STEP_TIP_LEAF] = {STEP_SILENT, NULL},
    [STEP_TIP_FREEZE] = {STEP_SILENT, NULL},
    [STEP_COLD_WIND] = {STEP_SPEED, "the night's wind: cold that comes with it gets under a cover"},
    [STEP_WARM_AFTER] = {STEP_DEGREES, "the mean of the seven days after the night"},
    [STEP_WARM_LINE] = {STEP_DEGREES, "from here on a cover is worth it in autumn (judgement)"},
    [STEP_WARMEST] = {STEP_DEGREES, "today's high"},
    [STEP_HARDEN_LINE] = {STEP_DEGREES, "days under it are too cold to stand out"},
    [STEP_HARDEN_NIGHT_LINE] = {STEP_DEGREES, "nights under it are too cold for it"},
    [STEP_HARDEN_DAYS] = {STEP_DAYS, "it stood out, by your diary"},
    [STEP_HARDEN_PLANNED] = {STEP_DAYS, "it stood out, if it was put out on the days that were fit: your diary has no "
					"\"put out\" of it"},
    [STEP_HARDEN_WANTED] = {STEP_DAYS, NULL},
    [STEP_HARDEN_SHORT] = {STEP_DAYS, "are wanting, and the nights are fit for planting out today"},
    [STEP_HARDEN_HOURS] = {STEP_HOURS, NULL},
    [STEP_OUT_FROM] = {STEP_CLOCK, "the warmest, stillest hours begin"},
    [STEP_OUT_TO] = {STEP_CLOCK, "and end"},
    [STEP_OUT_WARMEST] = {STEP_DEGREES, NULL},
    [STEP_OUT_GUST] = {STEP_SPEED, "the gusts that bar other hours"},
    [STEP_OUT_RAIN] = {STEP_WATER, "the hardest rain of an hour"},
    [STEP_OUT_SUN] = {STEP_COUNT, "W/m2 of sun: strong for leaves from indoors"},
    [STEP_OUT_NIGHT] = {STEP_DEGREES, "the forecast's low for tonight"},
    [STEP_OUT_STAYS] = {STEP_NONE, NULL},
    [STEP_QUENCH] = {STEP_VOLUME, "for its root balls"},
    [STEP_RAIN_PAST] = {STEP_WATER, NULL},
    [STEP_RAIN_ENOUGH] = {STEP_WATER, "of rain would do"},
    [STEP_WATERED] = {STEP_NONE, NULL},
    [STEP_TUB] = {STEP_NONE, "it stands in a tub, which sheds rain off its own leaves: try it with a finger"},
    [STEP_HOTTEST] = {STEP_DEGREES, "the hottest of today"},
    [STEP_SHADE_FROM] = {STEP_CLOCK, "the sun is strong from here"},
    [STEP_SHADE_TO] = {STEP_CLOCK, "to here"},
    [STEP_NIGHT_PAST] = {STEP_DEGREES, "the low of the past night"},
    [STEP_SOIL] = {STEP_DEGREES, NULL},
    [STEP_STRAW_LINE] = {STEP_DEGREES, "from here on straw is laid; on colder soil it keeps it cold"},
    [STEP_BEETLE_LINE] = {STEP_DEGREES, "three days in a row were as warm: from there on the beetles fly"},
    [STEP_SEED_YEAR] = {STEP_COUNT, "is the year that the seed was packed for"},
    [STEP_TEST_DAYS] = {STEP_DAYS, NULL},
    [STEP_SPROUTED] = {STEP_COUNT, NULL},
    [STEP_OUT_EARLY] = {STEP_DATE, "planting out is likely from here,"},
    [STEP_OUT_LATE] = {STEP_DATE, "to here"},
    [STEP_SOW_FROM] = {STEP_DATE, NULL},
    [STEP_SOW_TO] = {STEP_DATE, NULL},
    [STEP_SOW_READY] = {STEP_DATE, "what is sown today is fit for the bed"},
    [STEP_FROST_HALF] = {STEP_DATE, NULL},
    [STEP_FROST_TENTH] = {STEP_DATE, NULL},
    [STEP_UP_DAYS] = {STEP_DAYS, NULL},
    [STEP_SEED_LINE] = {STEP_DEGREES, "the soil that this seed is worth sowing in, three mornings running"},
    [STEP_SEED_SOIL] = {STEP_DEGREES, NULL},
    [STEP_SEED_COLDEST] = {STEP_DEGREES, NULL},
    [STEP_SEED_READ] = {STEP_DATE, "your reading of the soil, carried forward"},
    [STEP_LAST_SOWING] = {STEP_DATE, NULL},
    [STEP_PICK] = {STEP_DATE, NULL},
    [STEP_FROST_FIRST] = {STEP_DATE, NULL},
    [STEP_SOWN] = {STEP_DAYS, "since sowing"},
    [STEP_SEED_WARMTH] = {STEP_DEGREES, "where the seed lies"},
    [STEP_AIR_DAYS] = {STEP_DAYS, "of these stand at the air: the soil was not known yet"},
    [STEP_SOW_AGAIN] = {STEP_DATE, "up to here a new sowing is in time"},
    [STEP_UP] = {STEP_DATE, "it came up, by your diary"},
    [STEP_UP_RECKONED] = {STEP_DATE, "it is likely to have come up: reckoned"},
    [STEP_TRUE_LEAF] = {STEP_DATE, NULL},
    [STEP_SPACING] = {STEP_NONE, NULL},
    [STEP_TRAY_FULL] = {STEP_DATE, NULL},
    [STEP_GREY_DAYS] = {STEP_DAYS, NULL},
};

static void step_number(const struct note_facts *n, const struct advice *a, const struct step *s, struct text *t)
{
	int units = n->garden->units;
	switch (STEP[s->kind].unit) {
	case STEP_DEGREES:
		phrase_degrees_unit(t, has_holes(n, s) && !counts_holes(a) ? (double)NAN : s->value, units);
		break;
	case STEP_DIFFERENCE:
		text_add(t, s->value < 0 ? "-" : s->value > 0 ? "+" : "");
		phrase_difference(t, s->value, units);
		break;
	case STEP_SPAN:
		phrase_difference(t, s->value, units);
		break;
	case STEP_CHANCE:
		chance_words(t, s->value);
		break;
	case STEP_DAYS:
		text_addf(t, "%.0f d", s->value);
		break;
	case STEP_COUNT:
		text_addf(t, "%.0f", s->value);
		break;
	case STEP_HOURS:
		if (isnan(s->value))
			text_add(t, "?");
		else
			text_addf(t, "%.0f h", s->value);
		break;
	case STEP_CLOCK:
		phrase_clock(t, n->zone, (int64_t)s->value, units);
		break;
	case STEP_SPEED:
		phrase_wind(t, s->value, units);
		break;
	case STEP_WATER:
		phrase_rain(t, s->value, units);
		break;
	case STEP_VOLUME:
		text_addf(t, "%.2g %s", unit_outside(UNIT_VOLUME, (enum unit_system)units, s->value),
			  unit_label(UNIT_VOLUME, (enum unit_system)units));
		break;
	case STEP_DATE:
		phrase_day_month(t, s->date);
		break;
	case STEP_NONE:
	case STEP_SILENT:
		break;
	}
}

static void low_words(const struct note_facts *n, const struct advice *a, const struct step *s, struct text *t)
{
	if (!has_holes(n, s)) {
		text_add(t, "the forecast's low for ");
		phrase_night(t, s->date, n->state->today);
		return;
	}
	if (counts_holes(a)) {
		text_add(t, "or colder ");
		phrase_night(t, s->date, n->state->today);
		text_add(t, ": the lowest hour known, others are missing");
		return;
	}
	why_not_known(n, season_night(n->state, s->date), t);
}

static void sky_words(const struct bedlow *low, struct text *t)
{
	if (isnan(low->cloud_frac))
		text_add(t, "a sky that is not forecast, taken as clear");
	else
		text_add(t, low->cloud_frac <= WHY_CLEAR_FRAC     ? "a clear sky"
			    : low->cloud_frac < WHY_OVERCAST_FRAC ? "a partly cloudy sky"
								  : "an overcast sky");
}

/* What the leaf was reckoned from, at the hour of its low. */
static void leaf_words(const struct note_facts *n, const struct advice *a, const struct step *s, struct text *t)
{
	const struct bedlow *low = season_bedlow(n->state, a->planting, s->date);
	int units = n->garden->units;
	text_add(t, "a leaf under ");
	if (low == NULL || low->at == INSTANT_NONE) {
		text_add(t, "a sky that is not forecast, taken as clear");
		return;
	}
	sky_words(low, t);
	text_add(t, ", ");
	if (isnan(low->wind_ms))
		text_add(t, "wind not forecast, taken as calm");
	else
		phrase_wind(t, low->wind_ms, units);
	if (!isnan(low->dew_point_c)) {
		text_add(t, ", dew point ");
		phrase_degrees(t, low->dew_point_c, units);
	}
	text_add(t, ", at ");
	phrase_clock(t, n->zone, low->at, units);
	if (low->by_class)
		text_add(t, "; by the class of such nights, for what is missing");
}

/* Of a tray that is being hardened. */
static void harden_words(const struct note_facts *n, const struct advice *a, const struct step *s, struct text *t)
{
	if (s->kind == STEP_HARDEN_WANTED) {
		text_add(t, "are wanted");
		if (date_is(s->date)) {
			text_add(t, ": full on ");
			phrase_date(t, s->date, n->state->today);
			text_add(t, ", if the forecast holds");
		}
	} else if (s->kind == STEP_HARDEN_HOURS) {
		text_add(t, isnan(s->value) ? "nobody can tell yet: " : s->value > 0 ? "out on " : "out, so in on ");
		phrase_date(t, s->date, n->state->today);
	} else if (s->kind == STEP_OUT_STAYS) {
		text_addf(t, "nights count from day %d on: %s", HARDEN_NIGHTS_FROM, s->value > 0 ? "out" : "in");
	} else if (s->kind == STEP_OUT_WARMEST) {
		text_add(t,
			 a->verdict == VERDICT_PUT_OUT ? "the warmest of these hours" : "the warmest hour of daylight");
	}
}

/* Of what is new in its bed. */
static void settle_words(const struct note_facts *n, const struct advice *a, const struct step *s, struct text *t)
{
	if (s->kind == STEP_RAIN_PAST) {
		text_addf(t, "of rain in the %d hours up to the note", settle_looks_back(a->verdict));
	} else if (s->kind == STEP_WATERED) {
		text_add(t, "by your diary it was watered ");
		phrase_date(t, s->date, n->state->today);
	} else if (s->kind == STEP_SOIL) {
		text_add(t, "soil at 4 in (10 cm) at 8 am, ");
		text_add(t, date_is(s->date) ? "your reading carried forward from " : "reckoned of bare soil");
		if (date_is(s->date))
			phrase_date(t, s->date, n->state->today);
	}
}

/* Of the steps whose words are not their row's. */
static void special_words(const struct note_facts *n, const struct advice *a, const struct step *s, struct text *t)
{
	bool cover = a->decision == DECISION_COVER;
	if (cover && why_cover_step(n, a, s, t))
		return;
	if (s->kind == STEP_NIGHT_LOW) {
		low_words(n, a, s, t);
	} else if (s->kind == STEP_LEAF_UNDER) {
		leaf_words(n, a, s, t);
	} else if (s->kind == STEP_DAYS_OUT) {
		text_addf(t, "since planting out %s%s", n->garden->planting[a->planting].name,
			  cover ? ", by that evening" : "");
	} else if (s->kind == STEP_SETTLE) {
		text_add(t, cover ? "in which it counts as just planted" : "in which it is new");
	} else if (a->decision == DECISION_HARDEN) {
		harden_words(n, a, s, t);
	} else if (a->decision == DECISION_SETTLE) {
		settle_words(n, a, s, t);
	} else if (a->decision == DECISION_PLANT_OUT) {
		why_plant_step(n, a, s, t);
	} else {
		why_sow_step(n, a, s, t);
	}
}

static void step_write(const struct note_facts *n, const struct advice *a, const struct step *s, struct text *t)
{
	char number_mem[WHY_PIECE], words_mem[WHY_PIECE];
	struct text number, words;
	text_over(&number, number_mem, sizeof number_mem);
	text_over(&words, words_mem, sizeof words_mem);
	if (STEP[s->kind].unit == STEP_SILENT)
		return;
	step_number(n, a, s, &number);
	if (STEP[s->kind].words != NULL)
		text_add(&words, STEP[s->kind].words);
	else
		special_words(n, a, s, &words);
	number_line(t, number.at, words.at);
}

static void steps(const struct note_facts *n, const struct line *l, struct text *t)
{
	const struct advice *a = l->lead;
	for (size_t i = 0; i < a->steps; i++) {
		const struct step *s = &a->step[i];
		step_write(n, a, s, t);
		/* The plantings of a line may have gone out on different days. */
		for (size_t k = 1; k < l->n && s->kind == STEP_DAYS_OUT; k++) {
			struct step other = advice_step_of(l->of[k], STEP_DAYS_OUT, 0);
			if (!isnan(other.value))
				step_write(n, l->of[k], &other, t);
		}
	}
	for (size_t k = 0; k < l->again_n; k++) {
		text_add(t, "\n");
		for (size_t i = 0; i < l->again[k]->steps; i++)
			step_write(n, l->again[k], &l->again[k]->step[i], t);
	}
}

static void rule(const struct note_facts *n, const struct advice *a, bool first, struct text *t)
{
	size_t crop = n->garden->planting[a->planting].crop_index;
	char mem[WHY_PIECE];
	struct text words;
	text_over(&words, mem, sizeof mem);
	text_addf(&words, "%s: ", n->crops->at[crop].title);
	if (a->own_line)
		text_addf(&words, "%s of the planting in your garden file", crop_figure_key(a->rule));
	else
		text_add(&words, n->crops->basis[crop].of[a->rule]);
	why_headed(t, first ? "The rule" : "", words.at);
}

/* Where the line comes from, planting by planting where their crops differ, and that of a later night. */
static void rules(const struct note_facts *n, const struct line *l, struct text *t)
{
	for (size_t i = 0; i < l->n; i++) {
		const struct advice *a = l->of[i];
		bool told = false;
		for (size_t j = 0; j < i; j++) {
			const struct advice *b = l->of[j];
			told = told || (n->garden->planting[b->planting].crop_index ==
					    n->garden->planting[a->planting].crop_index &&
					b->own_line == a->own_line);
		}
		if (!told && a->rule != CROP_TITLE)
			rule(n, a, i == 0, t);
	}
	bool told = false;
	for (size_t i = 0; i < l->again_n; i++) {
		if (l->again[i]->rule != l->lead->rule && !told) {
			rule(n, l->again[i], false, t);
			told = true;
		}
	}
	why_cover_rule(n, l->lead, t);
}

static void source(const struct note_facts *n, struct text *t)
{
	char mem[WHY_PIECE];
	struct text words;
	text_over(&words, mem, sizeof mem);
	sentence_forecast(n, &words);
	if (n->state->forecast.any && n->state->forecast.trust == TRUST_FULL) {
		text_add(&words, " ");
		phrase_age(&words, n->state->forecast.age_s);
		text_add(&words, " old at the time of the note.");
	}
	credit_words(n, n->state->night[0].first, &words);
	why_headed(t, "From", words.at);
}

static void plant_rule(const struct note_facts *n, struct text *t)
{
	char mem[WHY_PIECE];
	struct text wants;
	text_over(&wants, mem, sizeof mem);
	why_plant_wants(n, &wants);
	why_headed(t, "It wants", wants.at);
	why_headed(t, "Not judged", "how cold it lies by your hedge or in a hollow; what a cover would gain.");
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
	text_add(t, "\n  (note of ");
	phrase_date_full(t, n->state->today);
	text_add(t, ")\n\n");
	steps(n, l, t);
	text_add(t, "\n");
	if (l->lead->verdict != VERDICT_UNCOVER)
		rules(n, l, t);
	if (l->lead->decision == DECISION_COVER) {
		why_cover_foot(n, l->lead, t);
	} else if (l->lead->decision == DECISION_SETTLE) {
		why_headed(t, "Not judged", "what your soil holds; how sheltered your place is.");
	} else if (l->lead->decision == DECISION_SOW || l->lead->decision == DECISION_TRAY) {
		why_headed(t, "Not judged", why_sow_not_judged(l->lead));
	} else if (l->lead->decision == DECISION_HARDEN) {
		why_headed(t, "Not judged",
			   "hail, which comes with thunder and is in no forecast; how sheltered your place is.");
	} else {
		plant_rule(n, t);
	}
	source(n, t);
}
