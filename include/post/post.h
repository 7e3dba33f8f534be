/*
 * A message on its way, by whichever way the garden file names.
 *
 * Whether it should go, and whether it has gone before, is for the outbox.  The
 * ways "print" and "file" are not of this room: there the note goes out as it is.
 */
#ifndef POST_POST_H
#define POST_POST_H

#include "base/fault.h"
#include "facts/mail.h"
#include "post/message.h"
#include "post/result.h"
#include "post/smtp.h"

struct post_settings {
	const struct mail *mail; /* its paths as they are to be opened */
	const char *credentials; /* folder of the service manager's credentials; NULL: none */
	struct smtp_limits smtp;
	int sendmail_ms;
};

/* The limits of smtp.h and sendmail.h, no credentials. */
struct post_settings post_settings_default(const struct mail *mail);

/*
 * Send a message to message->to.  FAULT_NONE goes with POST_SENT and with nothing else; what is wrong with
 * settings or message itself is POST_LATER, FAULT_CONFIG as a rule, before anybody was spoken to.
 */
enum fault_code post_send(const struct post_settings *settings, const struct message *message, enum post_result *result,
			  struct fault *f) MUST_USE;

#endif
