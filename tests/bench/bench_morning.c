/*
 * A whole morning on the demo's record, as a process, beside the program that only says its version.
 * At most 30 ms and 20 MiB.
 */
#include <stdio.h>
#include <stdlib.h>
#include <unistd.h>

#include "bench.h"

enum { MORNING_RUNS = 31, MORNING_MS = 30, MORNING_MIB = 20, KIB = 1024 };

void bench_morning(void)
{
	static const char *const morning[] = {
	    "dewpost", "morning", "--offline", "--print", "--at", "2026-05-19T05:17:00-05:00", NULL};
	static const char *const version[] = {"dewpost", "--version", NULL};
	double ours[MORNING_RUNS], floor[MORNING_RUNS];
	long ours_kib = 0, floor_kib = 0;
	char top[KIB], path[2 * KIB];
	if (getcwd(top, sizeof top) == NULL || system("sh tests/lib/demo.sh >/dev/null") != 0)
		exit(EXIT_FAILURE);
	snprintf(path, sizeof path, "%s/fixtures/demo/config", top);
	setenv("XDG_CONFIG_HOME", path, 1);
	snprintf(path, sizeof path, "%s/build/demo", top);
	setenv("XDG_STATE_HOME", path, 1);
	for (int i = 0; i < MORNING_RUNS; i++) {
		ours[i] = bench_process(morning, &ours_kib);
		floor[i] = bench_process(version, &floor_kib);
	}
	double ms = 1e3 * bench_median(ours, MORNING_RUNS);
	bench_line("morning --offline --print", ms / 1e3, "--version", bench_median(floor, MORNING_RUNS), 0);
	printf("%-38s %9.2f ms   at most %d: %s; %.1f MiB (--version %.1f), at most %d: %s\n", "", ms, MORNING_MS,
	       ms <= MORNING_MS ? "kept" : "MISSED", (double)ours_kib / KIB, (double)floor_kib / KIB, MORNING_MIB,
	       ours_kib <= (long)MORNING_MIB * KIB ? "kept" : "MISSED");
}
