#include "cli/json.h"

#include <cjson/cJSON.h>
#include <math.h>

#include "advice/plantout.h"
#include "base/instant.h"
#include "note/sentence.h"

/* Objects are filled whatever memory says: cJSON takes NULL and does nothing, so that one look at the end is enough. */
struct writer {
	const struct note_facts *n;
	bool line; /* all on one */
	bool short_of_memory;
};

static cJSON *add(struct writer *w, cJSON *to, const char *key, cJSON *item)
{
	bool added =
	    item != NULL && (key != NULL ? cJSON_AddItemToObject(to, key, item) : cJSON_AddItemToArray(to, item)) != 0;
	if (added)
		return item;
	w->short_of_memory = true;
	cJSON_Delete(item);
	return NULL;
}

static cJSON *object(struct writer *w, cJSON *to, const char *key)
{
	return add(w, to, key, cJSON_CreateObject());
}

static cJSON *array(struct writer *w, cJSON *to, const char *key)
{
	return add(w, to, key, cJSON_CreateArray());
}

static void number(struct writer *w, cJSON *to, const char *key, double x)
{
	add(w, to, key, isfinite(x) ? cJSON_CreateNumber(x) : cJSON_CreateNull());
}

static void truth(struct writer *w, cJSON *to, const char *key, bool x)
{
	add(w, to, key, cJSON_CreateBool(x));
}

static void string(struct writer *w, cJSON *to, const char *key, const char *s)
{
	add(w, to, key, s != NULL ? cJSON_CreateString(s) : cJSON_CreateNull());
}

static void instant(struct writer *w, cJSON *to, const char *key, int64_t t)
{
	char at[INSTANT_TEXT_SIZE];
	string(w, to, key, t != INSTANT_NONE ? instant_text(t, at) : NULL);
}

static void day(struct writer *w, cJSON *to, const char *key, struct date d)
{
	char on[DATE_TEXT_SIZE];
	string(w, to, key, date_is(d) ? date_text(d, on) : NULL);
}

static void head(struct writer *w, cJSON *root)
{
	const struct garden *g = w->n->garden;
	cJSON *garden = object(w, root, "garden");
	string(w, garden, "id", g->id);
	string(w, garden, "name", g->name);
	day(w, root, "date", w->n->state->today);
	instant(w, root, "cut", w->n->state->cut);
	const struct forecast_state *fs = &w->n->state->forecast;
	if (!fs->any) {
		string(w, root, "forecast", NULL);
		return;
	}
	cJSON *forecast = object(w, root, "forecast");
	string(w, forecast, "title", fs->title);
	instant(w, forecast, "made", fs->made);
	instant(w, forecast, "received", fs->received);
	number(w, forecast, "age_h", (double)fs->age_s / HOUR_S);
	truth(w, forecast, "stale", fs->trust > TRUST_FULL);
	string(w, forecast, "trust", trust_name(fs->trust));
	instant(w, forecast, "reaches", fs->reaches);
	string(w, forecast, "credit", fs->credit);
}

