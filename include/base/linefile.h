/*
 * A long text file line by line, in one buffer of fixed size.
 *
 * LF or CRLF, a byte order mark at the start dropped, the last line with or
 * without an end.  A line that is too long or has a NUL is handed out as such,
 * and reading goes on behind it.
 */
#ifndef BASE_LINEFILE_H
#define BASE_LINEFILE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/fault.h"

enum { LINEFILE_MAX = 4095 };

struct linefile {
	int fd;           /* -1: over memory */
	const char *rest; /* memory not yet in the buffer */
	size_t left;
	char *buffer;
	size_t at, end; /* bytes of the buffer not yet handed out */
	bool over;      /* nothing follows what is in the buffer */
	size_t number;  /* of the last line handed out, from 1 */
	uint64_t size;  /* of the whole; 0 where it cannot be told */
	uint64_t taken; /* bytes read so far */
};

struct fileline {
	char *at; /* NUL-terminated, in the buffer until the next line; may be written to */
	size_t n; /* bytes, without the line's end */
	size_t number;
	const char *wrong; /* NULL, or why it is no line of text; at is "" then */
};

/* Faults of file_open, with the path. */
enum fault_code linefile_open(struct linefile *l, const char *path, struct fault *f) MUST_USE;

/* The same over n bytes of memory, which must stay. */
enum fault_code linefile_over(struct linefile *l, const char *bytes, size_t n, struct fault *f) MUST_USE;

/* Whether the file begins with n bytes of `bytes`; before the first line alone. */
enum fault_code linefile_begin_with(struct linefile *l, const char *bytes, size_t n, bool *is,
				    struct fault *f) MUST_USE;

/* The next line, if there is one. */
enum fault_code linefile_next(struct linefile *l, struct fileline *line, bool *there, struct fault *f) MUST_USE;

void linefile_close(struct linefile *l); /* also after a fault of opening */

#endif
