/*
 * Files written whole: a reader finds the old bytes or the new ones, never a part of them,
 * whatever breaks off in between.
 */
#ifndef BASE_WHOLEFILE_H
#define BASE_WHOLEFILE_H

#include <stddef.h>

#include "base/fault.h"

/*
 * Write a file for its owner alone (0600) and bring it to the disk.  What is there under the name is written over,
 * a link never followed; on a fault, which calls it `called`, nothing is left of it.  FAULT_CREATE, FAULT_PERMISSION,
 * FAULT_IO.
 */
enum fault_code wholefile_write(const char *at, const char *called, const char *bytes, size_t n,
				struct fault *f) MUST_USE;

/* Bring the folder of a file to the disk: a file that was moved is there for good only then.  FAULT_IO. */
enum fault_code wholefile_settle(const char *path, struct fault *f) MUST_USE;

/*
 * Put the bytes in place of those of a file, or make it.  Its folder is made where it is missing.
 * Faults as above, and FAULT_CREATE where something else than a regular file has the name.
 */
enum fault_code wholefile_put(const char *path, const char *bytes, size_t n, struct fault *f) MUST_USE;

#endif
