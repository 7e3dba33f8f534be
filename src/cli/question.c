#include "cli/question.h"

#include <stdarg.h>
#include <string.h>

#include "base/mem.h"
#include "base/suggest.h"
#include "base/text.h"
#include "base/utf8.h"

/* As faults name it. */
#define ANSWERS "standard input"

enum { CHUNK = 4096, SHOWN_MAX = 40, KNOWN_MAX = 64 };

/* ---- answers given beforehand ---- */

static enum fault_code read_all(FILE *in, struct text *t, struct fault *f)
{
	char chunk[CHUNK];
	size_t n;
	text_add(t, "");
	while ((n = fread(chunk, 1, sizeof chunk, in)) > 0)
		text_add_n(t, chunk, n);
	if (ferror(in) != 0)
		return fault_set(f, FAULT_IO, ANSWERS ": cannot be read");
	return text_ok(t, ANSWERS, f);
}

enum fault_code asker_open(struct asker *a, FILE *in, FILE *out, bool terminal, struct faults *wrong, struct fault *f)
{
	*a = (struct asker){.in = in, .out = out, .terminal = terminal, .wrong = wrong};
	if (terminal)
		return FAULT_NONE;
	struct text t;
	text_init(&t, INI_FILE_MAX + 1);
	enum fault_code code = read_all(in, &t, f);
	if (code == FAULT_NONE && ini_parse_bare(ANSWERS, t.at, t.len, &a->doc, wrong) == FAULT_MEMORY)
		code = fault_set(f, FAULT_MEMORY, "out of memory");
	text_free(&t);
	if (code != FAULT_NONE)
		return code;
	a->used = mem_new(a->doc.entries + 1, sizeof *a->used);
	return a->used != NULL ? FAULT_NONE : fault_set(f, FAULT_MEMORY, "out of memory");
}

void asker_close(struct asker *a)
{
	ini_free(&a->doc);
	mem_free(a->used);
	a->used = NULL;
}

static struct ini_entry *answer_to(struct asker *a, const char *key)
{
	for (size_t i = 0; i < a->doc.entries; i++)
		if (!a->used[i] && strcmp(a->doc.entry[i].key, key) == 0) {
			a->used[i] = true;
			return &a->doc.entry[i];
		}
	return NULL;
}

static enum fault_code look_up(struct asker *a, const struct question *q, const char *fallback, asker_take *take,
			       void *into, bool *taken, struct fault *f)
{
	const struct ini_entry *e = answer_to(a, q->key);
	const char *answer = e != NULL && *e->value != '\0' ? e->value : fallback;
	int line = e != NULL ? e->line : 0;
	struct fault bad;
	*taken = e != NULL || (fallback != NULL && fallback[0] != '\0');
	if (answer == NULL) {
		ini_fault(&a->doc, line, a->wrong, "%s is missing; as %s = %s", q->key, q->key, q->example);
		return FAULT_NONE;
	}
	if (*answer == '\0')
		*taken = false;
	if (!*taken || take(into, answer, &bad) == FAULT_NONE)
		return FAULT_NONE;
	if (bad.code == FAULT_MEMORY)
		return (*f = bad).code;
	ini_fault(&a->doc, line, a->wrong, "%s", bad.text);
	return FAULT_NONE;
}

void asker_unused(struct asker *a, const struct question *q, size_t n)
{
	const char *known[KNOWN_MAX];
	size_t m = 0;
	bool wrong = a->wrong->n > 0;
	for (; m < n && m < KNOWN_MAX; m++)
		known[m] = q[m].key;
	for (size_t i = 0; i < a->doc.entries; i++) {
		const struct ini_entry *e = &a->doc.entry[i];
		const char *near = suggest(e->key, known, m);
		bool known_one = near != NULL && strcmp(near, e->key) == 0;
		/* What follows from an answer that is wrong is not told as well. */
		if (a->used[i] || (known_one && wrong))
			continue;
		if (known_one)
			ini_fault(&a->doc, e->line, a->wrong,
				  "%s is one too many, or not asked for with these other answers", e->key);
		else if (near != NULL)
			ini_fault(&a->doc, e->line, a->wrong, "\"%.*s\" is not asked for; did you mean %s?",
				  utf8_most(e->key, SHOWN_MAX), e->key, near);
		else
			ini_fault(&a->doc, e->line, a->wrong, "\"%.*s\" is not asked for; man dewpost lists what is",
				  utf8_most(e->key, SHOWN_MAX), e->key);
	}
}

