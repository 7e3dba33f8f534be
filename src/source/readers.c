#include "source/readers.h"

#include <string.h>

#include "base/instant.h"
#include "base/num.h"
#include "base/suggest.h"
#include "base/text.h"

const char *const describe_kind_name[KINDS] = {"instant", "hold", "mean", "max", "min", "prob", "total"};

static enum fault_code copy_word(char *to, size_t size, const char *s, struct fault *f)
{
	if (*s == '\0')
		return fault_set(f, FAULT_CONFIG, "there is no value");
	if (strlen(s) >= size)
		return fault_set(f, FAULT_CONFIG, "longer than %zu bytes", size - 1);
	memcpy(to, s, strlen(s) + 1);
	return FAULT_NONE;
}

/* One of some words; the fault proposes the nearest, or names them all. */
static enum fault_code one_of(const char *s, const char *const *words, size_t n, size_t *which, struct fault *f)
{
	char mem[120];
	struct text list;
	text_over(&list, mem, sizeof mem);
	for (size_t i = 0; i < n; i++) {
		if (strcmp(s, words[i]) == 0) {
			*which = i;
			return FAULT_NONE;
		}
		text_addf(&list, "%s%s", i == 0 ? "" : i + 1 == n ? " or " : ", ", words[i]);
	}
	const char *near = suggest(s, words, n);
	if (near != NULL)
		return fault_set(f, FAULT_CONFIG, "\"%s\" is not known; did you mean %s?", s, near);
	return fault_set(f, FAULT_CONFIG, "\"%s\" is not known; write %s", s, list.at);
}

/* The next word of a list, parted by any of `seps`; false at its end. */
static bool next_word(const char **s, const char *seps, char *word, size_t size)
{
	*s += strspn(*s, seps);
	size_t n = strcspn(*s, seps);
	size_t keep = n < size ? n : size - 1;
	memcpy(word, *s, keep);
	word[keep] = '\0';
	*s += n;
	return n > 0;
}

/* Readers that serve several keys */

enum fault_code read_text(const struct met *m, struct fault *f)
{
	return copy_word(m->field, m->size, m->value, f);
}

enum fault_code read_pointer(const struct met *m, struct fault *f)
{
	return pointer_compile(m->value, m->field, f);
}

enum fault_code read_duration(const struct met *m, struct fault *f)
{
	return instant_duration(m->value, m->field, f);
}

enum fault_code read_days(const struct met *m, struct fault *f)
{
	int64_t seconds;
	if (instant_duration(m->value, &seconds, f))
		return f->code;
	if (seconds % DAY_S != 0 || seconds / DAY_S > DESCRIBE_PIECE_MAX)
		return fault_set(f, FAULT_CONFIG, "\"%s\" is not 1 to %d whole days; write them as P31D", m->value,
				 DESCRIBE_PIECE_MAX);
	*(int *)m->field = (int)(seconds / DAY_S);
	return FAULT_NONE;
}

enum fault_code read_day(const struct met *m, struct fault *f)
{
	int64_t days;
	if (num_int(m->value, -99, 99, &days, f))
		return f->code;
	*(int *)m->field = (int)days;
	return FAULT_NONE;
}

/* [source] */

enum fault_code read_contact(const struct met *m, struct fault *f)
{
	static const char *const words[] = {"no", "required"};
	size_t which = 0;
	enum fault_code code = one_of(m->value, words, 2, &which, f);
	m->to.d->contact = which == 1;
	return code;
}

enum fault_code read_area(const struct met *m, struct fault *f)
{
	enum { LETTERS = 2 };
	static const char capitals[] = "ABCDEFGHIJKLMNOPQRSTUVWXYZ";
	char word[DESCRIBE_WORD_SIZE];
	for (const char *s = m->value; next_word(&s, ", ", word, sizeof word);)
		if (strcmp(m->value, "world") != 0 && (strlen(word) != LETTERS || strspn(word, capitals) != LETTERS))
			return fault_set(
			    f, FAULT_CONFIG,
			    "\"%.40s\" is no country; \"world\", or two capital letters each, as \"DE AT\"", word);
	return copy_word(m->to.d->area, sizeof m->to.d->area, m->value, f);
}

