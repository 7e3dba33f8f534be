/*
 * The garden's source fetched into the garden's record.
 */
#ifndef CLI_FETCH_H
#define CLI_FETCH_H

#include <stdbool.h>

#include "base/fault.h"
#include "cli/context.h"
#include "cli/fetchrun.h"

/*
 * Fetch, from the saved answers of the command line where there are any.  The
 * context is loaded and its record open to write.  Issues that no replay needs
 * are dropped.  Faults are those of fetchrun, and FAULT_USAGE where --at would
 * put another clock's time on what comes over the network.
 */
enum fault_code fetch_source(struct context *c, struct fault *f) MUST_USE;

/* The same, and what came of it; *result is of no use where nothing was asked for yet. */
enum fault_code fetch_told(struct context *c, struct fetch_result *result, struct fault *f) MUST_USE;

#endif
