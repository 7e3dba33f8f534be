/*
 * A commented file made from the tables of keys: as a sample of all there is, or
 * with what somebody has answered written in.
 */
#ifndef GARDEN_SAMPLE_H
#define GARDEN_SAMPLE_H

#include <stddef.h>

#include "base/fault.h"
#include "base/text.h"
#include "garden/keys.h"

/* "key = value" of the section [kind name]; name "" for one without, key "" for a section that has no value. */
struct sample_value {
	const char *kind, *name, *key, *value;
};

/* Values one after the other, name and value copied; kind and key stay whose they are. */
struct sample_values {
	struct sample_value *at;
	size_t n, room;
};

enum fault_code sample_add(struct sample_values *v, const char *kind, const char *name, const char *key,
			   const char *value, struct fault *f) MUST_USE;
void sample_free(struct sample_values *v);

/*
 * All kinds of sections and all their keys with their help.  What has a value stands with it, sections in
 * the order of their first value; a key of a kind that has a name, and a key that is not required, stands
 * behind # with its example where it has none.  Help is written once a kind.  values NULL: the sample.
 */
void sample_write(const struct key_section *kind, size_t kinds, const struct sample_values *values, struct text *t);

#endif
