/*
 * The fetch log: what is remembered of the last request, by (place, source, step).
 */
#ifndef RECORD_FETCHLOG_H
#define RECORD_FETCHLOG_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/fault.h"
#include "facts/memo.h"
#include "record/record.h"

/* Goes over what is there. */
enum fault_code fetchlog_put(struct record *rec, int64_t place, const struct memo *m, struct fault *f) MUST_USE;

/* *found false: never asked; *m is then left alone. */
enum fault_code fetchlog_get(struct record *rec, int64_t place, const char *source, const char *step, struct memo *m,
			     bool *found, struct fault *f) MUST_USE;

/* All memos of a place, the last asked first.  mem_free(*memos). */
enum fault_code fetchlog_list(struct record *rec, int64_t place, struct memo **memos, size_t *n,
			      struct fault *f) MUST_USE;

#endif
