#include "lib/harness.h"

#include <float.h>
#include <inttypes.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/num.h"

static const struct {
	const char *s;
	size_t bytes;
	double value;
} scans[] = {
    {"0", 1, 0},       {"40 sq ft", 2, 40}, {"-1.5C", 4, -1.5}, {"+2", 2, 2},   {".5", 2, 0.5}, {"5.", 2, 5},
    {"5.%", 2, 5},     {"1e3", 3, 1000},    {"1E-2x", 4, 0.01}, {"2e", 1, 2},   {"2e+", 1, 2},  {"3 e5", 1, 3},
    {"1.2.3", 3, 1.2}, {"1,5", 1, 1},       {"1e-400", 6, 0},   {"0x10", 1, 0}, {"0b1", 1, 0},  {"1e308", 5, 1e308},
    {"1e309", 0, 0},   {"-1e309", 0, 0},    {"", 0, 0},         {" 1", 0, 0},   {"-", 0, 0},    {"--1", 0, 0},
    {"+ 1", 0, 0},     {".", 0, 0},         {"-.e1", 0, 0},     {"e5", 0, 0},   {"inf", 0, 0},  {"-Infinity", 0, 0},
    {"nan", 0, 0},     {"NAN(1)", 0, 0},
};

START_TEST(scans_decimal_numbers_only)
{
	double x = -77;
	const char *s = scans[_i].s;
	ROW_INT(s, (long long)num_scan(s, strlen(s), &x), (long long)scans[_i].bytes);
	ROW_NEAR(s, x, scans[_i].bytes > 0 ? scans[_i].value : -77, 0);
}
END_TEST

/* The bytes behind n belong to somebody else. */
START_TEST(scans_no_further_than_n)
{
	double x;
	ck_assert_uint_eq(num_scan("12345", 3, &x), 3);
	ck_assert_double_eq(x, 123);
	ck_assert_uint_eq(num_scan("1e5", 2, &x), 1);
	ck_assert_double_eq(x, 1);
	ck_assert_uint_eq(num_scan("-5", 1, &x), 0);
	ck_assert_uint_eq(num_scan("5", 0, &x), 0);
}
END_TEST

START_TEST(refuses_endless_digits)
{
	char s[2000];
	double x = 1;
	memset(s, '0', sizeof s);
	ck_assert_uint_eq(num_scan(s, sizeof s, &x), 0);
	ck_assert_uint_eq(num_scan(s, 639, &x), 639);
	ck_assert_double_eq(x, 0);
}
END_TEST

/* splitmix64 (Steele, Lea & Flood 2014; from memory): any fixed mixer would do. */
static uint64_t mix(uint64_t *state)
{
	uint64_t z = *state += 0x9E3779B97F4A7C15u;
	z = (z ^ z >> 30) * 0xBF58476D1CE4E5B9u;
	z = (z ^ z >> 27) * 0x94D049BB133111EBu;
	return z ^ z >> 31;
}

START_TEST(parse_of_print_is_identity)
{
	uint64_t state = 1;
	for (int i = 0; i < 20000; i++) {
		double x, back;
		uint64_t bits = mix(&state);
		memcpy(&x, &bits, sizeof x);
		if (!isfinite(x))
			continue;
		char s[64];
		int n = snprintf(s, sizeof s, "%.17g", x);
		struct fault f;
		ck_assert_uint_eq(num_scan(s, (size_t)n, &back), (size_t)n);
		ck_assert_msg(memcmp(&x, &back, sizeof x) == 0, "%s comes back as %.17g", s, back);
		ck_assert_int_eq(num_double(s, -DBL_MAX, DBL_MAX, &back, &f), FAULT_NONE);

		int64_t whole = (int64_t)bits, whole_back;
		snprintf(s, sizeof s, "%" PRId64, whole);
		ck_assert_int_eq(num_int(s, INT64_MIN, INT64_MAX, &whole_back, &f), FAULT_NONE);
		ck_assert_int_eq(whole, whole_back);
	}
}
END_TEST

static const struct {
	const char *s;
	double lo, hi;
	const char *text; /* NULL: fine */
} doubles[] = {
    {"44.31", -90, 90, NULL},
    {"-90", -90, 90, NULL},
    {"90.0", -90, 90, NULL},
    {"1e300", -HUGE_VAL, HUGE_VAL, NULL},
    {"95", -90, 90, "\"95\" is out of range; a number from -90 to 90 is wanted"},
    {"-0.1", 0, HUGE_VAL, "\"-0.1\" is out of range; a number from 0 up is wanted"},
    {"0.1", -HUGE_VAL, 0, "\"0.1\" is out of range; a number up to 0 is wanted"},
    {"", 0, 1, "\"\" is not a number; a number from 0 to 1 is wanted"},
    {"1 ", 0, 1, "\"1 \" is not a number; a number from 0 to 1 is wanted"},
    {"1,5", 0, 2, "\"1,5\" is not a number; a number from 0 to 2 is wanted"},
    {"nan", -HUGE_VAL, HUGE_VAL, "\"nan\" is not a number; a number is wanted"},
    {"0x1", 0, 2, "\"0x1\" is not a number; a number from 0 to 2 is wanted"},
    {"\xC3\xBC\xC3\xBC\xC3\xBC\xC3\xBC\xC3\xBC\xC3\xBC\xC3\xBC\xC3\xBC\xC3\xBC\xC3\xBC"
     "x\xC3\xBC\xC3\xBC\xC3\xBC\xC3\xBC\xC3\xBC\xC3\xBC\xC3\xBC\xC3\xBC\xC3\xBC\xC3\xBC",
     0, 2,
     "\"\xC3\xBC\xC3\xBC\xC3\xBC\xC3\xBC\xC3\xBC\xC3\xBC\xC3\xBC\xC3\xBC\xC3\xBC\xC3\xBC"
     "x\xC3\xBC\xC3\xBC\xC3\xBC\xC3\xBC\xC3\xBC\xC3\xBC\xC3\xBC\xC3\xBC\xC3\xBC\" is not a number; a number from 0 "
     "to 2 is wanted"},
};

