/*
 * From the record and a cut to all that a note is made of.
 */
#ifndef CLI_COMPOSE_H
#define CLI_COMPOSE_H

#include <stdbool.h>
#include <stdint.h>

#include "base/fault.h"
#include "cli/context.h"
#include "cli/past.h"
#include "note/note.h"

struct composed {
	struct season_state state, before; /* at the cut and at that of the morning before */
	struct advice_list advice, said;   /* of both */
	bool any_before;                   /* that morning had a forecast */
	struct lines lines;
	struct changes changes;
	struct past past;      /* what is learned of the place */
	struct entry *entries; /* the diary, `entry_count` of them */
	size_t entry_count;
	struct supply *supply; /* who gave past hours, `supplies` of them */
	size_t supplies;
	struct note_facts facts; /* points into this and into the context */
};

/*
 * Compose the note of a cut.  The morning before is composed anew with what was
 * known at its own cut; where it had no forecast all is news and nothing changed.
 * The record need not be open: nothing is known then.  *m is NULL on a fault.
 */
enum fault_code compose(struct context *c, int64_t cut, struct composed **m, struct fault *f) MUST_USE;

/*
 * Compose the evening's note of a cut: the same held against the morning of the same day, and of it what is about
 * tonight's covers alone.  Where nothing of that has changed *m is NULL, and that is no fault.
 */
enum fault_code compose_evening(struct context *c, int64_t cut, struct composed **m, struct fault *f) MUST_USE;

/* The state at the cut alone, for pages that are no note: no advice, no lines, no morning before. */
enum fault_code compose_state(struct context *c, int64_t cut, struct composed **m, struct fault *f) MUST_USE;

void compose_free(struct composed *m); /* NULL is fine */

/* What is known at the cut of the hours in [from, to); *newest may be NULL.  hours_free also after a fault. */
enum fault_code compose_known(struct context *c, int64_t from, int64_t cut, int64_t to, struct hours *hours,
			      struct issue *newest, struct fault *f) MUST_USE;

#endif
