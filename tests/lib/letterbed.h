/*
 * A garden's letters, delivered into a world that a test makes: a record of its own, a carrier that plays a script,
 * a clock that only sleeping moves.  What was carried is kept in memory that forked runs share.
 */
#ifndef TESTS_LIB_LETTERBED_H
#define TESTS_LIB_LETTERBED_H

#include "cli/deliver.h"
#include "lib/scratchrecord.h"

#define LETTERBED_NOW INT64_C(1779185820) /* 2026-05-19T05:17 in the garden, five hours behind UTC */
#define LETTERBED_ID  "quarry-lane"
#define LETTERBED_TO  "grower@example.org"

enum { LETTERBED_MAILS = 16, LETTERBED_SIZE = 256, LETTERBED_NO_KILL = -1 };

struct letterbed_mail {
	char to[LETTERBED_SIZE], id[LETTERBED_SIZE], subject[LETTERBED_SIZE], body[LETTERBED_SIZE],
	    date[LETTERBED_SIZE];
};

struct letterbed_log {
	size_t asked; /* letters given to the carrier */
	size_t n;     /* of these carried, or it may be: in the mailbox */
	struct letterbed_mail mail[LETTERBED_MAILS];
};

struct letterbed {
	struct scratchrecord scratch;
	struct mail mail;
	struct zone zone;
	struct delivery delivery; /* record is open in a run alone */
	int64_t now, slept_ms;
	const char *script;         /* s sent, l later, c later but not to be tried (settings), r refused, u unknown and
				       arrived, x unknown	 and lost; the last one for good */
	int kill_at;                /* enum deliver_step, or LETTERBED_NO_KILL */
	const char *text, *subject; /* of a note that is composed now */
	struct letterbed_log *log;
	/* Of the last run in this process. */
	struct faults wrong;
	struct fault f;
	bool composed;
};

void letterbed_open(struct letterbed *b);
void letterbed_close(struct letterbed *b);

/* One run as the morning command makes it, without fetch and lock. */
enum fault_code letterbed_run(struct letterbed *b);

/* The same in a process of its own; its wait status. */
int letterbed_run_apart(struct letterbed *b);

/* The letter as the outbox has it now; fails the test where there is none. */
struct letter letterbed_letter(const struct letterbed *b, const char *way);

#endif
