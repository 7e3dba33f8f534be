/*
 * The keys of [mail], and what they mean together.
 *
 * Whether a file of them exists and may be read is not asked here: that is for
 * whoever delivers.
 */
#ifndef GARDEN_MAILKEYS_H
#define GARDEN_MAILKEYS_H

#include "base/ini.h"
#include "facts/mail.h"
#include "garden/keys.h"

enum { MAILKEYS = 13 };

extern const struct key mailkeys[MAILKEYS];

/* What the chosen way needs and lacks; `from` becomes the first of `to` where not given. */
void mailkeys_check(const struct ini *doc, const struct ini_section *s, struct mail *m, struct faults *all);

#endif
