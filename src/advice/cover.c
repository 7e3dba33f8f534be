#include "advice/cover.h"

#include <math.h>

#include "advice/letgo.h"
#include "advice/prospect.h"
#include "advice/shelter.h"
#include "base/instant.h"
#include "physics/sun.h"

/*
 * A cover goes on while the soil is still warm: an hour before sunset
 * (extension practice says "before sunset"; the hour is judgement).
 */
enum { COVER_BEFORE_SUNSET_S = HOUR_S };

/* So many of the past week's nights must be known before they can speak for tonight (judgement). */
enum { COVER_WEEK_KNOWN = 4 };

/* After noon what lies is left for the coming night. */
enum { COVER_NOON_S = 12 * HOUR_S };

struct cover_in {
	const struct garden *g;
	const struct crop *crop;
	const struct season_state *s;
	size_t planting;
};

static void timed(const struct cover_in *in, struct advice *a, const struct night *n)
{
	struct sun_day sun = sun_day(n->evening, in->g->latitude, in->g->longitude);
	a->day = n->evening;
	a->sunset = sun.set;
	a->act_by = sun.set == INSTANT_NONE ? INSTANT_NONE : sun.set - COVER_BEFORE_SUNSET_S;
}

/* "36 F air in the bed", and how far that is from the number before. */
static void chain_step(const struct cover_in *in, struct advice *a, struct date evening, enum step_kind under,
		       enum step_kind low, double from_c, double to_c)
{
	int units = in->g->units;
	int by = advice_degrees(to_c, units) - advice_degrees(from_c, units);
	advice_step(a, under, advice_difference_c(by, units), evening);
	advice_step(a, low, to_c, evening);
}

static enum step_kind line_kind(enum crop_figure rule)
{
	return rule == CROP_KILL ? STEP_KILL_LINE : rule == CROP_STALL ? STEP_STALL_LINE : STEP_COVER_LINE;
}

static void chance_steps(struct advice *a, const struct prospect *p)
{
	struct date evening = p->night->evening;
	if (isnan(p->freeze) || p->rule == CROP_STALL)
		return;
	advice_step(a, STEP_MISS, p->leaf.spread_c, evening);
	advice_step(a, STEP_FREEZE, p->freeze, evening);
	if (p->rule == CROP_KILL)
		advice_step(a, STEP_COVER_AT, p->at, date_none());
}

/* From the forecast to bed and leaf, and what decides against its line. */
static void line_step(const struct cover_in *in, struct advice *a, const struct prospect *p)
{
	struct date evening = p->night->evening;
	int units = in->g->units;
	a->rule = p->rule;
	a->own_line = in->g->planting[in->planting].own_line[p->rule] != 0;
	a->line_c = prospect_line(in->crop, p->rule);
	a->number_c = p->rule == CROP_KILL ? p->leaf_c : p->bed_c;
	advice_step(a, STEP_NIGHT_LOW, p->forecast_c, evening);
	if (advice_degrees(p->air_c, units) != advice_degrees(p->forecast_c, units))
		chain_step(in, a, evening, STEP_CORRECTED, STEP_AIR_LOW, p->forecast_c, p->air_c);
	chain_step(in, a, evening, STEP_BED_UNDER, STEP_BED_LOW, p->air_c, p->bed_c);
	chain_step(in, a, evening, STEP_LEAF_UNDER, STEP_LEAF_LOW, p->bed_c, p->leaf_c);
	advice_step(a, line_kind(p->rule), a->line_c, date_none());
	int margin = advice_degrees(a->number_c, units) - advice_degrees(a->line_c, units);
	advice_step(a, STEP_MARGIN, advice_difference_c(margin, units), evening);
	chance_steps(a, p);
	if (p->young && p->rule != CROP_COVER) {
		advice_step(a, STEP_DAYS_OUT, prospect_days_out(in->s, in->planting, evening), evening);
		advice_step(a, STEP_SETTLE, in->crop->settle_days, date_none());
	}
}

/* ---- what is done about it ---- */

/* What the cover at hand makes of the night. */
static void gain_steps(struct advice *a, const struct prospect *p, const struct shelter *at_hand,
		       const struct crop *crop)
{
	struct date evening = p->night->evening;
	if (at_hand->cover == NULL)
		return;
	advice_step(a, STEP_COVER_KIND, (double)at_hand->kind, date_none());
	if (isnan(at_hand->gain_c))
		return;
	double leaf_gain_c = shelter_leaf_gain(at_hand->gain_c, p->bed_c - p->leaf_c);
	advice_step(a, STEP_GAIN, leaf_gain_c, evening);
	if (isnan(p->freeze) || p->rule == CROP_STALL)
		return;
	struct runs_night covered = p->leaf;
	covered.low_c += leaf_gain_c;
	advice_step(a, STEP_COVERED, runs_under(&covered, crop->kill_c), evening);
}

