#define _XOPEN_SOURCE 700 /* wcwidth */
#include "base/utf8.h"

#include <stdint.h>
#include <string.h>
#include <wchar.h>

enum { UTF8_BYTES_MAX = 4 };

/* Bytes that a character with this first byte has; 0 for a byte that begins none (RFC 3629, section 4). */
static size_t lead_bytes(unsigned char c)
{
	if (c < 0x80)
		return 1;
	if (c < 0xC2) /* a continuation, or the head of an overlong pair */
		return 0;
	if (c < 0xE0)
		return 2;
	if (c < 0xF0)
		return 3;
	return c < 0xF5 ? 4 : 0;
}

static bool is_continuation(char c)
{
	return ((unsigned char)c & 0xC0) == 0x80;
}

/* One character of s[0..n), n >= 1: its bytes and code point; 0 where there is none. */
static size_t decode(const char *s, size_t n, uint32_t *code)
{
	static const uint32_t least[UTF8_BYTES_MAX + 1] = {0, 0, 0x80, 0x800, 0x10000};
	unsigned char lead = (unsigned char)s[0];
	size_t bytes = lead_bytes(lead);
	if (bytes == 0 || bytes > n)
		return 0;
	uint32_t c = bytes == 1 ? lead : lead & (0x7Fu >> bytes);
	for (size_t i = 1; i < bytes; i++) {
		if (!is_continuation(s[i]))
			return 0;
		c = c << 6 | ((unsigned char)s[i] & 0x3Fu);
	}
	bool surrogate = c >= 0xD800 && c <= 0xDFFF;
	if (c < least[bytes] || c > 0x10FFFF || surrogate)
		return 0;
	*code = c;
	return bytes;
}

size_t utf8_bad(const char *s, size_t n)
{
	size_t i = 0;
	while (i < n && s[i] != '\0') {
		uint32_t code;
		size_t bytes = decode(s + i, n - i, &code);
		if (bytes == 0)
			break;
		i += bytes;
	}
	return i;
}

size_t utf8_width(const char *s, size_t n)
{
	size_t columns = 0;
	for (size_t i = 0; i < n;) {
		uint32_t code;
		size_t bytes = decode(s + i, n - i, &code);
		int width = bytes == 0 || code == 0 ? -1 : wcwidth((wchar_t)code);
		columns += width < 0 ? 1 : (size_t)width;
		i += bytes == 0 ? 1 : bytes;
	}
	return columns;
}

size_t utf8_cut(const char *s, size_t n)
{
	size_t tail = 0;
	while (tail < UTF8_BYTES_MAX - 1 && tail < n && is_continuation(s[n - 1 - tail]))
		tail++;
	if (tail == n)
		return n;
	size_t lead = n - 1 - tail;
	return lead_bytes((unsigned char)s[lead]) > tail + 1 ? lead : n;
}

int utf8_most(const char *s, size_t most)
{
	size_t n = strnlen(s, most + 1);
	return (int)(n <= most ? n : utf8_cut(s, most));
}

/* Bytes of the piece at s: to the next single blank, or to the end without its trailing blanks. */
static size_t piece_bytes(const char *s)
{
	size_t i = 0;
	for (;;) {
		i += strcspn(s + i, " ");
		size_t blanks = strspn(s + i, " ");
		if (blanks <= 1 || s[i + blanks] == '\0')
			return i;
		i += blanks;
	}
}

static const char *skip_blank(const char *s)
{
	size_t blanks = strspn(s, " ");
	return blanks == 1 || s[blanks] == '\0' ? s + blanks : s;
}

void utf8_wrap(struct text *t, const char *words, size_t at, size_t indent, size_t columns)
{
	size_t column = at;
	const char *first = skip_blank(words);
	for (const char *s = first; *s != '\0';) {
		size_t bytes = piece_bytes(s), width = utf8_width(s, bytes);
		if (s == first) {
			column += width;
		} else if (column + 1 + width <= columns) {
			text_add_char(t, ' ', 1);
			column += 1 + width;
		} else {
			text_add_char(t, '\n', 1);
			text_add_char(t, ' ', indent);
			column = indent + width;
		}
		text_add_n(t, s, bytes);
		s = skip_blank(s + bytes);
	}
}
