/*
 * An issue: one forecast as it was received, decoded into hours, with what must be credited.
 */
#ifndef FACTS_ISSUE_H
#define FACTS_ISSUE_H

#include <stdint.h>

#include "facts/hours.h"

enum { ISSUE_SOURCE_SIZE = 64, ISSUE_CREDIT_SIZE = 200, ISSUE_TITLE_SIZE = 100 };

/* What a source's hours before the receive time are worth. */
enum issue_past {
	ISSUE_PAST_NONE,     /* they are left out */
	ISSUE_PAST_ANALYSED, /* kept as analysed */
	ISSUE_PAST_OBSERVED, /* kept as observed */
};

struct issue {
	char source[ISSUE_SOURCE_SIZE]; /* the description's name */
	char title[ISSUE_TITLE_SIZE];   /* the service, as a note names it */
	char credit[ISSUE_CREDIT_SIZE]; /* the line a note must print */
	int64_t received;               /* when we had it */
	int64_t issued;                 /* when the service made it; INSTANT_NONE where it does not say */
	int64_t max_age_s;              /* older than this is stale; 0 where the description does not say */
	enum issue_past past;
	int64_t observed_after_s; /* past observed: hours that ended less than this before `received` are analysed.
				     For taking it in; not kept with it */
	double cell_latitude, cell_longitude, cell_elevation_m; /* NaN where not told */
	struct hours hours;
};

void issue_init(struct issue *i);
void issue_free(struct issue *i);

/* The instant its age is counted from: issued, else received. */
int64_t issue_made(const struct issue *i);

/* What is to count as `past` says must have ended by this instant. */
int64_t issue_settled(const struct issue *i);

#endif
