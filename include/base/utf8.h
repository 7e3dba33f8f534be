/*
 * UTF-8: validity, display width, cutting and wrapping for notes.
 *
 * Width follows libc's wcwidth under LC_CTYPE C.UTF-8, which main sets.
 */
#ifndef BASE_UTF8_H
#define BASE_UTF8_H

#include <stdbool.h>
#include <stddef.h>

#include "base/text.h"

/* Offset of the first byte that is not UTF-8 (or is NUL), n where all is well. */
size_t utf8_bad(const char *s, size_t n);

/* Columns that s[0..n) takes; a byte that is not UTF-8 or not printable counts 1. */
size_t utf8_width(const char *s, size_t n);

/* Largest length <= n that does not cut a character of s. */
size_t utf8_cut(const char *s, size_t n);

/* Bytes of s, at most `most`, that end with a whole character: for "%.*s" in a fault. */
int utf8_most(const char *s, size_t most);

/*
 * Add words to t, wrapped at `columns`, each line after the first behind
 * `indent` blanks; `at` is the column the first word starts in.  A word longer
 * than a line stands alone; the first one stays at `at` in any case.  No line break is added at the end.
 * Two blanks after each other in words are kept as one unbreakable piece.
 */
void utf8_wrap(struct text *t, const char *words, size_t at, size_t indent, size_t columns);

#endif
