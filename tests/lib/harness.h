/*
 * What every check program shares: running a suite, and asserts that name the row.
 */
#ifndef TESTS_LIB_HARNESS_H
#define TESTS_LIB_HARNESS_H

#include <check.h>
#include <math.h>

/* Run one suite in check's forked mode (CK_FORK=no for a debugger); the exit status of main. */
int harness_run(Suite *suite);

/*
 * Loops of many thousand rows ask through these and not through ck_assert, which
 * writes a mark to a pipe each time even where all is well.
 */
#define ROW_MSG(cond, ...)                                                                                             \
	do {                                                                                                           \
		if (!(cond))                                                                                           \
			ck_abort_msg(__VA_ARGS__);                                                                     \
	} while (0)

/* |got - want| <= tol, both not NaN; the row's name stands in the failure text. */
#define ROW_NEAR(row, got, want, tol)                                                                                  \
	do {                                                                                                           \
		double row_got = (got), row_want = (want);                                                             \
		ROW_MSG(fabs(row_got - row_want) <= (tol), "%s: %s is %.10g, want %.10g +- %g", (row), #got, row_got,  \
			row_want, (double)(tol));                                                                      \
	} while (0)

#define ROW_TRUE(row, cond) ROW_MSG(cond, "%s: not so: %s", (row), #cond)

#define ROW_INT(row, got, want)                                                                                        \
	do {                                                                                                           \
		long long row_got = (long long)(got), row_want = (long long)(want);                                    \
		ROW_MSG(row_got == row_want, "%s: %s is %lld, want %lld", (row), #got, row_got, row_want);             \
	} while (0)

#define ROW_STR(row, got, want)                                                                                        \
	do {                                                                                                           \
		const char *row_got = (got), *row_want = (want);                                                       \
		ROW_MSG(strcmp(row_got, row_want) == 0, "%s: %s is\n\"%s\", want\n\"%s\"", (row), #got, row_got,       \
			row_want);                                                                                     \
	} while (0)

#endif
