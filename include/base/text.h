/*
 * A text buffer with a stated upper size, over the caller's memory or grown.
 *
 * Adding never fails on the spot: what does not fit is dropped and `full` is
 * set, to be asked once at the end (text_ok).  From then on nothing is added, so
 * that what is there is always the beginning of the whole.  The bytes always end
 * in NUL and are never cut inside a UTF-8 character.
 */
#ifndef BASE_TEXT_H
#define BASE_TEXT_H

#include <stdbool.h>
#include <stddef.h>

#include "base/fault.h"

struct text {
	char *at;   /* NUL-terminated */
	size_t len; /* bytes before the NUL */
	size_t cap; /* bytes available now, the NUL included */
	size_t max; /* bytes it may grow to, the NUL included; = cap over caller's memory */
	bool owned; /* grown by us: text_free gives it back */
	bool full;  /* something did not fit */
};

/* A buffer over mem[cap], cap >= 1; never allocates. */
void text_over(struct text *t, char *mem, size_t cap);

/* A growing buffer of at most max bytes, the NUL included; allocates on first use. */
void text_init(struct text *t, size_t max);
void text_free(struct text *t);

void text_add(struct text *t, const char *s);
void text_add_n(struct text *t, const char *s, size_t n);
void text_add_char(struct text *t, char c, size_t times);
void text_addf(struct text *t, const char *fmt, ...) PRINTF_LIKE(2, 3);

/* As much of a text as fits into a fixed field; false where that is not all of it. */
bool text_copy(char *to, size_t size, const char *from);

/* Empty it, keeping the memory. */
void text_clear(struct text *t);

/* Fine, or FAULT_DATA "WHAT is longer than N bytes" (FAULT_MEMORY where memory ran out). */
enum fault_code text_ok(const struct text *t, const char *what, struct fault *f) MUST_USE;

#endif