static const char *const STEP_KEY[STEPS] = {
    [STEP_NIGHT_LOW] = "low_c",
    [STEP_CORRECTED] = "corrected_k",
    [STEP_AIR_LOW] = "air_low_c",
    [STEP_BED_UNDER] = "bed_under_k",
    [STEP_BED_LOW] = "bed_low_c",
    [STEP_LEAF_UNDER] = "leaf_under_k",
    [STEP_LEAF_LOW] = "leaf_low_c",
    [STEP_KILL_LINE] = "kill_line_c",
    [STEP_COVER_LINE] = "cover_line_c",
    [STEP_STALL_LINE] = "stall_line_c",
    [STEP_NIGHT_LINE] = "night_line_c",
    [STEP_MARGIN] = "margin_c",
    [STEP_DAYS_OUT] = "days_since_planted",
    [STEP_SETTLE] = "settle_days",
    [STEP_SLOW_LINE] = "slow_line_c",
    [STEP_BED_NIGHT] = "bed_night_c",
    [STEP_WANTED] = "nights_wanted",
    [STEP_HOLD] = "nights_hold_chance",
    [STEP_STALL] = "stall_chance",
    [STEP_FROST] = "frost_chance",
    [STEP_FREE] = "free_day_stall_chance",
    [STEP_AGE] = "age_days",
    [STEP_TRAY] = "tray_days",
    [STEP_MISS] = "miss_k",
    [STEP_FREEZE] = "freeze",
    [STEP_COVER_AT] = "cover_at",
    [STEP_COVER_KIND] = "cover_kind",
    [STEP_GAIN] = "cover_gain_k",
    [STEP_COVERED] = "freeze_covered",
    [STEP_OFF] = "off_by_s",
    [STEP_MAY_STAY] = "may_stay_to_c",
    [STEP_LIES] = "days_covered",
    [STEP_TIP_LEAF] = "leaf_in_cloud_c",
    [STEP_TIP_FREEZE] = "freeze_in_cloud",
    [STEP_COLD_WIND] = "cold_wind_ms",
    [STEP_WARM_AFTER] = "mean_after_c",
    [STEP_WARM_LINE] = "mean_wanted_c",
    [STEP_WARMEST] = "high_c",
    [STEP_HARDEN_LINE] = "harden_line_c",
    [STEP_HARDEN_NIGHT_LINE] = "harden_night_line_c",
    [STEP_HARDEN_DAYS] = "days_out_by_diary",
    [STEP_HARDEN_PLANNED] = "days_out_by_plan",
    [STEP_HARDEN_WANTED] = "days_out_wanted",
    [STEP_HARDEN_SHORT] = "days_out_wanting",
    [STEP_HARDEN_HOURS] = "hours_out",
    [STEP_OUT_FROM] = "out_from_s",
    [STEP_OUT_TO] = "out_to_s",
    [STEP_OUT_WARMEST] = "warmest_c",
    [STEP_OUT_GUST] = "gust_ms",
    [STEP_OUT_RAIN] = "rain_in_an_hour_mm",
    [STEP_OUT_SUN] = "sun_wm2",
    [STEP_OUT_NIGHT] = "coming_night_c",
    [STEP_OUT_STAYS] = "stays_out",
    [STEP_QUENCH] = "water_l",
    [STEP_RAIN_PAST] = "rain_past_mm",
    [STEP_RAIN_ENOUGH] = "rain_enough_mm",
    [STEP_WATERED] = "watered",
    [STEP_TUB] = "tub",
    [STEP_HOTTEST] = "hottest_c",
    [STEP_SHADE_FROM] = "shade_from_s",
    [STEP_SHADE_TO] = "shade_to_s",
    [STEP_NIGHT_PAST] = "past_night_c",
    [STEP_SOIL] = "soil_c",
    [STEP_STRAW_LINE] = "straw_soil_c",
    [STEP_BEETLE_LINE] = "beetle_line_c",
    [STEP_SEED_YEAR] = "seed_year",
    [STEP_TEST_DAYS] = "test_days",
    [STEP_SPROUTED] = "sprouted_of_ten",
    [STEP_OUT_EARLY] = "planting_out_from",
    [STEP_OUT_LATE] = "planting_out_to",
    [STEP_SOW_FROM] = "sow_from_tray_days",
    [STEP_SOW_TO] = "sow_to_tray_days",
    [STEP_SOW_READY] = "ready_tray_days",
    [STEP_FROST_HALF] = "last_frost_half_years",
    [STEP_FROST_TENTH] = "last_frost_tenth_years",
    [STEP_UP_DAYS] = "days_to_emergence",
    [STEP_SEED_LINE] = "seed_soil_line_c",
    [STEP_SEED_SOIL] = "seed_soil_c",
    [STEP_SEED_COLDEST] = "seed_soil_coldest_c",
    [STEP_SEED_READ] = "seed_soil_read",
    [STEP_LAST_SOWING] = "last_sowing_degree_days_c",
    [STEP_PICK] = "pick_days",
    [STEP_FROST_FIRST] = "first_frost_half_years",
    [STEP_SOWN] = "days_since_sown",
    [STEP_SEED_WARMTH] = "seed_c",
    [STEP_AIR_DAYS] = "days_by_air",
    [STEP_SOW_AGAIN] = "sow_again_by",
    [STEP_UP] = "days_since_up",
    [STEP_UP_RECKONED] = "days_since_up_reckoned",
    [STEP_TRUE_LEAF] = "days_since_true_leaf",
    [STEP_SPACING] = "spacing_m",
    [STEP_TRAY_FULL] = "tray_most_days",
    [STEP_GREY_DAYS] = "grey_days",
};

