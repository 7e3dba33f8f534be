#include "post/smtp.h"

#include <curl/curl.h>
#include <stdio.h>
#include <string.h>

#include "base/mem.h"
#include "facts/mail.h"
#include "net/failure.h"
#include "net/library.h"

/* What smtp_limits_default says. */
enum { CONNECT_MS = 30000, REPLY_S = 300, TOTAL_MS = 900000 };

/* How long a server may take to say goodbye, when all is said. */
enum { GOODBYE_S = 2 };

/* RFC 5321 4.5.3.1.5: a reply line has at most 512 octets; no honest dialogue comes near the sum. */
enum { REPLIES_MAX = 64 << 10, LINE_SIZE = 128, URL_SIZE = HOSTPORT_HOST_SIZE + 16 };

/* Which answer is awaited: libcurl sends the commands, we see the answers. */
enum stage { STAGE_GREETING, STAGE_HELLO, STAGE_TLS, STAGE_IN };

struct dialogue {
	CURL *easy;
	bool starttls, user; /* what must come about */
	const char *bytes;
	size_t n, at;
	bool ended; /* the whole message is in libcurl's hands */
	enum stage stage;
	bool offered, let_in; /* authentication */
	size_t replies;       /* bytes */
	const char *stop;     /* why we broke off; NULL: we did not */
	char line[LINE_SIZE]; /* the last one of an answer */
};

struct smtp_limits smtp_limits_default(void)
{
	return (struct smtp_limits){.connect_ms = CONNECT_MS, .reply_s = REPLY_S, .total_ms = TOTAL_MS};
}

/* ---- answers ---- */

static bool is_digit(char c)
{
	return c >= '0' && c <= '9';
}

static bool is_reply(const char *line, size_t n)
{
	return n > 3 && is_digit(line[0]) && is_digit(line[1]) && is_digit(line[2]);
}

static void keep_line(struct dialogue *d, const char *line, size_t n)
{
	size_t most = n < sizeof d->line ? n : sizeof d->line - 1;
	memcpy(d->line, line, most);
	d->line[most] = '\0';
	for (size_t i = 0; i < most; i++)
		if (d->line[i] < ' ' || d->line[i] > '~')
			d->line[i] = line[i] == '\r' || line[i] == '\n' ? '\0' : '?';
}

/* The end of what a server says of itself; with STARTTLS it says it twice, and only the second counts. */
static void hello_said(struct dialogue *d)
{
	if (d->line[0] != '2')
		return; /* libcurl tries the older greeting */
	if (d->starttls) {
		d->stage = STAGE_TLS;
		return;
	}
	d->stage = STAGE_IN;
	if (d->user && !d->offered)
		d->stop = "the server offers no authentication, and a user is set; nothing was sent";
}

static void reply_said(struct dialogue *d)
{
	switch (d->stage) {
	case STAGE_GREETING:
		d->stage = STAGE_HELLO;
		break;
	case STAGE_HELLO:
		hello_said(d);
		d->offered = false;
		break;
	case STAGE_TLS:
		d->starttls = false;
		d->stage = STAGE_HELLO;
		break;
	case STAGE_IN:
		d->let_in = d->let_in || strncmp(d->line, "235", 3) == 0; /* RFC 4954 6 */
		if (d->ended)
			curl_easy_setopt(d->easy, CURLOPT_SERVER_RESPONSE_TIMEOUT, (long)GOODBYE_S);
		break;
	}
}

static size_t take_line(char *line, size_t size, size_t n, void *context)
{
	struct dialogue *d = context;
	static const char keyword[] = "AUTH ", goodbye[] = "221";
	(void)size; /* libcurl: always 1 */
	d->replies += n;
	if (d->replies > REPLIES_MAX)
		d->stop = "the server says more than a mail server has to say";
	if (d->stop != NULL)
		return CURL_WRITEFUNC_ERROR;
	if (!is_reply(line, n) || strncmp(line, goodbye, sizeof goodbye - 1) == 0)
		return n;
	if (n > 3 + sizeof keyword && strncmp(line + 4, keyword, sizeof keyword - 1) == 0)
		d->offered = true;
	if (line[3] == '-')
		return n;
	keep_line(d, line, n);
	reply_said(d);
	return d->stop == NULL ? n : CURL_WRITEFUNC_ERROR;
}

/* ---- the message ---- */

