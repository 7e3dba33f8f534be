/*
 * A growing set of names, each with its number: 0, 1, 2 ... in the order they came.
 *
 * For tens of thousands of them: finding one costs the same however many there are.
 */
#ifndef BASE_NAMES_H
#define BASE_NAMES_H

#include <stddef.h>
#include <stdint.h>

#include "base/fault.h"

struct names {
	char **at; /* n of them; a number stays a name's own */
	size_t n, cap;
	size_t *slot; /* number + 1, 0 where free */
	size_t slots;
};

/* An empty set is {0}. */
void names_free(struct names *s);

/* The number of a name, which is added where it is new: then it was s->n before.  FAULT_MEMORY leaves the set alone. */
enum fault_code names_add(struct names *s, const char *name, size_t *number, struct fault *f) MUST_USE;

#endif
