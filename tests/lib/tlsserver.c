#include "lib/tlsserver.h"

#include <check.h>
#include <fcntl.h>
#include <poll.h>
#include <signal.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/prctl.h>
#include <sys/wait.h>
#include <unistd.h>

enum { START_MS = 10000, SAID_SIZE = 4096 };

/* In a child that ends with us, nothing to read, what it says into `out`; does not return. */
static void run(char *const argv[], int out)
{
	int nothing = open("/dev/null", O_RDONLY);
	prctl(PR_SET_PDEATHSIG, SIGKILL);
	if (nothing < 0 || dup2(nothing, 0) < 0 || dup2(out, 1) < 0 || dup2(out, 2) < 0)
		_exit(126);
	execvp(argv[0], argv);
	_exit(127);
}

static char *unconst(const char *s)
{
	char *plain;
	memcpy(&plain, &s, sizeof plain);
	return plain;
}

void tlsserver_certificates(const char *folder)
{
	char *argv[] = {unconst("tests/lib/certs.sh"), unconst(folder), NULL};
	char log[SCRATCH_SIZE];
	int status = 0;
	scratch_path(folder, "certs.log", log);
	int out = open(log, O_WRONLY | O_CREAT | O_TRUNC, 0600);
	ck_assert_int_ge(out, 0);
	pid_t pid = fork();
	if (pid == 0)
		run(argv, out);
	close(out);
	ck_assert_int_gt(pid, 0);
	ck_assert_int_eq(waitpid(pid, &status, 0), pid);
	ck_assert_msg(status == 0, "no certificates made (is openssl there?); see %s", log);
}

/* s_server says on which port it listens, being left to choose it. */
static int port_said(int out, char said[static SAID_SIZE])
{
	static const char mark[] = "ACCEPT 127.0.0.1:";
	size_t n = 0;
	said[0] = '\0';
	for (const char *at = NULL; n < SAID_SIZE - 1;) {
		struct pollfd p = {.fd = out, .events = POLLIN};
		ssize_t got = poll(&p, 1, START_MS) > 0 ? read(out, said + n, SAID_SIZE - 1 - n) : 0;
		if (got <= 0)
			return 0;
		n += (size_t)got;
		said[n] = '\0';
		at = strstr(said, mark);
		if (at != NULL && strchr(at, '\n') != NULL)
			return (int)strtol(at + sizeof mark - 1, NULL, 10);
	}
	return 0;
}

void tlsserver_start(struct tlsserver *s, const char *folder, const char *certificate, const char *version)
{
	char cert[SCRATCH_SIZE], key[SCRATCH_SIZE], said[SAID_SIZE];
	snprintf(cert, sizeof cert, "%s.pem", certificate);
	snprintf(key, sizeof key, "%s.key", certificate);
	/* Old versions are left to speak although the machine's defaults think little of them. */
	const char *argv[] = {"openssl", "s_server", "-HTTP", "-accept", "127.0.0.1:0",         "-cert",
			      cert,      "-key",     key,     "-cipher", "DEFAULT:@SECLEVEL=0", version,
			      NULL};
	int pipe_ends[2];
	ck_assert_int_eq(pipe(pipe_ends), 0);
	s->pid = fork();
	ck_assert_int_ge(s->pid, 0);
	if (s->pid == 0) {
		char *plain[sizeof argv / sizeof argv[0]];
		for (size_t i = 0; i < sizeof argv / sizeof argv[0]; i++)
			plain[i] = argv[i] != NULL ? unconst(argv[i]) : NULL;
		if (chdir(folder) != 0)
			_exit(126);
		run(plain, pipe_ends[1]);
	}
	close(pipe_ends[1]);
	s->out = pipe_ends[0];
	s->port = port_said(s->out, said);
	ck_assert_msg(s->port > 0, "openssl s_server does not listen: %s", said);
}

void tlsserver_stop(struct tlsserver *s)
{
	kill(s->pid, SIGKILL);
	waitpid(s->pid, NULL, 0);
	close(s->out);
}

void tlsserver_answer(const char *folder, const char *name, const char *answer)
{
	char path[SCRATCH_SIZE];
	scratch_path(folder, name, path);
	FILE *to = fopen(path, "w");
	ck_assert_ptr_nonnull(to);
	bool written = fputs(answer, to) >= 0;
	ck_assert_msg(fclose(to) == 0 && written, "%s", path);
}

char *tlsserver_url(const struct tlsserver *s, const char *host, const char *name, char buf[static TLSSERVER_URL_SIZE])
{
	snprintf(buf, TLSSERVER_URL_SIZE, "https://%s:%d/%s", host, s->port, name);
	return buf;
}
