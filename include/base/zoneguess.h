/*
 * What a machine's set-up and the zone database tell of where a garden may be.
 *
 * Guesses for a question's default, never for a note: those go by the garden file.
 */
#ifndef BASE_ZONEGUESS_H
#define BASE_ZONEGUESS_H

#include <stdbool.h>

#include "base/zone.h"

enum { ZONEGUESS_COUNTRY_SIZE = 3 };

/*
 * The zone of a machine by ETC/localtime, a link into the zone database, else by ETC/timezone.  False, and "",
 * where neither names a zone of the database that is of some place: UTC is of none.
 */
bool zoneguess_machine(const char *etc, char name[static ZONE_NAME_SIZE]);

/* The town that a zone is named after, as the database's own list has it. */
struct zoneguess_town {
	char country[ZONEGUESS_COUNTRY_SIZE]; /* two letters (ISO 3166); "" where the list has not the zone */
	double latitude, longitude;           /* degrees north and east; NaN then */
};

void zoneguess_town(const char *zone, struct zoneguess_town *town);

#endif
