#include "advice/news.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "advice/sow.h"

enum { NEWS_FRIDAY = 4, NEWS_SATURDAY = 5, NEWS_WEEK = 7 };

static const struct advice *find(const struct advice_list *list, enum decision d, size_t planting, struct date day,
				 enum verdict v)
{
	for (size_t i = 0; i < list->n; i++) {
		const struct advice *a = &list->at[i];
		if (a->decision == d && a->planting == planting && a->day.n == day.n && a->verdict == v)
			return a;
	}
	return NULL;
}

static const struct advice *decided(const struct advice_list *list, enum decision d, size_t planting)
{
	for (size_t i = 0; i < list->n; i++) {
		const struct advice *a = &list->at[i];
		if (a->decision == d && a->planting == planting)
			return a;
	}
	return NULL;
}

static const struct advice *plantout_of(const struct advice_list *list, size_t planting)
{
	return decided(list, DECISION_PLANT_OUT, planting);
}

/* The low that was told of a night; NaN where hours of it were missing. */
static double low_on(const struct season_state *s, struct date evening)
{
	const struct night *n = season_night(s, evening);
	return n != NULL && n->complete ? n->low_c : (double)NAN;
}

static bool same_matter(const struct change *a, const struct change *b)
{
	return a->kind == b->kind && a->night.n == b->night.n && a->was_day.n == b->was_day.n &&
	       a->now_day.n == b->now_day.n && a->was == b->was && a->now == b->now;
}

/* Put a change of one planting to the list, or its planting to the one that says the same; a full list stays. */
static void change_put(struct changes *out, const struct change *c, size_t planting)
{
	for (size_t i = 0; i < out->n; i++) {
		struct change *old = &out->at[i];
		if (same_matter(old, c)) {
			if (old->n < GARDEN_PLANTINGS_MAX && old->of[old->n - 1] != planting)
				old->of[old->n++] = planting;
			return;
		}
	}
	if (out->n < CHANGES_MAX) {
		struct change *added = &out->at[out->n++];
		*added = *c;
		added->n = 1;
		added->of[0] = planting;
	}
}

static void night_change(struct changes *out, enum change_kind kind, const struct advice *a, double was_c, double now_c)
{
	struct change c = {.kind = kind,
			   .night = a->day,
			   .was_c = was_c,
			   .now_c = now_c,
			   .was_day = date_none(),
			   .now_day = date_none(),
			   .was = a->verdict,
			   .now = a->verdict,
			   .rule = a->rule};
	change_put(out, &c, a->planting);
}

/* A night to cover whose low moved by more than the dead band since the morning before. */
static void cover_moved(const struct advice *a, const struct season_state *s, const struct season_state *b,
			struct changes *out)
{
	double was_c = low_on(b, a->day);
	/* Of a night with holes only a fall is certain. */
	double now_c = advice_air_c(a);
	bool rose = now_c > was_c && !isnan(low_on(s, a->day));
	if (fabs(now_c - was_c) > NEWS_DEGREES_C && (rose || now_c < was_c))
		night_change(out, CHANGE_NIGHT, a, was_c, now_c);
}

/* What is expected now of the night that an advice was about: on the leaf where that decided, else in the bed. */
static double expected_on(const struct season_state *s, const struct advice *was)
{
	const struct outlook_night *o = season_outlook(s, was->day);
	const struct bedlow *low = season_bedlow(s, was->planting, was->day);
	bool leaf = was->rule == CROP_KILL;
	if (o == NULL || o->basis != OUTLOOK_FORECAST)
		return leaf ? low->leaf_c : low->bed_c;
	return leaf ? o->leaf[s->planting[was->planting].leaf].low_c : o->bed.low_c;
}

