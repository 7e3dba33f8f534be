/*
 * Station files from the command line: thirty years of hours as CSV, beside the
 * sqlite3 shell reading the very same file into the same table with its CHECKs
 * (without the columns that the file has not), and a century of .dly.
 */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

#include "base/date.h"
#include "base/instant.h"
#include "bench.h"
#include "record/hourstore.h"

enum {
	ROWS = 262800,
	YEARS = 100,
	YEAR_FIRST = 1920,
	PATH_SIZE = 256,
	COMMAND_SIZE = 8192,
	OPTIONS_SIZE = 4096,
	KNOWN = 1747008000
};

static const enum var COLUMN[] = {
    VAR_AIR_TEMPERATURE, VAR_DEW_POINT,     VAR_HUMIDITY,  VAR_WIND,     VAR_GUST,
    VAR_CLOUD,           VAR_PRECIPITATION, VAR_SHORTWAVE, VAR_PRESSURE, VAR_SOIL_TEMPERATURE};
enum { COLUMNS = sizeof COLUMN / sizeof COLUMN[0] };

static char folder[PATH_SIZE], db[PATH_SIZE], csv[PATH_SIZE], logger[PATH_SIZE], dly[PATH_SIZE];

static void run(const char *command)
{
	if (system(command) == 0)
		return;
	(void)fprintf(stderr, "bench: failed: %s\n", command);
	exit(1);
}

static FILE *file_to_write(const char *path)
{
	FILE *out = fopen(path, "w");
	if (out == NULL)
		exit(1);
	return out;
}

static void close_file(FILE *out)
{
	if (fclose(out) != 0)
		exit(1);
}

/* Invented, two decimals, within the range. */
static double value(enum var v, int i)
{
	const struct var_row *r = var_row(v);
	return r->lo + (r->hi - r->lo) * (double)(i * 37 % 1009) / 1009;
}

/* All columns of the record's table that the file's variables have, so that the shell can read it as it is. */
static void make_csv(void)
{
	FILE *out = file_to_write(csv);
	(void)fprintf(out, "place,hour,rank");
	for (int k = 0; k < COLUMNS; k++)
		(void)fprintf(out, ",%s", var_row(COLUMN[k])->name);
	for (int k = 0; k < COLUMNS; k++)
		(void)fprintf(out, ",%s_mark", var_row(COLUMN[k])->name);
	for (int k = 0; k < COLUMNS; k++)
		(void)fprintf(out, ",%s_known", var_row(COLUMN[k])->name);
	for (int i = 0; i < ROWS; i++) {
		(void)fprintf(out, "\n1,%lld,%d", (long long)i * HOUR_S, (int)RANK_OBSERVED);
		for (int k = 0; k < COLUMNS; k++)
			(void)fprintf(out, ",%.2f", value(COLUMN[k], i));
		for (int k = 0; k < COLUMNS; k++)
			(void)fprintf(out, ",%d", (int)ORIGIN_OBSERVED);
		for (int k = 0; k < COLUMNS; k++)
			(void)fprintf(out, ",%d", (int)KNOWN);
	}
	(void)fprintf(out, "\n");
	close_file(out);
}

/* As a logger writes: local standard time, Fahrenheit, inches. */
static void make_logger(void)
{
	FILE *out = file_to_write(logger);
	(void)fprintf(out, "Date_Time,Temp F,Dew Point F,RH %%,Wind mph,Rain in\n");
	for (int i = 0; i < ROWS; i++) {
		char day[DATE_TEXT_SIZE];
		(void)fprintf(out, "%s %02d:00,%.1f,%.1f,%d,%.1f,%.2f\n", date_text((struct date){i / 24}, day), i % 24,
			      40 + i % 500 / 10.0, 30 + i % 300 / 10.0, i % 100, i % 200 / 10.0, i % 31 / 100.0);
	}
	close_file(out);
}

static void make_dly(void)
{
	static const char *const element[] = {"TMAX", "TMIN", "PRCP"};
	static const int base[] = {100, 20, 0}; /* tenths */
	FILE *out = file_to_write(dly);
	for (int month = 0; month < 12 * YEARS; month++)
		for (int e = 0; e < 3; e++) {
			(void)fprintf(out, "USC00000000%04d%02d%s", YEAR_FIRST + month / 12, 1 + month % 12,
				      element[e]);
			for (int d = 1; d <= 31; d++) {
				struct date is;
				bool there = date_of(YEAR_FIRST + month / 12, 1 + month % 12, d, &is);
				(void)fprintf(out, "%5d  %c", there ? base[e] + (month + d) % 80 : -9999,
					      there ? '0' : ' ');
			}
			(void)fprintf(out, "\n");
		}
	close_file(out);
}

/* A garden at the first place of a new record, and the record in it. */
static void import(const char *file, const char *options)
{
	char command[COMMAND_SIZE];
	(void)snprintf(
	    command, sizeof command,
	    "XDG_CONFIG_HOME=\"$PWD/fixtures/demo/config\" XDG_STATE_HOME='%s' dewpost import '%s' %s >'%s/said'",
	    folder, file, options, folder);
	run(command);
}

