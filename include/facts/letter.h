/*
 * A letter: one note on its way out, as the outbox keeps it.
 */
#ifndef FACTS_LETTER_H
#define FACTS_LETTER_H

#include <stdint.h>

#include "base/date.h"

enum { LETTER_GARDEN_SIZE = 64, LETTER_WAY_SIZE = 256 }; /* any mail address is a way */

enum letter_state { LETTER_COMPOSED, LETTER_SENDING, LETTER_SENT, LETTER_UNKNOWN, LETTER_FAILED, LETTER_EXPIRED };

struct letter {
	char garden[LETTER_GARDEN_SIZE]; /* the garden's id */
	struct date date;                /* the local day it is for */
	char way[LETTER_WAY_SIZE];       /* recipient, or "screen" */
	int64_t cut;                     /* the instant it was composed at */
	enum letter_state state;
	int64_t changed; /* instant of the last change of state */
};

const char *letter_state_name(enum letter_state s);

#endif
