/*
 * A note on the invented garden, composed of hand-made nights: the facts, and what it says.
 */
#ifndef TESTS_LIB_MORNING_H
#define TESTS_LIB_MORNING_H

#include "lib/bed.h"
#include "lib/harness.h"
#include "note/note.h"

struct morning {
	struct crops crops;
	struct garden garden;
	struct zone zone;
	struct season_state state, before;
	struct advice_list today, said;
	struct lines lines;
	struct changes changes;
	struct note_facts facts;
	char mem[4 * NOTE_SIZE];
	struct text t; /* what was written last */
};

extern struct morning morning;

/* The garden of lib/bed.h without plantings, five hours behind UTC; no text. */
void morning_setup(void);

/*
 * Judge and rank as of the bed's morning: n nights from tonight on, in F.
 * Given    was_f   n + 1 nights of the morning before, from its own tonight on; NULL: there is none
 */
void morning_compose(const double *low_f, size_t n, const double *was_f);

/* The same again after the state was changed by hand. */
void morning_again(bool before);

/* Write the note; its text. */
const char *morning_note(void);

/* The text in one line, each break and indent a blank: where words are what matters. */
const char *morning_flat(void);

#define HAS(row, what)                                                                                                 \
	ck_assert_msg(strstr(morning_flat(), what) != NULL, "%s: \"%s\" is not in\n%s", row, what, morning.t.at)
#define LACKS(row, what)                                                                                               \
	ck_assert_msg(strstr(morning_flat(), what) == NULL, "%s: \"%s\" is in\n%s", row, what, morning.t.at)

#endif
