#define _GNU_SOURCE /* memmem */
#include "lib/smtpserver.h"

#include <arpa/inet.h>
#include <check.h>
#include <fcntl.h>
#include <poll.h>
#include <signal.h>
#include <stdatomic.h>
#include <stdio.h>
#include <string.h>
#include <strings.h>
#include <sys/mman.h>
#include <sys/prctl.h>
#include <sys/socket.h>
#include <sys/un.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

enum { WAIT_MS = 5000, LINE_SIZE = 2048, NAME_SIZE = 64, CHUNK = 4096, CONNECT_TRIES = 1000 };

struct stream {
	atomic_size_t n;
	char at[SMTPSERVER_SAID_SIZE];
};

/* Only the pages that are written to exist. */
struct smtpserver_log {
	atomic_size_t connections, mails;
	size_t from[SMTPSERVER_MAILS_MAX], to[SMTPSERVER_MAILS_MAX]; /* in said */
	struct stream clear, said;
};

/* One connection. */
struct talk {
	const struct smtpserver_how *how;
	struct smtpserver_log *log;
	int fd; /* where the words go: the client, or the process that does TLS for us */
	bool secret;
	size_t at; /* said up to here is read */
};

/* ---- bytes ---- */

static void keep(struct stream *s, const char *bytes, size_t n)
{
	size_t have = atomic_load(&s->n), most = sizeof s->at - 1 - have;
	n = n < most ? n : most;
	memcpy(s->at + have, bytes, n);
	atomic_store(&s->n, have + n);
}

static int say_n(int fd, const char *bytes, size_t n)
{
	while (n > 0) {
		ssize_t put = send(fd, bytes, n, MSG_NOSIGNAL);
		if (put <= 0)
			return -1;
		bytes += put;
		n -= (size_t)put;
	}
	return 0;
}

static int say(const struct talk *t, const char *words)
{
	return say_n(t->fd, words, strlen(words));
}

static bool hear(const struct talk *t)
{
	char chunk[CHUNK];
	struct pollfd p = {.fd = t->fd, .events = POLLIN};
	ssize_t got = poll(&p, 1, WAIT_MS) > 0 ? read(t->fd, chunk, sizeof chunk) : 0;
	if (got <= 0)
		return false;
	keep(&t->log->said, chunk, (size_t)got);
	if (!t->secret)
		keep(&t->log->clear, chunk, (size_t)got);
	return true;
}

/* Up to and with `end`; false where it does not come. */
static bool hear_to(struct talk *t, const char *end, size_t n, size_t *from, size_t *to)
{
	struct stream *s = &t->log->said;
	for (const char *m = NULL; m == NULL;) {
		m = memmem(s->at + t->at, atomic_load(&s->n) - t->at, end, n);
		if (m == NULL && !hear(t))
			return false;
		if (m != NULL) {
			*from = t->at;
			*to = t->at = (size_t)(m - s->at) + n;
		}
	}
	return true;
}

/* Wait for the other side to close, so that what was sent is not lost to a reset; all that still comes is kept. */
static void hear_out(const struct talk *t)
{
	while (hear(t))
		;
}

/* ---- TLS: openssl between the client and us, its plain side on a pair of sockets ---- */

static void run_openssl(const struct smtpserver_how *how, const char *door, int plain)
{
	char cert[NAME_SIZE], key[NAME_SIZE];
	int nothing = open("/dev/null", O_WRONLY);
	snprintf(cert, sizeof cert, "%s.pem", how->certificate);
	snprintf(key, sizeof key, "%s.key", how->certificate);
	prctl(PR_SET_PDEATHSIG, SIGKILL);
	if (nothing < 0 || dup2(plain, 0) < 0 || dup2(plain, 1) < 0 || dup2(nothing, 2) < 0)
		_exit(126);
	execlp("openssl", "openssl", "s_server", "-quiet", "-naccept", "1", "-unix", door, "-cert", cert, "-key", key,
	       (char *)NULL);
	_exit(127);
}

/* The one connection that it takes. */
static int knock(const char *door)
{
	struct sockaddr_un at = {.sun_family = AF_UNIX};
	const struct timespec pause = {.tv_nsec = 5000000};
	ck_assert_uint_lt(strlen(door), sizeof at.sun_path);
	memcpy(at.sun_path, door, strlen(door) + 1);
	int fd = socket(AF_UNIX, SOCK_STREAM, 0);
	for (int i = 0; fd >= 0 && i < CONNECT_TRIES; i++) {
		if (connect(fd, (struct sockaddr *)&at, sizeof at) == 0)
			return fd;
		nanosleep(&pause, NULL);
	}
	return -1;
}

