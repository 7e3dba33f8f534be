#include "advice/sow.h"

#include <math.h>

#include "advice/calendar.h"

/* Damp paper in the kitchen, 75 to 80 F (common practice). */
static const double TEST_C = 25;

/* Soil this near its line is worth a word where no frost dates tell when (judgement; 9 F). */
static const double NEAR_K = 5;

struct sow_in {
	const struct garden *g;
	const struct season_state *s;
	size_t planting;
	const struct planting *p;
	const struct planting_state *ps;
};

static struct advice *add(const struct sow_in *in, enum verdict v, enum crop_figure rule, struct advice_list *out)
{
	struct advice *a = advice_add(out, DECISION_SOW, v, in->planting);
	a->rule = rule;
	a->own_line = in->p->own_line[rule] != 0;
	return a;
}

static int ahead(const struct sow_in *in, struct date d)
{
	return date_diff(d, in->s->today);
}

static bool indoors(const struct sow_in *in)
{
	return in->p->sowing == GARDEN_SOWN_INDOORS;
}

/* ---- old seed ---- */

static bool old_seed(const struct sow_in *in)
{
	int year, month, day;
	date_parts(in->s->today, &year, &month, &day);
	return in->p->seed_year > 0 && in->p->seed_year < year;
}

/* The last test that counts; NaN where there is none. */
static struct date tested(const struct sow_in *in)
{
	struct date d = in->ps->dates.last[VERB_SPROUTED];
	return date_is(d) && -ahead(in, d) <= SOW_TEST_KEEPS ? d : date_none();
}

/* Twice what it takes to come up in the warm, for slow ones. */
static int test_days(const struct crop *c)
{
	double days = STAGE_LATE_FRAC * stage_emergence_days(c, TEST_C);
	return days > SOW_TEST_LEAST ? (int)ceil(days) : SOW_TEST_LEAST;
}

/* Of seed that is to be sown from a day on. */
static void test(const struct sow_in *in, struct date from, struct advice_list *out)
{
	int days = test_days(&in->p->figures);
	struct date last = date_add(from, -days);
	if (!old_seed(in) || date_is(tested(in)) || ahead(in, from) > SOW_TEST || ahead(in, last) < 0)
		return;
	struct advice *a = add(in, VERDICT_TEST, CROP_EMERGE, out);
	a->day = last;
	advice_step(a, STEP_SEED_YEAR, in->p->seed_year, date_none());
	advice_step(a, STEP_TEST_DAYS, days, date_add(in->s->today, days));
	advice_step(a, STEP_SOW_FROM, (double)NAN, from);
}

static void seed_steps(const struct sow_in *in, struct advice *a)
{
	struct date d = tested(in);
	if (old_seed(in))
		advice_step(a, STEP_SEED_YEAR, in->p->seed_year, date_none());
	if (date_is(d))
		advice_step(a, STEP_SPROUTED, in->ps->dates.amount[VERB_SPROUTED], d);
}

/* ---- indoors ---- */

struct window {
	struct calendar_out out;
	struct date from, to, ends; /* sow from and to, and at the latest */
	struct calendar_last last;
};

static struct window window_of(const struct sow_in *in)
{
	const struct crop *c = &in->p->figures;
	struct window w = {.out = calendar_planting_out(in->g, in->s, in->planting),
			   .last = calendar_last_sowing(in->g, in->s, in->planting, true),
			   .from = date_none(),
			   .to = date_none(),
			   .ends = date_none()};
	if (w.out.basis == CALENDAR_UNKNOWN)
		return w;
	struct date middle = date_add(w.out.early, date_diff(w.out.late, w.out.early) / 2);
	w.from = date_add(middle, -(c->tray_most_days > 0 ? c->tray_most_days : c->tray_days));
	w.to = date_add(middle, -c->tray_days);
	w.ends = date_is(w.last.day) && date_diff(w.last.day, w.to) > 0 ? w.last.day : date_add(w.to, SOW_LATE);
	return w;
}

