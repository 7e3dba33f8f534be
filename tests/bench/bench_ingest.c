/*
 * Thirty years of hours into the record, beside the sqlite3 shell reading the
 * same rows from CSV into the same table with its CHECKs; and a season read back.
 */
#include <stdio.h>
#include <stdlib.h>
#include <sys/wait.h>
#include <unistd.h>

#include "base/instant.h"
#include "bench.h"
#include "record/hourstore.h"

enum { ROWS = 262800, SEASON = 5000, PATH_SIZE = 256, KNOWN = 1747008000 };

static char folder[PATH_SIZE], db[PATH_SIZE], csv[PATH_SIZE];

static void must(enum fault_code code, const struct fault *f)
{
	if (code == FAULT_NONE)
		return;
	(void)fprintf(stderr, "bench: %s\n", f->text);
	exit((int)code);
}

static void run(const char *command)
{
	int status = system(command);
	if (status == 0)
		return;
	(void)fprintf(stderr, "bench: failed: %s\n", command);
	exit(1);
}

/* Invented values with decimals, all variables at all hours, within their ranges. */
static double value(enum var v, int i)
{
	const struct var_row *r = var_row(v);
	return r->lo + (r->hi - r->lo) * (double)(i * 37 % 1009) / 1009;
}

static void make_hours(struct hours *h)
{
	struct fault f;
	must(hours_init(h, 0, ROWS, &f), &f);
	for (int i = 0; i < ROWS; i++)
		for (int v = 0; v < VARS; v++)
			hours_set(h, (enum var)v, i * (int64_t)HOUR_S, value((enum var)v, i), ORIGIN_OBSERVED);
}

static void make_csv(const struct hours *h)
{
	FILE *out = fopen(csv, "w");
	if (!out)
		exit(1);
	for (size_t i = 0; i < h->n; i++) {
		(void)fprintf(out, "1,%lld,%d", (long long)i * HOUR_S, (int)RANK_OBSERVED);
		for (int v = 0; v < VARS; v++)
			(void)fprintf(out, ",%.17g", h->value[v][i]);
		for (int v = 0; v < VARS; v++)
			(void)fprintf(out, ",%d", (int)ORIGIN_OBSERVED);
		for (int v = 0; v < VARS; v++)
			(void)fprintf(out, ",%d", (int)KNOWN);
		(void)fprintf(out, "\n");
	}
	if (fclose(out) != 0)
		exit(1);
}

/* A new record with one place in it. */
static struct record *make_record(int64_t *place)
{
	struct fault f;
	struct record *rec;
	struct place p = place_at(44.31, -89.90, 330);
	(void)unlink(db);
	must(record_open(db, RECORD_READ_WRITE, &rec, &f), &f);
	must(record_place(rec, &p, place, &f), &f);
	return rec;
}

static double time_ours(const struct hours *h)
{
	struct fault f;
	int64_t place;
	struct record *rec = make_record(&place);
	double start = bench_now();
	must(hourstore_put(rec, place, h, RANK_OBSERVED, KNOWN, &f), &f);
	double took = bench_now() - start;
	record_close(rec);
	return took;
}

static double time_shell(void)
{
	int64_t place;
	char command[4 * PATH_SIZE];
	record_close(make_record(&place));
	(void)snprintf(command, sizeof command, "sqlite3 '%s' '.import --csv %s hours'", db, csv);
	double start = bench_now();
	run(command);
	return bench_now() - start;
}

/* Both ways must have stored the same rows. */
static void sum(char *text, size_t size)
{
	char command[2 * PATH_SIZE];
	(void)snprintf(
	    command, sizeof command,
	    "sqlite3 '%s' 'SELECT count(*), sum(air_temperature), sum(wind_speed), sum(wind_speed_known) FROM hours'",
	    db);
	FILE *in = popen(command, "r");
	if (!in || !fgets(text, (int)size, in) || pclose(in) != 0)
		exit(1);
}

static double time_season(struct record *rec, int64_t place)
{
	struct fault f;
	struct hours h;
	double start = bench_now();
	must(hourstore_known(rec, place, 0, (int64_t)ROWS * HOUR_S, (int64_t)SEASON * HOUR_S, &h, NULL, &f), &f);
	double took = bench_now() - start;
	hours_free(&h);
	return took;
}

void bench_ingest(void)
{
	const char *tmp = getenv("TMPDIR");
	(void)snprintf(folder, sizeof folder, "%s/dewpost-bench-XXXXXX", tmp ? tmp : "/tmp");
	if (!mkdtemp(folder))
		exit(1);
	(void)snprintf(db, sizeof db, "%.200s/record.db", folder);
	(void)snprintf(csv, sizeof csv, "%.200s/hours.csv", folder);

	struct hours h;
	char sums[2][200];
	double ours[BENCH_ROUNDS], shell[BENCH_ROUNDS], season[BENCH_ROUNDS];
	make_hours(&h);
	make_csv(&h);
	for (int i = 0; i < BENCH_ROUNDS; i++) {
		shell[i] = time_shell();
		sum(sums[0], sizeof sums[0]);
		ours[i] = time_ours(&h);
		sum(sums[1], sizeof sums[1]);
	}
	printf("%d rows, all variables; shell %sours %s", (int)ROWS, sums[0], sums[1]);
	bench_line("ingest of 262,800 hours", bench_median(ours, BENCH_ROUNDS), "sqlite3 .import of the same as CSV",
		   bench_median(shell, BENCH_ROUNDS), 1.0);

	struct fault f;
	struct record *rec;
	must(record_open(db, RECORD_READ_ONLY, &rec, &f), &f);
	for (int i = 0; i < BENCH_ROUNDS; i++)
		season[i] = time_season(rec, 1);
	record_close(rec);
	printf("%-38s %9.2f ms\n", "a season of 5,000 hours read back", 1e3 * bench_median(season, BENCH_ROUNDS));
	hours_free(&h);
	(void)unlink(csv);
	(void)unlink(db);
	(void)rmdir(folder);
}
