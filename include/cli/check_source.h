/*
 * dewpost check source: a description read, and saved answers decoded with it.
 */
#ifndef CLI_CHECK_SOURCE_H
#define CLI_CHECK_SOURCE_H

#include <stddef.h>
#include <stdint.h>

#include "base/fault.h"

/*
 * Check a description; with n saved answers (one a request step, or the data
 * step's alone), received at `now`, decode them and print what each variable
 * gave.  Faults of the description go to `wrong`, *f then has the code alone.
 */
enum fault_code check_source(const char *file, const char *const *answers, size_t n, int64_t now, struct faults *wrong,
			     struct fault *f) MUST_USE;

#endif
