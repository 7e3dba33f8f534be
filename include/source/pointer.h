/*
 * JSON Pointer (RFC 6901): a path into an answer, compiled once, resolved often.
 *
 * The only path syntax of source descriptions.  Absent and null are the same
 * to us: missing.
 */
#ifndef SOURCE_POINTER_H
#define SOURCE_POINTER_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include <cjson/cJSON.h>

#include "base/fault.h"
#include "base/text.h"

enum { POINTER_TEXT_MAX = 119, POINTER_TOKENS_MAX = 12 };

struct pointer {
	bool set;                          /* false: there is no pointer */
	uint8_t n;                         /* reference tokens; 0 is the whole document */
	uint8_t at[POINTER_TOKENS_MAX];    /* where each decoded token starts in text */
	int32_t index[POINTER_TOKENS_MAX]; /* the token as an array index; -1 where it is none */
	char text[POINTER_TEXT_MAX + 1];   /* decoded tokens, each with a NUL after it */
};

/* "" or "/a/b~1c/0"; FAULT_CONFIG says what is wrong. */
enum fault_code pointer_compile(const char *s, struct pointer *p, struct fault *f) MUST_USE;

/* What p points at below root; NULL where it, or anything on the way, is absent or null. */
const cJSON *pointer_get(const struct pointer *p, const cJSON *root);

bool pointer_same(const struct pointer *a, const struct pointer *b);

/* The last decoded token, "" for the whole document. */
const char *pointer_last(const struct pointer *p);

/* Written as RFC 6901 has it, for fault lines. */
void pointer_write(const struct pointer *p, struct text *t);

#endif
