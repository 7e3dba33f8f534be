/*
 * --help: made from the tables of commands and options.
 */
#ifndef CLI_HELP_H
#define CLI_HELP_H

#include "base/text.h"
#include "cli/command.h"

enum { HELP_SIZE = 8 * 1024 };

/* Of one command, or (COMMANDS) of the whole. */
void help_write(enum command_id id, struct text *t);

#endif
