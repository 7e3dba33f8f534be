/*
 * The reader of all our text files: garden file, tables, source descriptions.
 *
 *   [kind given name]      a section; the name after the kind is the grower's own
 *   key = value            split at the first =; blanks around both are dropped
 *   # comment              at line start or after a blank; ; is no comment (URLs have it)
 *
 * UTF-8, LF or CRLF, an optional byte order mark.  Lines to 4,095 bytes, files
 * to 256 KiB.  All faults are reported, each with file:line.  What sections and
 * keys mean is the business of whoever reads.
 */
#ifndef BASE_INI_H
#define BASE_INI_H

#include <stddef.h>

#include "base/fault.h"

enum { INI_LINE_MAX = 4095, INI_FILE_MAX = 256 * 1024 };

struct ini_entry {
	const char *key, *value; /* NUL-terminated, in the document's own memory */
	int line;
};

struct ini_section {
	const char *kind, *name; /* name is "" where there is none */
	int line;
	size_t first, n; /* entries */
};

struct ini {
	char *file; /* as it is to be shown in faults */
	char *bytes;
	struct ini_section *section;
	size_t sections;
	struct ini_entry *entry;
	size_t entries;
};

/*
 * Parse n bytes of a file called `file`.  Keys before the first section, broken
 * heads, lines without =, control characters, bytes that are not UTF-8 and long
 * lines are faults; parsing goes on after each.  What stands under a broken head
 * is in no section and draws no fault of its own meaning.  A NUL, or a quarter
 * of the bytes being no text, is one fault for the whole file.  A value may be
 * empty, a section too, and keys and sections may repeat: whoever reads judges.
 * Free with ini_free also after faults.  Returned: the code of the first fault in `all`.
 */
enum fault_code ini_parse(const char *file, const char *bytes, size_t n, struct ini *doc, struct faults *all) MUST_USE;

/* Lines key = value alone, without section heads: all of them in one section without a kind, which is there if
 * doc->sections is 1. */
enum fault_code ini_parse_bare(const char *file, const char *bytes, size_t n, struct ini *doc,
			       struct faults *all) MUST_USE;

/* The same as ini_parse from disk; a file that is not there is FAULT_NO_INPUT. */
enum fault_code ini_load(const char *path, struct ini *doc, struct faults *all) MUST_USE;

void ini_free(struct ini *doc);

/* The last value of a key in a section, NULL where it has none. */
const struct ini_entry *ini_find(const struct ini *doc, const struct ini_section *s, const char *key);

/* Add "FILE:LINE: text" to the list, as FAULT_CONFIG. */
void ini_fault(const struct ini *doc, int line, struct faults *all, const char *fmt, ...) PRINTF_LIKE(4, 5);

#endif
