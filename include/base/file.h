/*
 * Whole files in, whole files out.
 */
#ifndef BASE_FILE_H
#define BASE_FILE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/fault.h"

/*
 * All bytes of a regular file or a pipe, at most max, with a NUL after them; mem_free gives them back.
 * FAULT_NO_INPUT not there, or a folder or device; FAULT_PERMISSION, FAULT_IO, FAULT_DATA too long, FAULT_MEMORY.
 */
enum fault_code file_read(const char *path, size_t max, char **bytes, size_t *n, struct fault *f) MUST_USE;

/* Open a regular file or a pipe to be read piece by piece; faults as of file_read.  *size is 0 where it cannot be told.
 */
enum fault_code file_open(const char *path, int *fd, uint64_t *size, struct fault *f) MUST_USE;

bool file_is(const char *path); /* a regular file (through links) that can be read */

/* The folder a file is to lie in is made where it is missing (0700, as the XDG base directories ask): FAULT_CREATE,
 * FAULT_PERMISSION. */
enum fault_code file_make_folder_of(const char *path, struct fault *f) MUST_USE;

#endif
