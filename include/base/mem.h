/*
 * The one gate for allocation, so that a test can make the Nth fail.
 *
 * Nothing outside this module calls malloc.  The gate's counters are the only
 * static state in the room.
 */
#ifndef BASE_MEM_H
#define BASE_MEM_H

#include <stdbool.h>
#include <stddef.h>

/* n elements of size bytes, zeroed; NULL on overflow or when there is none. */
void *mem_new(size_t n, size_t size);

/* As realloc for n elements; new bytes are not zeroed; on NULL the old block stays. */
void *mem_resize(void *p, size_t n, size_t size);

void mem_free(void *p);

/* Byte-wise forms with the signatures that libraries want for their hooks. */
void *mem_raw(size_t bytes);
void *mem_raw_resize(void *p, size_t bytes);

/* Tests only: let `after` allocations pass, then fail one (or, sticky, all). after < 0: off. */
void mem_fail_after(long after, bool sticky);

/* Allocations refused since the last mem_fail_after, by the gate or for want of memory. */
long mem_refused(void);

#endif
