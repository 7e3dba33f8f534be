/*
 * Marsh Weather, an invented service (fixtures/net/marsh.ini), and one garden that
 * asks it: record, description, net and a clock that only sleeping moves.
 */
#ifndef TESTS_LIB_MARSH_H
#define TESTS_LIB_MARSH_H

#include <stdbool.h>

#include "cli/fetchrun.h"
#include "facts/memo.h"
#include "lib/scratchrecord.h"
#include "net/net.h"
#include "source/describe.h"

#define MARSH_NOW     INT64_C(1778562000) /* 2026-05-12T05:00:00Z, the first hour of the answer */
#define MARSH_FILE    "fixtures/net/marsh.ini"
#define MARSH_WHERE   "fixtures/net/where.json"
#define MARSH_GRID    "fixtures/net/grid.json"
#define MARSH_CONTACT "grower@example.org"

enum { MARSH_HOURS = 4, MARSH_BYTES_MAX = 100000 };

struct marsh {
	struct scratchrecord scratch;
	struct description *source;
	char *where, *grid; /* bodies of its two answers */
	struct net_limits limits;
	struct net *net;
	int64_t now;      /* the clock: seconds and ... */
	int64_t slept_ms; /* ... what was slept in all, which `now` has too */
	struct fetch_job job;
	struct fetch_result result;
	struct fault f;
};

void marsh_open(struct marsh *m);
void marsh_close(struct marsh *m);

/* The description with http://127.0.0.1:PORT where it says http://@HOST@; what asks it is opened. */
void marsh_at(struct marsh *m, int port);
void marsh_at_base(struct marsh *m, const char *base); /* "http://[::1]:PORT", "https://localhost:PORT" */

/* The same with another invented service's description. */
void marsh_describe(struct marsh *m, const char *file, const char *base);

/* One fetch over the network at the clock's instant. */
enum fault_code marsh_fetch(struct marsh *m);

/* The two answers taken in as saved ones at MARSH_NOW. */
void marsh_take_saved(struct marsh *m);

/* grid.json by hand: 50, 41, -, 32 F and 0, 0.5, 1.5, 0 mm; or that nothing of it is there. */
void marsh_check_hours(const struct marsh *m, const char *row, bool there);

/* What is remembered of a step, which must have been asked. */
struct memo marsh_memo(const struct marsh *m, const char *step);

#endif
