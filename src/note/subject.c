#include "note/subject.h"

#include "facts/letter.h"
#include "note/head.h"
#include "note/phrase.h"
#include "note/sentence.h"

/* SUBJECT_REST_SIZE: what else is in it than act and name. */
enum { SUBJECT_ACT_SIZE = 112, SUBJECT_REST_SIZE = 48 };

/* The garden's name may be as long as it is, and the rest is short. */
_Static_assert(SUBJECT_ACT_SIZE + sizeof(((struct garden *)0)->name) + SUBJECT_REST_SIZE <= LETTER_SUBJECT_SIZE,
	       "a subject holds all its parts");

static void act(const struct note_facts *n, struct text *t)
{
	char mem[SUBJECT_ACT_SIZE];
	struct text words;
	text_over(&words, mem, sizeof mem);
	if (n->lines->n > 0)
		sentence_act(n, &n->lines->at[0], &words);
	else
		head_words(n, &words);
	text_add_n(t, words.at, words.len);
	text_add(t, words.full ? "..." : "");
}

void subject_write(const struct note_facts *n, struct text *t)
{
	act(n, t);
	if (n->lines->n > 1)
		text_addf(t, ", and %zu more", n->lines->n - 1);
	text_addf(t, " (%s, ", n->garden->name);
	phrase_date_full(t, n->state->today);
	text_add(t, ")");
}
