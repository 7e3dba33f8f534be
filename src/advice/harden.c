#include "advice/harden.h"

#include <math.h>

#include "advice/calendar.h"
#include "base/instant.h"

enum {
	ALL_DAY = 12,  /* hours at most (judgement) */
	BREAKFAST = 7, /* nobody carries trays before (judgement) */
	YOUNG_TO = 4,  /* days in which it bears the least */
};

/*
 * Gusts over 7 m/s are kept from the first days (25 km/h, derived here from no published limit); 9 m/s, 20 mph,
 * later (judgement).  2.5 mm in an hour is where moderate rain begins (common practice of weather services).
 * Full sun is 1000 W/m2; over 700 a leaf from indoors burns in the first days, and over 32 C (90 F) also a
 * hardier one; such sun is told of from 24 C, 75 F, on (judgement).
 */
static const double GUST_YOUNG_MS = 7, GUST_MS = 9, RAIN_HARD_MM = 2.5, SUN_STRONG_WM2 = 700, WARM_C = 24, HOT_C = 32;

int harden_hours(int day)
{
	/* two at first, an hour more each day, then two (common practice: one to two) */
	static const int hours[HARDEN_WANTED] = {HARDEN_LEAST, 3, 4, 5, 6, 8, 9};
	if (day < 1)
		return hours[0];
	return day <= HARDEN_WANTED ? hours[day - 1] : ALL_DAY;
}

struct harden_in {
	const struct garden *g;
	const struct crop *crop;
	const struct season_state *s;
	size_t planting;
};

/* What a tray bears on its day number `day`. */
static struct standing_need need_of(const struct harden_in *in, int day)
{
	/* in whole degrees, as they are read: half a degree under the line is at it */
	double half_c = advice_difference_c(1, in->g->units) / 2;
	return (struct standing_need){.hours = harden_hours(day),
				      .from_h = BREAKFAST,
				      .least = HARDEN_LEAST,
				      .day_c = in->crop->harden_day_c - half_c,
				      .gust_ms = day <= YOUNG_TO ? GUST_YOUNG_MS : GUST_MS,
				      .rain_mm = RAIN_HARD_MM,
				      .hot_c = HOT_C,
				      .sun_wm2 = SUN_STRONG_WM2,
				      .shy = day <= YOUNG_TO};
}

static struct standing stands(const struct harden_in *in, struct date d, int day)
{
	struct standing_need need = need_of(in, day);
	return standing_of(season_hours(in->s, d), &need, date_diff(d, in->s->today) == 0 ? in->s->cut : INSTANT_NONE);
}

/* Days before today that were fit, from the plan's first day on, each by what it would have borne then. */
static int done_by_plan(const struct harden_in *in, struct date likely)
{
	int done = 0;
	for (int back = HARDEN_LEAD; back > 0; back--) {
		struct date d = date_add(in->s->today, -back);
		if (date_diff(likely, d) <= HARDEN_LEAD && stands(in, d, done + 1).bar == STANDING_FIT)
			done++;
	}
	return done;
}

static void count_done(const struct harden_in *in, struct harden_plan *p)
{
	const struct dates *dates = &in->s->planting[in->planting].dates;
	p->by_diary = dates->days[VERB_PUT_OUT] > 0;
	if (p->by_diary)
		p->done = dates->days[VERB_PUT_OUT] - (dates->last[VERB_PUT_OUT].n == in->s->today.n);
	else
		p->done = date_is(p->likely) ? done_by_plan(in, p->likely) : 0;
}

/* Hours of a day to come; where nobody can tell, *known is false. */
static int hours_ahead(const struct harden_in *in, int ahead, int day, bool *known)
{
	struct standing st = stands(in, date_add(in->s->today, ahead), day);
	*known = st.bar != STANDING_UNKNOWN && in->s->forecast.trust < TRUST_OLD;
	return st.bar == STANDING_FIT ? st.hours : 0;
}

/* The plan's days from today on: a day that nobody can tell is taken as fit, for the count alone. */
static void look_ahead(const struct harden_in *in, struct harden_plan *p)
{
	int done = p->done, ahead = 0;
	for (; ahead < STATE_AHEAD; ahead++) {
		bool known, today_over = ahead == 0 && p->today.bar == STANDING_OVER;
		int hours = hours_ahead(in, ahead, done + 1, &known);
		if (ahead < HARDEN_SHOWN)
			p->hours[ahead] = known ? hours : -1;
		done += !known || hours > 0 || today_over;
		if (done == HARDEN_WANTED && p->done < HARDEN_WANTED && !date_is(p->ends))
			p->ends = date_add(in->s->today, ahead);
	}
	if (p->done < HARDEN_WANTED && !date_is(p->ends))
		p->ends = date_add(in->s->today, STATE_AHEAD - 1 + HARDEN_WANTED - done);
}

