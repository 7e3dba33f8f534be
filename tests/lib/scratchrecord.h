/*
 * A record of a test's own, in a folder of its own, with one place in it.
 */
#ifndef TESTS_LIB_SCRATCHRECORD_H
#define TESTS_LIB_SCRATCHRECORD_H

#include <stdint.h>

#include "lib/scratch.h"
#include "record/record.h"

struct scratchrecord {
	char folder[SCRATCH_SIZE], path[SCRATCH_SIZE];
	struct record *rec;
	int64_t place; /* 44.31 N, 89.90 W, 330 m */
};

void scratchrecord_open(struct scratchrecord *s);
void scratchrecord_close(struct scratchrecord *s);

#endif
