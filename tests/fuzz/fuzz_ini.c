/*
 * Any bytes through the INI reader: what it keeps is sound, and what it refuses is said.
 */
#include <assert.h>
#include <stdint.h>
#include <string.h>

#include "base/ini.h"
#include "base/utf8.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

/* A name or value: UTF-8 without control characters or blanks around. */
static void check_word(const char *s)
{
	size_t n = strlen(s);
	assert(n <= INI_LINE_MAX && utf8_bad(s, n) == n);
	for (size_t i = 0; i < n; i++)
		assert((unsigned char)s[i] >= ' ' || s[i] == '\t');
	assert(n == 0 || (strchr(" \t", s[0]) == NULL && strchr(" \t", s[n - 1]) == NULL));
}

/* Sections tile the entries in the order of the file. */
static void check_document(const struct ini *doc)
{
	size_t next = 0;
	int line = 0;
	for (size_t i = 0; i < doc->sections; i++) {
		const struct ini_section *s = &doc->section[i];
		check_word(s->kind);
		check_word(s->name);
		assert(s->kind[0] != '\0' && strpbrk(s->kind, " \t]") == NULL && strchr(s->name, ']') == NULL);
		assert(s->first == next && s->line > line);
		line = s->line;
		for (next = s->first; next < s->first + s->n; next++) {
			const struct ini_entry *e = &doc->entry[next];
			check_word(e->key);
			check_word(e->value);
			assert(e->key[0] != '\0' && strchr(e->key, '=') == NULL && e->key[0] != '[' && e->line > line);
			assert(strcmp(ini_find(doc, s, e->key)->key, e->key) == 0);
			line = e->line;
		}
	}
	assert(next == doc->entries);
}

static void check_faults(const struct faults *all, enum fault_code code)
{
	assert(code == (all->n == 0 ? FAULT_NONE : FAULT_CONFIG));
	for (size_t i = 0; i < all->n; i++) {
		size_t n = strlen(all->at[i].text);
		assert(strncmp(all->at[i].text, "f.ini:", 6) == 0);
		assert(n < FAULT_TEXT_SIZE && utf8_bad(all->at[i].text, n) == n);
	}
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
	struct faults all = {0};
	struct ini doc;
	enum fault_code code = ini_parse("f.ini", (const char *)data, size, &doc, &all);
	check_document(&doc);
	check_faults(&all, code);
	ini_free(&doc);
	return 0;
}
