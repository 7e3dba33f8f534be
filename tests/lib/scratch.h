/*
 * A folder of a test's own, gone after it.
 */
#ifndef TESTS_LIB_SCRATCH_H
#define TESTS_LIB_SCRATCH_H

enum { SCRATCH_SIZE = 256 };

/* A new empty folder in $TMPDIR, else /tmp. */
void scratch_make(char folder[static SCRATCH_SIZE]);

/* The path of a name in it. */
void scratch_path(const char *folder, const char *name, char path[static SCRATCH_SIZE]);

/* Remove it with the files in it (not with folders in it). */
void scratch_remove(const char *folder);

#endif
