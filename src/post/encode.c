#include "post/encode.h"

#include <string.h>

enum { LINE_MAX_7BIT = 998, WORD_MAX = 75, WORD_LINE_MAX = 76, QUOTED_MAX = 76 };

static const char word_begin[] = "=?UTF-8?Q?", word_end[] = "?=", from_[] = "From ";

static bool is_alnum(char c)
{
	return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9');
}

static void add_hex(char c, struct text *t)
{
	text_addf(t, "=%02X", (unsigned)(unsigned char)c);
}

/* ---- header ---- */

static bool word_literal(char c)
{
	return is_alnum(c) || (c != '\0' && strchr("!*+-/", c) != NULL);
}

/* Bytes of the UTF-8 character at s. */
static size_t character(const char *s)
{
	size_t n = 1;
	while (((unsigned char)s[n] & 0xc0) == 0x80)
		n++;
	return n;
}

static void add_word_byte(char c, struct text *t)
{
	if (c == ' ')
		text_add(t, "_");
	else if (word_literal(c))
		text_add_n(t, &c, 1);
	else
		add_hex(c, t);
}

static size_t word_width(const char *s, size_t n)
{
	size_t width = 0;
	for (size_t i = 0; i < n; i++)
		width += s[i] == ' ' || word_literal(s[i]) ? 1 : 3;
	return width;
}

void encode_words(const char *s, size_t column, const char *eol, struct text *t)
{
	size_t most = WORD_LINE_MAX - column < WORD_MAX ? WORD_LINE_MAX - column : WORD_MAX;
	size_t width = sizeof word_begin - 1;
	text_add(t, word_begin);
	while (*s != '\0') {
		size_t n = character(s), more = word_width(s, n);
		if (width + more + sizeof word_end - 1 > most) {
			text_addf(t, "%s%s %s", word_end, eol, word_begin);
			width = sizeof word_begin - 1;
			most = WORD_MAX;
		}
		for (size_t i = 0; i < n; i++)
			add_word_byte(s[i], t);
		width += more;
		s += n;
	}
	text_add(t, word_end);
}

/* ---- body ---- */

/* Bytes of the line at s without its end, LF or CR LF; *next: where the next one begins, NULL: nowhere. */
static size_t line_length(const char *s, const char **next)
{
	size_t n = strcspn(s, "\n");
	*next = s[n] == '\n' && s[n + 1] != '\0' ? s + n + 1 : NULL;
	return n > 0 && s[n] == '\n' && s[n - 1] == '\r' ? n - 1 : n;
}

static bool is_blank(char c)
{
	return c == ' ' || c == '\t';
}

/* A dot may be taken for the end of the mail, "From " for the beginning of the next one. */
static bool misleading(const char *s)
{
	return *s == '.' || strncmp(s, from_, sizeof from_ - 1) == 0;
}

static bool line_fits(const char *s, size_t n)
{
	if (n > LINE_MAX_7BIT || (n > 0 && (misleading(s) || is_blank(s[n - 1]))))
		return false;
	for (size_t i = 0; i < n; i++)
		if ((s[i] < ' ' || s[i] > '~') && s[i] != '\t')
			return false;
	return true;
}

bool encode_plain_fits(const char *body)
{
	for (const char *next; body != NULL; body = next) {
		size_t n = line_length(body, &next);
		if (!line_fits(body, n))
			return false;
	}
	return true;
}

void encode_plain(const char *body, const char *eol, struct text *t)
{
	for (const char *next; body != NULL; body = next) {
		size_t n = line_length(body, &next);
		text_add_n(t, body, n);
		text_add(t, eol);
	}
}

static bool quoted_literal(const char *s, bool first, bool last)
{
	if (first && misleading(s))
		return false;
	if (is_blank(*s))
		return !last;
	return *s > ' ' && *s <= '~' && *s != '=';
}

static void quoted_line(const char *s, size_t n, const char *eol, struct text *t)
{
	size_t column = 0;
	for (size_t i = 0; i < n; i++) {
		bool last = i + 1 == n;
		size_t width = quoted_literal(s + i, column == 0, last) ? 1 : 3;
		if (column + width > QUOTED_MAX - 1) { /* one is kept for the = of a soft line end */
			text_addf(t, "=%s", eol);
			column = 0;
		}
		bool literal = quoted_literal(s + i, column == 0, last);
		if (literal)
			text_add_n(t, s + i, 1);
		else
			add_hex(s[i], t);
		column += literal ? 1 : 3;
	}
	text_add(t, eol);
}

void encode_quoted(const char *body, const char *eol, struct text *t)
{
	for (const char *next; body != NULL; body = next) {
		size_t n = line_length(body, &next);
		quoted_line(body, n, eol, t);
	}
}
