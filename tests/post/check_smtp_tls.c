#include <stdio.h>
#include <string.h>

#include "lib/harness.h"
#include "lib/smtpserver.h"
#include "lib/tlsserver.h"
#include "post/smtp.h"

#define FROM "garden@example.org"
#define TO   "grower@example.org"
/* Invented, and what AUTH PLAIN makes of it (RFC 4616 2). */
#define USER            "grower"
#define PASSWORD        "courgette-4711-secret"
#define PASSWORD_BASE64 "AGdyb3dlcgBjb3VyZ2V0dGUtNDcxMS1zZWNyZXQ="

static const char LETTER[] = "Subject: a\r\n\r\nfrost tonight\r\n.\r\n";

enum { PATIENCE_MS = 20000 };

static char folder[SCRATCH_SIZE];

/* Once for all tests, in the parent. */
static void make_folder(void)
{
	scratch_make(folder);
	tlsserver_certificates(folder);
}

static void remove_folder(void)
{
	scratch_remove(folder);
}

static enum post_result send_to(const struct smtpserver_how *how, struct smtpserver *s, const char *host,
				const char *ca, struct fault *f)
{
	char url[64], ca_path[SCRATCH_SIZE];
	enum post_result result;
	scratch_path(folder, ca != NULL ? ca : "", ca_path);
	smtpserver_start(s, how);
	snprintf(url, sizeof url, "%s://%s:%d", how->tls ? "smtps" : "smtp", host, s->port);
	const struct smtp_server server = {
	    .url = url,
	    .user = how->auth ? USER : "",
	    .password = how->auth ? PASSWORD : "",
	    .ca_file = ca != NULL ? ca_path : NULL,
	    .limits = {.connect_ms = PATIENCE_MS, .reply_s = PATIENCE_MS / 1000, .total_ms = PATIENCE_MS},
	};
	*f = (struct fault){0};
	ck_assert_int_eq(smtp_send(&server, FROM, TO, LETTER, sizeof LETTER - 1, &result, f), f->code);
	return result;
}

static const struct {
	const char *name;
	bool tls, auth;
} sent_rows[] = {
    {"STARTTLS", false, false},
    {"STARTTLS and a password", false, true},
    {"TLS from the first byte", true, false},
    {"TLS and a password", true, true},
};

START_TEST(sent)
{
	const char *name = sent_rows[_i].name;
	const struct smtpserver_how how = {.starttls = !sent_rows[_i].tls,
					   .tls = sent_rows[_i].tls,
					   .auth = sent_rows[_i].auth,
					   .folder = folder,
					   .certificate = "right"};
	struct smtpserver s;
	struct fault f;
	size_t n;
	ROW_MSG(send_to(&how, &s, "localhost", "ca.pem", &f) == POST_SENT, "%s: %s", name, f.text);
	ROW_INT(name, smtpserver_mails(&s), 1);
	const char *mail = smtpserver_mail(&s, 0, &n);
	ROW_INT(name, n, sizeof LETTER); /* a byte more than it has: the dot before a dot */
	ROW_TRUE(name, strstr(mail, "frost tonight\r\n..\r\n.\r\n") != NULL);
	ROW_INT(name, strstr(smtpserver_said(&s), PASSWORD_BASE64) != NULL, sent_rows[_i].auth);
	/* In clear there is no more than the wish for TLS. */
	const char *clear = smtpserver_clear(&s);
	ROW_MSG(sent_rows[_i].tls ? clear[0] == '\0' : strstr(clear, "\r\nSTARTTLS\r\n") != NULL, "%s: %s", name,
		clear);
	ROW_MSG(strstr(clear, "MAIL") == NULL && strstr(clear, "AUTH") == NULL, "%s: %s", name, clear);
	smtpserver_stop(&s);
}
END_TEST

static const struct refused_row {
	const char *name, *certificate, *host, *ca; /* ca NULL: the machine's */
	const char *says;
	enum fault_code code;
	bool tls, starttls; /* neither: TLS is not offered */
} refused_rows[] = {
    {"no STARTTLS", "right", "localhost", "ca.pem", "offers no STARTTLS; nothing was sent in clear", FAULT_UNAVAILABLE,
     false, false},
    {"no STARTTLS on the loopback's address", "right", "127.0.0.1", "ca.pem", "offers no STARTTLS", FAULT_UNAVAILABLE,
     false, false},
    {"nobody on this machine trusts it", "right", "localhost", NULL, "the certificate is not trusted",
     FAULT_UNAVAILABLE, false, true},
    {"of another CA", "right", "localhost", "other-ca.pem", "unable to get local issuer", FAULT_UNAVAILABLE, false,
     true},
    {"for another name", "other-name", "localhost", "ca.pem", "no alternative certificate subject name",
     FAULT_UNAVAILABLE, false, true},
    {"for a name, not for the address", "right", "127.0.0.1", "ca.pem", "no alternative certificate subject name",
     FAULT_UNAVAILABLE, false, true},
    {"expired", "expired", "localhost", "ca.pem", "certificate has expired", FAULT_UNAVAILABLE, false, true},
    {"of another CA, TLS at once", "right", "localhost", "other-ca.pem", "unable to get local issuer",
     FAULT_UNAVAILABLE, true, false},
    {"expired, TLS at once", "expired", "localhost", "ca.pem", "certificate has expired", FAULT_UNAVAILABLE, true,
     false},
    {"no such file of certificates", "right", "localhost", "none.pem",
     "the file of trusted certificates cannot be read", FAULT_CONFIG, false, true},
};

