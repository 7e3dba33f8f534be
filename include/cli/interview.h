/*
 * What set-up asks, and what it makes of the answers: the values of a garden file.
 */
#ifndef CLI_INTERVIEW_H
#define CLI_INTERVIEW_H

#include <stddef.h>

#include "base/date.h"
#include "base/fault.h"
#include "cli/context.h"
#include "cli/question.h"
#include "garden/sample.h"

/*
 * Ask all there is to ask.  The context's tables are loaded.  Guesses are made of ETC (zoneguess.h), of the
 * answers before, and of the descriptions there are.
 *
 * Returned  FAULT_DATA where an answer given beforehand is wrong (said in asker->wrong), or where the answers end
 */
enum fault_code interview(struct context *c, struct asker *a, const char *etc, struct sample_values *values,
			  struct fault *f) MUST_USE;

/* The questions in their order, for the manual; NULL past the last. */
const struct question *interview_question(size_t i);

#endif
