/*
 * One fetch: the steps of a source description asked for one place, the answer
 * decoded and taken into the record.
 *
 * Over the network, or from saved answers.  Nothing is taken in unless all of
 * it could be had and decoded; what a failed fetch leaves is a line in the log.
 * No command line here, and no clock: `now` is the instant the answer is
 * received at.
 *
 * Fault codes   FAULT_CONFIG       a contact is wanted and not given, a wrong address; nothing was sent
 *               FAULT_TRY_LATER    no answer, or 408, 425, 429, 5xx
 *               FAULT_UNAVAILABLE  any other status, or an answer that the description cannot read
 *               FAULT_DATA         a saved answer that the description cannot read
 *               FAULT_USAGE        not as many saved answers as steps
 *               and those of the record
 */
#ifndef CLI_FETCHRUN_H
#define CLI_FETCHRUN_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/fault.h"
#include "facts/place.h"
#include "net/net.h"
#include "record/record.h"
#include "source/answer.h"
#include "source/describe.h"

/* A saved answer may be as long as one from the network. */
enum { FETCH_ANSWER_MAX = 4 << 20 };

struct fetch_job {
	const struct description *source;
	struct place place;
	int64_t now;
	struct record *record;
	const char *contact; /* mail address or web page; NULL or "": none.  Sent where the description asks for it */
	const struct net_limits *limits; /* loopback http follows the description; NULL: the answers, no traffic */
	const char *const *answers;      /* files: one a step, or the data step's alone */
	size_t n_answers;
};

struct fetch_result {
	struct answer_report report; /* also after an answer that was refused */
	int64_t issued;              /* INSTANT_NONE where the service does not say */
	int64_t first;               /* first hour taken in, and how many */
	size_t hours;
	bool warned; /* a step came with the description's warn_status */
};

enum fault_code fetch_run(const struct fetch_job *job, struct fetch_result *result, struct fault *f) MUST_USE;

#endif
