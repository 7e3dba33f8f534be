/*
 * The names that a diary line speaks of: plantings, beds and tubs of the garden file.
 */
#ifndef GARDEN_DIARYNAME_H
#define GARDEN_DIARYNAME_H

#include <stdbool.h>

#include "base/fault.h"
#include "garden/garden.h"

/* By its name, in any case where none has it as it is written; NULL where there is none. */
const struct planting *diaryname_planting(const struct garden *g, const char *word);

/* The name of the bed or tub, in any case; NULL where there is none. */
const char *diaryname_place(const struct garden *g, const char *word);

/* Whether it is one of either. */
bool diaryname_is(const struct garden *g, const char *word);

/* The only planting of a crop, *p NULL where there is none; FAULT_DATA where there are several. */
enum fault_code diaryname_crop(const struct garden *g, const char *word, const struct planting **p,
			       struct fault *f) MUST_USE;

/* FAULT_DATA: a word that is no name here, and which may have been meant. */
enum fault_code diaryname_unknown(const struct garden *g, const char *word, struct fault *f) MUST_USE;

#endif
