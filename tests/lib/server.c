#define _GNU_SOURCE /* memmem */
#include "lib/server.h"

#include <arpa/inet.h>
#include <check.h>
#include <poll.h>
#include <signal.h>
#include <stdatomic.h>
#include <stdio.h>
#include <string.h>
#include <sys/mman.h>
#include <sys/prctl.h>
#include <sys/socket.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

#include "base/text.h"

enum { WAIT_MS = 5000, ANSWER_MAX = 16 << 20, CHUNK = 4096 };

struct server_log {
	atomic_size_t n;
	char request[SERVER_ASKED_MAX][SERVER_REQUEST_SIZE];
};

/* What the child knows. */
struct play {
	const struct server_row *rows;
	size_t n;
	int used[SERVER_ASKED_MAX]; /* by row; more rows than that are refused */
	char host[32];
};

static int loopback_socket(int *port)
{
	struct sockaddr_in at = {.sin_family = AF_INET, .sin_addr.s_addr = htonl(INADDR_LOOPBACK)};
	socklen_t size = sizeof at;
	int fd = socket(AF_INET, SOCK_STREAM, 0);
	ck_assert_msg(fd >= 0 && bind(fd, (struct sockaddr *)&at, sizeof at) == 0 &&
			  getsockname(fd, (struct sockaddr *)&at, &size) == 0,
		      "no loopback socket");
	*port = ntohs(at.sin_port);
	return fd;
}

int server_refused_port(void)
{
	int port, fd = loopback_socket(&port);
	close(fd);
	return port;
}

/* ---- the child ---- */

static void pause_for(int ms)
{
	struct timespec t = {.tv_sec = ms / 1000, .tv_nsec = (long)(ms % 1000) * 1000000L};
	nanosleep(&t, NULL);
}

static int send_all(int fd, const char *bytes, size_t n)
{
	while (n > 0) {
		ssize_t sent = send(fd, bytes, n, MSG_NOSIGNAL);
		if (sent <= 0)
			return -1;
		bytes += sent;
		n -= (size_t)sent;
	}
	return 0;
}

/* Up to the empty line; 0 where none came in time. */
static size_t read_request(int fd, char *to)
{
	size_t n = 0;
	to[0] = '\0';
	while (n < SERVER_REQUEST_SIZE - 1 && strstr(to, "\r\n\r\n") == NULL) {
		struct pollfd p = {.fd = fd, .events = POLLIN};
		if (poll(&p, 1, WAIT_MS) <= 0)
			return 0;
		ssize_t got = read(fd, to + n, SERVER_REQUEST_SIZE - 1 - n);
		if (got <= 0)
			return 0;
		n += (size_t)got;
		to[n] = '\0';
	}
	return n;
}

/* Wait for the other side to close, so that what was sent is not lost to a reset. */
static void await_close(int fd)
{
	char sink[512];
	struct pollfd p = {.fd = fd, .events = POLLIN};
	while (poll(&p, 1, WAIT_MS) > 0 && read(fd, sink, sizeof sink) > 0)
		;
}

static void add_with_host(struct text *t, const char *s, size_t n, const char *host)
{
	static const char mark[] = "@HOST@";
	const char *end = s + n;
	while (s < end) {
		const char *m = memmem(s, (size_t)(end - s), mark, sizeof mark - 1);
		text_add_n(t, s, (size_t)((m != NULL ? m : end) - s));
		if (m == NULL)
			break;
		text_add(t, host);
		s = m + sizeof mark - 1;
	}
}

static size_t body_size(const struct server_row *r)
{
	return r->size != 0 || r->body == NULL ? r->size : strlen(r->body);
}

static void compose(const struct play *p, const struct server_row *r, struct text *t)
{
	struct text body;
	text_init(&body, ANSWER_MAX);
	if (r->body != NULL)
		add_with_host(&body, r->body, body_size(r), p->host);
	text_addf(t, "HTTP/1.1 %s\r\nConnection: close\r\n", r->status != NULL ? r->status : "200 OK");
	if (r->headers != NULL)
		add_with_host(t, r->headers, strlen(r->headers), p->host);
	text_addf(t, "Content-Length: %zu\r\n\r\n", body.len);
	text_add_n(t, body.at, body.len);
	text_free(&body);
}

static void drip(int fd, const struct text *t, int pause_ms)
{
	for (size_t i = 0; i < t->len && send_all(fd, t->at + i, 1) == 0; i++)
		pause_for(pause_ms);
}

