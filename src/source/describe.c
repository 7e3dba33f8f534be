#include "source/describe.h"

#include <string.h>

#include "base/ini.h"
#include "base/suggest.h"
#include "net/address.h"
#include "source/keys.h"
#include "source/template.h"

enum { PIECE_DAYS = 31 };

/* What the functions below hand each other while one file is read. */
struct parse {
	const struct ini *doc;
	struct description *d;
	struct faults *all;
	const struct ini_section *source, *data; /* NULL where there is none */
	struct draft defaults;                   /* what [data] gives to every [var] */
};

static void copy_cut(char *to, size_t size, const char *s, size_t n)
{
	if (n >= size)
		n = size - 1;
	memcpy(to, s, n);
	to[n] = '\0';
}

static void name_after_file(struct description *d, const char *file)
{
	const char *slash = strrchr(file, '/');
	const char *base = slash != NULL ? slash + 1 : file;
	const char *dot = strrchr(base, '.');
	size_t n = dot != NULL && strcmp(dot, ".ini") == 0 ? (size_t)(dot - base) : strlen(base);
	copy_cut(d->file, sizeof d->file, file, strlen(file));
	copy_cut(d->name, sizeof d->name, base, n);
}

/* Sections */

static const char *const section_kinds[] = {"source", "step", "data", "var"};

static const struct ini_section *only_section(const struct parse *p, const char *kind)
{
	const struct ini_section *found = NULL;
	for (size_t i = 0; i < p->doc->sections; i++) {
		const struct ini_section *s = &p->doc->section[i];
		if (strcmp(s->kind, kind) != 0)
			continue;
		if (found != NULL)
			ini_fault(p->doc, s->line, p->all, "[%s] is given twice, first in line %d", kind, found->line);
		else if (*s->name != '\0')
			ini_fault(p->doc, s->line, p->all, "[%s] has no name after it", kind);
		if (found == NULL)
			found = s;
	}
	if (found == NULL)
		ini_fault(p->doc, 1, p->all, "there is no [%s]", kind);
	return found;
}

static void check_kinds(const struct parse *p)
{
	for (size_t i = 0; i < p->doc->sections; i++) {
		const struct ini_section *s = &p->doc->section[i];
		bool known = false;
		for (size_t k = 0; k < 4; k++)
			known = known || strcmp(s->kind, section_kinds[k]) == 0;
		if (known)
			continue;
		const char *near = suggest(s->kind, section_kinds, 4);
		ini_fault(p->doc, s->line, p->all, "[%s] is not known; %s%s", s->kind,
			  near != NULL ? "did you mean " : "there are [source], [step], [data] and ",
			  near != NULL ? near : "[var]");
	}
}

static void read_source(struct parse *p)
{
	const struct ini_section *s = only_section(p, "source");
	if (s == NULL)
		return;
	p->source = s;
	p->d->piece_days = PIECE_DAYS;
	keys_read(p->doc, s, SECTION_SOURCE, (struct keys_target){.d = p->d}, p->all);
	if (ini_find(p->doc, s, "title") == NULL)
		ini_fault(p->doc, s->line, p->all, "[source] wants title");
	if (ini_find(p->doc, s, "credit") == NULL)
		ini_fault(p->doc, s->line, p->all, "[source] wants credit, the line that a note must print");
}

/* Steps */

static size_t step_named(const struct description *d, const char *name, size_t before)
{
	size_t i = 0;
	while (i < before && strcmp(d->step[i].name, name) != 0)
		i++;
	return i;
}

static bool set_before(const struct description *d, size_t step, const struct template_part *part)
{
	for (size_t i = 0; i < step; i++)
		for (size_t j = 0; j < d->step[i].sets; j++)
			if (template_part_is(part, d->step[i].set[j].name))
				return true;
	return false;
}

static bool plan_name(const struct template_part *part)
{
	static const char *const names[] = {"lat", "lon", "alt", "vars", "start", "end"};
	for (size_t i = 0; i < sizeof names / sizeof names[0]; i++)
		if (template_part_is(part, names[i]))
			return true;
	return false;
}

