/*
 * "did you mean": the nearest of some known words, by edit distance.
 */
#ifndef BASE_SUGGEST_H
#define BASE_SUGGEST_H

#include <stddef.h>

/* The nearest word within two edits (one for words of up to three letters, none for a single letter); NULL where none
 * is. */
const char *suggest(const char *word, const char *const *known, size_t n);

/* Edit distance (insert, delete, change, swap of neighbours) in bytes, case of A-Z ignored; at most `limit` + 1. */
size_t suggest_distance(const char *a, const char *b, size_t limit);

#endif
