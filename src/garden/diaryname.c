#include "garden/diaryname.h"

#include <string.h>
#include <strings.h>

#include "base/suggest.h"
#include "garden/diaryverb.h"
#include "garden/keyvalue.h"

const char *diaryname_place(const struct garden *g, const char *word)
{
	for (size_t i = 0; i < g->beds; i++)
		if (strcasecmp(g->bed[i].name, word) == 0)
			return g->bed[i].name;
	for (size_t i = 0; i < g->tubs; i++)
		if (strcasecmp(g->tub[i].name, word) == 0)
			return g->tub[i].name;
	return NULL;
}

const struct planting *diaryname_planting(const struct garden *g, const char *word)
{
	const struct planting *p = garden_planting(g, word);
	for (size_t i = 0; p == NULL && i < g->plantings; i++)
		if (strcasecmp(g->planting[i].name, word) == 0)
			p = &g->planting[i];
	return p;
}

bool diaryname_is(const struct garden *g, const char *word)
{
	return diaryname_planting(g, word) != NULL || diaryname_place(g, word) != NULL;
}

enum fault_code diaryname_crop(const struct garden *g, const char *word, const struct planting **p, struct fault *f)
{
	const struct planting *other = NULL;
	*p = NULL;
	for (size_t i = 0; i < g->plantings; i++) {
		if (strcasecmp(g->planting[i].crop, word) != 0)
			continue;
		other = *p != NULL ? &g->planting[i] : NULL;
		*p = *p != NULL ? *p : &g->planting[i];
		if (other != NULL)
			return fault_set(f, FAULT_DATA, "\"%s\": which of them? \"%s\" or \"%s\" is right", word,
					 (*p)->name, other->name);
	}
	return FAULT_NONE;
}

enum fault_code diaryname_unknown(const struct garden *g, const char *word, struct fault *f)
{
	const char *known[GARDEN_PLANTINGS_MAX + GARDEN_BEDS_MAX + GARDEN_TUBS_MAX];
	char remedy[KEY_LIST_SIZE];
	size_t n = 0;
	for (size_t i = 0; i < g->plantings; i++)
		known[n++] = g->planting[i].name;
	for (size_t i = 0; i < g->beds; i++)
		known[n++] = g->bed[i].name;
	for (size_t i = 0; i < g->tubs; i++)
		known[n++] = g->tub[i].name;
	const char *hint = diaryverb_hint(word);
	if (hint != NULL)
		return fault_set(f, FAULT_DATA, "\"%s\" is not clear; %s is right", word, hint);
	if (n == 0)
		return fault_set(f, FAULT_DATA,
				 "\"%.*s\" is not understood; the garden file has no planting and no bed yet",
				 KEY_SHOWN(word));
	const char *near = suggest(word, known, n);
	if (near != NULL)
		return fault_set(f, FAULT_DATA, "\"%.*s\" is not understood; did you mean \"%s\"?", KEY_SHOWN(word),
				 near);
	if (strlen(key_listed(known, n, "or", remedy)) + 1 >= KEY_LIST_SIZE)
		return fault_set(f, FAULT_DATA, "\"%.*s\" is not understood; a name out of the garden file is right",
				 KEY_SHOWN(word));
	return fault_set(f, FAULT_DATA, "\"%.*s\" is not understood; the garden file has %s", KEY_SHOWN(word), remedy);
}
