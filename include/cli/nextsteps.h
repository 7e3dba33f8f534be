/*
 * What a grower does after set-up, for the note to come by itself.
 */
#ifndef CLI_NEXTSTEPS_H
#define CLI_NEXTSTEPS_H

#include "base/text.h"
#include "cli/context.h"

/* The context's garden is loaded; `password` is the file that the password is still to go into, NULL where none is. */
void nextsteps(const struct context *c, const char *password, struct text *t);

#endif
