#include "note/soilline.h"

#include "base/utf8.h"
#include "note/phrase.h"

enum { SOIL_PIECE = 256, SOIL_INDENT = 8 };

/* From here on soil holds back nothing that waits: 70 F (judgement). */
static const double SOIL_WARM_C = 38 / 1.8;

static bool waits(const struct note_facts *n, size_t i)
{
	enum planting_where where = n->state->planting[i].where;
	return (where == PLANTING_IN_TRAY || where == PLANTING_TO_COME) && n->garden->planting[i].in[0] != '\0';
}

const struct planting *soilline_of(const struct note_facts *n)
{
	for (size_t i = 0; i < n->state->plantings; i++)
		if (waits(n, i) && season_soil(n->state, i, n->state->today).c < SOIL_WARM_C)
			return &n->garden->planting[i];
	return NULL;
}

static struct soil soil_of(const struct note_facts *n, const struct planting *p)
{
	return season_soil(n->state, (size_t)(p - n->garden->planting), n->state->today);
}

bool soilline_unread(const struct note_facts *n)
{
	const struct planting *p = soilline_of(n);
	return p != NULL && soil_of(n, p).basis == SOIL_RECKONED;
}

void soilline_write(const struct note_facts *n, struct text *t)
{
	const struct planting *p = soilline_of(n);
	char mem[SOIL_PIECE];
	struct text words;
	if (p == NULL)
		return;
	struct soil soil = soil_of(n, p);
	text_over(&words, mem, sizeof mem);
	phrase_degrees_unit(&words, soil.c, n->garden->units);
	text_addf(&words, " at %s, %s at 8 am ", n->garden->units == UNIT_US ? "4 in" : "10 cm", p->in);
	if (soil.basis == SOIL_RECKONED) {
		text_add(&words, "(reckoned for bare soil, no reading of yours).");
	} else {
		bool today = date_diff(n->state->today, soil.read) == 0;
		text_add(&words, "(your reading");
		if (!today) {
			text_add(&words, " of ");
			phrase_date(&words, soil.read, n->state->today);
			text_add(&words, ", carried forward");
		}
		text_add(&words, ").");
	}
	text_addf(t, "%-*s", SOIL_INDENT, "Soil");
	utf8_wrap(t, words.at, SOIL_INDENT, SOIL_INDENT, NOTE_COLUMNS);
	text_add(t, "\n");
}
