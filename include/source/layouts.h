/*
 * Where in an answer the numbers are: parallel arrays, rows, intervals.
 *
 * Inside of answer.  A line is the decoded form of a describe_line: the stamps
 * that several variables share.  A walk goes over the items of one variable
 * beside them.
 */
#ifndef SOURCE_LAYOUTS_H
#define SOURCE_LAYOUTS_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include <cjson/cJSON.h>

#include "base/fault.h"
#include "source/describe.h"

enum { LAYOUT_SAID_SIZE = 160 };

struct layout_line {
	const cJSON *list; /* NULL: not in the answer, `said` says so */
	size_t n;
	int64_t *begin, *end; /* of each item; begin INSTANT_NONE where the stamp cannot be read */
	size_t readable;
	int64_t first, last;         /* least begin and greatest end; INSTANT_NONE where none is readable */
	char said[LAYOUT_SAID_SIZE]; /* the first thing that was wrong, "" */
};

/* Decode the stamps of all lines of d.  layouts_free also after faults. */
enum fault_code layouts_read(const struct description *d, const cJSON *root, const struct zone *zone,
			     struct layout_line line[static DESCRIBE_VARS_MAX], struct fault *f) MUST_USE;
void layouts_free(const struct description *d, struct layout_line line[static DESCRIBE_VARS_MAX]);

struct layout_walk {
	const struct layout_line *line;
	const struct pointer *value, *unless; /* rows */
	const cJSON *row;                     /* the next row, or element of the array */
	size_t i;
	bool rows;
};

struct layout_item {
	size_t i;
	int64_t begin, end; /* begin INSTANT_NONE: unreadable */
	const cJSON *value; /* NULL: missing */
	bool barred;        /* only_if_missing says no */
};

/*
 * Begin a walk over way number `way` of a variable.
 * False where it cannot be used; `said` (LAYOUT_SAID_SIZE) then says why.
 */
bool layout_begin(const struct description *d, const struct describe_var *v, size_t way, const cJSON *root,
		  const struct layout_line *line, struct layout_walk *walk, char said[static LAYOUT_SAID_SIZE]);

bool layout_next(struct layout_walk *walk, struct layout_item *item);

/* The span that an item is about, from its stamp and the way's period. */
void layout_span(const struct describe_var *v, size_t way, const struct layout_item *item, int64_t *begin,
		 int64_t *end);

#endif
