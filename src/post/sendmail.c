#define _GNU_SOURCE /* memfd_create, environ */
#include "post/sendmail.h"

#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <spawn.h>
#include <stdbool.h>
#include <string.h>
#include <sys/mman.h>
#include <sys/wait.h>
#include <sysexits.h>
#include <time.h>
#include <unistd.h>

/* POSIX: of a command that is not there, by posix_spawn and by a shell. */
enum { NOT_FOUND = 127 };

enum { SAID_SIZE = 4096, SHOWN_MAX = 120, PAUSE_MS = 10, NS_PER_MS = 1000000 };

/* ---- what the program reads and prints lies in memory: no pipe can break or fill up ---- */

static int letter_file(const char *bytes, size_t n)
{
	int fd = memfd_create("letter", MFD_CLOEXEC);
	for (size_t at = 0; fd >= 0 && at < n;) {
		ssize_t put = write(fd, bytes + at, n - at);
		if (put < 0 && errno == EINTR)
			continue;
		if (put < 0) {
			close(fd);
			return -1;
		}
		at += (size_t)put;
	}
	if (fd >= 0 && lseek(fd, 0, SEEK_SET) != 0) {
		close(fd);
		return -1;
	}
	return fd;
}

/* Of a fixed size: more than that, the program fails to print. */
static int said_file(void)
{
	int fd = memfd_create("said", MFD_CLOEXEC | MFD_ALLOW_SEALING);
	if (fd >= 0 && (ftruncate(fd, SAID_SIZE) != 0 || fcntl(fd, F_ADD_SEALS, F_SEAL_GROW | F_SEAL_SHRINK) != 0)) {
		close(fd);
		return -1;
	}
	return fd;
}

static void first_line(int said, char line[static SHOWN_MAX])
{
	ssize_t n = pread(said, line, SHOWN_MAX - 1, 0);
	line[n > 0 ? n : 0] = '\0';
	line[strcspn(line, "\r\n")] = '\0';
}

/* ---- the program ---- */

/* posix_spawn wants pointers to what it does not change. */
static char *unconst(const char *s)
{
	char *plain;
	memcpy(&plain, &s, sizeof plain);
	return plain;
}

/* Signals that we ignore or block are as usual to it; it leads a group, which can be ended as a whole. */
static int attributes(posix_spawnattr_t *a)
{
	sigset_t usual, none;
	sigemptyset(&none);
	sigemptyset(&usual);
	sigaddset(&usual, SIGPIPE);
	int wrong = posix_spawnattr_setsigdefault(a, &usual);
	wrong = wrong != 0 ? wrong : posix_spawnattr_setsigmask(a, &none);
	wrong = wrong != 0 ? wrong : posix_spawnattr_setpgroup(a, 0);
	return wrong != 0 ? wrong
			  : posix_spawnattr_setflags(a, POSIX_SPAWN_SETSIGDEF | POSIX_SPAWN_SETSIGMASK |
							    POSIX_SPAWN_SETPGROUP);
}

static int start(char *const argv[], int letter, int said, pid_t *pid)
{
	posix_spawn_file_actions_t files;
	posix_spawnattr_t a;
	int wrong = posix_spawn_file_actions_init(&files);
	if (wrong != 0)
		return wrong;
	wrong = posix_spawnattr_init(&a);
	if (wrong != 0) {
		posix_spawn_file_actions_destroy(&files);
		return wrong;
	}
	wrong = attributes(&a);
	wrong = wrong != 0 ? wrong : posix_spawn_file_actions_adddup2(&files, letter, STDIN_FILENO);
	wrong = wrong != 0 ? wrong : posix_spawn_file_actions_adddup2(&files, said, STDOUT_FILENO);
	wrong = wrong != 0 ? wrong : posix_spawn_file_actions_adddup2(&files, said, STDERR_FILENO);
	wrong = wrong != 0 ? wrong : posix_spawn(pid, argv[0], &files, &a, argv, environ);
	posix_spawnattr_destroy(&a);
	posix_spawn_file_actions_destroy(&files);
	return wrong;
}

