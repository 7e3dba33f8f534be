#include "cli/lock.h"

#include <errno.h>
#include <fcntl.h>
#include <limits.h>
#include <string.h>
#include <unistd.h>

#include "base/hash.h"
#include "base/text.h"

enum { FILE_MODE = 0600, LOOK_MS = 200, SPARE_BITS = 3, WORDS_SIZE = 96 };

enum fault_code lock_open(const char *record, struct lock *l, struct fault *f)
{
	char path[PATH_MAX];
	struct text t;
	text_over(&t, path, sizeof path);
	text_addf(&t, "%s.lock", record);
	if (text_ok(&t, "the name of the lock", f) != FAULT_NONE)
		return f->code;
	l->fd = open(path, O_RDWR | O_CREAT | O_CLOEXEC | O_NOFOLLOW, FILE_MODE);
	l->open = l->fd >= 0;
	if (l->open)
		return FAULT_NONE;
	bool forbidden = errno == EACCES || errno == EPERM || errno == EROFS;
	return fault_set(f, forbidden ? FAULT_PERMISSION : FAULT_CREATE, "%s: cannot be made: %s", path,
			 strerror(errno));
}

void lock_close(struct lock *l)
{
	if (l->open)
		(void)close(l->fd);
	l->open = false;
}

/* Offsets are 63 bits: one says what it is, the rest which. */
static struct flock byte_of(enum lock_of what, const char *key, short type)
{
	const uint64_t side = what == LOCK_PLACE ? UINT64_C(1) << (sizeof(uint64_t) * CHAR_BIT - SPARE_BITS) : 0;
	uint64_t hash = hash_text(HASH_START, key) >> SPARE_BITS;
	return (struct flock){.l_type = type, .l_whence = SEEK_SET, .l_start = (off_t)(side | hash), .l_len = 1};
}

static const char *name_of(enum lock_of what)
{
	return what == LOCK_GARDEN ? "this garden" : "this place's forecast";
}

static enum fault_code held(const struct lock *l, enum lock_of what, const char *key, struct fault *f)
{
	struct flock who = byte_of(what, key, F_WRLCK);
	if (fcntl(l->fd, F_GETLK, &who) != 0 || who.l_type == F_UNLCK || who.l_pid <= 0)
		return fault_set(f, FAULT_TRY_LATER, "another run is at work on %s", name_of(what));
	return fault_set(f, FAULT_TRY_LATER, "another run is at work on %s (process %ld)", name_of(what),
			 (long)who.l_pid);
}

static void say_wait(const struct lock_wait *w, enum lock_of what)
{
	char words[WORDS_SIZE];
	struct text t;
	text_over(&t, words, sizeof words);
	text_addf(&t, "waiting: another run is at work on %s", name_of(what));
	if (w->say != NULL)
		w->say(t.at);
}

enum fault_code lock_take(struct lock *l, enum lock_of what, const char *key, const struct lock_wait *wait,
			  struct fault *f)
{
	int64_t waited = 0;
	bool said = false;
	for (;;) {
		struct flock byte = byte_of(what, key, F_WRLCK);
		int rc = fcntl(l->fd, F_SETLK, &byte);
		if (said && (rc == 0 || waited >= wait->most_ms) && wait->say != NULL)
			wait->say(NULL);
		if (rc == 0)
			return FAULT_NONE;
		if (errno != EACCES && errno != EAGAIN && errno != EINTR)
			return fault_set(f, FAULT_IO, "runs cannot be kept apart here: %s", strerror(errno));
		if (waited >= wait->most_ms)
			return held(l, what, key, f);
		if (!said)
			say_wait(wait, what);
		said = true;
		wait->sleep_ms(wait->context, LOOK_MS);
		waited += LOOK_MS;
	}
}

void lock_give(struct lock *l, enum lock_of what, const char *key)
{
	struct flock byte = byte_of(what, key, F_UNLCK);
	if (l->open)
		(void)fcntl(l->fd, F_SETLK, &byte);
}
