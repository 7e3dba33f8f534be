/*
 * Where the grower's files lie: XDG Base Directory Specification 0.8.
 */
#ifndef CLI_PATHS_H
#define CLI_PATHS_H

#include "base/fault.h"

enum { PATHS_SIZE = 4096 };

/*
 * NAME in the grower's folder for configuration, $XDG_CONFIG_HOME/dewpost else ~/.config/dewpost, or
 * for what programs keep, $XDG_STATE_HOME/dewpost else ~/.local/state/dewpost.  "": the folder itself.
 * FAULT_CONFIG where neither variable holds an absolute path.
 */
enum fault_code paths_config(const char *name, char buf[static PATHS_SIZE], struct fault *f) MUST_USE;
enum fault_code paths_state(const char *name, char buf[static PATHS_SIZE], struct fault *f) MUST_USE;

/* The folder of the user's own systemd units (systemd.unit(5)). */
enum fault_code paths_units(char buf[static PATHS_SIZE], struct fault *f) MUST_USE;

/* A path that is not absolute lies beside `file`. */
enum fault_code paths_beside(const char *file, const char *path, char buf[static PATHS_SIZE], struct fault *f) MUST_USE;

#endif
