/*
 * The tables of the data folder, with the grower's own laid over them key by key.
 */
#ifndef GARDEN_TABLES_H
#define GARDEN_TABLES_H

#include <stddef.h>

#include "base/fault.h"
#include "base/text.h"
#include "facts/issue.h"
#include "garden/keys.h"
#include "plant/cover.h"
#include "plant/crop.h"

enum { TABLES_PATH_SIZE = 4096 };

/*
 * DIR/crops.ini, then USER_DIR/crops.ini over it (user_dir NULL or the file not
 * there: ours alone).  A crop that only the grower has must be whole.  A figure
 * the grower gives without a basis is marked as theirs.
 */
enum fault_code tables_crops(const char *dir, const char *user_dir, struct crops *crops, struct faults *all) MUST_USE;

/* One layer over *crops from n bytes of a file called `file`; `ours`: each figure must have its basis. */
enum fault_code tables_crops_lay(const char *file, const char *bytes, size_t n, bool ours, struct crops *crops,
				 struct faults *all) MUST_USE;

/* The kinds of sections of the table of crops with their keys, for the manual; *n of them. */
const struct key_section *tables_crops_sections(size_t *n);

/* A commented sample of crops.ini, with every key there is. */
void tables_crops_sample(struct text *t);

/* The same of covers.ini. */
enum fault_code tables_covers(const char *dir, const char *user_dir, struct covers *covers,
			      struct faults *all) MUST_USE;
enum fault_code tables_covers_lay(const char *file, const char *bytes, size_t n, bool ours, struct covers *covers,
				  struct faults *all) MUST_USE;
const struct key_section *tables_covers_sections(size_t *n);
void tables_covers_sample(struct text *t);

/* The names of the descriptions in USER_DIR/sources (NULL: none) and DIR/sources, sorted, each once. */
enum { TABLES_SOURCES_MAX = 64 };

struct tables_sources {
	size_t n;
	char at[TABLES_SOURCES_MAX][ISSUE_SOURCE_SIZE];
};

void tables_sources(const char *dir, const char *user_dir, struct tables_sources *names);

/*
 * Where the description of a source lies: USER_DIR/sources/NAME.ini where that
 * is a file (it replaces ours whole), else DIR/sources/NAME.ini, into buf.
 * FAULT_CONFIG where neither is there.
 */
enum fault_code tables_source_path(const char *dir, const char *user_dir, const char *name,
				   char buf[static TABLES_PATH_SIZE], struct fault *f) MUST_USE;

#endif
