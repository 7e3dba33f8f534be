/*
 * Advice: what each decision says of each planting, with the numbers it rests on.
 *
 * Pure: from the garden, the crop tables and the state at the cut.  Every
 * number that a line or `why` prints is a step here; words are the note's
 * business.  Comparisons are made on whole degrees as the grower reads them
 * (advice_degrees), so what is printed and what is decided never disagree.
 */
#ifndef ADVICE_ADVICE_H
#define ADVICE_ADVICE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/date.h"
#include "garden/garden.h"
#include "plant/crop.h"
#include "season/state.h"

enum decision {
	DECISION_COVER,     /* advice/cover */
	DECISION_PLANT_OUT, /* advice/plantout */
	DECISION_SOW,       /* advice/sow: seed, its test, and whether it comes up */
	DECISION_TRAY,      /* advice/tray: what stands in a tray, indoors */
	DECISION_HARDEN,    /* advice/harden */
	DECISION_SETTLE,    /* advice/settle: the first days after planting out */
	DECISIONS
};

/* The verdict is the class of a line, and its word.  At one day the earlier here comes first: what cannot be undone. */
enum verdict {
	VERDICT_COVER,         /* COVER: a coming night is at or under a line */
	VERDICT_CARRY_IN,      /* CARRY IN: the same of a tub that can be carried */
	VERDICT_LOOK,          /* LOOK: tonight cannot be judged and matters */
	VERDICT_PICK,          /* PICK: before a frost that is not worth covering for */
	VERDICT_UNCOVER,       /* UNCOVER: what lies on, and has to come off */
	VERDICT_KEEP_IN,       /* KEEP IN: a hardening plant stays indoors today */
	VERDICT_PUT_OUT,       /* PUT OUT: it stands out for some hours */
	VERDICT_PLANT,         /* PLANT OUT: from today on the nights hold */
	VERDICT_PLANT_COVERED, /* PLANT OUT under a cover: they nearly do */
	VERDICT_WATER,         /* WATER: the root ball of a new plant */
	VERDICT_SHADE,         /* SHADE: the first hot day out */
	VERDICT_SLUGS,         /* LOOK for slugs */
	VERDICT_BEETLES,       /* LOOK for beetles */
	VERDICT_STRAW,         /* STRAW: the soil is warm and wet */
	VERDICT_SOW,           /* SOW */
	VERDICT_DIG,           /* DIG one up: it should have come up */
	VERDICT_THIN,          /* SNIP to one */
	VERDICT_POT_ON,        /* POT ON */
	VERDICT_HEAT_OFF,      /* HEAT OFF: seedlings are up */
	VERDICT_DRIER,         /* WATER LESS: grey days */
	VERDICT_FEED,          /* FEED: held back in its pot */
	VERDICT_TEST,          /* TEST old seed */
	VERDICT_WAIT_SOWING,   /* WAIT with sowing */
	VERDICT_WAIT,          /* WAIT with planting out: nights do not hold, or not yet, or cannot be told */
	VERDICTS
};

struct verdict_row {
	const char *word; /* in capitals, as a line begins */
	bool repeats;     /* a line every day, else only with news */
	bool waits;       /* nothing to do today: after all that has */
};

const struct verdict_row *advice_verdict(enum verdict v);

/* Whether it keeps a plant from a cold night: COVER, CARRY IN. */
bool advice_shelters(enum verdict v);

