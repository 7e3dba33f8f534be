#include "cli/check_live.h"

#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "base/instant.h"
#include "base/mem.h"
#include "cli/carry.h"
#include "cli/fetch.h"
#include "cli/timers.h"
#include "cli/version.h"
#include "note/phrase.h"

/* Further from the service's clock than this is worth a word; what is left is the way there and back. */
enum { CLOCK_OFF_S = 120, BODY_SIZE = 1024, KIND_SIZE = 64, FETCH_WAIT_MS = 6 * 60 * 1000 };

/* ---- clock ---- */

void check_live_year(const struct context *c, struct findings *w)
{
	struct fault f;
	int year, month, day;
	date_parts(instant_date(c->now, 0), &year, &month, &day);
	if (year >= version_year())
		return;
	fault_set(&f, FAULT_CONFIG,
		  "this machine's clock says %d, and dewpost was made in %d: set it, timedatectl shows it", year,
		  version_year());
	findings_wrong(w, "clock", &f);
}

static void say_clock(const struct fetch_result *r, struct findings *w)
{
	int64_t off_s = r->clock_off_s;
	findings_head(w, "clock");
	if (off_s == INSTANT_NONE) {
		text_add(&w->lines, "cannot be told: no service said what time it is\n");
	} else if (llabs(off_s) <= CLOCK_OFF_S) {
		text_add(&w->lines, "fine: that of the service, within two minutes\n");
	} else {
		text_add(&w->lines, "this machine's clock is ");
		phrase_age(&w->lines, llabs(off_s));
		text_addf(&w->lines, " %s the service's: timedatectl shows it\n", off_s > 0 ? "ahead of" : "behind");
	}
}

/* ---- fetch ---- */

static void say_fetched(const struct context *c, const struct fetch_result *r, struct findings *w)
{
	findings_head(w, "fetch");
	switch (r->outcome) {
	case FETCH_TAKEN:
		text_addf(&w->lines, "fine: %zu hours came in, %d request%s\n", r->hours, r->requests,
			  r->requests == 1 ? "" : "s");
		break;
	case FETCH_UNCHANGED:
		text_add(&w->lines, "fine: the service has nothing newer than what is known\n");
		break;
	case FETCH_TOO_EARLY:
		text_add(&w->lines, "not asked: the service wants no further request before ");
		phrase_clock(&w->lines, &c->zone, r->until, c->garden.units);
		text_add(&w->lines, "\n");
		break;
	}
}

void check_live_fetch(struct context *c, struct findings *w)
{
	struct fault f = {0};
	struct fetch_result r = {.clock_off_s = INSTANT_NONE};
	if (context_record(c, &f) || context_hold(c, LOCK_PLACE, FETCH_WAIT_MS, &f)) {
		findings_wrong(w, "record", &f);
		return;
	}
	if (fetch_told(c, &r, &f) == FAULT_NONE)
		say_fetched(c, &r, w);
	else if (c->wrong.n > 0)
		findings_all_wrong(w, "fetch", &c->wrong);
	else
		findings_wrong(w, "fetch", &f);
	say_clock(&r, w);
	context_give(c, LOCK_PLACE);
}

/* ---- mail ---- */

static void write_body(const struct context *c, struct text *t)
{
	text_addf(t, "This is a test of dewpost, for the garden %s.\n\n", c->garden.name);
	text_add(t, "It came by the way that the garden file names, so the morning's note can come\n"
		    "by it too. Somebody asked for it (dewpost check live); nothing is to be done.\n");
}