/* When it comes off again, or whether it may stay. */
static void off_steps(const struct cover_in *in, struct advice *a, const struct shelter *at_hand, struct date evening)
{
	struct date day = date_add(evening, 1), since = shelter_lies(in->s, in->planting);
	double to_c = shelter_stays_to_c(at_hand->cover, in->g, in->s, in->planting);
	int64_t off = shelter_off(at_hand->cover, in->s, day);
	if (!isnan(to_c) && !(shelter_high(in->s, day) > to_c))
		advice_step(a, STEP_MAY_STAY, to_c, day);
	else if (at_hand->cover != NULL && off != INSTANT_NONE)
		advice_step(a, STEP_OFF, (double)off, day);
	if (date_is(since))
		advice_step(a, STEP_LIES, date_diff(in->s->today, since), since);
}

/* What would make a cover needless, where that is another number on the leaf or in the bed. */
static void tip_steps(const struct cover_in *in, struct advice *a, const struct prospect *p)
{
	struct prospect tipped = prospect_tipped(in->g, p, in->planting);
	int units = in->g->units;
	double wind_ms = shelter_wind(p->night);
	if (wind_ms >= COVER_WINDY_MS && p->rule != CROP_STALL)
		advice_step(a, STEP_COLD_WIND, wind_ms, p->night->evening);
	if (isnan(p->freeze) || tipped.wanted ||
	    advice_degrees(tipped.leaf_c, units) == advice_degrees(p->leaf_c, units))
		return;
	advice_step(a, STEP_TIP_LEAF, tipped.leaf_c, p->night->evening);
	advice_step(a, STEP_TIP_FREEZE, tipped.freeze, p->night->evening);
}

/* Mean of the days after a frost in autumn, where that decides; else NaN. */
static double mean_after(const struct cover_in *in, const struct prospect *p)
{
	bool decides = p->rule != CROP_STALL && in->crop->frost_order > 0 &&
		       letgo_autumn(p->night->evening, in->g->latitude, in->g->longitude);
	return decides ? letgo_mean_after(in->s, p->night->evening) : (double)NAN;
}

static enum verdict verdict_of(const struct cover_in *in, double after_c)
{
	int units = in->g->units;
	const struct tub *tub = garden_tub(in->g, &in->g->planting[in->planting]);
	if (tub != NULL && tub->movable)
		return VERDICT_CARRY_IN;
	bool cool = !isnan(after_c) && advice_degrees(after_c, units) < advice_degrees(LETGO_WARM_C, units);
	return cool ? VERDICT_PICK : VERDICT_COVER;
}

/* One cold night; false: it was the planting's last. */
static bool cold_night(const struct cover_in *in, const struct prospect *p, struct advice_list *out)
{
	struct date evening = p->night->evening;
	double after_c = mean_after(in, p);
	enum verdict v = verdict_of(in, after_c);
	struct advice *a = advice_add(out, DECISION_COVER, v, in->planting);
	timed(in, a, p->night);
	line_step(in, a, p);
	if (v == VERDICT_COVER) {
		struct shelter at_hand = shelter_at_hand(in->g, in->s, in->planting, evening);
		gain_steps(a, p, &at_hand, in->crop);
		off_steps(in, a, &at_hand, evening);
	}
	tip_steps(in, a, p);
	if (!isnan(after_c) && v != VERDICT_CARRY_IN) {
		advice_step(a, STEP_WARM_AFTER, after_c, evening);
		advice_step(a, STEP_WARM_LINE, LETGO_WARM_C, date_none());
	}
	return v != VERDICT_PICK;
}

/* ---- tonight that cannot be judged ---- */

/* Whether the past night's low can speak for the week: it was seen, or a forecast told it that was good for COVER. */
static bool vouched(const struct cover_in *in, const struct night *n)
{
	const struct forecast_state *fs = &in->s->forecast;
	return n->low_origin >= ORIGIN_ANALYSED || (fs->any && n->first - fs->made <= TRUST_COVER_S);
}

/* Nobody would cover in a week of warm nights, so there is no need to speak of it. */
static bool warm_week(const struct cover_in *in)
{
	int known = 0;
	for (size_t i = 0; i < STATE_NIGHTS_BEFORE; i++) {
		const struct night *n = &in->s->night[i];
		double low_c = season_bedlow(in->s, in->planting, n->evening)->bed_c;
		if (isnan(low_c) || !vouched(in, n))
			continue;
		known++;
		if (advice_degrees(low_c, in->g->units) < advice_degrees(in->crop->slow_c, in->g->units))
			return false;
	}
	return known >= COVER_WEEK_KNOWN;
}

