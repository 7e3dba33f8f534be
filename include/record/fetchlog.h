/*
 * The fetch log: what is remembered of requests, by (place, source, step); the
 * runs; and who has given past hours.
 */
#ifndef RECORD_FETCHLOG_H
#define RECORD_FETCHLOG_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/fault.h"
#include "facts/memo.h"
#include "record/record.h"

/* Runs are kept this long. */
enum { FETCHLOG_RUNS_S = 30 * 86400 };

/* Goes over what is there. */
enum fault_code fetchlog_put(struct record *rec, int64_t place, const struct memo *m, struct fault *f) MUST_USE;

/* *found false: never asked; *m is then left alone. */
enum fault_code fetchlog_get(struct record *rec, int64_t place, const char *source, const char *step, struct memo *m,
			     bool *found, struct fault *f) MUST_USE;

/* All memos of a place, the last asked first.  mem_free(*memos). */
enum fault_code fetchlog_list(struct record *rec, int64_t place, struct memo **memos, size_t *n,
			      struct fault *f) MUST_USE;

/*
 * Until when a service has shut us out (403, 429), for whatever place it was asked:
 * it counts who asks, not for where.  INSTANT_NONE: never did.
 */
enum fault_code fetchlog_held(struct record *rec, const char *source, int64_t *until, struct fault *f) MUST_USE;

/* What a step's answer gave: all of it at once, in the place of what was kept before; n 0 drops it. */
enum fault_code fetchlog_keep(struct record *rec, int64_t place, const char *source, const char *step,
			      const struct memo_found *found, size_t n, struct fault *f) MUST_USE;
enum fault_code fetchlog_kept(struct record *rec, int64_t place, const char *source, const char *step,
			      struct memo_found **found, size_t *n, struct fault *f) MUST_USE; /* mem_free(*found) */

/* Add a run; those that started more than FETCHLOG_RUNS_S before it go. */
enum fault_code fetchlog_run(struct record *rec, int64_t place, const struct run *run, struct fault *f) MUST_USE;

/* The last runs of a place, at most `most` of them, the newest first.  mem_free(*runs). */
enum fault_code fetchlog_runs(struct record *rec, int64_t place, size_t most, struct run **runs, size_t *n,
			      struct fault *f) MUST_USE;

/* A source's span grows by what it gives; who gave anything in [from, to), by name.  mem_free(*list). */
enum fault_code fetchlog_supplied(struct record *rec, int64_t place, const struct supply *s, struct fault *f) MUST_USE;
enum fault_code fetchlog_supplies(struct record *rec, int64_t place, int64_t from, int64_t to, struct supply **list,
				  size_t *n, struct fault *f) MUST_USE;

#endif
