#include "cli/deliver.h"

#include <signal.h>
#include <stdio.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

#include "base/instant.h"
#include "lib/faultvfs.h"
#include "lib/harness.h"
#include "lib/letterbed.h"
#include "record/outbox.h"

static struct letterbed bed;

static void set_up(void)
{
	letterbed_open(&bed);
}

static void tear_down(void)
{
	letterbed_close(&bed);
}

/* ---- one run ---- */

static const struct {
	const char *name, *script;
	int patience_s;
	enum mail_unknown unknown;
	enum fault_code code;
	enum letter_state state;
	size_t asked, mails;
	int slept_s;
} runs[] = {
    {"sent", "s", 300, MAIL_RESEND, FAULT_NONE, LETTER_SENT, 1, 1, 0},
    {"for now no, then sent", "ls", 300, MAIL_RESEND, FAULT_NONE, LETTER_SENT, 2, 1, 30},
    {"thrice no", "llls", 300, MAIL_RESEND, FAULT_NONE, LETTER_SENT, 4, 1, 30 + 90 + 180},
    {"no to the end", "l", 300, MAIL_RESEND, FAULT_TRY_LATER, LETTER_COMPOSED, 4, 0, 30 + 90 + 180},
    {"no to the end of long patience", "l", 3600, MAIL_RESEND, FAULT_TRY_LATER, LETTER_COMPOSED, 7, 0,
     30 + 90 + 180 + 360 + 600 + 900},
    {"no patience", "l", 0, MAIL_RESEND, FAULT_TRY_LATER, LETTER_COMPOSED, 1, 0, 0},
    {"a setting does not mend itself", "c", 300, MAIL_RESEND, FAULT_CONFIG, LETTER_COMPOSED, 1, 0, 0},
    {"refused for good", "r", 300, MAIL_RESEND, FAULT_UNAVAILABLE, LETTER_FAILED, 1, 0, 0},
    {"no, then refused", "lr", 300, MAIL_RESEND, FAULT_UNAVAILABLE, LETTER_FAILED, 2, 0, 30},
    {"lost, and sent once more", "xs", 300, MAIL_RESEND, FAULT_NONE, LETTER_SENT, 2, 1, 30},
    {"arrived without a word, and once more", "us", 300, MAIL_RESEND, FAULT_NONE, LETTER_SENT, 2, 2, 30},
    {"never a word: twice, no more", "u", 300, MAIL_RESEND, FAULT_TRY_LATER, LETTER_UNKNOWN, 2, 2, 30},
    {"lost, no for now, sent", "xls", 300, MAIL_RESEND, FAULT_NONE, LETTER_SENT, 3, 1, 120},
    {"lost, no for now, lost", "xlx", 300, MAIL_RESEND, FAULT_TRY_LATER, LETTER_UNKNOWN, 3, 0, 120},
    {"never twice", "u", 300, MAIL_NEVER, FAULT_TRY_LATER, LETTER_UNKNOWN, 1, 1, 0},
    {"unknown without patience", "u", 0, MAIL_RESEND, FAULT_TRY_LATER, LETTER_UNKNOWN, 1, 1, 0},
};

START_TEST(one_run)
{
	bed.script = runs[_i].script;
	bed.delivery.patience_s = runs[_i].patience_s;
	bed.mail.unknown = (int)runs[_i].unknown;
	ROW_INT(runs[_i].name, letterbed_run(&bed), runs[_i].code);
	ROW_STR(runs[_i].name, letter_state_name(letterbed_letter(&bed, LETTERBED_TO).state),
		letter_state_name(runs[_i].state));
	ROW_INT(runs[_i].name, bed.log->asked, runs[_i].asked);
	ROW_INT(runs[_i].name, bed.log->n, runs[_i].mails);
	ROW_INT(runs[_i].name, bed.slept_ms, runs[_i].slept_s * 1000);
	/* What did not go is said, with who it was for. */
	ROW_INT(runs[_i].name, bed.wrong.n, runs[_i].code != FAULT_NONE);
	if (bed.wrong.n > 0)
		ROW_TRUE(runs[_i].name,
			 strncmp(bed.wrong.at[0].text, LETTERBED_TO ": ", strlen(LETTERBED_TO) + 2) == 0);
}
END_TEST

/* ---- the run after ---- */

