#include "base/num.h"

#include <errno.h>
#include <float.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/utf8.h"

/* Longest number that is read: over 300 digits before the point and as many after it are somebody's mistake. */
enum { NUMBER_SIZE = 640, SHOWN_MAX = 40, DIGITS_MAX = 9, SHORT_MAX = 15 };

static size_t count_digits(const char *s, size_t n)
{
	size_t i = 0;
	while (i < n && s[i] >= '0' && s[i] <= '9')
		i++;
	return i;
}

static size_t count_sign(const char *s, size_t n)
{
	return n > 0 && (s[0] == '+' || s[0] == '-') ? 1 : 0;
}

/* Bytes of [sign] digits [. digits] [e [sign] digits] at s, digits on one side of the point at least; else 0. */
static size_t count_decimal(const char *s, size_t n)
{
	size_t i = count_sign(s, n);
	size_t digits = count_digits(s + i, n - i);
	i += digits;
	if (i < n && s[i] == '.') {
		size_t fraction = count_digits(s + i + 1, n - i - 1);
		digits += fraction;
		i += 1 + fraction;
	}
	if (digits == 0)
		return 0;
	if (i < n && (s[i] == 'e' || s[i] == 'E')) {
		size_t sign = count_sign(s + i + 1, n - i - 1);
		size_t exponent = count_digits(s + i + 1 + sign, n - i - 1 - sign);
		i += exponent > 0 ? 1 + sign + exponent : 0;
	}
	return i;
}

/*
 * Plain decimals of at most SHORT_MAX characters, without an exponent: digits and power of ten are exact
 * doubles, so that one division rounds once, as strtod would.
 * Source   Clinger 1990, How to read floating point numbers accurately, section 3
 */
static bool short_decimal(const char *s, size_t n, double *value)
{
	static const double power[] = {1,   1e1, 1e2,  1e3,  1e4,  1e5,  1e6,  1e7,
				       1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15};
	int64_t digits = 0;
	size_t i = count_sign(s, n), point = n;
	/* Wider arithmetic (x87) would round twice. */
	if (n > SHORT_MAX || FLT_EVAL_METHOD != 0)
		return false;
	for (; i < n; i++)
		if (s[i] == '.')
			point = i + 1;
		else if (s[i] >= '0' && s[i] <= '9')
			digits = 10 * digits + (s[i] - '0');
		else
			return false;
	double x = (double)digits / power[n - point];
	*value = s[0] == '-' ? -x : x;
	return true;
}

size_t num_scan(const char *s, size_t n, double *value)
{
	size_t bytes = count_decimal(s, n);
	if (bytes == 0 || bytes >= NUMBER_SIZE)
		return 0;
	if (short_decimal(s, bytes, value))
		return bytes;
	char number[NUMBER_SIZE]; /* s may go on behind the number, or end without a NUL */
	memcpy(number, s, bytes);
	number[bytes] = '\0';
	char *end;
	double x = strtod(number, &end);
	if (end != number + bytes || !isfinite(x))
		return 0;
	*value = x;
	return bytes;
}

static enum fault_code refuse_double(const char *s, const char *what, double lo, double hi, struct fault *f)
{
	if (isinf(lo) && isinf(hi))
		return fault_set(f, FAULT_CONFIG, "\"%.*s\" %s; a number is wanted", utf8_most(s, SHOWN_MAX), s, what);
	if (isinf(hi))
		return fault_set(f, FAULT_CONFIG, "\"%.*s\" %s; a number from %.10g up is wanted",
				 utf8_most(s, SHOWN_MAX), s, what, lo);
	if (isinf(lo))
		return fault_set(f, FAULT_CONFIG, "\"%.*s\" %s; a number up to %.10g is wanted",
				 utf8_most(s, SHOWN_MAX), s, what, hi);
	return fault_set(f, FAULT_CONFIG, "\"%.*s\" %s; a number from %.10g to %.10g is wanted",
			 utf8_most(s, SHOWN_MAX), s, what, lo, hi);
}

enum fault_code num_double(const char *s, double lo, double hi, double *value, struct fault *f)
{
	double x;
	size_t n = strlen(s);
	if (n == 0 || num_scan(s, n, &x) != n)
		return refuse_double(s, "is not a number", lo, hi, f);
	if (x < lo || x > hi)
		return refuse_double(s, "is out of range", lo, hi, f);
	*value = x;
	return FAULT_NONE;
}

enum fault_code num_int(const char *s, int64_t lo, int64_t hi, int64_t *value, struct fault *f)
{
	size_t n = strlen(s), sign = count_sign(s, n), digits = count_digits(s + sign, n - sign);
	const char *what = "is not a whole number";
	if (digits > 0 && sign + digits == n) {
		errno = 0;
		long long x = strtoll(s, NULL, 10);
		if (errno == 0 && x >= lo && x <= hi) {
			*value = x;
			return FAULT_NONE;
		}
		what = "is out of range";
	}
	return fault_set(f, FAULT_CONFIG, "\"%.*s\" %s; a whole number from %lld to %lld is wanted",
			 utf8_most(s, SHOWN_MAX), s, what, (long long)lo, (long long)hi);
}

bool num_digits(const char *s, size_t n, int *value)
{
	if (n == 0 || n > DIGITS_MAX)
		return false;
	int x = 0;
	for (size_t i = 0; i < n; i++) {
		if (s[i] < '0' || s[i] > '9')
			return false;
		x = 10 * x + (s[i] - '0');
	}
	*value = x;
	return true;
}
