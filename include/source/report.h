/*
 * The report of a decoded answer as an aligned table: the only debugger of whoever writes a description.
 */
#ifndef SOURCE_REPORT_H
#define SOURCE_REPORT_H

#include "base/text.h"
#include "source/answer.h"
#include "source/describe.h"

/* One line a [var] section, then what was refused and the gaps, line by line.  out may be NULL. */
void report_print(const struct answer_report *rep, const struct description *d, const struct issue *out,
		  struct text *t);

#endif