static const struct {
	const char *name, *first, *second;
	int patience_s;
	enum mail_unknown unknown;
	enum fault_code code;
	enum letter_state state;
	size_t mails; /* of both */
} seconds[] = {
    {"sent is sent", "s", "s", 0, MAIL_RESEND, FAULT_NONE, LETTER_SENT, 1},
    {"what waits goes", "l", "s", 0, MAIL_RESEND, FAULT_NONE, LETTER_SENT, 1},
    {"what waits waits on", "l", "l", 0, MAIL_RESEND, FAULT_TRY_LATER, LETTER_COMPOSED, 0},
    {"refused, and the setting mended", "r", "s", 0, MAIL_RESEND, FAULT_NONE, LETTER_SENT, 1},
    {"unknown goes once more", "u", "s", 0, MAIL_RESEND, FAULT_NONE, LETTER_SENT, 2},
    {"lost goes once more", "x", "s", 0, MAIL_RESEND, FAULT_NONE, LETTER_SENT, 1},
    {"unknown twice is left", "u", "s", 300, MAIL_RESEND, FAULT_TRY_LATER, LETTER_UNKNOWN, 2},
    {"unknown is left where it is to be", "u", "s", 0, MAIL_NEVER, FAULT_TRY_LATER, LETTER_UNKNOWN, 1},
};

START_TEST(the_run_after)
{
	bed.delivery.patience_s = seconds[_i].patience_s;
	bed.mail.unknown = (int)seconds[_i].unknown;
	bed.script = seconds[_i].first;
	enum fault_code first = letterbed_run(&bed);
	ROW_INT(seconds[_i].name, first == FAULT_NONE, seconds[_i].first[0] == 's');
	/* It is the first note that goes, whatever would be said now. */
	bed.script = seconds[_i].second;
	bed.text = "WAIT\n";
	bed.subject = "WAIT";
	bed.now += 3600;
	ROW_INT(seconds[_i].name, letterbed_run(&bed), seconds[_i].code);
	ROW_TRUE(seconds[_i].name, !bed.composed);
	ROW_STR(seconds[_i].name, letter_state_name(letterbed_letter(&bed, LETTERBED_TO).state),
		letter_state_name(seconds[_i].state));
	ROW_INT(seconds[_i].name, bed.log->n, seconds[_i].mails);
	for (size_t i = 0; i < bed.log->n; i++) {
		ROW_STR(seconds[_i].name, bed.log->mail[i].body, "COVER tom-1\n");
		ROW_STR(seconds[_i].name, bed.log->mail[i].subject, "COVER tom-1 (Quarry Lane, Tue 19 May)");
		ROW_STR(seconds[_i].name, bed.log->mail[i].date, "1779185820 -18000");
		ROW_STR(seconds[_i].name, bed.log->mail[i].id, bed.log->mail[0].id);
	}
}
END_TEST

/* ---- a run that is killed, and the one after ---- */

static const struct {
	const char *name;
	enum deliver_step at;
	enum mail_unknown unknown;
	size_t before; /* mails when the first run died */
	enum fault_code code;
	enum letter_state state;
	size_t mails; /* in the end */
} kills[] = {
    {"composed", DELIVER_COMPOSED, MAIL_RESEND, 0, FAULT_NONE, LETTER_SENT, 1},
    {"about to send", DELIVER_SENDING, MAIL_RESEND, 0, FAULT_NONE, LETTER_SENT, 1},
    {"handed over", DELIVER_HANDED, MAIL_RESEND, 1, FAULT_NONE, LETTER_SENT, 2},
    {"handed over and written down", DELIVER_KEPT, MAIL_RESEND, 1, FAULT_NONE, LETTER_SENT, 1},
    {"composed, never twice", DELIVER_COMPOSED, MAIL_NEVER, 0, FAULT_NONE, LETTER_SENT, 1},
    {"about to send, never twice", DELIVER_SENDING, MAIL_NEVER, 0, FAULT_TRY_LATER, LETTER_UNKNOWN, 0},
    {"handed over, never twice", DELIVER_HANDED, MAIL_NEVER, 1, FAULT_TRY_LATER, LETTER_UNKNOWN, 1},
    {"written down, never twice", DELIVER_KEPT, MAIL_NEVER, 1, FAULT_NONE, LETTER_SENT, 1},
};

