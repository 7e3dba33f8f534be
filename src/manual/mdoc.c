#include "manual/mdoc.h"

#include <ctype.h>
#include <string.h>

/* One byte of running text, bold switched by backticks; `before` is the byte before it. */
static void letter(struct text *t, char before, const char *s, bool *bold)
{
	switch (*s) {
	case '`':
		*bold = !*bold;
		text_add(t, *bold ? "\\fB" : "\\fR");
		break;
	case '\\':
		text_add(t, "\\e");
		break;
	case '-':
		text_add(t, s[1] == '-' || before == '-' || *bold ? "\\-" : "-");
		break;
	default:
		text_add_char(t, *s, 1);
	}
}

/* The sentence begins with a word of English, and not with a word of the file or "word: ". */
static bool plain_word(const char *s)
{
	size_t n = 0;
	while (isalpha((unsigned char)s[n]) || s[n] == '\'' || s[n] == '-')
		n++;
	return n > 0 && (strncmp(s + n, ", ", 2) == 0 || (s[n] == ' ' && s[n + 1] != '='));
}

/* Where a sentence ends: a stop, and a capital after one blank. */
static bool ends(const char *s)
{
	return strchr(".?!", s[0]) != NULL && s[1] == ' ' && isupper((unsigned char)s[2]);
}

void mdoc_words(struct text *t, const char *words)
{
	bool bold = false, begin = true;
	char before = '\0';
	for (const char *s = words; *s != '\0'; s++) {
		if (begin && strchr(".'", *s) != NULL)
			text_add(t, "\\&");
		if (begin && plain_word(s))
			text_add_char(t, (char)toupper((unsigned char)*s), 1);
		else
			letter(t, before, s, &bold);
		begin = ends(s);
		if (begin) {
			text_add(t, "\n");
			s++;
		}
		before = *s;
	}
	text_add(t, before != '\0' && strchr(".?!", before) != NULL ? "\n" : ".\n");
}

void mdoc_argument(struct text *t, const char *word)
{
	text_add(t, "\"");
	for (; *word != '\0'; word++)
		if (*word == '"')
			text_add(t, "\\(dq");
		else if (*word == '\\')
			text_add(t, "\\e");
		else if (*word == '-')
			text_add(t, "\\-");
		else
			text_add_char(t, *word, 1);
	text_add(t, "\"");
}

static bool fixed(const char *word)
{
	return islower((unsigned char)word[0]) || word[0] == '-';
}

static void sign(struct text *t, char c)
{
	if (c == '[')
		text_add(t, " Oo");
	else if (c == ']')
		text_add(t, " Oc");
	else if (c == '|')
		text_add(t, " |");
}

/* A word of n bytes, dots of "and more" at its end set off. */
static void operand(struct text *t, const char *word, size_t n)
{
	enum { DOTS = 3 };
	bool more = n >= DOTS && strncmp(word + n - DOTS, "...", DOTS) == 0;
	size_t letters = more ? n - DOTS : n;
	if (letters > 0) {
		text_add(t, fixed(word) ? " Cm " : " Ar ");
		text_add_n(t, word, letters);
	}
	text_add(t, more ? " ..." : "");
}

void mdoc_operands(struct text *t, const char *operands)
{
	for (size_t n; *operands != '\0'; operands += n) {
		n = strcspn(operands, " []|");
		if (n > 0) {
			operand(t, operands, n);
			continue;
		}
		sign(t, *operands);
		n = 1;
	}
}
