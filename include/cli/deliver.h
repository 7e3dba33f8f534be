/*
 * Delivery: a note goes to each of its recipients once.
 *
 * The outbox is written before a letter goes and after, so whatever breaks off in
 * between, the next run knows: what waits is sent, what was under way is unknown,
 * and an unknown is sent a second time, once, as the same letter (same text, same
 * Message-ID), or never where the garden file says so.  A letter of yesterday is not sent.
 *
 * Not here: what the note says, how a letter is carried (post), and which run is
 * at work (cli/lock, which the caller holds).
 */
#ifndef CLI_DELIVER_H
#define CLI_DELIVER_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/date.h"
#include "base/fault.h"
#include "base/zone.h"
#include "facts/letter.h"
#include "facts/mail.h"
#include "post/message.h"
#include "post/result.h"
#include "record/record.h"

/* Where a test may break off: the state before is on the disk then. */
enum deliver_step { DELIVER_COMPOSED, DELIVER_SENDING, DELIVER_HANDED, DELIVER_KEPT };

/* What is to go, and the world it goes into. */
struct delivery {
	struct record *record;
	const struct mail *mail;   /* its paths as they are to be opened */
	const char *garden, *name; /* the garden's id, and its name */
	const struct zone *zone;
	struct date today;
	enum letter_kind kind;
	int64_t patience_s;             /* how long a letter that does not go for now is tried again */
	void (*say)(const char *words); /* of waiting, for who looks on; NULL: nobody */
	enum fault_code (*send)(void *context, const struct message *m, enum post_result *result, struct fault *f);
	int64_t (*clock)(void *context); /* UTC seconds */
	void (*sleep_ms)(void *context, int64_t ms);
	void (*step)(void *context, enum deliver_step step); /* NULL: nobody looks */
	void *context;
};

struct outgoing {
	struct letter letter;
	char *text;
	bool there;        /* there is a letter */
	bool stored;       /* and the outbox has it */
	bool before;       /* sent by an earlier run */
	bool again;        /* worth another try in this run */
	struct fault said; /* why it did not go; FAULT_NONE where all is well */
};

struct deliveries {
	struct outgoing at[MAIL_TO_MAX];
	size_t n;
};

/* The way of a garden whose notes go to a file: it stands where a recipient does. */
#define DELIVER_FILE "file"

/*
 * What the outbox has of the day's letters, one a recipient; what is older has expired.  *all: nothing has
 * to be composed.  A letter that was under way when a run broke off is unknown now.
 * deliver_free also after a fault.
 */
enum fault_code deliver_begin(const struct delivery *d, struct deliveries *out, bool *all, struct fault *f) MUST_USE;

/*
 * The note as a letter for each recipient who has none.  Where the outbox cannot be written (disk full) the
 * letter is kept in memory and goes all the same: a doubled note harms less than a frost not told of.
 */
enum fault_code deliver_compose(const struct delivery *d, int64_t cut, const char *subject, const char *text,
				struct deliveries *out, struct fault *f) MUST_USE;

/* A letter that does not go for now is tried again after these pauses, as long as patience lasts (common practice). */
#define DELIVER_PAUSES_S                                                                                               \
	{                                                                                                              \
		30, 90, 180, 360, 600, 900                                                                             \
	}

/*
 * Send what is to be sent.  What did not go is in `wrong`, "RECIPIENT: why", and the code is the first's;
 * *f has the code alone then.
 */
enum fault_code deliver_send(const struct delivery *d, struct deliveries *out, struct faults *wrong,
			     struct fault *f) MUST_USE;

void deliver_free(struct deliveries *out);

#endif
