/*
 * Address templates, RFC 6570 level 1: literal text and {name}.
 */
#ifndef SOURCE_TEMPLATE_H
#define SOURCE_TEMPLATE_H

#include <stdbool.h>
#include <stddef.h>

#include "base/fault.h"

struct template_part {
	bool variable; /* a name, without its braces */
	const char *s;
	size_t n;
};

/* The next part at *at, which moves on; false at the end, and where a brace is not closed (see template_check). */
bool template_next(const char **at, struct template_part *part);

/* Braces pair, names are not empty and of a-z, 0-9 and _. */
enum fault_code template_check(const char *s, struct fault *f) MUST_USE;

/* The whole template is one variable. */
bool template_is_variable(const char *s, struct template_part *part);

bool template_part_is(const struct template_part *part, const char *name);

#endif
