/*
 * dewpost check live: what only shows when it is tried.
 */
#ifndef CLI_CHECK_LIVE_H
#define CLI_CHECK_LIVE_H

#include "cli/context.h"
#include "cli/findings.h"

/* The context is loaded.  One polite fetch into its record, which is opened; and the clock against the service's. */
void check_live_fetch(struct context *c, struct findings *w);

/* A test message to each recipient, by the way that the garden file names. */
void check_live_mail(struct context *c, struct findings *w);

/* What starts the note by itself. */
void check_live_timers(struct findings *w);

/* A clock that cannot be right; says nothing where it can. */
void check_live_year(const struct context *c, struct findings *w);

#endif