/* Tonight cannot be judged.  A forecast too old for COVER that called it cold says so with its number. */
static void look(const struct cover_in *in, const struct prospect *p, struct advice_list *out)
{
	struct advice *a = advice_add(out, DECISION_COVER, VERDICT_LOOK, in->planting);
	timed(in, a, p->night);
	a->cannot_tell = true;
	if (p->wanted) {
		line_step(in, a, p);
		return;
	}
	a->rule = p->rule;
	a->line_c = prospect_line(in->crop, p->rule);
	a->number_c = p->bed_c;
	advice_step(a, STEP_NIGHT_LOW, advice_low_c(p->night), p->night->evening);
	advice_step(a, line_kind(a->rule), a->line_c, date_none());
}

/* ---- what lies ---- */

/* Days for which what lies should have been off, today counted; 0: it may lie. */
static int days_due(const struct cover_in *in, const struct cover *cover, struct date since)
{
	const struct dates *d = &in->s->planting[in->planting].dates;
	struct date flower = d->first[VERB_FEMALE], today = in->s->today;
	double to_c = shelter_stays_to_c(cover, in->g, in->s, in->planting);
	int lies = date_diff(today, since);
	if (cover == NULL || cover->day == COVER_NIGHT_ONLY)
		return lies;
	if (cover->day == COVER_UNTIL_FLOWER && date_is(flower)) {
		int due = date_diff(today, flower) + 1;
		return due < lies ? due : lies;
	}
	return shelter_high(in->s, today) > to_c ? 1 : 0;
}

static void uncover(const struct cover_in *in, struct advice_list *out)
{
	struct date since = shelter_lies(in->s, in->planting), today = in->s->today;
	if (!date_is(since) || date_diff(today, since) < 1)
		return;
	struct shelter at_hand = shelter_at_hand(in->g, in->s, in->planting, since);
	int due = days_due(in, at_hand.cover, since);
	int64_t off = shelter_off(at_hand.cover, in->s, today);
	const struct dayhours *day = season_hours(in->s, today);
	if (due < 1 || due > COVER_UNCOVER_DAYS || off == INSTANT_NONE || in->s->cut >= day->first + COVER_NOON_S)
		return;
	struct advice *a = advice_add(out, DECISION_COVER, VERDICT_UNCOVER, in->planting);
	a->day = today;
	a->act_by = off;
	a->rule = CROP_COVER;
	advice_step(a, STEP_LIES, date_diff(today, since), since);
	if (at_hand.cover != NULL)
		advice_step(a, STEP_COVER_KIND, (double)at_hand.kind, date_none());
	advice_step(a, STEP_OFF, (double)off, today);
	if (!isnan(shelter_high(in->s, today)))
		advice_step(a, STEP_WARMEST, shelter_high(in->s, today), today);
}

void cover_advise(const struct garden *g, const struct season_state *s, size_t planting, struct advice_list *out)
{
	struct cover_in in = {.g = g, .crop = &g->planting[planting].figures, .s = s, .planting = planting};
	const struct night *tonight = season_tonight(s);
	struct prospect p = prospect_of(g, s, planting, tonight);
	bool sayable = s->forecast.trust <= TRUST_AGED, lives = true;
	bool unsure = !tonight->complete || s->forecast.trust > TRUST_FULL;
	uncover(&in, out);
	if (p.wanted ? !sayable : unsure && !warm_week(&in))
		look(&in, &p, out);
	for (size_t i = 0; sayable && lives && i < ADVICE_COVER_AHEAD; i++) {
		p = prospect_of(g, s, planting, &tonight[i]);
		bool told = p.wanted && (p.rule != CROP_STALL || i < COVER_STALL_AHEAD);
		lives = !told || cold_night(&in, &p, out);
	}
}

bool cover_says_same(const struct advice *a, const struct advice *b)
{
	/* What is covered may come off with the first of a line; what is to come off has its own hour. */
	static const enum step_kind kinds[] = {STEP_COVER_KIND, STEP_LIES, STEP_OFF};
	size_t n = sizeof kinds / sizeof *kinds - (a->verdict == VERDICT_UNCOVER ? 0 : 1);
	for (size_t i = 0; i < n; i++)
		if (!advice_same_step(a, b, kinds[i]))
			return false;
	return true;
}
