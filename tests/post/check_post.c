#include "post/post.h"

#include <dirent.h>
#include <fcntl.h>
#include <signal.h>
#include <stdio.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/file.h"
#include "base/mem.h"
#include "lib/harness.h"
#include "lib/scratch.h"
#include "lib/smtpserver.h"
#include "lib/unmail.h"
#include "post/maildir.h"

#define PASSWORD        "courgette-4711-secret" /* invented */
#define PASSWORD_BASE64 "AGdyb3dlcgBjb3VyZ2V0dGUtNDcxMS1zZWNyZXQ="

static const char BODY[] = "Cover the bed tonight: 3 \xc2\xb0"
			   "C.\n.\nFrom here on it warms up.\n";
static const char SUBJECT[] = "Cover the bed tonight: 3 \xc2\xb0"
			      "C";

static char folder[SCRATCH_SIZE];
static struct mail mail;
static struct fault f;
static enum post_result result;
static struct text t;

static void set_up(void)
{
	scratch_make(folder);
	mail = (struct mail){.n_to = 1, .to = {"grower@example.org"}, .from = "garden@example.org"};
	f = (struct fault){0};
	text_init(&t, MESSAGE_MAX);
}

static void remove_in(const char *name)
{
	char path[SCRATCH_SIZE];
	scratch_path(folder, name, path);
	if (access(path, F_OK) == 0)
		scratch_remove(path);
}

static void tear_down(void)
{
	static const char *const folders[] = {"box/tmp", "box/new", "box/cur", "box"};
	for (size_t i = 0; i < 4; i++)
		remove_in(folders[i]);
	scratch_remove(folder);
	text_free(&t);
}

static struct message letter(void)
{
	struct message m = {
	    .from = mail.from,
	    .to = mail.to[0],
	    .from_name = "Quarry Lane",
	    .subject = SUBJECT,
	    .body = BODY,
	    .at = INT64_C(1778584620), /* 2026-05-12T11:17:00Z */
	    .offset_s = -18000,
	    .garden = "quarry-lane",
	    .kind = "morning",
	};
	ck_assert(date_of(2026, 5, 12, &m.day));
	return m;
}

static void check_message(const char *bytes)
{
	text_clear(&t);
	ck_assert(unmail_field(bytes, "Subject", &t));
	struct text s;
	text_init(&s, MESSAGE_MAX);
	unmail_words(t.at, t.len, &s);
	ck_assert_str_eq(s.at, SUBJECT);
	text_free(&s);
	text_clear(&t);
	const char *body = unmail_body(bytes);
	unmail_quoted(body, strlen(body), &t);
	ck_assert_str_eq(t.at, BODY);
}

/* ---- SMTP ---- */

static enum fault_code by_smtp(struct smtpserver *s, const struct smtpserver_how *how, const char *credentials)
{
	const struct message m = letter();
	smtpserver_start(s, how);
	snprintf(mail.server, sizeof mail.server, "smtp://127.0.0.1:%d", s->port);
	mail.way = MAIL_SMTP;
	mail.clear = true;
	struct post_settings settings = post_settings_default(&mail);
	settings.credentials = credentials;
	return post_send(&settings, &m, &result, &f);
}

START_TEST(smtp)
{
	struct smtpserver s;
	struct text plain;
	size_t n;
	ck_assert_msg(by_smtp(&s, &(struct smtpserver_how){0}, NULL) == FAULT_NONE, "%s", f.text);
	ck_assert_int_eq(result, POST_SENT);
	const char *got = smtpserver_mail(&s, 0, &n);
	unmail_lines("mail", got, n, 78);
	text_init(&plain, MESSAGE_MAX);
	unmail_dots(got, n, &plain);
	check_message(plain.at);
	text_free(&plain);
	smtpserver_stop(&s);
}
END_TEST

