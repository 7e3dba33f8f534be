#include "advice/plantout.h"

#include <math.h>

/* What the nights after a day say of planting on it. */
struct window {
	struct date day;
	int reached, unknown;
	double coldest_c; /* NaN where none is known */
	struct date coldest;
	bool stalls;
	enum night_answer answer;
};

struct plantout_in {
	const struct garden *g;
	const struct crop *crop;
	const struct season_state *s;
	double line_c;
};

static enum night_answer answer_of(const struct window *w)
{
	int under = ADVICE_PLANT_NIGHTS - w->reached - w->unknown;
	if (w->stalls || under > ADVICE_PLANT_NIGHTS - ADVICE_PLANT_WANTED)
		return NIGHT_NO;
	return w->unknown == 0 ? NIGHT_YES : NIGHT_CANNOT_TELL;
}

static struct window window_at(const struct plantout_in *in, int ahead)
{
	int units = in->g->units;
	int line = advice_degrees(in->line_c, units);
	struct window w = {.day = date_add(in->s->today, ahead), .coldest_c = NAN, .coldest = date_none()};
	for (int i = 0; i < ADVICE_PLANT_NIGHTS; i++) {
		const struct night *n = &season_tonight(in->s)[ahead + i];
		double low_c = advice_low_c(n);
		bool under = !isnan(low_c) && advice_degrees(low_c, units) < line;
		w.reached += n->complete && !under;
		/* A night with holes that was seen under the line stays under it. */
		w.unknown += !n->complete && !under;
		if (!isnan(low_c) && !(low_c >= w.coldest_c)) {
			w.coldest_c = low_c;
			w.coldest = n->evening;
		}
	}
	w.stalls = !isnan(w.coldest_c) && advice_degrees(w.coldest_c, units) < advice_degrees(in->crop->stall_c, units);
	w.answer = answer_of(&w);
	return w;
}

static void window_steps(const struct plantout_in *in, const struct window *w, struct advice *a)
{
	int ahead = date_diff(w->day, in->s->today);
	for (int i = 0; i < ADVICE_PLANT_NIGHTS; i++) {
		const struct night *n = &season_tonight(in->s)[ahead + i];
		advice_step(a, STEP_NIGHT_LOW, advice_low_c(n), n->evening);
	}
	advice_step(a, STEP_REACHED, w->reached, w->day);
	advice_step(a, STEP_UNKNOWN, w->unknown, w->day);
	advice_step(a, STEP_COLDEST, w->coldest_c, w->coldest);
}

/* Days from today on until the plant is old enough for the bed. */
static int too_young(const struct plantout_in *in, size_t planting)
{
	int left = in->crop->tray_days - in->s->planting[planting].age_days;
	return left > 0 ? left : 0;
}

/* The first day from `ahead` on whose nights hold; DATE_NONE where no known day does. */
static struct window first_good(const struct plantout_in *in, int ahead)
{
	for (; ahead + ADVICE_PLANT_NIGHTS <= STATE_AHEAD; ahead++) {
		struct window w = window_at(in, ahead);
		if (w.answer == NIGHT_YES)
			return w;
	}
	return (struct window){.day = date_none()};
}

void plantout_advise(const struct garden *g, const struct season_state *s, size_t planting, struct advice_list *out)
{
	const struct crop *crop = &g->planting[planting].figures;
	struct plantout_in in = {.g = g, .crop = crop, .s = s, .line_c = crop->night_line_c};
	int young = too_young(&in, planting);
	struct window today = window_at(&in, 0);
	struct window good = first_good(&in, young);
	bool now = date_is(good.day) && date_diff(good.day, s->today) == 0;
	enum trust trust = s->forecast.trust;
	bool too_old = trust >= TRUST_OLD || (now && trust > TRUST_FULL);
	if (too_old) {
		good.day = date_none();
		now = false;
	}

	struct advice *a = advice_add(out, DECISION_PLANT_OUT, now ? VERDICT_PLANT : VERDICT_WAIT, planting);
	a->day = good.day;
	a->number_c = today.coldest_c;
	a->line_c = in.line_c;
	a->rule = CROP_NIGHT_LINE;
	a->own_line = g->planting[planting].own_line[CROP_NIGHT_LINE] != 0;
	a->cannot_tell = !now && (too_old || today.answer == NIGHT_CANNOT_TELL);
	advice_step(a, STEP_NIGHT_LINE, in.line_c, date_none());
	advice_step(a, STEP_STALL_LINE, in.crop->stall_c, date_none());
	advice_step(a, STEP_WANTED, ADVICE_PLANT_WANTED, date_none());
	window_steps(&in, &today, a);
	if (!now && date_is(good.day))
		window_steps(&in, &good, a);
	if (young > 0) {
		advice_step(a, STEP_AGE, s->planting[planting].age_days, date_none());
		advice_step(a, STEP_TRAY, in.crop->tray_days, date_none());
	}
}
