/*
 * Write or post one letter as the outside checks ask: letter write|post KEY=VALUE..., the body on standard input.
 *
 * `write` prints the message, its lines ended as `ends` says (lf, else crlf).  `post`
 * prints what became of it and the fault, and ends with the fault's code.
 */
#include <stdio.h>
#include <string.h>
#include <sysexits.h>

#include "base/num.h"
#include "base/text.h"
#include "post/post.h"

static char **values;

/* The value of a key on the command line, "" where it is not there. */
static const char *value(const char *key)
{
	size_t n = strlen(key);
	for (char **v = values; *v != NULL; v++)
		if (strncmp(*v, key, n) == 0 && (*v)[n] == '=')
			return *v + n + 1;
	return "";
}

static void keep(char *to, size_t size, const char *key, struct text *t)
{
	if (!text_copy(to, size, value(key)))
		t->full = true;
}

/* Fields that are too small make the text full: one question at the end for all. */
static void read_mail(struct mail *mail, struct text *t)
{
	static const char *const ways[] = {
	    [MAIL_MAILDIR] = "maildir",
	    [MAIL_SENDMAIL] = "sendmail",
	    [MAIL_SMTP] = "smtp",
	};
	for (int way = MAIL_MAILDIR; way <= MAIL_SMTP; way++)
		if (strcmp(value("way"), ways[way]) == 0)
			mail->way = way;
	keep(mail->server, sizeof mail->server, "server", t);
	keep(mail->user, sizeof mail->user, "user", t);
	keep(mail->password_file, sizeof mail->password_file, "password_file", t);
	keep(mail->ca_file, sizeof mail->ca_file, "ca_file", t);
	keep(mail->program, sizeof mail->program, "program", t);
	keep(mail->folder, sizeof mail->folder, "folder", t);
	mail->clear = value("clear")[0] != '\0';
}

static enum fault_code read_message(struct message *m, struct text *body, struct fault *f)
{
	int64_t offset;
	char bytes[BUFSIZ];
	*m = (struct message){
	    .from = value("from"),
	    .to = value("to"),
	    .from_name = value("from_name"),
	    .subject = value("subject"),
	    .garden = value("garden"),
	    .kind = value("kind"),
	};
	if (num_int(value("at"), 0, INT32_MAX, &m->at, f) != FAULT_NONE ||
	    num_int(value("offset"), -86400, 86400, &offset, f) != FAULT_NONE ||
	    date_parse(value("day"), &m->day, f) != FAULT_NONE)
		return f->code;
	m->offset_s = (int)offset;
	for (size_t n; (n = fread(bytes, 1, sizeof bytes, stdin)) > 0;)
		text_add_n(body, bytes, n);
	m->body = body->len > 0 ? body->at : "";
	return text_ok(body, "the body", f);
}

static enum fault_code write_out(const struct message *m, struct fault *f)
{
	struct text t;
	text_init(&t, MESSAGE_MAX);
	if (message_write(m, strcmp(value("ends"), "lf") == 0 ? MESSAGE_LF : MESSAGE_CRLF, &t, f) == FAULT_NONE)
		fwrite(t.at, 1, t.len, stdout);
	text_free(&t);
	return f->code;
}

static enum fault_code post(const struct message *m, struct text *t, struct fault *f)
{
	static const char *const names[] = {
	    [POST_SENT] = "sent",
	    [POST_LATER] = "later",
	    [POST_REFUSED] = "refused",
	    [POST_UNKNOWN] = "unknown",
	};
	struct mail mail = {.n_to = 1};
	read_mail(&mail, t);
	if (text_ok(t, "a value", f) != FAULT_NONE)
		return f->code;
	struct post_settings settings = post_settings_default(&mail);
	enum post_result result = POST_LATER;
	enum fault_code code = post_send(&settings, m, &result, f);
	puts(names[result]);
	return code;
}

int main(int argc, char **argv)
{
	struct message m;
	struct text body;
	struct fault f = {0};
	if (argc < 2)
		return EX_USAGE;
	values = argv + 2;
	text_init(&body, MESSAGE_MAX);
	enum fault_code code = read_message(&m, &body, &f);
	if (code == FAULT_NONE)
		code = strcmp(argv[1], "post") == 0 ? post(&m, &body, &f) : write_out(&m, &f);
	if (code != FAULT_NONE)
		puts(f.text);
	text_free(&body);
	return (int)code;
}
