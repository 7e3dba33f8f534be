/*
 * --gardens: a command for each garden file of a folder, one after the other.
 *
 * What goes wrong with one garden is one line, its file in front, and stops no other.
 * Two files with one garden's id would share its letters: the second is at fault.
 */
#ifndef CLI_GARDENS_H
#define CLI_GARDENS_H

#include "base/fault.h"
#include "cli/command.h"
#include "cli/context.h"

/*
 * For the gardens of the part (options), in the order of their names, those of a place together.
 *
 * Returned   the code of the first garden by name that failed, else FAULT_TRY_LATER where a signal
 *            (SIGINT, SIGTERM) ended the run before the last; what was said is not in *f
 * Faults     those of the folder and of the tables, with which nothing is begun
 */
enum fault_code gardens_run(struct context *c, command_run *run, struct fault *f) MUST_USE;

#endif
