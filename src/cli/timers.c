#include "cli/timers.h"

#include <dirent.h>
#include <errno.h>
#include <fcntl.h>
#include <spawn.h>
#include <stddef.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include "base/linefile.h"
#include "base/mem.h"
#include "base/text.h"

extern char **environ;

enum { CRONTAB_MAX = 256 * 1024, CHUNK = 4096, WORDS = 3 };

/* What is started, as the name of a timer and as the words of a command. */
static const struct {
	const char *timer, *line, *command;
} JOB[WORDS] = {{"dewpost-morning.timer", "dewpost morning", "morning"},
		{"dewpost-evening.timer", "dewpost evening", "evening"},
		{"dewpost-fetch.timer", "dewpost fetch", "fetch"}};

static void add(struct timers *t, const char *where, const char *command)
{
	if (t->n == TIMERS_FOUND_MAX)
		return;
	t->at[t->n].command = command;
	(void)text_copy(t->at[t->n++].where, PATHS_SIZE, where);
}

/* ---- systemd: a timer that is enabled is a link in timers.target.wants ---- */

static void look_in_units(struct timers *t, const char *folder)
{
	char path[PATHS_SIZE];
	struct text p;
	for (size_t i = 0; i < WORDS; i++) {
		struct stat there;
		text_over(&p, path, sizeof path);
		text_addf(&p, "%s/timers.target.wants/%s", folder, JOB[i].timer);
		if (!p.full && lstat(path, &there) == 0)
			add(t, path, JOB[i].command);
	}
}

bool timers_systemd(void)
{
	struct stat there;
	return stat("/run/systemd/system", &there) == 0 && S_ISDIR(there.st_mode);
}

/* ---- cron ---- */

static void look_in_lines(struct timers *t, const char *where, struct linefile *l)
{
	struct fileline line;
	struct fault f;
	bool there = true, seen[WORDS] = {false};
	while (linefile_next(l, &line, &there, &f) == FAULT_NONE && there)
		for (size_t i = 0; i < WORDS; i++)
			if (line.at[strspn(line.at, " \t")] != '#' && strstr(line.at, JOB[i].line) != NULL)
				seen[i] = true;
	for (size_t i = 0; i < WORDS; i++)
		if (seen[i])
			add(t, where, JOB[i].command);
}

static void look_in_crontab(struct timers *t, const char *path)
{
	struct linefile l;
	struct fault f;
	if (linefile_open(&l, path, &f) == FAULT_NONE)
		look_in_lines(t, path, &l);
	linefile_close(&l);
}

static void look_in_cron_d(struct timers *t, const char *folder)
{
	char path[PATHS_SIZE];
	struct text p;
	DIR *d = opendir(folder);
	if (d == NULL)
		return;
	/* readdir is safe while nobody else reads this DIR */
	/* cppcheck-suppress readdirCalled */
	for (const struct dirent *e; (e = readdir(d)) != NULL;) {
		text_over(&p, path, sizeof path);
		text_addf(&p, "%s/%s", folder, e->d_name);
		if (e->d_name[0] != '.' && !p.full)
			look_in_crontab(t, path);
	}
	closedir(d);
}

/* Its output up to CRONTAB_MAX; the rest is thrown away, so that the program ends. */
static void read_output(int fd, struct text *out)
{
	char chunk[CHUNK];
	ssize_t n;
	text_add(out, "");
	while ((n = read(fd, chunk, sizeof chunk)) > 0 || (n < 0 && errno == EINTR))
		text_add_n(out, chunk, n > 0 ? (size_t)n : 0);
}

/* crontab(1) alone may read the user's own.  False where there is no such program. */
static bool run_crontab(struct text *out)
{
	static char name[] = "crontab", list[] = "-l";
	char *const argv[] = {name, list, NULL};
	posix_spawn_file_actions_t actions;
	int ends[2];
	pid_t pid;
	if (pipe(ends) != 0)
		return false;
	(void)fcntl(ends[0], F_SETFD, FD_CLOEXEC);
	(void)fcntl(ends[1], F_SETFD, FD_CLOEXEC);
	posix_spawn_file_actions_init(&actions);
	posix_spawn_file_actions_addopen(&actions, STDIN_FILENO, "/dev/null", O_RDONLY, 0);
	posix_spawn_file_actions_adddup2(&actions, ends[1], STDOUT_FILENO);
	posix_spawn_file_actions_addopen(&actions, STDERR_FILENO, "/dev/null", O_WRONLY, 0);
	bool started = posix_spawnp(&pid, name, &actions, NULL, argv, environ) == 0;
	posix_spawn_file_actions_destroy(&actions);
	close(ends[1]);
	if (started) {
		read_output(ends[0], out);
		while (waitpid(pid, NULL, 0) < 0 && errno == EINTR)
			;
	}
	close(ends[0]);
	return started;
}

static void look_in_own_crontab(struct timers *t)
{
	struct text out;
	struct linefile l;
	struct fault f;
	text_init(&out, CRONTAB_MAX);
	t->crontab_asked = run_crontab(&out);
	if (t->crontab_asked && linefile_over(&l, out.at, out.len, &f) == FAULT_NONE) {
		look_in_lines(t, "your crontab", &l);
		linefile_close(&l);
	}
	text_free(&out);
}

void timers_find(const char *etc, struct timers *t)
{
	char path[PATHS_SIZE];
	struct text p;
	struct fault f;
	t->n = 0;
	if (paths_units(path, &f) == FAULT_NONE)
		look_in_units(t, path);
	text_over(&p, path, sizeof path);
	text_addf(&p, "%s/systemd/system", etc);
	look_in_units(t, path);
	text_clear(&p);
	text_addf(&p, "%s/systemd/user", etc);
	look_in_units(t, path);
	text_clear(&p);
	text_addf(&p, "%s/crontab", etc);
	look_in_crontab(t, path);
	text_clear(&p);
	text_addf(&p, "%s/cron.d", etc);
	look_in_cron_d(t, path);
	look_in_own_crontab(t);
}
