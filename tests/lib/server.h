/*
 * A web server that plays a script, for tests: one forked child on a loopback address.
 *
 * It ends with server_stop, with its test, after its life or after SERVER_ASKED_MAX
 * requests, whichever comes first.  One request a connection, but after SERVER_KEEP
 * the connection stays open for the next one.
 */
#ifndef TESTS_LIB_SERVER_H
#define TESTS_LIB_SERVER_H

#include <stdbool.h>
#include <stddef.h>
#include <sys/types.h>

enum {
	SERVER_LIFE_S = 30,
	SERVER_ASKED_MAX = 4096,
	SERVER_ROWS_MAX = 4096,
	SERVER_REQUEST_SIZE = 4096,
	SERVER_URL_SIZE = 512
};

enum server_act {
	SERVER_ANSWER, /* status, headers and body, with the Content-Length that is right */
	SERVER_KEEP,   /* as SERVER_ANSWER, and the connection is kept */
	SERVER_RAW,    /* the bytes of body, then close: anything, wrong lengths too */
	SERVER_DRIP,   /* as SERVER_ANSWER, one byte every pause_ms */
	SERVER_FLOOD,  /* a chunked body of `size` bytes */
	SERVER_CLOSE,  /* close without a byte */
	SERVER_STALL,  /* say nothing until the other side gives up */
};

/* "@HOST@" in headers and body becomes the server's own 127.0.0.1:PORT (not in SERVER_RAW). */
struct server_row {
	const char *path; /* the request target begins so; the first row that does and is not used up */
	enum server_act act;
	const char *status;  /* "404 Not Found"; NULL: "200 OK" */
	const char *headers; /* whole lines with \r\n; NULL: none */
	const char *body;
	size_t size;  /* of body; 0: strlen */
	int pause_ms; /* SERVER_DRIP */
	int times;    /* the row is used up after so many requests; 0: never */
	/* Only the server's first-th to last-th request, from 1; 0: from the beginning, to the end. */
	size_t first, last;
};

struct server_how {
	bool ipv6;  /* [::1] and nothing else, instead of 127.0.0.1 */
	int life_s; /* 0: SERVER_LIFE_S */
};

struct server_log;

struct server {
	int port;
	bool ipv6;
	pid_t pid;
	struct server_log *log; /* shared with the child */
};

/* The rows must live until server_stop.  Any failure fails the test. */
void server_start(struct server *s, const struct server_row *rows, size_t n); /* IPv4, SERVER_LIFE_S */
void server_start_as(struct server *s, const struct server_how *how, const struct server_row *rows, size_t n);
void server_stop(struct server *s);

/* False where this machine has no [::1]. */
bool server_ipv6_possible(void);

/* http://127.0.0.1:PORT or http://[::1]:PORT and the path, into buf; returns buf. */
char *server_url(const struct server *s, const char *path, char buf[static SERVER_URL_SIZE]);

/* Requests so far, the i-th one as it came (request line and headers), and on which connection, both from 0. */
size_t server_asked(const struct server *s);
const char *server_request(const struct server *s, size_t i);
size_t server_connection(const struct server *s, size_t i);

/* A port of 127.0.0.1 that nobody listens on. */
int server_refused_port(void);

#endif
