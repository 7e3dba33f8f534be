/*
 * A letter: one note on its way out, as the outbox keeps it.
 */
#ifndef FACTS_LETTER_H
#define FACTS_LETTER_H

#include <stdbool.h>
#include <stdint.h>

#include "base/date.h"

enum {
	LETTER_GARDEN_SIZE = 64,
	LETTER_WAY_SIZE = 256, /* a mail address at its longest */
	LETTER_SUBJECT_SIZE = 256,
	LETTER_SAID_SIZE = 240,
};

/* A day has one of each. */
enum letter_kind { LETTER_MORNING, LETTER_EVENING, LETTER_KINDS };

enum letter_state { LETTER_COMPOSED, LETTER_SENDING, LETTER_SENT, LETTER_UNKNOWN, LETTER_FAILED, LETTER_EXPIRED };

struct letter {
	char garden[LETTER_GARDEN_SIZE]; /* the garden's id */
	struct date date;                /* the local day it is for */
	enum letter_kind kind;
	char way[LETTER_WAY_SIZE]; /* recipient, or "screen" */
	int64_t cut;               /* the instant it was composed at */
	enum letter_state state;
	int64_t changed;                   /* instant of the last change of state */
	char subject[LETTER_SUBJECT_SIZE]; /* "" for the screen */
	bool resent;                       /* sent a second time, for nobody knew whether the first had arrived */
	char said[LETTER_SAID_SIZE];       /* why it did not go the last time; "" where all went well */
};

const char *letter_state_name(enum letter_state s);
const char *letter_kind_name(enum letter_kind k);

#endif
