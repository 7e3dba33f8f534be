/*
 * What is remembered of requests to a service: validators, age limits, cool-down,
 * discovered addresses, and how the runs ended.
 */
#ifndef FACTS_MEMO_H
#define FACTS_MEMO_H

#include <stdint.h>

enum { MEMO_FIELD_SIZE = 256, MEMO_STEP_SIZE = 32, MEMO_SOURCE_SIZE = 64, MEMO_NAME_SIZE = 32, MEMO_VALUE_SIZE = 2048 };

/* Of the last request of one step. */
struct memo {
	char source[MEMO_SOURCE_SIZE], step[MEMO_STEP_SIZE];
	int64_t asked;      /* instant of the last request */
	int64_t answered;   /* instant of the last good answer; INSTANT_NONE */
	int64_t not_before; /* no request before this instant (Expires, cool-down); INSTANT_NONE */
	int status;         /* last HTTP status; 0 where there was no answer */
	char etag[MEMO_FIELD_SIZE], last_modified[MEMO_FIELD_SIZE];
	uint64_t address;              /* hash of the address that these two belong to; 0 none */
	char outcome[MEMO_FIELD_SIZE]; /* one line */
};

/* What a step's answer has given to later steps. */
struct memo_found {
	char name[MEMO_NAME_SIZE], value[MEMO_VALUE_SIZE];
	int64_t since; /* instant of the answer */
};

/* One run of a fetch over the network. */
struct run {
	char source[MEMO_SOURCE_SIZE];
	int64_t started; /* instant */
	int code;        /* fault code it ended with */
	int requests;    /* made, retries included */
	int64_t bytes;   /* received */
	int64_t gained;  /* hours that had no air temperature before */
	char said[MEMO_FIELD_SIZE];
};

/* Who has given hours of the past, and for which span [first, end) at most. */
struct supply {
	char source[MEMO_SOURCE_SIZE];
	char credit[MEMO_FIELD_SIZE]; /* the line a note must print */
	int64_t first, end;
};

#endif