/* True where the program ended by itself in time, and we are told how. */
static bool await(pid_t pid, int limit_ms, int *status)
{
	const struct timespec pause = {.tv_nsec = (long)PAUSE_MS * NS_PER_MS};
	for (int waited = 0; waited <= limit_ms; waited += PAUSE_MS) {
		pid_t ended = waitpid(pid, status, WNOHANG);
		if (ended == pid)
			return true;
		if (ended < 0 && errno != EINTR)
			return false; /* whoever started us has ends of children ignored */
		nanosleep(&pause, NULL);
	}
	kill(-pid, SIGKILL);
	while (waitpid(pid, status, 0) < 0 && errno == EINTR)
		;
	return false;
}

/* ---- what its end means ---- */

static bool refused(int status)
{
	return status == EX_USAGE || status == EX_DATAERR || status == EX_NOUSER || status == EX_NOHOST ||
	       status == EX_NOPERM || status == EX_CONFIG;
}

static enum fault_code judge(int status, const char *said, enum post_result *result, struct fault *f)
{
	const char *open = said[0] != '\0' ? " (" : "", *shut = said[0] != '\0' ? ")" : "";
	if (!WIFEXITED(status)) {
		*result = POST_UNKNOWN;
		return fault_set(f, FAULT_TRY_LATER,
				 "ended by signal %d%s%s%s; whether the letter went out is not known", WTERMSIG(status),
				 open, said, shut);
	}
	if (WEXITSTATUS(status) == 0) {
		*result = POST_SENT;
		return FAULT_NONE;
	}
	if (WEXITSTATUS(status) == NOT_FOUND)
		return fault_set(f, FAULT_CONFIG, "cannot be started%s%s%s", open, said, shut);
	bool forever = refused(WEXITSTATUS(status));
	*result = forever ? POST_REFUSED : POST_LATER;
	return fault_set(f, forever ? FAULT_UNAVAILABLE : FAULT_TRY_LATER,
			 "did not take the letter, exit status %d%s%s%s", WEXITSTATUS(status), open, said, shut);
}

static enum fault_code run(char *const argv[], int limit_ms, int letter, int said, enum post_result *result,
			   struct fault *f)
{
	char line[SHOWN_MAX];
	pid_t pid;
	int status = 0, wrong = letter < 0 || said < 0 ? errno : start(argv, letter, said, &pid);
	*result = POST_LATER;
	if (letter < 0 || said < 0)
		return fault_set(f, FAULT_MEMORY, "no memory for the letter: %s", strerror(wrong));
	if (wrong != 0)
		return fault_set(f, wrong == EAGAIN || wrong == ENOMEM ? FAULT_TRY_LATER : FAULT_CONFIG,
				 "cannot be started: %s", strerror(wrong));
	if (!await(pid, limit_ms, &status)) {
		*result = POST_UNKNOWN;
		return fault_set(f, FAULT_TRY_LATER,
				 "its end was not seen within %d s; whether the letter went out is not known",
				 limit_ms / 1000);
	}
	first_line(said, line);
	return judge(status, line, result, f);
}

enum fault_code sendmail_put(const char *program, int limit_ms, const char *from, const char *to, const char *bytes,
			     size_t n, enum post_result *result, struct fault *f)
{
	char *argv[] = {unconst(program), unconst("-i"), unconst("-f"), unconst(from),
			unconst("--"),    unconst(to),   NULL};
	int letter = letter_file(bytes, n), said = said_file();
	enum fault_code code = run(argv, limit_ms, letter, said, result, f);
	if (letter >= 0)
		close(letter);
	if (said >= 0)
		close(said);
	return code != FAULT_NONE ? fault_place(f, "%s: ", program) : FAULT_NONE;
}