static void write_password(const char *name, mode_t mode)
{
	char path[SCRATCH_SIZE];
	scratch_path(folder, name, path);
	int fd = open(path, O_WRONLY | O_CREAT, 0600);
	ck_assert_int_ge(fd, 0);
	ck_assert_int_eq(write(fd, PASSWORD "\n", strlen(PASSWORD) + 1), (ssize_t)strlen(PASSWORD) + 1);
	ck_assert_int_eq(fchmod(fd, mode), 0);
	ck_assert_int_eq(close(fd), 0);
}

static const struct {
	const char *name, *file; /* of the password; NULL: a credential */
	mode_t mode;             /* 0: there is none */
	bool credentials;
	enum fault_code code;
} passwords[] = {
    {"from a file", "password", 0600, false, FAULT_NONE},
    {"from the service manager", NULL, 0400, true, FAULT_NONE},
    {"a file that others read", "password", 0644, false, FAULT_PERMISSION},
    {"no such file", "password", 0, false, FAULT_NO_INPUT},
    {"no such credential", NULL, 0, true, FAULT_NO_INPUT},
    {"none at all", NULL, 0, false, FAULT_CONFIG},
};

START_TEST(password)
{
	const struct smtpserver_how how = {.auth = true};
	const char *name = passwords[_i].name;
	struct smtpserver s;
	memcpy(mail.user, "grower", sizeof "grower");
	if (passwords[_i].mode != 0)
		write_password(passwords[_i].file != NULL ? passwords[_i].file : "smtp", passwords[_i].mode);
	if (passwords[_i].file != NULL)
		snprintf(mail.password_file, sizeof mail.password_file, "%s/%s", folder, passwords[_i].file);
	ROW_MSG(by_smtp(&s, &how, passwords[_i].credentials ? folder : NULL) == passwords[_i].code, "%s: %s", name,
		f.text);
	bool fine = passwords[_i].code == FAULT_NONE;
	ROW_INT(name, result, fine ? POST_SENT : POST_LATER);
	ROW_INT(name, smtpserver_connections(&s), fine ? 1 : 0);
	ROW_INT(name, strstr(smtpserver_said(&s), PASSWORD_BASE64) != NULL, fine);
	ROW_TRUE(name, strstr(f.text, PASSWORD) == NULL);
	smtpserver_stop(&s);
}
END_TEST

/* A message that cannot be put together goes nowhere. */
START_TEST(unfit_message)
{
	static const int ways[] = {MAIL_SMTP, MAIL_SENDMAIL, MAIL_MAILDIR};
	struct post_settings settings = post_settings_default(&mail);
	struct message m = letter();
	m.subject = "a\r\nBcc: other@example.org";
	mail.way = ways[_i];
	snprintf(mail.folder, sizeof mail.folder, "%s/box", folder);
	memcpy(mail.server, "smtp://127.0.0.1:1", sizeof "smtp://127.0.0.1:1");
	memcpy(mail.program, "/bin/true", sizeof "/bin/true");
	ck_assert_int_eq(post_send(&settings, &m, &result, &f), FAULT_CONFIG);
	ck_assert_int_eq(result, POST_LATER);
	ck_assert_msg(strncmp(f.text, "subject has", 11) == 0, "%s", f.text);
	ck_assert_int_ne(access(mail.folder, F_OK), 0);
}
END_TEST

/* ---- Maildir ---- */

static enum fault_code by_maildir(void)
{
	const struct post_settings settings = post_settings_default(&mail);
	const struct message m = letter();
	mail.way = MAIL_MAILDIR;
	snprintf(mail.folder, sizeof mail.folder, "%s/box", folder);
	return post_send(&settings, &m, &result, &f);
}

/* How many files a folder of the box has; the last one's path. */
static size_t files_in(const char *name, char path[static SCRATCH_SIZE])
{
	char in[SCRATCH_SIZE];
	size_t n = 0;
	scratch_path(folder, name, in);
	DIR *d = opendir(in);
	ck_assert_msg(d != NULL, "%s", in);
	for (struct dirent *e = readdir(d); e != NULL; e = readdir(d)) {
		if (e->d_name[0] == '.')
			continue;
		ck_assert_ptr_null(strpbrk(e->d_name, ":/"));
		scratch_path(in, e->d_name, path);
		n++;
	}
	closedir(d);
	return n;
}

