/*
 * What a command runs in: clock, paths, tables, garden, zone, record.
 *
 * The one place that reads the machine's clock.  Loaded step by step, so that
 * `check` can go on where others stop; faults of a file stand in `wrong`.
 */
#ifndef CLI_CONTEXT_H
#define CLI_CONTEXT_H

#include <stdbool.h>
#include <stdint.h>

#include "base/fault.h"
#include "base/zone.h"
#include "cli/lock.h"
#include "cli/options.h"
#include "cli/paths.h"
#include "cli/round.h"
#include "garden/garden.h"
#include "plant/cover.h"
#include "plant/crop.h"
#include "record/record.h"

/* The cuts of a day that had no note: 06:00 and 15:30 by the clock. */
enum { CONTEXT_MORNING_S = 6 * 3600, CONTEXT_EVENING_S = 15 * 3600 + 1800 };

struct context {
	const struct options *options;
	int64_t now;           /* the run's one clock: --at, else the machine's */
	const char *tables;    /* folder of the tables */
	char user[PATHS_SIZE]; /* the grower's folder over them; "" where none can be named */
	char garden_path[PATHS_SIZE], record_path[PATHS_SIZE];
	struct crops crops;
	struct covers covers;
	bool tabled; /* the tables were read */
	struct garden garden;
	struct zone zone;
	struct record *record; /* NULL: not opened, or none there */
	enum record_mode mode; /* of it */
	struct lock lock;      /* of what this run holds */
	int64_t place;         /* of the garden in the record */
	bool placed;           /* the record knows it */
	struct faults wrong;   /* in files; printed by main */
	struct round *round;   /* of several gardens in one run; NULL: there is one */
};

enum fault_code context_new(const struct options *o, struct context **c, struct fault *f) MUST_USE;
void context_free(struct context *c); /* NULL is fine */

/*
 * As new, for the next garden of a run: what was held is given back, the clock is read.  Kept are the tables, and
 * the record until a garden has another one.
 */
void context_next(struct context *c, const struct options *o);

/* One after the other, tables that are loaded only once; a fault of a file goes to `wrong`, *f then has the code alone.
 */
enum fault_code context_tables(struct context *c, struct fault *f) MUST_USE;
enum fault_code context_garden_path(struct context *c, struct fault *f) MUST_USE; /* where it is to lie */
enum fault_code context_garden(struct context *c, struct fault *f) MUST_USE;      /* and the record's path */
enum fault_code context_zone(struct context *c, struct fault *f) MUST_USE;

/* All three. */
enum fault_code context_load(struct context *c, struct fault *f) MUST_USE;

/*
 * --spread: wait this garden's own share of it, for the load of all gardens not to come at
 * once; then it is later.  Without network, and with --at, there is nothing to wait for.
 */
void context_spread(struct context *c);

/* The source description's file, the fault at its line of the garden file. */
enum fault_code context_source(const struct context *c, char path[static PATHS_SIZE], struct fault *f) MUST_USE;

/* The same of `history`; that the garden names none is a fault too. */
enum fault_code context_history(const struct context *c, char path[static PATHS_SIZE], struct fault *f) MUST_USE;

/* Open the record to write; it is made where it is missing. */
enum fault_code context_record(struct context *c, struct fault *f) MUST_USE;

/*
 * No other run is at work on the garden, or fetches its place, until this one gives it back or ends.
 * Waits up to most_ms; then FAULT_TRY_LATER.  The run's clock goes on meanwhile.
 */
enum fault_code context_hold(struct context *c, enum lock_of what, int64_t most_ms, struct fault *f) MUST_USE;
void context_give(struct context *c, enum lock_of what);

/* Open it to read.  That there is none, or that it does not know the place, is no fault: nothing is known then. */
enum fault_code context_peek(struct context *c, struct fault *f) MUST_USE;

/* The cut of a day: that of its note, else 06:00 by the clock. */
enum fault_code context_morning(struct context *c, struct date day, int64_t *cut, struct fault *f) MUST_USE;

/* The run's cut: that of --date (of the evening's note where the command is), else now. */
enum fault_code context_cut(struct context *c, int64_t *cut, struct fault *f) MUST_USE;

/* Whether --date asks for a morning again: no fetch, and no letter. */
bool context_replay(const struct context *c);

#endif
