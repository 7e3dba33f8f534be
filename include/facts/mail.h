/*
 * How the notes of a garden go out, as its file says it; and what a mail address may be.
 *
 * Plain data that the garden file fills and whoever delivers reads.  Paths stand
 * as they were written.  No password is ever in here.
 */
#ifndef FACTS_MAIL_H
#define FACTS_MAIL_H

#include <stdbool.h>
#include <stddef.h>

#include "base/fault.h"
#include "base/hostport.h"

enum mail_way { MAIL_PRINT, MAIL_FILE, MAIL_MAILDIR, MAIL_SENDMAIL, MAIL_SMTP };

/* A letter of which nobody knows whether it arrived. */
enum mail_unknown { MAIL_RESEND, MAIL_NEVER };

enum {
	MAIL_TO_MAX = 16,
	MAIL_ADDRESS_SIZE = 255, /* RFC 5321 4.5.3.1.3: a path has 256 octets with its < and > */
	MAIL_NAME_SIZE = 80,
	MAIL_SERVER_SIZE = 300,
	MAIL_PATH_SIZE = 1024,
};

struct mail {
	int way; /* enum mail_way */
	size_t n_to;
	char to[MAIL_TO_MAX][MAIL_ADDRESS_SIZE];
	char from[MAIL_ADDRESS_SIZE];
	char from_name[MAIL_NAME_SIZE];     /* these "" where not given */
	char server[MAIL_SERVER_SIZE];      /* smtp:// or smtps:// */
	bool clear;                         /* no encryption: to a loopback address alone */
	char user[MAIL_ADDRESS_SIZE];       /* at the server; "": no authentication */
	char password_file[MAIL_PATH_SIZE]; /* "": a credential of the service manager */
	char ca_file[MAIL_PATH_SIZE];
	char program[MAIL_PATH_SIZE]; /* MAIL_SENDMAIL */
	char folder[MAIL_PATH_SIZE];  /* MAIL_MAILDIR */
	char file[MAIL_PATH_SIZE];    /* MAIL_FILE */
	int unknown;                  /* enum mail_unknown */
};

/*
 * One mailbox as it stands in an envelope and a header, without a name, quotes or comments.
 *
 * What would be right is in the fault (FAULT_CONFIG), without a key's name in front.
 * Limits   ASCII alone: no quoted local part, no address literal, no UTF-8 (SMTPUTF8)
 * Source   RFC 5321 4.1.2 (Dot-string, Domain) and 4.5.3.1 (64, 255 and 256 octets)
 */
enum fault_code mail_address_check(const char *address, struct fault *f) MUST_USE;

/* A mail server, taken apart. */
struct mail_server {
	bool tls; /* from the first byte: smtps:// */
	char host[HOSTPORT_HOST_SIZE];
	int port; /* 465 for smtps:// and 587 for smtp:// where not given (RFC 8314 3.3, RFC 6409 3.1) */
};

/* smtp:// or smtps://, a host, and a port where one is given; nothing else.  False otherwise. */
bool mail_server_parse(const char *url, struct mail_server *server);

#endif
