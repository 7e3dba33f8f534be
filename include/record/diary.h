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
 * Append one entry; its id is set.  FAULT_DATA where a word or text of it is more than a line.
 * Where it undoes one, that must be an entry of this garden, no undo itself, and not taken back yet
 * (FAULT_USAGE says which of these it is).
 */
enum fault_code diary_append(struct record *rec, const char *garden, struct entry *e, struct fault *f) MUST_USE;

/* What became of entries that were taken in. */
struct diary_taken {
	size_t added, there; /* appended, and there already */
	size_t wrong;        /* which one a fault is about: its index */
};

/*
 * Append entries that were written elsewhere, or before, in the order that they are given: all or none.
 * One of the same instant and text that is there already is left as it is (of two in one second that say the same,
 * the second is there when two are).  Here `id` is any number that no earlier one has, and `undoes` that of an
 * earlier one; the record gives its own ids.
 */
enum fault_code diary_take(struct record *rec, const char *garden, const struct entry *entries, size_t n,
			   struct diary_taken *taken, struct fault *f) MUST_USE;

enum diary_view {
	DIARY_STANDING, /* without entries taken back, without the undos */
	DIARY_ALL,
};

/* By date, then in the order they came in.  mem_free(*entries). */
enum fault_code diary_list(struct record *rec, const char *garden, enum diary_view view, struct entry **entries,
			   size_t *n, struct fault *f) MUST_USE;

#endif
