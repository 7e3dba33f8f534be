/*
 * The parts of the manual pages that the program's own tables make, as mdoc(7).
 *
 * A page in docs/man is written by hand; a line `.\" TABLE: name` in it stands
 * for one of the parts below.  The build fills them in, so that a page cannot
 * say anything else than the program does.
 */
#ifndef MANUAL_PAGES_H
#define MANUAL_PAGES_H

#include "base/fault.h"
#include "base/text.h"

enum { PAGES_SIZE = 256 * 1024 };

/* A page with its parts filled in, remarks left out; FAULT_DATA where it names one that is not there. */
enum fault_code pages_fill(const char *page, struct text *t, struct fault *f) MUST_USE;

#endif
