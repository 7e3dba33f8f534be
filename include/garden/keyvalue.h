/*
 * One value of one row of a key table: text in, checked and stored.
 *
 * The part of garden/keys that knows values; sections are not its business.
 */
#ifndef GARDEN_KEYVALUE_H
#define GARDEN_KEYVALUE_H

#include <stdbool.h>
#include <stddef.h>

#include "base/fault.h"
#include "base/utf8.h"
#include "garden/keys.h"

enum { KEY_SHOWN_MAX = 40, KEY_LIST_SIZE = 160 };

/* For "%.*s": what the grower wrote, short enough to leave room for the remedy. */
#define KEY_SHOWN(value) utf8_most((value), KEY_SHOWN_MAX), (value)

/* Store the value of a row; what is wrong is said without file and line.  On a fault nothing is stored. */
enum fault_code key_set(const struct key *k, const char *value, void *into, struct fault *f) MUST_USE;

/* Store what stands for "not given": NaN, 0, no date, "". */
void key_set_none(const struct key *k, void *into);

size_t key_words(const struct key *k); /* how many choices a row has */

/* Whether s is one word of less than `size` bytes, fit to be a name. */
bool key_one_word(const char *s, size_t size);

/* "hand, drip or sprinkler", with "or" or "and" before the last */
const char *key_listed(const char *const *word, size_t n, const char *last, char buf[static KEY_LIST_SIZE]);

/* What to say of a word that is not among the known: 'did you mean "drip"?', else the list of them. */
const char *key_remedy(const char *word, const char *const *known, size_t n, char buf[static KEY_LIST_SIZE]);

/* "0..40 C (32..104 F)" */
void key_range(const struct key *k, char buf[static KEY_LIST_SIZE]);

#endif
