/*
 * The keys of source descriptions, one reader each.  Inside of describe: what
 * the sections add up to is checked there.
 */
#ifndef SOURCE_KEYS_H
#define SOURCE_KEYS_H

#include "base/ini.h"
#include "source/describe.h"

/* A [var] section as it is read, [data] before it. */
struct draft {
	struct describe_var v;
	struct pointer times, rows, time;
	bool arrays; /* `values` is given */
	bool kind_given, unit_given, format_given, mark_given;
	enum stamp_format format;
};

/* What a key's reader may write to; the ones that do not fit the section are NULL. */
struct keys_target {
	struct description *d;
	struct describe_step *step;
	struct draft *draft;
};

/*
 * Read the entries of one section, all faults reported.  Unknown keys and keys
 * given twice are faults.
 */
void keys_read(const struct ini *doc, const struct ini_section *s, enum describe_section which,
	       struct keys_target target, struct faults *all);

#endif
