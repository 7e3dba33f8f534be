#include "source/answer.h"

#include <math.h>
#include <string.h>

#include <cjson/cJSON.h>

#include "base/instant.h"
#include "base/mem.h"
#include "base/num.h"
#include "source/json.h"
#include "source/kinds.h"
#include "source/layouts.h"

_Static_assert(DESCRIBE_PIECE_MAX * 24 + 1 <= ANSWER_HOURS_MAX, "the longest piece fits an answer");

/* What the functions below hand each other while one answer is decoded. */
struct decode {
	const struct description *d;
	const struct answer_given *given;
	const cJSON *root;
	struct layout_line line[DESCRIBE_VARS_MAX];
	struct kinds_room room;
	struct issue *out;
	struct answer_report *rep;
};

void answer_init(void)
{
	cJSON_Hooks hooks = {.malloc_fn = mem_raw, .free_fn = mem_free};
	cJSON_InitHooks(&hooks);
}

/* What a row has to say, written anew. */
static struct text say(struct answer_row *row)
{
	struct text t;
	text_over(&t, row->said, sizeof row->said);
	return t;
}

/* Numbers */

enum number { NUMBER_FINE, NUMBER_MISSING, NUMBER_BAD };

static enum number read_number(const struct describe_var *v, const cJSON *item, double *x)
{
	if (item == NULL)
		return NUMBER_MISSING;
	if (cJSON_IsNumber(item)) {
		*x = item->valuedouble;
	} else if (v->lenient && cJSON_IsString(item)) {
		struct fault ignored = {0};
		if (*item->valuestring == '\0')
			return NUMBER_MISSING;
		if (num_double(item->valuestring, -1e300, 1e300, x, &ignored))
			return NUMBER_BAD;
	} else {
		return NUMBER_BAD;
	}
	for (size_t i = 0; i < v->missings; i++)
		if (*x == v->missing[i])
			return NUMBER_MISSING;
	return NUMBER_FINE;
}

/* The unit of a section: of the description, or as the answer spells it.  False where there is none to be had. */
static bool find_unit(const struct decode *c, const struct describe_var *v, struct unit *u, struct answer_row *row)
{
	const cJSON *item = v->unit_at.set ? pointer_get(&v->unit_at, c->root) : NULL;
	struct text t;
	*u = v->unit;
	text_over(&t, row->unit, sizeof row->unit);
	if (!v->unit_at.set) {
		text_add(&t, v->unit_text);
		return true;
	}
	if (!cJSON_IsString(item)) {
		t = say(row);
		text_add(&t, "unit: ");
		pointer_write(&v->unit_at, &t);
		text_add(&t, " is not in the answer");
		return false;
	}
	/* The service's own spelling is shown, so it must be harmless: a fault's text is. */
	struct fault shown = {0};
	fault_set(&shown, FAULT_DATA, "%s", item->valuestring);
	text_add(&t, shown.text);
	if (unit_find(item->valuestring, var_row(v->var)->family, u))
		return true;
	t = say(row);
	text_addf(&t, "unit \"%s\" is not known for %s", row->unit, var_row(v->var)->name);
	return false;
}

/* In range, an amount by the hour. */
static bool in_range(const struct describe_var *v, double x, int64_t seconds)
{
	if (v->kind == KIND_TOTAL && seconds > HOUR_S)
		x *= (double)HOUR_S / (double)seconds;
	return var_in_range(v->var, x);
}

/* One section */

struct section {
	struct decode *c;
	const struct describe_var *v;
	struct answer_row *row;
	struct kinds kinds;
	struct unit unit;
	bool unit_found, unit_asked;
};

/* False: the section is refused. */
static bool take_item(struct section *s, size_t way, const struct layout_item *item)
{
	double x = (double)NAN;
	int64_t begin, end;
	enum number number = read_number(s->v, item->value, &x);
	if (number == NUMBER_MISSING)
		return true;
	s->c->room.seen[item->i] = 1;
	if (item->barred) {
		s->row->skipped++;
		return true;
	}
	if (!s->unit_asked) {
		s->unit_found = find_unit(s->c, s->v, &s->unit, s->row);
		s->unit_asked = true;
	}
	if (!s->unit_found)
		return false;
	layout_span(s->v, way, item, &begin, &end);
	if (number == NUMBER_FINE)
		x = unit_inside(&s->unit, x, (double)(end - begin));
	if (number == NUMBER_BAD || item->begin == INSTANT_NONE || !in_range(s->v, x, end - begin)) {
		s->row->dropped++;
		return true;
	}
	kinds_put(&s->kinds, item->i, begin, end, x);
	return true;
}