static size_t give_bytes(char *to, size_t size, size_t most, void *context)
{
	struct dialogue *d = context;
	size_t n = d->n - d->at < size * most ? d->n - d->at : size * most;
	if (d->user && !d->let_in) {
		d->stop = "the server did not let the user in; the letter was not sent";
		return CURL_READFUNC_ABORT;
	}
	memcpy(to, d->bytes + d->at, n);
	d->at += n;
	d->ended = n == 0;
	return n;
}

/* A bare line end is what smuggles a second mail past one of two servers that read it differently. */
static bool line_ends_fine(const char *bytes, size_t n)
{
	for (size_t i = 0; i < n; i++) {
		if (bytes[i] == '\0' || (bytes[i] == '\n' && (i == 0 || bytes[i - 1] != '\r')))
			return false;
		if (bytes[i] == '\r' && (i + 1 == n || bytes[i + 1] != '\n'))
			return false;
	}
	return n >= 2 && bytes[n - 1] == '\n';
}

/* ---- set-up ---- */

static enum fault_code check_server(const struct smtp_server *s, struct mail_server *m, struct fault *f)
{
	if (!mail_server_parse(s->url, m))
		return fault_set(f, FAULT_CONFIG, "the mail server is no smtp:// or smtps:// with a host and a port");
	if (s->clear && (m->tls || !hostport_is_loopback(m->host)))
		return fault_set(f, FAULT_CONFIG,
				 "%s: mail in clear goes only to this machine; smtp://127.0.0.1, or no clear", m->host);
	return FAULT_NONE;
}

static CURLcode set_server(CURL *easy, const struct smtp_server *s, const struct mail_server *m)
{
	CURLcode rc = CURLE_OK;
	char url[URL_SIZE];
	snprintf(url, sizeof url, "%s://%s:%d", m->tls ? "smtps" : "smtp", m->host, m->port);
#define SET(option, value) (rc = rc != CURLE_OK ? rc : curl_easy_setopt(easy, option, value))
	SET(CURLOPT_URL, url);
	SET(CURLOPT_PROTOCOLS_STR, "smtp,smtps");
	SET(CURLOPT_PROXY, ""); /* nor one of the environment */
	SET(CURLOPT_USE_SSL, s->clear ? (long)CURLUSESSL_NONE : (long)CURLUSESSL_ALL);
	SET(CURLOPT_SSLVERSION, (long)CURL_SSLVERSION_TLSv1_2);
	SET(CURLOPT_SSL_VERIFYPEER, 1L);
	SET(CURLOPT_SSL_VERIFYHOST, 2L);
	if (s->ca_file != NULL && s->ca_file[0] != '\0')
		SET(CURLOPT_CAINFO, s->ca_file);
	if (s->user != NULL && s->user[0] != '\0') {
		SET(CURLOPT_USERNAME, s->user);
		SET(CURLOPT_PASSWORD, s->password);
		/* Only what user and password are meant for: no ticket or token of this machine. */
		SET(CURLOPT_LOGIN_OPTIONS, "AUTH=PLAIN;AUTH=LOGIN;AUTH=CRAM-MD5");
	}
	SET(CURLOPT_CONNECTTIMEOUT_MS, s->limits.connect_ms);
	SET(CURLOPT_SERVER_RESPONSE_TIMEOUT, s->limits.reply_s);
	SET(CURLOPT_TIMEOUT_MS, s->limits.total_ms);
#undef SET
	return rc;
}

/* CURLOPT_NOSIGNAL stays off: libcurl then sees to it that a broken connection does not end the program. */
static CURLcode set_letter(CURL *easy, const char *from, struct curl_slist *to, struct dialogue *d, char *error)
{
	CURLcode rc = CURLE_OK;
#define SET(option, value) (rc = rc != CURLE_OK ? rc : curl_easy_setopt(easy, option, value))
	SET(CURLOPT_MAIL_FROM, from);
	SET(CURLOPT_MAIL_RCPT, to);
	SET(CURLOPT_UPLOAD, 1L);
	SET(CURLOPT_FORBID_REUSE, 1L); /* the goodbye is said by this handle, by its limits */
	SET(CURLOPT_READFUNCTION, give_bytes);
	SET(CURLOPT_READDATA, d);
	SET(CURLOPT_HEADERFUNCTION, take_line);
	SET(CURLOPT_HEADERDATA, d);
	SET(CURLOPT_ERRORBUFFER, error);
#undef SET
	return rc;
}

/* ---- what came of it ---- */

enum { KIND = 100, FINE = 2, FOR_NOW = 4, FOR_GOOD = 5 };

