/*
 * A note from the record to the grower: what the morning's and the evening's have in common.
 */
#ifndef CLI_NOTEOUT_H
#define CLI_NOTEOUT_H

#include "cli/compose.h"
#include "cli/context.h"
#include "facts/letter.h"

/* The way of a letter that was printed. */
#define NOTEOUT_SCREEN "screen"

struct noteout {
	enum letter_kind kind;
	const char *whose; /* "today's", for who asks again */
	/* As compose does; *m NULL: there is nothing to say, and nothing goes out. */
	enum fault_code (*compose)(struct context *c, int64_t cut, struct composed **m, struct fault *f);
};

/*
 * Bring the record up to date where it is old, compose, and print the note or send it to whoever has not had it.
 * The record is open to write.
 */
enum fault_code noteout(struct context *c, const struct noteout *o, struct fault *f) MUST_USE;

#endif