static void window_steps(const struct sow_in *in, const struct window *w, struct advice *a)
{
	const struct crop *c = &in->p->figures;
	advice_step(a, STEP_OUT_EARLY, (double)NAN, w->out.early);
	advice_step(a, STEP_OUT_LATE, (double)NAN, w->out.late);
	advice_step(a, STEP_SOW_FROM, c->tray_most_days > 0 ? c->tray_most_days : c->tray_days, w->from);
	advice_step(a, STEP_SOW_TO, c->tray_days, w->to);
	if (w->out.basis != CALENDAR_PLANNED && date_is(w->out.tenth)) {
		advice_step(a, STEP_FROST_HALF, w->out.years, w->out.half);
		advice_step(a, STEP_FROST_TENTH, w->out.years, w->out.tenth);
	}
	if (w->out.basis == CALENDAR_NIGHTS)
		advice_step(a, STEP_NIGHT_LINE, c->night_line_c, date_none());
}

static void up_step(const struct sow_in *in, struct advice *a)
{
	struct date up = in->ps->stage.up.likely;
	if (date_is(up))
		advice_step(a, STEP_UP_DAYS, ahead(in, up), up);
}

static bool in_spring(const struct sow_in *in)
{
	int day = calendar_day(in->g, in->s->today);
	return day >= SOW_SPRING && day <= SOW_UNTIL;
}

static void sow_indoors(const struct sow_in *in, struct advice_list *out)
{
	struct window w = window_of(in);
	if (!date_is(w.from)) {
		if (in_spring(in))
			add(in, VERDICT_WAIT_SOWING, CROP_TRAY_MOST, out)->cannot_tell = true;
		return;
	}
	bool early = ahead(in, w.from) > 0, late = ahead(in, w.to) < 0;
	test(in, w.from, out);
	if (ahead(in, w.from) > SOW_AHEAD || ahead(in, w.ends) < 0)
		return;
	struct advice *a = add(in, early ? VERDICT_WAIT_SOWING : VERDICT_SOW, late ? CROP_TRAY : CROP_TRAY_MOST, out);
	a->day = early ? w.from : late ? w.ends : w.to;
	window_steps(in, &w, a);
	if (late)
		advice_step(a, STEP_SOW_READY, in->p->figures.tray_days,
			    date_add(in->s->today, in->p->figures.tray_days));
	if (!early)
		up_step(in, a);
	seed_steps(in, a);
}

/* ---- in place ---- */

/* Are the mornings that end with d as warm as seed wants it?  Whole degrees, as they are read. */
static enum night_answer warm_mornings(const struct sow_in *in, struct date d)
{
	int line = advice_degrees(in->p->figures.sow_soil_good_c, in->g->units);
	enum night_answer answer = NIGHT_YES;
	for (int i = 0; i < SOW_MORNINGS; i++) {
		struct soil soil = season_seed_soil(in->s, in->planting, date_add(d, -i));
		if (isnan(soil.c))
			answer = NIGHT_CANNOT_TELL;
		else if (advice_degrees(soil.c, in->g->units) < line)
			return NIGHT_NO;
	}
	return answer;
}

/* The coldest morning from a day on, as far as the forecast goes. */
static struct date coldest_after(const struct sow_in *in, struct date d, double *coldest_c)
{
	struct date coldest = date_none();
	*coldest_c = (double)NAN;
	for (; ahead(in, d) < STATE_AHEAD; d = date_add(d, 1)) {
		double c = season_seed_soil(in->s, in->planting, d).c;
		if (isnan(c))
			break;
		if (!(c >= *coldest_c)) {
			*coldest_c = c;
			coldest = d;
		}
	}
	return coldest;
}

static bool stays(const struct sow_in *in, struct date d)
{
	double coldest_c;
	int line = advice_degrees(in->p->figures.sow_soil_good_c, in->g->units);
	coldest_after(in, d, &coldest_c);
	return isnan(coldest_c) || advice_degrees(coldest_c, in->g->units) >= line;
}

/* The first day from `from` on whose mornings are warm and stay so; DATE_NONE where no day known is. */
static struct date warm_from(const struct sow_in *in, struct date from)
{
	for (; ahead(in, from) < STATE_AHEAD; from = date_add(from, 1))
		if (warm_mornings(in, from) == NIGHT_YES && stays(in, from))
			return from;
	return date_none();
}

/* The first day on which seed may be sown for frost: it comes up once few years have any. */
static struct date frost_allows(const struct sow_in *in, const struct calendar_out *out)
{
	double days = stage_emergence_days(&in->p->figures, in->p->figures.sow_soil_good_c);
	return date_is(out->tenth) ? date_add(out->tenth, isnan(days) ? 0 : -(int)floor(days)) : date_none();
}

