/*
 * The table of commands: what each is called, takes and does.
 *
 * Help text, manual page and completion are made from it.
 */
#ifndef CLI_COMMAND_H
#define CLI_COMMAND_H

#include <stddef.h>

#include "base/fault.h"

enum command_id {
	COMMAND_SETUP,
	COMMAND_MORNING,
	COMMAND_EVENING,
	COMMAND_FETCH,
	COMMAND_DEGREES,
	COMMAND_PLANTOUT,
	COMMAND_DIARY,
	COMMAND_WHY,
	COMMAND_HOURS,
	COMMAND_IMPORT,
	COMMAND_CHECK,
	COMMAND_RECORD,
	COMMANDS
};

struct context;

/* Faults that come many at a time (a file's) stand in the context's list; *f then has the code and no text. */
typedef enum fault_code command_run(struct context *c, struct fault *f);

struct command {
	const char *name;
	const char *operands; /* as usage shows them; "" where there are none */
	const char *summary;  /* one line */
	const char *more;     /* a few sentences */
	size_t most;          /* operands */
	command_run *run;
};

const struct command *command_row(enum command_id id);

/* COMMANDS where there is none of that name. */
enum command_id command_named(const char *name);

command_run command_setup, command_morning, command_evening, command_fetch, command_degrees, command_plantout,
    command_diary, command_why, command_hours, command_import, command_check, command_record;

#endif