static bool url_lists_vars(const struct description *d)
{
	for (size_t i = 0; i < d->steps; i++)
		if (strstr(d->step[i].url, "{vars}") != NULL)
			return true;
	return false;
}

/* Whether it can be asked for days; what is said of them wants that. */
static void check_days(const struct parse *p)
{
	static const char *const keys[] = {"piece", "lag"};
	const char *url = p->d->step[p->d->data_step].url;
	p->d->dated = strstr(url, "{start}") != NULL && strstr(url, "{end}") != NULL;
	for (size_t i = 0; i < 2 && p->source != NULL && !p->d->dated; i++) {
		const struct ini_entry *e = ini_find(p->doc, p->source, keys[i]);
		if (e != NULL)
			ini_fault(p->doc, e->line, p->all, "%s wants {start} and {end} in the url of the data",
				  keys[i]);
	}
}

/* Scheme and host must be written out: no variable may move a request to another host. */
static bool host_is_written(const char *url)
{
	const char *host = strstr(url, "://");
	if (host == NULL)
		return true; /* address_check says what is wrong */
	host += 3;
	return strcspn(host, "{") >= strcspn(host, "/?#");
}

static void check_address(const struct parse *p, size_t i, int line)
{
	struct description *d = p->d;
	const struct describe_step *step = &d->step[i];
	struct fault f = {0};
	struct template_part part;
	const char *at = step->url;
	if (template_is_variable(at, &part) && i > 0)
		return;
	if (!host_is_written(step->url)) {
		ini_fault(p->doc, line, p->all, "url: scheme and host must be written out");
		return;
	}
	if (i == 0)
		d->loopback = address_is_loopback(step->url);
	if (address_check(step->url, d->loopback, &f))
		ini_fault(p->doc, line, p->all, "url: %s", f.text);
	else if (d->loopback && !address_same_host(step->url, d->step[0].url))
		ini_fault(p->doc, line, p->all, "url: not on the loopback host and port of the first step");
}

static void check_url(const struct parse *p, size_t i, const struct ini_entry *e)
{
	const struct describe_step *step = &p->d->step[i];
	struct fault f = {0};
	struct template_part part;
	if (template_check(step->url, &f)) {
		ini_fault(p->doc, e->line, p->all, "url: %s", f.text);
		return;
	}
	for (const char *at = step->url; template_next(&at, &part);)
		if (part.variable && !plan_name(&part) && !set_before(p->d, i, &part))
			ini_fault(p->doc, e->line, p->all,
				  "url: no earlier step sets {%.*s}; there are {lat} {lon} {alt} {vars} {start} {end}",
				  (int)part.n, part.s);
	check_address(p, i, e->line);
}

static void read_step(struct parse *p, const struct ini_section *s)
{
	struct description *d = p->d;
	if (d->steps == DESCRIBE_STEPS_MAX) {
		ini_fault(p->doc, s->line, p->all, "more than %d steps", DESCRIBE_STEPS_MAX);
		return;
	}
	struct describe_step *step = &d->step[d->steps];
	step->line = s->line;
	if (*s->name == '\0' || strlen(s->name) >= sizeof step->name)
		ini_fault(p->doc, s->line, p->all, "a step wants a name of at most %zu bytes, as in [step forecast]",
			  sizeof step->name - 1);
	else if (step_named(d, s->name, d->steps) < d->steps)
		ini_fault(p->doc, s->line, p->all, "[step %s] is given twice", s->name);
	copy_cut(step->name, sizeof step->name, s->name, strlen(s->name));
	step->from_day = -2;
	step->to_day = 7;
	keys_read(p->doc, s, SECTION_STEP, (struct keys_target){.d = d, .step = step}, p->all);
	const struct ini_entry *url = ini_find(p->doc, s, "url");
	if (url == NULL)
		ini_fault(p->doc, s->line, p->all, "[step %s] wants url", s->name);
	else if (*step->url != '\0')
		check_url(p, d->steps, url);
	if (*step->forget != '\0' && step_named(d, step->forget, d->steps) == d->steps)
		ini_fault(p->doc, s->line, p->all, "on_404: there is no earlier step \"%s\"", step->forget);
	d->steps++;
}