void harden_plan(const struct garden *g, const struct season_state *s, size_t planting, struct date likely,
		 struct harden_plan *plan)
{
	struct harden_in in = {.g = g, .crop = &g->planting[planting].figures, .s = s, .planting = planting};
	*plan = (struct harden_plan){.likely = likely, .ends = date_none()};
	if (isnan(in.crop->harden_day_c))
		return;
	count_done(&in, plan);
	bool near = date_is(likely) && date_diff(likely, s->today) <= HARDEN_LEAD;
	const struct stage_state *stage = &s->planting[planting].stage;
	bool in_seed = stage->now == STAGE_SOWN && date_is(stage->up.likely);
	plan->runs = (near && !in_seed) || plan->by_diary;
	plan->today = stands(&in, s->today, plan->done + 1);
	look_ahead(&in, plan);
}

static const struct advice *plantout_in(const struct advice_list *list, size_t planting)
{
	for (size_t i = 0; i < list->n; i++)
		if (list->at[i].decision == DECISION_PLANT_OUT && list->at[i].planting == planting)
			return &list->at[i];
	return NULL;
}

static struct date later(struct date a, struct date b)
{
	return date_is(b) && (!date_is(a) || date_diff(b, a) > 0) ? b : a;
}

/* By the calendar: the middle of the days on which years would have it planted out; DATE_NONE where not known. */
static struct date by_calendar(const struct garden *g, const struct season_state *s, size_t planting)
{
	struct calendar_out out = calendar_planting_out(g, s, planting);
	if (out.basis == CALENDAR_UNKNOWN)
		return date_none();
	return date_add(out.early, date_diff(out.late, out.early) / 2);
}

struct date harden_likely(const struct garden *g, const struct season_state *s, size_t planting,
			  const struct advice_list *list)
{
	const struct advice *said = plantout_in(list, planting);
	const struct planting_state *ps = &s->planting[planting];
	if (said != NULL && date_is(said->day))
		return said->day;
	if (ps->age_days < 0)
		return date_none();
	struct date first = date_add(s->today, ps->age_days > 0 ? 1 : 0);
	/* Of nights that nobody knows yet none speaks against a day. */
	int known = 0;
	while (known < STATE_AHEAD && !isnan(advice_low_c(&season_tonight(s)[known])))
		known++;
	first = later(first, date_add(s->today, known - ADVICE_PLANT_NIGHTS + 1));
	first = later(first, date_add(s->today, g->planting[planting].figures.tray_days - ps->age_days));
	return later(first, by_calendar(g, s, planting));
}

static bool to_plant_today(const struct harden_in *in, const struct harden_plan *p)
{
	return date_is(p->likely) && date_diff(p->likely, in->s->today) == 0;
}

static void bar_step(const struct harden_in *in, const struct standing *st, enum standing_bar bar, struct advice *a)
{
	if (bar == STANDING_WIND)
		advice_step(a, STEP_OUT_GUST, st->bar == STANDING_FIT ? st->then_gust_ms : st->gust_ms, in->s->today);
	if (bar == STANDING_RAIN)
		advice_step(a, STEP_OUT_RAIN, st->rain_mm, in->s->today);
	bool burns = st->bar == STANDING_FIT && st->sun_wm2 >= SUN_STRONG_WM2 && st->warmest_c >= WARM_C;
	if (bar == STANDING_SUN || burns)
		advice_step(a, STEP_OUT_SUN, st->sun_wm2, in->s->today);
}

/* Nights are told from a day on, where the low is known. */
static void night_step(const struct harden_in *in, const struct harden_plan *p, struct advice *a)
{
	const struct night *tonight = season_tonight(in->s);
	double low_c = advice_low_c(tonight), line_c = in->crop->harden_night_c;
	int units = in->g->units;
	if (p->done + 1 < HARDEN_NIGHTS_FROM || p->today.bar != STANDING_FIT || isnan(low_c) || isnan(line_c))
		return;
	bool stays = tonight->complete && advice_degrees(low_c, units) >= advice_degrees(line_c, units);
	advice_step(a, STEP_HARDEN_NIGHT_LINE, line_c, date_none());
	advice_step(a, STEP_OUT_NIGHT, low_c, tonight->evening);
	advice_step(a, STEP_OUT_STAYS, stays, tonight->evening);
}

