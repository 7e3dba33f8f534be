#include "cli/json.h"

#include <cjson/cJSON.h>
#include <math.h>
#include <string.h>

#include "base/instant.h"
#include "note/sentence.h"

/* cJSON gives NULL where memory runs out, and takes NULL for a parent; whether all fitted is asked at the end. */

static void number(cJSON *to, const char *key, double x)
{
	if (isnan(x))
		cJSON_AddNullToObject(to, key);
	else
		cJSON_AddNumberToObject(to, key, x);
}

static void day(cJSON *to, const char *key, struct date d)
{
	char buf[DATE_TEXT_SIZE];
	if (date_is(d))
		cJSON_AddStringToObject(to, key, date_text(d, buf));
	else
		cJSON_AddNullToObject(to, key);
}

static void instant(cJSON *to, const char *key, int64_t t)
{
	char buf[INSTANT_TEXT_SIZE];
	if (t != INSTANT_NONE)
		cJSON_AddStringToObject(to, key, instant_text(t, buf));
	else
		cJSON_AddNullToObject(to, key);
}

static cJSON *item(cJSON *list)
{
	cJSON *o = cJSON_CreateObject();
	cJSON_AddItemToArray(list, o);
	return o;
}

static const char *step_key(enum step_kind kind)
{
	static const char *const key[] = {
	    [STEP_NIGHT_LOW] = "low_c",         [STEP_COVER_LINE] = "cover_line_c",
	    [STEP_STALL_LINE] = "stall_line_c", [STEP_NIGHT_LINE] = "night_line_c",
	    [STEP_MARGIN] = "margin_c",         [STEP_DAYS_OUT] = "days_since_planted",
	    [STEP_SETTLE] = "settle_days",      [STEP_REACHED] = "nights_reached",
	    [STEP_WANTED] = "nights_wanted",    [STEP_UNKNOWN] = "nights_unknown",
	    [STEP_COLDEST] = "coldest_c",       [STEP_AGE] = "age_days",
	    [STEP_TRAY] = "tray_days",
	};
	return key[kind];
}

static void steps(cJSON *to, const struct advice *a)
{
	cJSON *list = cJSON_AddArrayToObject(to, "steps");
	for (size_t i = 0; i < a->steps; i++) {
		cJSON *o = item(list);
		number(o, step_key(a->step[i].kind), a->step[i].value);
		if (date_is(a->step[i].date))
			day(o, "night", a->step[i].date);
	}
}

static void lines(cJSON *root, const struct composed *m)
{
	cJSON *list = cJSON_AddArrayToObject(root, "lines");
	for (size_t k = 0; k < m->lines.n; k++) {
		const struct line *l = &m->lines.at[k];
		cJSON *o = item(list), *names = cJSON_AddArrayToObject(o, "plantings");
		for (size_t i = 0; i < l->n; i++)
			cJSON_AddItemToArray(names,
					     cJSON_CreateString(m->facts.garden->planting[l->of[i]->planting].name));
		cJSON_AddStringToObject(o, "verdict", sentence_verb(l->lead->verdict));
		day(o, "day", l->lead->day);
		instant(o, "act_by", l->lead->act_by);
		number(o, "number_c", l->lead->number_c);
		number(o, "line_c", l->lead->line_c);
		cJSON_AddBoolToObject(o, "cannot_tell", l->lead->cannot_tell);
		cJSON_AddBoolToObject(o, "news", l->lead->news);
		steps(o, l->lead);
		cJSON *again = cJSON_AddArrayToObject(o, "again");
		for (size_t i = 0; i < l->again_n; i++) {
			cJSON *night = item(again);
			day(night, "day", l->again[i]->day);
			number(night, "number_c", l->again[i]->number_c);
		}
	}
	cJSON_AddNumberToObject(root, "lines_left_out", (double)m->lines.left_out);
}

static void changes(cJSON *root, const struct composed *m)
{
	static const char *const kind[] = {[CHANGE_NIGHT] = "night",
					   [CHANGE_COVER_OFF] = "cover off",
					   [CHANGE_DATE] = "date",
					   [CHANGE_VERDICT] = "verdict"};
	cJSON *list = cJSON_AddArrayToObject(root, "changed");
	for (size_t i = 0; i < m->changes.n; i++) {
		const struct change *c = &m->changes.at[i];
		cJSON *o = item(list);
		cJSON_AddStringToObject(o, "kind", kind[c->kind]);
		cJSON_AddStringToObject(o, "planting", m->facts.garden->planting[c->planting].name);
		day(o, "night", c->night);
		number(o, "was_c", c->was_c);
		number(o, "now_c", c->now_c);
		day(o, "was_day", c->was_day);
		day(o, "now_day", c->now_day);
	}
}

static void forecast(cJSON *root, const struct forecast_state *fs)
{
	cJSON *o = cJSON_AddObjectToObject(root, "forecast");
	cJSON_AddBoolToObject(o, "any", fs->any);
	if (!fs->any)
		return;
	instant(o, "made", fs->made);
	instant(o, "received", fs->received);
	number(o, "age_h", (double)fs->age_s / HOUR_S);
	cJSON_AddBoolToObject(o, "stale", fs->stale);
	instant(o, "reaches", fs->reaches);
	cJSON_AddStringToObject(o, "title", fs->title);
	cJSON_AddStringToObject(o, "credit", fs->credit);
}

