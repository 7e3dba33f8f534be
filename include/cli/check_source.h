/*
 * dewpost check source: a description read, and saved answers decoded with it.
 */
#ifndef CLI_CHECK_SOURCE_H
#define CLI_CHECK_SOURCE_H

#include <stddef.h>
#include <stdio.h>

#include "base/fault.h"

/*
 * Check a description; with n saved answers (one a request step, or the data
 * step's alone) decode them and print what each variable gave.  All faults of
 * the description but the first, which is in *f, are printed to out.
 */
enum fault_code check_source(const char *file, const char *const *answers, size_t n, FILE *out,
			     struct fault *f) MUST_USE;

#endif
