/*
 * Numbers from text, through one checked place: end, range, finiteness.
 *
 * The decimal sign is a point whatever the locale.  Hexadecimal, "inf" and
 * "nan" are not numbers here.
 */
#ifndef BASE_NUM_H
#define BASE_NUM_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/fault.h"

/*
 * Read a decimal number at the start of s[0..n).
 * Returned: bytes used, 0 where there is no finite number or one of 640 characters or more.
 */
size_t num_scan(const char *s, size_t n, double *value) MUST_USE;

/* The whole of s must be one number in lo..hi; the fault names what is wrong and the range (FAULT_CONFIG). */
enum fault_code num_double(const char *s, double lo, double hi, double *value, struct fault *f) MUST_USE;
enum fault_code num_int(const char *s, int64_t lo, int64_t hi, int64_t *value, struct fault *f) MUST_USE;

/* Exactly n decimal digits at s; false otherwise.  For fixed fields (dates, column files). */
bool num_digits(const char *s, size_t n, int *value) MUST_USE;

#endif
