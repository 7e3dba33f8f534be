#include "base/text.h"

#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include "base/mem.h"
#include "base/utf8.h"

enum { FIRST_CAP = 256 };

/* What an untouched growing buffer shows; cap 0 keeps everybody from writing to it. */
static const char nothing[1] = "";

void text_over(struct text *t, char *mem, size_t cap)
{
	*t = (struct text){.at = mem, .cap = cap, .max = cap};
	mem[0] = '\0';
}

void text_init(struct text *t, size_t max)
{
	*t = (struct text){.at = (char *)(uintptr_t)nothing, .max = max};
}

void text_free(struct text *t)
{
	if (t->owned)
		mem_free(t->at);
	text_init(t, t->max);
}

/* Double the room, to `wanted` at least and max at most; left as it is when there is no memory. */
static void grow(struct text *t, size_t wanted)
{
	size_t cap = t->cap > t->max / 2 ? t->max : 2 * t->cap;
	if (cap < FIRST_CAP)
		cap = FIRST_CAP;
	if (cap < wanted)
		cap = wanted;
	if (cap > t->max)
		cap = t->max;
	char *at = mem_resize(t->owned ? t->at : NULL, cap, 1);
	if (at == NULL)
		return;
	at[t->len] = '\0';
	t->at = at;
	t->cap = cap;
	t->owned = true;
}

/* Make room for n more bytes and the NUL, as far as max and memory allow; returned: how many of the n fit. */
static size_t make_room(struct text *t, size_t n)
{
	size_t most = t->max - t->len; /* the NUL included */
	size_t wanted = t->len + (n < most ? n + 1 : most);
	if (wanted > t->cap)
		grow(t, wanted);
	size_t room = t->cap > t->len ? t->cap - t->len - 1 : 0;
	return n < room ? n : room;
}

/* After `fits` of `n` bytes were written behind len. */
static void close_end(struct text *t, size_t fits, size_t n)
{
	if (t->cap == 0) {
		t->full = true;
		return;
	}
	t->len += fits;
	if (fits < n) {
		t->full = true;
		t->len = utf8_cut(t->at, t->len);
	}
	t->at[t->len] = '\0';
}

void text_add(struct text *t, const char *s)
{
	text_add_n(t, s, strlen(s));
}

bool text_copy(char *to, size_t size, const char *from)
{
	struct text t;
	text_over(&t, to, size);
	text_add(&t, from);
	return !t.full;
}

void text_add_n(struct text *t, const char *s, size_t n)
{
	if (t->full)
		return;
	size_t fits = make_room(t, n);
	if (fits > 0)
		memcpy(t->at + t->len, s, fits);
	close_end(t, fits, n);
}

void text_add_char(struct text *t, char c, size_t times)
{
	if (t->full)
		return;
	size_t fits = make_room(t, times);
	if (fits > 0)
		memset(t->at + t->len, c, fits);
	close_end(t, fits, times);
}

void text_addf(struct text *t, const char *fmt, ...)
{
	if (t->full)
		return;
	va_list args;
	va_start(args, fmt);
	int printed = vsnprintf(NULL, 0, fmt, args);
	va_end(args);
	if (printed < 0) {
		t->full = true;
		return;
	}
	size_t n = (size_t)printed, fits = make_room(t, n);
	if (t->cap > 0) {
		va_start(args, fmt);
		vsnprintf(t->at + t->len, fits + 1, fmt, args);
		va_end(args);
	}
	close_end(t, fits, n);
}

void text_clear(struct text *t)
{
	t->len = 0;
	t->full = false;
	if (t->cap > 0)
		t->at[0] = '\0';
}

enum fault_code text_ok(const struct text *t, const char *what, struct fault *f)
{
	if (!t->full)
		return FAULT_NONE;
	if (t->cap < t->max)
		return fault_set(f, FAULT_MEMORY, "no memory for %s", what);
	return fault_set(f, FAULT_DATA, "%s is longer than %zu bytes", what, t->max - 1);
}