enum step_kind {
	STEP_NIGHT_LOW,  /* forecast low of the night of `date`; value deg C, NaN where not known */
	STEP_CORRECTED,  /* what such forecasts are off here or elsewhere, in whole degrees, kept in deg C */
	STEP_AIR_LOW,    /* the low with that taken off; deg C */
	STEP_BED_UNDER,  /* the bed's air against it, a difference in whole degrees, kept in deg C; <= 0 */
	STEP_BED_LOW,    /* low of the air in the bed; deg C */
	STEP_LEAF_UNDER, /* the leaf against the bed's air, as STEP_BED_UNDER */
	STEP_LEAF_LOW,   /* low of the leaf; deg C */
	STEP_KILL_LINE,  /* the crop's line for the leaf; deg C */
	STEP_COVER_LINE, /* the crop's line in the bed for any planting outside; deg C */
	STEP_STALL_LINE, /* the crop's line for the just planted; deg C */
	STEP_NIGHT_LINE, /* the planting's line for planting out; deg C */
	STEP_MARGIN,     /* deciding low - line in whole degrees of the garden's units, kept as a deg C difference */
	STEP_DAYS_OUT,   /* days since planting out */
	STEP_SETTLE,     /* days in which the stall line counts */
	STEP_SLOW_LINE,  /* the planting's slow line, where nights at it are enough for planting out; deg C */
	STEP_BED_NIGHT,  /* low to be expected in the bed of the night of `date`; deg C, NaN where nobody can tell */
	STEP_WANTED,     /* so many of the nights listed are wanted at or over the line */
	STEP_HOLD,       /* chance that they are; `date` the day to plant on */
	STEP_STALL,      /* chance of a night at or under the stall line; `date` as well */
	STEP_FROST,      /* chance of frost on the leaf up to the evening `date` */
	STEP_FREE,       /* under a cover on the free day `date`: chance of a stall */
	STEP_AGE,        /* days since sowing */
	STEP_TRAY,       /* days a plant wants in its tray at least */
	/* advice/cover */
	STEP_MISS,       /* such lows miss by more than this one night in three; deg C difference */
	STEP_FREEZE,     /* chance that the leaf gets to the kill line */
	STEP_COVER_AT,   /* from here on it is covered; a chance */
	STEP_COVER_KIND, /* index, in the garden's table, of the cover that is reckoned with */
	STEP_GAIN,       /* what a leaf gains under it that night at least; deg C difference */
	STEP_COVERED,    /* chance that the leaf freezes under it */
	STEP_OFF,        /* instant to take it off again, UTC seconds; NaN: no hour is named */
	STEP_MAY_STAY,   /* it may stay on by day up to this high outside; deg C */
	STEP_LIES,       /* days since something was put over it, by the diary, and it lies still; `date` that day */
	STEP_TIP_LEAF,   /* low of the leaf if cloud comes or wind gets up; deg C */
	STEP_TIP_FREEZE, /* chance that it freezes then */
	STEP_COLD_WIND,  /* the cold comes with this wind; m/s */
	STEP_WARM_AFTER, /* mean of the days after the night; deg C */
	STEP_WARM_LINE,  /* from here on a cover is worth it in autumn; deg C */
	STEP_WARMEST,    /* today's high, for what has to come off; deg C */
	/* advice/harden */
	STEP_HARDEN_LINE,       /* days under it are too cold to stand out; deg C */
	STEP_HARDEN_NIGHT_LINE, /* and nights; deg C */
	STEP_HARDEN_DAYS,       /* days it stood out, as the diary tells them */
	STEP_HARDEN_PLANNED,    /* days it stood out if the plan was followed: the diary tells of none */
	STEP_HARDEN_WANTED,     /* so many are wanted; `date` the day on which they will be full, none where they are */
	STEP_HARDEN_SHORT,      /* it is to be planted out today, and so many days are wanting */
	STEP_HARDEN_HOURS,      /* hours of `date` by the plan; 0: in; NaN: nobody can tell */
	STEP_OUT_FROM,          /* instant to put it out, and */
	STEP_OUT_TO,            /* to bring it in; UTC seconds */
	STEP_OUT_WARMEST,       /* warmest of these hours, of a day in of its light; deg C */
	STEP_OUT_GUST,          /* strongest gust that bars hours, m/s */
	STEP_OUT_RAIN,          /* hardest rain that bars hours, mm in one */
	STEP_OUT_SUN,           /* sun that is strong for it; W/m2 */
	STEP_OUT_NIGHT,         /* low of the coming night; deg C */
	STEP_OUT_STAYS,         /* 1: it may stay out in it; 0: not */
	/* advice/settle */
	STEP_QUENCH,      /* water for the planting's root balls; litres */
	STEP_RAIN_PAST,   /* rain of so many hours up to the cut as the rule looks at; mm, NaN where not known */
	STEP_RAIN_ENOUGH, /* rain that waters a root ball; mm */
	STEP_WATERED,     /* 1: by the diary watered last on `date` */
	STEP_TUB,         /* 1: it stands in a tub */
	STEP_HOTTEST,     /* of today; deg C */
	STEP_SHADE_FROM,  /* instant from which shade is wanted, and */
	STEP_SHADE_TO,    /* to which; UTC seconds */
	STEP_NIGHT_PAST,  /* low of the past night; deg C */
	STEP_SOIL, /* soil 10 cm down at 8 am; deg C; `date`: of planting out the day, else that of a reading of the
		      grower's that it rests on */
	STEP_STRAW_LINE,  /* from which straw is laid; deg C */
	STEP_BEETLE_LINE, /* highs from which beetles fly; deg C */
	/* advice/sow and advice/tray; most have a `date`, and the value is what is said of it */
	STEP_SEED_YEAR,    /* year that the seed was packed for */
	STEP_TEST_DAYS,    /* days a test takes; `date` to count on, if it is begun today */
	STEP_SPROUTED,     /* seeds of ten that sprouted in the test of `date` */
	STEP_OUT_EARLY,    /* likely planting out from `date` */
	STEP_OUT_LATE,     /* to `date` */
	STEP_SOW_FROM,     /* `date` of the first sowing; days it may stay in its tray, NaN where it has none */
	STEP_SOW_TO,       /* `date` of the last that is in time; days it wants in its tray */
	STEP_SOW_READY,    /* `date` on which one sown today is fit for the bed; days in its tray */
	STEP_FROST_HALF,   /* `date` after which half of the years had a frost; years */
	STEP_FROST_TENTH,  /* and one in ten; years */
	STEP_UP_DAYS,      /* days from sowing to emergence; `date` of it */
	STEP_SEED_LINE,    /* soil that the seed is worth sowing in; deg C */
	STEP_SEED_SOIL,    /* soil at the depth of seed at 8 am of `date`; deg C */
	STEP_SEED_COLDEST, /* coldest such morning to come, of `date`; deg C */
	STEP_SEED_READ,    /* `date` of the reading that they rest on */
	STEP_LAST_SOWING,  /* `date` of the last sowing that pays; warmth to the first pick, deg C days */
	STEP_PICK,         /* `date` of that pick; days from sowing */
	STEP_FROST_FIRST,  /* `date` by which half of the years had a frost; years */
	STEP_SOWN,         /* days since sowing, on `date` */
	STEP_SEED_WARMTH,  /* of what the seed lies in; deg C */
	STEP_AIR_DAYS,     /* days of that which stand at the air */
	STEP_SOW_AGAIN,    /* `date` up to which a new sowing is in time */
	STEP_UP,           /* days since it came up on `date`, as told */
	STEP_UP_RECKONED,  /* the same, as reckoned */
	STEP_TRUE_LEAF,    /* days since the first true leaf, on `date` */
	STEP_SPACING,      /* least distance in the row; m */
	STEP_TRAY_FULL,    /* days it may stay in its tray; `date` on which they are full */
	STEP_GREY_DAYS,    /* grey days from today on, the last of them `date` */
	STEPS
};