static void send_to(struct carry *carry, const char *to, struct findings *w)
{
	char mem[BODY_SIZE], name[KIND_SIZE], at[INSTANT_TEXT_SIZE];
	struct text body, kind;
	struct fault f = {0};
	enum post_result result;
	const struct context *c = carry->context;
	const struct mail *m = &carry->mail;
	text_over(&body, mem, sizeof mem);
	write_body(c, &body);
	/* A message of its own each time: of two with one name a mail server may drop the second. */
	text_over(&kind, name, sizeof name);
	text_addf(&kind, "check %s", instant_text(c->now, at));
	const struct message message = {.from = m->from,
					.to = to,
					.from_name = m->from_name[0] != '\0' ? m->from_name : c->garden.name,
					.subject = "A test of your garden's morning note",
					.body = body.at,
					.at = c->now,
					.offset_s = zone_offset(&c->zone, c->now),
					.day = zone_date(&c->zone, c->now),
					.garden = c->garden.id,
					.kind = kind.at};
	if (carry_send(carry, &message, &result, &f) != FAULT_NONE) {
		fault_place(&f, "%s: ", to);
		findings_wrong(w, "mail", &f);
		return;
	}
	findings_head(w, "mail");
	text_addf(&w->lines, "fine: a test message to %s was taken; see whether it is there\n", to);
}

static void by_mail(struct carry *carry, struct findings *w)
{
	struct fault f;
	if (carry->mail.n_to == 0) {
		fault_set(&f, FAULT_CONFIG, "nobody gets the note: [mail] has no to = ADDRESS");
		findings_wrong(w, "mail", &f);
	}
	for (size_t i = 0; i < carry->mail.n_to; i++)
		send_to(carry, carry->mail.to[i], w);
}

/* Nothing is written: whether it could be is enough. */
static void into_file(const struct mail *m, struct findings *w)
{
	char folder[MAIL_PATH_SIZE];
	struct text t;
	struct fault f;
	const char *slash = strrchr(m->file, '/');
	text_over(&t, folder, sizeof folder);
	if (slash != NULL)
		text_add_n(&t, m->file, slash == m->file ? 1 : (size_t)(slash - m->file));
	if (access(slash != NULL ? folder : ".", W_OK | X_OK) != 0) {
		fault_set(&f, FAULT_PERMISSION, "%s: its folder is not there, or may not be written to", m->file);
		findings_wrong(w, "mail", &f);
		return;
	}
	findings_head(w, "mail");
	text_addf(&w->lines, "fine: no mail; the note goes into %s\n", m->file);
}

static void try_way(struct context *c, struct carry *carry, struct findings *w)
{
	struct fault f = {0};
	if (carry_begin(c, LETTER_MORNING, carry, &f) != FAULT_NONE) {
		findings_wrong(w, "mail", &f);
		return;
	}
	switch ((enum mail_way)carry->mail.way) {
	case MAIL_PRINT:
		findings_head(w, "mail");
		text_add(&w->lines, "fine: no mail; the note is printed\n");
		break;
	case MAIL_FILE:
		into_file(&carry->mail, w);
		break;
	case MAIL_MAILDIR:
	case MAIL_SENDMAIL:
	case MAIL_SMTP:
		by_mail(carry, w);
		break;
	}
}

void check_live_mail(struct context *c, struct findings *w)
{
	struct fault f;
	struct carry *carry = mem_new(1, sizeof *carry);
	if (carry != NULL) {
		try_way(c, carry, w);
	} else {
		fault_set(&f, FAULT_MEMORY, "out of memory");
		findings_wrong(w, "mail", &f);
	}
	mem_free(carry);
}

/* ---- timers ---- */

void check_live_timers(struct findings *w)
{
	struct timers *t = mem_new(1, sizeof *t);
	bool any = false;
	if (t != NULL)
		timers_find("/etc", t);
	for (size_t i = 0; t != NULL && i < t->n; i++) {
		findings_head(w, "timer");
		text_addf(&w->lines, "%s starts dewpost %s\n", t->at[i].where, t->at[i].command);
		any = any || strcmp(t->at[i].command, "morning") == 0;
	}
	if (!any) {
		findings_head(w, "timer");
		text_add(&w->lines, "nothing was found that starts dewpost morning by itself; man dewpost shows how\n");
	}
	if (t != NULL && !t->crontab_asked) {
		findings_head(w, "timer");
		text_add(&w->lines, "your own crontab could not be looked at: there is no program crontab\n");
	}
	mem_free(t);
}
