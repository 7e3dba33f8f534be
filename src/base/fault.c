#include "base/fault.h"

#include <stdio.h>
#include <string.h>

#include "base/utf8.h"

/* A long place gives way so far that this much of what happened can still be read. */
enum { TEXT_KEPT = 79 };

/* What a terminal or a log would act on becomes '?': C0, DEL, C1 (U+0080..9F), and all that is not UTF-8. */
static void make_harmless(char *s, size_t n)
{
	for (size_t i = utf8_bad(s, n); i < n; i += utf8_bad(s + i, n - i))
		s[i] = '?';
	for (size_t i = 0; i < n; i++) {
		unsigned char c = (unsigned char)s[i];
		if (c < 0x20 || c == 0x7F) {
			s[i] = '?';
		} else if (c == 0xC2 && (unsigned char)s[i + 1] < 0xA0) {
			s[i++] = '?';
			s[i] = '?';
		}
	}
}

/* Print into buf[size], harmless and cut between characters; returned: the length. */
PRINTF_LIKE(3, 0)
static size_t print_line(char *buf, size_t size, const char *fmt, va_list args)
{
	int wanted = vsnprintf(buf, size, fmt, args);
	if (wanted < 0)
		buf[0] = '\0';
	size_t len = strlen(buf);
	if (wanted > 0 && (size_t)wanted >= size)
		len = utf8_cut(buf, len);
	buf[len] = '\0';
	make_harmless(buf, len);
	return len;
}

enum fault_code fault_vset(struct fault *f, enum fault_code code, const char *fmt, va_list args)
{
	char line[FAULT_TEXT_SIZE]; /* an argument may be the old text */
	size_t len = print_line(line, sizeof line, fmt, args);
	memcpy(f->text, line, len + 1);
	f->code = code;
	return code;
}

enum fault_code fault_set(struct fault *f, enum fault_code code, const char *fmt, ...)
{
	va_list args;
	va_start(args, fmt);
	fault_vset(f, code, fmt, args);
	va_end(args);
	return code;
}

/* The head of a place too long to stand beside any text goes: the line number is at its end. */
static const char *place_shortened(const char *place, size_t len, size_t room)
{
	if (len <= room)
		return place;
	const char *s = place + (len - room);
	while (((unsigned char)*s & 0xC0) == 0x80)
		s++;
	return s;
}

enum fault_code fault_place(struct fault *f, const char *fmt, ...)
{
	char line[4096 + FAULT_TEXT_SIZE]; /* PATH_MAX and more */
	va_list args;
	va_start(args, fmt);
	size_t len = print_line(line, sizeof line, fmt, args);
	va_end(args);

	size_t text_len = strlen(f->text), kept = text_len < TEXT_KEPT ? text_len : TEXT_KEPT;
	const char *place = place_shortened(line, len, FAULT_TEXT_SIZE - 1 - kept);
	size_t place_len = strlen(place), room = FAULT_TEXT_SIZE - 1 - place_len;
	if (text_len > room)
		text_len = utf8_cut(f->text, room);
	memmove(f->text + place_len, f->text, text_len);
	memcpy(f->text, place, place_len);
	f->text[place_len + text_len] = '\0';
	return f->code;
}

void faults_add(struct faults *list, const struct fault *f)
{
	if (list->n < FAULTS_MAX)
		list->at[list->n++] = *f;
	else
		list->more++;
}

void faults_addf(struct faults *list, enum fault_code code, const char *fmt, ...)
{
	struct fault f;
	va_list args;
	va_start(args, fmt);
	fault_vset(&f, code, fmt, args);
	va_end(args);
	faults_add(list, &f);
}

enum fault_code faults_code(const struct faults *list)
{
	return list->n == 0 ? FAULT_NONE : list->at[0].code;
}