static void steps(const struct harden_in *in, const struct harden_plan *p, struct advice *a)
{
	const struct standing *st = &p->today;
	advice_step(a, STEP_HARDEN_LINE, in->crop->harden_day_c, date_none());
	advice_step(a, p->by_diary ? STEP_HARDEN_DAYS : STEP_HARDEN_PLANNED, p->done, date_none());
	advice_step(a, STEP_HARDEN_WANTED, HARDEN_WANTED, p->ends);
	if (to_plant_today(in, p))
		advice_step(a, STEP_HARDEN_SHORT, HARDEN_WANTED - p->done, date_none());
	if (st->bar == STANDING_FIT) {
		advice_step(a, STEP_OUT_FROM, (double)st->from, date_none());
		advice_step(a, STEP_OUT_TO, (double)st->to, date_none());
	}
	if (st->bar != STANDING_UNKNOWN)
		advice_step(a, STEP_OUT_WARMEST, st->warmest_c, in->s->today);
	bar_step(in, st, st->bar == STANDING_FIT ? st->then : st->bar, a);
	night_step(in, p, a);
	for (int i = 1; i < HARDEN_SHOWN; i++) {
		double hours = p->hours[i] < 0 ? (double)NAN : p->hours[i];
		advice_step(a, STEP_HARDEN_HOURS, hours, date_add(in->s->today, i));
	}
}

/* Nothing is to be said: daylight is over, it is to be planted today and ready for it, or it never stood out yet. */
static bool silent(const struct harden_in *in, const struct harden_plan *p)
{
	bool through = to_plant_today(in, p) && p->done >= HARDEN_WANTED;
	bool indoors_still = p->done == 0 && p->today.bar != STANDING_FIT;
	return !p->runs || p->today.bar == STANDING_OVER || through || indoors_still;
}

int harden_day_number(const struct advice *a)
{
	double told = advice_step_of(a, STEP_HARDEN_DAYS, 0).value;
	return (int)(isnan(told) ? advice_step_of(a, STEP_HARDEN_PLANNED, 0).value : told) + 1;
}

static bool both_have(const struct advice *a, const struct advice *b, enum step_kind kind)
{
	return isnan(advice_step_of(a, kind, 0).value) == isnan(advice_step_of(b, kind, 0).value);
}

/* Both stay out, both come in, or of both nothing is said. */
static bool same_night(const struct advice *a, const struct advice *b)
{
	double x = advice_step_of(a, STEP_OUT_STAYS, 0).value, y = advice_step_of(b, STEP_OUT_STAYS, 0).value;
	return isnan(x) ? isnan(y) : fabs(x - y) <= 0;
}

/* Hardened is hardened, on whichever day. */
static bool same_day_number(const struct advice *a, const struct advice *b)
{
	int x = harden_day_number(a), y = harden_day_number(b);
	return x == y || (x > HARDEN_WANTED && y > HARDEN_WANTED);
}

static bool same_hour(const struct advice *a, const struct advice *b, enum step_kind kind)
{
	return fabs(advice_step_of(a, kind, 0).value - advice_step_of(b, kind, 0).value) < HOUR_S;
}

bool harden_says_same(const struct advice *a, const struct advice *b)
{
	bool same_bar =
	    both_have(a, b, STEP_OUT_GUST) && both_have(a, b, STEP_OUT_RAIN) && both_have(a, b, STEP_OUT_SUN);
	if (a->verdict == VERDICT_KEEP_IN)
		return same_bar && a->cannot_tell == b->cannot_tell;
	return same_bar && same_day_number(a, b) && both_have(a, b, STEP_HARDEN_DAYS) &&
	       same_hour(a, b, STEP_OUT_FROM) && same_hour(a, b, STEP_OUT_TO) && same_night(a, b);
}

void harden_advise(const struct garden *g, const struct season_state *s, size_t planting, struct advice_list *out)
{
	struct harden_in in = {.g = g, .crop = &g->planting[planting].figures, .s = s, .planting = planting};
	struct harden_plan plan;
	harden_plan(g, s, planting, harden_likely(g, s, planting, out), &plan);
	if (s->forecast.trust >= TRUST_OLD && plan.today.bar != STANDING_OVER)
		plan.today = (struct standing){.bar = STANDING_UNKNOWN, .from = INSTANT_NONE, .to = INSTANT_NONE};
	if (silent(&in, &plan))
		return;
	bool fit = plan.today.bar == STANDING_FIT;
	struct advice *a = advice_add(out, DECISION_HARDEN, fit ? VERDICT_PUT_OUT : VERDICT_KEEP_IN, planting);
	a->day = s->today;
	a->act_by = plan.today.from;
	a->number_c = plan.today.bar == STANDING_UNKNOWN ? (double)NAN : plan.today.warmest_c;
	a->line_c = in.crop->harden_day_c;
	a->rule = CROP_HARDEN_DAY;
	a->own_line = g->planting[planting].own_line[CROP_HARDEN_DAY] != 0;
	a->cannot_tell = plan.today.bar == STANDING_UNKNOWN;
	steps(&in, &plan, a);
}
