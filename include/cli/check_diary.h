/*
 * What `dewpost check` finds out about the diary: plantings that neither it nor the garden file dates, and the lines
 * of the grower's own file.
 */
#ifndef CLI_CHECK_DIARY_H
#define CLI_CHECK_DIARY_H

#include "cli/context.h"
#include "cli/findings.h"

/* The record is open, or there is none; nothing is stored. */
void check_diary(struct context *c, struct findings *w);

#endif
