/*
 * Keys of our INI files: every key is one row of one table.
 *
 * The table reads a section into its struct and says what is wrong with line and
 * remedy; garden/sample writes files with it.  What several keys mean
 * together is the business of whoever owns the table (garden/garden,
 * garden/tables).
 */
#ifndef GARDEN_KEYS_H
#define GARDEN_KEYS_H

#include <stdbool.h>
#include <stddef.h>

#include "base/fault.h"
#include "base/ini.h"
#include "base/text.h"
#include "base/unit.h"

enum key_kind {
	KEY_NUMBER, /* double without a unit */
	KEY_VALUE,  /* double with a unit of the row's family, stored in the inside unit */
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

enum { KEY_WORDS_MAX = 8 };

struct key {
	const char *name;
	enum key_kind kind;
	enum unit_family family;             /* KEY_VALUE */
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
};

enum { KEY_WORD_SIZE = 32 }; /* names of sections and what refers to them, the NUL included */

/*
 * Check the heads of all sections: known kinds, names where they belong, none
 * twice.  Faults go to `all`.
 */
void keys_heads(const struct ini *doc, const struct key_section *kind, size_t kinds, struct faults *all);

/* The row of a section's kind, NULL where the file's kind is not known. */
const struct key_section *keys_section(const struct key_section *kind, size_t kinds, const char *name);

/*
 * Fill the struct of a section.  `whole`: what is not given takes its
 * fallback and required keys are asked for; else only what is given is touched.
 */
void keys_fill(const struct ini *doc, const struct ini_section *s, const struct key_section *kind, bool whole,
	       void *into, struct faults *all);

/* Add "FILE:LINE: KIND "NAME": text" to the list (no kind and name for a section without one). */
void keys_fault(const struct ini *doc, const struct ini_section *s, int line, struct faults *all, const char *fmt, ...)
    PRINTF_LIKE(5, 6);

/* "Help: its words, its range; what it is where not given (needed)": the sample's and the manual's line. */
void keys_help(const struct key *k, struct text *t);

#endif
