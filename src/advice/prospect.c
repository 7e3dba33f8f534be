#include "advice/prospect.h"

#include <math.h>

#include "advice/cover.h"
#include "physics/bed.h"

int prospect_days_out(const struct season_state *s, size_t planting, struct date evening)
{
	struct date planted = s->planting[planting].dates.first[VERB_PLANTED_OUT];
	return date_is(planted) ? date_diff(evening, planted) : -1;
}

double prospect_line(const struct crop *c, enum crop_figure rule)
{
	return rule == CROP_KILL ? c->kill_c : rule == CROP_STALL ? c->stall_c : c->cover_c;
}

static bool freezes(const struct prospect *p, const struct crop *c, int units)
{
	if (isnan(p->freeze))
		return advice_degrees(p->leaf_c, units) <= advice_degrees(c->kill_c, units);
	return p->freeze >= p->at;
}

static void judge(struct prospect *p, const struct crop *c, int units)
{
	p->freeze = runs_under(&p->leaf, c->kill_c);
	p->rule = p->young ? CROP_STALL : CROP_COVER;
	p->wanted = false;
	if (isnan(p->bed_c))
		return;
	int bed = advice_degrees(p->bed_c, units);
	p->wanted = true;
	if (freezes(p, c, units))
		p->rule = CROP_KILL;
	else if (bed <= advice_degrees(c->cover_c, units))
		p->rule = CROP_COVER;
	else
		p->wanted = p->young && bed < advice_degrees(c->stall_c, units);
}

struct prospect prospect_of(const struct garden *g, const struct season_state *s, size_t planting,
			    const struct night *n)
{
	const struct crop *c = &g->planting[planting].figures;
	const struct bedlow *low = season_bedlow(s, planting, n->evening);
	const struct outlook_night *o = season_outlook(s, n->evening);
	int days = prospect_days_out(s, planting, n->evening);
	struct prospect p = {.night = n,
			     .forecast_c = low->air_c,
			     .air_c = low->air_c,
			     .bed_c = low->bed_c,
			     .leaf_c = low->leaf_c,
			     .leaf = {low->leaf_c, (double)NAN, 0},
			     .young = days >= 0 && days <= c->settle_days};
	p.at = (isnan(c->cover_at) ? COVER_AT_CHANCE : c->cover_at) / (p.young ? COVER_YOUNG_PARTS : 1);
	if (o != NULL && o->basis == OUTLOOK_FORECAST) {
		p.air_c = o->air.low_c;
		p.bed_c = o->bed.low_c;
		p.leaf = o->leaf[s->planting[planting].leaf];
		p.leaf_c = p.leaf.low_c;
	}
	judge(&p, c, g->units);
	return p;
}

struct prospect prospect_tipped(const struct garden *g, const struct prospect *p, size_t planting)
{
	struct bed_depression d = bed_by_class(0, 1, 1);
	struct prospect tipped = *p;
	tipped.bed_c = fmax(p->bed_c, p->air_c - d.bed_k);
	tipped.leaf_c = tipped.leaf.low_c = fmax(p->leaf_c, p->air_c - d.leaf_k);
	judge(&tipped, &g->planting[planting].figures, g->units);
	tipped.wanted = tipped.wanted && tipped.rule != CROP_COVER;
	return tipped;
}