START_TEST(killed)
{
	bed.mail.unknown = (int)kills[_i].unknown;
	bed.kill_at = (int)kills[_i].at;
	int status = letterbed_run_apart(&bed);
	ROW_TRUE(kills[_i].name, WIFSIGNALED(status) && WTERMSIG(status) == SIGKILL);
	ROW_INT(kills[_i].name, bed.log->n, kills[_i].before);
	bed.kill_at = LETTERBED_NO_KILL;
	for (int again = 0; again < 3; again++) {
		bed.now += 600;
		ROW_INT(kills[_i].name, letterbed_run(&bed), kills[_i].code);
		ROW_INT(kills[_i].name, bed.log->n, kills[_i].mails);
		ROW_STR(kills[_i].name, letter_state_name(letterbed_letter(&bed, LETTERBED_TO).state),
			letter_state_name(kills[_i].state));
	}
	for (size_t i = 1; i < bed.log->n; i++)
		ROW_STR(kills[_i].name, bed.log->mail[i].id, bed.log->mail[0].id);
}
END_TEST

/* At every call to the disk: never more than two mails, those two the same, and one at least in the end. */
START_TEST(killed_at_any_call)
{
	enum { MOST = 2000 };
	long point = 0;
	faultvfs_install();
	for (int status = SIGKILL; WIFSIGNALED(status); point++) {
		tear_down();
		set_up();
		pid_t pid = fork();
		ck_assert_int_ge(pid, 0);
		if (pid == 0) {
			faultvfs_kill_after(point);
			_exit((int)letterbed_run(&bed));
		}
		ck_assert_int_eq(waitpid(pid, &status, 0), pid);
		ck_assert(WIFSIGNALED(status) || WEXITSTATUS(status) == 0);
		ROW_MSG(letterbed_run(&bed) == FAULT_NONE, "point %ld: %s", point, bed.f.text);
		ROW_MSG(bed.log->n == 1 || (bed.log->n == 2 && strcmp(bed.log->mail[0].id, bed.log->mail[1].id) == 0),
			"point %ld: %zu mails", point, bed.log->n);
		ck_assert_int_lt(point, MOST);
	}
	ck_assert_int_gt(point, 20);
}
END_TEST

/* ---- days ---- */

START_TEST(yesterdays_note_is_not_sent)
{
	static const struct {
		const char *script;
		enum letter_state state;
	} rows[] = {{"l", LETTER_EXPIRED}, {"x", LETTER_UNKNOWN}, {"r", LETTER_FAILED}};
	bed.script = rows[_i].script;
	bed.delivery.patience_s = 0;
	ck_assert_int_ne(letterbed_run(&bed), FAULT_NONE);
	bed.now += DAY_S;
	bed.script = "s";
	bed.text = "WAIT\n";
	ck_assert_int_eq(letterbed_run(&bed), FAULT_NONE);
	ck_assert(bed.composed);
	ck_assert_uint_eq(bed.log->n, 1);
	ck_assert_str_eq(bed.log->mail[0].body, "WAIT\n");
	ck_assert_str_eq(letter_state_name(letterbed_letter(&bed, LETTERBED_TO).state),
			 letter_state_name(rows[_i].state));
}
END_TEST

/* A run that waits for a server past midnight leaves the letter. */
START_TEST(not_past_midnight)
{
	bed.now = LETTERBED_NOW + DAY_S - 5 * HOUR_S - 17 * 60 - 60; /* 23:59 of the 19th */
	bed.script = "lls";
	ck_assert_int_eq(letterbed_run(&bed), FAULT_TRY_LATER);
	ck_assert_uint_eq(bed.log->asked, 2);
	ck_assert_uint_eq(bed.log->n, 0);
}
END_TEST

/* ---- recipients ---- */

