#include "advice/plantday.h"

#include <math.h>

static const double ONE_IN_TEN = 0.1; /* of springs have frost after that date */
static const double FAR_C = 100;      /* over every line */

/* With chances as small the sum of the nights' is their chance together, to a part in a thousand of it. */
static const double TINY = 1e-3;
static const double NEXT_TO_NONE = 1e-5;

/* A frost's day is a whole one: it lies within half a day of its number. */
static const double HALF_DAY = 0.5;

enum { SATURDAY = 5, SUNDAY = 6 };

struct day_in {
	const struct garden *g;
	const struct crop *crop;
	const struct season_state *s;
	size_t planting;
	double step_c; /* of a reading */
};

static int degrees(const struct day_in *in, double c)
{
	return advice_degrees(c, in->g->units);
}

/* Of a night that nobody can tell, or years alone, what is known of its hours still counts where it is colder. */
static void bed_nights(const struct day_in *in, struct plantday *d, struct runs_night *best)
{
	d->coldest_c = (double)NAN;
	d->coldest = date_none();
	for (int i = 0; i < PLANTDAY_NIGHTS; i++) {
		struct date evening = date_add(d->day, i);
		struct outlook_night o = season_expect(in->s, evening);
		const struct bedlow *low = season_bedlow(in->s, in->planting, evening);
		double seen_c = o.basis != OUTLOOK_FORECAST && low != NULL ? low->bed_c : (double)NAN;
		d->bed[i] = o.bed;
		d->unknown += o.basis == OUTLOOK_NONE;
		d->nights_beyond = d->nights_beyond || o.basis == OUTLOOK_YEARS;
		best[i] = o.basis == OUTLOOK_NONE ? (struct runs_night){FAR_C, 0, 0} : o.bed;
		if (seen_c < best[i].low_c)
			best[i].low_c = seen_c;
		if (best[i].low_c < FAR_C && !(best[i].low_c >= d->coldest_c)) {
			d->coldest_c = best[i].low_c;
			d->coldest = evening;
		}
	}
}

static double over(const struct day_in *in, const struct runs_night *n, double line_c)
{
	return runs_at_least(n, PLANTDAY_NIGHTS, PLANTDAY_WANTED, runs_reads_over_c(line_c, in->step_c));
}

/* Nights at the ends that are next to certain are left aside: what they add is added. */
static double any_under(const struct runs_night *n, size_t count, double line_c)
{
	double sum = 0, aside = 0, p = 0;
	for (size_t i = 0; i < count; i++)
		sum += runs_under(&n[i], line_c);
	if (sum < TINY)
		return sum;
	for (; count > 1 && (p = runs_under(&n[0], line_c)) < NEXT_TO_NONE; n++, count--)
		aside += p;
	for (; count > 1 && (p = runs_under(&n[count - 1], line_c)) < NEXT_TO_NONE; count--)
		aside += p;
	return fmin(aside + runs_any_under(n, count, line_c), 1);
}

/* Frost of nights that no forecast tells, from an evening to another, by the dates of the years; NaN: cannot tell. */
static double frost_by_dates(const struct season_state *s, struct date from, struct date to)
{
	const struct frostdate_line *f = &s->frost.at[FROSTDATE_32F];
	bool south = s->frost.south;
	if (f->kind == FROSTDATE_NEVER)
		return 0;
	if (f->kind != FROSTDATE_DATED)
		return (double)NAN;
	/* A low is dated its morning. */
	double first = frostdate_day(south, date_add(from, 1)), last = frostdate_day(south, date_add(to, 1));
	double spring = yeardate_normal_chance(&f->spring, first - HALF_DAY);
	double autumn = yeardate_normal_chance(&f->autumn, last + HALF_DAY);
	return 1 - (1 - spring) * (1 - autumn);
}

/* Leaf frost in the days after: the forecast's nights, then the years; a frost of the one says nothing of the other. */
static void frost(const struct day_in *in, struct plantday *d)
{
	struct runs_night leaf[PLANTDAY_FROST_DAYS];
	size_t leaf_of = in->s->planting[in->planting].leaf;
	int told = 0, known = 0;
	for (int i = 0; i < PLANTDAY_FROST_DAYS; i++) {
		struct outlook_night o = season_expect(in->s, date_add(d->day, i));
		leaf[i] = o.leaf[leaf_of];
		told += told == i && o.basis == OUTLOOK_FORECAST;
		known += known == i && o.basis != OUTLOOK_NONE;
	}
	double kill_c = in->crop->kill_c;
	double foreseen = told > 0 ? any_under(leaf, (size_t)told, kill_c) : 0, later = 0;
	struct date last = date_add(d->day, PLANTDAY_FROST_DAYS - 1);
	if (told < PLANTDAY_FROST_DAYS) {
		later = frost_by_dates(in->s, date_add(d->day, told), last);
		if (isnan(later) && known > told)
			later = any_under(&leaf[told], (size_t)(known - told), kill_c);
		else if (!isnan(later))
			known = PLANTDAY_FROST_DAYS;
		d->beyond = known > told;
	}
	d->frost = known > 0 ? 1 - (1 - foreseen) * (1 - (known > told ? later : 0)) : (double)NAN;
	d->frost_to = known > 0 ? date_add(d->day, known - 1) : date_none();
}

