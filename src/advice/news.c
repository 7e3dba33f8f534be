#include "advice/news.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static const struct advice *find(const struct advice_list *list, enum decision d, size_t planting, struct date day,
				 enum verdict v)
{
	for (size_t i = 0; i < list->n; i++) {
		const struct advice *a = &list->at[i];
		if (a->decision == d && a->planting == planting && a->day.n == day.n && a->verdict == v) {
			return a;
		}
	}
	return NULL;
}

static const struct advice *plantout_of(const struct advice_list *list, size_t planting)
{
	for (size_t i = 0; i < list->n; i++) {
		const struct advice *a = &list->at[i];
		if (a->decision == DECISION_PLANT_OUT && a->planting == planting) {
			return a;
		}
	}
	return NULL;
}

static const struct night *night_on(const struct season_state *s, struct date evening)
{
	int i = date_diff(evening, s->night[0].evening);
	return i >= 0 && i < STATE_NIGHTS ? &s->night[i] : NULL;
}

static double low_on(const struct season_state *s, struct date evening)
{
	const struct night *n = night_on(s, evening);
	return n == NULL ? (double)NAN : advice_low_c(n);
}

static struct change *change_add(struct changes *out, enum change_kind kind, size_t planting)
{
	if (out->n == CHANGES_MAX) {
		return &out->at[CHANGES_MAX - 1];
	}
	struct change *c = &out->at[out->n++];
	*c = (struct change){.kind = kind,
			     .planting = planting,
			     .night = date_none(),
			     .was_c = NAN,
			     .now_c = NAN,
			     .was_day = date_none(),
			     .now_day = date_none()};
	return c;
}

static bool said_of_night(const struct changes *out, enum change_kind kind, struct date night)
{
	for (size_t i = 0; i < out->n; i++) {
		if (out->at[i].kind == kind && out->at[i].night.n == night.n) {
			return true;
		}
	}
	return false;
}

static void night_change(struct changes *out, enum change_kind kind, const struct advice *a, double was_c, double now_c)
{
	if (said_of_night(out, kind, a->day)) {
		return;
	}
	struct change *c = change_add(out, kind, a->planting);
	c->night = a->day;
	c->was_c = was_c;
	c->now_c = now_c;
	c->now = a->verdict;
}

/* A night to cover whose low moved by more than the dead band since the morning before. */
static void cover_moved(const struct advice *a, const struct season_state *b, struct changes *out)
{
	double was_c = low_on(b, a->day);
	if (fabs(a->number_c - was_c) > NEWS_DEGREES_C) {
		night_change(out, CHANGE_NIGHT, a, was_c, a->number_c);
	}
}

/* Yesterday's COVER of a night still to come that today does not ask for. */
static void cover_off(const struct advice *was, const struct advice_list *today, const struct season_state *s,
		      struct changes *out)
{
	const struct night *n = night_on(s, was->day);
	/* Of a night that began yesterday nothing can change any more, even while it runs. */
	bool coming = n != NULL && date_diff(n->evening, s->today) >= 0 && n->complete;
	bool outside = s->planting[was->planting].where == PLANTING_OUT;
	if (coming && outside && find(today, DECISION_COVER, was->planting, was->day, VERDICT_COVER) == NULL) {
		night_change(out, CHANGE_COVER_OFF, was, was->number_c, n->low_c);
	}
}

/* A date that is named for the first time, or moved by more than the dead band, or went. */
static bool dated_anew(struct date was, struct date now)
{
	return date_is(was) != date_is(now) || (date_is(was) && abs(date_diff(now, was)) > NEWS_DAYS);
}

static bool is_news(const struct advice *a, const struct advice_list *before)
{
	const struct advice *was = a->verdict == VERDICT_WAIT ? plantout_of(before, a->planting) : NULL;
	if (was != NULL && was->verdict == VERDICT_WAIT) {
		return dated_anew(was->day, a->day);
	}
	return find(before, a->decision, a->planting, a->day, a->verdict) == NULL;
}

/* What had been promised for a day is now said of another, or of none. */
static bool moved(struct date was, struct date now)
{
	return date_is(was) && dated_anew(was, now);
}

static void plant_changed(const struct advice *now, const struct advice *was, struct changes *out)
{
	bool turned = was->verdict == VERDICT_PLANT && now->verdict == VERDICT_WAIT;
	bool sooner = was->verdict == VERDICT_WAIT && now->verdict == VERDICT_PLANT && moved(was->day, now->day);
	bool shifted = was->verdict == VERDICT_WAIT && now->verdict == VERDICT_WAIT && moved(was->day, now->day);
	if (!turned && !sooner && !shifted) {
		return;
	}
	struct change *c = change_add(out, shifted ? CHANGE_DATE : CHANGE_VERDICT, now->planting);
	c->was_day = was->day;
	c->now_day = now->day;
	c->was_c = was->number_c;
	c->now_c = now->number_c;
	c->was = was->verdict;
	c->now = now->verdict;
}

void news_mark(struct advice_list *today, const struct season_state *s, const struct advice_list *before,
	       const struct season_state *b, struct changes *out)
{
	out->n = 0;
	for (size_t i = 0; i < today->n; i++) {
		struct advice *a = &today->at[i];
		a->news = b == NULL || is_news(a, before);
		if (b == NULL) {
			continue;
		}
		const struct advice *was = plantout_of(before, a->planting);
		if (a->verdict == VERDICT_COVER) {
			cover_moved(a, b, out);
		} else if (a->decision == DECISION_PLANT_OUT && was != NULL) {
			plant_changed(a, was, out);
		}
	}
	for (size_t i = 0; b != NULL && i < before->n; i++) {
		if (before->at[i].verdict == VERDICT_COVER) {
			cover_off(&before->at[i], today, s, out);
		}
	}
}