struct ground {
	struct calendar_out out;
	struct calendar_last last;
	struct date frost; /* first day for frost; DATE_NONE: it bars nothing, or is not known */
	struct date warm;  /* first day for the soil; DATE_NONE: not in sight */
	enum night_answer now;
	struct soil today;
};

static struct ground ground_of(const struct sow_in *in)
{
	struct ground gr = {.out = calendar_planting_out(in->g, in->s, in->planting),
			    .last = calendar_last_sowing(in->g, in->s, in->planting, false),
			    .now = warm_mornings(in, in->s->today),
			    .today = season_seed_soil(in->s, in->planting, in->s->today)};
	gr.frost = frost_allows(in, &gr.out);
	bool barred = date_is(gr.frost) && ahead(in, gr.frost) > 0;
	gr.warm = warm_from(in, barred ? gr.frost : in->s->today);
	return gr;
}

static bool over(const struct sow_in *in, const struct ground *gr)
{
	if (date_is(gr->last.day))
		return ahead(in, gr->last.day) < 0;
	return calendar_day(in->g, in->s->today) > SOW_UNTIL;
}

/* Too early to speak of it. */
static bool far(const struct sow_in *in, const struct ground *gr)
{
	if (date_is(gr->frost))
		return ahead(in, gr->frost) > SOW_AHEAD;
	bool near = gr->today.c >= in->p->figures.sow_soil_good_c - NEAR_K;
	return !near && (!in_spring(in) || !isnan(gr->today.c));
}

static void ground_steps(const struct sow_in *in, const struct ground *gr, struct advice *a)
{
	double coldest_c;
	struct date coldest = coldest_after(in, date_add(in->s->today, 1), &coldest_c);
	advice_step(a, STEP_SEED_LINE, a->line_c, date_none());
	for (int i = SOW_MORNINGS - 1; i >= 0; i--) {
		struct date d = date_add(in->s->today, -i);
		advice_step(a, STEP_SEED_SOIL, season_seed_soil(in->s, in->planting, d).c, d);
	}
	if (date_is(coldest))
		advice_step(a, STEP_SEED_COLDEST, coldest_c, coldest);
	if (gr->today.basis == SOIL_READ)
		advice_step(a, STEP_SEED_READ, (double)NAN, gr->today.read);
	if (date_is(gr->frost))
		advice_step(a, STEP_FROST_TENTH, gr->out.years, gr->out.tenth);
	if (date_is(gr->last.day))
		advice_step(a, STEP_LAST_SOWING, gr->last.dd, gr->last.day);
}

static void sow_outdoors(const struct sow_in *in, struct advice_list *out)
{
	struct ground gr = ground_of(in);
	bool told = in->s->forecast.trust <= TRUST_AGED;
	if (isnan(in->p->figures.sow_soil_good_c) || over(in, &gr))
		return;
	if (date_is(gr.frost))
		test(in, gr.frost, out);
	if (far(in, &gr))
		return;
	bool now = told && date_is(gr.warm) && ahead(in, gr.warm) == 0;
	struct advice *a = add(in, now ? VERDICT_SOW : VERDICT_WAIT_SOWING, CROP_SOW_SOIL_GOOD, out);
	bool frost_first = !now && date_is(gr.frost) && ahead(in, gr.frost) > 0;
	a->day = frost_first && !date_is(gr.warm) ? gr.frost : gr.warm;
	if (!told && !frost_first)
		a->day = date_none();
	a->cannot_tell = !now && !frost_first && (!told || gr.now == NIGHT_CANNOT_TELL);
	a->number_c = gr.today.c;
	a->line_c = in->p->figures.sow_soil_good_c;
	ground_steps(in, &gr, a);
	if (now)
		up_step(in, a);
	seed_steps(in, a);
}

/* ---- what is sown ---- */