/* Late enough after the frosts, and the soil warm: then nights at the slow line do. */
static bool lenient(const struct day_in *in, const struct plantday *d)
{
	const struct frostdate_line *f = &in->s->frost.at[FROSTDATE_32F];
	bool warm = !isnan(d->soil.c) && degrees(in, d->soil.c) >= degrees(in, PLANTDAY_SOIL_WARM_C);
	if (!warm || (f->kind != FROSTDATE_DATED && f->kind != FROSTDATE_NEVER))
		return false;
	double after = frostdate_day(in->s->frost.south, d->day) - PLANTDAY_AFTER_FROST;
	return f->kind == FROSTDATE_NEVER || yeardate_normal_chance(&f->spring, after) <= ONE_IN_TEN;
}

/* What the soil is to be: less for a crop that is sown into less. */
static double soil_wanted(const struct day_in *in, double want_c)
{
	double sown_c = in->crop->sow_soil_good_c;
	return sown_c < want_c ? sown_c : want_c;
}

static bool soil_fit(const struct day_in *in, const struct plantday *d, double want_c)
{
	return isnan(d->soil.c) || degrees(in, d->soil.c) >= degrees(in, soil_wanted(in, want_c));
}

static bool windy(const struct day_in *in, int ahead)
{
	return in->s->day[ahead].gust_ms >= PLANTDAY_GUST_MS;
}

/* What stands against it whatever the nights are. */
static enum plantday_why against_at_once(const struct day_in *in, int ahead)
{
	enum trust trust = in->s->forecast.trust;
	if (trust >= TRUST_OLD)
		return PLANTDAY_TOO_OLD;
	if (in->s->planting[in->planting].age_days + ahead < in->crop->tray_days)
		return PLANTDAY_YOUNG;
	return ahead == 0 && trust > TRUST_FULL ? PLANTDAY_TOO_OLD : PLANTDAY_FIT;
}

static enum plantday_why against(const struct day_in *in, const struct plantday *d)
{
	if (d->frost >= PLANTDAY_FROST)
		return PLANTDAY_FROSTY;
	if (d->hold < PLANTDAY_HOLD)
		return PLANTDAY_COLD;
	if (d->stall >= PLANTDAY_STALL)
		return PLANTDAY_STALLING;
	return soil_fit(in, d, PLANTDAY_SOIL_C) ? PLANTDAY_FIT : PLANTDAY_COLD_SOIL;
}

static bool fit_covered(const struct day_in *in, const struct plantday *d)
{
	return !(d->frost >= PLANTDAY_FROST) && d->hold_slow >= PLANTDAY_HOLD && d->stall < PLANTDAY_STALL_COVERED &&
	       soil_fit(in, d, PLANTDAY_SOIL_COVERED_C);
}

static void judge(const struct day_in *in, int ahead, struct plantday *d)
{
	d->verdict = VERDICT_WAIT;
	d->why = against_at_once(in, ahead);
	if (d->why != PLANTDAY_FIT)
		return;
	d->why = against(in, d);
	bool covered = d->why != PLANTDAY_FIT && fit_covered(in, d);
	if (d->unknown > 0 && (d->why == PLANTDAY_FIT || covered))
		d->why = PLANTDAY_UNTOLD;
	else if (covered && windy(in, ahead))
		d->why = PLANTDAY_WINDY;
	else if (covered)
		d->verdict = VERDICT_PLANT_COVERED;
	else if (d->why == PLANTDAY_FIT)
		d->verdict = VERDICT_PLANT;
}

/* Soil changes slowly: beyond the hours it is that of the last day they reach, as long as a reading keeps. */
static struct soil soil_of(const struct day_in *in, int ahead, bool *earlier)
{
	int last = ahead;
	while (last >= 0 && ahead - last <= SOIL_KEEPS_DAYS && isnan(in->s->soil_c[STATE_NIGHTS_BEFORE + last]))
		last--;
	bool reached = last >= 0 && ahead - last <= SOIL_KEEPS_DAYS;
	*earlier = reached && last < ahead;
	return season_soil(in->s, in->planting, date_add(in->s->today, reached ? last : ahead));
}

static struct day_in day_in(const struct garden *g, const struct season_state *s, size_t planting)
{
	return (struct day_in){.g = g,
			       .crop = &g->planting[planting].figures,
			       .s = s,
			       .planting = planting,
			       .step_c = g->units == UNIT_US ? RUNS_WHOLE_F_C : 1};
}

