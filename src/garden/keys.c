#include "garden/keys.h"

#include <assert.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include "garden/keyvalue.h"

void keys_fault(const struct ini *doc, const struct ini_section *s, int line, struct faults *all, const char *fmt, ...)
{
	char said[FAULT_TEXT_SIZE];
	va_list ap;

	va_start(ap, fmt);
	vsnprintf(said, sizeof said, fmt, ap);
	va_end(ap);
	if (*s->name)
		ini_fault(doc, line, all, "%s \"%s\": %s", s->kind, s->name, said);
	else
		ini_fault(doc, line, all, "%s", said);
}

size_t keys_count(const struct key_section *kind)
{
	return kind->keys + kind->shareds;
}

struct key keys_row(const struct key_section *kind, size_t i)
{
	if (i < kind->keys)
		return kind->key[i];
	struct key k = kind->shared[i - kind->keys];
	k.at += kind->shared_at;
	k.required = false;
	k.basis_at = 0;
	return k;
}

/* ---- heads ---- */

const struct key_section *keys_section(const struct key_section *kind, size_t kinds, const char *name)
{
	for (size_t i = 0; i < kinds; i++)
		if (strcmp(kind[i].kind, name) == 0)
			return &kind[i];
	return NULL;
}

static void head_unknown(const struct ini *doc, const struct ini_section *s, const struct key_section *kind,
			 size_t kinds, struct faults *all)
{
	const char *known[KEY_WORDS_MAX];
	char remedy[KEY_LIST_SIZE];
	size_t n = 0;

	for (; n < kinds && n < KEY_WORDS_MAX; n++)
		known[n] = kind[n].kind;
	ini_fault(doc, s->line, all, "section [%.*s] is not known; %s", KEY_SHOWN(s->kind),
		  key_remedy(s->kind, known, n, remedy));
}

static void head_name(const struct ini *doc, const struct ini_section *s, const struct key_section *kind,
		      struct faults *all)
{
	if (!kind->named && *s->name)
		ini_fault(doc, s->line, all, "[%s %.*s] takes no name; [%s]", s->kind, KEY_SHOWN(s->name), s->kind);
	else if (kind->named && !*s->name)
		ini_fault(doc, s->line, all, "[%s] has no name; [%s NAME]", s->kind, s->kind);
	else if (kind->named && !key_one_word(s->name, KEY_WORD_SIZE))
		ini_fault(doc, s->line, all, "%s \"%.*s\" is no fit name; one word of at most %d bytes", s->kind,
			  KEY_SHOWN(s->name), KEY_WORD_SIZE - 1);
}

static const struct ini_section *head_before(const struct ini *doc, size_t i)
{
	for (size_t j = 0; j < i; j++)
		if (strcmp(doc->section[j].kind, doc->section[i].kind) == 0 &&
		    strcmp(doc->section[j].name, doc->section[i].name) == 0)
			return &doc->section[j];
	return NULL;
}

void keys_heads(const struct ini *doc, const struct key_section *kind, size_t kinds, struct faults *all)
{
	for (size_t i = 0; i < doc->sections; i++) {
		const struct ini_section *s = &doc->section[i];
		const struct key_section *known = keys_section(kind, kinds, s->kind);
		const struct ini_section *before = head_before(doc, i);

		if (!known)
			head_unknown(doc, s, kind, kinds, all);
		else if (before && *s->name)
			ini_fault(doc, s->line, all, "%s \"%.*s\" is already in line %d; another name", s->kind,
				  KEY_SHOWN(s->name), before->line);
		else if (before)
			ini_fault(doc, s->line, all, "[%s] is already in line %d; one section for all its keys",
				  s->kind, before->line);
		else
			head_name(doc, s, known, all);
	}
}

/* ---- sections ---- */

static void start_whole(const struct ini *doc, const struct ini_section *s, const struct key_section *kind, void *into,
			struct faults *all)
{
	for (size_t i = 0; i < kind->keys; i++) {
		const struct key *k = &kind->key[i];
		struct fault f = {0};

		key_set_none(k, into);
		if (k->required && !ini_find(doc, s, k->name))
			keys_fault(doc, s, s->line, all, "%s is missing; as %s = %s", k->name, k->name, k->example);
		if (k->fallback) {
			enum fault_code code = key_set(k, k->fallback, into, &f);
			assert(code == FAULT_NONE); /* a row's fallback is a value of the row */
			(void)code;
		}
	}
}

