#include "facts/issue.h"

#include <math.h>

#include "base/instant.h"

void issue_init(struct issue *i)
{
	*i = (struct issue){
	    .received = INSTANT_NONE,
	    .issued = INSTANT_NONE,
	    .cell_latitude = (double)NAN,
	    .cell_longitude = (double)NAN,
	    .cell_elevation_m = (double)NAN,
	};
}

void issue_free(struct issue *i)
{
	hours_free(&i->hours);
}

int64_t issue_made(const struct issue *i)
{
	return i->issued != INSTANT_NONE ? i->issued : i->received;
}

int64_t issue_settled(const struct issue *i)
{
	return i->received - i->observed_after_s;
}