static void steps(struct writer *w, cJSON *to, const struct advice *a)
{
	cJSON *list = array(w, to, "steps");
	for (size_t i = 0; i < a->steps; i++) {
		const struct step *s = &a->step[i];
		cJSON *step = object(w, list, NULL);
		number(w, step, STEP_KEY[s->kind], s->value);
		if (date_is(s->date))
			day(w, step, "evening", s->date);
	}
}

static void advice(struct writer *w, cJSON *to, const struct advice *a)
{
	string(w, to, "verdict", advice_verdict(a->verdict)->word);
	day(w, to, "day", a->day);
	instant(w, to, "act_by", a->act_by);
	number(w, to, "number_c", a->number_c);
	number(w, to, "line_c", a->line_c);
	const char *figure = a->rule != CROP_TITLE ? crop_figure_key(a->rule) : NULL;
	string(w, to, "line_of", a->own_line ? "planting" : figure);
	truth(w, to, "cannot_tell", a->cannot_tell);
	truth(w, to, "news", a->news);
	steps(w, to, a);
}

static const char *name_of(const struct writer *w, const struct advice *a)
{
	return w->n->garden->planting[a->planting].name;
}

static void lines(struct writer *w, cJSON *root)
{
	cJSON *list = array(w, root, "lines");
	for (size_t k = 0; k < w->n->lines->n; k++) {
		const struct line *l = &w->n->lines->at[k];
		cJSON *line = object(w, list, NULL);
		number(w, line, "line", (double)(k + 1));
		cJSON *plantings = array(w, line, "plantings");
		for (size_t i = 0; i < l->n; i++)
			string(w, plantings, NULL, name_of(w, l->of[i]));
		advice(w, line, l->lead);
		cJSON *again = array(w, line, "again");
		for (size_t i = 0; i < l->again_n; i++) {
			cJSON *night = object(w, again, NULL);
			day(w, night, "day", l->again[i]->day);
			number(w, night, "number_c", l->again[i]->number_c);
		}
	}
	number(w, root, "lines_left_out", (double)w->n->lines->left_out);
}

/* All there is, planting by planting: also what is no news, and what did not fit in the note. */
static void all_advice(struct writer *w, cJSON *root, const struct advice_list *all)
{
	cJSON *list = array(w, root, "advice");
	for (size_t i = 0; i < all->n; i++) {
		cJSON *item = object(w, list, NULL);
		string(w, item, "planting", name_of(w, &all->at[i]));
		advice(w, item, &all->at[i]);
	}
}