struct step {
	enum step_kind kind;
	double value;
	struct date date; /* the evening, where it is about a night; else DATE_NONE */
};

enum {
	ADVICE_STEPS = 32,
	/* Nights after planting out that are looked at, and how many must reach the line (judgement). */
	ADVICE_PLANT_NIGHTS = 5,
	ADVICE_PLANT_WANTED = 4,
	/* Nights from tonight on for which COVER is said: warn two or three days ahead (judgement). */
	ADVICE_COVER_AHEAD = 4,
	ADVICE_MAX = (ADVICE_COVER_AHEAD + 9) * GARDEN_PLANTINGS_MAX,
};

struct advice {
	enum decision decision;
	enum verdict verdict;
	size_t planting; /* index in the garden */
	struct date day; /* act-by day: the evening to cover, the day to plant; DATE_NONE where none can be named */
	int64_t act_by;  /* instant to have it done by; INSTANT_NONE where the day is enough */
	int64_t sunset;  /* of `day`, for COVER; INSTANT_NONE where the sun does not set */
	double number_c; /* the low that decides: of COVER that of leaf or bed, by `rule`; NaN where nothing is known */
	double line_c;   /* the line it is held against */
	enum crop_figure rule; /* the figure behind the line: its basis is "where the rule comes from" */
	bool own_line;         /* the line is the planting's own, not its crop's */
	bool cannot_tell;      /* hours are missing that would decide */
	size_t steps;
	struct step step[ADVICE_STEPS];
	bool news; /* differs from the morning before (set by news_mark) */
};

struct advice_list {
	size_t n;
	struct advice at[ADVICE_MAX];
};

/* All advice at the cut, planting by planting: unranked, nothing suppressed. */
void advice_all(const struct garden *g, const struct season_state *s, struct advice_list *out);

/* A temperature as the grower reads it: whole degrees of the garden's units, halves up.  c must be a number. */
int advice_degrees(double c, int units);

/* A difference of such whole degrees in deg C. */
double advice_difference_c(int degrees, int units);

/* The forecast's low that an advice about one night rests on; NaN where nothing is known. */
double advice_air_c(const struct advice *a);

/* Whether two lines speak of the same danger: freezing, by leaf or bed, or the stall of the just planted. */
bool advice_same_danger(const struct advice *a, const struct advice *b);

/* The night's low as far as it is known, also of a night with holes, which can only be colder; NaN: nothing known. */
double advice_low_c(const struct night *n);

/* Add an empty advice to the list; its steps and instants are set to none. */
struct advice *advice_add(struct advice_list *list, enum decision d, enum verdict v, size_t planting);

/* Add a step; past ADVICE_STEPS it is a mistake of ours (assert). */
void advice_step(struct advice *a, enum step_kind kind, double value, struct date date);

/* Whether two numbers are the same, or both missing. */
bool advice_same_number(double a, double b);

/* Whether both have the same value of a kind of step, or both none. */
bool advice_same_step(const struct advice *a, const struct advice *b, enum step_kind kind);

/* Step number `skip` of a kind; where there is none its value is NaN and its date none. */
struct step advice_step_of(const struct advice *a, enum step_kind kind, size_t skip);

#endif
