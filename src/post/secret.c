#include "post/secret.h"

#include <errno.h>
#include <fcntl.h>
#include <limits.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

enum { OTHERS = 077, OTHERS_BUT_MASK = 037, DELETE = 0x7f, MODE_BITS = 07777 };

static enum fault_code open_fault(int error, struct fault *f)
{
	if (error == ENOENT || error == ENOTDIR)
		return fault_set(f, FAULT_NO_INPUT,
				 "there is no such file; write the password into it, then chmod 600");
	if (error == ELOOP)
		return fault_set(f, FAULT_CONFIG, "is a link; name the file itself");
	if (error == EACCES || error == EPERM)
		return fault_set(f, FAULT_PERMISSION, "may not be read: %s", strerror(error));
	return fault_set(f, FAULT_IO, "cannot be opened: %s", strerror(error));
}

static enum fault_code check_file(int fd, mode_t others, struct fault *f)
{
	struct stat st;
	if (fstat(fd, &st) != 0)
		return fault_set(f, FAULT_IO, "cannot be read: %s", strerror(errno));
	if (!S_ISREG(st.st_mode))
		return fault_set(f, FAULT_CONFIG, "is no regular file; a file with the password in its one line");
	if (st.st_uid != geteuid() && st.st_uid != 0)
		return fault_set(f, FAULT_PERMISSION, "belongs to user %u; yours or root's would be right",
				 (unsigned)st.st_uid);
	if ((st.st_mode & others) != 0)
		return fault_set(f, FAULT_PERMISSION, "mode %04o lets others at the password; chmod 600",
				 (unsigned)(st.st_mode & MODE_BITS));
	return FAULT_NONE;
}

static enum fault_code read_bytes(int fd, char *to, size_t size, size_t *n, struct fault *f)
{
	*n = 0;
	while (*n < size) {
		ssize_t got = read(fd, to + *n, size - *n);
		if (got < 0 && errno == EINTR)
			continue;
		if (got < 0)
			return fault_set(f, FAULT_IO, "cannot be read: %s", strerror(errno));
		if (got == 0)
			break;
		*n += (size_t)got;
	}
	return FAULT_NONE;
}

static enum fault_code take_line(const char *bytes, size_t n, struct secret *s, struct fault *f)
{
	if (n > 0 && bytes[n - 1] == '\n')
		n--;
	if (n > 0 && bytes[n - 1] == '\r')
		n--;
	if (n == 0)
		return fault_set(f, FAULT_CONFIG, "is empty; the password in its one line");
	if (memchr(bytes, '\n', n) != NULL)
		return fault_set(f, FAULT_CONFIG, "has more than one line; the password alone");
	if (n >= SECRET_SIZE)
		return fault_set(f, FAULT_CONFIG, "has more than %d bytes; the password alone", SECRET_SIZE - 1);
	for (size_t i = 0; i < n; i++)
		if ((unsigned char)bytes[i] < ' ' || bytes[i] == DELETE)
			return fault_set(f, FAULT_CONFIG, "has a control character; the password alone, as text");
	memcpy(s->word, bytes, n);
	s->word[n] = '\0';
	return FAULT_NONE;
}

static enum fault_code read_file(const char *path, mode_t others, struct secret *s, struct fault *f)
{
	char bytes[SECRET_SIZE + 2]; /* one line end more than fits, so that what is too long shows */
	size_t n = 0;
	memset(s, 0, sizeof *s);
	/* Not to wait for who writes to a pipe. */
	int fd = open(path, O_RDONLY | O_CLOEXEC | O_NOFOLLOW | O_NOCTTY | O_NONBLOCK);
	if (fd < 0) {
		open_fault(errno, f);
		return fault_place(f, "%s: ", path);
	}
	enum fault_code code = check_file(fd, others, f);
	if (code == FAULT_NONE)
		code = read_bytes(fd, bytes, sizeof bytes, &n, f);
	if (code == FAULT_NONE)
		code = take_line(bytes, n, s, f);
	explicit_bzero(bytes, sizeof bytes);
	close(fd);
	return code != FAULT_NONE ? fault_place(f, "%s: ", path) : FAULT_NONE;
}

enum fault_code secret_read(const char *path, struct secret *s, struct fault *f)
{
	return read_file(path, OTHERS, s, f);
}

enum fault_code secret_credential(const char *folder, struct secret *s, struct fault *f)
{
	char path[PATH_MAX];
	memset(s, 0, sizeof *s);
	if (snprintf(path, sizeof path, "%s/smtp", folder) >= (int)sizeof path)
		return fault_set(f, FAULT_CONFIG, "the path of the folder of credentials is too long");
	return read_file(path, OTHERS_BUT_MASK, s, f);
}

void secret_wipe(struct secret *s)
{
	explicit_bzero(s, sizeof *s);
}
