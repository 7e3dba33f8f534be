#include "base/linefile.h"

#include <errno.h>
#include <string.h>
#include <unistd.h>

#include "base/file.h"
#include "base/mem.h"

/* At least a line, its CRLF and the NUL behind it. */
enum { BUFFER_SIZE = 64 * 1024 };

static enum fault_code make_buffer(struct linefile *l, struct fault *f)
{
	l->buffer = mem_new(BUFFER_SIZE + 1, 1);
	return l->buffer != NULL ? FAULT_NONE : fault_set(f, FAULT_MEMORY, "out of memory");
}

enum fault_code linefile_open(struct linefile *l, const char *path, struct fault *f)
{
	*l = (struct linefile){.fd = -1};
	return file_open(path, &l->fd, &l->size, f) || make_buffer(l, f) ? f->code : FAULT_NONE;
}

enum fault_code linefile_over(struct linefile *l, const char *bytes, size_t n, struct fault *f)
{
	*l = (struct linefile){.fd = -1, .rest = bytes, .left = n, .size = n};
	return make_buffer(l, f);
}

void linefile_close(struct linefile *l)
{
	if (l->fd >= 0)
		close(l->fd);
	mem_free(l->buffer);
	*l = (struct linefile){.fd = -1};
}

static size_t from_memory(struct linefile *l, size_t room)
{
	size_t n = l->left < room ? l->left : room;
	if (n > 0)
		memcpy(l->buffer + l->end, l->rest, n);
	l->rest += n;
	l->left -= n;
	return n;
}

/* More bytes behind those that are there, which move to the front. */
static enum fault_code fill(struct linefile *l, struct fault *f)
{
	memmove(l->buffer, l->buffer + l->at, l->end - l->at);
	l->end -= l->at;
	l->at = 0;
	size_t room = BUFFER_SIZE - l->end;
	ssize_t got = 0;
	if (l->fd < 0)
		got = (ssize_t)from_memory(l, room);
	else
		while ((got = read(l->fd, l->buffer + l->end, room)) < 0 && errno == EINTR)
			;
	if (got < 0)
		return fault_set(f, FAULT_IO, "cannot be read: %s", strerror(errno));
	l->end += (size_t)got;
	l->taken += (size_t)got;
	l->over = got == 0;
	return FAULT_NONE;
}

enum fault_code linefile_begin_with(struct linefile *l, const char *bytes, size_t n, bool *is, struct fault *f)
{
	while (l->end < n && !l->over)
		if (fill(l, f) != FAULT_NONE)
			return f->code;
	*is = l->end >= n && memcmp(l->buffer, bytes, n) == 0;
	return FAULT_NONE;
}

/* Bytes before the next line's end, or all there are; only a line that is too long is left without its end. */
static enum fault_code find_end(struct linefile *l, size_t *n, bool *ended, struct fault *f)
{
	size_t looked = 0;
	for (;;) {
		const char *from = l->buffer + l->at;
		const char *end = memchr(from + looked, '\n', l->end - l->at - looked);
		looked = end != NULL ? (size_t)(end - from) : l->end - l->at;
		*n = looked;
		*ended = end != NULL;
		if (end != NULL || l->over || looked > LINEFILE_MAX + 1)
			return FAULT_NONE;
		if (fill(l, f) != FAULT_NONE)
			return f->code;
	}
}

/* Past the end of a line of which nothing is wanted. */
static enum fault_code skip(struct linefile *l, struct fault *f)
{
	size_t n;
	bool ended = false;
	while (!ended && !(l->over && l->at == l->end)) {
		if (find_end(l, &n, &ended, f) != FAULT_NONE)
			return f->code;
		l->at += n + ended;
	}
	return FAULT_NONE;
}

static void drop_mark(struct linefile *l)
{
	static const char mark[] = "\xEF\xBB\xBF";
	if (l->end - l->at >= 3 && memcmp(l->buffer + l->at, mark, 3) == 0)
		l->at += 3;
}

enum fault_code linefile_next(struct linefile *l, struct fileline *line, bool *there, struct fault *f)
{
	char *empty = l->buffer + BUFFER_SIZE; /* the NUL that is always there */
	size_t n;
	bool ended;
	if (find_end(l, &n, &ended, f) != FAULT_NONE)
		return f->code;
	*there = n > 0 || ended;
	if (!*there)
		return FAULT_NONE;
	if (l->number++ == 0) {
		drop_mark(l);
		if (find_end(l, &n, &ended, f) != FAULT_NONE)
			return f->code;
	}
	*line = (struct fileline){.at = l->buffer + l->at, .n = n, .number = l->number};
	if (n > 0 && line->at[n - 1] == '\r')
		line->n--;
	if (line->n > LINEFILE_MAX) {
		*line = (struct fileline){empty, 0, l->number, "is longer than 4,095 bytes; shorter lines are right"};
		return skip(l, f);
	}
	line->at[line->n] = '\0';
	l->at += n + ended;
	if (memchr(line->at, '\0', line->n) != NULL)
		*line = (struct fileline){empty, 0, l->number, "has a NUL byte; plain text is right"};
	return FAULT_NONE;
}
