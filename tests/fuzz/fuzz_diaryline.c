/*
 * Any bytes as lines of a diary: refused with one line of text, or entries that the record takes and that are said
 * back.
 */
#include <assert.h>
#include <math.h>
#include <stdint.h>
#include <string.h>

#include "base/utf8.h"
#include "garden/diaryline.h"
#include "note/entrywords.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

enum { LINE_SIZE = 512, SAID_SIZE = 1024, TODAY = 20592, AWAY_MOST = 366 };

static void name(char *to, const char *from)
{
	memcpy(to, from, strlen(from) + 1);
}

/* An invented garden; one planting has a month's name. */
static void make(struct garden *g)
{
	static const char *const plantings[] = {"green-1", "green-2", "may"};
	g->units = UNIT_US;
	g->beds = g->tubs = 1;
	name(g->bed[0].name, "south");
	name(g->tub[0].name, "patio");
	for (size_t i = 0; i < sizeof plantings / sizeof *plantings; i++) {
		struct planting *p = &g->planting[g->plantings++];
		name(p->name, plantings[i]);
		name(p->crop, i < 2 ? "gourdlet" : "redberry");
		name(p->in, i == 1 ? "patio" : "south");
	}
}

static void check_text(const char *s, size_t size)
{
	size_t n = strlen(s);
	assert(n > 0 && n < size && utf8_bad(s, n) == n);
	for (size_t i = 0; i < n; i++)
		assert((unsigned char)s[i] >= ' ');
}

static void check_entry(const struct entry *e)
{
	char mem[SAID_SIZE];
	struct text t;
	enum verb v = verb_of(e);
	assert(v < VERBS && e->id == 0 && e->undoes == 0);
	assert(e->date.n <= TODAY || (v == VERB_AWAY && e->date.n <= TODAY + AWAY_MOST));
	assert(isnan(e->amount) || isfinite(e->amount));
	check_text(e->text, sizeof e->text);
	text_over(&t, mem, sizeof mem);
	entrywords_dated(e, UNIT_US, (struct date){TODAY}, &t);
	assert(!t.full);
	check_text(mem, sizeof mem);
}

static void read_line(const struct garden *g, const char *line)
{
	struct diaryline out;
	struct fault f = {0};
	if (diaryline_read(line, g, (struct date){TODAY}, &out, &f) != FAULT_NONE) {
		assert(f.code == FAULT_DATA);
		check_text(f.text, sizeof f.text);
		return;
	}
	assert(out.n > 0 && out.n <= DIARYLINE_ENTRIES);
	for (size_t i = 0; i < out.n; i++)
		check_entry(&out.entry[i]);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
	static struct garden garden;
	if (garden.plantings == 0)
		make(&garden);
	for (size_t i = 0; i < size;) {
		const uint8_t *end = memchr(data + i, '\n', size - i);
		size_t n = end != NULL ? (size_t)(end - data) - i : size - i;
		char line[LINE_SIZE];
		size_t kept = n < sizeof line ? n : sizeof line - 1;
		memcpy(line, data + i, kept);
		line[kept] = '\0';
		read_line(&garden, line);
		i += n + 1;
	}
	return 0;
}
