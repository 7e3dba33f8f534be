#include "bench.h"

#include <fcntl.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

static double seconds(clockid_t clock)
{
	struct timespec t;
	clock_gettime(clock, &t);
	return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

double bench_now(void)
{
	return seconds(CLOCK_MONOTONIC);
}

double bench_cpu(void)
{
	return seconds(CLOCK_PROCESS_CPUTIME_ID);
}

static int by_size(const void *a, const void *b)
{
	double x = *(const double *)a, y = *(const double *)b;
	return (x > y) - (x < y);
}

double bench_median(double *s, size_t n)
{
	qsort(s, n, sizeof *s, by_size);
	return n % 2 ? s[n / 2] : (s[n / 2 - 1] + s[n / 2]) / 2;
}

void bench_line(const char *name, double ours_s, const char *floor, double floor_s, double at_most)
{
	printf("%-38s %9.2f ms   %-38s %9.2f ms   %6.2f", name, 1e3 * ours_s, floor, 1e3 * floor_s, ours_s / floor_s);
	if (at_most > 0)
		printf("   at most %.2f: %s", at_most, ours_s / floor_s <= at_most ? "kept" : "MISSED");
	printf("\n");
}

double bench_process(const char *const *argv, long *most_kib)
{
	struct rusage usage;
	int status = 0;
	double start = bench_now();
	pid_t pid = fork();
	if (pid == 0) {
		int null = open("/dev/null", O_WRONLY);
		if (null >= 0 && dup2(null, STDOUT_FILENO) >= 0)
			execvp(argv[0], (char *const *)(size_t)argv);
		_exit(127);
	}
	if (pid < 0 || wait4(pid, &status, 0, &usage) != pid || status != 0) {
		(void)fprintf(stderr, "%s ended with status %d\n", argv[0], status);
		exit(EXIT_FAILURE);
	}
	*most_kib = usage.ru_maxrss > *most_kib ? usage.ru_maxrss : *most_kib;
	return bench_now() - start;
}

/* All, or those that are named: bench gardens. */
int main(int argc, char **argv)
{
	static const struct {
		const char *name;
		void (*run)(void);
	} cases[] = {/* First: the memory of a program that is started counts that of who starts it. */
		     {"morning", bench_morning}, {"plantout", bench_plantout}, {"answer", bench_answer},
		     {"chain", bench_chain},     {"evapo", bench_evapo},       {"gardens", bench_gardens},
		     {"ingest", bench_ingest},   {"leaf", bench_leaf},         {"station", bench_station}};
	for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
		bool wanted = argc < 2;
		for (int k = 1; k < argc; k++)
			wanted = wanted || strcmp(argv[k], cases[i].name) == 0;
		if (wanted)
			cases[i].run();
	}
	return 0;
}
