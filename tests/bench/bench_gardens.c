/*
 * Many gardens in one run, from a warm record: 10,000 of them at 300 places, all invented and made here.
 *
 * Gardens a second and the memory it takes, beside a tenth of the gardens (memory must stay flat), with nothing
 * written; two parts side by side beside the whole; and letters into a Maildir, which wait for the disk.
 */
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include "base/instant.h"
#include "bench.h"
#include "record/hourstore.h"

enum {
	GARDENS = 10000,
	FEW = 1000,
	PLACES = 300,
	PAST_DAYS = 60,
	AHEAD_H = 240,
	PATH_SIZE = 300,
	WORDS = 16,
	KIB = 1024,
	GROWTH_KIB = 4 * KIB, /* names and ids of 9,000 more */
	EACH_MS = 2,
};

static const int64_t CUT = 1783678620; /* 2026-07-10T05:17:00-05:00 */
#define CUT_TEXT "2026-07-10T05:17:00-05:00"

static char folder[PATH_SIZE];

static void fail(const char *what)
{
	(void)fprintf(stderr, "bench: %s\n", what);
	exit(EXIT_FAILURE);
}

static void must(enum fault_code code, const struct fault *f)
{
	if (code != FAULT_NONE)
		fail(f->text);
}

/* ---- invented weather ---- */

/* A coarse day: warm after noon, cold before dawn, another swing each day. */
static double air_c(int place, int64_t t)
{
	int hour = (int)((t / HOUR_S - 5) % 24);
	int from_noon = abs(hour - 15) > 12 ? 24 - abs(hour - 15) : abs(hour - 15);
	return 25 - from_noon + (double)((t / DAY_S * 7 + place) % 10) / 2;
}

static void fill(struct hours *h, int place, uint8_t origin)
{
	static const enum var also[] = {VAR_DEW_POINT, VAR_WIND, VAR_CLOUD, VAR_PRECIPITATION};
	static const double level[] = {9, 2.5, 0.4, 0.1};
	for (int64_t t = h->first; t < hours_end(h); t += HOUR_S) {
		hours_set(h, VAR_AIR_TEMPERATURE, t, air_c(place, t), origin);
		for (size_t i = 0; i < sizeof also / sizeof *also; i++)
			hours_set(h, also[i], t, level[i], origin);
	}
}

static void make_weather(struct record *rec, int place)
{
	struct fault f;
	struct hours past;
	struct issue issue;
	int64_t key, now = instant_hour(CUT);
	struct place p = place_at(40 + 0.01 * place, -89.90, 330);
	must(record_place(rec, &p, &key, &f), &f);
	must(hours_init(&past, now - PAST_DAYS * (int64_t)DAY_S, (size_t)PAST_DAYS * 24, &f), &f);
	fill(&past, place, ORIGIN_OBSERVED);
	must(hourstore_put(rec, key, &past, RANK_OBSERVED, now, &f), &f);
	hours_free(&past);
	issue_init(&issue);
	(void)snprintf(issue.source, sizeof issue.source, "valley");
	(void)snprintf(issue.title, sizeof issue.title, "the Valley service (invented)");
	issue.received = issue.issued = CUT - HOUR_S;
	must(hours_init(&issue.hours, now - HOUR_S, AHEAD_H, &f), &f);
	fill(&issue.hours, place, ORIGIN_FORECAST);
	must(hourstore_ingest(rec, key, &issue, &f), &f);
	issue_free(&issue);
}

static void make_record(void)
{
	struct fault f;
	struct record *rec;
	char path[2 * PATH_SIZE];
	(void)snprintf(path, sizeof path, "%s/record.db", folder);
	must(record_open(path, RECORD_READ_WRITE, &rec, &f), &f);
	for (int i = 0; i < PLACES; i++)
		make_weather(rec, i);
	record_close(rec);
}

/* ---- invented gardens ---- */

static void make_garden(const char *in, int i)
{
	char path[2 * PATH_SIZE];
	(void)snprintf(path, sizeof path, "%s/%s/plot-%05d.ini", folder, in, i);
	FILE *out = fopen(path, "w");
	if (out == NULL)
		fail(path);
	(void)fprintf(out,
		      "[garden]\nid = plot-%05d\nname = Plot %d\nlatitude = %.2f\nlongitude = -89.90\n"
		      "elevation = 330 m\ntimezone = America/Chicago\nunits = us\nsource = valley\n"
		      "contact = grower@example.org\nrecord = ../record.db\n[mail]\nway = maildir\n"
		      "to = grower@example.org\nfolder = ../Maildir\n[bed south]\narea = 40 sq ft\n"
		      "[planting green]\ncrop = zucchini\nin = south\nplants = 2\nsown = 2026-05-01 indoors\n"
		      "planted = 2026-06-01\n[planting toms]\ncrop = tomato\nin = south\nplanted = 2026-05-25\n"
		      "[planting late]\ncrop = zucchini\nin = south\nsown = 2026-07-01 indoors\n",
		      i, i, 40 + 0.01 * (i % PLACES));
	if (fclose(out) != 0)
		fail(path);
}

