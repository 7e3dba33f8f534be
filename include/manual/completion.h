/*
 * Completion of the command line in bash, made from the tables of commands and options.
 */
#ifndef MANUAL_COMPLETION_H
#define MANUAL_COMPLETION_H

#include "base/text.h"

void completion_write(struct text *t);

#endif
