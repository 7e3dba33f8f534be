/*
 * Words of our tables as lines of mdoc(7).
 */
#ifndef MANUAL_MDOC_H
#define MANUAL_MDOC_H

#include "base/text.h"

/*
 * Sentences, one a line, each begun with a capital and ended with a full stop: no letter of them is
 * taken for a request or an escape, `words` between backticks are bold, dashes of options stay
 * dashes.
 */
void mdoc_words(struct text *t, const char *words);

/* One argument of a macro. */
void mdoc_argument(struct text *t, const char *word);

/* " Cm source Ar FILE Oo Ar ANSWER ... Oc" for "source FILE [ANSWER...]": behind a macro, on its line. */
void mdoc_operands(struct text *t, const char *operands);

#endif