static bool pass_on(int from, int to)
{
	char chunk[CHUNK];
	ssize_t got = read(from, chunk, sizeof chunk);
	return got > 0 && say_n(to, chunk, (size_t)got) == 0;
}

static void relay(int a, int b)
{
	struct pollfd p[] = {{.fd = a, .events = POLLIN}, {.fd = b, .events = POLLIN}};
	prctl(PR_SET_PDEATHSIG, SIGKILL);
	for (bool open = true; open && poll(p, 2, -1) > 0;) {
		if (p[0].revents != 0)
			open = pass_on(a, b);
		if (open && p[1].revents != 0)
			open = pass_on(b, a);
	}
	_exit(0);
}

static bool begin_tls(struct talk *t)
{
	char door[NAME_SIZE];
	int pair[2];
	snprintf(door, sizeof door, "door.%zu", atomic_load(&t->log->connections));
	unlink(door);
	if (socketpair(AF_UNIX, SOCK_STREAM, 0, pair) != 0)
		return false;
	if (fork() == 0) {
		close(pair[0]);
		run_openssl(t->how, door, pair[1]);
	}
	close(pair[1]);
	int tls = knock(door);
	if (tls < 0)
		return false;
	unlink(door);
	if (fork() == 0) {
		close(pair[0]);
		relay(t->fd, tls);
	}
	close(tls);
	close(t->fd);
	t->fd = pair[0];
	t->secret = true;
	return true;
}

/* ---- the dialogue ---- */

static const struct smtpserver_row *row_at(const struct talk *t, const char *step)
{
	for (size_t i = 0; i < t->how->rows; i++)
		if (strcmp(t->how->row[i].at, step) == 0)
			return &t->how->row[i];
	return NULL;
}

/* Play the step: its row, else the words of a good server.  False where the connection is over. */
static bool play(const struct talk *t, const char *step, const char *good)
{
	const struct smtpserver_row *r = row_at(t, step);
	const char *words = r != NULL && (r->answer != NULL || r->act != SMTPSERVER_SAY) ? r->answer : good;
	if (words != NULL && say(t, words) != 0)
		return false;
	if (r == NULL || r->act == SMTPSERVER_SAY)
		return true;
	if (r->act == SMTPSERVER_FLOOD)
		while (say(t, r->answer) == 0)
			;
	if (r->act == SMTPSERVER_STALL)
		hear_out(t);
	if (r->act == SMTPSERVER_DEAF)
		pause();
	if (r->act == SMTPSERVER_CUT)
		close(t->fd);
	return false;
}

static const char *hello(const struct talk *t, char words[static LINE_SIZE])
{
	bool tls_next = t->how->starttls && !t->secret;
	snprintf(words, LINE_SIZE, "250-mail.example\r\n%s%s250 HELP\r\n", tls_next ? "250-STARTTLS\r\n" : "",
		 t->how->auth && !tls_next ? "250-AUTH PLAIN LOGIN\r\n" : "");
	return words;
}

static bool hear_mail(struct talk *t)
{
	struct smtpserver_log *log = t->log;
	size_t from = t->at, to, i = atomic_load(&log->mails);
	if (row_at(t, "\r\n") != NULL)
		return hear_to(t, "\r\n", 2, &from, &to) && play(t, "\r\n", NULL);
	if (!hear_to(t, "\r\n.\r\n", 5, &from, &to) || i == SMTPSERVER_MAILS_MAX)
		return false;
	log->from[i] = from;
	log->to[i] = to - 3;
	atomic_store(&log->mails, i + 1);
	return play(t, ".", "250 taken\r\n");
}

static bool is(const char *line, const char *command)
{
	return strncasecmp(line, command, strlen(command)) == 0;
}

