#include "lib/letterbed.h"

#include <signal.h>
#include <stdio.h>
#include <string.h>
#include <sys/mman.h>
#include <sys/wait.h>
#include <unistd.h>

#include "base/instant.h"
#include "lib/harness.h"
#include "record/outbox.h"

static void note_mail(struct letterbed *b, const struct message *m)
{
	struct fault f;
	char id[MESSAGE_ID_SIZE];
	ck_assert_uint_lt(b->log->n, LETTERBED_MAILS);
	struct letterbed_mail *mail = &b->log->mail[b->log->n++];
	ck_assert_msg(message_id(m, id, &f) == FAULT_NONE, "%s", f.text);
	(void)snprintf(mail->to, sizeof mail->to, "%s", m->to);
	(void)snprintf(mail->id, sizeof mail->id, "%.200s", id);
	(void)snprintf(mail->subject, sizeof mail->subject, "%s", m->subject);
	(void)snprintf(mail->body, sizeof mail->body, "%s", m->body);
	(void)snprintf(mail->date, sizeof mail->date, "%lld %d", (long long)m->at, m->offset_s);
}

static enum fault_code play(void *context, const struct message *m, enum post_result *result, struct fault *f)
{
	struct letterbed *b = context;
	char now = *b->script;
	if (b->script[1] != '\0')
		b->script++;
	b->log->asked++;
	if (now == 's' || now == 'u')
		note_mail(b, m);
	switch (now) {
	case 's':
		*result = POST_SENT;
		return FAULT_NONE;
	case 'l':
		*result = POST_LATER;
		return fault_set(f, FAULT_TRY_LATER, "refused for now");
	case 'c':
		*result = POST_LATER;
		return fault_set(f, FAULT_CONFIG, "a wrong setting");
	case 'r':
		*result = POST_REFUSED;
		return fault_set(f, FAULT_UNAVAILABLE, "refused");
	default:
		*result = POST_UNKNOWN;
		return fault_set(f, FAULT_TRY_LATER, "no answer");
	}
}

static int64_t clock_of(void *context)
{
	return ((struct letterbed *)context)->now;
}

static void sleep_by(void *context, int64_t ms)
{
	struct letterbed *b = context;
	b->slept_ms += ms;
	b->now += ms / 1000;
}

static void step(void *context, enum deliver_step s)
{
	const struct letterbed *b = context;
	if ((int)s == b->kill_at)
		(void)raise(SIGKILL);
}

void letterbed_open(struct letterbed *b)
{
	*b = (struct letterbed){
	    .now = LETTERBED_NOW,
	    .script = "s",
	    .kill_at = LETTERBED_NO_KILL,
	    .text = "COVER tom-1\n",
	    .subject = "COVER tom-1 (Quarry Lane, Tue 19 May)",
	    .mail = {.way = MAIL_SMTP, .n_to = 1, .to = {LETTERBED_TO}, .from = "garden@example.org"}};
	scratchrecord_open(&b->scratch);
	record_close(b->scratch.rec);
	b->scratch.rec = NULL;
	zone_fixed("Test/Lane", -5 * HOUR_S, &b->zone);
	b->log = mmap(NULL, sizeof *b->log, PROT_READ | PROT_WRITE, MAP_SHARED | MAP_ANONYMOUS, -1, 0);
	ck_assert_ptr_ne(b->log, MAP_FAILED);
	b->delivery = (struct delivery){.mail = &b->mail,
					.garden = LETTERBED_ID,
					.name = "Quarry Lane",
					.zone = &b->zone,
					.kind = LETTER_MORNING,
					.patience_s = 300,
					.send = play,
					.clock = clock_of,
					.sleep_ms = sleep_by,
					.step = step,
					.context = b};
}

void letterbed_close(struct letterbed *b)
{
	(void)munmap(b->log, sizeof *b->log);
	scratchrecord_close(&b->scratch);
}

static enum fault_code deliver(struct letterbed *b, struct deliveries *out)
{
	bool all = false;
	if (deliver_begin(&b->delivery, out, &all, &b->f) != FAULT_NONE)
		return b->f.code;
	b->composed = !all;
	if (!all && deliver_compose(&b->delivery, b->now, b->subject, b->text, out, &b->f) != FAULT_NONE)
		return b->f.code;
	return deliver_send(&b->delivery, out, &b->wrong, &b->f);
}

enum fault_code letterbed_run(struct letterbed *b)
{
	struct deliveries out = {.n = 0};
	b->wrong = (struct faults){.n = 0};
	b->f = (struct fault){0};
	b->delivery.today = zone_date(&b->zone, b->now);
	if (record_open(b->scratch.path, RECORD_READ_WRITE, &b->delivery.record, &b->f) != FAULT_NONE)
		return b->f.code;
	enum fault_code code = deliver(b, &out);
	deliver_free(&out);
	record_close(b->delivery.record);
	b->delivery.record = NULL;
	return code;
}

int letterbed_run_apart(struct letterbed *b)
{
	int status;
	pid_t pid = fork();
	ck_assert_int_ge(pid, 0);
	if (pid == 0)
		_exit((int)letterbed_run(b));
	ck_assert_int_eq(waitpid(pid, &status, 0), pid);
	return status;
}

struct letter letterbed_letter(const struct letterbed *b, const char *way)
{
	struct record *rec;
	struct fault f;
	struct letter l = {.state = LETTER_COMPOSED};
	bool found = false;
	ck_assert_msg(record_open(b->scratch.path, RECORD_READ_ONLY, &rec, &f) == FAULT_NONE, "%s", f.text);
	ck_assert_msg(outbox_get(rec, LETTERBED_ID, zone_date(&b->zone, LETTERBED_NOW), LETTER_MORNING, way, &l, NULL,
				 &found, &f) == FAULT_NONE,
		      "%s", f.text);
	record_close(rec);
	ck_assert_msg(found, "no letter for %s", way);
	return l;
}
