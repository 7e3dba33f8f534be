/*
 * Whether something on this machine starts dewpost by itself: systemd timers that
 * are switched on, or crontab lines.  Looked up in files; no service manager is asked.
 */
#ifndef CLI_TIMERS_H
#define CLI_TIMERS_H

#include <stdbool.h>

#include "cli/paths.h"

enum { TIMERS_FOUND_MAX = 12 };

struct timers_found {
	char where[PATHS_SIZE]; /* the link or the crontab */
	const char *command;    /* that it starts: "morning", "evening" or "fetch" */
};

struct timers {
	size_t n;
	struct timers_found at[TIMERS_FOUND_MAX];
	bool crontab_asked; /* the user's own crontab could be looked at */
};

/* `etc` is /etc but in tests. */
void timers_find(const char *etc, struct timers *t);

/* Whether systemd runs this machine. */
bool timers_systemd(void);

#endif
