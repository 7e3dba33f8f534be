/*
 * Where a planting stands between seed and end, since when, and when the next stage is to be expected.
 *
 * What the diary tells beats the model; so does the garden file's date.  What nobody told is reckoned: emergence
 * by the warmth of what the seed lies in (plant/stage), the first true leaf by the calendar, flowers and the
 * first pick by degree days.  The model moves a planting on at the likely day and says that it is reckoned.
 *
 * Seed indoors is as warm as the mat (heat_mat) where there is one, else as the room (indoor).  Seed outdoors lies
 * in reckoned bare soil, shifted by the grower's reading (season/soil); days before that soil has settled stand
 * at the day's air and are counted, for they are a guess.
 *
 * A stage that is overdue and untold is asked for on STAGES_ASK_DAYS mornings, then never again.
 */
#ifndef SEASON_STAGES_H
#define SEASON_STAGES_H

#include <stdbool.h>
#include <stddef.h>

#include "base/zone.h"
#include "facts/hours.h"
#include "garden/garden.h"
#include "plant/stage.h"
#include "season/dates.h"
#include "season/soil.h"

enum {
	STAGES_ASK_DAYS = 3,                  /* one question, then silence (judgement) */
	STAGES_SOIL_DAYS = STAGE_UP_MOST / 2, /* seed sown longer ago is not reckoned on (judgement) */
	STAGES_SOIL_BEFORE = 11,              /* hours wanted before a sowing: ten days settle */
};

enum stage_basis { STAGE_UNKNOWN, STAGE_TOLD, STAGE_FILED, STAGE_RECKONED };

/* When something is to be expected, or, all three the same, when it happened; DATE_NONE: cannot tell. */
struct due {
	struct date least, likely, most;
};

struct stage_state {
	enum stage now;
	enum stage_basis basis; /* by the diary, the garden file, or the model */
	struct date since;      /* of a reckoned one the likely day; DATE_NONE where nobody knows */
	struct due up;          /* of one not sown yet: as if it were sown today */
	struct due true_leaf, male, female, pick;
	bool up_told;          /* somebody said that it is up, or something that it must be up for */
	int air_days;          /* days of the warmth to emergence that stand at the air */
	double seed_c;         /* warmth of what the seed lies in, the last day reckoned with; NaN not known */
	struct date fit, full; /* fit for the bed; too long in its tray after it; DATE_NONE where not in a tray */
	enum verb ask;         /* what the grower is to be asked for; VERBS: nothing */
};

struct stages_in {
	const struct garden *garden;
	size_t planting;
	const struct zone *zone;
	const struct hours *hours;
	const struct soil_hours *seed; /* at the depth of seed */
	const struct soil *reading;
	const struct dates *dates;
	struct date today;
	double so_far_dd, pace_dd; /* warmth since the day it was planted out, or sown in place; NaN not known */
};

/* Whether one that nobody has sown or planted yet is meant to be sown; else it is bought in, or not told of. */
bool stages_to_sow(const struct planting *p);

void stages_at(const struct stages_in *in, struct stage_state *out);

/* The next stage and when it is to be expected; NULL where there is none to wait for. */
const struct due *stages_next(const struct stage_state *s, enum stage *next);

/* The first day whose soil is wanted for a planting that was sown in place; DATE_NONE where none is. */
struct date stages_soil_from(const struct planting *p, const struct dates *dates, struct date today);

#endif