/* All but chances. */
static void begin(const struct day_in *in, int ahead, struct plantday *d, struct runs_night *best)
{
	*d = (struct plantday){.day = date_add(in->s->today, ahead)};
	d->soil = soil_of(in, ahead, &d->soil_earlier);
	d->soil_want_c = soil_wanted(in, PLANTDAY_SOIL_C);
	d->lenient = lenient(in, d) && in->crop->slow_c < in->crop->night_line_c;
	d->line_c = d->lenient ? in->crop->slow_c : in->crop->night_line_c;
	bed_nights(in, d, best);
}

void plantday_of(const struct garden *g, const struct season_state *s, size_t planting, int ahead, struct plantday *d)
{
	const struct day_in in = day_in(g, s, planting);
	struct runs_night best[PLANTDAY_NIGHTS];
	begin(&in, ahead, d, best);
	d->hold_slow = over(&in, best, in.crop->slow_c);
	d->hold = d->lenient ? d->hold_slow : over(&in, best, d->line_c);
	d->stall = any_under(best, PLANTDAY_NIGHTS, runs_reads_under_c(in.crop->stall_c, in.step_c));
	d->under = PLANTDAY_NIGHTS - runs_expected(d->bed, PLANTDAY_NIGHTS, runs_reads_over_c(d->line_c, in.step_c));
	frost(&in, d);
	d->beyond = d->beyond || d->nights_beyond;
	judge(&in, ahead, d);
}

/* Of four in five one of any two is over the line, so the chances of the two worst bound the whole. */
static bool surely_cold(const struct day_in *in, const struct plantday *d, const struct runs_night *best)
{
	double worst = 1, second = 1, line_c = runs_reads_over_c(d->line_c, in->step_c);
	for (int i = 0; i < PLANTDAY_NIGHTS; i++) {
		double p = runs_over(&best[i], line_c);
		second = p < worst ? worst : fmin(p, second);
		worst = fmin(p, worst);
	}
	return worst + second < PLANTDAY_HOLD;
}

/* One night alone that is likely enough to stall it, or to freeze it. */
static bool surely_hurt(const struct day_in *in, const struct plantday *d, const struct runs_night *best)
{
	double stall_c = runs_reads_under_c(in->crop->stall_c, in->step_c);
	size_t leaf = in->s->planting[in->planting].leaf;
	for (int i = 0; i < PLANTDAY_NIGHTS; i++) {
		struct outlook_night o = season_expect(in->s, date_add(d->day, i));
		bool told = o.basis == OUTLOOK_FORECAST;
		if (runs_under(&best[i], stall_c) >= PLANTDAY_STALL ||
		    (told && runs_under(&o.leaf[leaf], in->crop->kill_c) >= PLANTDAY_FROST))
			return true;
	}
	return false;
}

bool plantday_surely_not(const struct garden *g, const struct season_state *s, size_t planting, int ahead)
{
	const struct day_in in = day_in(g, s, planting);
	struct runs_night best[PLANTDAY_NIGHTS];
	struct plantday d;
	if (against_at_once(&in, ahead) != PLANTDAY_FIT)
		return true;
	begin(&in, ahead, &d, best);
	return d.unknown > 0 || !soil_fit(&in, &d, PLANTDAY_SOIL_C) || surely_cold(&in, &d, best) ||
	       surely_hurt(&in, &d, best);
}

bool plantday_better(const struct plantday *a, const struct plantday *b)
{
	if (a->verdict != b->verdict)
		return a->verdict < b->verdict;
	if (a->verdict == VERDICT_PLANT_COVERED && (a->stall < b->stall || a->stall > b->stall))
		return a->stall < b->stall;
	return date_diff(b->day, a->day) > 0;
}

const char *plantday_word(enum verdict v)
{
	return v == VERDICT_PLANT ? "PLANT" : v == VERDICT_PLANT_COVERED ? "PLANT UNDER COVER" : "WAIT";
}

const char *plantday_against(enum plantday_why why)
{
	static const char *const words[] = {
	    [PLANTDAY_FIT] = "",
	    [PLANTDAY_TOO_OLD] = "old forecast",
	    [PLANTDAY_YOUNG] = "too young",
	    [PLANTDAY_FROSTY] = "frost",
	    [PLANTDAY_COLD] = "cold nights",
	    [PLANTDAY_STALLING] = "stall",
	    [PLANTDAY_COLD_SOIL] = "cold soil",
	    [PLANTDAY_WINDY] = "gusts",
	    [PLANTDAY_UNTOLD] = "not known",
	};
	return words[why];
}

int plantday_weekend(struct date today, int ahead[static 2])
{
	int weekday = date_weekday(today);
	ahead[0] = weekday == SUNDAY ? 0 : SATURDAY - weekday;
	ahead[1] = ahead[0] + 1;
	return weekday == SUNDAY ? 1 : 2;
}