/* The short way round the C library reads the same: signs, points and digits at every place. */
START_TEST(reads_as_the_library_does)
{
	uint64_t seed = 1;
	for (int i = 0; i < 300000; i++) {
		char s[24];
		size_t n = 0;
		seed = seed * 6364136223846793005u + 1442695040888963407u;
		uint64_t bits = seed >> 20;
		size_t digits = 1 + bits % 17, point = (bits >> 8) % (digits + 2);
		if (bits >> 16 & 1)
			s[n++] = bits >> 17 & 1 ? '-' : '+';
		for (size_t k = 0; k <= digits; k++) {
			if (k == point)
				s[n++] = '.';
			if (k < digits)
				s[n++] = (char)('0' + (seed >> (k * 3 + 8)) % 10);
		}
		s[n] = '\0';
		double x = 0, want = strtod(s, NULL);
		if (num_scan(s, n, &x) != n || memcmp(&x, &want, sizeof x) != 0)
			ck_abort_msg("%s reads %.17g, want %.17g", s, x, want);
	}
}
END_TEST

START_TEST(double_is_whole_and_in_range)
{
	double x = -77;
	struct fault f;
	const char *s = doubles[_i].s;
	enum fault_code code = num_double(s, doubles[_i].lo, doubles[_i].hi, &x, &f);
	ROW_INT(s, code, doubles[_i].text == NULL ? FAULT_NONE : FAULT_CONFIG);
	if (doubles[_i].text != NULL) {
		ROW_STR(s, f.text, doubles[_i].text);
		ROW_NEAR(s, x, -77, 0);
	}
}
END_TEST

static const struct {
	const char *s;
	int64_t lo, hi, value;
	const char *text; /* NULL: fine */
} ints[] = {
    {"2", 1, 100, 2, NULL},
    {"+007", 1, 100, 7, NULL},
    {"-9223372036854775808", INT64_MIN, INT64_MAX, INT64_MIN, NULL},
    {"9223372036854775807", INT64_MIN, INT64_MAX, INT64_MAX, NULL},
    {"9223372036854775808", INT64_MIN, INT64_MAX, 0,
     "\"9223372036854775808\" is out of range; a whole number from -9223372036854775808 to 9223372036854775807 is "
     "wanted"},
    {"0", 1, 100, 0, "\"0\" is out of range; a whole number from 1 to 100 is wanted"},
    {"101", 1, 100, 0, "\"101\" is out of range; a whole number from 1 to 100 is wanted"},
    {"2.0", 1, 100, 0, "\"2.0\" is not a whole number; a whole number from 1 to 100 is wanted"},
    {" 2", 1, 100, 0, "\" 2\" is not a whole number; a whole number from 1 to 100 is wanted"},
    {"0x2", 1, 100, 0, "\"0x2\" is not a whole number; a whole number from 1 to 100 is wanted"},
    {"-", 1, 100, 0, "\"-\" is not a whole number; a whole number from 1 to 100 is wanted"},
    {"", 1, 100, 0, "\"\" is not a whole number; a whole number from 1 to 100 is wanted"},
};

START_TEST(int_is_whole_and_in_range)
{
	int64_t x = -77;
	struct fault f;
	const char *s = ints[_i].s;
	enum fault_code code = num_int(s, ints[_i].lo, ints[_i].hi, &x, &f);
	ROW_INT(s, code, ints[_i].text == NULL ? FAULT_NONE : FAULT_CONFIG);
	ROW_INT(s, x, ints[_i].text == NULL ? ints[_i].value : -77);
	if (ints[_i].text != NULL)
		ROW_STR(s, f.text, ints[_i].text);
}
END_TEST

static const struct {
	const char *s;
	size_t n;
	int value; /* -1: none */
} digits[] = {
    {"2026-04-20", 4, 2026},
    {"007", 3, 7},
    {"0420x", 4, 420},
    {"999999999", 9, 999999999},
    {"12345", 2, 12},
    {"12", 3, -1},
    {"", 1, -1},
    {"1", 0, -1},
    {"+1", 2, -1},
    {" 1", 2, -1},
    {"1234567890", 10, -1},
};

START_TEST(reads_fixed_fields)
{
	int x = -1;
	ROW_INT(digits[_i].s, num_digits(digits[_i].s, digits[_i].n, &x), digits[_i].value >= 0);
	ROW_INT(digits[_i].s, x, digits[_i].value);
}
END_TEST

#define ROWS(table) ((int)(sizeof(table) / sizeof *(table)))

static Suite *suite(void)
{
	Suite *s = suite_create("base/num");
	TCase *t = tcase_create("num");
	tcase_add_loop_test(t, scans_decimal_numbers_only, 0, ROWS(scans));
	tcase_add_test(t, scans_no_further_than_n);
	tcase_add_test(t, refuses_endless_digits);
	tcase_add_test(t, parse_of_print_is_identity);
	tcase_add_test(t, reads_as_the_library_does);
	tcase_add_loop_test(t, double_is_whole_and_in_range, 0, ROWS(doubles));
	tcase_add_loop_test(t, int_is_whole_and_in_range, 0, ROWS(ints));
	tcase_add_loop_test(t, reads_fixed_fields, 0, ROWS(digits));
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