/* Whether today says something of that night's cold, too: COVER, CARRY IN, or PICK on or before it. */
static bool minded(const struct advice_list *today, const struct advice *was)
{
	for (size_t i = 0; i < today->n; i++) {
		const struct advice *a = &today->at[i];
		bool that = advice_shelters(a->verdict) && a->day.n == was->day.n;
		bool given_up = a->verdict == VERDICT_PICK && date_diff(was->day, a->day) >= 0;
		if (a->planting == was->planting && (that || given_up))
			return true;
	}
	return false;
}

/* Yesterday's COVER of a night still to come that today does not ask for. */
static void cover_off(const struct advice *was, const struct advice_list *today, const struct season_state *s,
		      struct changes *out)
{
	const struct night *n = season_night(s, was->day);
	/* Of a night that began yesterday nothing can change any more, even while it runs. */
	bool coming = n != NULL && date_diff(n->evening, s->today) >= 0;
	bool outside = s->planting[was->planting].where == PLANTING_OUT;
	if (!coming || !outside || minded(today, was))
		return;
	/* A night that cannot be judged, for holes or for the age of its forecast, is no all-clear. */
	bool look = find(today, DECISION_COVER, was->planting, was->day, VERDICT_LOOK) != NULL;
	bool lost = look || !n->complete || s->forecast.trust >= TRUST_OLD;
	double now_c = expected_on(s, was);
	night_change(out, lost ? CHANGE_COVER_LOST : CHANGE_COVER_OFF, was, was->number_c, lost ? (double)NAN : now_c);
}

/* A date that is named for the first time, or moved by more than the dead band, or went. */
static bool dated_anew(struct date was, struct date now)
{
	return date_is(was) != date_is(now) || (date_is(was) && abs(date_diff(now, was)) > NEWS_DAYS);
}

/* What had been promised for a day is now said of another, or of none; or the day has come and it is not kept. */
static bool moved(struct date was, struct date now, struct date today)
{
	return date_is(was) && (dated_anew(was, now) || (date_diff(was, today) <= 0 && was.n != now.n));
}

static bool said(const struct advice_list *list, const struct advice *like, const struct advice **was)
{
	*was = NULL;
	for (size_t i = 0; i < list->n && *was == NULL; i++)
		if (list->at[i].decision == like->decision && list->at[i].planting == like->planting &&
		    list->at[i].verdict == like->verdict)
			*was = &list->at[i];
	return *was != NULL;
}

/* Seed and trays wait some days: a line is told when it begins, when its day moves, and what is to be sown, waited
 * for or tested once more each weekend and on the last day; what cannot be told once a month. */
static bool sowing_is_news(const struct advice *a, const struct advice_list *before, struct date today)
{
	int year, month, day;
	const struct advice *was;
	if (!said(before, a, &was))
		return true;
	bool sows = a->verdict == VERDICT_SOW || a->verdict == VERDICT_WAIT_SOWING || a->verdict == VERDICT_TEST;
	date_parts(today, &year, &month, &day);
	if (sows && date_weekday(today) == NEWS_SATURDAY && (!a->cannot_tell || day <= NEWS_WEEK))
		return true;
	if (a->verdict == VERDICT_SOW)
		return a->day.n == was->day.n && a->day.n == today.n;
	return a->verdict == VERDICT_WAIT_SOWING && (dated_anew(was->day, a->day) || moved(was->day, a->day, today));
}

/* On a Friday everyone asks whether this is the weekend: of plants that are old enough it is told again (judgement). */
static bool weekend_asked(const struct advice *a, struct date today)
{
	bool young = !isnan(advice_step_of(a, STEP_AGE, 0).value);
	return a->decision == DECISION_PLANT_OUT && !young && date_weekday(today) == NEWS_FRIDAY;
}

static bool is_news(const struct advice *a, const struct advice_list *before, struct date today)
{
	if (a->decision == DECISION_SOW || a->decision == DECISION_TRAY)
		return sowing_is_news(a, before, today);
	if (weekend_asked(a, today))
		return true;
	const struct advice *was = a->verdict == VERDICT_WAIT ? plantout_of(before, a->planting) : NULL;
	if (was != NULL && was->verdict == VERDICT_WAIT)
		return dated_anew(was->day, a->day) || moved(was->day, a->day, today);
	return find(before, a->decision, a->planting, a->day, a->verdict) == NULL;
}

