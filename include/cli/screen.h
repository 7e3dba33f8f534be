/*
 * The way out: standard output, checked, and faults on standard error.
 */
#ifndef CLI_SCREEN_H
#define CLI_SCREEN_H

#include <stdbool.h>
#include <stddef.h>

#include "base/fault.h"
#include "base/text.h"
#include "note/note.h"

/* Write and flush; FAULT_IO says why it could not be. */
enum fault_code screen_write(const char *s, size_t n, struct fault *f) MUST_USE;

/* What is in the buffer, where all of it fitted; `what` names it. */
enum fault_code screen_text(const struct text *t, const char *what, struct fault *f) MUST_USE;

/* What is written next stands apart from what was written before, by a blank line, a line of its own above it (NULL:
 * none).  Nothing is written where nothing follows; the heading must stay till then. */
void screen_apart(const char *heading);

/* What the faults and warnings that follow are about: put before those that do not begin with it.  NULL: nothing. */
void screen_about(const char *what);

/* Whether words may be bold: a terminal that is not dumb, and NO_COLOR not set. */
bool screen_bold(void);

/* The note with the verbs of its lines in bold. */
void screen_note(const struct note_facts *n, const char *note, struct text *t);

/*
 * How far a long job is: one line on standard error that the next one goes over, and NULL
 * takes away.  Nothing where nobody looks on: a terminal alone sees it, never cron's mail.
 */
void screen_progress(const char *words);

/* A word beside for who runs it by hand: on standard error, and only where that is a terminal. */
void screen_word(const char *text);

/*
 * "dewpost: TEXT" on standard error: what failed, or what went on all the same.  Where that is the
 * journal, with the level before it (sd-daemon(3): <3> error, <4> warning).
 */
void screen_fault(const char *text);
void screen_warning(const char *text);
void screen_faults(const struct faults *all);
void screen_warnings(const struct faults *all);

#endif
