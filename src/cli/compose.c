#include "cli/compose.h"

#include "base/instant.h"
#include "base/mem.h"
#include "record/diary.h"
#include "record/fetchlog.h"
#include "record/hourstore.h"
#include "record/stationstore.h"
#include "season/derived.h"

enum { KNOWN_AHEAD_S = (STATE_AHEAD + 2) * DAY_S };

/* `later`: what is known at a later cut; NULL: that was not asked. */
static enum fault_code known(struct context *c, const struct hours *later, int64_t from, int64_t cut, int64_t to,
			     struct hours *hours, struct issue *newest, struct fault *f)
{
	*hours = (struct hours){0};
	if (newest != NULL)
		issue_init(newest);
	if (c->record == NULL || !c->placed)
		return hours_init(hours, from, (size_t)((to - from) / HOUR_S), f);
	return hourstore_known_earlier(c->record, c->place, later, from, cut, to, hours, newest, f);
}

enum fault_code compose_known(struct context *c, int64_t from, int64_t cut, int64_t to, struct hours *hours,
			      struct issue *newest, struct fault *f)
{
	return known(c, NULL, from, cut, to, hours, newest, f);
}

/* Station days of the season and STATE_STATION_DAYS to each side; mem_free(*days). */
static enum fault_code station_known(struct context *c, int64_t from, int64_t cut, struct station_day **days, size_t *n,
				     struct fault *f)
{
	struct date first = date_add(zone_date(&c->zone, from), -STATE_STATION_DAYS);
	struct date end = date_add(zone_date(&c->zone, cut), STATE_STATION_DAYS + 1);
	*days = NULL;
	*n = 0;
	if (c->record == NULL || !c->placed)
		return FAULT_NONE;
	return stationstore_list(c->record, c->place, NULL, first, end, days, n, f);
}

static struct diary diary_of(const struct composed *m)
{
	return (struct diary){m->entries, m->entry_count};
}

/* What the grower has told; nothing where there is no record yet. */
static enum fault_code read_diary(struct context *c, struct composed *m, struct fault *f)
{
	if (c->record == NULL)
		return FAULT_NONE;
	return diary_list(c->record, c->garden.id, DIARY_STANDING, &m->entries, &m->entry_count, f);
}

/* The last of the hours, from where soil is reckoned.  It owns nothing. */
static struct hours last_weeks(const struct hours *h, int64_t from)
{
	struct hours view = *h;
	int64_t skip = (from - h->first) / HOUR_S;
	if (skip <= 0 || skip > (int64_t)h->n)
		return view;
	view.first += skip * HOUR_S;
	view.n -= (size_t)skip;
	for (int v = 0; v < VARS; v++) {
		view.value[v] += skip;
		view.origin[v] += skip;
	}
	return view;
}

/* Bare soil out of the hours. */
static enum fault_code soil_known(struct context *c, const struct hours *hours, int64_t from, struct derived *d,
				  struct season_known *k, struct fault *f)
{
	const struct derived_site site = {
	    .lat_deg = c->garden.latitude, .lon_deg = c->garden.longitude, .elevation_m = c->garden.elevation_m};
	struct hours weeks = last_weeks(hours, from);
	if (weeks.n == 0)
		return FAULT_NONE;
	if (derived_soil(&weeks, &site, d, f) != FAULT_NONE)
		return f->code;
	k->soil = (struct soil_hours){weeks.first, weeks.n, d->value[DERIVED_SOIL_10CM]};
	k->seed = (struct soil_hours){weeks.first, weeks.n, d->value[DERIVED_SOIL_2_5CM]};
	return FAULT_NONE;
}

/* *hours is the caller's to free, also after a fault. */
static enum fault_code state_at(struct context *c, const struct composed *m, const struct hours *later, int64_t cut,
				struct hours *hours, struct season_state *s, struct fault *f)
{
	struct diary diary = diary_of(m);
	struct issue newest;
	struct station_day *days = NULL;
	size_t n = 0;
	int64_t from = season_begins(&c->garden, &diary, &c->zone, cut), to = instant_hour(cut) + KNOWN_AHEAD_S;
	enum fault_code code = known(c, later, from, cut, to, hours, &newest, f);
	if (code == FAULT_NONE)
		code = station_known(c, from, cut, &days, &n, f);
	if (code == FAULT_NONE) {
		struct season_known k = {.hours = hours, .newest = &newest, .station = {days, n}, .diary = diary};
		struct derived derived = {0};
		past_at(&m->past, zone_date(&c->zone, cut), &k);
		int64_t soil_from = season_soil_begins(&c->garden, &diary, &c->zone, cut);
		code = soil_known(c, hours, soil_from, &derived, &k, f);
		if (code == FAULT_NONE)
			season_state_at(&c->garden, &c->zone, &k, cut, s);
		derived_free(&derived);
	}
	mem_free(days);
	issue_free(&newest);
	return code;
}