enum fault_code read_honour(const struct met *m, struct fault *f)
{
	static const char *const words[] = {"expires", "last-modified", "etag", "retry-after"};
	char word[DESCRIBE_WORD_SIZE];
	for (const char *s = m->value; next_word(&s, ", ", word, sizeof word);) {
		size_t which;
		if (one_of(word, words, 4, &which, f))
			return f->code;
		m->to.d->honour |= 1u << which;
	}
	return FAULT_NONE;
}

enum fault_code read_warn_status(const struct met *m, struct fault *f)
{
	int64_t status;
	if (num_int(m->value, 100, 599, &status, f))
		return f->code;
	m->to.d->warn_status = (int)status;
	return FAULT_NONE;
}

enum fault_code read_error(const struct met *m, struct fault *f)
{
	struct description *d = m->to.d;
	char word[POINTER_TEXT_MAX + 2];
	for (const char *s = m->value; next_word(&s, ", ", word, sizeof word);) {
		if (d->errors == DESCRIBE_ERRORS_MAX)
			return fault_set(f, FAULT_CONFIG, "at most %d pointers", DESCRIBE_ERRORS_MAX);
		if (pointer_compile(word, &d->error[d->errors], f))
			return f->code;
		d->errors++;
	}
	return FAULT_NONE;
}

/* [step NAME] */

enum fault_code read_on_404(const struct met *m, struct fault *f)
{
	if (strncmp(m->value, "forget ", 7) != 0)
		return fault_set(f, FAULT_CONFIG, "write forget and the name of an earlier step");
	return copy_word(m->to.step->forget, sizeof m->to.step->forget, m->value + 7, f);
}

enum fault_code read_host(const struct met *m, struct fault *f)
{
	struct describe_step *step = m->to.step;
	char word[DESCRIBE_FIELD_SIZE];
	for (const char *s = m->value; next_word(&s, ", ", word, sizeof word);) {
		if (step->hosts == DESCRIBE_HOSTS_MAX)
			return fault_set(f, FAULT_CONFIG, "at most %d hosts", DESCRIBE_HOSTS_MAX);
		if (strpbrk(word, "/@{") != NULL)
			return fault_set(f, FAULT_CONFIG, "\"%s\" is no host; write a bare name", word);
		if (copy_word(step->host[step->hosts], sizeof step->host[0], word, f))
			return f->code;
		step->hosts++;
	}
	return FAULT_NONE;
}

enum fault_code read_set(const struct met *m, struct fault *f)
{
	struct describe_step *step = m->to.step;
	if (step->sets == DESCRIBE_SETS_MAX)
		return fault_set(f, FAULT_CONFIG, "at most %d variables a step", DESCRIBE_SETS_MAX);
	struct describe_set *set = &step->set[step->sets];
	if (copy_word(set->name, sizeof set->name, m->name, f) || pointer_compile(m->value, &set->at, f))
		return f->code;
	step->sets++;
	return FAULT_NONE;
}

enum fault_code read_header(const struct met *m, struct fault *f)
{
	struct describe_step *step = m->to.step;
	char mem[DESCRIBE_FIELD_SIZE];
	struct text line;
	if (step->headers == DESCRIBE_HEADERS_MAX)
		return fault_set(f, FAULT_CONFIG, "at most %d header lines a step", DESCRIBE_HEADERS_MAX);
	text_over(&line, mem, sizeof mem);
	text_addf(&line, "%s: %s", m->name, m->value);
	if (text_ok(&line, "a header line", f))
		return f->code;
	memcpy(step->header[step->headers], mem, line.len + 1);
	step->headers++;
	return FAULT_NONE;
}

/* [data] */

enum fault_code read_step(const struct met *m, struct fault *f)
{
	struct description *d = m->to.d;
	const char *names[DESCRIBE_STEPS_MAX];
	for (size_t i = 0; i < d->steps; i++)
		names[i] = d->step[i].name;
	return one_of(m->value, names, d->steps, &d->data_step, f);
}

enum fault_code read_past(const struct met *m, struct fault *f)
{
	static const char *const words[] = {"none", "analysed", "observed"};
	size_t which = 0;
	enum fault_code code = one_of(m->value, words, 3, &which, f);
	m->to.d->past = (enum issue_past)which;
	return code;
}

