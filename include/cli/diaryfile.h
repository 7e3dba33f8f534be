/*
 * The grower's own text file of diary lines: read each morning, each line taken once.
 *
 * A line is known again by its text and by how many copies of it the file has; what has left the file is forgotten.
 * One without a date is of the day on which it is first read; one of a past day that the diary has already, in the same
 * words, is not taken again.  One that cannot be understood is tried again each
 * morning, for the garden file may have learned its planting meanwhile, and is said once.  # begins a comment, at the
 * start of a line or between blanks.  The file is never written to.
 */
#ifndef CLI_DIARYFILE_H
#define CLI_DIARYFILE_H

#include <stddef.h>

#include "base/fault.h"
#include "base/text.h"
#include "cli/context.h"
#include "facts/entry.h"
#include "record/diary.h"

enum { DIARYFILE_MOST = 1024 * 1024, DIARYFILE_SAID = 16 * 1024 };

struct diaryfile {
	size_t lines;          /* that are neither empty nor comments */
	size_t known;          /* of these, taken before */
	size_t taken;          /* new, and understood */
	struct entry *entries; /* of those, `n` of them */
	size_t n;
	struct text echo;                /* the same as they were understood, a line each */
	struct faults refused;           /* all that are not understood, "FILE:LINE: what; what would be right" */
	struct faults fresh;             /* of those, the ones that were not said before */
	struct diary_line *before, *now; /* what the record remembers, and is to remember */
	size_t n_before, n_now;
};

/*
 * Look at the file that the garden file names; nothing is stored, and the record need not be open.  A garden without
 * such a file has no lines.  diaryfile_free also after a fault.
 */
enum fault_code diaryfile_look(struct context *c, struct diaryfile *d, struct fault *f) MUST_USE;

/* The same, and what is new goes into the record, which is open to write. */
enum fault_code diaryfile_take(struct context *c, struct diaryfile *d, struct fault *f) MUST_USE;

void diaryfile_free(struct diaryfile *d);

#endif
