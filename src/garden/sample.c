#include "garden/sample.h"

#include <stdbool.h>
#include <stdint.h>
#include <string.h>

#include "base/mem.h"
#include "base/utf8.h"

enum { HELP_SIZE = 1024, COLUMNS = 78 };

static char *copy(const char *s)
{
	size_t n = strlen(s) + 1;
	char *made = mem_new(n, 1);
	if (made)
		memcpy(made, s, n);
	return made;
}

static bool grow(struct sample_values *v)
{
	enum { FIRST_ROOM = 32 };
	size_t wanted = v->room ? 2 * v->room : FIRST_ROOM;
	struct sample_value *more = mem_resize(v->at, wanted, sizeof *more);
	if (!more)
		return false;
	v->at = more;
	v->room = wanted;
	return true;
}

enum fault_code sample_add(struct sample_values *v, const char *kind, const char *name, const char *key,
			   const char *value, struct fault *f)
{
	if (v->n == v->room && !grow(v))
		return fault_set(f, FAULT_MEMORY, "out of memory");
	char *n = copy(name), *words = copy(value);
	if (!n || !words) {
		mem_free(n);
		mem_free(words);
		return fault_set(f, FAULT_MEMORY, "out of memory");
	}
	v->at[v->n++] = (struct sample_value){kind, n, key, words};
	return FAULT_NONE;
}

void sample_free(struct sample_values *v)
{
	for (size_t i = 0; i < v->n; i++) {
		mem_free((void *)(uintptr_t)v->at[i].name);
		mem_free((void *)(uintptr_t)v->at[i].value);
	}
	mem_free(v->at);
	*v = (struct sample_values){0};
}

static void remark(const char *words, struct text *t)
{
	char mem[HELP_SIZE];
	struct text lines;
	text_over(&lines, mem, sizeof mem);
	utf8_wrap(&lines, words, 0, 0, COLUMNS - 2);
	for (const char *s = lines.at; *s != '\0';) {
		size_t n = strcspn(s, "\n");
		text_add(t, "# ");
		text_add_n(t, s, n);
		text_add(t, "\n");
		s += n + (s[n] == '\n');
	}
}

static void key_remark(const struct key *k, struct text *t)
{
	char mem[HELP_SIZE];
	struct text help;
	text_over(&help, mem, sizeof mem);
	keys_help(k, &help);
	remark(help.at, t);
}

static bool is_of(const struct sample_value *one, const char *kind, const char *name)
{
	return strcmp(one->kind, kind) == 0 && strcmp(one->name, name) == 0;
}

/* Every value of the key; false where it has none. */
static bool write_values(const struct sample_values *v, const char *kind, const char *name, const struct key *k,
			 struct text *t)
{
	bool any = false;
	for (size_t i = 0; i < v->n; i++) {
		const struct sample_value *one = &v->at[i];
		if (!is_of(one, kind, name) || strcmp(one->key, k->name) != 0)
			continue;
		text_addf(t, "%s = %s\n", k->name, one->value);
		any = true;
	}
	return any;
}

static void write_example(const struct key *k, bool commented, struct text *t)
{
	text_addf(t, "%s%s = %s\n", commented ? "#" : "", k->name, k->example);
	if (k->basis_at)
		text_addf(t, "%s%s.basis = where the figure comes from\n", commented ? "#" : "", k->name);
}

/* Keys that have their help in another file. */
static void write_shared(const struct key_section *s, struct text *t)
{
	char mem[HELP_SIZE];
	struct text words;
	if (s->shareds == 0)
		return;
	text_over(&words, mem, sizeof mem);
	text_add(&words, s->shared_help);
	for (size_t i = 0; i < s->shareds; i++)
		text_addf(&words, "%s %s", i > 0 ? "," : ":", s->shared[i].name);
	remark(words.at, t);
}

static void write_section(const struct sample_values *v, const struct key_section *s, const char *name, bool first,
			  struct text *t)
{
	text_addf(t, "[%s%s%s]\n", s->kind, name[0] != '\0' ? " " : "", name);
	for (size_t i = 0; i < s->keys; i++) {
		const struct key *k = &s->key[i];
		if (first)
			key_remark(k, t);
		if (!write_values(v, s->kind, name, k, t) && first)
			write_example(k, s->named || !k->required, t);
	}
	if (first)
		write_shared(s, t);
}

static void write_example_section(const struct key_section *s, struct text *t)
{
	text_addf(t, "#[%s NAME]\n", s->kind);
	for (size_t i = 0; i < s->keys; i++) {
		key_remark(&s->key[i], t);
		write_example(&s->key[i], true, t);
	}
	write_shared(s, t);
}

static bool seen_before(const struct sample_values *v, size_t i)
{
	for (size_t j = 0; j < i; j++)
		if (is_of(&v->at[j], v->at[i].kind, v->at[i].name))
			return true;
	return false;
}

static void write_named(const struct sample_values *v, const struct key_section *s, struct text *t)
{
	bool first = true;
	for (size_t i = 0; i < v->n; i++) {
		if (strcmp(v->at[i].kind, s->kind) != 0 || seen_before(v, i))
			continue;
		text_add(t, first ? "" : "\n");
		write_section(v, s, v->at[i].name, first, t);
		first = false;
	}
	if (first)
		write_example_section(s, t);
}

void sample_write(const struct key_section *kind, size_t kinds, const struct sample_values *values, struct text *t)
{
	static const struct sample_values none;
	const struct sample_values *v = values ? values : &none;
	for (size_t i = 0; i < kinds; i++) {
		text_add(t, i > 0 ? "\n" : "");
		remark(kind[i].help, t);
		if (kind[i].named)
			write_named(v, &kind[i], t);
		else
			write_section(v, &kind[i], "", true, t);
	}
}
