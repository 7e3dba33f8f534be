/*
 * What a grower's diary can say: one verb a line, in the trade's words.
 *
 * The record keeps a verb by its word, so a word never changes its meaning.  How a line is
 * understood is garden/diaryline's business.
 */
#ifndef FACTS_VERB_H
#define FACTS_VERB_H

#include "facts/entry.h"

enum verb {
	/* what was done with a planting, and what it did */
	VERB_SOWN,
	VERB_UP,        /* seedlings are through */
	VERB_TRUE_LEAF, /* the first true leaf is open */
	VERB_THINNED,
	VERB_POTTED_ON,
	VERB_PUT_OUT,     /* stood outdoors for some hours, to harden */
	VERB_PLANTED_OUT, /* into its bed or tub */
	VERB_MALE,        /* first male flower open */
	VERB_FEMALE,      /* first female flower open */
	VERB_POLLINATED,
	VERB_PICKED,  /* amount: fruits; NaN where not said */
	VERB_WATERED, /* amount: litres; NaN where not said */
	VERB_FED,
	VERB_STRAWED,
	VERB_COVERED,
	VERB_UNCOVERED,
	VERB_FOUND, /* something on it: the text says what */
	VERB_ENDED,
	/* readings */
	VERB_LOW,  /* the night's low, that of the date's morning; amount: deg C */
	VERB_SOIL, /* soil at seed depth about 8 am; amount: deg C */
	VERB_RAIN, /* in the gauge, of the 24 hours before; amount: mm */
	/* the rest */
	VERB_SPROUTED, /* seeds of ten in a test that came up; amount: 0..10 */
	VERB_AWAY,     /* from the date on; amount: days, the first and the last counted */
	VERB_NOTE,
	VERBS
};

/* The word that stands for it in the record: "planted out". */
const char *verb_word(enum verb v);

/* The verb of an entry; VERBS where its word is none of ours (a later version's): it is passed over. */
enum verb verb_of(const struct entry *e);

#endif