static void check_mode(const char *path, mode_t mode)
{
	struct stat st;
	ck_assert_int_eq(stat(path, &st), 0);
	ROW_INT(path, st.st_mode & 07777, mode);
}

START_TEST(maildir)
{
	static const char *const folders[] = {"box", "box/tmp", "box/new", "box/cur"};
	char path[SCRATCH_SIZE];
	char *bytes = NULL;
	size_t n;
	ck_assert_msg(by_maildir() == FAULT_NONE, "%s", f.text);
	ck_assert_int_eq(result, POST_SENT);
	for (size_t i = 0; i < 4; i++) {
		scratch_path(folder, folders[i], path);
		check_mode(path, 0700);
	}
	ck_assert_uint_eq(files_in("box/tmp", path), 0);
	ck_assert_uint_eq(files_in("box/cur", path), 0);
	ck_assert_uint_eq(files_in("box/new", path), 1);
	check_mode(path, 0600);
	ck_assert_int_eq(file_read(path, MESSAGE_MAX, &bytes, &n, &f), FAULT_NONE);
	ck_assert_uint_eq(strlen(bytes), n);
	ck_assert_ptr_null(strchr(bytes, '\r'));
	/* The reader of the tests wants the line ends of mail. */
	struct text crlf;
	text_init(&crlf, MESSAGE_MAX);
	for (size_t i = 0; i < n; i++) {
		if (bytes[i] == '\n')
			text_add(&crlf, "\r");
		text_add_n(&crlf, bytes + i, 1);
	}
	check_message(crlf.at);
	text_free(&crlf);
	mem_free(bytes);
}
END_TEST

/* Sent once more, it lies there once; so it does after a run that was killed with a half in tmp. */
START_TEST(maildir_again)
{
	char path[SCRATCH_SIZE], half[2 * SCRATCH_SIZE + 16];
	ck_assert_int_eq(by_maildir(), FAULT_NONE);
	ck_assert_uint_eq(files_in("box/new", path), 1);
	snprintf(half, sizeof half, "%s/box/tmp/%s", folder, strrchr(path, '/') + 1);
	ck_assert_int_eq(rename(path, half), 0);
	ck_assert_int_eq(truncate(half, 10), 0);
	ck_assert_int_eq(by_maildir(), FAULT_NONE);
	ck_assert_int_eq(by_maildir(), FAULT_NONE);
	ck_assert_int_eq(result, POST_SENT);
	ck_assert_uint_eq(files_in("box/new", path), 1);
	ck_assert_uint_eq(files_in("box/tmp", path), 0);
	/* To another recipient it is another mail. */
	memcpy(mail.to[0], "other@example.org", sizeof "other@example.org");
	ck_assert_int_eq(by_maildir(), FAULT_NONE);
	ck_assert_uint_eq(files_in("box/new", path), 2);
}
END_TEST

START_TEST(maildir_impossible)
{
	char path[SCRATCH_SIZE];
	scratch_path(folder, "box", path);
	int fd = open(path, O_WRONLY | O_CREAT, 0600);
	ck_assert_int_ge(fd, 0);
	close(fd);
	ck_assert_int_eq(by_maildir(), FAULT_CREATE);
	ck_assert_int_eq(result, POST_LATER);
	ck_assert_msg(strncmp(f.text, path, strlen(path)) == 0, "%s", f.text);
	ck_assert_int_eq(unlink(path), 0);
}
END_TEST