static void read_steps(struct parse *p)
{
	for (size_t i = 0; i < p->doc->sections; i++)
		if (strcmp(p->doc->section[i].kind, "step") == 0)
			read_step(p, &p->doc->section[i]);
	if (p->d->steps == 0)
		ini_fault(p->doc, 1, p->all, "there is no [step NAME] with a url");
}

static void read_data(struct parse *p)
{
	struct description *d = p->d;
	p->data = only_section(p, "data");
	d->data_step = d->steps == 0 ? 0 : d->steps - 1;
	/* The height of a cell is in metres where nothing is said. */
	d->cell_unit = (struct unit){.family = UNIT_LENGTH, .factor = 1};
	if (p->data == NULL)
		return;
	keys_read(p->doc, p->data, SECTION_DATA, (struct keys_target){.d = d, .draft = &p->defaults}, p->all);
	const struct ini_entry *after = ini_find(p->doc, p->data, "observed_after");
	if (after != NULL && d->past != ISSUE_PAST_OBSERVED)
		ini_fault(p->doc, after->line, p->all, "observed_after wants past = observed");
	if (*d->time_zone != '\0' && ini_find(p->doc, p->data, "time_offset") != NULL)
		ini_fault(p->doc, p->data->line, p->all, "time_offset and time_zone exclude each other");
}

/* Variables */

/* Bits of enum describe_kind that make sense for a variable. */
static unsigned kinds_of(enum var v)
{
	const struct var_row *row = var_row(v);
	if (row->kind == VAR_WINDOW)
		return 1u << KIND_MIN;
	if (row->kind == VAR_STATE)
		return 1u << KIND_INSTANT | 1u << KIND_HOLD | 1u << KIND_MEAN | 1u << KIND_MAX;
	if (row->family == UNIT_WATER)
		return 1u << KIND_TOTAL;
	if (row->family == UNIT_FRACTION)
		return 1u << KIND_PROB;
	return 1u << KIND_MEAN | 1u << KIND_HOLD;
}

static void check_kind(const struct parse *p, const struct draft *v, const char *name)
{
	char mem[80];
	struct text words;
	unsigned kinds = kinds_of(v->v.var);
	text_over(&words, mem, sizeof mem);
	for (unsigned k = 0; k < KINDS; k++)
		if (kinds & 1u << k)
			text_addf(&words, "%s%s", words.len == 0 ? "" : ", ", describe_kind_name[k]);
	if (!v->kind_given)
		ini_fault(p->doc, v->v.at_line, p->all, "[var %s] wants kind: %s", name, words.at);
	else if (!(kinds & 1u << v->v.kind))
		ini_fault(p->doc, v->v.at_line, p->all, "kind = %s makes no sense for %s; write %s",
			  describe_kind_name[v->v.kind], name, words.at);
}

static size_t periods_of(const struct describe_var *v)
{
	size_t n = 0;
	for (size_t i = 0; i < v->ways; i++)
		n += v->way[i].period_s > 0;
	return n;
}

/* A stamp that needs a period: what it marks, and one period for each value. */
static void check_period(const struct parse *p, const struct draft *v, const char *name)
{
	int line = v->v.at_line;
	if (!v->mark_given || v->v.mark == MARK_INSTANT)
		ini_fault(p->doc, line, p->all, "[var %s] wants stamp = begin or end: what the stamp marks", name);
	else if (periods_of(&v->v) < v->v.ways)
		ini_fault(p->doc, line, p->all, "[var %s] wants period, as in period = PT1H (one for each value)",
			  name);
}

/* What a stamp marks, from format, kind and `stamp`; and whether the periods fit that. */
static void check_mark(const struct parse *p, struct draft *v, const char *name)
{
	int line = v->v.at_line;
	bool interval = v->format == STAMP_INTERVAL, instant = v->v.kind == KIND_INSTANT;
	bool told = periods_of(&v->v) > 0 || (v->mark_given && v->v.mark != MARK_INSTANT);
	if (!interval && !instant) {
		check_period(p, v, name);
		return;
	}
	if (interval && instant)
		ini_fault(p->doc, line, p->all, "[var %s] kind = instant with intervals; write hold", name);
	else if (told)
		ini_fault(p->doc, line, p->all, "[var %s] %s: stamp and period have no meaning here", name,
			  interval ? "an interval tells its period" : "kind = instant");
	v->v.mark = interval ? MARK_INTERVAL : MARK_INSTANT;
}

