/*
 * The diary as CSV (RFC 4180): out of the record, and in again.
 *
 * A heading, then a line an entry in the order they came in, those taken back and those that take back among them.
 * `number` counts the lines' entries; `undoes` is the number of the entry that is taken back.  Dates and instants
 * are ISO 8601, amounts in the inside units of facts/entry.h.
 */
#ifndef CLI_DIARYCSV_H
#define CLI_DIARYCSV_H

#include <stddef.h>

#include "base/fault.h"
#include "base/text.h"
#include "facts/entry.h"

enum { DIARYCSV_ENTRIES_MAX = 100000, DIARYCSV_LINE_MAX = 2048 };

void diarycsv_head(struct text *t);
void diarycsv_line(const char *garden, const struct entry *e, struct text *t);

/* Entries of a file, `written` and the rest set, `id` and `undoes` its numbers. */
struct diarycsv {
	struct entry *entries;
	size_t *line; /* of each */
	size_t n;
};

/*
 * Read a file of the garden of that id.  Columns may stand in any order, and semicolons or tabs between them.
 * Each line that is wrong is in the list, "FILE:LINE: what; what would be right", and the code is its; *f has the
 * code alone then.  diarycsv_free also after a fault.
 */
enum fault_code diarycsv_read(const char *file, const char *garden, struct diarycsv *d, struct faults *wrong,
			      struct fault *f) MUST_USE;
void diarycsv_free(struct diarycsv *d);

#endif
