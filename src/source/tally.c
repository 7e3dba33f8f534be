#include "source/tally.h"

#include <stdarg.h>

static void list(struct tally *t, struct faults *all, size_t most, size_t line, const struct fault *why)
{
	if (all->n >= most) {
		all->more++;
		return;
	}
	struct fault f = *why;
	fault_place(&f, "%s:%zu: ", t->file, line);
	faults_add(all, &f);
}

void tally_bad(struct tally *t, size_t line, const struct fault *why)
{
	t->bad++;
	list(t, &t->bad_lines, TALLY_BAD_LISTED, line, why);
}

void tally_odd(struct tally *t, size_t line, size_t *count, const char *fmt, ...)
{
	struct fault f;
	va_list args;
	/* The rest is in the count. */
	if (++*count > TALLY_ODD_LISTED)
		return;
	va_start(args, fmt);
	fault_vset(&f, FAULT_DATA, fmt, args);
	va_end(args);
	list(t, &t->odd_lines, FAULTS_MAX, line, &f);
}

void tally_quality(struct tally *t, char letter)
{
	/* Any mark but a letter fails as well. */
	size_t i = letter >= 'A' && letter <= 'Z' ? (size_t)(letter - 'A') : TALLY_LETTERS - 1;
	t->quality[i]++;
}
