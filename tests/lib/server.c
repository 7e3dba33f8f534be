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

enum { WAIT_MS = 5000, ANSWER_MAX = 16 << 20, CHUNK = 4096, KEPT_MAX = 16 };

/* Only the pages that are written to exist. */
struct server_log {
	atomic_size_t n;
	size_t connection[SERVER_ASKED_MAX];
	char request[SERVER_ASKED_MAX][SERVER_REQUEST_SIZE];
};

/* What the child knows. */
struct play {
	const struct server_row *rows;
	size_t n;
	struct server_log *log;
	struct pollfd open[1 + KEPT_MAX]; /* the listener, then the kept connections */
	size_t number[1 + KEPT_MAX];      /* of each connection */
	nfds_t n_open;
	int used[SERVER_ROWS_MAX]; /* by row */
	char host[32];
};

/* Bound to any free port; -1 where that cannot be. */
static int loopback_socket(bool ipv6, int *port)
{
	struct sockaddr_in v4 = {.sin_family = AF_INET, .sin_addr.s_addr = htonl(INADDR_LOOPBACK)};
	struct sockaddr_in6 v6 = {.sin6_family = AF_INET6, .sin6_addr = IN6ADDR_LOOPBACK_INIT};
	struct sockaddr *at = ipv6 ? (struct sockaddr *)&v6 : (struct sockaddr *)&v4;
	socklen_t size = ipv6 ? sizeof v6 : sizeof v4;
	int fd = socket(at->sa_family, SOCK_STREAM, 0);
	if (fd >= 0 && (bind(fd, at, size) != 0 || getsockname(fd, at, &size) != 0)) {
		close(fd);
		return -1;
	}
	*port = ntohs(ipv6 ? v6.sin6_port : v4.sin_port);
	return fd;
}

int server_refused_port(void)
{
	int port, fd = loopback_socket(false, &port);
	ck_assert_msg(fd >= 0, "no loopback socket");
	close(fd);
	return port;
}

bool server_ipv6_possible(void)
{
	int port, fd = loopback_socket(true, &port);
	if (fd >= 0)
		close(fd);
	return fd >= 0;
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
	text_addf(t, "HTTP/1.1 %s\r\n%s", r->status != NULL ? r->status : "200 OK",
		  r->act == SERVER_KEEP ? "" : "Connection: close\r\n");
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

static bool row_answers(const struct play *p, size_t i, const char *target, size_t number)
{
	const struct server_row *r = &p->rows[i];
	return strncmp(target, r->path, strlen(r->path)) == 0 && (r->times == 0 || p->used[i] < r->times) &&
	       number >= r->first && (r->last == 0 || number <= r->last);
}

static const struct server_row *row_for(struct play *p, const char *request, size_t number)
{
	static const struct server_row none = {.path = "", .status = "404 Not Found", .body = "no row of the script"};
	const char *target = strchr(request, ' ');
	for (size_t i = 0; target != NULL && i < p->n; i++)
		if (row_answers(p, i, target + 1, number)) {
			p->used[i]++;
			return &p->rows[i];
		}
	return &none;
}

static void act(const struct play *p, const struct server_row *r, int fd)
{
	struct text t;
	text_init(&t, ANSWER_MAX);
	if (r->act == SERVER_ANSWER || r->act == SERVER_KEEP || r->act == SERVER_DRIP)
		compose(p, r, &t);
	if (r->act == SERVER_ANSWER || r->act == SERVER_KEEP)
		(void)send_all(fd, t.at, t.len);
	else if (r->act == SERVER_DRIP)
		drip(fd, &t, r->pause_ms);
	else if (r->act == SERVER_RAW)
		(void)send_all(fd, r->body, body_size(r));
	else if (r->act == SERVER_FLOOD)
		flood(fd, r);
	text_free(&t);
}

/* One request of a connection; true where the connection is kept. */
static bool serve(struct play *p, int fd, size_t connection)
{
	struct server_log *log = p->log;
	size_t i = atomic_load(&log->n);
	if (read_request(fd, log->request[i]) == 0)
		return false;
	log->connection[i] = connection;
	atomic_store(&log->n, i + 1);
	const struct server_row *r = row_for(p, log->request[i], i + 1);
	act(p, r, fd);
	if (r->act == SERVER_KEEP)
		return true;
	if (r->act != SERVER_STALL)
		shutdown(fd, SHUT_WR);
	await_close(fd);
	return false;
}

static void keep(struct play *p, int fd, size_t connection)
{
	if (p->n_open > KEPT_MAX) {
		close(fd);
		return;
	}
	p->open[p->n_open] = (struct pollfd){.fd = fd, .events = POLLIN};
	p->number[p->n_open++] = connection;
}

/* The first of the kept connections that has something to say, else whoever knocks; its place, 0 for the door. */
static size_t next_to_serve(struct play *p)
{
	(void)poll(p->open, p->n_open, -1);
	for (size_t i = 1; i < p->n_open; i++)
		if (p->open[i].revents != 0)
			return i;
	return 0;
}

static void child(struct play *p, int listener, int life_s)
{
	prctl(PR_SET_PDEATHSIG, SIGKILL);
	signal(SIGALRM, SIG_DFL);
	alarm((unsigned)life_s);
	p->open[0] = (struct pollfd){.fd = listener, .events = POLLIN};
	p->n_open = 1;
	for (size_t connections = 0; atomic_load(&p->log->n) < SERVER_ASKED_MAX;) {
		size_t i = next_to_serve(p);
		int fd = i > 0 ? p->open[i].fd : accept(listener, NULL, NULL);
		size_t number = i > 0 ? p->number[i] : connections++;
		if (fd < 0)
			break;
		if (i > 0) {
			p->open[i] = p->open[--p->n_open];
			p->number[i] = p->number[p->n_open];
		}
		if (serve(p, fd, number))
			keep(p, fd, number);
		else
			close(fd);
	}
	_exit(0);
}

/* ---- the test's side ---- */

void server_start_as(struct server *s, const struct server_how *how, const struct server_row *rows, size_t n)
{
	ck_assert_uint_le(n, SERVER_ROWS_MAX);
	*s = (struct server){.ipv6 = how->ipv6};
	int listener = loopback_socket(how->ipv6, &s->port);
	ck_assert_msg(listener >= 0 && listen(listener, 16) == 0, "no loopback socket");
	s->log = mmap(NULL, sizeof *s->log, PROT_READ | PROT_WRITE, MAP_SHARED | MAP_ANONYMOUS, -1, 0);
	ck_assert_ptr_ne(s->log, MAP_FAILED);
	struct play p = {.rows = rows, .n = n, .log = s->log};
	snprintf(p.host, sizeof p.host, how->ipv6 ? "[::1]:%d" : "127.0.0.1:%d", s->port);
	s->pid = fork();
	ck_assert_int_ge(s->pid, 0);
	if (s->pid == 0)
		child(&p, listener, how->life_s > 0 ? how->life_s : SERVER_LIFE_S);
	close(listener);
}

void server_start(struct server *s, const struct server_row *rows, size_t n)
{
	server_start_as(s, &(struct server_how){0}, rows, n);
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
	snprintf(buf, SERVER_URL_SIZE, s->ipv6 ? "http://[::1]:%d%s" : "http://127.0.0.1:%d%s", s->port, path);
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

size_t server_connection(const struct server *s, size_t i)
{
	ck_assert_uint_lt(i, server_asked(s));
	return s->log->connection[i];
}
