#include "advice/tray.h"

#include <math.h>

#include "advice/sow.h"

struct tray_in {
	const struct garden *g;
	const struct season_state *s;
	size_t planting;
	const struct planting *p;
	const struct planting_state *ps;
};

static struct advice *add(const struct tray_in *in, enum verdict v, enum crop_figure rule, struct advice_list *out)
{
	struct advice *a = advice_add(out, DECISION_TRAY, v, in->planting);
	a->rule = rule;
	a->own_line = in->p->own_line[rule] != 0;
	return a;
}

static int since(const struct tray_in *in, struct date d)
{
	return date_diff(in->s->today, d);
}

static bool told(const struct tray_in *in, enum verb v)
{
	return date_is(in->ps->dates.first[v]);
}

static void heat_off(const struct tray_in *in, struct advice_list *out)
{
	const struct stage_state *st = &in->ps->stage;
	struct date up = st->up.likely;
	if (isnan(in->g->heat_mat_c) || st->now != STAGE_UP || since(in, up) >= TRAY_HEAT_DAYS)
		return;
	struct advice *a = add(in, VERDICT_HEAT_OFF, CROP_EMERGE, out);
	a->day = up;
	a->number_c = in->g->heat_mat_c;
	advice_step(a, st->basis == STAGE_TOLD ? STEP_UP : STEP_UP_RECKONED, since(in, up), up);
	advice_step(a, STEP_SEED_WARMTH, in->g->heat_mat_c, date_none());
}

/* The seed tray is for its first weeks alone. */
static void pot_on(const struct tray_in *in, struct advice_list *out)
{
	const struct stage_state *st = &in->ps->stage;
	struct date leaf = st->true_leaf.likely;
	if (in->p->figures.tray_days < SOW_POTS_ON || st->now != STAGE_TRUE_LEAF || told(in, VERB_POTTED_ON) ||
	    since(in, leaf) > TRAY_POT_DAYS)
		return;
	struct advice *a = add(in, VERDICT_POT_ON, CROP_TRAY, out);
	a->day = date_add(leaf, TRAY_POT_DAYS);
	advice_step(a, STEP_SOWN, in->ps->age_days, in->ps->dates.first[VERB_SOWN]);
	advice_step(a, STEP_TRUE_LEAF, since(in, leaf), leaf);
}

/* Is a day named soon on which it goes out? */
static bool goes_out(const struct tray_in *in, const struct advice_list *list)
{
	for (size_t i = 0; i < list->n; i++) {
		const struct advice *a = &list->at[i];
		if (a->decision == DECISION_PLANT_OUT && a->planting == in->planting && date_is(a->day))
			return -since(in, a->day) <= TRAY_SOON;
	}
	return false;
}

/* The day on which its tray is full; a bigger pot put that off. */
static struct date full(const struct tray_in *in)
{
	struct date at = in->ps->stage.full;
	struct date potted = in->ps->dates.last[VERB_POTTED_ON];
	if (!date_is(at) || !date_is(potted))
		return at;
	struct date later = date_add(potted, TRAY_POTTED_GAINS);
	return date_diff(later, at) > 0 ? later : at;
}

static void held_back(const struct tray_in *in, struct advice_list *out)
{
	struct date at = full(in), fed = in->ps->dates.last[VERB_FED];
	bool is_fed = date_is(fed) && since(in, fed) < TRAY_FED;
	if (!date_is(at) || goes_out(in, out))
		return;
	int past = since(in, at);
	bool stalls = past > 0 && past <= TRAY_SOON;
	bool feed = past >= -TRAY_FULL_NEAR && past <= 0 && !is_fed;
	if (!stalls && !feed)
		return;
	struct advice *a = add(in, stalls ? VERDICT_POT_ON : VERDICT_FEED, CROP_TRAY_MOST, out);
	a->day = stalls ? date_add(at, TRAY_SOON) : at;
	advice_step(a, STEP_SOWN, in->ps->age_days, in->ps->dates.first[VERB_SOWN]);
	advice_step(a, STEP_TRAY_FULL, in->p->figures.tray_most_days, at);
}

/* How many days from today on are grey, one after the other; those that are not told are none. */
static int grey_days(const struct season_state *s)
{
	int n = 0;
	while (n < STATE_AHEAD && day_cloud_told(&s->day[n]) && s->day[n].cloud_frac >= TRAY_GREY_FRAC)
		n++;
	return n;
}

static void drier(const struct tray_in *in, struct advice_list *out)
{
	int n = grey_days(in->s);
	enum stage now = in->ps->stage.now;
	bool seedling = now == STAGE_UP || now == STAGE_TRUE_LEAF;
	if (!seedling || n < TRAY_GREY_DAYS || in->s->forecast.trust > TRUST_AGED)
		return;
	struct advice *a = add(in, VERDICT_DRIER, CROP_TITLE, out);
	a->day = in->s->today;
	advice_step(a, STEP_GREY_DAYS, n, date_add(in->s->today, n - 1));
}

void tray_advise(const struct garden *g, const struct season_state *s, size_t planting, struct advice_list *out)
{
	struct tray_in in = {
	    .g = g, .s = s, .planting = planting, .p = &g->planting[planting], .ps = &s->planting[planting]};
	heat_off(&in, out);
	pot_on(&in, out);
	held_back(&in, out);
	drier(&in, out);
}
