/*
 * What the numbers of a variable mean: each kind laid into the hours.
 *
 * Inside of answer.  One `kinds` serves one [var] section: kinds_begin, for
 * each of its ways kinds_way and the items, kinds_end.
 */
#ifndef SOURCE_KINDS_H
#define SOURCE_KINDS_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/fault.h"
#include "facts/hours.h"
#include "source/answer.h"
#include "source/describe.h"

/* An amount over a span, before it is divided. */
struct kinds_amount {
	int64_t begin, end;
	double x;
	size_t i; /* its place in the answer: the later of two wins */
};

/* Scratch for all sections of an answer: n hours, `items` the most items of a line. */
struct kinds_room {
	uint8_t *taken; /* of each hour: 0, or who has filled it */
	int32_t *cover; /* seconds of each hour that amounts are told of */
	uint8_t *seen;  /* of each item: some way has a number of it */
	struct kinds_amount *amount;
	void *block;
};

enum fault_code kinds_room_init(struct kinds_room *room, size_t hours, size_t items, struct fault *f) MUST_USE;
void kinds_room_free(struct kinds_room *room);

struct kinds {
	const struct describe_var *v;
	struct hours *hours;
	struct answer_row *row;
	struct kinds_room *room;
	size_t settled, ended; /* hours: before `settled`, and from there to `ended` */
	uint8_t past_mark, recent_mark;
	uint8_t whole; /* ORIGIN_WHOLE_HOUR where the kind says so */
	uint8_t way;   /* who fills now, in room.taken */
	size_t amounts;
};

/* The issue has its hours, and all that says what they are worth. */
void kinds_begin(struct kinds *k, const struct describe_var *v, struct issue *issue, struct answer_row *row,
		 struct kinds_room *room);

void kinds_way(struct kinds *k, size_t way);

/* One number, in inside units and in range, of the span [begin, end); an instant has end = begin. */
void kinds_put(struct kinds *k, size_t i, int64_t begin, int64_t end, double x);

/* After the items of a way.  False: amounts overlap, nothing of the section is to be used. */
bool kinds_way_end(struct kinds *k) MUST_USE;

/* Fill gaps, then sum up what the section has given into its row. */
void kinds_end(struct kinds *k);

#endif