static void changes(struct writer *w, cJSON *root)
{
	static const char *const kind[] = {
	    [CHANGE_NIGHT] = "night_low", [CHANGE_COVER_OFF] = "cover_off", [CHANGE_COVER_LOST] = "cover_lost",
	    [CHANGE_DATE] = "date",       [CHANGE_HARDEN] = "harden",       [CHANGE_VERDICT] = "verdict"};
	cJSON *list = array(w, root, "changes");
	for (size_t i = 0; i < w->n->changes->n; i++) {
		const struct change *c = &w->n->changes->at[i];
		cJSON *item = object(w, list, NULL);
		string(w, item, "change", kind[c->kind]);
		cJSON *plantings = array(w, item, "plantings");
		for (size_t k = 0; k < c->n; k++)
			string(w, plantings, NULL, w->n->garden->planting[c->of[k]].name);
		day(w, item, "evening", c->night);
		number(w, item, "was_c", c->was_c);
		number(w, item, "now_c", c->now_c);
		day(w, item, "was_day", c->was_day);
		day(w, item, "now_day", c->now_day);
	}
}

static void nights(struct writer *w, cJSON *root)
{
	cJSON *list = array(w, root, "nights");
	for (int i = 0; i < STATE_AHEAD; i++) {
		const struct night *n = &season_tonight(w->n->state)[i];
		cJSON *item = object(w, list, NULL);
		day(w, item, "evening", n->evening);
		number(w, item, "low_c", n->low_c);
		number(w, item, "lowest_seen_c", n->lowest_seen_c);
		truth(w, item, "complete", n->complete);
		number(w, item, "hours_known", n->known);
		number(w, item, "hours_wanted", n->wanted);
		number(w, item, "cloud_frac", n->cloud_frac);
		number(w, item, "wind_ms", n->wind_ms);
	}
}

static void days(struct writer *w, cJSON *root)
{
	cJSON *list = array(w, root, "days");
	for (int i = 0; i < STATE_AHEAD; i++) {
		const struct day *d = &w->n->state->day[i];
		cJSON *item = object(w, list, NULL);
		day(w, item, "date", d->date);
		number(w, item, "min_c", d->tmin_c);
		number(w, item, "max_c", d->tmax_c);
		number(w, item, "rain_mm", d->rain_mm);
		number(w, item, "rain_chance_frac", d->rain_chance_frac);
		number(w, item, "cloud_frac", d->cloud_frac);
		number(w, item, "wind_ms", d->wind_ms);
		number(w, item, "gust_ms", d->gust_ms);
		number(w, item, "hours_known", d->t_known);
	}
}

static enum fault_code print(struct writer *w, cJSON *root, struct text *t, struct fault *f)
{
	char *printed = NULL;
	if (!w->short_of_memory)
		printed = w->line ? cJSON_PrintUnformatted(root) : cJSON_Print(root);
	cJSON_Delete(root);
	if (printed == NULL)
		return fault_set(f, FAULT_MEMORY, "out of memory");
	text_add(t, printed);
	text_add(t, "\n");
	cJSON_free(printed);
	return FAULT_NONE;
}

enum fault_code json_morning(const struct composed *m, bool line, struct text *t, struct fault *f)
{
	cJSON *root = cJSON_CreateObject();
	struct writer w = {.n = &m->facts, .line = line, .short_of_memory = root == NULL};
	head(&w, root);
	string(&w, root, "trouble", m->facts.trouble);
	string(&w, root, "diary", m->facts.diary);
	lines(&w, root);
	all_advice(&w, root, &m->advice);
	changes(&w, root);
	nights(&w, root);
	days(&w, root);
	return print(&w, root, t, f);
}

static void sum(struct writer *w, cJSON *to, const char *key, const struct degree_sum *s)
{
	cJSON *item = object(w, to, key);
	/* With days missing it is no total. */
	number(w, item, "degree_days_c", s->missing_days > 0 ? (double)NAN : s->dd_c);
	number(w, item, "degree_days_known_c", s->dd_c);
	number(w, item, "days", s->days);
	number(w, item, "days_missing", s->missing_days);
	number(w, item, "days_with_all_hours", s->hours_days);
	number(w, item, "days_with_hours_filled", s->filled_days);
	number(w, item, "days_from_extremes", s->extremes_days);
	number(w, item, "days_on_forecast", s->forecast_days);
}

