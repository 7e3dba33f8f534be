/*
 * A password from a file that nobody else can read.
 *
 * Never from the command line or the environment, and never in a fault.
 */
#ifndef POST_SECRET_H
#define POST_SECRET_H

#include "base/fault.h"

enum { SECRET_SIZE = 512 };

struct secret {
	char word[SECRET_SIZE];
};

/*
 * The one line of a regular file, no link, that belongs to the user or to root and that nobody else may read.
 * FAULT_NO_INPUT not there; FAULT_PERMISSION owner or mode; FAULT_CONFIG not one line of 1 to
 * SECRET_SIZE - 1 bytes without control characters; FAULT_IO.  On a fault nothing of it is kept.
 */
enum fault_code secret_read(const char *path, struct secret *s, struct fault *f) MUST_USE;

/*
 * The credential "smtp" from the folder in which the service manager hands them out.  There the mode's group bits
 * may be the mask of an access list that lets the service's user read, so that a readable group is no fault.
 *
 * Source  systemd.exec(5), LoadCredential; acl(5), correspondence of access list and mode
 */
enum fault_code secret_credential(const char *folder, struct secret *s, struct fault *f) MUST_USE;

void secret_wipe(struct secret *s);

#endif