static void flood(int fd, const struct server_row *r)
{
	static const char head[] = "HTTP/1.1 200 OK\r\nTransfer-Encoding: chunked\r\n\r\n";
	char chunk[CHUNK + 16];
	int at = snprintf(chunk, sizeof chunk, "%x\r\n", CHUNK);
	memset(chunk + at, ' ', CHUNK);
	memcpy(chunk + at + CHUNK, "\r\n", 2);
	int fine = send_all(fd, head, sizeof head - 1);
	for (size_t sent = 0; fine == 0 && sent < r->size; sent += CHUNK)
		fine = send_all(fd, chunk, (size_t)at + CHUNK + 2);
	if (fine == 0)
		(void)send_all(fd, "0\r\n\r\n", 5);
}

static const struct server_row *row_for(struct play *p, const char *request)
{
	static const struct server_row none = {.path = "", .status = "404 Not Found", .body = "no row of the script"};
	const char *target = strchr(request, ' ');
	if (target == NULL)
		return &none;
	target++;
	for (size_t i = 0; i < p->n; i++) {
		const struct server_row *r = &p->rows[i];
		if (strncmp(target, r->path, strlen(r->path)) == 0 && (r->times == 0 || p->used[i] < r->times)) {
			p->used[i]++;
			return r;
		}
	}
	return &none;
}

static void serve(struct play *p, struct server_log *log, int fd)
{
	size_t i = atomic_load(&log->n);
	if (read_request(fd, log->request[i]) == 0)
		return;
	atomic_store(&log->n, i + 1);
	const struct server_row *r = row_for(p, log->request[i]);
	struct text t;
	text_init(&t, ANSWER_MAX);
	if (r->act == SERVER_ANSWER || r->act == SERVER_DRIP)
		compose(p, r, &t);
	if (r->act == SERVER_ANSWER)
		(void)send_all(fd, t.at, t.len);
	else if (r->act == SERVER_DRIP)
		drip(fd, &t, r->pause_ms);
	else if (r->act == SERVER_RAW)
		(void)send_all(fd, r->body, body_size(r));
	else if (r->act == SERVER_FLOOD)
		flood(fd, r);
	text_free(&t);
	if (r->act != SERVER_STALL)
		shutdown(fd, SHUT_WR);
	await_close(fd);
}

static void child(struct play *p, struct server_log *log, int listener)
{
	prctl(PR_SET_PDEATHSIG, SIGKILL);
	signal(SIGALRM, SIG_DFL);
	alarm(SERVER_LIFE_S);
	while (atomic_load(&log->n) < SERVER_ASKED_MAX) {
		int fd = accept(listener, NULL, NULL);
		if (fd < 0)
			break;
		serve(p, log, fd);
		close(fd);
	}
	_exit(0);
}

/* ---- the test's side ---- */

void server_start(struct server *s, const struct server_row *rows, size_t n)
{
	ck_assert_uint_le(n, SERVER_ASKED_MAX);
	int listener = loopback_socket(&s->port);
	ck_assert_int_eq(listen(listener, 16), 0);
	s->log = mmap(NULL, sizeof *s->log, PROT_READ | PROT_WRITE, MAP_SHARED | MAP_ANONYMOUS, -1, 0);
	ck_assert_ptr_ne(s->log, MAP_FAILED);
	struct play p = {.rows = rows, .n = n};
	snprintf(p.host, sizeof p.host, "127.0.0.1:%d", s->port);
	s->pid = fork();
	ck_assert_int_ge(s->pid, 0);
	if (s->pid == 0)
		child(&p, s->log, listener);
	close(listener);
}

void server_stop(struct server *s)
{
	kill(s->pid, SIGKILL);
	waitpid(s->pid, NULL, 0);
	munmap(s->log, sizeof *s->log);
	s->log = NULL;
}

char *server_url(const struct server *s, const char *path, char buf[static SERVER_URL_SIZE])
{
	snprintf(buf, SERVER_URL_SIZE, "http://127.0.0.1:%d%s", s->port, path);
	return buf;
}

size_t server_asked(const struct server *s)
{
	return atomic_load(&s->log->n);
}

const char *server_request(const struct server *s, size_t i)
{
	ck_assert_uint_lt(i, server_asked(s));
	return s->log->request[i];
}