static void dig(const struct sow_in *in, struct advice_list *out)
{
	const struct stage_state *st = &in->ps->stage;
	struct date sown = in->ps->dates.first[VERB_SOWN], again;
	if (st->ask != VERB_UP)
		return;
	if (indoors(in)) {
		struct window w = window_of(in);
		again = date_is(w.to) && ahead(in, w.to) >= 0 ? w.to : w.last.day;
	} else {
		again = calendar_last_sowing(in->g, in->s, in->planting, false).day;
	}
	struct advice *a = add(in, VERDICT_DIG, CROP_EMERGE, out);
	a->day = date_add(st->up.most, 1);
	advice_step(a, STEP_SOWN, date_diff(in->s->today, sown), sown);
	advice_step(a, STEP_UP_DAYS, date_diff(st->up.likely, sown), st->up.likely);
	if (!isnan(st->seed_c))
		advice_step(a, STEP_SEED_WARMTH, st->seed_c, date_none());
	if (st->air_days > 0)
		advice_step(a, STEP_AIR_DAYS, st->air_days, date_none());
	if (date_is(again) && ahead(in, again) >= 0)
		advice_step(a, STEP_SOW_AGAIN, (double)NAN, again);
}

/* What is potted on stands alone anyway. */
static void thin(const struct sow_in *in, struct advice_list *out)
{
	const struct stage_state *st = &in->ps->stage;
	struct date leaf = st->true_leaf.likely;
	bool alone = indoors(in) && in->p->figures.tray_days >= SOW_POTS_ON;
	if (st->now != STAGE_TRUE_LEAF || alone || date_is(in->ps->dates.first[VERB_THINNED]) || !date_is(leaf) ||
	    -ahead(in, leaf) > SOW_THIN)
		return;
	struct advice *a = add(in, VERDICT_THIN, CROP_SPACING, out);
	a->day = date_add(leaf, SOW_THIN);
	advice_step(a, STEP_TRUE_LEAF, -ahead(in, leaf), leaf);
	if (!indoors(in))
		advice_step(a, STEP_SPACING, in->p->figures.spacing_m, date_none());
}

/* The first of its crop that stands outside. */
static bool leads(const struct sow_in *in)
{
	for (size_t i = 0; i < in->planting; i++)
		if (in->s->planting[i].where == PLANTING_OUT && in->g->planting[i].crop_index == in->p->crop_index)
			return false;
	return true;
}

/* Of a crop that bears for weeks a young plant in time is worth a line of midsummer. */
static void another(const struct sow_in *in, struct advice_list *out)
{
	if (isnan(in->p->figures.fruit_dd.likely) || !leads(in))
		return;
	struct calendar_last last = calendar_last_sowing(in->g, in->s, in->planting, false);
	if (!date_is(last.day) || ahead(in, last.day) < 0 || ahead(in, last.day) > SOW_AGAIN_AHEAD)
		return;
	struct advice *a = add(in, VERDICT_SOW, CROP_PICK_SOWN, out);
	a->day = last.day;
	advice_step(a, STEP_LAST_SOWING, last.dd, last.day);
	advice_step(a, STEP_PICK, date_diff(last.pick, last.day), last.pick);
	advice_step(a, STEP_FROST_FIRST, in->s->frost.at[FROSTDATE_32F].autumn.years, last.frost);
}

bool sow_at_earliest(const struct advice *a)
{
	struct date frost = advice_step_of(a, STEP_FROST_TENTH, 0).date;
	return a->verdict == VERDICT_WAIT_SOWING && a->rule == CROP_SOW_SOIL_GOOD && !a->cannot_tell &&
	       date_is(frost) && date_is(a->day) && date_diff(frost, a->day) >= 0;
}

bool sow_is_another(const struct advice *a)
{
	return a->verdict == VERDICT_SOW && a->rule == CROP_PICK_SOWN;
}

void sow_advise(const struct garden *g, const struct season_state *s, size_t planting, struct advice_list *out)
{
	struct sow_in in = {
	    .g = g, .s = s, .planting = planting, .p = &g->planting[planting], .ps = &s->planting[planting]};
	bool sown = date_is(in.ps->dates.first[VERB_SOWN]) && ahead(&in, in.ps->dates.first[VERB_SOWN]) <= 0;
	if (in.ps->where == PLANTING_TO_COME && stages_to_sow(in.p)) {
		if (indoors(&in))
			sow_indoors(&in, out);
		else
			sow_outdoors(&in, out);
	}
	if (sown && (in.ps->where == PLANTING_IN_TRAY || (in.ps->where == PLANTING_OUT && !indoors(&in)))) {
		dig(&in, out);
		thin(&in, out);
	}
	if (in.ps->where == PLANTING_OUT)
		another(&in, out);
}
