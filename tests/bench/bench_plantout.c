/*
 * `plantout` as a process on a record with thirty years of a station's days and two months of readings, for twelve
 * plantings in their trays.  At most 60 ms.
 */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "base/date.h"
#include "bench.h"

enum { PLANTOUT_RUNS = 31, PLANTOUT_MS = 60, FIRST = 1996, LAST = 2025, PATH = 256, COMMAND = 4096 };

static char folder[PATH];

static FILE *file_to_write(const char *name)
{
	char path[2 * PATH];
	snprintf(path, sizeof path, "%s/%s", folder, name);
	FILE *out = fopen(path, "w");
	if (out == NULL)
		exit(EXIT_FAILURE);
	return out;
}

static void close_file(FILE *out)
{
	if (fclose(out) != 0)
		exit(EXIT_FAILURE);
}

/* Invented: a year's wave, and a little that goes up and down from day to day. */
static void make_years(void)
{
	FILE *out = file_to_write("years.csv");
	struct date d, end;
	if (!date_of(FIRST, 1, 1, &d) || !date_of(LAST + 1, 1, 1, &end))
		exit(EXIT_FAILURE);
	for (; date_diff(end, d) > 0; d = date_add(d, 1)) {
		int year, month, day;
		date_parts(d, &year, &month, &day);
		double low_c =
		    3 - 14 * cos(2 * M_PI * (date_day_of_year(d) - 20) / 365) + (double)(d.n * 37 % 101) / 12;
		fprintf(out, "USC00000000,%04d%02d%02d,TMIN,%.0f,,,0,0700\n", year, month, day, 10 * low_c);
		fprintf(out, "USC00000000,%04d%02d%02d,TMAX,%.0f,,,0,0700\n", year, month, day, 10 * (low_c + 11));
	}
	close_file(out);
}

static void make_garden(void)
{
	static const char *const crop[] = {"zucchini",   "winter-squash", "cucumber", "melon",
					   "watermelon", "tomato",        "pepper",   "eggplant",
					   "basil",      "zucchini",      "tomato",   "cucumber"};
	FILE *out = file_to_write("garden.ini");
	fprintf(out,
		"[garden]\nid = bench\nlatitude = 44.31\nlongitude = -89.90\nelevation = 330 m\n"
		"timezone = America/Chicago\nunits = us\nsource = valley\nindoor = 68 F\n[bed b]\narea = 40 sq ft\n");
	for (int i = 0; i < 12; i++)
		fprintf(out, "[planting p-%d]\ncrop = %s\nin = b\nsown = 2026-0%d-%02d indoors\n", i, crop[i],
			3 + i % 2, 1 + i);
	close_file(out);
}

static void run(const char *command)
{
	if (system(command) == 0)
		return;
	fprintf(stderr, "bench: failed: %s\n", command);
	exit(EXIT_FAILURE);
}

static void make_record(void)
{
	char command[COMMAND];
	setenv("XDG_STATE_HOME", folder, 1);
	setenv("XDG_CONFIG_HOME", folder, 1);
	snprintf(command, sizeof command,
		 "mkdir -p '%s/dewpost' && cp -R fixtures/demo/config/dewpost/sources '%s/garden.ini' '%s/dewpost' && "
		 "dewpost import '%s/years.csv' --at 2026-05-19T05:00:00-05:00 >/dev/null && "
		 "for d in 17 18 19; do dewpost fetch --answer fixtures/demo/answer-2026-05-$d.json --at "
		 "2026-05-${d}T04:10:00-05:00; done",
		 folder, folder, folder, folder);
	run(command);
}

void bench_plantout(void)
{
	static const char *const plantout[] = {"dewpost", "plantout", "--at", "2026-05-19T05:17:00-05:00", NULL};
	static const char *const version[] = {"dewpost", "--version", NULL};
	const char *tmp = getenv("TMPDIR");
	double ours[PLANTOUT_RUNS], floor[PLANTOUT_RUNS];
	long kib = 0;
	char command[COMMAND];
	snprintf(folder, sizeof folder, "%s/dewpost-bench-XXXXXX", tmp ? tmp : "/tmp");
	if (mkdtemp(folder) == NULL)
		exit(EXIT_FAILURE);
	make_years();
	make_garden();
	make_record();
	for (int i = 0; i < PLANTOUT_RUNS; i++) {
		ours[i] = bench_process(plantout, &kib);
		floor[i] = bench_process(version, &kib);
	}
	double ms = 1e3 * bench_median(ours, PLANTOUT_RUNS);
	bench_line("plantout, 30 years, 12 plantings", ms / 1e3, "--version", bench_median(floor, PLANTOUT_RUNS), 0);
	printf("%-38s %9.2f ms   at most %d: %s\n", "", ms, PLANTOUT_MS, ms <= PLANTOUT_MS ? "kept" : "MISSED");
	snprintf(command, sizeof command, "rm -rf '%s'", folder);
	run(command);
}