/* `since`: the day of the morning that the note is held against. */
static enum fault_code before_at(struct context *c, const struct hours *later, struct date since, struct composed *m,
				 struct fault *f)
{
	int64_t cut;
	struct hours hours = {0};
	if (context_morning(c, since, &cut, f) != FAULT_NONE)
		return f->code;
	if (cut >= m->state.cut)
		return FAULT_NONE;
	enum fault_code code = state_at(c, m, later, cut, &hours, &m->before, f);
	hours_free(&hours);
	if (code != FAULT_NONE)
		return code;
	m->any_before = m->before.forecast.any;
	if (m->any_before)
		advice_all(&c->garden, &m->before, &m->said);
	return FAULT_NONE;
}

static enum fault_code suppliers(struct context *c, int64_t cut, struct composed *m, struct fault *f)
{
	if (c->record == NULL || !c->placed)
		return FAULT_NONE;
	struct diary diary = diary_of(m);
	int64_t from = season_begins(&c->garden, &diary, &c->zone, cut);
	return fetchlog_supplies(c->record, c->place, from, cut, &m->supply, &m->supplies, f);
}

/* State at the cut and at the morning of `since`; DATE_NONE: of none. */
static enum fault_code states(struct context *c, int64_t cut, struct date since, struct composed *m, struct fault *f)
{
	struct hours hours = {0};
	int64_t hour = instant_hour(cut);
	const struct hours *kept = c->round != NULL ? round_kept(c->round, c->place, hour) : NULL;
	enum fault_code code = state_at(c, m, kept, cut, &hours, &m->state, f);
	if (code == FAULT_NONE && date_is(since))
		code = before_at(c, &hours, since, m, f);
	if (code == FAULT_NONE && c->round != NULL && c->placed)
		round_keep(c->round, c->place, hour, &hours);
	hours_free(&hours);
	return code;
}

static enum fault_code composed(struct context *c, int64_t cut, struct date since, struct composed *m, struct fault *f)
{
	if (read_diary(c, m, f) != FAULT_NONE)
		return f->code;
	struct diary diary = diary_of(m);
	if (past_learn(c, &diary, cut, &m->past, f) || states(c, cut, since, m, f) || suppliers(c, cut, m, f))
		return f->code;
	if (date_is(since)) {
		advice_all(&c->garden, &m->state, &m->advice);
		news_mark(&m->advice, &m->state, &m->said, m->any_before ? &m->before : NULL, &m->changes);
	}
	m->facts = (struct note_facts){.garden = &c->garden,
				       .crops = &c->crops,
				       .zone = &c->zone,
				       .state = &m->state,
				       .lines = &m->lines,
				       .supply = m->supply,
				       .supplies = m->supplies,
				       .changes = &m->changes};
	return FAULT_NONE;
}

/* Held against the morning of `since`; DATE_NONE: the state alone. */
static enum fault_code compose_against(struct context *c, int64_t cut, struct date since, struct composed **m,
				       struct fault *f)
{
	struct composed *made = mem_new(1, sizeof *made);
	*m = NULL;
	if (made == NULL)
		return fault_set(f, FAULT_MEMORY, "out of memory");
	enum fault_code code = composed(c, cut, since, made, f);
	if (code != FAULT_NONE) {
		compose_free(made);
		return code;
	}
	*m = made;
	return FAULT_NONE;
}

enum fault_code compose(struct context *c, int64_t cut, struct composed **m, struct fault *f)
{
	if (compose_against(c, cut, date_add(zone_date(&c->zone, cut), -1), m, f) != FAULT_NONE || *m == NULL)
		return f->code;
	rank_lines(&(*m)->advice, &(*m)->lines);
	return FAULT_NONE;
}

enum fault_code compose_evening(struct context *c, int64_t cut, struct composed **m, struct fault *f)
{
	if (compose_against(c, cut, zone_date(&c->zone, cut), m, f) != FAULT_NONE || *m == NULL)
		return f->code;
	if (!news_of_tonight(&(*m)->advice, (*m)->state.today, &(*m)->changes)) {
		compose_free(*m);
		*m = NULL;
		return FAULT_NONE;
	}
	rank_lines(&(*m)->advice, &(*m)->lines);
	(*m)->facts.evening = true;
	return FAULT_NONE;
}

enum fault_code compose_state(struct context *c, int64_t cut, struct composed **m, struct fault *f)
{
	return compose_against(c, cut, date_none(), m, f);
}

void compose_free(struct composed *m)
{
	if (m != NULL) {
		mem_free(m->supply);
		mem_free(m->entries);
		past_free(&m->past);
	}
	mem_free(m);
}