START_TEST(each_of_several)
{
	static const char *const to[] = {"a@example.org", "b@example.org", "c@example.org"};
	bed.mail.n_to = 3;
	for (size_t i = 0; i < 3; i++)
		(void)snprintf(bed.mail.to[i], sizeof bed.mail.to[i], "%s", to[i]);
	bed.script = "srs"; /* the second is refused */
	ck_assert_int_eq(letterbed_run(&bed), FAULT_UNAVAILABLE);
	ck_assert_uint_eq(bed.log->n, 2);
	ck_assert_str_eq(bed.log->mail[0].to, "a@example.org");
	ck_assert_str_eq(bed.log->mail[1].to, "c@example.org");
	ck_assert_str_ne(bed.log->mail[0].id, bed.log->mail[1].id);
	ck_assert_uint_eq(bed.wrong.n, 1);
	ck_assert_str_eq(bed.wrong.at[0].text, "b@example.org: refused");
	bed.script = "s";
	ck_assert_int_eq(letterbed_run(&bed), FAULT_NONE);
	ck_assert_uint_eq(bed.log->n, 3);
	ck_assert_str_eq(bed.log->mail[2].to, "b@example.org");
}
END_TEST

/* Who is added to the list in the course of the morning gets the note of then; the others get no second one. */
START_TEST(one_more_recipient)
{
	ck_assert_int_eq(letterbed_run(&bed), FAULT_NONE);
	bed.mail.n_to = 2;
	(void)snprintf(bed.mail.to[1], sizeof bed.mail.to[1], "neighbour@example.org");
	bed.text = "WAIT\n";
	ck_assert_int_eq(letterbed_run(&bed), FAULT_NONE);
	ck_assert_uint_eq(bed.log->n, 2);
	ck_assert_str_eq(bed.log->mail[1].to, "neighbour@example.org");
	ck_assert_str_eq(bed.log->mail[1].body, "WAIT\n");
}
END_TEST

START_TEST(evening_is_another_letter)
{
	ck_assert_int_eq(letterbed_run(&bed), FAULT_NONE);
	bed.delivery.kind = LETTER_EVENING;
	ck_assert_int_eq(letterbed_run(&bed), FAULT_NONE);
	ck_assert_uint_eq(bed.log->n, 2);
	ck_assert_str_ne(bed.log->mail[0].id, bed.log->mail[1].id);
}
END_TEST

/* ---- a disk without room ---- */

/* From any call on that would write, the disk has no room: the note goes all the same, and the code says it. */
START_TEST(disk_full)
{
	enum { MOST = 2000 };
	faultvfs_install();
	long point = 0;
	bool fine = false;
	for (; !fine; point++) {
		tear_down();
		set_up();
		faultvfs_full_after(point);
		enum fault_code code = letterbed_run(&bed);
		faultvfs_full_after(-1);
		fine = code == FAULT_NONE;
		/* Where not even what has expired could be written, nothing is known of earlier runs: nothing goes. */
		ROW_MSG(fine || code == FAULT_IO, "point %ld: code %d, %s", point, (int)code, bed.f.text);
		ROW_MSG(fine || bed.wrong.n > 0 || bed.f.text[0] != '\0', "point %ld: nothing said", point);
		ROW_MSG(bed.log->n <= 1, "point %ld: %zu mails", point, bed.log->n);
		/* With room again the note is there, twice at most. */
		ROW_MSG(letterbed_run(&bed) == FAULT_NONE, "point %ld, after: %s", point, bed.f.text);
		ROW_MSG(bed.log->n == 1 || (bed.log->n == 2 && strcmp(bed.log->mail[0].id, bed.log->mail[1].id) == 0),
			"point %ld: %zu mails in the end", point, bed.log->n);
		ck_assert_int_lt(point, MOST);
	}
	ck_assert_int_gt(point, 5);
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("cli/deliver");
	TCase *t = tcase_create("deliver");
	tcase_add_checked_fixture(t, set_up, tear_down);
	tcase_set_timeout(t, 120); /* hundreds of runs that are killed */
	tcase_add_loop_test(t, one_run, 0, (int)(sizeof runs / sizeof *runs));
	tcase_add_loop_test(t, the_run_after, 0, (int)(sizeof seconds / sizeof *seconds));
	tcase_add_loop_test(t, killed, 0, (int)(sizeof kills / sizeof *kills));
	tcase_add_test(t, killed_at_any_call);
	tcase_add_loop_test(t, yesterdays_note_is_not_sent, 0, 3);
	tcase_add_test(t, not_past_midnight);
	tcase_add_test(t, each_of_several);
	tcase_add_test(t, one_more_recipient);
	tcase_add_test(t, evening_is_another_letter);
	tcase_add_test(t, disk_full);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