static void make_gardens(const char *in, int n)
{
	char path[2 * PATH_SIZE];
	(void)snprintf(path, sizeof path, "%s/%s", folder, in);
	if (mkdir(path, 0700) != 0)
		fail(path);
	for (int i = 0; i < n; i++)
		make_garden(in, i);
}

/* ---- runs ---- */

struct cost {
	double wall_s, cpu_s;
	long kib; /* of memory at most */
};

/* `more`: a word or two; NULL: none. */
static pid_t begin(const char *in, const char *more, const char *part)
{
	char gardens[2 * PATH_SIZE];
	(void)snprintf(gardens, sizeof gardens, "%s/%s", folder, in);
	const char *argv[WORDS] = {"dewpost", "morning", "--offline", "--at", CUT_TEXT, "--gardens", gardens};
	int n = 7;
	if (more != NULL)
		argv[n++] = more;
	if (part != NULL) {
		argv[n++] = "--part";
		argv[n++] = part;
	}
	pid_t pid = fork();
	if (pid != 0)
		return pid;
	int null = open("/dev/null", O_WRONLY);
	if (null >= 0 && dup2(null, STDOUT_FILENO) >= 0)
		execvp(argv[0], (char *const *)(size_t)argv);
	_exit(127);
}

static void end(pid_t pid, struct cost *c)
{
	struct rusage usage;
	int status = 0;
	if (pid < 0 || wait4(pid, &status, 0, &usage) != pid || status != 0)
		fail("a run over many gardens failed");
	c->cpu_s += (double)usage.ru_utime.tv_sec + (double)usage.ru_stime.tv_sec;
	c->cpu_s += 1e-6 * (double)(usage.ru_utime.tv_usec + usage.ru_stime.tv_usec);
	c->kib = usage.ru_maxrss > c->kib ? usage.ru_maxrss : c->kib;
}

static struct cost run(const char *in, const char *more)
{
	struct cost c = {0};
	double start = bench_now();
	end(begin(in, more, NULL), &c);
	c.wall_s = bench_now() - start;
	return c;
}

static struct cost run_two_parts(const char *in, const char *more)
{
	struct cost c = {0};
	double start = bench_now();
	pid_t first = begin(in, more, "1/2"), second = begin(in, more, "2/2");
	end(first, &c);
	end(second, &c);
	c.wall_s = bench_now() - start;
	return c;
}

static void clean_up(void)
{
	char command[2 * PATH_SIZE];
	(void)snprintf(command, sizeof command, "rm -rf '%s'", folder);
	if (system(command) != 0)
		fail(command);
}

static void tell_rate(const struct cost *c)
{
	double ms = 1e3 * c->cpu_s / GARDENS;
	printf("%d gardens at %d places: %.0f a second, %.2f ms each, of processor time %.2f ms, at most %d: %s\n",
	       GARDENS, PLACES, GARDENS / c->wall_s, 1e3 * c->wall_s / GARDENS, ms, EACH_MS,
	       ms <= EACH_MS ? "kept" : "MISSED");
}

static void tell_memory(const struct cost *few, const struct cost *many)
{
	printf("%-38s %9.1f MiB  %-38s %9.1f MiB  %+.1f, at most %+.1f: %s\n", "memory of 10,000 gardens",
	       (double)many->kib / KIB, "of 1,000", (double)few->kib / KIB, (double)(many->kib - few->kib) / KIB,
	       (double)GROWTH_KIB / KIB, many->kib - few->kib <= GROWTH_KIB ? "kept" : "MISSED");
}

void bench_gardens(void)
{
	const char *tmp = getenv("TMPDIR");
	(void)snprintf(folder, sizeof folder, "%.200s/dewpost-gardens-XXXXXX", tmp != NULL ? tmp : "/tmp");
	if (mkdtemp(folder) == NULL)
		fail(folder);
	make_record();
	make_gardens("few", FEW);
	make_gardens("many", GARDENS);
	struct cost few = run("few", "--print"), many = run("many", "--print");
	struct cost parts = run_two_parts("many", "--print"), mailed = run("few", NULL);
	tell_rate(&many);
	tell_memory(&few, &many);
	bench_line("10,000 gardens, a tenth of the time", many.wall_s / 10, "1,000 gardens", few.wall_s, 0);
	bench_line("in two parts side by side", parts.wall_s, "in one", many.wall_s, 0);
	/* Each letter is in the outbox, on the disk, before it goes and after. */
	bench_line("1,000 letters into a Maildir", mailed.wall_s, "1,000 notes to the screen", few.wall_s, 0);
	clean_up();
}
