/*
 * A message to a mail server, by libcurl.
 *
 * Encrypted always: smtps://, or smtp:// with a STARTTLS that must succeed, the certificate verified.  In clear only
 * where the settings say so and the host is a loopback address, written out.  A user must be let in by the server
 * before anything is sent: libcurl itself would go on without where a server offers no authentication.  No proxy is
 * asked.
 *
 * One connection, one recipient a message.
 */
#ifndef POST_SMTP_H
#define POST_SMTP_H

#include <stdbool.h>
#include <stddef.h>

#include "base/fault.h"
#include "post/result.h"

struct smtp_limits {
	long connect_ms; /* to be let in: name look-up, TLS, greeting and authentication */
	long reply_s;    /* for any one answer, that to the whole message too */
	long total_ms;
};

/*
 * 30 s, 300 s, 900 s.
 *
 * Source  common practice; RFC 5321 4.5.3.2 would have a client wait ten minutes for the last answer
 */
struct smtp_limits smtp_limits_default(void);

struct smtp_server {
	const char *url;             /* as mail_server_parse takes it */
	const char *user, *password; /* user NULL or "": no authentication */
	const char *ca_file;         /* PEM; NULL or "": the machine's */
	bool clear;
	struct smtp_limits limits;
};

/*
 * Send n bytes of a message whose lines all end by CR LF (FAULT_SOFTWARE otherwise) to one recipient.
 *
 * POST_REFUSED  the server said no for good (5xx): FAULT_UNAVAILABLE
 * POST_UNKNOWN  the whole message was handed over and no answer came: FAULT_TRY_LATER
 * POST_LATER    anything else, and the message cannot have been taken: FAULT_TRY_LATER; FAULT_UNAVAILABLE
 *               for a server that offers no encryption or authentication or has a wrong certificate; FAULT_CONFIG;
 *               FAULT_MEMORY
 * Faults begin with host and port, and hold the server's own words where it said no.
 */
enum fault_code smtp_send(const struct smtp_server *server, const char *from, const char *to, const char *bytes,
			  size_t n, enum post_result *result, struct fault *f) MUST_USE;

#endif
