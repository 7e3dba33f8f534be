/*
 * Keys of our INI files, read: every key is one row of one table (base/key).
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
#include "base/key.h"
#include "base/text.h"

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

/* Row i of a section's keys, its own first, then those it shares; i < keys_count. */
struct key keys_row(const struct key_section *kind, size_t i);
size_t keys_count(const struct key_section *kind);

/* "Help: its words, its range; what it is where not given (needed)": the sample's and the manual's line. */
void keys_help(const struct key *k, struct text *t);

#endif
