#include "lib/scratch.h"

#include <check.h>
#include <dirent.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

void scratch_make(char folder[static SCRATCH_SIZE])
{
	const char *tmp = getenv("TMPDIR");
	int n = snprintf(folder, SCRATCH_SIZE, "%s/dewpost-test-XXXXXX", tmp && *tmp ? tmp : "/tmp");
	ck_assert(n > 0 && n < SCRATCH_SIZE);
	ck_assert_ptr_nonnull(mkdtemp(folder));
}

void scratch_path(const char *folder, const char *name, char path[static SCRATCH_SIZE])
{
	int n = snprintf(path, SCRATCH_SIZE, "%s/%s", folder, name);
	ck_assert(n > 0 && n < SCRATCH_SIZE);
}

void scratch_remove(const char *folder)
{
	DIR *d = opendir(folder);
	ck_assert_ptr_nonnull(d);
	for (struct dirent *e = readdir(d); e; e = readdir(d)) {
		char path[SCRATCH_SIZE];
		if (strcmp(e->d_name, ".") == 0 || strcmp(e->d_name, "..") == 0)
			continue;
		scratch_path(folder, e->d_name, path);
		ck_assert_int_eq(unlink(path), 0);
	}
	closedir(d);
	ck_assert_int_eq(rmdir(folder), 0);
}
