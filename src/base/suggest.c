#include "base/suggest.h"

#include <string.h>

/* Words as long as this are no keys or names; they have no neighbours. */
enum { WORD_MAX = 63 };

static char lower(char c)
{
	return (char)(c >= 'A' && c <= 'Z' ? c - 'A' + 'a' : c);
}

static size_t least(size_t a, size_t b)
{
	return a < b ? a : b;
}

/*
 * Optimal string alignment: three rows of the table of prefixes, a swap of
 * neighbours counted as one edit.
 * Source: Damerau 1964 (the four edits); Wagner & Fischer 1974 (the table); from memory.
 */
size_t suggest_distance(const char *a, const char *b, size_t limit)
{
	size_t rows = strlen(a), columns = strlen(b);
	if (rows > WORD_MAX || columns > WORD_MAX)
		return limit + 1;
	size_t table[3][WORD_MAX + 1];
	for (size_t j = 0; j <= columns; j++)
		table[0][j] = j;
	for (size_t i = 1; i <= rows; i++) {
		size_t *row = table[i % 3];
		const size_t *before = table[(i + 2) % 3], *two_before = table[(i + 1) % 3];
		row[0] = i;
		for (size_t j = 1; j <= columns; j++) {
			char x = lower(a[i - 1]), y = lower(b[j - 1]);
			row[j] = least(before[j - 1] + (x != y), least(before[j], row[j - 1]) + 1);
			if (i > 1 && j > 1 && x == lower(b[j - 2]) && lower(a[i - 2]) == y)
				row[j] = least(row[j], two_before[j - 2] + 1);
		}
	}
	return least(table[rows % 3][columns], limit + 1);
}

const char *suggest(const char *word, const char *const *known, size_t n)
{
	size_t letters = strlen(word);
	size_t limit = letters <= 1 ? 0 : letters <= 3 ? 1 : 2;
	const char *nearest = NULL;
	size_t best = limit + 1;
	for (size_t i = 0; i < n; i++) {
		size_t distance = suggest_distance(word, known[i], limit);
		if (distance < best) {
			best = distance;
			nearest = known[i];
		}
	}
	return nearest;
}
