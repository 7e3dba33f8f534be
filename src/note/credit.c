#include "note/credit.h"

#include <string.h>

static void sentence(const char *before, const char *credit, struct text *t)
{
	size_t len = strlen(credit);
	if (len == 0)
		return;
	text_addf(t, "%s%s%s%s", t->len > 0 ? " " : "", before, credit, credit[len - 1] == '.' ? "" : ".");
}

/* Has the forecast, or a supplier before this one, the same words? */
static bool said(const struct note_facts *n, size_t i)
{
	const char *credit = n->supply[i].credit;
	if (n->state->forecast.any && strcmp(credit, n->state->forecast.credit) == 0)
		return true;
	for (size_t k = 0; k < i; k++)
		if (strcmp(credit, n->supply[k].credit) == 0)
			return true;
	return false;
}

void credit_words(const struct note_facts *n, int64_t from, struct text *t)
{
	if (n->state->forecast.any)
		sentence("", n->state->forecast.credit, t);
	for (size_t i = 0; i < n->supplies; i++)
		if (n->supply[i].end > from && n->supply[i].first < n->state->cut && !said(n, i))
			sentence("Past hours: ", n->supply[i].credit, t);
}
