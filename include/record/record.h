/*
 * The record: one SQLite file with the weather, the issues, the diary and the outbox.
 *
 * Here: opening, closing, and the places that hours belong to.  What lies in it
 * is reached through hourstore, issuestore, stationstore, diary, fetchlog and
 * outbox.  Every call that writes is one transaction: all of it or nothing, and
 * none stays open between calls.  Instants are UTC seconds; values are in the
 * inside units of facts/var.h.
 */
#ifndef RECORD_RECORD_H
#define RECORD_RECORD_H

#include <stdint.h>

#include "base/fault.h"
#include "facts/place.h"

struct record;

enum record_mode {
	RECORD_READ_WRITE, /* made, with its folder, where it is missing */
	RECORD_READ_ONLY,  /* must be there; nothing is written */
	RECORD_AS_IS,      /* the same, of whatever schema: to be copied or looked over, and nothing else */
};

enum { RECORD_SCHEMA = 4, RECORD_BUSY_MS = 10000 };

/*
 * Open the record, bringing an older one up to RECORD_SCHEMA, after a copy of it was put beside
 * it, PATH.schema-N (none over one that is there): without a copy nothing is changed.
 *
 * Faults   FAULT_NO_INPUT   read only, and there is none
 *          FAULT_DATA       another program's database, not a database, damaged
 *          FAULT_CONFIG     made by a newer dewpost
 *          FAULT_PERMISSION may not be written (or read), FAULT_CREATE cannot be made
 *          FAULT_TRY_LATER  another program holds it for longer than busy_ms
 *          FAULT_IO         disk full, read or write failed; FAULT_MEMORY
 * *rec is NULL on a fault.
 */
enum fault_code record_open(const char *path, enum record_mode mode, struct record **rec, struct fault *f) MUST_USE;

/* The same with another patience; 0 does not wait. */
enum fault_code record_open_patient(const char *path, enum record_mode mode, int busy_ms, struct record **rec,
				    struct fault *f) MUST_USE;

void record_close(struct record *rec); /* NULL does nothing */

const char *record_path(const struct record *rec);

/* The key of a place, which is added where it is new (read only: FAULT_NO_INPUT where it is not known). */
enum fault_code record_place(struct record *rec, const struct place *p, int64_t *place, struct fault *f) MUST_USE;

/* Look over the whole file: FAULT_DATA says the first thing that is wrong. */
enum fault_code record_check(struct record *rec, struct fault *f) MUST_USE;

#endif
