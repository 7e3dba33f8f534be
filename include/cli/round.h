/*
 * A round of gardens: what one run keeps in mind from one garden to the next.
 *
 * A place is asked for once, whatever came of it, and not again for each of the
 * gardens there.  A service, or a mail server, that gave no answer several times
 * one after the other is left alone: it would cost its patience each time.
 * The run's patience is one for all its gardens.
 */
#ifndef CLI_ROUND_H
#define CLI_ROUND_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/fault.h"
#include "base/names.h"
#include "facts/hours.h"

/* Times in a row (judgement). */
enum { ROUND_SILENT_MAX = 3 };

struct round_place {
	bool asked;
	struct fault outcome; /* of that */
};

struct round {
	struct names places, services;
	struct round_place *place; /* of each name; room for `place_room` */
	int *silent;               /* times in a row that each service gave no answer */
	size_t place_room, silent_room;
	struct hours past;  /* what the garden before knew of its place, ... */
	int64_t past_place; /* ... its number in the record, ... */
	int64_t past_hour;  /* ... and the running hour then; INSTANT_NONE where nothing is kept */
	int64_t patience_s; /* that is left */
	bool waited;        /* --spread is over */
	bool recalled;      /* the last place was not asked for, but known of */
	bool silence;       /* a request of this garden's went without an answer */
};

void round_begin(struct round *r, int64_t patience_s);
void round_free(struct round *r);

/*
 * The hours that a garden's note was made of, kept for the next at the place; they move here.  As long as the hour
 * runs and nothing comes in, hours that have passed are the same for it (hourstore_known_earlier).
 */
void round_keep(struct round *r, int64_t place, int64_t hour, struct hours *hours);
const struct hours *round_kept(const struct round *r, int64_t place, int64_t hour); /* NULL: not that one */
void round_drop(struct round *r);

/*
 * Whether to ask for a place (a key of it, its service and record).  False: it was asked for in this run, and *f is
 * what came of it, or its service is not asked any more.
 */
bool round_asks(struct round *r, const char *place, const char *service, struct fault *f);

/* Whether to turn to a service or server at all; false with *f where it was silent too often. */
bool round_serves(struct round *r, const char *service, struct fault *f);

/* It gave no answer, or one, which ends what is counted. */
void round_served(struct round *r, const char *service, bool silent);

/*
 * What came of asking.  FAULT_TRY_LATER after a request that was `sent` counts against the service.
 * Where memory is short it is forgotten.
 */
void round_asked(struct round *r, const char *place, const char *service, const struct fault *f, bool sent);

#endif
