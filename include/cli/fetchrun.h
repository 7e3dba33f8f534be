/*
 * One fetch: the steps of a source description asked for one place, the answer
 * decoded and taken into the record.
 *
 * Over the network, or from saved answers.  Nothing is taken in unless all of
 * it could be had and decoded; what a failed fetch leaves is a line in the log.
 * A service is not asked before its time, and only whether anything is new
 * where it can tell; addresses that an earlier answer gave are kept.
 * No command line here, and no clock: `now` is the instant the run begins at.
 *
 * Fault codes   FAULT_CONFIG       a wrong address; nothing was sent
 *               FAULT_TRY_LATER    no answer, or 408, 425, 429, 5xx; or it is too early after such a failure
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

#include "base/date.h"
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
	struct net *net;                /* see ask_open; NULL: the answers, no traffic */
	int64_t patience_s;             /* how long it goes on trying */
	void (*say)(const char *words); /* of waiting, for who looks on; NULL: nobody */
	/*
	 * Both set: hours of these days of the past are asked for and nothing else.  They make no
	 * issue; the caller keeps the pieces apart, so neither interval nor validators count.
	 */
	struct date start, end;
	const char *const *answers; /* files: one a step, or the data step's alone */
	size_t n_answers;
};

enum fetch_outcome {
	FETCH_TAKEN,     /* hours came in */
	FETCH_UNCHANGED, /* the service says that nothing is new */
	FETCH_TOO_EARLY, /* what is known is good till `until`: not asked */
};

struct fetch_result {
	enum fetch_outcome outcome;
	int64_t until;               /* FETCH_TOO_EARLY: the next instant at which it may be asked */
	struct answer_report report; /* also after an answer that was refused */
	int64_t issued;              /* INSTANT_NONE where the service does not say */
	int64_t first;               /* first hour taken in, and how many */
	size_t hours;
	size_t gained;       /* of these without air temperature before, the past ones of a job with days */
	bool warned;         /* a step came with the description's warn_status */
	int requests;        /* made, retries included */
	int64_t bytes;       /* received */
	int64_t clock_off_s; /* our clock less the service's; INSTANT_NONE where it was not told */
};

enum fault_code fetch_run(const struct fetch_job *job, struct fetch_result *result, struct fault *f) MUST_USE;

#endif
