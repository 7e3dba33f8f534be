#include "advice/cover.h"

#include <math.h>

#include "base/instant.h"
#include "physics/sun.h"

/*
 * A cover goes on while the soil is still warm: an hour before sunset
 * (extension practice says "before sunset"; the hour is judgement).
 */
enum { COVER_BEFORE_SUNSET_S = HOUR_S };

/* So many of the past week's nights must be known before they can speak for tonight (judgement). */
enum { COVER_WEEK_KNOWN = 4 };

struct cover_in {
	const struct garden *g;
	const struct crop *crop;
	const struct season_state *s;
	size_t planting;
};

/* Days since planting out on an evening; -1 where it was sown in place: its roots were never disturbed. */
static int days_out(const struct cover_in *in, struct date evening)
{
	struct date planted = in->s->planting[in->planting].dates.first[VERB_PLANTED_OUT];
	return date_is(planted) ? date_diff(evening, planted) : -1;
}

static bool just_planted(const struct cover_in *in, struct date evening)
{
	int days = days_out(in, evening);
	return days >= 0 && days <= in->crop->settle_days;
}

static void timed(const struct cover_in *in, struct advice *a, const struct night *n)
{
	struct sun_day sun = sun_day(n->evening, in->g->latitude, in->g->longitude);
	a->day = n->evening;
	a->sunset = sun.set;
	a->act_by = sun.set == INSTANT_NONE ? INSTANT_NONE : sun.set - COVER_BEFORE_SUNSET_S;
}

static const struct bedlow *low_of(const struct cover_in *in, const struct night *n)
{
	return season_bedlow(in->s, in->planting, n->evening);
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

static double line_of(const struct cover_in *in, enum crop_figure rule)
{
	return rule == CROP_KILL ? in->crop->kill_c : rule == CROP_STALL ? in->crop->stall_c : in->crop->cover_c;
}

/* From the forecast to bed and leaf, and the one that decides against its line. */
static void line_step(const struct cover_in *in, struct advice *a, const struct night *n, enum crop_figure rule)
{
	const struct bedlow *low = low_of(in, n);
	int units = in->g->units;
	a->rule = rule;
	a->own_line = in->g->planting[in->planting].own_line[rule] != 0;
	a->line_c = line_of(in, rule);
	a->number_c = rule == CROP_KILL ? low->leaf_c : low->bed_c;
	advice_step(a, STEP_NIGHT_LOW, low->air_c, n->evening);
	chain_step(in, a, n->evening, STEP_BED_UNDER, STEP_BED_LOW, low->air_c, low->bed_c);
	chain_step(in, a, n->evening, STEP_LEAF_UNDER, STEP_LEAF_LOW, low->bed_c, low->leaf_c);
	advice_step(a, line_kind(rule), a->line_c, date_none());
	int margin = advice_degrees(a->number_c, units) - advice_degrees(a->line_c, units);
	advice_step(a, STEP_MARGIN, advice_difference_c(margin, units), n->evening);
	if (rule == CROP_STALL) {
		advice_step(a, STEP_DAYS_OUT, days_out(in, n->evening), n->evening);
		advice_step(a, STEP_SETTLE, in->crop->settle_days, date_none());
	}
}

/* Whether the night wants a cover, and by which line. */
static bool wanted(const struct cover_in *in, const struct night *n, enum crop_figure *rule)
{
	const struct bedlow *low = low_of(in, n);
	int units = in->g->units;
	*rule = CROP_COVER;
	if (isnan(low->bed_c))
		return false;
	int bed = advice_degrees(low->bed_c, units);
	if (advice_degrees(low->leaf_c, units) <= advice_degrees(in->crop->kill_c, units)) {
		*rule = CROP_KILL;
		return true;
	}
	if (bed <= advice_degrees(in->crop->cover_c, units))
		return true;
	*rule = CROP_STALL;
	return just_planted(in, n->evening) && bed < advice_degrees(in->crop->stall_c, units);
}

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
		double low_c = low_of(in, &in->s->night[i])->bed_c;
		if (isnan(low_c) || !vouched(in, &in->s->night[i]))
			continue;
		known++;
		if (advice_degrees(low_c, in->g->units) < advice_degrees(in->crop->slow_c, in->g->units))
			return false;
	}
	return known >= COVER_WEEK_KNOWN;
}

/* Tonight cannot be judged.  A forecast too old for COVER that called it cold says so with its number. */
static void look(const struct cover_in *in, const struct night *tonight, bool cold, enum crop_figure rule,
		 struct advice_list *out)
{
	struct advice *a = advice_add(out, DECISION_COVER, VERDICT_LOOK, in->planting);
	timed(in, a, tonight);
	a->cannot_tell = true;
	if (cold) {
		line_step(in, a, tonight, rule);
		return;
	}
	a->rule = just_planted(in, tonight->evening) ? CROP_STALL : CROP_COVER;
	a->line_c = line_of(in, a->rule);
	a->number_c = low_of(in, tonight)->bed_c;
	advice_step(a, STEP_NIGHT_LOW, advice_low_c(tonight), tonight->evening);
	advice_step(a, line_kind(a->rule), a->line_c, date_none());
}

void cover_advise(const struct garden *g, const struct season_state *s, size_t planting, struct advice_list *out)
{
	struct cover_in in = {.g = g, .crop = &g->planting[planting].figures, .s = s, .planting = planting};
	const struct night *tonight = season_tonight(s);
	bool sayable = s->forecast.trust <= TRUST_AGED;
	enum crop_figure rule;
	bool cold = wanted(&in, tonight, &rule);
	bool unsure = !tonight->complete || s->forecast.trust > TRUST_FULL;
	if (cold ? !sayable : unsure && !warm_week(&in))
		look(&in, tonight, cold, rule, out);
	for (size_t i = 0; sayable && i < ADVICE_COVER_AHEAD; i++) {
		const struct night *n = &tonight[i];
		if (wanted(&in, n, &rule)) {
			struct advice *a = advice_add(out, DECISION_COVER, VERDICT_COVER, planting);
			timed(&in, a, n);
			line_step(&in, a, n, rule);
		}
	}
}
