/*
 * What a key of our INI files is: one row of one table.
 *
 * Any room may own such a table of its plain data; garden/keys is the reader,
 * and writes the sample file and the manual's section of it.
 */
#ifndef BASE_KEY_H
#define BASE_KEY_H

#include <stdbool.h>
#include <stddef.h>

#include "base/unit.h"

enum key_kind {
	KEY_NUMBER, /* double without a unit */
	KEY_VALUE,  /* double with a unit of the row's family, stored in the inside unit */
	KEY_SPREAD, /* struct spread with such a unit: "475 (350-650) C-days", or "475 C-days" */
	KEY_COUNT,  /* int */
	KEY_YES,    /* bool: yes or no */
	KEY_CHOICE, /* int: index into the row's words */
	KEY_DATE,   /* struct date; with words: one of them after it, its index stored at word_at (int) */
	KEY_NAME,   /* char[size]: one word */
	KEY_ID,     /* char[size]: one word of a-z, 0-9 and - */
	KEY_TEXT,   /* char[size]: anything printable */
	KEY_ZONE,   /* char[size]: the shape of a time zone's name; whether it exists is not asked here */
	KEY_SERVER, /* char[size]: one of the row's words as scheme, ://, a host, and a port where one is given; no user
		     */
	KEY_MAIL,   /* char[size]: one mail address */
};

/* A figure that comes out differently from case to case: what is likely, and the least and most of it. */
struct spread {
	double likely, least, most; /* NaN where not known; least <= likely <= most */
};

enum { KEY_WORDS_MAX = 8 };

struct key {
	const char *name;
	enum key_kind kind;
	enum unit_family family;             /* KEY_VALUE, KEY_SPREAD */
	double lo, hi;                       /* numbers, inside unit, both allowed */
	const char *word[KEY_WORDS_MAX + 1]; /* choices, NULL after the last */
	bool required;
	const char *fallback; /* as it would be written; NULL: NaN, 0, no date or "" */
	const char *example;  /* for the sample file, and what a fault proposes */
	const char *right;    /* what would be right, where the range does not say it all; may be NULL */
	const char *help;     /* one line for the sample file and the manual */
	size_t at;            /* offset in the section's struct */
	size_t size;          /* bytes there, texts only */
	size_t most;          /* texts only: may be given so often, one after the other from `at` on; 0: once */
	size_t count_at;      /* with most: how often it was (size_t) */
	size_t word_at;       /* KEY_DATE with words */
	size_t basis_at;      /* where "NAME.basis" goes; 0: the row has none */
	size_t basis_size;
};

/* One kind of section. */
struct key_section {
	const char *kind;
	bool named; /* [kind name], as many as there are; else [kind], once */
	const char *help;
	const struct key *key;
	size_t keys;
	/*
	 * Rows of another section that this one takes too, to overrule what that one says: none needed, none
	 * with a basis, and what is not given is left as it is.  Their struct lies at shared_at.
	 */
	const struct key *shared;
	size_t shareds, shared_at;
	const char *shared_help;
};

#endif
