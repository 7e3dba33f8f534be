/*
 * A message into a Maildir, a folder of mail with one file a message: tmp, new and cur in it.
 *
 * The file's name follows from the message's instant and Message-ID, so that the
 * same message delivered again takes its own place while it lies unread.
 */
#ifndef POST_MAILDIR_H
#define POST_MAILDIR_H

#include <stddef.h>
#include <stdint.h>

#include "base/fault.h"
#include "post/result.h"

/*
 * Write n bytes under tmp, bring them to the disk, and move the file to new.  Folders that are missing are
 * made (0700), the file is 0600.  FAULT_CREATE, FAULT_PERMISSION, FAULT_IO; then nothing of it lies in new.
 * POST_UNKNOWN where it does, and only the folder's own state may not be on the disk.
 */
enum fault_code maildir_put(const char *folder, int64_t at, const char *id, const char *bytes, size_t n,
			    enum post_result *result, struct fault *f) MUST_USE;

#endif