static enum post_result result_of(const struct dialogue *d, CURLcode rc, long code)
{
	if (d->stop != NULL && !d->ended)
		return POST_LATER;
	if (rc == CURLE_OK || (d->ended && code / KIND == FINE)) /* RFC 5321 4.2: the first digit decides */
		return POST_SENT;
	if (code / KIND == FOR_GOOD)
		return POST_REFUSED;
	return d->ended && code / KIND != FOR_NOW ? POST_UNKNOWN : POST_LATER;
}

static enum fault_code say(const struct dialogue *d, CURLcode rc, long code, const char *error, enum post_result result,
			   struct fault *f)
{
	if (d->stop != NULL && !d->ended)
		return fault_set(f, FAULT_UNAVAILABLE, "%s", d->stop);
	if (result == POST_UNKNOWN)
		return fault_set(f, FAULT_TRY_LATER,
				 "no answer to the whole letter; whether it was taken is not known (%s)",
				 error[0] != '\0' ? error : curl_easy_strerror(rc));
	if (result == POST_REFUSED)
		return fault_set(f, FAULT_UNAVAILABLE, "the server refuses: %s", d->line);
	if (code / KIND == FOR_NOW)
		return fault_set(f, FAULT_TRY_LATER, "the server refuses for now: %s", d->line);
	if (rc == CURLE_USE_SSL_FAILED)
		return fault_set(f, FAULT_UNAVAILABLE, "the server offers no STARTTLS; nothing was sent in clear");
	if (rc == CURLE_LOGIN_DENIED)
		return fault_set(f, FAULT_UNAVAILABLE, "the server takes no password in a way that is known here");
	return failure_set(rc, error[0] != '\0' ? error : curl_easy_strerror(rc), f);
}

static enum fault_code perform(CURL *easy, const struct smtp_server *s, const struct mail_server *m, const char *from,
			       struct curl_slist *to, struct dialogue *d, enum post_result *result, struct fault *f)
{
	char error[CURL_ERROR_SIZE] = "";
	long code = 0;
	CURLcode rc = set_server(easy, s, m);
	if (rc == CURLE_OK)
		rc = set_letter(easy, from, to, d, error);
	if (rc != CURLE_OK)
		return fault_set(f, rc == CURLE_OUT_OF_MEMORY ? FAULT_MEMORY : FAULT_SOFTWARE,
				 "libcurl refuses an option: %s", curl_easy_strerror(rc));
	rc = curl_easy_perform(easy);
	curl_easy_getinfo(easy, CURLINFO_RESPONSE_CODE, &code);
	curl_easy_setopt(easy, CURLOPT_ERRORBUFFER, NULL);
	*result = result_of(d, rc, code);
	if (*result == POST_SENT)
		return FAULT_NONE;
	return say(d, rc, code, error, *result, f);
}

static enum fault_code send_one(const struct smtp_server *s, const struct mail_server *m, const char *from,
				const char *to, struct dialogue *d, enum post_result *result, struct fault *f)
{
	if (library_begin(f) != FAULT_NONE)
		return f->code;
	CURL *easy = d->easy = curl_easy_init();
	struct curl_slist *list = curl_slist_append(NULL, to);
	enum fault_code code;
	if (easy != NULL && list != NULL)
		code = perform(easy, s, m, from, list, d, result, f);
	else
		code = fault_set(f, FAULT_MEMORY, "no memory to set libcurl up");
	curl_easy_cleanup(easy);
	curl_slist_free_all(list);
	library_end();
	return code;
}

enum fault_code smtp_send(const struct smtp_server *server, const char *from, const char *to, const char *bytes,
			  size_t n, enum post_result *result, struct fault *f)
{
	struct mail_server m;
	struct dialogue d = {.bytes = bytes, .n = n, .user = server->user != NULL && server->user[0] != '\0'};
	*result = POST_LATER;
	if (mail_address_check(from, f) != FAULT_NONE || mail_address_check(to, f) != FAULT_NONE ||
	    check_server(server, &m, f) != FAULT_NONE)
		return f->code;
	if (!line_ends_fine(bytes, n))
		return fault_set(f, FAULT_SOFTWARE, "a line of the message does not end by CR LF");
	d.starttls = !m.tls && !server->clear;
	long refused = mem_refused();
	if (send_one(server, &m, from, to, &d, result, f) == FAULT_NONE)
		return FAULT_NONE;
	/* libcurl says of little why it failed. */
	if (*result == POST_LATER && mem_refused() != refused)
		return fault_set(f, FAULT_MEMORY, "no memory for a letter");
	return fault_place(f, "%s:%d: ", m.host, m.port);
}
