#include "base/ini.h"

#include <stdbool.h>
#include <stdio.h>
#include <string.h>

#include "base/file.h"
#include "base/mem.h"
#include "base/utf8.h"

enum { SHOWN_MAX = 40, FIRST_ROOM = 32 };

/* A file of which one byte in this many or more belongs to no text is refused whole. */
enum { STRANGE_SHARE = 4 };

struct parser {
	struct ini *doc;
	struct faults *all;
	size_t section_room, entry_room;
	int line;
	bool bare;      /* keys alone, no heads */
	bool headed;    /* some section head was seen, good or broken */
	bool dropping;  /* under a broken head: entries are checked, not kept */
	bool no_memory; /* said already; nothing more is parsed */
};

static bool is_blank(char c)
{
	return c == ' ' || c == '\t';
}

/* Drop the blanks around s, in place; returned: where it begins now. */
static char *trim(char *s)
{
	while (is_blank(*s))
		s++;
	size_t n = strlen(s);
	while (n > 0 && is_blank(s[n - 1]))
		n--;
	s[n] = '\0';
	return s;
}

static const char *file_of(const struct ini *doc)
{
	return doc->file != NULL ? doc->file : "?";
}

void ini_fault(const struct ini *doc, int line, struct faults *all, const char *fmt, ...)
{
	struct fault f;
	va_list args;
	va_start(args, fmt);
	fault_vset(&f, FAULT_CONFIG, fmt, args);
	va_end(args);
	if (line > 0)
		fault_place(&f, "%s:%d: ", file_of(doc), line);
	else
		fault_place(&f, "%s: ", file_of(doc));
	faults_add(all, &f);
}

static void say_no_memory(struct parser *p, const char *file)
{
	p->no_memory = true;
	faults_addf(p->all, FAULT_MEMORY, "no memory to read %s", file);
}

/* Room for one more element; false, and said, where there is none.  *at and *room move together. */
static bool grow(struct parser *p, void **at, size_t *room, size_t used, size_t size)
{
	if (used < *room)
		return true;
	size_t wanted = *room == 0 ? FIRST_ROOM : 2 * *room;
	void *more = mem_resize(*at, wanted, size);
	if (more == NULL) {
		say_no_memory(p, p->doc->file);
		return false;
	}
	*at = more;
	*room = wanted;
	return true;
}

static void add_section(struct parser *p, const char *kind, const char *name)
{
	struct ini *doc = p->doc;
	void *at = doc->section;
	if (!grow(p, &at, &p->section_room, doc->sections, sizeof *doc->section))
		return;
	doc->section = at;
	doc->section[doc->sections++] =
	    (struct ini_section){.kind = kind, .name = name, .line = p->line, .first = doc->entries};
}

static void add_entry(struct parser *p, const char *key, const char *value)
{
	struct ini *doc = p->doc;
	void *at = doc->entry;
	if (!grow(p, &at, &p->entry_room, doc->entries, sizeof *doc->entry))
		return;
	doc->entry = at;
	doc->entry[doc->entries++] = (struct ini_entry){.key = key, .value = value, .line = p->line};
	doc->section[doc->sections - 1].n++;
}

/* Of a broken head nobody knows which section the keys below belong to: they go to none. */
static void broken_head(struct parser *p)
{
	p->headed = true;
	p->dropping = true;
}