/* False: the section is refused, its row says why. */
static bool take_way(struct section *s, size_t way, struct layout_walk *walk)
{
	struct layout_item item;
	kinds_way(&s->kinds, way);
	while (layout_next(walk, &item))
		if (!take_item(s, way, &item))
			return false;
	if (kinds_way_end(&s->kinds))
		return true;
	struct text t = say(s->row);
	text_add(&t, "amounts overlap: the same rain would be counted twice");
	return false;
}

static void count_missing(struct section *s, const struct layout_line *line)
{
	s->row->items = line->n;
	for (size_t i = 0; i < line->n; i++)
		s->row->missing += s->c->room.seen[i] == 0;
}

/* A section that gives no hour says why. */
static void explain(const struct section *s, const struct layout_line *line)
{
	const struct describe_line *l = &s->c->d->line[s->v->line];
	if (s->row->hours > 0 || s->row->said[0] != '\0')
		return;
	struct text t = say(s->row);
	if (line->n == 0) {
		pointer_write(&l->list, &t);
		text_add(&t, " is empty");
	} else if (s->row->missing == line->n) {
		pointer_write(&s->v->way[0].value, &t);
		text_addf(&t, " is in none of %zu %s", line->n, l->rows ? "rows" : "places");
	} else {
		text_addf(&t, "none of %zu values can be used", line->n - s->row->missing);
	}
}

static void take_section(struct decode *c, const struct describe_var *v, struct answer_row *row)
{
	struct section s = {.c = c, .v = v, .row = row};
	const struct layout_line *line = &c->line[v->line];
	size_t used = 0;
	kinds_begin(&s.kinds, v, c->out, row, &c->room);
	memset(c->room.seen, 0, line->n);
	for (size_t i = 0; i < v->ways && !row->refused; i++) {
		struct layout_walk walk;
		if (!layout_begin(c->d, v, i, c->root, line, &walk, row->said))
			continue;
		used++;
		row->refused = !take_way(&s, i, &walk);
	}
	row->refused = row->refused || used == 0;
	if (row->refused)
		return;
	count_missing(&s, line);
	if (row->said[0] == '\0')
		memcpy(row->said, line->said, sizeof row->said);
	kinds_end(&s.kinds);
	explain(&s, line);
}

/* The whole */

/* The hours that one section may speak of. */
static bool section_span(const struct decode *c, const struct describe_var *v, int64_t *first, int64_t *end)
{
	const struct layout_line *line = &c->line[v->line];
	int64_t longest = 0;
	if (line->readable == 0)
		return false;
	for (size_t i = 0; i < v->ways; i++)
		if (v->way[i].period_s > longest)
			longest = v->way[i].period_s;
	*first = instant_hour(line->first - (v->mark == MARK_END ? longest : 0));
	*end = instant_hour(line->last + (v->mark == MARK_BEGIN ? longest : 0) + HOUR_S - 1);
	if (v->mark == MARK_INSTANT)
		*end = instant_hour(line->last) + HOUR_S;
	return true;
}

static enum fault_code make_hours(struct decode *c, struct fault *f)
{
	int64_t first = INT64_MAX, end = INT64_MIN;
	size_t items = 0;
	for (size_t i = 0; i < c->d->vars; i++) {
		int64_t from, to;
		if (c->line[c->d->var[i].line].n > items)
			items = c->line[c->d->var[i].line].n;
		if (!section_span(c, &c->d->var[i], &from, &to))
			continue;
		first = from < first ? from : first;
		end = to > end ? to : end;
	}
	if (first >= end)
		first = end = 0;
	if ((end - first) / HOUR_S > ANSWER_HOURS_MAX)
		return fault_set(f, FAULT_DATA, "the answer spans %lld days; at most %d",
				 (long long)((end - first) / DAY_S), ANSWER_HOURS_MAX / 24);
	size_t n = (size_t)((end - first) / HOUR_S);
	if (hours_init(&c->out->hours, first, n, f) || kinds_room_init(&c->room, n, items, f))
		return f->code;
	return FAULT_NONE;
}

static bool hour_is_empty(const struct hours *h, size_t i)
{
	for (size_t v = 0; v < VARS; v++)
		if (!isnan(h->value[v][i]))
			return false;
	return true;
}

/* Take empty hours off both ends; the block behind stays as it is. */
static void trim(struct hours *h)
{
	size_t from = 0;
	while (h->n > 0 && hour_is_empty(h, h->n - 1))
		h->n--;
	while (from < h->n && hour_is_empty(h, from))
		from++;
	for (size_t v = 0; v < VARS && h->n > 0; v++) {
		h->value[v] += from;
		h->origin[v] += from;
	}
	h->n -= from;
	h->first += (int64_t)from * HOUR_S;
}

static double cell_number(const struct pointer *at, const cJSON *root, double limit)
{
	const cJSON *item = at->set ? pointer_get(at, root) : NULL;
	return item != NULL && cJSON_IsNumber(item) && fabs(item->valuedouble) <= limit ? item->valuedouble
											: (double)NAN;
}

