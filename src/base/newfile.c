#include "base/newfile.h"

#include <errno.h>
#include <fcntl.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/text.h"
#include "base/wholefile.h"

static enum fault_code path_fault(const char *path, int error, struct fault *f)
{
	if (error == EEXIST)
		return fault_set(f, FAULT_CREATE, "%s: is there already; name a file that is not there yet", path);
	if (error == ENOSPC || error == EDQUOT || error == EIO)
		return fault_set(f, FAULT_IO, "%s: %s", path, strerror(error));
	enum fault_code code = error == EACCES || error == EPERM || error == EROFS ? FAULT_PERMISSION : FAULT_CREATE;
	return fault_set(f, code, "%s: cannot be made: %s", path, strerror(error));
}

static enum fault_code sync_file(const char *temporary, const char *path, struct fault *f)
{
	int fd = open(temporary, O_RDONLY | O_CLOEXEC);
	if (fd < 0)
		return path_fault(path, errno, f);
	int error = fsync(fd) == 0 ? 0 : errno;
	close(fd);
	return error == 0 ? FAULT_NONE : path_fault(path, error, f);
}

/* A file system without links: an empty file holds the name, and gives way to the whole one. */
static enum fault_code rename_over_own(const char *temporary, const char *to, struct fault *f)
{
	int fd = open(to, O_RDWR | O_CREAT | O_EXCL | O_CLOEXEC, S_IRUSR | S_IWUSR);
	if (fd < 0)
		return path_fault(to, errno, f);
	close(fd);
	if (rename(temporary, to) == 0)
		return FAULT_NONE;
	int error = errno;
	(void)unlink(to);
	return path_fault(to, error, f);
}

/* The name is taken only where nobody else has it. */
static enum fault_code give_name(const char *temporary, const char *to, struct fault *f)
{
	bool linked = link(temporary, to) == 0;
	if (!linked && errno != EPERM && errno != EOPNOTSUPP && errno != ENOSYS)
		return path_fault(to, errno, f);
	if (!linked && rename_over_own(temporary, to, f))
		return f->code;
	if (wholefile_settle(to, f))
		(void)unlink(to);
	else
		return FAULT_NONE;
	return f->code;
}

enum fault_code newfile_begin(const char *path, char temporary[static NEWFILE_PATH_SIZE], struct fault *f)
{
	struct text t;
	struct stat there;
	text_over(&t, temporary, NEWFILE_PATH_SIZE);
	text_addf(&t, "%s.XXXXXX", path);
	if (text_ok(&t, "the path", f))
		return f->code;
	if (lstat(path, &there) == 0)
		return path_fault(path, EEXIST, f);
	int fd = mkstemp(temporary);
	if (fd < 0)
		return path_fault(path, errno, f);
	close(fd);
	return FAULT_NONE;
}

enum fault_code newfile_finish(const char *temporary, const char *path, struct fault *f)
{
	enum fault_code code = FAULT_NONE;
	if (sync_file(temporary, path, f) || give_name(temporary, path, f))
		code = f->code;
	(void)unlink(temporary);
	return code;
}

enum fault_code newfile_put(const char *path, const char *bytes, size_t n, struct fault *f)
{
	char temporary[NEWFILE_PATH_SIZE];
	if (newfile_begin(path, temporary, f) || wholefile_write(temporary, path, bytes, n, f))
		return f->code;
	return newfile_finish(temporary, path, f);
}