static bool answer(struct talk *t, const char *line)
{
	static const struct {
		const char *command, *good;
	} steps[] = {
	    {"STARTTLS", "220 go ahead\r\n"}, {"AUTH", "334 \r\n"},         {"MAIL", "250 fine\r\n"},
	    {"RCPT", "250 fine\r\n"},         {"DATA", "354 go ahead\r\n"}, {"QUIT", "221 bye\r\n"},
	    {"RSET", "250 fine\r\n"},
	};
	char words[LINE_SIZE];
	size_t from, to;
	if (t->secret && t->how->hello_inside != NULL && is(line, "EHLO"))
		return say(t, t->how->hello_inside) == 0;
	if (is(line, "EHLO") || is(line, "HELO"))
		return play(t, "EHLO", hello(t, words));
	for (size_t i = 0; i < sizeof steps / sizeof steps[0]; i++) {
		if (!is(line, steps[i].command))
			continue;
		if (!play(t, steps[i].command, steps[i].good))
			return false;
		if (is(line, "STARTTLS") && row_at(t, "STARTTLS") == NULL)
			return begin_tls(t);
		if (is(line, "AUTH") && row_at(t, "AUTH") == NULL)
			return hear_to(t, "\n", 1, &from, &to) && play(t, "AUTH PLAIN", "235 welcome\r\n");
		if (is(line, "DATA") && row_at(t, "DATA") == NULL)
			return hear_mail(t);
		return !is(line, "QUIT");
	}
	return say(t, "500 what?\r\n") == 0;
}

static void converse(struct talk *t)
{
	char line[LINE_SIZE];
	size_t from, to;
	bool on = !t->how->tls || begin_tls(t);
	t->at = atomic_load(&t->log->said.n);
	on = on && play(t, "", "220 mail.example ESMTP\r\n");
	while (on && hear_to(t, "\n", 1, &from, &to)) {
		snprintf(line, sizeof line, "%.*s", (int)(to - from < LINE_SIZE ? to - from : LINE_SIZE - 1),
			 t->log->said.at + from);
		on = answer(t, line);
	}
	shutdown(t->fd, SHUT_WR);
	hear_out(t);
}

static void child(const struct smtpserver_how *how, struct smtpserver_log *log, int listener)
{
	prctl(PR_SET_PDEATHSIG, SIGKILL);
	signal(SIGALRM, SIG_DFL);
	signal(SIGCHLD, SIG_IGN);
	alarm(SMTPSERVER_LIFE_S);
	/* The way to a socket has room for little more than a name. */
	if (how->folder != NULL && chdir(how->folder) != 0)
		_exit(126);
	for (;;) {
		struct talk t = {.how = how, .log = log, .fd = accept(listener, NULL, NULL)};
		if (t.fd < 0)
			break;
		atomic_fetch_add(&log->connections, 1);
		converse(&t);
		close(t.fd);
	}
	_exit(0);
}

/* ---- the test's side ---- */

void smtpserver_start(struct smtpserver *s, const struct smtpserver_how *how)
{
	struct sockaddr_in at = {.sin_family = AF_INET, .sin_addr.s_addr = htonl(INADDR_LOOPBACK)};
	socklen_t size = sizeof at;
	int listener = socket(AF_INET, SOCK_STREAM | SOCK_CLOEXEC, 0);
	/* Small, so that who is not read notices. */
	const int room = 1 << 16;
	ck_assert_msg(listener >= 0 && setsockopt(listener, SOL_SOCKET, SO_RCVBUF, &room, sizeof room) == 0 &&
			  bind(listener, (struct sockaddr *)&at, size) == 0 &&
			  getsockname(listener, (struct sockaddr *)&at, &size) == 0 && listen(listener, 4) == 0,
		      "no loopback socket");
	s->port = ntohs(at.sin_port);
	s->log = mmap(NULL, sizeof *s->log, PROT_READ | PROT_WRITE, MAP_SHARED | MAP_ANONYMOUS, -1, 0);
	ck_assert_ptr_ne(s->log, MAP_FAILED);
	s->pid = fork();
	ck_assert_int_ge(s->pid, 0);
	if (s->pid == 0)
		child(how, s->log, listener);
	close(listener);
}

void smtpserver_stop(struct smtpserver *s)
{
	kill(s->pid, SIGKILL);
	waitpid(s->pid, NULL, 0);
	munmap(s->log, sizeof *s->log);
	s->log = NULL;
}

size_t smtpserver_connections(const struct smtpserver *s)
{
	return atomic_load(&s->log->connections);
}

const char *smtpserver_clear(const struct smtpserver *s)
{
	return s->log->clear.at;
}

const char *smtpserver_said(const struct smtpserver *s)
{
	return s->log->said.at;
}

size_t smtpserver_mails(const struct smtpserver *s)
{
	return atomic_load(&s->log->mails);
}

const char *smtpserver_mail(const struct smtpserver *s, size_t i, size_t *n)
{
	ck_assert_uint_lt(i, smtpserver_mails(s));
	*n = s->log->to[i] - s->log->from[i];
	return s->log->said.at + s->log->from[i];
}
