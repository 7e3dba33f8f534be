/*
 * A garden's letters on their way: delivery (cli/deliver) with the run's own clock, mail and file.
 */
#ifndef CLI_CARRY_H
#define CLI_CARRY_H

#include "base/fault.h"
#include "cli/context.h"
#include "cli/deliver.h"
#include "post/post.h"

struct carry {
	const struct context *context;
	struct mail mail; /* the garden's, its paths beside the garden file */
	struct post_settings post;
	struct delivery delivery; /* points into this */
};

/* For the context's garden, day and record, which is open to write.  *c must stay where it is. */
enum fault_code carry_begin(const struct context *context, enum letter_kind kind, struct carry *c,
			    struct fault *f) MUST_USE;

/* One message of whatever kind by the garden's way, without the outbox. */
enum fault_code carry_send(struct carry *c, const struct message *m, enum post_result *result,
			   struct fault *f) MUST_USE;

#endif
