/*
 * Station records: GHCN-Daily in its layouts, and hours or days in a CSV whose columns a mapping explains.
 *
 * The file is read once, line by line; what comes out are days or hours, and a
 * tally of all that was met.  Which layout it is the content says, never the
 * file's name.
 */
#ifndef SOURCE_STATIONFILE_H
#define SOURCE_STATIONFILE_H

#include <stdint.h>

#include "base/fault.h"
#include "base/linefile.h"
#include "base/zone.h"
#include "source/mapping.h"
#include "source/stationdays.h"
#include "source/stationhours.h"
#include "source/tally.h"

struct stationfile_job {
	const char *file; /* as faults show it; its name without folder and ending names a daily CSV's station */
	const struct mapping *how;
	const struct zone *zone;                                          /* the clock of local times */
	int64_t now;                                                      /* nothing later is a measurement */
	void (*progress)(const char *file, uint64_t done, uint64_t size); /* NULL: nobody looks */
};

enum stationfile_kind { STATIONFILE_NONE, STATIONFILE_GHCN, STATIONFILE_DAYS, STATIONFILE_HOURS };

struct stationfile {
	enum stationfile_kind kind;
	bool clock; /* its times were read by the zone's clock */
	struct tally tally;
	struct stationdays days;   /* of GHCN and of daily CSV */
	struct stationhours hours; /* of hourly CSV */
};

/*
 * Read a file.  Lines that cannot be used are in the tally and do not stop it.
 *
 * Faults   those of linefile_open, with the path
 *          FAULT_DATA    no layout is known of it, half of its lines and more cannot be read, nothing in it can be used
 *          FAULT_USAGE   more stations than may be; it says how to take one
 *          FAULT_CONFIG  columns that are not in the heading, or do not fit together
 *          FAULT_MEMORY
 * Free also after a fault: the tally says what was wrong.
 */
enum fault_code stationfile_read(const struct stationfile_job *job, struct stationfile *out, struct fault *f) MUST_USE;

/* The same over lines that are open. */
enum fault_code stationfile_lines(const struct stationfile_job *job, struct linefile *l, struct stationfile *out,
				  struct fault *f) MUST_USE;

void stationfile_free(struct stationfile *s);

#endif
