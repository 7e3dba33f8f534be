/*
 * A diary entry as the record keeps it: only ever appended to; undo is an entry too.
 */
#ifndef FACTS_ENTRY_H
#define FACTS_ENTRY_H

#include <stdint.h>

#include "base/date.h"

enum { ENTRY_WORD_SIZE = 32, ENTRY_TEXT_SIZE = 200 };

struct entry {
	int64_t id;      /* 0 until stored */
	int64_t written; /* instant */
	struct date date;
	char planting[ENTRY_WORD_SIZE], crop[ENTRY_WORD_SIZE], variety[ENTRY_WORD_SIZE], bed[ENTRY_WORD_SIZE];
	char verb[ENTRY_WORD_SIZE];
	char text[ENTRY_TEXT_SIZE]; /* the line as the grower gave it */
	double amount;              /* inside units; NaN where there is none */
	int64_t undoes;             /* id of the entry taken back; 0 where none */
};

#endif
