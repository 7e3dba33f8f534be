/*
 * What `dewpost check` has found: one line a thing, and the code of the first that is wrong.
 */
#ifndef CLI_FINDINGS_H
#define CLI_FINDINGS_H

#include <stdbool.h>

#include "base/fault.h"
#include "base/text.h"
#include "cli/context.h"

struct findings {
	struct text lines;
	enum fault_code code; /* of the first thing that is wrong: the later ones often follow from it */
};

/* Begin the line of a thing; what is said of it goes to `lines`, a line break behind it. */
void findings_head(struct findings *w, const char *what);

/* What is wrong is a line too. */
void findings_wrong(struct findings *w, const char *what, const struct fault *f);

/* All of a list, which is empty then. */
void findings_all_wrong(struct findings *w, const char *what, struct faults *list);

/* The record: its health, the newest forecast and its cell, the last runs if `runs`, and a low to compare. */
void findings_record(struct context *c, bool runs, struct findings *w);

#endif
