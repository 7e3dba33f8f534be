#include "facts/verb.h"

#include <string.h>

static const char *const WORD[VERBS] = {
    [VERB_SOWN] = "sown",
    [VERB_UP] = "up",
    [VERB_TRUE_LEAF] = "true leaf",
    [VERB_THINNED] = "thinned",
    [VERB_POTTED_ON] = "potted on",
    [VERB_PUT_OUT] = "put out",
    [VERB_PLANTED_OUT] = "planted out",
    [VERB_MALE] = "male flower",
    [VERB_FEMALE] = "female flower",
    [VERB_POLLINATED] = "pollinated",
    [VERB_PICKED] = "picked",
    [VERB_WATERED] = "watered",
    [VERB_FED] = "fed",
    [VERB_STRAWED] = "strawed",
    [VERB_COVERED] = "covered",
    [VERB_UNCOVERED] = "uncovered",
    [VERB_FOUND] = "found",
    [VERB_ENDED] = "ended",
    [VERB_LOW] = "low",
    [VERB_SOIL] = "soil",
    [VERB_RAIN] = "rain",
    [VERB_SPROUTED] = "sprouted",
    [VERB_AWAY] = "away",
    [VERB_NOTE] = "note",
};

const char *verb_word(enum verb v)
{
	return WORD[v];
}

enum verb verb_of(const struct entry *e)
{
	for (int v = 0; v < VERBS; v++)
		if (strcmp(e->verb, WORD[v]) == 0)
			return (enum verb)v;
	return VERBS;
}
