/*
 * What happened to a planting, and when: the garden file's dates, the diary's over them.
 */
#ifndef SEASON_DATES_H
#define SEASON_DATES_H

#include <stdbool.h>
#include <stddef.h>

#include "base/date.h"
#include "facts/entry.h"
#include "facts/verb.h"
#include "garden/garden.h"

/* A garden's entries that stand (none taken back), by date, then in the order they came in. */
struct diary {
	const struct entry *entry;
	size_t n;
};

struct dates {
	struct date first[VERBS], last[VERBS]; /* DATE_NONE where it has not happened; same day where once */
	bool told[VERBS];                      /* by the diary, else by the garden file */
	int days[VERBS];                       /* on how many days the diary has it */
	double amount[VERBS];                  /* of the diary's last; NaN where none was told */
};

/*
 * The dates of one planting up to a day.
 *
 * Given    g, planting   its index; sown, planted and ended of the file stand for the verbs sown, planted out, ended
 *          today         the file's later dates are kept, for they are plans; the diary's are not looked at
 * Notes    an entry belongs to the planting of its name; one without planting but with a bed belongs to all that
 *          stand there.  The diary's first sowing and planting out beat the file's.
 */
void dates_of(const struct garden *g, size_t planting, const struct diary *diary, struct date today, struct dates *d);

/* Whether there is a date, and it has come by today. */
bool dates_by(struct date d, struct date today);

#endif
