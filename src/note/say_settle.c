#include "note/say.h"

#include <math.h>

#include "advice/settle.h"
#include "note/phrase.h"

/* So little counts for none (judgement). */
static const double NO_RAIN_MM = 0.3;

static int units_of(const struct note_facts *n)
{
	return n->garden->units;
}

static double step(const struct advice *a, enum step_kind kind)
{
	return advice_step_of(a, kind, 0).value;
}

static void clock_of(const struct note_facts *n, const struct advice *a, enum step_kind kind, struct text *t)
{
	phrase_clock(t, n->zone, (int64_t)step(a, kind), units_of(n));
}

static void act(const struct note_facts *n, const struct line *l, struct text *t)
{
	enum verdict v = l->lead->verdict;
	if (v == VERDICT_SLUGS)
		text_add(t, " for slugs at dusk on");
	else if (v == VERDICT_BEETLES)
		text_add(t, " for beetles this morning on");
	else if (v == VERDICT_STRAW)
		text_add(t, " round");
	text_add(t, " ");
	say_plantings(n, l, t);
	if (v == VERDICT_WATER) {
		text_add(t, " this morning");
	} else if (v == VERDICT_SHADE) {
		text_add(t, " from ");
		clock_of(n, l->lead, STEP_SHADE_FROM, t);
		text_add(t, " to ");
		clock_of(n, l->lead, STEP_SHADE_TO, t);
	} else if (v == VERDICT_STRAW) {
		text_add(t, " in the next days");
	}
}

static void quench(const struct note_facts *n, const struct line *l, struct text *t)
{
	double litres = 0;
	size_t plants = 0;
	for (size_t i = 0; i < l->n; i++) {
		litres += step(l->of[i], STEP_QUENCH);
		plants += (size_t)n->garden->planting[l->of[i]->planting].plants;
	}
	text_add(t, units_of(n) == UNIT_US ? "a quart a plant" : "a litre a plant");
	if (plants > 1) {
		text_add(t, ", ");
		phrase_water(t, litres, units_of(n));
		text_add(t, " in all");
	}
}

static bool first_time(const struct note_facts *n, const struct line *l)
{
	return step(l->lead, STEP_DAYS_OUT) <= SETTLE_EVERY_DAYS && !say_told_before(n, l);
}

static void water_rest(const struct note_facts *n, const struct line *l, struct text *t)
{
	const struct advice *a = l->lead;
	text_add(t, ": ");
	if (!isnan(step(a, STEP_TUB))) {
		text_add(t, "a finger in; where it is dry two inches down, ");
		quench(n, l, t);
		text_add(t, ", whatever rain is forecast.");
		return;
	}
	quench(n, l, t);
	text_add(t, ", at the stem.");
	if (isnan(step(a, STEP_RAIN_PAST))) {
		text_add(t, " Not if ");
		phrase_rain(t, step(a, STEP_RAIN_ENOUGH), units_of(n));
		text_add(t, " fell in the last two days: I do not know that.");
	} else {
		bool none = step(a, STEP_RAIN_PAST) < NO_RAIN_MM;
		text_add(t, none ? " No rain" : " Only ");
		if (!none) {
			phrase_rain(t, step(a, STEP_RAIN_PAST), units_of(n));
			text_add(t, " of rain");
		}
		text_add(t, " in two days.");
	}
	if (first_time(n, l))
		text_add(t, " The roots are still the fist of mix they came in, and dry out before the bed does.");
}

static void shade_rest(const struct note_facts *n, const struct line *l, struct text *t)
{
	text_add(t, ": strong sun, ");
	phrase_degrees_unit(t, l->lead->number_c, units_of(n));
	text_add(t, ". A board or cloth on sticks on the sunny side, air all round, no plastic.");
}

static void slugs_rest(const struct note_facts *n, const struct line *l, struct text *t)
{
	text_add(t, ": rain, a night of ");
	phrase_degrees_unit(t, l->lead->number_c, units_of(n));
	text_add(t, ", plants still low. By hand, with a lamp; under boards and stones too.");
}

static void beetles_rest(const struct note_facts *n, const struct line *l, struct text *t)
{
	(void)n;
	(void)l;
	text_add(t,
		 ": yellow, striped or spotted, on seed leaves and stems; three warm days bring them. Tap them into "
		 "soapy water. Fleece with its edges in the soil keeps them off, and cold too, till the first female "
		 "flower.");
}

static void straw_rest(const struct note_facts *n, const struct line *l, struct text *t)
{
	const struct advice *a = l->lead;
	struct step soil = advice_step_of(a, STEP_SOIL, 0);
	text_add(t, ": soil ");
	phrase_degrees_unit(t, soil.value, units_of(n));
	text_add(t, units_of(n) == UNIT_US ? " at 4 in" : " at 10 cm");
	if (date_is(soil.date)) {
		text_add(t, " by your reading of ");
		phrase_date(t, soil.date, n->state->today);
	} else {
		text_add(t, ", reckoned");
	}
	text_add(t, ", and wet. ");
	text_add(t, units_of(n) == UNIT_US ? "Two to three inches" : "Five to eight centimetres");
	text_add(t, ", a hand's width off the stems.");
}

static void rest(const struct note_facts *n, const struct line *l, struct text *t)
{
	switch ((int)l->lead->verdict) {
	case VERDICT_WATER:
		water_rest(n, l, t);
		break;
	case VERDICT_SHADE:
		shade_rest(n, l, t);
		break;
	case VERDICT_SLUGS:
		slugs_rest(n, l, t);
		break;
	case VERDICT_BEETLES:
		beetles_rest(n, l, t);
		break;
	default:
		straw_rest(n, l, t);
		break;
	}
}

static void head(const struct note_facts *n, const struct line *l, struct text *t)
{
	(void)n;
	enum verdict v = l->lead->verdict;
	text_add(t, v == VERDICT_WATER   ? "water what is new"
		    : v == VERDICT_SHADE ? "shade what is new"
		    : v == VERDICT_SLUGS ? "slugs after rain"
		    : v == VERDICT_STRAW ? "warm enough for straw"
					 : "look for beetles");
}

const struct saying say_settle = {act, rest, head};