/* s is "[...", trimmed and without its comment. */
static void parse_head(struct parser *p, char *s)
{
	if (p->bare) {
		ini_fault(p->doc, p->line, p->all, "section head \"%.*s\" has no place here; key = value is wanted",
			  utf8_most(s, SHOWN_MAX), s);
		return;
	}
	broken_head(p);
	char *close = strchr(s, ']');
	if (close == NULL) {
		ini_fault(p->doc, p->line, p->all, "section head \"%.*s\" has no ]; [KIND] or [KIND NAME] is wanted",
			  utf8_most(s, SHOWN_MAX), s);
		return;
	}
	if (close[1] != '\0') {
		ini_fault(p->doc, p->line, p->all,
			  "\"%.*s\" stands behind the section head; a line of its own is wanted",
			  utf8_most(close + 1, SHOWN_MAX), close + 1);
		return;
	}
	*close = '\0';
	char *kind = trim(s + 1);
	if (*kind == '\0') {
		ini_fault(p->doc, p->line, p->all, "section head is empty; [KIND] or [KIND NAME] is wanted");
		return;
	}
	char *name = kind + strcspn(kind, " \t");
	if (*name != '\0')
		*name++ = '\0';
	p->dropping = false;
	add_section(p, kind, trim(name));
}

static void parse_entry(struct parser *p, char *s)
{
	char *equals = strchr(s, '=');
	if (equals == NULL) {
		ini_fault(p->doc, p->line, p->all, "\"%.*s\" has no =; key = value is wanted", utf8_most(s, SHOWN_MAX),
			  s);
		return;
	}
	*equals = '\0';
	char *key = trim(s), *value = trim(equals + 1);
	if (*key == '\0')
		ini_fault(p->doc, p->line, p->all, "there is no key before the =; key = value is wanted");
	else if (!p->headed)
		ini_fault(p->doc, p->line, p->all,
			  "key \"%.*s\" stands before the first section; a [KIND] head above it is wanted",
			  utf8_most(key, SHOWN_MAX), key);
	else if (!p->dropping)
		add_entry(p, key, value);
}

static bool is_control(char c)
{
	return ((unsigned char)c < 0x20 && c != '\t') || c == 0x7F;
}

/* False, with its fault, for a line that cannot be read as text. */
static bool line_is_sound(struct parser *p, const char *s, size_t n)
{
	if (n > INI_LINE_MAX) {
		ini_fault(p->doc, p->line, p->all, "line has %zu bytes; at most %d are read", n, INI_LINE_MAX);
		return false;
	}
	size_t bad = utf8_bad(s, n);
	if (bad < n) {
		ini_fault(p->doc, p->line, p->all, "byte %zu of the line (0x%02X) is not UTF-8; save the file as UTF-8",
			  bad + 1, (unsigned)(unsigned char)s[bad]);
		return false;
	}
	for (size_t i = 0; i < n; i++) {
		if (is_control(s[i])) {
			ini_fault(p->doc, p->line, p->all,
				  "byte %zu of the line is control character 0x%02X; only text is read", i + 1,
				  (unsigned)(unsigned char)s[i]);
			return false;
		}
	}
	return true;
}

/* # at the start or after a blank begins a comment. */
static void cut_comment(char *s)
{
	for (char *hash = strchr(s, '#'); hash != NULL; hash = strchr(hash + 1, '#')) {
		if (hash == s || is_blank(hash[-1])) {
			*hash = '\0';
			return;
		}
	}
}

/* One line of n bytes, with a NUL where its line end was. */
static void parse_line(struct parser *p, char *s, size_t n)
{
	if (!line_is_sound(p, s, n)) {
		if (!p->bare && s[strspn(s, " \t")] == '[')
			broken_head(p);
		return;
	}
	cut_comment(s);
	s = trim(s);
	if (*s == '[')
		parse_head(p, s);
	else if (*s != '\0')
		parse_entry(p, s);
}

static int line_of(const char *bytes, size_t at)
{
	int line = 1;
	for (size_t i = 0; i < at; i++)
		line += bytes[i] == '\n';
	return line;
}

/*
 * A picture, an archive, a text in another encoding: one fault for the file, not
 * one for each of its lines.  A few strange bytes are left to their lines.
 */
