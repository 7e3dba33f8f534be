#include "post/maildir.h"

#include <errno.h>
#include <inttypes.h>
#include <limits.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

#include "base/file.h"
#include "base/wholefile.h"

enum { NAME_SIZE = 256 };

static enum fault_code path_of(const char *folder, const char *in, const char *name, char path[static PATH_MAX],
			       struct fault *f)
{
	if (snprintf(path, PATH_MAX, "%s/%s/%s", folder, in, name) >= PATH_MAX)
		return fault_set(f, FAULT_CREATE, "%s: the path is longer than %d bytes", folder, PATH_MAX - 1);
	return file_make_folder_of(path, f);
}

enum fault_code maildir_put(const char *folder, int64_t at, const char *id, const char *bytes, size_t n,
			    enum post_result *result, struct fault *f)
{
	char name[NAME_SIZE], from[PATH_MAX], to[PATH_MAX], unused[PATH_MAX];
	/* The domain would tell nothing more, and may be long. */
	int width = snprintf(name, sizeof name, "%" PRId64 ".%.*s", at, (int)strcspn(id, "@"), id);
	*result = POST_LATER;
	if (width >= (int)sizeof name)
		return fault_set(f, FAULT_CREATE, "%s: the name of the message is too long", folder);
	if (path_of(folder, "cur", name, unused, f) != FAULT_NONE ||
	    path_of(folder, "new", name, to, f) != FAULT_NONE || path_of(folder, "tmp", name, from, f) != FAULT_NONE ||
	    wholefile_write(from, from, bytes, n, f) != FAULT_NONE)
		return f->code;
	if (rename(from, to) != 0) {
		int wrong = errno;
		unlink(from);
		return fault_set(f, FAULT_IO, "%s: cannot be moved there: %s", to, strerror(wrong));
	}
	*result = POST_UNKNOWN;
	if (wholefile_settle(to, f) != FAULT_NONE)
		return f->code;
	*result = POST_SENT;
	return FAULT_NONE;
}