/* A night nearer to the line than this can miss it by what such lows are off (judgement). */
static const double NEWS_NEAR_K = 3;

/* The night behind a change of plan: of those after the day that fell near the line or under it (or were there), the
 * one whose low fell (or rose) most. */
static void mover(const struct season_state *s, const struct season_state *b, const struct advice *now, bool fell,
		  struct change *c)
{
	struct date day = fell ? c->was_day : c->now_day;
	double most = 0;
	for (int i = 0; i < ADVICE_PLANT_NIGHTS; i++) {
		struct date evening = date_add(day, i);
		double was_c = low_on(b, evening), now_c = low_on(s, evening);
		double by_c = fell ? was_c - now_c : now_c - was_c;
		if (by_c > most && (fell ? now_c : was_c) < now->line_c + NEWS_NEAR_K) {
			most = by_c;
			c->night = evening;
			c->was_c = was_c;
			c->now_c = now_c;
		}
		c->nights_unknown = c->nights_unknown || isnan(fell ? now_c : was_c);
	}
}

static void plant_changed(const struct advice *now, const struct advice *was, const struct season_state *s,
			  const struct season_state *b, struct changes *out)
{
	/* From the best to the worst, as verdicts stand. */
	bool turned = was->verdict < now->verdict && was->verdict != VERDICT_WAIT;
	bool other = was->verdict == VERDICT_WAIT && moved(was->day, now->day, s->today);
	if (!turned && !other)
		return;
	struct change c = {.kind = was->verdict == now->verdict ? CHANGE_DATE : CHANGE_VERDICT,
			   .night = date_none(),
			   .was_c = NAN,
			   .now_c = NAN,
			   .was_day = was->day,
			   .now_day = now->day,
			   .was = was->verdict,
			   .now = now->verdict};
	bool sooner = !turned && date_is(now->day) && date_diff(was->day, now->day) > 0;
	mover(s, b, now, !sooner, &c);
	change_put(out, &c, now->planting);
}

/* Hours out on a day by the plan; NaN where the advice does not tell them. */
static double hours_out(const struct advice *a, struct date d)
{
	struct step s;
	for (size_t i = 0; date_is((s = advice_step_of(a, STEP_HARDEN_HOURS, i)).date); i++)
		if (s.date.n == d.n)
			return s.value;
	return a->day.n == d.n ? a->verdict == VERDICT_PUT_OUT : (double)NAN;
}

/* A day on which trays were to stand out and are to stay in now; DATE_NONE where none is. */
static struct date kept_in(const struct advice *now, const struct advice *was)
{
	struct step s;
	if (now->verdict == VERDICT_KEEP_IN && hours_out(was, now->day) > 0)
		return now->day;
	for (size_t i = 0; date_is((s = advice_step_of(now, STEP_HARDEN_HOURS, i)).date); i++)
		if (s.value <= 0 && hours_out(was, s.date) > 0)
			return s.date;
	return date_none();
}

static void harden_changed(const struct advice *now, const struct advice *was, struct changes *out)
{
	struct change c = {.kind = CHANGE_HARDEN,
			   .night = date_none(),
			   .was_c = NAN,
			   .now_c = NAN,
			   .was_day = advice_step_of(was, STEP_HARDEN_WANTED, 0).date,
			   .now_day = advice_step_of(now, STEP_HARDEN_WANTED, 0).date,
			   .was = was->verdict,
			   .now = now->verdict};
	/* Who cannot judge today has nothing to take back, nor who was put right by the diary. */
	bool counted_anew = isnan(advice_step_of(now, STEP_HARDEN_DAYS, 0).value) !=
			    isnan(advice_step_of(was, STEP_HARDEN_DAYS, 0).value);
	if (now->cannot_tell || counted_anew || !date_is(c.was_day) || !date_is(c.now_day) ||
	    !dated_anew(c.was_day, c.now_day))
		return;
	if (date_diff(c.now_day, c.was_day) > 0)
		c.night = kept_in(now, was);
	change_put(out, &c, now->planting);
}

