#include "source/layouts.h"

#include <string.h>

#include "base/instant.h"
#include "base/mem.h"
#include "base/num.h"
#include "base/text.h"

static void say(char said[static LAYOUT_SAID_SIZE], const struct pointer *at, const char *what, const char *more)
{
	struct text t;
	text_over(&t, said, LAYOUT_SAID_SIZE);
	pointer_write(at, &t);
	text_add(&t, what);
	text_add(&t, more);
}

/* Seconds east of UTC as an answer gives them: a number, or a text like +02:00. */
static enum fault_code answer_offset(const struct description *d, const cJSON *root, int *offset_s, struct fault *f)
{
	const cJSON *item = pointer_get(&d->offset_at, root);
	*offset_s = d->offset_s;
	if (!d->offset_at.set)
		return FAULT_NONE;
	if (cJSON_IsString(item))
		return stamp_offset(item->valuestring, offset_s, f);
	if (!cJSON_IsNumber(item) || !(item->valuedouble >= -18.0 * HOUR_S && item->valuedouble <= 18.0 * HOUR_S))
		return fault_set(f, FAULT_DATA, "the time offset of the answer is missing or no number of seconds");
	*offset_s = (int)item->valuedouble;
	return FAULT_NONE;
}

static void widen(struct layout_line *line, int64_t begin, int64_t end)
{
	if (line->readable == 0 || begin < line->first)
		line->first = begin;
	if (line->readable == 0 || end > line->last)
		line->last = end;
	line->readable++;
}

static void read_stamps(const struct describe_line *l, const struct stamp_rule *rule, struct layout_line *line)
{
	size_t i = 0;
	struct fault why = {0};
	for (const cJSON *e = line->list->child; e != NULL; e = e->next, i++) {
		const cJSON *stamp = l->rows ? pointer_get(&l->time, e) : e;
		if (stamp_read(rule, stamp, &line->begin[i], &line->end[i], &why) == FAULT_NONE) {
			widen(line, line->begin[i], line->end[i]);
			continue;
		}
		line->begin[i] = line->end[i] = INSTANT_NONE;
		if (line->said[0] == '\0')
			say(line->said, l->rows ? &l->time : &l->list, ": ", why.text);
	}
}

static enum fault_code read_line(const struct describe_line *l, const struct stamp_rule *rule, const cJSON *root,
				 struct layout_line *line, struct fault *f)
{
	const cJSON *list = pointer_get(&l->list, root);
	line->first = line->last = INSTANT_NONE;
	if (!cJSON_IsArray(list)) {
		say(line->said, &l->list, list == NULL ? " is not in the answer" : " is no array in the answer", "");
		return FAULT_NONE;
	}
	line->list = list;
	for (const cJSON *e = list->child; e != NULL; e = e->next)
		line->n++;
	if (line->n == 0)
		return FAULT_NONE;
	line->begin = mem_new(2 * line->n, sizeof *line->begin);
	if (line->begin == NULL)
		return fault_set(f, FAULT_MEMORY, "no memory for %zu stamps", line->n);
	line->end = line->begin + line->n;
	read_stamps(l, rule, line);
	return FAULT_NONE;
}

enum fault_code layouts_read(const struct description *d, const cJSON *root, const struct zone *zone,
			     struct layout_line line[static DESCRIBE_VARS_MAX], struct fault *f)
{
	memset(line, 0, DESCRIBE_VARS_MAX * sizeof *line);
	for (size_t i = 0; i < d->lines; i++) {
		struct stamp_rule rule = {.format = d->line[i].format, .zone = zone};
		if (rule.format == STAMP_LOCAL && answer_offset(d, root, &rule.offset_s, f))
			return f->code;
		if (read_line(&d->line[i], &rule, root, &line[i], f))
			return f->code;
	}
	return FAULT_NONE;
}

void layouts_free(const struct description *d, struct layout_line line[static DESCRIBE_VARS_MAX])
{
	for (size_t i = 0; i < d->lines; i++)
		mem_free(line[i].begin);
}

static bool begin_arrays(const struct describe_way *way, const cJSON *root, const struct layout_line *line,
			 struct layout_walk *walk, char said[static LAYOUT_SAID_SIZE])
{
	const cJSON *values = pointer_get(&way->value, root);
	if (!cJSON_IsArray(values)) {
		say(said, &way->value, values == NULL ? " is not in the answer" : " is no array in the answer", "");
		return false;
	}
	size_t n = (size_t)cJSON_GetArraySize(values);
	if (n != line->n) {
		struct text t;
		text_over(&t, said, LAYOUT_SAID_SIZE);
		pointer_write(&way->value, &t);
		text_addf(&t, " has %zu values beside %zu stamps", n, line->n);
		return false;
	}
	walk->row = values->child;
	return true;
}

bool layout_begin(const struct description *d, const struct describe_var *v, size_t way, const cJSON *root,
		  const struct layout_line *line, struct layout_walk *walk, char said[static LAYOUT_SAID_SIZE])
{
	*walk = (struct layout_walk){.line = line, .rows = d->line[v->line].rows, .value = &v->way[way].value};
	if (line->list == NULL || (line->n > 0 && line->readable == 0)) {
		memcpy(said, line->said, LAYOUT_SAID_SIZE);
		return false;
	}
	if (!walk->rows)
		return begin_arrays(&v->way[way], root, line, walk, said);
	walk->row = line->list->child;
	walk->unless = v->only_if_missing.set ? &v->only_if_missing : NULL;
	return true;
}

bool layout_next(struct layout_walk *walk, struct layout_item *item)
{
	const cJSON *row = walk->row;
	if (row == NULL)
		return false;
	item->i = walk->i++;
	item->begin = walk->line->begin[item->i];
	item->end = walk->line->end[item->i];
	item->value = walk->rows ? pointer_get(walk->value, row) : cJSON_IsNull(row) ? NULL : row;
	item->barred = walk->unless != NULL && pointer_get(walk->unless, row) != NULL;
	walk->row = row->next;
	return true;
}

void layout_span(const struct describe_var *v, size_t way, const struct layout_item *item, int64_t *begin, int64_t *end)
{
	int64_t period = v->way[way].period_s;
	*begin = v->mark == MARK_END ? item->begin - period : item->begin;
	*end = v->mark == MARK_BEGIN ? item->begin + period : item->end;
}
