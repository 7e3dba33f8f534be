#include "advice/plantout.h"

#include <math.h>

static void free_day(const struct garden *g, const struct season_state *s, size_t planting, struct plantday *best)
{
	int ahead[2], n = plantday_weekend(s->today, ahead);
	for (int i = 0; i < n; i++) {
		struct plantday d;
		plantday_of(g, s, planting, ahead[i], &d);
		if (i == 0 || plantday_better(&d, best))
			*best = d;
	}
}

static enum verdict verdict_of(const struct plantout *p)
{
	if (p->today.verdict != VERDICT_PLANT_COVERED || !date_is(p->good.day))
		return p->today.verdict;
	bool near = date_diff(p->good.day, p->today.day) <= PLANTOUT_WORTH_WAITING;
	bool in_time = !date_is(p->pot_to) || date_diff(p->pot_to, p->good.day) >= 0;
	return near && in_time ? VERDICT_WAIT : VERDICT_PLANT_COVERED;
}

void plantout_days(const struct garden *g, const struct season_state *s, size_t planting, struct plantout *p)
{
	int most = g->planting[planting].figures.tray_most_days;
	struct date sown = s->planting[planting].dates.first[VERB_SOWN];
	*p = (struct plantout){.good = {.day = date_none()}, .pot_to = date_none()};
	plantday_of(g, s, planting, 0, &p->today);
	if (p->today.verdict == VERDICT_PLANT)
		p->good = p->today;
	for (int ahead = 1; ahead <= PLANTDAY_AHEAD && !date_is(p->good.day); ahead++) {
		struct plantday d;
		if (plantday_surely_not(g, s, planting, ahead))
			continue;
		plantday_of(g, s, planting, ahead, &d);
		if (d.verdict == VERDICT_PLANT)
			p->good = d;
	}
	free_day(g, s, planting, &p->free);
	if (most > 0 && date_is(sown))
		p->pot_to = date_add(sown, most);
	p->verdict = verdict_of(p);
}

static void window_steps(const struct plantday *d, struct advice *a)
{
	for (int i = 0; i < PLANTDAY_NIGHTS; i++)
		advice_step(a, STEP_BED_NIGHT, d->bed[i].low_c, date_add(d->day, i));
	advice_step(a, STEP_HOLD, d->hold, d->day);
	advice_step(a, STEP_STALL, d->stall, d->day);
	advice_step(a, STEP_FROST, d->frost, d->frost_to);
	advice_step(a, STEP_SOIL, d->soil.c, d->day);
}

void plantout_advise(const struct garden *g, const struct season_state *s, size_t planting, struct advice_list *out)
{
	const struct crop *crop = &g->planting[planting].figures;
	struct plantout p;
	plantout_days(g, s, planting, &p);
	const struct plantday *today = &p.today;
	enum crop_figure rule = today->lenient ? CROP_SLOW : CROP_NIGHT_LINE;

	struct advice *a = advice_add(out, DECISION_PLANT_OUT, p.verdict, planting);
	a->day = p.verdict == VERDICT_PLANT_COVERED ? today->day : p.good.day;
	a->number_c = today->coldest_c;
	a->line_c = today->line_c;
	a->rule = rule;
	a->own_line = g->planting[planting].own_line[rule] != 0;
	a->cannot_tell = p.verdict == VERDICT_WAIT && (today->why == PLANTDAY_TOO_OLD || today->why == PLANTDAY_UNTOLD);
	advice_step(a, today->lenient ? STEP_SLOW_LINE : STEP_NIGHT_LINE, today->line_c, date_none());
	advice_step(a, STEP_STALL_LINE, crop->stall_c, date_none());
	advice_step(a, STEP_WANTED, PLANTDAY_WANTED, date_none());
	window_steps(today, a);
	if (p.verdict == VERDICT_WAIT && date_is(p.good.day))
		window_steps(&p.good, a);
	if (p.verdict == VERDICT_WAIT && p.free.verdict == VERDICT_PLANT_COVERED)
		advice_step(a, STEP_FREE, p.free.stall, p.free.day);
	if (today->why == PLANTDAY_YOUNG) {
		advice_step(a, STEP_AGE, s->planting[planting].age_days, date_none());
		advice_step(a, STEP_TRAY, crop->tray_days, date_none());
	}
}
