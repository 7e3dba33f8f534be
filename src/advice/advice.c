#include "advice/advice.h"

#include <assert.h>
#include <math.h>
#include <string.h>

#include "advice/cover.h"
#include "advice/harden.h"
#include "advice/plantout.h"
#include "advice/settle.h"
#include "advice/sow.h"
#include "advice/tray.h"
#include "base/instant.h"
#include "base/unit.h"

const struct verdict_row *advice_verdict(enum verdict v)
{
	static const struct verdict_row rows[VERDICTS] = {
	    [VERDICT_COVER] = {"COVER", true, false},
	    [VERDICT_CARRY_IN] = {"CARRY IN", true, false},
	    [VERDICT_LOOK] = {"LOOK", true, false},
	    [VERDICT_PICK] = {"PICK", true, false},
	    [VERDICT_UNCOVER] = {"UNCOVER", true, false},
	    [VERDICT_KEEP_IN] = {"KEEP IN", false, false},
	    [VERDICT_PUT_OUT] = {"PUT OUT", true, false},
	    [VERDICT_PLANT] = {"PLANT OUT", false, false},
	    [VERDICT_PLANT_COVERED] = {"PLANT OUT", false, false},
	    [VERDICT_WATER] = {"WATER", true, false},
	    [VERDICT_SHADE] = {"SHADE", false, false},
	    [VERDICT_SLUGS] = {"LOOK", false, false},
	    [VERDICT_BEETLES] = {"LOOK", false, false},
	    [VERDICT_STRAW] = {"STRAW", false, false},
	    [VERDICT_SOW] = {"SOW", false, false},
	    [VERDICT_DIG] = {"DIG", false, false},
	    [VERDICT_THIN] = {"SNIP", false, false},
	    [VERDICT_POT_ON] = {"POT ON", false, false},
	    [VERDICT_HEAT_OFF] = {"HEAT OFF", false, false},
	    [VERDICT_DRIER] = {"WATER LESS", false, false},
	    [VERDICT_FEED] = {"FEED", false, false},
	    [VERDICT_TEST] = {"TEST", false, false},
	    [VERDICT_WAIT_SOWING] = {"WAIT", false, true},
	    [VERDICT_WAIT] = {"WAIT", false, true},
	};
	return &rows[v];
}

bool advice_shelters(enum verdict v)
{
	return v == VERDICT_COVER || v == VERDICT_CARRY_IN;
}

int advice_degrees(double c, int units)
{
	assert(!isnan(c));
	return (int)floor(unit_outside(UNIT_TEMPERATURE, (enum unit_system)units, c) + 0.5);
}

double advice_difference_c(int degrees, int units)
{
	return degrees / unit_outside(UNIT_DIFFERENCE, (enum unit_system)units, 1.0);
}

double advice_air_c(const struct advice *a)
{
	return advice_step_of(a, STEP_NIGHT_LOW, 0).value;
}

bool advice_same_danger(const struct advice *a, const struct advice *b)
{
	return (a->rule == CROP_STALL) == (b->rule == CROP_STALL);
}

double advice_low_c(const struct night *n)
{
	return n->complete ? n->low_c : n->lowest_seen_c;
}

struct advice *advice_add(struct advice_list *list, enum decision d, enum verdict v, size_t planting)
{
	assert(list->n < ADVICE_MAX);
	struct advice *a = &list->at[list->n++];
	memset(a, 0, sizeof *a);
	a->decision = d;
	a->verdict = v;
	a->planting = planting;
	a->day = date_none();
	a->act_by = INSTANT_NONE;
	a->sunset = INSTANT_NONE;
	a->number_c = NAN;
	a->line_c = NAN;
	return a;
}

void advice_step(struct advice *a, enum step_kind kind, double value, struct date date)
{
	assert(a->steps < ADVICE_STEPS);
	a->step[a->steps++] = (struct step){.kind = kind, .value = value, .date = date};
}

struct step advice_step_of(const struct advice *a, enum step_kind kind, size_t skip)
{
	for (size_t i = 0; i < a->steps; i++)
		if (a->step[i].kind == kind && skip-- == 0)
			return a->step[i];
	return (struct step){.kind = kind, .value = (double)NAN, .date = date_none()};
}

/* Seed that cannot have come up yet has no leaf to freeze, and no slug to fear. */
static bool under_ground(const struct season_state *s, size_t planting)
{
	const struct stage_state *st = &s->planting[planting].stage;
	return st->now == STAGE_SOWN && date_is(st->up.least) && date_diff(st->up.least, s->today) > 0;
}

void advice_all(const struct garden *g, const struct season_state *s, struct advice_list *out)
{
	out->n = 0;
	for (size_t i = 0; i < s->plantings; i++) {
		enum planting_where where = s->planting[i].where;
		if (where == PLANTING_OUT && !under_ground(s, i)) {
			cover_advise(g, s, i, out);
			settle_advise(g, s, i, out);
		} else if (where == PLANTING_IN_TRAY) {
			plantout_advise(g, s, i, out);
			harden_advise(g, s, i, out);
			tray_advise(g, s, i, out);
		}
		sow_advise(g, s, i, out);
	}
}

bool advice_same_number(double a, double b)
{
	return isnan(a) ? isnan(b) : !(a < b) && !(a > b);
}

bool advice_same_step(const struct advice *a, const struct advice *b, enum step_kind kind)
{
	return advice_same_number(advice_step_of(a, kind, 0).value, advice_step_of(b, kind, 0).value);
}