/* No room for all of it: the mail must not be there in part. */
START_TEST(maildir_full)
{
	char path[SCRATCH_SIZE];
	struct rlimit room;
	ck_assert_int_eq(getrlimit(RLIMIT_FSIZE, &room), 0);
	room.rlim_cur = 100;
	signal(SIGXFSZ, SIG_IGN);
	ck_assert_int_eq(setrlimit(RLIMIT_FSIZE, &room), 0);
	enum fault_code code = by_maildir();
	room.rlim_cur = room.rlim_max;
	ck_assert_int_eq(setrlimit(RLIMIT_FSIZE, &room), 0);
	ck_assert_int_eq(code, FAULT_IO);
	ck_assert_int_eq(result, POST_LATER);
	ck_assert_msg(strstr(f.text, "cannot be written") != NULL, "%s", f.text);
	ck_assert_uint_eq(files_in("box/new", path), 0);
	ck_assert_uint_eq(files_in("box/tmp", path), 0);
	/* And with room once more it is. */
	ck_assert_int_eq(by_maildir(), FAULT_NONE);
	ck_assert_uint_eq(files_in("box/new", path), 1);
}
END_TEST

/* A link put in the place of the file is not followed. */
START_TEST(maildir_link)
{
	char box[SCRATCH_SIZE], aim[SCRATCH_SIZE], tmp[SCRATCH_SIZE];
	ck_assert_int_eq(by_maildir(), FAULT_NONE);
	scratch_path(folder, "box", box);
	scratch_path(folder, "aim", aim);
	scratch_path(folder, "box/tmp/1.a", tmp);
	ck_assert_int_eq(symlink(aim, tmp), 0);
	ck_assert_int_eq(maildir_put(box, 1, "a@b", "x\n", 2, &result, &f), FAULT_CREATE);
	ck_assert_int_eq(result, POST_LATER);
	ck_assert_int_ne(access(aim, F_OK), 0);
}
END_TEST

/* ---- sendmail ---- */

START_TEST(sendmail)
{
	char script[SCRATCH_SIZE], got[SCRATCH_SIZE];
	char *bytes = NULL;
	size_t n;
	const struct post_settings settings = post_settings_default(&mail);
	const struct message m = letter();
	scratch_path(folder, "program", script);
	scratch_path(folder, "got", got);
	FILE *to = fopen(script, "w");
	ck_assert_ptr_nonnull(to);
	fprintf(to, "#!/bin/sh\nsed 's/$/\\r/' >'%s'\n", got);
	ck_assert_int_eq(fclose(to), 0);
	ck_assert_int_eq(chmod(script, 0700), 0);
	mail.way = MAIL_SENDMAIL;
	memcpy(mail.program, script, sizeof script);
	ck_assert_msg(post_send(&settings, &m, &result, &f) == FAULT_NONE, "%s", f.text);
	ck_assert_int_eq(result, POST_SENT);
	ck_assert_int_eq(file_read(got, MESSAGE_MAX, &bytes, &n, &f), FAULT_NONE);
	unmail_lines("only LF came", bytes, n, 78); /* a CR of ours would stand alone by now */
	check_message(bytes);
	mem_free(bytes);
}
END_TEST

START_TEST(no_mail)
{
	static const int ways[] = {MAIL_PRINT, MAIL_FILE};
	const struct post_settings settings = post_settings_default(&mail);
	const struct message m = letter();
	mail.way = ways[_i];
	ck_assert_int_eq(post_send(&settings, &m, &result, &f), FAULT_SOFTWARE);
	ck_assert_int_eq(result, POST_LATER);
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("post");
	TCase *c = tcase_create("post");
	tcase_set_timeout(c, 60);
	tcase_add_checked_fixture(c, set_up, tear_down);
	tcase_add_test(c, smtp);
	tcase_add_loop_test(c, password, 0, (int)(sizeof passwords / sizeof passwords[0]));
	tcase_add_loop_test(c, unfit_message, 0, 3);
	tcase_add_test(c, maildir);
	tcase_add_test(c, maildir_again);
	tcase_add_test(c, maildir_impossible);
	tcase_add_test(c, maildir_full);
	tcase_add_test(c, maildir_link);
	tcase_add_test(c, sendmail);
	tcase_add_loop_test(c, no_mail, 0, 2);
	suite_add_tcase(s, c);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