/* The day to sow moved, or what could be sown is to wait: the soil turned. */
static void sowing_changed(const struct advice *now, const struct advice *was, struct date today, struct changes *out)
{
	bool turned = was->verdict == VERDICT_SOW && now->verdict == VERDICT_WAIT_SOWING;
	bool other =
	    was->verdict == VERDICT_WAIT_SOWING && now->verdict == was->verdict && moved(was->day, now->day, today);
	if ((!turned && !other) || now->cannot_tell || sow_at_earliest(was))
		return;
	struct change c = {.kind = turned ? CHANGE_VERDICT : CHANGE_DATE,
			   .night = date_none(),
			   .was_c = NAN,
			   .now_c = NAN,
			   .was_day = was->day,
			   .now_day = now->day,
			   .was = was->verdict,
			   .now = now->verdict};
	change_put(out, &c, now->planting);
}

static void sowings_changed(const struct advice_list *today, const struct advice_list *before, struct date d,
			    struct changes *out)
{
	for (size_t i = 0; i < today->n; i++) {
		const struct advice *now = &today->at[i];
		for (size_t k = 0; k < before->n && now->verdict == VERDICT_WAIT_SOWING; k++)
			if (before->at[k].decision == DECISION_SOW && before->at[k].planting == now->planting)
				sowing_changed(now, &before->at[k], d, out);
	}
}

static void hardens_changed(const struct advice_list *today, const struct advice_list *before, struct changes *out)
{
	for (size_t i = 0; i < today->n; i++) {
		const struct advice *was = decided(before, DECISION_HARDEN, today->at[i].planting);
		if (today->at[i].decision == DECISION_HARDEN && was != NULL)
			harden_changed(&today->at[i], was, out);
	}
}

void news_mark(struct advice_list *today, const struct season_state *s, const struct advice_list *before,
	       const struct season_state *b, struct changes *out)
{
	out->n = 0;
	for (size_t i = 0; i < today->n; i++)
		today->at[i].news = b == NULL || is_news(&today->at[i], before, s->today);
	if (b == NULL)
		return;
	/* Nights first: they are what can kill. */
	for (size_t i = 0; i < today->n; i++)
		if (advice_shelters(today->at[i].verdict))
			cover_moved(&today->at[i], s, b, out);
	for (size_t i = 0; i < before->n; i++)
		if (advice_shelters(before->at[i].verdict))
			cover_off(&before->at[i], today, s, out);
	for (size_t i = 0; i < today->n; i++) {
		const struct advice *was = plantout_of(before, today->at[i].planting);
		if (today->at[i].decision == DECISION_PLANT_OUT && was != NULL)
			plant_changed(&today->at[i], was, s, b, out);
	}
	hardens_changed(today, before, out);
	sowings_changed(today, before, s->today, out);
}

bool news_of_tonight(struct advice_list *today, struct date tonight, struct changes *changes)
{
	size_t kept = 0, changed = 0;
	bool news = false;
	for (size_t i = 0; i < today->n; i++) {
		const struct advice *a = &today->at[i];
		if (a->decision != DECISION_COVER || a->verdict == VERDICT_UNCOVER || a->day.n != tonight.n)
			continue;
		news = news || a->news;
		today->at[kept++] = *a;
	}
	for (size_t i = 0; i < changes->n; i++) {
		const struct change *c = &changes->at[i];
		bool cover = c->kind == CHANGE_NIGHT || c->kind == CHANGE_COVER_OFF || c->kind == CHANGE_COVER_LOST;
		if (cover && c->night.n == tonight.n)
			changes->at[changed++] = *c;
	}
	today->n = kept;
	changes->n = changed;
	return news || changed > 0;
}
