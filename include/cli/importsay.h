/*
 * What an import took and left out, in words.
 */
#ifndef CLI_IMPORTSAY_H
#define CLI_IMPORTSAY_H

#include <stdbool.h>

#include "base/text.h"
#include "garden/garden.h"
#include "source/stationfile.h"

enum { IMPORTSAY_SIZE = 64 * 1024 };

/* A few lines for each station, or one for the hours, then the counts that are not 0. */
void importsay(const struct stationfile *s, const struct garden *garden, const struct zone *zone, bool stored,
	       struct text *t);

#endif