static double cell_elevation(const struct description *d, const cJSON *root)
{
	enum { LIMIT = 30000 }; /* of any unit of height: feet are the smallest in use */
	struct unit u = d->cell_unit;
	double x = cell_number(&d->cell_elevation, root, LIMIT);
	if (d->cell_unit_at.set) {
		const cJSON *unit = pointer_get(&d->cell_unit_at, root);
		if (!cJSON_IsString(unit) || !unit_find(unit->valuestring, UNIT_LENGTH, &u))
			return (double)NAN;
	}
	return unit_inside(&u, x, (double)NAN);
}

/* All of an issue but its hours. */
static void tell_issue(const struct decode *c)
{
	const struct description *d = c->d;
	struct issue *out = c->out;
	struct fault ignored = {0};
	memcpy(out->source, d->name, sizeof out->source);
	memcpy(out->title, d->title, sizeof out->title);
	memcpy(out->credit, d->credit, sizeof out->credit);
	out->received = c->given->received;
	out->max_age_s = d->max_age_s;
	out->past = d->past;
	out->observed_after_s = d->observed_after_s;
	if (!d->updated.set || stamp_instant(pointer_get(&d->updated, c->root), &out->issued, &ignored))
		out->issued = INSTANT_NONE;
	out->cell_latitude = cell_number(&d->cell_latitude, c->root, 90);
	out->cell_longitude = cell_number(&d->cell_longitude, c->root, 360);
	out->cell_elevation_m = cell_elevation(d, c->root);
}

/* An answer without air temperature is none: say why as well as it can be known. */
static enum fault_code check_air(const struct decode *c, struct fault *f)
{
	char error[ANSWER_ERROR_SIZE];
	const char *why = "";
	for (size_t i = c->d->vars; i-- > 0;) {
		const struct answer_row *row = &c->rep->row[i];
		if (row->var == VAR_AIR_TEMPERATURE && row->hours > 0)
			return FAULT_NONE;
		if (row->var == VAR_AIR_TEMPERATURE)
			why = row->said;
	}
	if (json_said(c->d->error, c->d->errors, c->root, error, sizeof error))
		return fault_set(f, FAULT_DATA, "the service says: %s", error);
	return fault_set(f, FAULT_DATA, "no usable air temperature%s%s%s", *why == '\0' ? "" : ": ", why,
			 cJSON_IsArray(c->root) ? " (the answer is an array)" : "");
}

static enum fault_code decode_root(struct decode *c, struct fault *f)
{
	if (layouts_read(c->d, c->root, c->given->zone, c->line, f) || make_hours(c, f))
		return f->code;
	tell_issue(c);
	for (size_t i = 0; i < c->d->vars; i++)
		take_section(c, &c->d->var[i], &c->rep->row[i]);
	trim(&c->out->hours);
	return check_air(c, f);
}

static void begin_report(const struct description *d, struct answer_report *rep)
{
	*rep = (struct answer_report){.n = d->vars};
	for (size_t i = 0; i < d->vars; i++) {
		struct answer_row *row = &rep->row[i];
		row->var = d->var[i].var;
		row->at_line = d->var[i].at_line;
		row->first = row->last = INSTANT_NONE;
		row->min = row->max = (double)NAN;
		if (d->var[i].kind != KIND_TOTAL)
			row->amount_in = row->amount_out = row->amount_skipped = (double)NAN;
	}
}

enum fault_code answer_decode(const struct description *d, const struct answer_given *given, struct issue *out,
			      struct answer_report *rep, struct fault *f)
{
	struct decode c = {.d = d, .given = given, .out = out, .rep = rep};
	cJSON *root = NULL;
	issue_init(out);
	begin_report(d, rep);
	if (given->n != d->steps && given->n != 1)
		return fault_set(f, FAULT_USAGE, "%zu answers for %zu requests; give one for each, in order", given->n,
				 d->steps);
	size_t body = given->n == 1 ? 0 : d->data_step;
	if (json_read(given->bodies[body], given->sizes[body], &root, f))
		return f->code;
	c.root = root;
	enum fault_code code = decode_root(&c, f);
	kinds_room_free(&c.room);
	layouts_free(d, c.line);
	cJSON_Delete(root);
	if (code != FAULT_NONE)
		issue_free(out);
	return code;
}

bool answer_error(const struct description *d, const char *body, size_t n, char said[static ANSWER_ERROR_SIZE])
{
	cJSON *root = NULL;
	struct fault ignored = {0};
	if (json_read(body, n, &root, &ignored))
		return false;
	bool found = json_said(d->error, d->errors, root, said, ANSWER_ERROR_SIZE);
	cJSON_Delete(root);
	return found;
}
