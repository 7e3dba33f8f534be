/*
 * What is remembered of a request to a service: validators, age limits, cool-down.
 */
#ifndef FACTS_MEMO_H
#define FACTS_MEMO_H

#include <stdint.h>

enum { MEMO_FIELD_SIZE = 256, MEMO_STEP_SIZE = 32 };

struct memo {
	char source[64], step[MEMO_STEP_SIZE];
	int64_t asked;      /* instant of the last request */
	int64_t answered;   /* instant of the last good answer; INSTANT_NONE */
	int64_t not_before; /* no request before this instant (Expires, cool-down); INSTANT_NONE */
	int status;         /* last HTTP status; 0 where there was no answer */
	char etag[MEMO_FIELD_SIZE], last_modified[MEMO_FIELD_SIZE];
	char outcome[MEMO_FIELD_SIZE]; /* one line */
};

#endif
