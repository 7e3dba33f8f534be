/*
 * Read every seed of a fuzz target once, in any variant and with any compiler:
 * a program replay_NAME reads the files of fixtures/fuzz/NAME.
 */
#include <dirent.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

enum { PATH_SIZE = 4096, SEED_MAX = 1 << 20 };

static int replay_file(const char *path)
{
	static uint8_t buffer[SEED_MAX];
	FILE *in = fopen(path, "rb");
	if (!in) {
		perror(path);
		return -1;
	}
	size_t size = fread(buffer, 1, sizeof buffer, in);
	fclose(in);
	/* A heap copy of the very size, so that a read past the end is seen. */
	uint8_t *data = malloc(size + (size == 0));
	if (!data)
		return -1;
	memcpy(data, buffer, size);
	LLVMFuzzerTestOneInput(data, size);
	free(data);
	return 0;
}

int main(int argc, char **argv)
{
	(void)argc;
	char path[PATH_SIZE];
	const char *name = strstr(argv[0], "replay_");
	snprintf(path, sizeof path, "fixtures/fuzz/%s", name ? name + strlen("replay_") : "");
	int passed = 0, failed = 0;
	replay_file("/dev/null");
	DIR *dir = opendir(path);
	size_t stem = strlen(path);
	for (struct dirent *entry; dir && (entry = readdir(dir));) {
		if (entry->d_name[0] == '.')
			continue;
		snprintf(path + stem, sizeof path - stem, "/%s", entry->d_name);
		if (replay_file(path) == 0)
			passed++;
		else
			failed++;
	}
	if (dir)
		closedir(dir);
	printf("%d passed, %d failed\n", passed + 1, failed);
	return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}
