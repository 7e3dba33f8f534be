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

/* The same with several, in their order: all or none. */
enum fault_code diary_append_all(struct record *rec, const char *garden, struct entry *entries, size_t n,
				 struct fault *f) MUST_USE;

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

/*
 * What is remembered of the grower's diary file: of each line that it had when it was read last, how many copies
 * were taken in and how many could not be understood (and were said).
 */
struct diary_line {
	int64_t line; /* hash of its text */
	int64_t taken, refused;
};

/* By `line`; mem_free(*lines). */
enum fault_code diary_lines(struct record *rec, const char *garden, struct diary_line **lines, size_t *n,
			    struct fault *f) MUST_USE;

/*
 * Append the entries of new lines and remember the file as it is now, in place of how it was: both or neither.
 * Nothing is done, and *done is false, where the record no longer remembers what `before` says: another run was
 * here meanwhile.
 */
enum fault_code diary_take_lines(struct record *rec, const char *garden, const struct entry *entries, size_t n,
				 const struct diary_line *before, size_t n_before, const struct diary_line *now,
				 size_t n_now, bool *done, struct fault *f) MUST_USE;

enum diary_view {
	DIARY_STANDING, /* without entries taken back, without the undos */
	DIARY_ALL,
};

/* By date, then in the order they came in.  mem_free(*entries). */
enum fault_code diary_list(struct record *rec, const char *garden, enum diary_view view, struct entry **entries,
			   size_t *n, struct fault *f) MUST_USE;

#endif