static void nights(cJSON *root, const struct season_state *s)
{
	cJSON *list = cJSON_AddArrayToObject(root, "nights");
	for (size_t i = 0; i < STATE_AHEAD; i++) {
		const struct night *n = &season_tonight(s)[i];
		cJSON *o = item(list);
		day(o, "evening", n->evening);
		number(o, "low_c", n->low_c);
		cJSON_AddNumberToObject(o, "hours_known", n->known);
		cJSON_AddNumberToObject(o, "hours_wanted", n->wanted);
		number(o, "cloud_frac", n->cloud_frac);
		number(o, "wind_ms", n->wind_ms);
	}
}

static void days(cJSON *root, const struct season_state *s)
{
	cJSON *list = cJSON_AddArrayToObject(root, "days");
	for (size_t i = 0; i < STATE_AHEAD; i++) {
		const struct day *d = &s->day[i];
		cJSON *o = item(list);
		day(o, "date", d->date);
		number(o, "high_c", d->tmax_c);
		number(o, "low_c", d->tmin_c);
		number(o, "rain_mm", d->rain_mm);
		cJSON_AddNumberToObject(o, "rain_hours_known", d->rain_known);
		number(o, "rain_chance_frac", d->rain_chance_frac);
		number(o, "wind_ms", d->wind_ms);
		number(o, "gust_ms", d->gust_ms);
	}
}

static cJSON *begun(const struct composed *m)
{
	cJSON *root = cJSON_CreateObject();
	cJSON_AddStringToObject(root, "garden", m->facts.garden->id);
	day(root, "date", m->state.today);
	instant(root, "cut", m->state.cut);
	return root;
}

/* The printed text; cJSON prints NULL where an item could not be made of want of memory. */
static enum fault_code printed(cJSON *root, struct text *t, struct fault *f)
{
	char *s = root == NULL ? NULL : cJSON_Print(root);
	cJSON_Delete(root);
	if (s == NULL)
		return fault_set(f, FAULT_MEMORY, "out of memory");
	text_add(t, s);
	text_add(t, "\n");
	cJSON_free(s);
	return FAULT_NONE;
}

enum fault_code json_morning(const struct composed *m, struct text *t, struct fault *f)
{
	cJSON *root = begun(m);
	forecast(root, &m->state.forecast);
	if (m->facts.trouble != NULL)
		cJSON_AddStringToObject(root, "trouble", m->facts.trouble);
	lines(root, m);
	changes(root, m);
	nights(root, &m->state);
	days(root, &m->state);
	return printed(root, t, f);
}

static void sum(cJSON *to, const char *key, const struct degree_sum *s)
{
	cJSON *o = cJSON_AddObjectToObject(to, key);
	/* With days missing it is no total. */
	number(o, "degree_days_c", s->missing_days > 0 ? (double)NAN : s->dd_c);
	number(o, "degree_days_known_c", s->dd_c);
	cJSON_AddNumberToObject(o, "days", s->days);
	cJSON_AddNumberToObject(o, "days_all_hours", s->hours_days);
	cJSON_AddNumberToObject(o, "days_hours_filled", s->filled_days);
	cJSON_AddNumberToObject(o, "days_from_extremes", s->extremes_days);
	cJSON_AddNumberToObject(o, "days_missing", s->missing_days);
	cJSON_AddNumberToObject(o, "days_with_forecast_hours", s->forecast_days);
}

enum fault_code json_degrees(const struct composed *m, const char *planting, struct text *t, struct fault *f)
{
	static const char *const where[] = {[PLANTING_UNDATED] = "no date",
					    [PLANTING_TO_COME] = "to come",
					    [PLANTING_IN_TRAY] = "in tray",
					    [PLANTING_OUT] = "outside",
					    [PLANTING_ENDED] = "ended"};
	cJSON *root = begun(m), *list = cJSON_AddArrayToObject(root, "plantings");
	for (size_t i = 0; i < m->state.plantings; i++) {
		const struct planting *p = &m->facts.garden->planting[i];
		const struct planting_state *ps = &m->state.planting[i];
		const struct degree_rule *rule = &m->facts.crops->at[p->crop_index].rule;
		if (planting != NULL && strcmp(planting, p->name) != 0)
			continue;
		cJSON *o = item(list);
		cJSON_AddStringToObject(o, "planting", p->name);
		cJSON_AddStringToObject(o, "crop", p->crop);
		cJSON_AddStringToObject(o, "where", where[ps->where]);
		day(o, "since", ps->since);
		number(o, "base_c", rule->base_c);
		number(o, "cap_c", rule->cap_c);
		sum(o, "warmth", &ps->warmth);
		sum(o, "last_week", &ps->last_week);
		sum(o, "coming", &ps->coming);
	}
	return printed(root, t, f);
}
