#include "base/wholefile.h"

#include <errno.h>
#include <fcntl.h>
#include <limits.h>
#include <stdbool.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/file.h"
#include "base/text.h"

enum { FILE_MODE = 0600 };

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

enum fault_code wholefile_write(const char *at, const char *called, const char *bytes, size_t n, struct fault *f)
{
	int fd = open(at, O_WRONLY | O_CREAT | O_TRUNC | O_CLOEXEC | O_NOFOLLOW, FILE_MODE);
	if (fd < 0) {
		bool forbidden = errno == EACCES || errno == EPERM;
		fault_set(f, forbidden ? FAULT_PERMISSION : FAULT_CREATE, "cannot be made: %s", strerror(errno));
		return fault_place(f, "%s: ", called);
	}
	int wrong = write_all(fd, bytes, n) != 0 || fsync(fd) != 0 ? errno : 0;
	if (close(fd) != 0 && wrong == 0)
		wrong = errno;
	if (wrong == 0)
		return FAULT_NONE;
	unlink(at);
	fault_set(f, FAULT_IO, "cannot be written: %s", strerror(wrong));
	return fault_place(f, "%s: ", called);
}

enum fault_code wholefile_settle(const char *path, struct fault *f)
{
	char folder[PATH_MAX];
	const char *slash = strrchr(path, '/');
	struct text t;
	text_over(&t, folder, sizeof folder);
	text_add_n(&t, slash != NULL ? path : "./", slash != NULL ? (size_t)(slash - path) + 1 : 2);
	int fd = open(folder, O_RDONLY | O_DIRECTORY | O_CLOEXEC);
	int wrong = fd < 0 || fsync(fd) != 0 ? errno : 0;
	if (fd >= 0)
		close(fd);
	if (wrong == 0 || wrong == EINVAL) /* a file system that knows no such thing */
		return FAULT_NONE;
	fault_set(f, FAULT_IO, "cannot be brought to the disk: %s", strerror(wrong));
	return fault_place(f, "%s: ", folder);
}

enum fault_code wholefile_put(const char *path, const char *bytes, size_t n, struct fault *f)
{
	char part[PATH_MAX];
	struct text t;
	struct stat st;
	text_over(&t, part, sizeof part);
	text_addf(&t, "%s.part", path);
	if (text_ok(&t, "the path of a file", f) != FAULT_NONE)
		return f->code;
	if (lstat(path, &st) == 0 && !S_ISREG(st.st_mode)) {
		fault_set(f, FAULT_CREATE, "is no regular file; the path of a file, or of none yet");
		return fault_place(f, "%s: ", path);
	}
	if (file_make_folder_of(path, f) != FAULT_NONE || wholefile_write(part, path, bytes, n, f) != FAULT_NONE)
		return f->code;
	if (rename(part, path) == 0)
		return wholefile_settle(path, f);
	int wrong = errno;
	unlink(part);
	fault_set(f, FAULT_IO, "cannot be moved there: %s", strerror(wrong));
	return fault_place(f, "%s: ", path);
}
