/*
 * A note as a mail message: header and body, byte by byte.
 *
 * The same message gives the same bytes, whenever it is written: a letter that is
 * sent again is the same one.  Not here: what the note says, and who carries it.
 */
#ifndef POST_MESSAGE_H
#define POST_MESSAGE_H

#include <stdint.h>

#include "base/date.h"
#include "base/fault.h"
#include "base/text.h"
#include "facts/letter.h"
#include "facts/mail.h"

enum { MESSAGE_MAX = 1 << 20, MESSAGE_ID_SIZE = 384 };

struct message {
	const char *from, *to;     /* addresses alone */
	const char *from_name;     /* NULL or "": none */
	const char *subject;       /* one line of UTF-8 */
	const char *body;          /* UTF-8, lines ended by LF */
	int64_t at;                /* instant it was composed at: the Date */
	int offset_s;              /* of the garden's zone then, seconds east of UTC */
	struct date day;           /* these three are its name: the local day it is for, ... */
	const char *garden, *kind; /* ... the garden's id, and which of the day's letters it is ("morning") */
};

enum message_ends { MESSAGE_LF, MESSAGE_CRLF };

/*
 * YYYYMMDD.GARDEN.HASH@DOMAIN, without < and >: the same for the same day, garden, kind, recipient and sender.
 *
 * Source  RFC 5322 3.6.4 (dot-atom on both sides); hash: FNV-1a of recipient and kind, derived here
 */
enum fault_code message_id(const struct message *m, char id[static MESSAGE_ID_SIZE], struct fault *f) MUST_USE;

/*
 * Add the whole message to t, which is to be of MESSAGE_MAX.
 *
 * A value of the header with a control character is FAULT_CONFIG, as is one that is no UTF-8, no
 * address or no id: nothing can be put into the header or the envelope through a name.
 * In the body they are encoded.
 *
 * Source  RFC 5322 3.3 and 3.6 (Date, From, To, Message-ID), RFC 2047, RFC 2045 (MIME),
 *         RFC 3834 5 (Auto-Submitted)
 */
enum fault_code message_write(const struct message *m, enum message_ends ends, struct text *t,
			      struct fault *f) MUST_USE;

#endif
