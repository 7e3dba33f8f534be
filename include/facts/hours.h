/*
 * The hourly series: struct of arrays, one value and one origin a variable and hour.
 *
 * A missing value is NaN with origin none.  What an hour holds is said in
 * base/instant.h.
 */
#ifndef FACTS_HOURS_H
#define FACTS_HOURS_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/fault.h"
#include "facts/var.h"

/* Where a value is from, worst to best.  A bit beside it: it stands for the whole hour. */
enum origin {
	ORIGIN_NONE,
	ORIGIN_ESTIMATED,    /* from other variables */
	ORIGIN_INTERPOLATED, /* between coarser steps of one answer */
	ORIGIN_FORECAST,
	ORIGIN_ANALYSED, /* a service's word on hours that had passed */
	ORIGIN_OBSERVED, /* a station */
	ORIGIN_READING,  /* the grower's own */
	ORIGIN_MASK = 0x0f,
	ORIGIN_WHOLE_HOUR = 0x10,
};

enum { HOURS_MAX = 30 * 366 * 24 };

struct hours {
	int64_t first; /* UTC, divisible by 3600 */
	size_t n;
	double *value[VARS];   /* value[v][n] */
	uint8_t *origin[VARS]; /* origin[v][n] */
	void *block;           /* the one allocation behind them */
};

/* n hours from first, all missing.  n may be 0; past HOURS_MAX is FAULT_DATA.  Free also after a fault. */
enum fault_code hours_init(struct hours *h, int64_t first, size_t n, struct fault *f) MUST_USE;
void hours_free(struct hours *h);
/* Ownership moves; *from is then empty. */
void hours_take(struct hours *to, struct hours *from);

int64_t hours_end(const struct hours *h); /* first instant after the last hour */

/* Index of the hour that t lies in; false outside the series. */
bool hours_index(const struct hours *h, int64_t t, size_t *i);

/* How many hours at its start had ended by t. */
size_t hours_ended(const struct hours *h, int64_t t);

double hours_get(const struct hours *h, enum var v, int64_t t);         /* NaN outside or missing */
enum origin hours_origin(const struct hours *h, enum var v, int64_t t); /* without the whole-hour bit */
bool hours_whole(const struct hours *h, enum var v, int64_t t);         /* it stands for the whole hour */

/*
 * What base/instant.h calls the middle, of every hour into out[h->n]: of a state (x[h] + x[h + 1]) / 2, but a value
 * that stands for the whole hour itself; a flux, and a window's value, as it is.  NaN where one of the two is
 * missing, so also in the last hour, unless that stands for the whole hour.
 */
void hours_middle(const struct hours *h, enum var v, double *out);

/* NaN (or an infinity, or origin none) clears; an hour outside does nothing. */
void hours_set(struct hours *h, enum var v, int64_t t, double x, uint8_t origin);

/* First and last hour with a value of v; false where there is none. */
bool hours_span(const struct hours *h, enum var v, int64_t *first, int64_t *last);

/* Values of src whose hours start in [from, to) go over those of dst, column by column; what src has not stays. */
void hours_lay_over(struct hours *dst, const struct hours *src, int64_t from, int64_t to);

const char *origin_name(enum origin o); /* "forecast", "observed" ..., as CSV prints them */

#endif
