#include "note/chance.h"

#include <math.h>

/* From certain down; the first and the last are said by what they are beyond. */
static const struct level {
	int k, n;
} LEVEL[] = {{1, 1}, {9, 10}, {8, 10}, {7, 10}, {6, 10}, {1, 2},  {4, 10}, {1, 3},  {3, 10},  {1, 4},
	     {1, 5}, {1, 6},  {1, 7},  {1, 10}, {1, 15}, {1, 20}, {1, 30}, {1, 50}, {1, 100}, {1, 200}};

enum { LEVELS = sizeof LEVEL / sizeof *LEVEL };

static double part(int i)
{
	return (double)LEVEL[i].k / LEVEL[i].n;
}

static void level_words(struct text *t, double p, const char *over, const char *under)
{
	int i = 0;
	if (isnan(p)) {
		text_add(t, "?");
		return;
	}
	/* The middle of two by ratio. */
	while (i + 1 < LEVELS && p < sqrt(part(i) * part(i + 1)))
		i++;
	if (i == 0)
		text_addf(t, "%s9 in 10", over);
	else if (i == LEVELS - 1)
		text_addf(t, "%s1 in 100", under);
	else
		text_addf(t, "%d in %d", LEVEL[i].k, LEVEL[i].n);
}

void chance_words(struct text *t, double p)
{
	level_words(t, p, "over ", "under ");
}

void chance_cell(struct text *t, double p)
{
	level_words(t, p, ">", "<");
}
