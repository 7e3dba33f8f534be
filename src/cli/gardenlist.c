#include "cli/gardenlist.h"

#include <dirent.h>
#include <errno.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"

#define ENDING ".ini"

enum { FIRST_NAMES = 64 };

void gardenlist_free(struct gardenlist *l)
{
	for (size_t i = 0; i < l->n; i++)
		mem_free(l->name[i]);
	mem_free(l->name);
	*l = (struct gardenlist){0};
}

static bool is_garden(const char *name)
{
	size_t n = strlen(name), ending = strlen(ENDING);
	return name[0] != '.' && n > ending && strcmp(name + n - ending, ENDING) == 0;
}

static enum fault_code add(struct gardenlist *l, size_t *cap, const char *name, struct fault *f)
{
	size_t size = strlen(name) + 1, more = *cap == 0 ? FIRST_NAMES : 2 * *cap;
	char **grown = l->n == *cap ? mem_resize(l->name, more, sizeof *grown) : l->name;
	char *own = grown != NULL ? mem_new(size, 1) : NULL;
	if (grown != NULL) {
		*cap = l->n == *cap ? more : *cap;
		l->name = grown;
	}
	if (own == NULL)
		return fault_set(f, FAULT_MEMORY, "out of memory");
	memcpy(own, name, size);
	l->name[l->n++] = own;
	return FAULT_NONE;
}

static enum fault_code unreadable(const char *folder, struct fault *f)
{
	enum fault_code code = FAULT_IO;
	if (errno == ENOENT || errno == ENOTDIR)
		code = FAULT_NO_INPUT;
	else if (errno == EACCES || errno == EPERM)
		code = FAULT_PERMISSION;
	return fault_set(f, code, "%s: cannot be read as a folder of gardens: %s", folder, strerror(errno));
}

static int by_bytes(const void *a, const void *b)
{
	return strcmp(*(char *const *)a, *(char *const *)b);
}

static enum fault_code read_all(DIR *dir, const char *folder, struct gardenlist *l, struct fault *f)
{
	const struct dirent *entry;
	size_t cap = 0;
	/* That readdir failed shows in errno alone. */
	while (errno = 0, (entry = readdir(dir)) != NULL)
		if (is_garden(entry->d_name) && add(l, &cap, entry->d_name, f) != FAULT_NONE)
			return f->code;
	return errno != 0 ? unreadable(folder, f) : FAULT_NONE;
}

enum fault_code gardenlist_read(const char *folder, struct gardenlist *l, struct fault *f)
{
	*l = (struct gardenlist){0};
	DIR *dir = opendir(folder);
	if (dir == NULL)
		return unreadable(folder, f);
	enum fault_code code = read_all(dir, folder, l, f);
	(void)closedir(dir);
	if (code != FAULT_NONE)
		return code;
	if (l->n == 0)
		return fault_set(f, FAULT_NO_INPUT,
				 "%s: no garden is in it; right are files NAME" ENDING ", one a garden", folder);
	qsort(l->name, l->n, sizeof *l->name, by_bytes);
	return FAULT_NONE;
}