enum fault_code read_time_offset(const struct met *m, struct fault *f)
{
	if (m->value[0] == '@')
		return pointer_compile(m->value + 1, &m->to.d->offset_at, f);
	return stamp_offset(m->value, &m->to.d->offset_s, f);
}

enum fault_code read_cell_unit(const struct met *m, struct fault *f)
{
	if (m->value[0] == '@')
		return pointer_compile(m->value + 1, &m->to.d->cell_unit_at, f);
	if (!unit_find(m->value, UNIT_LENGTH, &m->to.d->cell_unit))
		return fault_set(f, FAULT_CONFIG, "unit \"%s\" is not known; write %s", m->value,
				 unit_proposal(UNIT_LENGTH));
	return FAULT_NONE;
}

/* [data] and [var NAME] */

enum fault_code read_time_format(const struct met *m, struct fault *f)
{
	size_t which = 0;
	enum fault_code code = one_of(m->value, stamp_format_name, STAMP_FORMATS, &which, f);
	m->to.draft->format = (enum stamp_format)which;
	m->to.draft->format_given = true;
	return code;
}

static struct describe_way *way_of(const struct met *m)
{
	struct describe_var *v = &m->to.draft->v;
	if (v->ways <= m->way)
		v->ways = m->way + 1;
	return &v->way[m->way];
}

enum fault_code read_value(const struct met *m, struct fault *f)
{
	return pointer_compile(m->value, &way_of(m)->value, f);
}

enum fault_code read_values(const struct met *m, struct fault *f)
{
	m->to.draft->arrays = true;
	return pointer_compile(m->value, &way_of(m)->value, f);
}

enum fault_code read_period(const struct met *m, struct fault *f)
{
	return instant_duration(m->value, &way_of(m)->period_s, f);
}

enum fault_code read_numbers(const struct met *m, struct fault *f)
{
	static const char *const words[] = {"strict", "lenient"};
	size_t which = 0;
	enum fault_code code = one_of(m->value, words, 2, &which, f);
	m->to.draft->v.lenient = which == 1;
	return code;
}

enum fault_code read_missing(const struct met *m, struct fault *f)
{
	struct describe_var *v = &m->to.draft->v;
	char word[DESCRIBE_WORD_SIZE];
	v->missings = 0;
	for (const char *s = m->value; next_word(&s, ", ", word, sizeof word);) {
		if (v->missings == DESCRIBE_MISSING_MAX)
			return fault_set(f, FAULT_CONFIG, "at most %d numbers", DESCRIBE_MISSING_MAX);
		if (num_double(word, -1e9, 1e9, &v->missing[v->missings], f))
			return f->code;
		v->missings++;
	}
	return FAULT_NONE;
}

/* [var NAME] */

enum fault_code read_kind(const struct met *m, struct fault *f)
{
	size_t which = 0;
	enum fault_code code = one_of(m->value, describe_kind_name, KINDS, &which, f);
	m->to.draft->v.kind = (enum describe_kind)which;
	m->to.draft->kind_given = true;
	return code;
}

enum fault_code read_stamp(const struct met *m, struct fault *f)
{
	static const char *const words[] = {"instant", "begin", "end"};
	size_t which = 0;
	enum fault_code code = one_of(m->value, words, 3, &which, f);
	m->to.draft->v.mark = (enum describe_stamp)which;
	m->to.draft->mark_given = true;
	return code;
}

enum fault_code read_unit(const struct met *m, struct fault *f)
{
	struct describe_var *v = &m->to.draft->v;
	enum unit_family family = var_row(v->var)->family;
	m->to.draft->unit_given = true;
	if (m->value[0] == '@')
		return pointer_compile(m->value + 1, &v->unit_at, f);
	if (copy_word(v->unit_text, sizeof v->unit_text, m->value, f))
		return f->code;
	if (!unit_find(m->value, family, &v->unit))
		return fault_set(f, FAULT_CONFIG, "unit \"%s\" is not known; write %s", m->value,
				 unit_proposal(family));
	return FAULT_NONE;
}

enum fault_code read_fill(const struct met *m, struct fault *f)
{
	static const char *const words[] = {"none", "linear"};
	size_t which = 0;
	enum fault_code code = one_of(m->value, words, 2, &which, f);
	m->to.draft->v.fill = which == 1;
	return code;
}
