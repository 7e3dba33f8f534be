/*
 * From a service's answer to hours.
 *
 * What cannot be used of a variable is counted and said in the report, and the
 * other variables live; only an answer without usable air temperature is
 * refused as a whole.  Stamps become [h, h + 1 h) as base/instant.h has it.
 *
 *   instant  the value at a whole hour; instants between are skipped and counted
 *   hold     each hour that starts in the period; mean, max, prob: each hour wholly in it
 *   total    divided by time over the period; what no whole hour has in full is skipped and counted
 *   min      air_temperature_minimum at the window's first hour, its span beside it.  Of windows that
 *            start in one hour the lower minimum stays; at equal minima the shorter window
 *   value.2  only hours that are still empty; of a total, what the hours that have one leave over
 *   fill     linear between instants at most max_gap apart, marked interpolated
 *
 * Marks: hours that ended by `received` take analysed or observed where the
 * description's `past` says so (analysed where an observation wants more time, `observed_after`),
 * the others forecast; hold, mean and max of a
 * state say that they stand for the whole hour.
 */
#ifndef SOURCE_ANSWER_H
#define SOURCE_ANSWER_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/fault.h"
#include "base/text.h"
#include "base/zone.h"
#include "facts/issue.h"
#include "source/describe.h"

enum {
	ANSWER_HOURS_MAX = 100 * 24, /* an answer may span */
	ANSWER_GAPS_MAX = 4,
	ANSWER_SAID_SIZE = 160,
	ANSWER_ERROR_SIZE = 200, /* of a service's own error text */
};

struct answer_given {
	const char *const *bodies; /* one a request step, or the data step's alone; bodies[i][sizes[i]] must be NUL */
	const size_t *sizes;
	size_t n;
	int64_t received;
	const struct zone *zone; /* the description's time_zone, loaded; NULL where it names none */
};

/* What became of one [var] section. */
struct answer_row {
	enum var var;
	int at_line;                                  /* of the section */
	size_t items;                                 /* rows, elements or intervals that it had */
	size_t missing;                               /* absent, null, or a number that means missing */
	size_t dropped;                               /* no number, out of range, a stamp that cannot be read */
	size_t skipped;                               /* between hours, or not needed beside a better one */
	size_t replaced;                              /* said again later: the later one won */
	size_t hours, filled;                         /* hours with a value, of these interpolated */
	int64_t first, last;                          /* hours; INSTANT_NONE where there is none */
	double min, max;                              /* inside units; NaN where there is none */
	double amount_in, amount_out, amount_skipped; /* totals, mm; NaN for other kinds */
	char unit[DESCRIBE_WORD_SIZE]; /* as the answer or the description spells it; "" where none was needed */
	size_t gaps;
	struct {
		int64_t from;
		size_t hours;
	} gap[ANSWER_GAPS_MAX]; /* the first of them */
	bool refused;
	char said[ANSWER_SAID_SIZE]; /* why refused, or what to know */
};

struct answer_report {
	size_t n;
	struct answer_row row[DESCRIBE_VARS_MAX];
};

/* cJSON's memory through base/mem.  Once, before the first answer. */
void answer_init(void);

/*
 * Decode the data step's answer.  *out is initialised here; issue_free it after
 * success.  FAULT_DATA: the whole answer is refused, one line says why (the
 * service's own error text where it gave one); *out is then empty, and *rep
 * holds what was found.  FAULT_USAGE: not as many bodies as steps.
 */
enum fault_code answer_decode(const struct description *d, const struct answer_given *given, struct issue *out,
			      struct answer_report *rep, struct fault *f) MUST_USE;

/* The service's own error text of a body (`error =`), one line; false where there is none. */
bool answer_error(const struct description *d, const char *body, size_t n, char said[static ANSWER_ERROR_SIZE]);

#endif
