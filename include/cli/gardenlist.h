/*
 * The garden files of a folder.
 */
#ifndef CLI_GARDENLIST_H
#define CLI_GARDENLIST_H

#include <stddef.h>

#include "base/fault.h"

struct gardenlist {
	char **name; /* n of them, without the folder */
	size_t n;
};

/*
 * Files *.ini of the folder itself, in byte order, hidden ones left out.
 * FAULT_NO_INPUT: no such folder, or none in it; FAULT_PERMISSION, FAULT_IO, FAULT_MEMORY.
 * gardenlist_free also after a fault.
 */
enum fault_code gardenlist_read(const char *folder, struct gardenlist *l, struct fault *f) MUST_USE;
void gardenlist_free(struct gardenlist *l);

#endif
