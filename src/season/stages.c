#include "season/stages.h"

#include <math.h>

#include "season/day.h"

static const struct due NEVER = {{DATE_NONE}, {DATE_NONE}, {DATE_NONE}};

static const struct planting *planting_of(const struct stages_in *in)
{
	return &in->garden->planting[in->planting];
}

static bool outdoors(const struct stages_in *in)
{
	return planting_of(in)->sowing == GARDEN_SOWN_OUTDOORS;
}

static struct date first(const struct stages_in *in, enum verb v)
{
	struct date d = in->dates->first[v];
	return dates_by(d, in->today) ? d : date_none();
}

static struct due on(struct date d)
{
	return (struct due){d, d, d};
}

static struct date after(struct date d, double days)
{
	return isnan(days) || !date_is(d) ? date_none() : date_add(d, (int)lround(days));
}

static struct due after_all(struct date d, struct spread days)
{
	return (struct due){after(d, days.least), after(d, days.likely), after(d, days.most)};
}

bool stages_to_sow(const struct planting *p)
{
	return p->start != GARDEN_START_NO || date_is(p->sown);
}

/* ---- emergence ---- */

/* What the grower's reading adds to the reckoned soil. */
static double shift_of(const struct stages_in *in)
{
	if (in->reading->basis != SOIL_READ)
		return 0;
	double shift_k = in->reading->c - soil_reckoned(in->seed, in->zone, in->reading->read);
	return isnan(shift_k) ? 0 : shift_k;
}

/* A day's warmth at the seed; where the soil has not settled, the air's. */
static double seed_day(const struct stages_in *in, struct date d, double shift_k, int *air_days)
{
	double c = soil_day(in->seed, in->zone, d);
	if (!isnan(c))
		return c + shift_k;
	c = day_of(in->hours, in->zone, d, in->garden->latitude, in->garden->longitude).tmean_c;
	*air_days += !isnan(c);
	return c;
}

static size_t outdoor_days(const struct stages_in *in, struct date sown, double soil_c[static STAGE_UP_MOST],
			   int *air_days)
{
	size_t n = 0;
	double shift_k = shift_of(in);
	for (; n < STAGE_UP_MOST; n++) {
		struct date d = date_add(sown, (int)n);
		soil_c[n] = seed_day(in, d, shift_k, air_days);
		/* What is to come and not known goes on as it was; what is past and not known stays so. */
		if (isnan(soil_c[n]) && date_diff(in->today, d) <= 0)
			break;
	}
	return n;
}

static double indoors_c(const struct garden *g)
{
	return isnan(g->heat_mat_c) ? g->indoor_c : g->heat_mat_c;
}

static void emergence(const struct stages_in *in, struct stage_state *out)
{
	double soil_c[STAGE_UP_MOST];
	size_t n = 1;
	struct date sown = first(in, VERB_SOWN);
	if (!date_is(sown) && stages_to_sow(planting_of(in)))
		sown = in->today;
	bool long_ago = date_is(sown) && date_diff(in->today, sown) > STAGES_SOIL_DAYS;
	if (!date_is(sown) || (outdoors(in) && long_ago))
		return;
	soil_c[0] = indoors_c(in->garden);
	if (outdoors(in))
		n = outdoor_days(in, sown, soil_c, &out->air_days);
	out->seed_c = n > 0 ? soil_c[n - 1] : (double)NAN;
	out->up = after_all(sown, stage_emergence(&planting_of(in)->figures, soil_c, n));
}

/* Whoever tells of one of these has seen it come up. */
static bool seen_alive(const struct stages_in *in)
{
	static const enum verb alive[] = {VERB_TRUE_LEAF, VERB_THINNED, VERB_POTTED_ON,  VERB_PUT_OUT, VERB_PLANTED_OUT,
					  VERB_MALE,      VERB_FEMALE,  VERB_POLLINATED, VERB_PICKED};
	for (size_t i = 0; i < sizeof alive / sizeof *alive; i++)
		if (date_is(first(in, alive[i])))
			return true;
	return false;
}

static struct due leaf_after(const struct due *up)
{
	return (struct due){after(up->least, STAGE_LEAF_LEAST), after(up->likely, STAGE_LEAF_LIKELY),
			    after(up->most, STAGE_LEAF_MOST)};
}

static void seedling(const struct stages_in *in, struct stage_state *out)
{
	struct date up = first(in, VERB_UP), leaf = first(in, VERB_TRUE_LEAF);
	emergence(in, out);
	out->up_told = date_is(up) || seen_alive(in);
	if (date_is(up))
		out->up = on(up);
	if (date_is(leaf))
		out->true_leaf = on(leaf);
	else if (date_is(first(in, VERB_SOWN)))
		out->true_leaf = leaf_after(&out->up);
}

/* ---- flowers and fruit ---- */

static struct due by_warmth(const struct stages_in *in, enum verb v, struct spread planted_dd, struct spread sown_dd)
{
	struct date seen = first(in, v);
	bool planted = date_is(first(in, VERB_PLANTED_OUT));
	if (date_is(seen))
		return on(seen);
	if (!planted && !(outdoors(in) && date_is(first(in, VERB_SOWN))))
		return NEVER;
	return after_all(in->today, stage_until(planted ? planted_dd : sown_dd, in->so_far_dd, in->pace_dd));
}

static void fruiting(const struct stages_in *in, struct stage_state *out)
{
	const struct crop *c = &planting_of(in)->figures;
	out->male = by_warmth(in, VERB_MALE, c->male_planted_dd, c->male_sown_dd);
	out->female = by_warmth(in, VERB_FEMALE, c->female_planted_dd, c->female_sown_dd);
	out->pick = by_warmth(in, VERB_PICKED, c->pick_planted_dd, c->pick_sown_dd);
}

