/*
 * A message to a program that takes mail as sendmail does.
 */
#ifndef POST_SENDMAIL_H
#define POST_SENDMAIL_H

#include <stddef.h>

#include "base/fault.h"
#include "post/result.h"

/* Common practice: what queues a letter is done in a second, what delivers it over the net within these. */
enum { SENDMAIL_LIMIT_MS = 300000 };

/*
 * PROGRAM -i -f FROM -- TO with the n bytes (lines ended by LF) on its standard input, without a shell.
 *
 * Exit status 0 is POST_SENT: queued, no more.  EX_TEMPFAIL and what may pass is POST_LATER, what speaks of the
 * letter or the addresses is POST_REFUSED; ended by a signal or not ended within limit_ms (then it is killed)
 * is POST_UNKNOWN.  A program that cannot be started is POST_LATER and FAULT_CONFIG.  The first line that it prints
 * stands in the fault; nothing of it reaches our own output.
 *
 * Given   program  a path, no name to be looked for
 * Source  sysexits(3)
 */
enum fault_code sendmail_put(const char *program, int limit_ms, const char *from, const char *to, const char *bytes,
			     size_t n, enum post_result *result, struct fault *f) MUST_USE;

#endif
