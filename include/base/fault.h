/*
 * Faults: what went wrong, said once, where it is known.
 *
 * Every fallible function returns its code (0 is fine) and takes a struct
 * fault * last.  The fault is left alone on success, so calls chain with ||.
 * Reporting never allocates.  The codes are the process exit codes of
 * sysexits.h, so main can return the code as it stands.
 */
#ifndef BASE_FAULT_H
#define BASE_FAULT_H

#include <stdarg.h>
#include <stddef.h>

#define MUST_USE                __attribute__((warn_unused_result))
#define PRINTF_LIKE(fmt, first) __attribute__((format(printf, fmt, first)))

enum fault_code {
	FAULT_NONE = 0,
	FAULT_USAGE = 64,       /* EX_USAGE: the command line */
	FAULT_DATA = 65,        /* EX_DATAERR: an answer or file that is refused */
	FAULT_NO_INPUT = 66,    /* EX_NOINPUT: a file that is not there */
	FAULT_UNAVAILABLE = 69, /* EX_UNAVAILABLE: a service that does not answer */
	FAULT_SOFTWARE = 70,    /* EX_SOFTWARE: our own mistake */
	FAULT_MEMORY = 71,      /* EX_OSERR: no memory */
	FAULT_CREATE = 73,      /* EX_CANTCREAT: a file that cannot be made */
	FAULT_IO = 74,          /* EX_IOERR: disk full, read or write failed */
	FAULT_TRY_LATER = 75,   /* EX_TEMPFAIL: the same call may work later */
	FAULT_PERMISSION = 77,  /* EX_NOPERM */
	FAULT_CONFIG = 78,      /* EX_CONFIG: garden file, tables, description */
};

enum { FAULT_TEXT_SIZE = 240, FAULTS_MAX = 32 };

struct fault {
	enum fault_code code;
	char text[FAULT_TEXT_SIZE]; /* one line, lower case, no full stop */
};

/* All faults of a file, where all are wanted; more counts those past the end. */
struct faults {
	size_t n, more;
	struct fault at[FAULTS_MAX];
};

/* Set code and text; control characters from outside become '?'.  Returns code. */
enum fault_code fault_set(struct fault *f, enum fault_code code, const char *fmt, ...) PRINTF_LIKE(3, 4);
enum fault_code fault_vset(struct fault *f, enum fault_code code, const char *fmt, va_list args) PRINTF_LIKE(3, 0);

/*
 * Put a place before the text ("garden.ini:14: ").  The tail is cut, never the place; only of a
 * place so long that 79 bytes of the text would not fit beside it is the head cut.
 */
enum fault_code fault_place(struct fault *f, const char *fmt, ...) PRINTF_LIKE(2, 3);

/* Add one fault to a list; past FAULTS_MAX it is only counted. */
void faults_add(struct faults *list, const struct fault *f);
void faults_addf(struct faults *list, enum fault_code code, const char *fmt, ...) PRINTF_LIKE(3, 4);

/* FAULT_NONE for an empty list, else the code of the first. */
enum fault_code faults_code(const struct faults *list) MUST_USE;

#endif
