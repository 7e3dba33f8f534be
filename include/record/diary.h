/*
 * The diary of a garden: only ever appended to; taking back is an entry too.
 */
#ifndef RECORD_DIARY_H
#define RECORD_DIARY_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/fault.h"
#include "facts/entry.h"
#include "record/record.h"

/*
 * Append one entry; its id is set.
 * Where it undoes one, that must be an entry of this garden, no undo itself, and not taken back yet
 * (FAULT_USAGE says which of these it is).
 */
enum fault_code diary_append(struct record *rec, const char *garden, struct entry *e, struct fault *f) MUST_USE;

enum diary_view {
	DIARY_STANDING, /* without entries taken back, without the undos */
	DIARY_ALL,
};

/* By date, then in the order they were written.  mem_free(*entries). */
enum fault_code diary_list(struct record *rec, const char *garden, enum diary_view view, struct entry **entries,
			   size_t *n, struct fault *f) MUST_USE;

#endif