static void due(struct writer *w, cJSON *to, const char *key, const struct due *d)
{
	cJSON *item = object(w, to, key);
	day(w, item, "least", d->least);
	day(w, item, "likely", d->likely);
	day(w, item, "most", d->most);
}

static void stage(struct writer *w, cJSON *to, const struct stage_state *st)
{
	static const char *const basis[] = {[STAGE_UNKNOWN] = "unknown",
					    [STAGE_TOLD] = "diary",
					    [STAGE_FILED] = "garden file",
					    [STAGE_RECKONED] = "reckoned"};
	cJSON *item = object(w, to, "stage");
	string(w, item, "now", stage_word(st->now));
	string(w, item, "by", basis[st->basis]);
	day(w, item, "since", st->since);
	due(w, item, "up", &st->up);
	due(w, item, "true_leaf", &st->true_leaf);
	due(w, item, "male_flower", &st->male);
	due(w, item, "female_flower", &st->female);
	due(w, item, "pick", &st->pick);
	day(w, item, "fit_for_bed", st->fit);
	day(w, item, "tray_full", st->full);
	number(w, item, "emergence_days_by_air", st->air_days);
}

static void planting(struct writer *w, cJSON *list, const struct planting *p, const struct planting_state *ps)
{
	static const char *const where[] = {[PLANTING_UNDATED] = "undated",
					    [PLANTING_TO_COME] = "to come",
					    [PLANTING_IN_TRAY] = "tray",
					    [PLANTING_OUT] = "out",
					    [PLANTING_ENDED] = "ended"};
	const struct degree_rule *rule = &p->figures.rule;
	cJSON *item = object(w, list, NULL);
	string(w, item, "planting", p->name);
	string(w, item, "crop", p->crop);
	string(w, item, "where", where[ps->where]);
	day(w, item, "since", ps->since);
	number(w, item, "base_c", rule->base_c);
	number(w, item, "cap_c", rule->cap_c);
	/* What "from extremes" stands on. */
	const char *room = ps->where == PLANTING_IN_TRAY ? "room" : NULL;
	const char *station = w->n->state->station[0] != '\0' ? w->n->state->station : NULL;
	string(w, item, "extremes_from", room != NULL ? room : station);
	sum(w, item, "warmth", &ps->warmth);
	sum(w, item, "last_week", &ps->last_week);
	sum(w, item, "coming", &ps->coming);
	stage(w, item, &ps->stage);
}

enum fault_code json_degrees(const struct composed *m, const char *name, struct text *t, struct fault *f)
{
	cJSON *root = cJSON_CreateObject();
	struct writer w = {.n = &m->facts, .short_of_memory = root == NULL};
	head(&w, root);
	cJSON *list = array(&w, root, "plantings");
	const struct planting *only = name != NULL ? garden_planting(w.n->garden, name) : NULL;
	for (size_t i = 0; i < m->state.plantings; i++) {
		const struct planting *p = &w.n->garden->planting[i];
		if (only == NULL || only == p)
			planting(&w, list, p, &m->state.planting[i]);
	}
	return print(&w, root, t, f);
}

static void bed_nights(struct writer *w, cJSON *to, const struct plantday *d)
{
	static const char *const basis[] = {
	    [OUTLOOK_NONE] = NULL, [OUTLOOK_FORECAST] = "forecast", [OUTLOOK_YEARS] = "years"};
	cJSON *list = array(w, to, "nights");
	for (int i = 0; i < PLANTDAY_NIGHTS; i++) {
		cJSON *night = object(w, list, NULL);
		struct date evening = date_add(d->day, i);
		day(w, night, "evening", evening);
		number(w, night, "bed_c", d->bed[i].low_c);
		number(w, night, "spread_c", d->bed[i].spread_c);
		string(w, night, "by", basis[season_expect(w->n->state, evening).basis]);
	}
}

