/*
 * What a line says, decision by decision: each has its file say_*.c, and its row here.
 */
#ifndef NOTE_SAY_H
#define NOTE_SAY_H

#include "note/note.h"

struct saying {
	/* After the verdict's word: plantings and time, " green-1 and tom-1 today by 7 pm". */
	void (*act)(const struct note_facts *n, const struct line *l, struct text *t);
	/* After that: the number that decides, how sure, the caution; it ends the sentence. */
	void (*rest)(const struct note_facts *n, const struct line *l, struct text *t);
	/* The day in a few words where this line leads: "planting weather". */
	void (*head)(const struct note_facts *n, const struct line *l, struct text *t);
};

extern const struct saying say_cover, say_plantout, say_harden, say_settle, say_sow, say_tray;

const struct saying *say_of(enum decision d);

/* ---- what they share ---- */

/* Depth of the seed, and of its soil (common practice, 1 in). */
#define SAY_SEED_M 0.0254

/* "green-1, green-2 and tom-1" */
void say_plantings(const struct note_facts *n, const struct line *l, struct text *t);

/* Is any planting of the line news? */
bool say_is_news(const struct line *l);

/* Has a line before this one told in full what goes for all of its decision? */
bool say_told_before(const struct note_facts *n, const struct line *l);

const char *say_plural(double n, const char *one, const char *more);

#endif