/* The row of a key, also of "NAME.basis" where the row has one; false where there is none. */
static bool row_of(const struct key_section *kind, const char *name, struct key *k, bool *basis)
{
	for (size_t i = 0; i < keys_count(kind); i++) {
		*k = keys_row(kind, i);
		size_t n = strlen(k->name);

		if (strncmp(k->name, name, n) != 0)
			continue;
		*basis = name[n] != '\0';
		if (!*basis || (k->basis_at && strcmp(name + n, ".basis") == 0))
			return true;
	}
	return false;
}

enum { KEYS_SHOWN_MAX = 64 };

static void key_unknown(const struct ini *doc, const struct ini_section *s, const struct ini_entry *e,
			const struct key_section *kind, struct faults *all)
{
	const char *known[KEYS_SHOWN_MAX];
	char remedy[KEY_LIST_SIZE];
	size_t n = 0;

	for (; n < keys_count(kind) && n < KEYS_SHOWN_MAX; n++)
		known[n] = keys_row(kind, n).name;
	keys_fault(doc, s, e->line, all, "key \"%.*s\" is not known; %s", KEY_SHOWN(e->key),
		   key_remedy(e->key, known, n, remedy));
}

static const struct ini_entry *entry_before(const struct ini *doc, const struct ini_section *s,
					    const struct ini_entry *e)
{
	for (const struct ini_entry *b = &doc->entry[s->first]; b < e; b++)
		if (strcmp(b->key, e->key) == 0)
			return b;
	return NULL;
}

/* One more value of a key that may be given several times, behind those that are there. */
static enum fault_code add_value(const struct key *k, const struct ini_entry *e, void *into, struct fault *f)
{
	size_t n;
	void *count = (char *)into + k->count_at;

	memcpy(&n, count, sizeof n);
	if (n == k->most)
		return fault_set(f, FAULT_CONFIG, "%s is one too many; at most %zu", k->name, k->most);
	for (size_t i = 0; i < n; i++)
		if (strcmp((char *)into + k->at + i * k->size, e->value) == 0)
			return fault_set(f, FAULT_CONFIG, "%s \"%.*s\" is given twice; keep one of them", k->name,
					 KEY_SHOWN(e->value));
	struct key next = *k;
	next.at += n * k->size;
	if (key_set(&next, e->value, into, f))
		return f->code;
	n++;
	memcpy(count, &n, sizeof n);
	return FAULT_NONE;
}

static enum fault_code set_entry(const struct key *k, bool basis, const struct ini_entry *e, void *into,
				 struct fault *f)
{
	const struct key words = {.name = e->key, .kind = KEY_TEXT, .at = k->basis_at, .size = k->basis_size};

	if (!basis && k->most)
		return add_value(k, e, into, f);
	return key_set(basis ? &words : k, e->value, into, f);
}

static void read_entry(const struct ini *doc, const struct ini_section *s, const struct ini_entry *e,
		       const struct key_section *kind, void *into, struct faults *all)
{
	bool basis = false;
	struct key k;
	struct fault f = {0};

	if (!row_of(kind, e->key, &k, &basis)) {
		key_unknown(doc, s, e, kind, all);
		return;
	}
	const struct ini_entry *before = entry_before(doc, s, e);
	if (before && !k.most) {
		keys_fault(doc, s, e->line, all, "%s is already in line %d; keep one of them", e->key, before->line);
		return;
	}
	if (!*e->value) {
		keys_fault(doc, s, e->line, all, "%s has no value; as %s = %s", e->key, e->key,
			   basis ? "where the figure comes from" : k.example);
		return;
	}
	if (set_entry(&k, basis, e, into, &f))
		keys_fault(doc, s, e->line, all, "%s", f.text);
}

void keys_fill(const struct ini *doc, const struct ini_section *s, const struct key_section *kind, bool whole,
	       void *into, struct faults *all)
{
	if (whole)
		start_whole(doc, s, kind, into, all);
	for (size_t i = 0; i < s->n; i++)
		read_entry(doc, s, &doc->entry[s->first + i], kind, into, all);
}

/* ---- help ---- */

void keys_help(const struct key *k, struct text *t)
{
	char list[KEY_LIST_SIZE];

	text_add(t, k->help);
	if (k->word[0] && k->kind != KEY_SERVER)
		text_addf(t, ": %s", key_listed(k->word, key_words(k), "or", list));
	else if (k->kind == KEY_YES)
		text_add(t, ": yes or no");
	if (k->kind == KEY_NUMBER || k->kind == KEY_VALUE || k->kind == KEY_SPREAD || k->kind == KEY_COUNT) {
		key_range(k, list);
		text_addf(t, ", %s", list);
	}
	if (k->fallback)
		text_addf(t, "; %s where not given", k->fallback);
	if (k->most)
		text_addf(t, "; up to %zu times", k->most);
	text_add(t, k->required ? " (needed)" : "");
}
