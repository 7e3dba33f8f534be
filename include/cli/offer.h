/*
 * What descriptions of services there are, and which of them fit a garden's country.
 */
#ifndef CLI_OFFER_H
#define CLI_OFFER_H

#include <stdbool.h>
#include <stddef.h>

#include "base/fault.h"
#include "cli/context.h"
#include "facts/issue.h"
#include "source/describe.h"

enum { OFFERS_MAX = 64 };

struct offer {
	char name[ISSUE_SOURCE_SIZE], title[ISSUE_TITLE_SIZE];
	enum describe_fit fit;
	bool contact;  /* wants to know whom to write to */
	bool forecast; /* can be a garden's source, ... */
	bool past;     /* ... its history */
};

struct offers {
	size_t n;
	struct offer at[OFFERS_MAX];
};

/*
 * Those that fit, a country's own before those of the whole world, else by name.  A description that is
 * wrong is left out, and why is in the list.
 */
enum fault_code offers_load(const struct context *c, const char *country, struct offers *o, struct faults *left_out,
			    struct fault *f) MUST_USE;

const struct offer *offers_named(const struct offers *o, const char *name); /* NULL where there is none */

#endif