static void check_fill(const struct parse *p, const struct draft *v, const char *name)
{
	if (v->v.fill && v->v.kind != KIND_INSTANT)
		ini_fault(p->doc, v->v.at_line, p->all, "[var %s] fill = linear is for kind = instant alone", name);
	if (v->v.fill && v->v.max_gap_s == 0)
		ini_fault(p->doc, v->v.at_line, p->all, "[var %s] fill = linear wants max_gap, as in max_gap = PT6H",
			  name);
	if (!v->v.fill && v->v.max_gap_s > 0)
		ini_fault(p->doc, v->v.at_line, p->all, "[var %s] max_gap wants fill = linear", name);
}

static void check_place(const struct parse *p, const struct draft *v, const char *name)
{
	int line = v->v.at_line;
	for (size_t i = 0; i < v->v.ways; i++)
		if (!v->v.way[i].value.set)
			ini_fault(p->doc, line, p->all, "[var %s] has no value%s.%zu", name, v->arrays ? "s" : "",
				  i + 1);
	if (!v->format_given)
		ini_fault(p->doc, line, p->all, "[var %s] wants time_format (here or in [data])", name);
	if (v->arrays) {
		if (!v->times.set)
			ini_fault(p->doc, line, p->all, "[var %s] wants times beside values (here or in [data])", name);
		if (v->v.only_if_missing.set)
			ini_fault(p->doc, line, p->all, "[var %s] only_if_missing is for rows", name);
		return;
	}
	if (v->v.ways == 0)
		ini_fault(p->doc, line, p->all, "[var %s] wants values (parallel arrays) or value (rows)", name);
	if (!v->rows.set)
		ini_fault(p->doc, line, p->all, "[var %s] wants rows (here or in [data])", name);
	if (!v->time.set)
		ini_fault(p->doc, line, p->all, "[var %s] wants time, the stamp of a row (here or in [data])", name);
}

/* Variables that share their stamps share a line, which is decoded once. */
static size_t line_of(struct description *d, const struct draft *v)
{
	struct describe_line line = {.rows = !v->arrays, .format = v->format};
	line.list = v->arrays ? v->times : v->rows;
	if (line.rows)
		line.time = v->time;
	for (size_t i = 0; i < d->lines; i++) {
		const struct describe_line *l = &d->line[i];
		if (l->rows == line.rows && l->format == line.format && pointer_same(&l->list, &line.list) &&
		    pointer_same(&l->time, &line.time))
			return i;
	}
	d->line[d->lines] = line;
	return d->lines++;
}

/* A service that is asked by name is asked for the arrays that are read, where nothing else is said. */
static void check_ask(const struct parse *p, struct draft *v, const char *name)
{
	bool asked = url_lists_vars(p->d);
	if (!asked && *v->v.ask != '\0')
		ini_fault(p->doc, v->v.at_line, p->all, "[var %s] ask: no url has {vars}", name);
	if (!asked || *v->v.ask != '\0')
		return;
	struct text list;
	text_over(&list, v->v.ask, sizeof v->v.ask);
	for (size_t i = 0; v->arrays && i < v->v.ways; i++)
		text_addf(&list, "%s%s", i == 0 ? "" : ",", pointer_last(&v->v.way[i].value));
	if (list.len == 0 || list.full)
		ini_fault(p->doc, v->v.at_line, p->all, "[var %s] wants ask, the service's name of it for {vars}",
			  name);
}

/* [var NAME]: false where the name is not one of the table. */
static bool name_var(const struct parse *p, const struct ini_section *s, enum var *v)
{
	const char *known[VARS];
	size_t n = 0;
	*v = var_named(s->name);
	if (*v != VARS && var_row(*v)->described)
		return true;
	for (int i = 0; i < VARS; i++)
		if (var_row((enum var)i)->described)
			known[n++] = var_row((enum var)i)->name;
	const char *near = suggest(s->name, known, n);
	ini_fault(p->doc, s->line, p->all, "variable \"%s\" is not known; %s %s", s->name,
		  near != NULL ? "did you mean" : "names are as CF has them, as", near != NULL ? near : known[0]);
	return false;
}

