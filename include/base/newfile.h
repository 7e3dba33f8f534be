/*
 * Files that are not there yet: whole under their name, or not there at all.
 *
 * Written beside the name under another one, brought to the disk, and only then
 * given the name, if nobody has it.  Nothing is ever written over.
 */
#ifndef BASE_NEWFILE_H
#define BASE_NEWFILE_H

#include <stddef.h>

#include "base/fault.h"

enum { NEWFILE_PATH_SIZE = 4096 };

/*
 * All at once: n bytes, readable for the user alone (0600).
 * FAULT_CREATE the name is taken, or cannot be; FAULT_PERMISSION; FAULT_IO disk full or broken.
 */
enum fault_code newfile_put(const char *path, const char *bytes, size_t n, struct fault *f) MUST_USE;

/*
 * For who fills it otherwise: an empty file beside `path`, closed again, then its bytes brought to the
 * disk and the name given.  After newfile_finish, whatever it says, the temporary one is gone.
 */
enum fault_code newfile_begin(const char *path, char temporary[static NEWFILE_PATH_SIZE], struct fault *f) MUST_USE;
enum fault_code newfile_finish(const char *temporary, const char *path, struct fault *f) MUST_USE;

#endif
