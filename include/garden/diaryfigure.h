/*
 * The number of a diary line: a count, a temperature, a depth of rain, an amount of water, seeds out of seeds.
 */
#ifndef GARDEN_DIARYFIGURE_H
#define GARDEN_DIARYFIGURE_H

#include <stddef.h>

#include "base/fault.h"
#include "base/unit.h"
#include "garden/diaryday.h"
#include "garden/diaryverb.h"

/*
 * The number that words from i on say, as the verb wants it.
 *
 * Given    units   of the garden: a temperature without a unit has them
 * Returned *amount in the inside unit, *used words; 0 words where word i begins with no number
 * Faults   FAULT_DATA: the unit is missing or of something else, or it is out of range
 */
enum fault_code diaryfigure_at(const struct diarywords *w, size_t i, const struct diaryverb *verb,
			       enum unit_system units, double *amount, size_t *used, struct fault *f) MUST_USE;

#endif