static void forget(void)
{
	(void)unlink(db);
}

/* The shell's table is the record's own, made by an import of one row, without the columns that the file lacks. */
static void make_table(const char *columns)
{
	char command[COMMAND_SIZE], one[PATH_SIZE];
	forget();
	(void)snprintf(one, sizeof one, "%.200s/one.csv", folder);
	(void)snprintf(command, sizeof command, "head -2 '%s' >'%s'", csv, one);
	run(command);
	import(one, columns);
	(void)unlink(one);
	size_t n = (size_t)snprintf(command, sizeof command, "sqlite3 '%s' 'DELETE FROM hours", db);
	for (int v = 0; v < VARS; v++) {
		bool has = false;
		for (int k = 0; k < COLUMNS; k++)
			has = has || COLUMN[k] == (enum var)v;
		for (int s = 0; s < 3 && !has; s++)
			n += (size_t)snprintf(command + n, sizeof command - n, "; ALTER TABLE hours DROP COLUMN %s%s",
					      var_row((enum var)v)->name, (const char *[]){"_known", "_mark", ""}[s]);
	}
	(void)snprintf(command + n, sizeof command - n, "'");
	run(command);
}

static double time_shell(const char *columns)
{
	char command[COMMAND_SIZE];
	make_table(columns);
	(void)snprintf(command, sizeof command, "sqlite3 '%s' '.import --csv --skip 1 %s hours'", db, csv);
	double start = bench_now();
	run(command);
	return bench_now() - start;
}

static double time_import(const char *file, const char *options)
{
	forget();
	double start = bench_now();
	import(file, options);
	return bench_now() - start;
}

/* Both ways must have stored the same. */
static void sum(char *text, size_t size)
{
	char command[2 * PATH_SIZE];
	(void)snprintf(
	    command, sizeof command,
	    "sqlite3 '%s' 'SELECT count(*), round(sum(air_temperature), 2), round(sum(soil_temperature), 2), "
	    "sum(wind_speed_mark) FROM hours'",
	    db);
	FILE *in = popen(command, "r");
	if (!in || !fgets(text, (int)size, in) || pclose(in) != 0)
		exit(1);
}

static void hours_of_thirty_years(void)
{
	char columns[OPTIONS_SIZE], sums[2][200];
	double ours[BENCH_ROUNDS], shell[BENCH_ROUNDS];
	size_t n = (size_t)snprintf(columns, sizeof columns, "--stamp begin --columns 'time=hour");
	for (int k = 0; k < COLUMNS; k++)
		n += (size_t)snprintf(columns + n, sizeof columns - n, ", %s=%s %s", var_row(COLUMN[k])->name,
				      var_row(COLUMN[k])->name, var_row(COLUMN[k])->unit);
	(void)snprintf(columns + n, sizeof columns - n, "'");
	make_csv();
	for (int i = 0; i < BENCH_ROUNDS; i++) {
		shell[i] = time_shell(columns);
		sum(sums[0], sizeof sums[0]);
		ours[i] = time_import(csv, columns);
		sum(sums[1], sizeof sums[1]);
	}
	printf("%d rows, %d variables; shell %simport %s", (int)ROWS, (int)COLUMNS, sums[0], sums[1]);
	if (strcmp(sums[0], sums[1]) != 0)
		exit(1);
	bench_line("import of 262,800 hours of CSV", bench_median(ours, BENCH_ROUNDS),
		   "sqlite3 .import of the same file", bench_median(shell, BENCH_ROUNDS), 1.0);
}

void bench_station(void)
{
	const char *tmp = getenv("TMPDIR");
	double took[BENCH_ROUNDS];
	(void)snprintf(folder, sizeof folder, "%s/dewpost-bench-XXXXXX", tmp ? tmp : "/tmp");
	if (!mkdtemp(folder))
		exit(1);
	(void)snprintf(db, sizeof db, "%.200s/dewpost/record.db", folder);
	(void)snprintf(csv, sizeof csv, "%.200s/hours.csv", folder);
	(void)snprintf(logger, sizeof logger, "%.200s/logger.csv", folder);
	(void)snprintf(dly, sizeof dly, "%.200s/century.dly", folder);

	hours_of_thirty_years();
	make_logger();
	for (int i = 0; i < BENCH_ROUNDS; i++)
		took[i] = time_import(logger,
				      "--zone -06:00 --stamp end --columns 'time=Date_Time, air_temperature=Temp F, "
				      "dew_point_temperature=Dew Point F, relative_humidity=RH %, wind_speed=Wind mph, "
				      "precipitation_amount=Rain in'");
	printf("%-38s %9.2f ms\n", "the same rows as a logger writes them", 1e3 * bench_median(took, BENCH_ROUNDS));
	make_dly();
	for (int i = 0; i < BENCH_ROUNDS; i++)
		took[i] = time_import(dly, "");
	bench_line("import of 100 years of .dly", bench_median(took, BENCH_ROUNDS), "one second", 1, 1.0);

	char command[COMMAND_SIZE];
	(void)snprintf(command, sizeof command, "rm -rf '%s'", folder);
	run(command);
}