/* ---- a terminal ---- */

void asker_say(struct asker *a, const char *fmt, ...)
{
	va_list args;
	if (!a->terminal)
		return;
	va_start(args, fmt);
	vfprintf(a->out, fmt, args);
	va_end(args);
	fflush(a->out);
}

/* One line without its end and the blanks around it; *end where there is none any more. */
static bool read_line(struct asker *a, char line[static QUESTION_ANSWER_SIZE], bool *end)
{
	*end = fgets(line, QUESTION_ANSWER_SIZE, a->in) == NULL;
	if (*end)
		return false;
	size_t n = strlen(line);
	bool whole = n > 0 && line[n - 1] == '\n';
	for (int c = 0; !whole && (c = fgetc(a->in)) != EOF && c != '\n';)
		n = QUESTION_ANSWER_SIZE;
	if (n >= QUESTION_ANSWER_SIZE)
		return false;
	while (n > 0 && strchr(" \t\r\n", line[n - 1]) != NULL)
		line[--n] = '\0';
	size_t blanks = strspn(line, " \t");
	memmove(line, line + blanks, n - (blanks < n ? blanks : n) + 1);
	return utf8_bad(line, strlen(line)) == strlen(line);
}

/* What a file of keys would take for a remark, or not as text. */
static bool can_be_written(const char *answer, struct fault *f)
{
	const char *hash = strchr(answer, '#');
	for (const char *s = answer; *s != '\0'; s++)
		if ((unsigned char)*s < ' ' && *s != '\t') {
			fault_set(f, FAULT_CONFIG, "there is a control character in it; text alone is right");
			return false;
		}
	while (hash != NULL && hash != answer && hash[-1] != ' ' && hash[-1] != '\t')
		hash = strchr(hash + 1, '#');
	if (hash == NULL)
		return true;
	fault_set(f, FAULT_CONFIG, "a # behind a blank would begin a remark in the garden file; without it is right");
	return false;
}

static enum fault_code take_line(const char *answer, asker_take *take, void *into, struct fault *f)
{
	return can_be_written(answer, f) ? take(into, answer, f) : f->code;
}

static void prompt(struct asker *a, const struct question *q, const char *fallback)
{
	if (fallback != NULL && fallback[0] != '\0')
		asker_say(a, "%s [%s] ", q->ask, fallback);
	else
		asker_say(a, "%s ", q->ask);
}

/* One answer; *again: what is wrong with it was told. */
static enum fault_code ask_once(struct asker *a, const struct question *q, const char *fallback, asker_take *take,
				void *into, bool *again, bool *taken, struct fault *f)
{
	char line[QUESTION_ANSWER_SIZE];
	struct fault bad;
	bool end;
	*again = true;
	*taken = false;
	prompt(a, q, fallback);
	if (!read_line(a, line, &end)) {
		if (end)
			return fault_set(f, FAULT_DATA, "the answers ended; nothing is written");
		asker_say(a, "  that is too long, or no text\n");
		return FAULT_NONE;
	}
	const char *answer = line[0] != '\0' ? line : fallback;
	if (answer == NULL) {
		asker_say(a, "  it is needed; as %s\n", q->example);
		return FAULT_NONE;
	}
	if (strcmp(answer, "?") == 0 && q->help != NULL) {
		asker_say(a, "  %s; as %s\n", q->help, q->example);
		return FAULT_NONE;
	}
	*taken = answer[0] != '\0';
	*again = *taken && take_line(answer, take, into, &bad) != FAULT_NONE;
	if (*again && bad.code == FAULT_MEMORY)
		return (*f = bad).code;
	if (*again)
		asker_say(a, "  %s\n", bad.text);
	return FAULT_NONE;
}

static enum fault_code ask_until_right(struct asker *a, const struct question *q, const char *fallback,
				       asker_take *take, void *into, bool *taken, struct fault *f)
{
	bool again = true;
	while (again)
		if (ask_once(a, q, fallback, take, into, &again, taken, f) != FAULT_NONE)
			return f->code;
	return FAULT_NONE;
}

enum fault_code asker_ask(struct asker *a, const struct question *q, const char *fallback, asker_take *take, void *into,
			  bool *taken, struct fault *f)
{
	*taken = false;
	return a->terminal ? ask_until_right(a, q, fallback, take, into, taken, f)
			   : look_up(a, q, fallback, take, into, taken, f);
}
