/*
 * The hours: what is known of the weather at a place, by (place, hour, rank).
 *
 * Every value has its mark (origin, and whether it stands for the whole hour)
 * and the instant it was known at stored beside it, and merging goes column by
 * column.  Within a rank the later knowledge wins; older knowledge only fills
 * holes.  So the order in which answers come in does not matter, and doing it
 * twice is harmless.  A window's minimum and its span are one value.
 */
#ifndef RECORD_HOURSTORE_H
#define RECORD_HOURSTORE_H

#include <stdint.h>

#include "base/fault.h"
#include "facts/hours.h"
#include "facts/issue.h"
#include "record/record.h"

/* What a stored value is worth; the numbers are stored. */
enum rank {
	RANK_FORECAST = 1, /* the last forecast */
	RANK_ANALYSED = 2,
	RANK_OBSERVED = 3,
	RANK_READING = 4,
};

/*
 * Take in one issue: it is stored as received, and its hours are merged.
 *
 * Hours from the running one (that `received` lies in) on go to RANK_FORECAST.
 * Hours that ended by `received` go where issue.past says, their origin raised
 * from forecast to that; a window that had not ended by then is left out there.  Of
 * observed ones those that ended after issue_settled go to RANK_ANALYSED: a service
 * may have filled them from a forecast, and a later answer knows better.
 * The same (place, source, received) again replaces the stored issue.
 * A value outside its variable's range is FAULT_DATA; nothing is then stored.
 */
enum fault_code hourstore_ingest(struct record *rec, int64_t place, const struct issue *issue,
				 struct fault *f) MUST_USE;

/* The hours of it that had ended, in the same way, and no issue: what a service knows of the past. */
enum fault_code hourstore_past(struct record *rec, int64_t place, const struct issue *issue, struct fault *f) MUST_USE;

/* Hours known at an instant merged into one rank: a station's, the grower's.  One transaction. */
enum fault_code hourstore_put(struct record *rec, int64_t place, const struct hours *hours, enum rank rank,
			      int64_t known_at, struct fault *f) MUST_USE;

/* Hours in [from, to) that have an air temperature of at least this rank. */
enum fault_code hourstore_count(struct record *rec, int64_t place, int64_t from, int64_t to, enum rank least, size_t *n,
				struct fault *f) MUST_USE;

/* The next piece of a long series, which stays until the next call; NULL at the end. */
typedef const struct hours *hourstore_piece(void *with);

/* The same of a series that comes in pieces, all in one transaction: a station's many years. */
enum fault_code hourstore_put_pieces(struct record *rec, int64_t place, hourstore_piece *next, void *with,
				     enum rank rank, int64_t known_at, struct fault *f) MUST_USE;

/*
 * What is known at a cut of the hours in [from, to), from and to divisible by 3600.
 *
 * Hours that ended by the cut: the best value known today, by rank (reading >
 * observed > analysed > last forecast), column by column; a forecast's window
 * minimum does not count any more.  Hours after the cut, the running one
 * included: the newest issue received at or before the cut, and between the
 * running hour and that issue's first hour the issue before it.  Nothing else
 * is filled; what is not known is missing.
 *
 * Returned hours     *out, made here (hours_free)
 *          *newest   that issue's head, its hours empty; source "" where there is none.  May be NULL.
 */
enum fault_code hourstore_known(struct record *rec, int64_t place, int64_t from, int64_t cut, int64_t to,
				struct hours *out, struct issue *newest, struct fault *f) MUST_USE;

/*
 * The same at an earlier cut, where `later` is what is known of the place at a later one: of hours that had ended by
 * the earlier the same is known at both, so those that it has are not read again.
 */
enum fault_code hourstore_known_earlier(struct record *rec, int64_t place, const struct hours *later, int64_t from,
					int64_t cut, int64_t to, struct hours *out, struct issue *newest,
					struct fault *f) MUST_USE;

#endif
