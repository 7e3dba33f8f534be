#include "base/file.h"

#include <errno.h>
#include <fcntl.h>
#include <limits.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/text.h"

enum { CHUNK = 16 * 1024, FOLDER_MODE = 0700 };

static enum fault_code open_fault(int error, struct fault *f)
{
	if (error == ENOENT || error == ENOTDIR)
		return fault_set(f, FAULT_NO_INPUT, "there is no such file");
	if (error == EACCES || error == EPERM)
		return fault_set(f, FAULT_PERMISSION, "may not be read: %s", strerror(error));
	return fault_set(f, FAULT_IO, "cannot be opened: %s", strerror(error));
}

static enum fault_code read_fault(int error, struct fault *f)
{
	return fault_set(f, FAULT_IO, "cannot be read: %s", strerror(error));
}

static enum fault_code check_kind(int fd, uint64_t *size, struct fault *f)
{
	struct stat st;
	if (fstat(fd, &st) != 0)
		return read_fault(errno, f);
	if (S_ISDIR(st.st_mode))
		return fault_set(f, FAULT_NO_INPUT, "is a folder; a file is wanted");
	if (!S_ISREG(st.st_mode) && !S_ISFIFO(st.st_mode))
		return fault_set(f, FAULT_NO_INPUT, "is a device; a file or a pipe is wanted");
	*size = S_ISREG(st.st_mode) ? (uint64_t)st.st_size : 0;
	return FAULT_NONE;
}

static enum fault_code read_all(int fd, struct text *t, struct fault *f)
{
	char chunk[CHUNK];
	text_add(t, ""); /* an empty file has memory of its own too */
	while (!t->full) {
		ssize_t got = read(fd, chunk, sizeof chunk);
		if (got < 0 && errno == EINTR)
			continue;
		if (got < 0)
			return read_fault(errno, f);
		if (got == 0)
			break;
		text_add_n(t, chunk, (size_t)got);
	}
	return text_ok(t, "the file", f);
}

enum fault_code file_open(const char *path, int *fd, uint64_t *size, struct fault *f)
{
	enum fault_code code = FAULT_NONE;
	*fd = open(path, O_RDONLY | O_CLOEXEC | O_NOCTTY);
	if (*fd < 0)
		code = open_fault(errno, f);
	else
		code = check_kind(*fd, size, f);
	if (code == FAULT_NONE)
		return FAULT_NONE;
	if (*fd >= 0)
		close(*fd);
	*fd = -1;
	return fault_place(f, "%s: ", path);
}

enum fault_code file_read(const char *path, size_t max, char **bytes, size_t *n, struct fault *f)
{
	struct text t;
	int fd;
	uint64_t size;
	if (file_open(path, &fd, &size, f) != FAULT_NONE)
		return f->code;
	text_init(&t, max + 1);
	enum fault_code code = read_all(fd, &t, f);
	close(fd);
	if (code != FAULT_NONE) {
		text_free(&t);
		return fault_place(f, "%s: ", path);
	}
	*bytes = t.at;
	*n = t.len;
	return FAULT_NONE;
}

bool file_is(const char *path)
{
	struct stat st;
	return stat(path, &st) == 0 && S_ISREG(st.st_mode) && faccessat(AT_FDCWD, path, R_OK, AT_EACCESS) == 0;
}

static bool is_folder(const char *path)
{
	struct stat st;
	return stat(path, &st) == 0 && S_ISDIR(st.st_mode);
}

/* 0, or the errno of the failure. */
static int make_folder(const char *path)
{
	if (is_folder(path) || mkdir(path, FOLDER_MODE) == 0)
		return 0;
	int error = errno;
	return is_folder(path) ? 0 : error; /* somebody else may have made it in between */
}

enum fault_code file_make_folder_of(const char *path, struct fault *f)
{
	char folder[PATH_MAX];
	size_t len = strlen(path);
	if (len >= sizeof folder) {
		fault_set(f, FAULT_CREATE, "the path is longer than %d bytes", PATH_MAX - 1);
		return fault_place(f, "%s: ", path);
	}
	memcpy(folder, path, len + 1);
	for (char *slash = strchr(folder + (len > 0), '/'); slash != NULL; slash = strchr(slash + 1, '/')) {
		*slash = '\0';
		int error = make_folder(folder);
		if (error != 0) {
			fault_set(f, error == EACCES || error == EPERM ? FAULT_PERMISSION : FAULT_CREATE,
				  "the folder cannot be made: %s", strerror(error));
			return fault_place(f, "%s: ", folder);
		}
		*slash = '/';
	}
	return FAULT_NONE;
}