static bool file_is_text(struct parser *p, const char *bytes, size_t n)
{
	const char *nul = n > 0 ? memchr(bytes, '\0', n) : NULL;
	if (nul != NULL) {
		ini_fault(p->doc, line_of(bytes, (size_t)(nul - bytes)), p->all,
			  "holds a NUL byte, so this is no text file; plain UTF-8 text is wanted");
		return false;
	}
	size_t strange = 0;
	for (size_t i = utf8_bad(bytes, n); i < n; i += 1 + utf8_bad(bytes + i + 1, n - i - 1))
		strange++;
	for (size_t i = 0; i < n; i++)
		strange += is_control(bytes[i]) && bytes[i] != '\n' && bytes[i] != '\r';
	if (strange > n / STRANGE_SHARE) {
		ini_fault(p->doc, 0, p->all, "%zu of its %zu bytes are no text; plain UTF-8 text is wanted", strange,
			  n);
		return false;
	}
	return true;
}

static char *copy_bytes(struct parser *p, const char *file, const char *bytes, size_t n)
{
	char *copy = mem_new(n + 1, 1);
	if (copy == NULL)
		say_no_memory(p, file);
	else if (n > 0)
		memcpy(copy, bytes, n);
	return copy;
}

static void parse_lines(struct parser *p, char *s, const char *end)
{
	static const char mark[] = "\xEF\xBB\xBF";
	if (strncmp(s, mark, sizeof mark - 1) == 0)
		s += sizeof mark - 1;
	while (s < end && !p->no_memory) {
		size_t n = strcspn(s, "\n");
		char *next = s + n + 1;
		if (n > 0 && s[n - 1] == '\r')
			n--;
		s[n] = '\0';
		p->line++;
		parse_line(p, s, n);
		s = next;
	}
}

static enum fault_code parse(const char *file, const char *bytes, size_t n, bool bare, struct ini *doc,
			     struct faults *all)
{
	*doc = (struct ini){0};
	struct parser p = {.doc = doc, .all = all, .bare = bare, .headed = bare};
	doc->file = copy_bytes(&p, file, file, strlen(file));
	if (p.no_memory)
		return faults_code(all);
	if (n > INI_FILE_MAX) {
		ini_fault(doc, 0, all, "has %zu bytes; at most %d are read", n, INI_FILE_MAX);
		return faults_code(all);
	}
	if (!file_is_text(&p, bytes, n))
		return faults_code(all);
	doc->bytes = copy_bytes(&p, file, bytes, n);
	if (bare && !p.no_memory)
		add_section(&p, "", "");
	if (!p.no_memory)
		parse_lines(&p, doc->bytes, doc->bytes + n);
	return faults_code(all);
}

enum fault_code ini_parse(const char *file, const char *bytes, size_t n, struct ini *doc, struct faults *all)
{
	return parse(file, bytes, n, false, doc, all);
}

enum fault_code ini_parse_bare(const char *file, const char *bytes, size_t n, struct ini *doc, struct faults *all)
{
	return parse(file, bytes, n, true, doc, all);
}

enum fault_code ini_load(const char *path, struct ini *doc, struct faults *all)
{
	*doc = (struct ini){0};
	struct fault f;
	char *bytes;
	size_t n;
	if (file_read(path, INI_FILE_MAX, &bytes, &n, &f) != FAULT_NONE) {
		if (f.code == FAULT_DATA) /* too long; where it is parsed that is a fault of configuration */
			f.code = FAULT_CONFIG;
		faults_add(all, &f);
		return faults_code(all);
	}
	enum fault_code code = ini_parse(path, bytes, n, doc, all);
	mem_free(bytes);
	return code;
}

void ini_free(struct ini *doc)
{
	mem_free(doc->file);
	mem_free(doc->bytes);
	mem_free(doc->section);
	mem_free(doc->entry);
	*doc = (struct ini){0};
}

const struct ini_entry *ini_find(const struct ini *doc, const struct ini_section *s, const char *key)
{
	for (size_t i = s->n; i > 0; i--) {
		const struct ini_entry *e = &doc->entry[s->first + i - 1];
		if (strcmp(e->key, key) == 0)
			return e;
	}
	return NULL;
}
