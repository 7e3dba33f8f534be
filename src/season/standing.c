#include "season/standing.h"

#include <math.h>

#include "base/instant.h"

static const double WARM_ENOUGH_C = 24, GUST_COSTS_C = 0.5, STRONG_SUN_COSTS_C = 4;

static enum standing_bar bar_of(const struct dayhour *h, const struct standing_need *need)
{
	if (isnan(h->air_c))
		return STANDING_UNKNOWN;
	if (h->air_c < need->day_c)
		return STANDING_COLD;
	if (h->rain_mm >= need->rain_mm)
		return STANDING_RAIN;
	if (h->gust_ms > need->gust_ms)
		return STANDING_WIND;
	return h->air_c >= need->hot_c && h->sun_wm2 >= need->sun_wm2 ? STANDING_SUN : STANDING_FIT;
}

/* The day's hours, each judged by itself. */
struct judged {
	const struct dayhours *d;
	const struct standing_need *need;
	bool counts[DAY_HOURS_MAX]; /* light, and not over */
	enum standing_bar bar[DAY_HOURS_MAX];
	int run[DAY_HOURS_MAX + 1];      /* fit hours in a row from this one on */
	double worth[DAY_HOURS_MAX + 1]; /* of all hours before it */
};

static double worth_of(const struct dayhour *h, const struct standing_need *need)
{
	double gust_ms = isnan(h->gust_ms) ? 0 : h->gust_ms;
	return fmin(h->air_c, WARM_ENOUGH_C) - GUST_COSTS_C * gust_ms -
	       (need->shy && h->sun_wm2 >= need->sun_wm2 ? STRONG_SUN_COSTS_C : 0);
}

static void judge(struct judged *j, int64_t not_before)
{
	int n = j->d->n;
	j->worth[0] = 0;
	for (int i = 0; i < n; i++) {
		const struct dayhour *h = &j->d->hour[i];
		j->counts[i] = h->light && i >= j->need->from_h && j->d->first + (int64_t)i * HOUR_S >= not_before;
		j->bar[i] = j->counts[i] ? bar_of(h, j->need) : STANDING_OVER;
		j->worth[i + 1] = j->worth[i] + (j->bar[i] == STANDING_FIT ? worth_of(h, j->need) : 0);
	}
	j->run[n] = 0;
	for (int i = n - 1; i >= 0; i--)
		j->run[i] = j->bar[i] == STANDING_FIT ? j->run[i + 1] + 1 : 0;
}

/* The best window of so many hours: its first; -1 where there is none. */
static int best_of(const struct judged *j, int hours)
{
	int best = -1;
	double most = -INFINITY;
	for (int i = 0; i + hours <= j->d->n; i++) {
		double worth = j->worth[i + hours] - j->worth[i];
		if (j->run[i] >= hours && worth > most) {
			best = i;
			most = worth;
		}
	}
	return best;
}

/* The extremes of those of [from, to) that count; NaN where none is known. */
static void extremes(const struct judged *j, int from, int to, struct standing *s)
{
	s->warmest_c = s->gust_ms = s->rain_mm = s->sun_wm2 = (double)NAN;
	for (int i = from; i < to; i++) {
		const struct dayhour *h = &j->d->hour[i];
		if (!j->counts[i])
			continue;
		s->warmest_c = fmax(s->warmest_c, h->air_c);
		s->gust_ms = fmax(s->gust_ms, h->gust_ms);
		s->rain_mm = fmax(s->rain_mm, h->rain_mm);
		s->sun_wm2 = fmax(s->sun_wm2, h->sun_wm2);
	}
}

static void window(const struct judged *j, int first, int hours, struct standing *s)
{
	int end = first + hours;
	s->bar = STANDING_FIT;
	s->from = j->d->first + (int64_t)first * HOUR_S;
	s->to = s->from + (int64_t)hours * HOUR_S;
	s->hours = hours;
	extremes(j, first, end, s);
	if (end < j->d->n && j->counts[end] && j->bar[end] != STANDING_FIT) {
		s->then = j->bar[end];
		s->then_gust_ms = j->d->hour[end].gust_ms;
	}
}

/* Why the day has no hours: see the header. */
static enum standing_bar reason(const struct judged *j)
{
	int count[STANDING_SUN + 1] = {0};
	enum standing_bar most = STANDING_COLD;
	for (int i = 0; i < j->d->n; i++)
		count[j->bar[i]]++;
	if (count[STANDING_OVER] == j->d->n)
		return STANDING_OVER;
	int warm = count[STANDING_RAIN] + count[STANDING_WIND] + count[STANDING_SUN];
	if (count[STANDING_UNKNOWN] > 0 && warm == 0 && count[STANDING_UNKNOWN] >= count[STANDING_COLD])
		return STANDING_UNKNOWN;
	for (int b = STANDING_RAIN; warm > 0 && b <= STANDING_SUN; b++)
		if (most == STANDING_COLD || count[b] > count[most])
			most = (enum standing_bar)b;
	return most;
}

struct standing standing_of(const struct dayhours *d, const struct standing_need *need, int64_t not_before)
{
	struct judged j = {.d = d, .need = need};
	struct standing s = {
	    .from = INSTANT_NONE, .to = INSTANT_NONE, .then = STANDING_FIT, .then_gust_ms = (double)NAN};
	judge(&j, not_before);
	for (int hours = need->hours; hours >= need->least; hours--) {
		int first = best_of(&j, hours);
		if (first >= 0) {
			window(&j, first, hours, &s);
			return s;
		}
	}
	s.bar = reason(&j);
	extremes(&j, 0, d->n, &s);
	return s;
}
