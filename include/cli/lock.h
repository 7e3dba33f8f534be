/*
 * One run at a time for a garden, and for a place that is being fetched.
 *
 * A byte of a file beside the record is held for each, so that gardens that share a
 * record do not wait for each other.  What a run holds is free when it ends,
 * however it ends; the file stays.
 * Limits   on a network drive only as good as the drive's locks
 * Source   fcntl(2), F_SETLK
 */
#ifndef CLI_LOCK_H
#define CLI_LOCK_H

#include <stdbool.h>
#include <stdint.h>

#include "base/fault.h"

enum lock_of { LOCK_GARDEN, LOCK_PLACE };

/* POSIX frees all locks of a file when any descriptor of it is closed: one of these for a record in a process. */
struct lock {
	int fd;
	bool open;
};

struct lock_wait {
	int64_t most_ms;                /* 0: not at all */
	void (*say)(const char *words); /* that it waits, for who looks on; NULL: nobody */
	void (*sleep_ms)(void *context, int64_t ms);
	void *context;
};

/* The file beside the record is made where it is missing; nothing is held yet.  FAULT_PERMISSION, FAULT_CREATE. */
enum fault_code lock_open(const char *record, struct lock *l, struct fault *f) MUST_USE;

/*
 * Hold the byte of a garden's id or of a place (its coordinates as text).
 * FAULT_TRY_LATER where another run holds it still when the wait is over; FAULT_IO where nothing can be locked.
 * Two keys in some 2e18 share a byte: they wait for each other, no more.
 */
enum fault_code lock_take(struct lock *l, enum lock_of what, const char *key, const struct lock_wait *wait,
			  struct fault *f) MUST_USE;
void lock_give(struct lock *l, enum lock_of what, const char *key);

void lock_close(struct lock *l); /* gives all */

#endif
