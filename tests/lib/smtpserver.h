/*
 * A mail server that plays a script, for tests: one forked child on 127.0.0.1.
 *
 * It keeps every byte as it came: no line end is mended and no dot taken away, so
 * that what a friendlier server would hide shows.  Commands end at LF, as careless
 * servers have it: a line break put into an address would show as a command.  The
 * message ends at CR LF . CR LF alone.  It ends with smtpserver_stop or with its test.
 */
#ifndef TESTS_LIB_SMTPSERVER_H
#define TESTS_LIB_SMTPSERVER_H

#include <stdbool.h>
#include <stddef.h>
#include <sys/types.h>

enum { SMTPSERVER_ROWS_MAX = 16, SMTPSERVER_SAID_SIZE = 1 << 20, SMTPSERVER_LIFE_S = 30, SMTPSERVER_MAILS_MAX = 8 };

enum smtpserver_act {
	SMTPSERVER_SAY,   /* the answer; NULL: what a good server says */
	SMTPSERVER_CLOSE, /* the answer, if there is one, then close */
	SMTPSERVER_STALL, /* the answer, if there is one, then nothing until the other side gives up */
	SMTPSERVER_FLOOD, /* the answer without end */
	SMTPSERVER_DEAF,  /* nothing is said, nor read any more */
	SMTPSERVER_CUT,   /* the connection is gone, with what was not read */
};

/* What is said at a step other than a good server's. */
struct smtpserver_row {
	const char *at; /* "" the greeting, "EHLO" ... "DATA", "." the end of the message, "\r\n" its first line */
	enum smtpserver_act act;
	const char *answer; /* whole lines with \r\n */
};

struct smtpserver_how {
	bool starttls, tls;               /* offers STARTTLS; TLS from the first byte */
	bool auth;                        /* offers AUTH PLAIN, with TLS where there is any */
	const char *folder, *certificate; /* of tlsserver_certificates, with TLS */
	const char *hello_inside;         /* the answer to EHLO within TLS, over any row's; NULL: none */
	const struct smtpserver_row *row;
	size_t rows;
};

struct smtpserver_log;

struct smtpserver {
	int port;
	pid_t pid;
	struct smtpserver_log *log; /* shared with the child */
};

/* `how` and its rows must live until smtpserver_stop.  Any failure fails the test. */
void smtpserver_start(struct smtpserver *s, const struct smtpserver_how *how);
void smtpserver_stop(struct smtpserver *s);

size_t smtpserver_connections(const struct smtpserver *s);

/* All that came before TLS, and all that came, TLS taken off, as text with a NUL after it. */
const char *smtpserver_clear(const struct smtpserver *s);
const char *smtpserver_said(const struct smtpserver *s);

/* Messages whose end came; the i-th as it came, after DATA up to the dot, the CR LF before it included. */
size_t smtpserver_mails(const struct smtpserver *s);
const char *smtpserver_mail(const struct smtpserver *s, size_t i, size_t *n);

#endif