static void read_var(struct parse *p, const struct ini_section *s)
{
	struct description *d = p->d;
	struct draft v = p->defaults;
	if (!name_var(p, s, &v.v.var))
		return;
	if (d->vars == DESCRIBE_VARS_MAX) {
		ini_fault(p->doc, s->line, p->all, "more than %d [var] sections", DESCRIBE_VARS_MAX);
		return;
	}
	v.v.at_line = s->line;
	if (ini_find(p->doc, s, "values") != NULL)
		v.v.ways = 0; /* [data] may have given the value of rows */
	size_t faults = p->all->n;
	keys_read(p->doc, s, SECTION_VAR, (struct keys_target){.d = d, .draft = &v}, p->all);
	if (p->all->n > faults)
		return; /* what follows would only repeat it */
	if (ini_find(p->doc, s, "value") != NULL && v.arrays)
		ini_fault(p->doc, s->line, p->all, "[var %s] value and values exclude each other", s->name);
	if (!v.unit_given)
		ini_fault(p->doc, s->line, p->all, "[var %s] wants unit, as in unit = %s", s->name,
			  unit_proposal(var_row(v.v.var)->family));
	check_kind(p, &v, s->name);
	check_place(p, &v, s->name);
	check_fill(p, &v, s->name);
	check_ask(p, &v, s->name);
	if (v.kind_given && v.format_given)
		check_mark(p, &v, s->name);
	v.v.line = line_of(d, &v);
	d->var[d->vars++] = v.v;
}

static void check_local(const struct parse *p)
{
	const struct description *d = p->d;
	for (size_t i = 0; i < d->lines; i++)
		if (d->line[i].format == STAMP_LOCAL && *d->time_zone == '\0' && p->data != NULL &&
		    ini_find(p->doc, p->data, "time_offset") == NULL) {
			ini_fault(p->doc, p->data->line, p->all,
				  "time_format = local wants time_offset or time_zone in [data]");
			return;
		}
}

static void read_vars(struct parse *p)
{
	bool air = false;
	for (size_t i = 0; i < p->doc->sections; i++) {
		const struct ini_section *s = &p->doc->section[i];
		if (strcmp(s->kind, "var") != 0)
			continue;
		read_var(p, s);
		air = air || var_named(s->name) == VAR_AIR_TEMPERATURE;
	}
	if (!air)
		ini_fault(p->doc, 1, p->all, "there is no [var %s]", var_row(VAR_AIR_TEMPERATURE)->name);
	check_local(p);
}

static enum fault_code read_document(const char *file, const struct ini *doc, struct description *d, struct faults *all)
{
	struct parse p = {.doc = doc, .d = d, .all = all};
	memset(d, 0, sizeof *d);
	name_after_file(d, file);
	check_kinds(&p);
	read_source(&p);
	read_steps(&p);
	read_data(&p);
	check_days(&p);
	read_vars(&p);
	return faults_code(all);
}

enum fault_code describe_parse(const char *file, const char *bytes, size_t n, struct description *d, struct faults *all)
{
	struct ini doc;
	enum fault_code code = ini_parse(file, bytes, n, &doc, all);
	if (code == FAULT_NONE)
		code = read_document(file, &doc, d, all);
	ini_free(&doc);
	return code;
}

enum fault_code describe_load(const char *path, struct description *d, struct faults *all)
{
	struct ini doc;
	enum fault_code code = ini_load(path, &doc, all);
	if (code == FAULT_NONE)
		code = read_document(path, &doc, d, all);
	ini_free(&doc);
	return code;
}

enum describe_fit describe_fits(const struct description *d, const char *country)
{
	if (d->area[0] == '\0' || strcmp(d->area, "world") == 0)
		return FIT_WORLD;
	return country[0] != '\0' && strstr(d->area, country) != NULL ? FIT_COUNTRY : FIT_NOT;
}
