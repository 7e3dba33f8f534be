/*
 * A copy of the record, made while others may use it.
 */
#ifndef RECORD_COPY_H
#define RECORD_COPY_H

#include "base/fault.h"
#include "record/record.h"

/*
 * The record as it is at this instant into a new file, for its owner's eyes alone (0600).
 *
 * The copy grows under a name of its own beside the file, is looked over (record_check) and synced, and only then
 * has the name.  A writer waits meanwhile; where one is at it, this waits, as long as the record was opened to.
 *
 * Faults   FAULT_CREATE     there is a file of that name, or none can be made
 *          FAULT_DATA       the record is damaged
 *          FAULT_TRY_LATER  in use for longer than that
 *          FAULT_IO         disk full, read or write failed
 * On a fault there is no file of that name that was not there before.
 */
enum fault_code record_copy(struct record *rec, const char *to, struct fault *f) MUST_USE;

#endif
