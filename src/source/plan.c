#include "source/plan.h"

#include <string.h>

#include "base/instant.h"
#include "base/text.h"
#include "net/address.h"
#include "source/json.h"
#include "source/template.h"

static void add_encoded(struct text *t, const char *s)
{
	static const char hex[] = "0123456789ABCDEF";
	for (; *s != '\0'; s++) {
		unsigned char c = (unsigned char)*s;
		/* unreserved characters, RFC 3986 2.3 */
		if ((c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') ||
		    (c != '\0' && strchr("-._~", c) != NULL)) {
			text_add_char(t, (char)c, 1);
		} else {
			text_add_char(t, '%', 1);
			text_add_char(t, hex[c >> 4], 1);
			text_add_char(t, hex[c & 15], 1);
		}
	}
}

/* Hundredths as a decimal number, trailing zeros off: services refuse or redirect longer ones. */
static void add_degrees(struct text *t, int cdeg)
{
	int whole = cdeg < 0 ? -cdeg : cdeg;
	text_addf(t, "%s%d", cdeg < 0 ? "-" : "", whole / 100);
	if (whole % 100 != 0)
		text_addf(t, whole % 10 == 0 ? ".%d" : ".%02d", whole % 10 == 0 ? whole / 10 % 10 : whole % 100);
}

static bool listed(const struct text *list, const char *name, size_t n)
{
	const char *s = list->at;
	while (*s != '\0') {
		size_t k = strcspn(s, ",");
		if (k == n && memcmp(s, name, n) == 0)
			return true;
		s += k + (s[k] == ',');
	}
	return false;
}

/* Add the names of one variable that are not in the list yet. */
static void list_names(struct text *list, const char *s)
{
	while (*s != '\0') {
		s += strspn(s, ", ");
		size_t n = strcspn(s, ", ");
		if (n > 0 && !listed(list, s, n)) {
			text_add(list, list->len == 0 ? "" : ",");
			text_add_n(list, s, n);
		}
		s += n;
	}
}

/* The service's names of all variables, each once, the commas between them as they are. */
static void add_vars(struct text *t, const struct description *d)
{
	char mem[DESCRIBE_VARS_MAX * DESCRIBE_FIELD_SIZE];
	struct text list;
	text_over(&list, mem, sizeof mem);
	for (size_t i = 0; i < d->vars; i++)
		list_names(&list, d->var[i].ask);
	for (char *s = list.at, *end; *s != '\0'; s = end) {
		end = s + strcspn(s, ",");
		bool more = *end == ',';
		if (more)
			*end++ = '\0';
		add_encoded(t, s);
		text_add(t, more ? "," : "");
	}
}

static void add_date(struct text *t, struct date given, int64_t now, int days)
{
	char buf[DATE_TEXT_SIZE];
	text_add(t, date_text(date_is(given) ? given : date_add(instant_date(now, 0), days), buf));
}

static const char *learned(const struct plan_vars *vars, const struct template_part *part)
{
	for (size_t i = 0; i < vars->n; i++)
		if (template_part_is(part, vars->at[i].name))
			return vars->at[i].value;
	return NULL;
}

/* The query part around an unknown variable goes: "?a=1&alt={alt}&b=2" becomes "?a=1&b=2". */
static void leave_out(struct text *t, const char **at)
{
	size_t keep = t->len;
	while (keep > 0 && t->at[keep - 1] != '&' && t->at[keep - 1] != '?')
		keep--;
	*at += strcspn(*at, "&");
	if (**at == '&')
		(*at)++;
	else if (keep > 0)
		keep--;
	t->at[keep] = '\0';
	t->len = keep;
}

static enum fault_code add_part(struct text *t, const struct description *d, const struct describe_step *step,
				const struct plan_ask *ask, const struct plan_vars *vars,
				const struct template_part *part, struct fault *f)
{
	const struct place *place = &ask->place;
	const char *value = learned(vars, part);
	if (!part->variable)
		text_add_n(t, part->s, part->n);
	else if (template_part_is(part, "lat"))
		add_degrees(t, place->latitude_cdeg);
	else if (template_part_is(part, "lon"))
		add_degrees(t, place->longitude_cdeg);
	else if (template_part_is(part, "alt"))
		text_addf(t, "%d", place->elevation_m);
	else if (template_part_is(part, "vars"))
		add_vars(t, d);
	else if (template_part_is(part, "start"))
		add_date(t, ask->start, ask->now, step->from_day);
	else if (template_part_is(part, "end"))
		add_date(t, ask->end, ask->now, step->to_day);
	else if (value != NULL)
		add_encoded(t, value);
	else
		return fault_set(f, FAULT_DATA, "{%.*s} is not known: no answer has set it", (int)part->n, part->s);
	return FAULT_NONE;
}

static enum fault_code write_url(const struct description *d, const struct describe_step *step,
				 const struct plan_ask *ask, const struct plan_vars *vars, struct text *t,
				 struct fault *f)
{
	struct template_part part;
	const char *at = step->url;
	if (template_is_variable(at, &part) && learned(vars, &part) != NULL) {
		text_add(t, learned(vars, &part));
		return text_ok(t, "an address", f);
	}
	while (template_next(&at, &part))
		if (part.variable && template_part_is(&part, "alt") && ask->place.elevation_m == PLACE_ELEVATION_NONE)
			leave_out(t, &at);
		else if (add_part(t, d, step, ask, vars, &part, f))
			return f->code;
	return text_ok(t, "an address", f);
}

enum fault_code plan_request(const struct description *d, size_t step, const struct plan_ask *ask,
			     const struct plan_vars *vars, struct plan_request *out, struct fault *f)
{
	const struct describe_step *asked = &d->step[step];
	struct text url;
	text_over(&url, out->url, sizeof out->url);
	out->accept = *asked->accept == '\0' ? NULL : asked->accept;
	out->n_headers = asked->headers;
	for (size_t h = 0; h < asked->headers; h++)
		out->headers[h] = asked->header[h];
	if (write_url(d, asked, ask, vars, &url, f))
		return fault_place(f, "[step %s] url: ", asked->name);
	return FAULT_NONE;
}

/* Is the variable the whole address of a later step? */
static bool is_address(const struct description *d, size_t step, const char *name)
{
	struct template_part part;
	for (size_t i = step + 1; i < d->steps; i++)
		if (template_is_variable(d->step[i].url, &part) && template_part_is(&part, name))
			return true;
	return false;
}

/* https://NAME/... for one of the hosts that the description lists. */
static bool on_listed_host(const struct describe_step *step, const char *url)
{
	for (size_t i = 0; i < step->hosts; i++) {
		char mem[DESCRIBE_FIELD_SIZE + 16];
		struct text t;
		text_over(&t, mem, sizeof mem);
		text_addf(&t, "https://%s/", step->host[i]);
		if (!t.full && address_same_host(url, t.at))
			return true;
	}
	return false;
}

/*
 * The addresses of a step's own template, or what a discovered one was found to be: the host that the
 * answer came from.
 */
static const char *own_address(const struct description *d, size_t i, const struct plan_vars *vars)
{
	struct template_part part;
	const char *url = d->step[i].url;
	const char *found = template_is_variable(url, &part) ? learned(vars, &part) : NULL;
	return found != NULL ? found : url;
}

static enum fault_code check_address(const struct description *d, size_t i, const struct plan_vars *vars,
				     const char *url, struct fault *f)
{
	struct text shown;
	char mem[120];
	struct fault why = {0};
	text_over(&shown, mem, sizeof mem);
	if (address_check(url, d->loopback, &why))
		return fault_set(f, FAULT_DATA, "the address in the answer cannot be used: %s", why.text);
	address_shown(url, &shown);
	if (d->loopback && !address_same_host(url, d->step[0].url))
		return fault_set(f, FAULT_DATA, "the address in the answer is on another host or port: %s", shown.at);
	if (!address_same_host(url, own_address(d, i, vars)) && !on_listed_host(&d->step[i], url))
		return fault_set(f, FAULT_DATA, "the address in the answer is on another host: %s (host = allows one)",
				 shown.at);
	return FAULT_NONE;
}

static size_t find(const struct plan_vars *vars, const char *name)
{
	size_t k = 0;
	while (k < vars->n && strcmp(vars->at[k].name, name) != 0)
		k++;
	return k;
}

const char *plan_value(const struct plan_vars *vars, const char *name)
{
	size_t k = find(vars, name);
	return k < vars->n ? vars->at[k].value : NULL;
}

/* What goes over an older value must not be lost where it is refused: so the check comes first. */
static enum fault_code set_one(const struct description *d, size_t i, const struct describe_set *set, const char *value,
			       struct plan_vars *vars, struct fault *f)
{
	struct text t;
	size_t k = find(vars, set->name);
	if (k == PLAN_VARS_MAX)
		return fault_set(f, FAULT_DATA, "more than %d variables", PLAN_VARS_MAX);
	if (is_address(d, i, set->name) && check_address(d, i, vars, value, f))
		return f->code;
	text_over(&t, vars->at[k].value, sizeof vars->at[k].value);
	text_add(&t, value);
	memcpy(vars->at[k].name, set->name, sizeof set->name);
	if (k == vars->n)
		vars->n++;
	return FAULT_NONE;
}

static enum fault_code learn_one(const struct description *d, size_t i, const struct describe_set *set,
				 const cJSON *root, struct plan_vars *vars, struct fault *f)
{
	char mem[POINTER_TEXT_MAX * 2], found[PLAN_URL_SIZE];
	struct text where, value;
	const cJSON *item = pointer_get(&set->at, root);
	text_over(&where, mem, sizeof mem);
	pointer_write(&set->at, &where);
	if (!cJSON_IsString(item) && !cJSON_IsNumber(item))
		return fault_set(f, FAULT_DATA, "%s is not in the answer", where.at);
	text_over(&value, found, sizeof found);
	if (cJSON_IsString(item))
		text_add(&value, item->valuestring);
	else
		text_addf(&value, "%.10g", item->valuedouble);
	if (text_ok(&value, where.at, f))
		return f->code;
	return set_one(d, i, set, value.at, vars, f);
}

enum fault_code plan_recall(const struct description *d, size_t step, const char *name, const char *value,
			    struct plan_vars *vars, struct fault *f)
{
	const struct describe_step *asked = &d->step[step];
	for (size_t k = 0; k < asked->sets; k++)
		if (strcmp(asked->set[k].name, name) == 0)
			return set_one(d, step, &asked->set[k], value, vars, f);
	return fault_set(f, FAULT_DATA, "[step %s] sets no %s", asked->name, name);
}

enum fault_code plan_learn(const struct description *d, size_t step, const char *body, size_t n, struct plan_vars *vars,
			   struct fault *f)
{
	const struct describe_step *asked = &d->step[step];
	if (asked->sets == 0)
		return FAULT_NONE;
	cJSON *root = NULL;
	enum fault_code code = json_read(body, n, &root, f);
	for (size_t k = 0; code == FAULT_NONE && k < asked->sets; k++)
		code = learn_one(d, step, &asked->set[k], root, vars, f);
	cJSON_Delete(root);
	return code == FAULT_NONE ? code : fault_place(f, "[step %s] ", asked->name);
}
