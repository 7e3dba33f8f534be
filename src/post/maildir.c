#include "post/maildir.h"

#include <errno.h>
#include <fcntl.h>
#include <inttypes.h>
#include <limits.h>
#include <stdbool.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

#include "base/file.h"

enum { NAME_SIZE = 256, FILE_MODE = 0600 };

static enum fault_code path_of(const char *folder, const char *in, const char *name, char path[static PATH_MAX],
			       struct fault *f)
{
	if (snprintf(path, PATH_MAX, "%s/%s/%s", folder, in, name) >= PATH_MAX)
		return fault_set(f, FAULT_CREATE, "%s: the path is longer than %d bytes", folder, PATH_MAX - 1);
	return file_make_folder_of(path, f);
}

static int write_all(int fd, const char *bytes, size_t n)
{
	while (n > 0) {
		ssize_t put = write(fd, bytes, n);
		if (put < 0 && errno == EINTR)
			continue;
		if (put < 0)
			return -1;
		bytes += put;
		n -= (size_t)put;
	}
	return 0;
}

/* What a run that was killed left under the name is written over. */
static enum fault_code write_file(const char *path, const char *bytes, size_t n, struct fault *f)
{
	int fd = open(path, O_WRONLY | O_CREAT | O_TRUNC | O_CLOEXEC | O_NOFOLLOW, FILE_MODE);
	if (fd < 0) {
		bool forbidden = errno == EACCES || errno == EPERM;
		fault_set(f, forbidden ? FAULT_PERMISSION : FAULT_CREATE, "cannot be made: %s", strerror(errno));
		return fault_place(f, "%s: ", path);
	}
	int wrong = write_all(fd, bytes, n) != 0 || fsync(fd) != 0 ? errno : 0;
	if (close(fd) != 0 && wrong == 0)
		wrong = errno;
	if (wrong == 0)
		return FAULT_NONE;
	unlink(path);
	fault_set(f, FAULT_IO, "cannot be written: %s", strerror(wrong));
	return fault_place(f, "%s: ", path);
}

/* A file that was moved is there for good only when its folder is on the disk. */
static enum fault_code sync_folder(const char *folder, struct fault *f)
{
	char path[PATH_MAX];
	snprintf(path, sizeof path, "%s/new", folder);
	int fd = open(path, O_RDONLY | O_DIRECTORY | O_CLOEXEC);
	int wrong = fd < 0 || fsync(fd) != 0 ? errno : 0;
	if (fd >= 0)
		close(fd);
	if (wrong == 0 || wrong == EINVAL) /* a file system that knows no such thing */
		return FAULT_NONE;
	return fault_set(f, FAULT_IO, "%s: cannot be brought to the disk: %s", path, strerror(wrong));
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
	    write_file(from, bytes, n, f) != FAULT_NONE)
		return f->code;
	if (rename(from, to) != 0) {
		int wrong = errno;
		unlink(from);
		return fault_set(f, FAULT_IO, "%s: cannot be moved there: %s", to, strerror(wrong));
	}
	*result = POST_UNKNOWN;
	if (sync_folder(folder, f) != FAULT_NONE)
		return f->code;
	*result = POST_SENT;
	return FAULT_NONE;
}
