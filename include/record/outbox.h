/*
 * The outbox: every note with its text, by (garden id, local date, kind, way).
 */
#ifndef RECORD_OUTBOX_H
#define RECORD_OUTBOX_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/fault.h"
#include "facts/letter.h"
#include "record/issuestore.h"
#include "record/record.h"

/* Put a letter in, over the one that is there: for the screen, where the last word counts. */
enum fault_code outbox_put(struct record *rec, const struct letter *letter, const char *text, struct fault *f) MUST_USE;

/* Put a letter in where there is none: *fresh says so.  For mail: of two runs at once just one is told true. */
enum fault_code outbox_add(struct record *rec, const struct letter *letter, const char *text, bool *fresh,
			   struct fault *f) MUST_USE;

/*
 * Move the letter to letter->state, with its changed, resent and said, if its state is `from` now: *moved says so.
 * Of two runs that try at once just one is told true.
 */
enum fault_code outbox_move(struct record *rec, const struct letter *letter, enum letter_state from, bool *moved,
			    struct fault *f) MUST_USE;

/* Letters of days before today are not sent any more: what waits is expired, what was under way unknown. */
enum fault_code outbox_expire(struct record *rec, const char *garden, struct date today, int64_t now,
			      struct fault *f) MUST_USE;

/* One letter, with its text where text is not NULL (mem_free); *found false: none, both left alone. */
enum fault_code outbox_get(struct record *rec, const char *garden, struct date date, enum letter_kind kind,
			   const char *way, struct letter *letter, char **text, bool *found, struct fault *f) MUST_USE;

/*
 * The instant at which a day's note of a kind was composed; INSTANT_NONE where there was none.
 * Of several ways the last one sent counts, where none was sent the last one composed.
 */
enum fault_code outbox_cut(struct record *rec, const char *garden, struct date date, enum letter_kind kind,
			   int64_t *cut, struct fault *f) MUST_USE;

/* The last morning note of a garden that was delivered. */
enum fault_code outbox_last(struct record *rec, const char *garden, struct letter *letter, bool *found,
			    struct fault *f) MUST_USE;

/*
 * When the morning notes of all gardens were composed, and the mornings before them, rising: what
 * issuestore_thin keeps issues for.  Where the morning before had no letter, it is all that 06:00 may be
 * in a time zone.  mem_free(*spans).
 */
enum fault_code outbox_cuts(struct record *rec, struct issue_span **spans, size_t *n, struct fault *f) MUST_USE;

#endif
