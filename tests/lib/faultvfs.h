/*
 * A file layer for SQLite whose Nth call fails, and which never waits for the disk.
 */
#ifndef TESTS_LIB_FAULTVFS_H
#define TESTS_LIB_FAULTVFS_H

#include <stdbool.h>

/* Becomes the layer of every database opened from now on. */
void faultvfs_install(void);

/* Let `after` calls (open, read, write, truncate, sync, size, delete) pass, then fail one, or, sticky, all. */
void faultvfs_fail_after(long after, bool sticky, bool disk_full);
/* Let `after` such calls pass, then kill this process (SIGKILL). */
void faultvfs_kill_after(long after);

/* Let `after` writes pass, then there is no room for any more; negative: there is room again. */
void faultvfs_full_after(long after);

void faultvfs_off(void);

/* Calls failed since faultvfs_fail_after. */
long faultvfs_refused(void);

#endif
