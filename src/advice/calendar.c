#include "advice/calendar.h"

#include <math.h>

#include "advice/plantday.h"

/* A crop that a leaf this cold does not kill goes by the harder frost (judgement: between 32 and 28 F). */
static const double HARDY_C = -1;

enum { SEASON_DAYS = 212 }; /* of the side of spring (odds/frostdate) */

static bool in_south(const struct garden *g)
{
	return g->latitude < 0;
}

int calendar_day(const struct garden *g, struct date d)
{
	return (int)frostdate_day(in_south(g), d);
}

static const struct frostdate_line *frost_of(const struct garden *g, const struct season_state *s, size_t planting)
{
	bool hardy = g->planting[planting].figures.kill_c < HARDY_C;
	return &s->frost.at[hardy ? FROSTDATE_28F : FROSTDATE_32F];
}

static struct date this_year(const struct garden *g, const struct season_state *s, double day)
{
	return frostdate_date(in_south(g), frostdate_year(in_south(g), s->today), day);
}

static bool holds(const struct season_state *s, struct date evening, double line_c)
{
	struct runs_night night = climate_night(&s->climate, evening);
	return runs_over(&night, line_c) >= CALENDAR_NIGHT;
}

/* The first evening of [from, from + days) that years have at the line; DATE_NONE where none is. */
static struct date reached(const struct season_state *s, struct date from, int days, double line_c)
{
	for (int i = 0; i < days; i++)
		if (holds(s, date_add(from, i), line_c))
			return date_add(from, i);
	return date_none();
}

/* After the tenth of the frosts; nights may keep it in for PLANTDAY_AFTER_FROST days more. */
static void by_frost(const struct season_state *s, double line_c, struct calendar_out *out)
{
	struct date nights = reached(s, out->tenth, PLANTDAY_AFTER_FROST + 1, line_c);
	out->late = date_add(out->tenth, PLANTDAY_AFTER_FROST);
	out->early = date_is(nights) ? nights : out->late;
	out->basis = out->early.n == out->tenth.n ? CALENDAR_FROST : CALENDAR_NIGHTS;
	if (!date_is(nights))
		out->late = date_add(out->early, PLANTDAY_AFTER_FROST);
}

static void by_nights(const struct garden *g, const struct season_state *s, double line_c, struct calendar_out *out)
{
	out->early = reached(s, this_year(g, s, 1), SEASON_DAYS, line_c);
	if (!date_is(out->early))
		return;
	out->late = date_add(out->early, PLANTDAY_AFTER_FROST);
	out->basis = CALENDAR_NIGHTS;
}

struct calendar_out calendar_planting_out(const struct garden *g, const struct season_state *s, size_t planting)
{
	const struct planting *p = &g->planting[planting];
	const struct frostdate_line *frost = frost_of(g, s, planting);
	struct calendar_out out = {
	    .early = date_none(), .late = date_none(), .half = date_none(), .tenth = date_none()};
	if (frost->kind == FROSTDATE_DATED) {
		out.half = this_year(g, s, yeardate_normal(&frost->spring, CALENDAR_HALF));
		out.tenth = this_year(g, s, yeardate_normal(&frost->spring, CALENDAR_TENTH));
		out.years = frost->spring.years;
	}
	if (date_is(p->planted) && date_diff(p->planted, s->today) >= 0) {
		out.early = out.late = p->planted;
		out.basis = CALENDAR_PLANNED;
	} else if (date_is(out.tenth)) {
		by_frost(s, p->figures.night_line_c, &out);
	} else if (frost->kind == FROSTDATE_DATED || frost->kind == FROSTDATE_NEVER) {
		by_nights(g, s, p->figures.night_line_c, &out);
	}
	return out;
}

/* The day from which so much warmth comes up to `pick`; DATE_NONE where it does not in half a year. */
static struct date back_from(const struct season_state *s, const struct degree_rule *rule, struct date pick,
			     double wanted_dd)
{
	double sum_dd = 0;
	for (int i = 1; i < SEASON_DAYS; i++) {
		struct date d = date_add(pick, -i);
		struct climate_day day = climate_day(&s->climate, d);
		double next_c = climate_day(&s->climate, date_add(d, 1)).low_c;
		sum_dd += degree_day(rule, day.low_c, day.high_c, next_c);
		if (isnan(sum_dd))
			break;
		if (sum_dd >= wanted_dd)
			return d;
	}
	return date_none();
}

struct calendar_last calendar_last_sowing(const struct garden *g, const struct season_state *s, size_t planting,
					  bool indoors)
{
	const struct crop *c = &g->planting[planting].figures;
	const struct frostdate_line *frost = frost_of(g, s, planting);
	struct calendar_last last = {.day = date_none(),
				     .frost = date_none(),
				     .pick = date_none(),
				     .dd = indoors ? c->pick_planted_dd.likely : c->pick_sown_dd.likely};
	if (frost->kind == FROSTDATE_DATED)
		last.frost = this_year(g, s, yeardate_normal(&frost->autumn, CALENDAR_HALF));
	if (!date_is(last.frost) || isnan(last.dd))
		return last;
	last.pick = date_add(last.frost, -CALENDAR_PICKING);
	last.day = back_from(s, &c->rule, last.pick, last.dd);
	if (indoors && date_is(last.day))
		last.day = date_add(last.day, -c->tray_days);
	return last;
}