START_TEST(refused)
{
	const struct refused_row *row = &refused_rows[_i];
	/* A password is set, so that one that leaks would show. */
	const struct smtpserver_how how = {.starttls = row->starttls,
					   .tls = row->tls,
					   .auth = true,
					   .folder = folder,
					   .certificate = row->certificate};
	struct smtpserver s;
	struct fault f;
	ROW_INT(row->name, send_to(&how, &s, row->host, row->ca, &f), POST_LATER);
	ROW_MSG(f.code == row->code, "%s: code %d (%s)", row->name, (int)f.code, f.text);
	ROW_MSG(strstr(f.text, row->says) != NULL, "%s: \"%s\" is not in \"%s\"", row->name, row->says, f.text);
	ROW_INT(row->name, smtpserver_mails(&s), 0);
	const char *said = smtpserver_said(&s);
	ROW_MSG(strstr(said, "AUTH") == NULL && strstr(said, "MAIL") == NULL, "%s: %s", row->name, said);
	smtpserver_stop(&s);
}
END_TEST

/* STARTTLS said no to, and a server that takes what came in clear for what comes after. */
static const struct {
	const char *name, *answer;
	enum fault_code code;
} starttls_rows[] = {
    {"refused for now", "454 TLS not available\r\n", FAULT_TRY_LATER},
    {"refused for good", "554 no\r\n", FAULT_UNAVAILABLE},
    {"agreed to, and no TLS comes", "220 go ahead\r\n250 fine\r\n", FAULT_UNAVAILABLE},
};

START_TEST(starttls_refused)
{
	const struct smtpserver_row script = {.at = "STARTTLS", .answer = starttls_rows[_i].answer};
	const struct smtpserver_how how = {.starttls = true, .auth = true, .folder = folder, .row = &script, .rows = 1};
	const char *name = starttls_rows[_i].name;
	struct smtpserver s;
	struct fault f;
	enum post_result result = send_to(&how, &s, "localhost", "ca.pem", &f);
	ROW_MSG(result == POST_LATER || result == POST_REFUSED, "%s: %d %s", name, (int)result, f.text);
	ROW_MSG(f.code == starttls_rows[_i].code, "%s: code %d (%s)", name, (int)f.code, f.text);
	ROW_INT(name, smtpserver_mails(&s), 0);
	ROW_TRUE(name, strstr(smtpserver_said(&s), "AUTH") == NULL && strstr(smtpserver_said(&s), "MAIL") == NULL);
	smtpserver_stop(&s);
}
END_TEST

/* Within TLS none is offered: what the server said in clear before it does not count. */
START_TEST(auth_only_in_clear)
{
	const struct smtpserver_row script = {.at = "EHLO", .answer = "250-STARTTLS\r\n250-AUTH PLAIN\r\n250 HELP\r\n"};
	static const char inside[] = "250 HELP\r\n";
	const struct smtpserver_how how = {.starttls = true,
					   .auth = true,
					   .folder = folder,
					   .certificate = "right",
					   .row = &script,
					   .rows = 1,
					   .hello_inside = inside};
	struct smtpserver s;
	struct fault f;
	ck_assert_int_eq(send_to(&how, &s, "localhost", "ca.pem", &f), POST_LATER);
	ck_assert_msg(strstr(f.text, "offers no authentication") != NULL, "%s", f.text);
	ck_assert_uint_eq(smtpserver_mails(&s), 0);
	ck_assert_ptr_null(strstr(smtpserver_said(&s), "MAIL"));
	smtpserver_stop(&s);
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("post: SMTP and TLS");
	TCase *c = tcase_create("tls");
	tcase_set_timeout(c, 60);
	tcase_add_unchecked_fixture(c, make_folder, remove_folder);
#define LOOP(test, rows) tcase_add_loop_test(c, test, 0, (int)(sizeof(rows) / sizeof((rows)[0])))
	LOOP(sent, sent_rows);
	LOOP(refused, refused_rows);
	LOOP(starttls_refused, starttls_rows);
#undef LOOP
	tcase_add_test(c, auth_only_in_clear);
	suite_add_tcase(s, c);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
