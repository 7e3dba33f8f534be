#include "post/post.h"

#include "post/maildir.h"
#include "post/secret.h"
#include "post/sendmail.h"

struct post_settings post_settings_default(const struct mail *mail)
{
	return (struct post_settings){.mail = mail, .smtp = smtp_limits_default(), .sendmail_ms = SENDMAIL_LIMIT_MS};
}

static enum fault_code password(const struct post_settings *s, struct secret *secret, struct fault *f)
{
	if (s->mail->user[0] == '\0')
		return FAULT_NONE;
	if (s->mail->password_file[0] != '\0')
		return secret_read(s->mail->password_file, secret, f);
	if (s->credentials != NULL)
		return secret_credential(s->credentials, secret, f);
	return fault_set(f, FAULT_CONFIG,
			 "user is set, and there is no password; password_file = FILE, or a credential smtp of the "
			 "service manager");
}

static enum fault_code by_smtp(const struct post_settings *s, const struct message *m, const struct text *t,
			       enum post_result *result, struct fault *f)
{
	struct secret secret = {.word = ""};
	const struct smtp_server server = {
	    .url = s->mail->server,
	    .user = s->mail->user,
	    .password = secret.word,
	    .ca_file = s->mail->ca_file,
	    .clear = s->mail->clear,
	    .limits = s->smtp,
	};
	enum fault_code code = password(s, &secret, f);
	if (code == FAULT_NONE)
		code = smtp_send(&server, m->from, m->to, t->at, t->len, result, f);
	secret_wipe(&secret);
	return code;
}

static enum fault_code by_maildir(const struct post_settings *s, const struct message *m, const struct text *t,
				  enum post_result *result, struct fault *f)
{
	char id[MESSAGE_ID_SIZE];
	if (message_id(m, id, f) != FAULT_NONE)
		return f->code;
	return maildir_put(s->mail->folder, m->at, id, t->at, t->len, result, f);
}

static enum fault_code carry(const struct post_settings *s, const struct message *m, const struct text *t,
			     enum post_result *result, struct fault *f)
{
	switch ((enum mail_way)s->mail->way) {
	case MAIL_SMTP:
		return by_smtp(s, m, t, result, f);
	case MAIL_SENDMAIL:
		return sendmail_put(s->mail->program, s->sendmail_ms, m->from, m->to, t->at, t->len, result, f);
	case MAIL_MAILDIR:
		return by_maildir(s, m, t, result, f);
	case MAIL_PRINT:
	case MAIL_FILE:
		break;
	}
	return fault_set(f, FAULT_SOFTWARE, "a note that is printed or filed is no mail");
}

enum fault_code post_send(const struct post_settings *settings, const struct message *message, enum post_result *result,
			  struct fault *f)
{
	enum message_ends ends = settings->mail->way == MAIL_SMTP ? MESSAGE_CRLF : MESSAGE_LF;
	struct text t;
	*result = POST_LATER;
	text_init(&t, MESSAGE_MAX);
	enum fault_code code = message_write(message, ends, &t, f);
	if (code == FAULT_NONE)
		code = carry(settings, message, &t, result, f);
	text_free(&t);
	return code;
}