static void plant_day(struct writer *w, cJSON *item, const struct plantday *d)
{
	static const char *const soil[] = {
	    [SOIL_UNKNOWN] = NULL, [SOIL_READ] = "reading", [SOIL_RECKONED] = "reckoned"};
	day(w, item, "date", d->day);
	string(w, item, "verdict", plantday_word(d->verdict));
	string(w, item, "against", d->why != PLANTDAY_FIT ? plantday_against(d->why) : NULL);
	number(w, item, "line_c", d->line_c);
	number(w, item, "nights_hold_chance", d->unknown > 0 ? (double)NAN : d->hold);
	number(w, item, "nights_hold_slow_chance", d->unknown > 0 ? (double)NAN : d->hold_slow);
	number(w, item, "stall_chance", d->unknown > 0 ? (double)NAN : d->stall);
	number(w, item, "frost_chance", d->frost);
	day(w, item, "frost_to", d->frost_to);
	number(w, item, "coldest_c", d->coldest_c);
	number(w, item, "nights_under", d->under);
	number(w, item, "nights_unknown", d->unknown);
	number(w, item, "soil_c", d->soil.c);
	string(w, item, "soil_from", soil[d->soil.basis]);
	bed_nights(w, item, d);
}

static void plant_planting(struct writer *w, cJSON *list, size_t i, const int *ahead, size_t days)
{
	const struct planting *p = &w->n->garden->planting[i];
	const struct season_state *s = w->n->state;
	struct plantout out;
	plantout_days(w->n->garden, s, i, &out);
	cJSON *item = object(w, list, NULL);
	string(w, item, "planting", p->name);
	string(w, item, "crop", p->crop);
	number(w, item, "age_days", s->planting[i].age_days);
	day(w, item, "pot_to", out.pot_to);
	number(w, item, "night_line_c", p->figures.night_line_c);
	number(w, item, "slow_line_c", p->figures.slow_c);
	number(w, item, "stall_line_c", p->figures.stall_c);
	number(w, item, "kill_line_c", p->figures.kill_c);
	day(w, item, "best", out.good.day);
	day(w, item, "best_free", out.free.day);
	cJSON *of = array(w, item, "days");
	for (size_t k = 0; k < days; k++) {
		struct plantday d;
		plantday_of(w->n->garden, s, i, ahead[k], &d);
		plant_day(w, object(w, of, NULL), &d);
	}
}

enum fault_code json_plantout(const struct composed *m, const int *ahead, size_t days, struct text *t, struct fault *f)
{
	cJSON *root = cJSON_CreateObject();
	struct writer w = {.n = &m->facts, .short_of_memory = root == NULL};
	head(&w, root);
	number(&w, root, "years", m->state.climate.years);
	cJSON *list = array(&w, root, "plantings");
	for (size_t i = 0; i < m->state.plantings; i++)
		if (m->state.planting[i].where == PLANTING_IN_TRAY)
			plant_planting(&w, list, i, ahead, days);
	return print(&w, root, t, f);
}

enum fault_code json_diary(const struct entry *entries, size_t n, struct text *t, struct fault *f)
{
	cJSON *root = cJSON_CreateArray();
	struct writer w = {.short_of_memory = root == NULL};
	for (size_t i = 0; i < n; i++) {
		const struct entry *e = &entries[i];
		cJSON *item = object(&w, root, NULL);
		number(&w, item, "id", (double)e->id);
		instant(&w, item, "written", e->written);
		day(&w, item, "date", e->date);
		string(&w, item, "verb", e->verb);
		string(&w, item, "planting", e->planting[0] != '\0' ? e->planting : NULL);
		string(&w, item, "crop", e->crop[0] != '\0' ? e->crop : NULL);
		string(&w, item, "variety", e->variety[0] != '\0' ? e->variety : NULL);
		string(&w, item, "bed", e->bed[0] != '\0' ? e->bed : NULL);
		number(&w, item, "amount", e->amount);
		string(&w, item, "text", e->text);
	}
	return print(&w, root, t, f);
}
