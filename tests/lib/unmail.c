#define _GNU_SOURCE /* memmem */
#include "lib/unmail.h"

#include <string.h>
#include <strings.h>

#include "base/utf8.h"
#include "lib/harness.h"

/* Capitals alone, RFC 2045 6.7 (1). */
static int hex(char c)
{
	static const char digits[] = "0123456789ABCDEF";
	const char *at = c != '\0' ? strchr(digits, c) : NULL;
	ROW_MSG(at != NULL, "'%c' is no hexadecimal digit", c);
	return (int)(at - digits);
}

static void add_hex(const char *s, struct text *t)
{
	char c = (char)(16 * hex(s[0]) + hex(s[1]));
	text_add_n(t, &c, 1);
}

void unmail_quoted(const char *s, size_t n, struct text *t)
{
	const char *end = s + n, *line = s;
	while (s < end) {
		if (*s == '\r') {
			ROW_MSG(s + 1 < end && s[1] == '\n', "a bare CR");
			ROW_MSG(s == line || (s[-1] != ' ' && s[-1] != '\t'), "a blank at a line's end");
			text_add(t, "\n");
			line = s += 2;
		} else if (*s == '=' && s[1] == '\r') {
			ROW_MSG(s[2] == '\n', "a bare CR");
			line = s += 3;
		} else if (*s == '=') {
			add_hex(s + 1, t);
			s += 3;
		} else {
			ROW_MSG((*s >= ' ' && *s <= '~') || *s == '\t', "byte %d stands for itself", *s);
			text_add_n(t, s++, 1);
		}
		ROW_MSG(s - line <= 76, "a line of more than 76 characters");
	}
}

/* One encoded word; where it ends. */
static const char *word(const char *s, const char *end, struct text *t)
{
	static const char begin[] = "=?UTF-8?Q?";
	const char *close = memmem(s + sizeof begin - 1, (size_t)(end - s) - sizeof begin + 1, "?=", 2);
	size_t had = t->len;
	ROW_MSG(strncmp(s, begin, sizeof begin - 1) == 0 && close != NULL, "no encoded word: %.80s", s);
	ROW_MSG(close + 2 - s <= 75, "an encoded word of more than 75 characters");
	for (s += sizeof begin - 1; s < close; s++) {
		ROW_MSG(*s > ' ' && *s <= '~' && *s != '?', "byte %d within an encoded word", *s);
		if (*s == '=') {
			add_hex(s + 1, t);
			s += 2;
		} else {
			text_add_n(t, *s == '_' ? " " : s, 1);
		}
	}
	ROW_MSG(utf8_bad(t->at + had, t->len - had) == t->len - had, "a character is split between two words");
	return close + 2;
}

static bool begins_word(const char *s, const char *end)
{
	return end - s > 2 && s[0] == '=' && s[1] == '?';
}

void unmail_words(const char *s, size_t n, struct text *t)
{
	const char *end = s + n;
	while (s < end) {
		if (!begins_word(s, end)) {
			text_add_n(t, s++, 1);
			continue;
		}
		s = word(s, end, t);
		const char *next = s;
		while (next < end && strchr(" \t\r\n", *next) != NULL)
			next++;
		if (next > s && begins_word(next, end))
			s = next;
	}
}

void unmail_dots(const char *s, size_t n, struct text *t)
{
	for (size_t i = 0; i < n; i++) {
		bool first = i == 0 || (i >= 2 && s[i - 1] == '\n' && s[i - 2] == '\r');
		if (!first || s[i] != '.')
			text_add_n(t, s + i, 1);
	}
}

bool unmail_field(const char *message, const char *name, struct text *t)
{
	const char *body = unmail_body(message);
	size_t n = strlen(name);
	for (const char *s = message; s < body; s = strchr(s, '\n') + 1) {
		if (strncasecmp(s, name, n) != 0 || s[n] != ':' || s[n + 1] != ' ')
			continue;
		for (s += n + 2; *s != '\n' || s[1] == ' ' || s[1] == '\t'; s++)
			if (*s != '\r' && *s != '\n')
				text_add_n(t, s, 1);
		return true;
	}
	return false;
}

const char *unmail_body(const char *message)
{
	const char *crlf = strstr(message, "\r\n\r\n"), *lf = strstr(message, "\n\n");
	if (crlf != NULL)
		return crlf + 4;
	return lf != NULL ? lf + 2 : NULL;
}

void unmail_lines(const char *what, const char *s, size_t n, size_t most)
{
	size_t line = 0;
	for (size_t i = 0; i < n; i++) {
		ROW_MSG(s[i] != '\n' || (i > 0 && s[i - 1] == '\r'), "%s: a bare LF at %zu", what, i);
		ROW_MSG(s[i] != '\r' || (i + 1 < n && s[i + 1] == '\n'), "%s: a bare CR at %zu", what, i);
		line = s[i] == '\n' ? 0 : line + 1;
		ROW_MSG(line <= most + 1 || s[i] == '\r', "%s: a line longer than %zu", what, most);
	}
}
