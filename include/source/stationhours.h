/*
 * The hours of one file, in whatever order its rows come.
 *
 * Inside of stationfile.  Values in inside units, only of the variables that
 * the file has.
 */
#ifndef SOURCE_STATIONHOURS_H
#define SOURCE_STATIONHOURS_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/fault.h"
#include "facts/hours.h"
#include "facts/var.h"

/* Hours a page, and pages from 1700 to 2200. */
enum { STATIONHOURS_PAGE = 8192, STATIONHOURS_PAGES = 536 };

struct stationhours {
	size_t n; /* variables */
	enum var var[VARS];
	struct stationhours_page {
		uint8_t *apart; /* of the row that an hour's values are of: minutes from the whole hour; NONE no row */
		double *value;  /* n times a page; NaN where there is none */
		uint8_t *parts; /* the same: how many rows a value was added up from */
	} page[STATIONHOURS_PAGES];
};

enum { STATIONHOURS_NONE = 255 };

void stationhours_free(struct stationhours *h);

/* Whether an hour can be held. */
bool stationhours_holds(int64_t hour);

/* The mark of an hour's row, which may be set; NULL where it cannot be held or memory ran out. */
uint8_t *stationhours_row(struct stationhours *h, int64_t hour);

/* The value of variable v of an hour, which may be set; NULL as above. */
double *stationhours_cell(struct stationhours *h, int64_t hour, size_t v);

/* One more part of a total that comes in pieces; false where it cannot be held or memory ran out. */
bool stationhours_add(struct stationhours *h, int64_t hour, size_t v, double x);

/*
 * Totals that are whole and can be stay, as their mean where `mean`; the others, of more or less than `parts`, go.
 * Returned: how many stayed; *gone the others.
 */
size_t stationhours_total(struct stationhours *h, size_t v, unsigned parts, bool mean, size_t *gone);

/* The next hour at or after *at that has a row; *at is then the hour after it. */
bool stationhours_next(const struct stationhours *h, int64_t *at, int64_t *hour);

int64_t stationhours_begin(void);

/* Values of variable v. */
size_t stationhours_count(const struct stationhours *h, size_t v);

/*
 * The next page with values, from page *at on, as hours of origin observed; *at is then behind it.
 * *out was made with STATIONHOURS_PAGE hours and is written anew.  False: no more.
 */
bool stationhours_page(const struct stationhours *h, size_t *at, struct hours *out);

#endif