/* ---- which stage ---- */

static void stand(struct stage_state *out, enum stage now, enum stage_basis basis, struct date since)
{
	out->now = now;
	out->basis = basis;
	out->since = since;
}

static enum stage_basis basis_of(const struct stages_in *in, enum verb v)
{
	return in->dates->told[v] ? STAGE_TOLD : STAGE_FILED;
}

/* Moves on to a stage that has come by the diary, else by the likely day. */
static void reached(const struct stages_in *in, struct stage_state *out, enum stage s, enum verb v,
		    const struct due *due)
{
	struct date told = first(in, v);
	if (date_is(told))
		stand(out, s, STAGE_TOLD, told);
	else if (dates_by(due->likely, in->today))
		stand(out, s, STAGE_RECKONED, due->likely);
}

static void growing(const struct stages_in *in, struct stage_state *out, struct date from)
{
	int settle = planting_of(in)->figures.settle_days;
	if (date_is(from) && date_diff(in->today, from) > settle)
		stand(out, STAGE_GROWING, out->basis, date_add(from, settle + 1));
	reached(in, out, STAGE_FLOWERING, VERB_FEMALE, &out->female);
	if (out->now != STAGE_FLOWERING)
		reached(in, out, STAGE_FLOWERING, VERB_MALE, &NEVER);
	reached(in, out, STAGE_PICKING, VERB_PICKED, &out->pick);
}

static void from_seed(const struct stages_in *in, struct stage_state *out)
{
	stand(out, STAGE_SOWN, basis_of(in, VERB_SOWN), first(in, VERB_SOWN));
	reached(in, out, STAGE_UP, VERB_UP, &out->up);
	reached(in, out, STAGE_TRUE_LEAF, VERB_TRUE_LEAF, &out->true_leaf);
	if (outdoors(in))
		growing(in, out, out->now == STAGE_TRUE_LEAF ? out->since : date_none());
	else
		reached(in, out, STAGE_HARDENING, VERB_PUT_OUT, &NEVER);
}

static void which(const struct stages_in *in, struct stage_state *out)
{
	struct date planted = first(in, VERB_PLANTED_OUT), ended = in->dates->last[VERB_ENDED];
	if (dates_by(ended, in->today)) {
		stand(out, STAGE_ENDED, basis_of(in, VERB_ENDED), ended);
	} else if (date_is(planted)) {
		stand(out, STAGE_SET_OUT, basis_of(in, VERB_PLANTED_OUT), planted);
		growing(in, out, planted);
	} else if (date_is(first(in, VERB_SOWN))) {
		from_seed(in, out);
	}
}

/* ---- the question ---- */

static bool overdue(const struct stages_in *in, const struct due *due)
{
	int late = date_is(due->most) ? date_diff(in->today, due->most) : 0;
	return late > 0 && late <= STAGES_ASK_DAYS;
}

static enum verb ask_of(const struct stages_in *in, const struct stage_state *out)
{
	bool picked = date_is(first(in, VERB_PICKED));
	bool flowered = picked || date_is(first(in, VERB_FEMALE)) || date_is(first(in, VERB_POLLINATED));
	if (out->now == STAGE_NONE || out->now == STAGE_ENDED)
		return VERBS;
	if (!out->up_told && overdue(in, &out->up))
		return VERB_UP;
	if (!flowered && overdue(in, &out->female))
		return VERB_FEMALE;
	return !picked && overdue(in, &out->pick) ? VERB_PICKED : VERBS;
}

void stages_at(const struct stages_in *in, struct stage_state *out)
{
	const struct crop *c = &planting_of(in)->figures;
	*out = (struct stage_state){.up = NEVER, .true_leaf = NEVER, .seed_c = (double)NAN};
	out->since = out->fit = out->full = date_none();
	seedling(in, out);
	fruiting(in, out);
	which(in, out);
	bool in_tray = out->now >= STAGE_SOWN && out->now <= STAGE_HARDENING && !outdoors(in);
	if (in_tray)
		out->fit = after(first(in, VERB_SOWN), c->tray_days);
	if (in_tray && c->tray_most_days > 0)
		out->full = after(first(in, VERB_SOWN), c->tray_most_days);
	out->ask = ask_of(in, out);
}

const struct due *stages_next(const struct stage_state *s, enum stage *next)
{
	static const enum stage after_it[STAGES] = {
	    [STAGE_SOWN] = STAGE_UP,           [STAGE_UP] = STAGE_TRUE_LEAF,      [STAGE_SET_OUT] = STAGE_FLOWERING,
	    [STAGE_GROWING] = STAGE_FLOWERING, [STAGE_FLOWERING] = STAGE_PICKING,
	};
	*next = after_it[s->now];
	return *next == STAGE_UP          ? &s->up
	       : *next == STAGE_TRUE_LEAF ? &s->true_leaf
	       : *next == STAGE_FLOWERING ? &s->female
	       : *next == STAGE_PICKING   ? &s->pick
					  : NULL;
}

struct date stages_soil_from(const struct planting *p, const struct dates *dates, struct date today)
{
	struct date sown = dates->first[VERB_SOWN];
	bool lies = p->sowing == GARDEN_SOWN_OUTDOORS && dates_by(sown, today) && !date_is(dates->first[VERB_UP]);
	if (!lies || date_diff(today, sown) > STAGES_SOIL_DAYS)
		return date_none();
	return date_add(sown, -STAGES_SOIL_BEFORE);
}
