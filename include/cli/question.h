/*
 * Questions: asked one after the other on a terminal, or answered beforehand by
 * lines "key = value" in any order.
 *
 * On a terminal a wrong answer is told in one line and the question asked again.
 * Answers given beforehand are judged all: each wrong one is a fault with its line.
 */
#ifndef CLI_QUESTION_H
#define CLI_QUESTION_H

#include <stdbool.h>
#include <stdio.h>

#include "base/fault.h"
#include "base/ini.h"

enum { QUESTION_ANSWER_SIZE = 1024 };

struct question {
	const char *key;     /* of an answer given beforehand */
	const char *ask;     /* on a terminal */
	const char *example; /* what an answer looks like */
	const char *help;    /* for the manual */
};

struct asker {
	FILE *in, *out;
	bool terminal;
	struct ini doc; /* the answers given beforehand ... */
	bool *used;     /* ... and which of them have been asked for */
	struct faults *wrong;
};

/* Without a terminal all of `in` is read; what is no answer in it is told in `wrong`.  asker_close also after a fault.
 */
enum fault_code asker_open(struct asker *a, FILE *in, FILE *out, bool terminal, struct faults *wrong,
			   struct fault *f) MUST_USE;
void asker_close(struct asker *a);

/* What to do with an answer: FAULT_MEMORY ends it all, any other fault says what is wrong with the answer. */
typedef enum fault_code asker_take(void *into, const char *answer, struct fault *f);

/*
 * Ask.  An empty answer, or none, means `fallback`: "" that there is nothing to take, NULL that there has to be an
 * answer.  *taken says whether there was something.
 * FAULT_DATA where the answers on a terminal end; else a fault only where nothing can go on.
 */
enum fault_code asker_ask(struct asker *a, const struct question *q, const char *fallback, asker_take *take, void *into,
			  bool *taken, struct fault *f) MUST_USE;

/* Words for who sits at the terminal; nobody else sees them. */
void asker_say(struct asker *a, const char *fmt, ...) PRINTF_LIKE(2, 3);

/* Answers that nothing was asked about are faults; q are all questions there are. */
void asker_unused(struct asker *a, const struct question *q, size_t n);

#endif
