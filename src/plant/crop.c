#include "plant/crop.h"

#include <math.h>
#include <stdbool.h>
#include <string.h>

#include "base/text.h"

/*
 * Bounds are those of a slip (a wrong unit, a digit too many), not of a plant; what figures mean together is
 * crop_check's.
 */
#define ROW(which, field)                                                                                              \
	.at = offsetof(struct crop, field), .basis_at = offsetof(struct crop_sheet, basis.of[which]),                  \
	.basis_size = CROP_BASIS_SIZE
#define TEMPERATURE .kind = KEY_VALUE, .family = UNIT_TEMPERATURE, .lo = -10, .hi = 50
#define LENGTH      .kind = KEY_VALUE, .family = UNIT_LENGTH, .lo = 0.005, .hi = 10
#define WARMTH      .family = UNIT_WARMTH, .lo = 1, .hi = 5000
#define SHARE       .kind = KEY_VALUE, .family = UNIT_FRACTION, .lo = 0.05, .hi = 0.95
#define COEFFICIENT .kind = KEY_NUMBER, .lo = 0.05, .hi = 2
#define DAYS        .kind = KEY_COUNT, .lo = 0, .hi = 180

const struct key crop_key[CROP_FIGURES] = {
    [CROP_TITLE] = {.name = "title",
		    .kind = KEY_TEXT,
		    .required = true,
		    .example = "NAME",
		    .help = "The crop as a note says it",
		    .at = offsetof(struct crop, title),
		    .size = CROP_TITLE_SIZE},

    [CROP_BASE] = {.name = "base",
		   TEMPERATURE,
		   .required = true,
		   .example = "10 C",
		   .help = "Degree days count from here",
		   ROW(CROP_BASE, rule.base_c)},
    [CROP_CAP] = {.name = "cap",
		  TEMPERATURE,
		  .required = true,
		  .example = "30 C",
		  .help = "Warmth over it counts no more",
		  ROW(CROP_CAP, rule.cap_c)},
    [CROP_METHOD] = {.name = "method",
		     .kind = KEY_CHOICE,
		     .word = {[DEGREE_HOURLY] = "hourly",
			      [DEGREE_AVERAGE_MEAN] = "average-mean",
			      [DEGREE_AVERAGE_ENDS] = "average-ends",
			      [DEGREE_AVERAGE_HIGH] = "average-high",
			      [DEGREE_SINE] = "sine",
			      [DEGREE_TRIANGLE] = "triangle",
			      [DEGREE_SINE_DOUBLE] = "sine-double",
			      [DEGREE_TRIANGLE_DOUBLE] = "triangle-double"},
		     .required = true,
		     .example = "hourly",
		     .help = "How degree days are counted",
		     ROW(CROP_METHOD, rule.method)},
    [CROP_CUTOFF] = {.name = "cutoff",
		     .kind = KEY_CHOICE,
		     .word = {[DEGREE_NO_CUTOFF] = "none",
			      [DEGREE_HORIZONTAL] = "horizontal",
			      [DEGREE_VERTICAL] = "vertical",
			      [DEGREE_INTERMEDIATE] = "intermediate",
			      [DEGREE_INTERMEDIATE_FLOORED] = "intermediate-floored"},
		     .required = true,
		     .example = "horizontal",
		     .help = "What warmth over the cap does",
		     ROW(CROP_CUTOFF, rule.cutoff)},

    [CROP_NIGHT_LINE] = {.name = "night_line",
			 TEMPERATURE,
			 .required = true,
			 .example = "60 F",
			 .help = "Nights at or over it are fit for planting out",
			 ROW(CROP_NIGHT_LINE, night_line_c)},
    [CROP_SLOW] = {.name = "slow",
		   TEMPERATURE,
		   .required = true,
		   .example = "55 F",
		   .help = "Nights under it slow growth",
		   ROW(CROP_SLOW, slow_c)},
    [CROP_STALL] = {.name = "stall",
		    TEMPERATURE,
		    .required = true,
		    .example = "50 F",
		    .help = "Nights under it stall what was just planted out",
		    ROW(CROP_STALL, stall_c)},
    [CROP_KILL] = {.name = "kill",
		   TEMPERATURE,
		   .required = true,
		   .example = "32 F",
		   .help = "A leaf at or under it dies",
		   ROW(CROP_KILL, kill_c)},
    [CROP_COVER] = {.name = "cover",
		    TEMPERATURE,
		    .required = true,
		    .example = "38 F",
		    .help = "Air in the bed at or under it calls for a cover over what has settled",
		    ROW(CROP_COVER, cover_c)},
    [CROP_SETTLE] = {.name = "settle_days",
		     .kind = KEY_COUNT,
		     .lo = 0,
		     .hi = 60,
		     .required = true,
		     .example = "10",
		     .help = "Days after planting out in which stall counts",
		     ROW(CROP_SETTLE, settle_days)},
    [CROP_COVER_AT] = {.name = "cover_at",
		       .kind = KEY_VALUE,
		       .family = UNIT_FRACTION,
		       .lo = 0.01,
		       .hi = 0.95,
		       .example = "10 %",
		       .help = "Chance of a leaf at kill from which it is covered; half of it in settle_days",
		       ROW(CROP_COVER_AT, cover_at)},
    [CROP_FROST_ORDER] = {.name = "frost_order",
			  .kind = KEY_COUNT,
			  .lo = 1,
			  .hi = 20,
			  .example = "2",
			  .help = "Picked first to last, from 1 on, before a frost that is not worth a cover",
			  ROW(CROP_FROST_ORDER, frost_order)},
    [CROP_FROST_PICK] = {.name = "frost_pick",
			 .kind = KEY_TEXT,
			 .example = "WHAT",
			 .help = "What is worth picking then, as a note says it",
			 .size = CROP_WHAT_SIZE,
			 ROW(CROP_FROST_PICK, frost_pick)},

    [CROP_SOW_SOIL] = {.name = "sow_soil",
		       TEMPERATURE,
		       .example = "60 F",
		       .help = "Soil at the depth of the seed under which it does not come up",
		       ROW(CROP_SOW_SOIL, sow_soil_c)},
    [CROP_SOW_SOIL_GOOD] = {.name = "sow_soil_good",
			    TEMPERATURE,
			    .example = "65 F",
			    .help = "Soil at the depth of the seed from which sowing is worthwhile",
			    ROW(CROP_SOW_SOIL_GOOD, sow_soil_good_c)},
    [CROP_EMERGE_BASE] = {.name = "emerge_base",
			  TEMPERATURE,
			  .example = "11 C",
			  .help = "Warmth of the soil counts from here until seedlings are up",
			  ROW(CROP_EMERGE_BASE, emerge_base_c)},
    [CROP_EMERGE] = {.name = "emerge",
		     .kind = KEY_VALUE,
		     WARMTH,
		     .example = "70 C-days",
		     .help = "Warmth of the soil over emerge_base until seedlings are up",
		     ROW(CROP_EMERGE, emerge_dd)},
    [CROP_TRAY] = {.name = "tray_days",
		   DAYS,
		   .required = true,
		   .example = "21",
		   .help = "Days from sowing indoors before which a plant is too young for the bed",
		   ROW(CROP_TRAY, tray_days)},
    [CROP_TRAY_MOST] = {.name = "tray_most_days",
			DAYS,
			.example = "35",
			.help = "Days from sowing indoors after which a plant has been in its tray too long",
			ROW(CROP_TRAY_MOST, tray_most_days)},
    [CROP_HARDEN_DAY] = {.name = "harden_day",
			 TEMPERATURE,
			 .example = "55 F",
			 .help = "By day, plants being hardened stand out from here on",
			 ROW(CROP_HARDEN_DAY, harden_day_c)},
    [CROP_HARDEN_NIGHT] = {.name = "harden_night",
			   TEMPERATURE,
			   .example = "50 F",
			   .help = "Nights under it, plants being hardened come in",
			   ROW(CROP_HARDEN_NIGHT, harden_night_c)},

    [CROP_BEETLES] = {.name = "beetle_days",
		      DAYS,
		      .example = "21",
		      .help = "Days from coming up or planting out in which beetles come to the seed leaves",
		      ROW(CROP_BEETLES, beetle_days)},
    [CROP_STRAW] = {.name = "straw_soil",
		    TEMPERATURE,
		    .example = "70 F",
		    .help = "Soil 10 cm (4 in) down, and wet, from which straw is laid on it",
		    ROW(CROP_STRAW, straw_soil_c)},

    [CROP_SPACING] = {.name = "spacing",
		      LENGTH,
		      .example = "24 in",
		      .help = "Least distance in the row",
		      ROW(CROP_SPACING, spacing_m)},
    [CROP_ROW_SPACING] = {.name = "row_spacing",
			  LENGTH,
			  .example = "36 in",
			  .help = "Least distance between rows",
			  ROW(CROP_ROW_SPACING, row_spacing_m)},
    [CROP_LEAF_WIDTH] = {.name = "leaf_width",
			 LENGTH,
			 .example = "25 cm",
			 .help = "Width of a grown leaf; wide ones get colder under a clear sky",
			 ROW(CROP_LEAF_WIDTH, leaf_width_m)},

    [CROP_MALE_SOWN] = {.name = "male_sown",
			.kind = KEY_SPREAD,
			WARMTH,
			.example = "400 (300-550) C-days",
			.help = "Degree days from sowing to the first male flower",
			ROW(CROP_MALE_SOWN, male_sown_dd)},
    [CROP_FEMALE_SOWN] = {.name = "female_sown",
			  .kind = KEY_SPREAD,
			  WARMTH,
			  .example = "450 (350-600) C-days",
			  .help = "Degree days from sowing to the first female flower",
			  ROW(CROP_FEMALE_SOWN, female_sown_dd)},
    [CROP_PICK_SOWN] = {.name = "pick_sown",
			.kind = KEY_SPREAD,
			WARMTH,
			.example = "500 (400-700) C-days",
			.help = "Degree days from sowing to the first pick",
			ROW(CROP_PICK_SOWN, pick_sown_dd)},
    [CROP_MALE_PLANTED] = {.name = "male_planted",
			   .kind = KEY_SPREAD,
			   WARMTH,
			   .example = "200 C-days",
			   .help = "Degree days from planting out to the first male flower",
			   ROW(CROP_MALE_PLANTED, male_planted_dd)},
    [CROP_FEMALE_PLANTED] = {.name = "female_planted",
			     .kind = KEY_SPREAD,
			     WARMTH,
			     .example = "250 (180-320) C-days",
			     .help = "Degree days from planting out to the first female flower",
			     ROW(CROP_FEMALE_PLANTED, female_planted_dd)},
    [CROP_PICK_PLANTED] = {.name = "pick_planted",
			   .kind = KEY_SPREAD,
			   WARMTH,
			   .example = "300 (220-400) C-days",
			   .help = "Degree days from planting out to the first pick",
			   ROW(CROP_PICK_PLANTED, pick_planted_dd)},
    [CROP_FRUIT] = {.name = "fruit",
		    .kind = KEY_SPREAD,
		    WARMTH,
		    .example = "70 (50-100) C-days",
		    .help = "Degree days from an open female flower to a fruit fit to pick",
		    ROW(CROP_FRUIT, fruit_dd)},
    [CROP_PICK_SIZE] = {.name = "pick_size",
			.kind = KEY_SPREAD,
			.family = UNIT_LENGTH,
			.lo = 0.005,
			.hi = 2,
			.example = "7 (6-8) in",
			.help = "Length of a fruit fit to pick",
			ROW(CROP_PICK_SIZE, pick_size_m)},
    [CROP_PICK_DAILY] = {.name = "pick_daily",
			 TEMPERATURE,
			 .example = "70 F",
			 .help = "At daily means from here on a bearing plant is looked over every day",
			 ROW(CROP_PICK_DAILY, pick_daily_c)},
    [CROP_PICK_SECOND] = {.name = "pick_second",
			  TEMPERATURE,
			  .example = "60 F",
			  .help = "And from here on every second day; every third where it is cooler",
			  ROW(CROP_PICK_SECOND, pick_second_c)},

    [CROP_KC_INI] = {.name = "kc_ini",
		     COEFFICIENT,
		     .example = "0.5",
		     .help = "Crop coefficient from sowing to a tenth of the ground covered",
		     ROW(CROP_KC_INI, kc_ini)},
    [CROP_KC_MID] = {.name = "kc_mid",
		     COEFFICIENT,
		     .example = "0.95",
		     .help = "Crop coefficient of the grown crop",
		     ROW(CROP_KC_MID, kc_mid)},
    [CROP_KC_END] = {.name = "kc_end",
		     COEFFICIENT,
		     .example = "0.75",
		     .help = "Crop coefficient at its end",
		     ROW(CROP_KC_END, kc_end)},
    [CROP_ROOT_START] = {.name = "root_start",
			 LENGTH,
			 .example = "15 cm",
			 .help = "Depth of the roots of a seedling",
			 ROW(CROP_ROOT_START, root_start_m)},
    [CROP_ROOT_DEPTH] = {.name = "root_depth",
			 LENGTH,
			 .example = "45 cm",
			 .help = "Depth that roots grow to",
			 ROW(CROP_ROOT_DEPTH, root_depth_m)},
    [CROP_DEPLETION] = {.name = "depletion",
			SHARE,
			.example = "45 %",
			.help = "Share of the available water that may be spent before the plant feels it",
			ROW(CROP_DEPLETION, depletion_frac)},
    [CROP_DEPLETION_FRUIT] = {.name = "depletion_fruit",
			      SHARE,
			      .example = "30 %",
			      .help = "The same from flowering on, where it differs",
			      ROW(CROP_DEPLETION_FRUIT, depletion_fruit_frac)},
};

_Static_assert(sizeof(enum degree_method) == sizeof(int) && sizeof(enum degree_cutoff) == sizeof(int),
	       "a choice is stored as an int");

size_t crop_index(const struct crops *cs, const char *name)
{
	size_t i = 0;

	while (i < cs->n && strcmp(cs->at[i].name, name) != 0)
		i++;
	return i;
}

const struct crop *crop_find(const struct crops *cs, const char *name)
{
	size_t i = crop_index(cs, name);

	return i < cs->n ? &cs->at[i] : NULL;
}

const char *crop_figure_key(enum crop_figure i)
{
	return i < CROP_FIGURES ? crop_key[i].name : "";
}

double crop_figure(const struct crop *c, enum crop_figure i)
{
	const struct key *k = &crop_key[i];
	const char *at = (const char *)c + k->at;
	double x = (double)NAN;
	int count;

	if (k->kind == KEY_COUNT) {
		memcpy(&count, at, sizeof count);
		return count > 0 || k->required ? count : x;
	}
	/* the likely figure of a spread comes first */
	if (k->kind == KEY_NUMBER || k->kind == KEY_VALUE || k->kind == KEY_SPREAD)
		memcpy(&x, at, sizeof x);
	return x;
}

_Static_assert(offsetof(struct spread, likely) == 0, "the likely figure comes first");

/* The first under the second, or at it. */
static const struct order {
	enum crop_figure lower, upper;
	bool may_equal;
} ORDER[] = {
    {CROP_KILL, CROP_STALL, false},
    {CROP_STALL, CROP_SLOW, true},
    {CROP_SLOW, CROP_NIGHT_LINE, true},
    {CROP_KILL, CROP_COVER, true},
    {CROP_COVER, CROP_SLOW, true},
    {CROP_BASE, CROP_CAP, false},
    {CROP_SOW_SOIL, CROP_SOW_SOIL_GOOD, true},
    {CROP_EMERGE_BASE, CROP_SOW_SOIL_GOOD, false},
    {CROP_TRAY, CROP_TRAY_MOST, true},
    {CROP_KILL, CROP_HARDEN_NIGHT, false},
    {CROP_HARDEN_NIGHT, CROP_HARDEN_DAY, true},
    {CROP_FEMALE_SOWN, CROP_PICK_SOWN, true},
    {CROP_FEMALE_PLANTED, CROP_PICK_PLANTED, true},
    {CROP_PICK_SECOND, CROP_PICK_DAILY, true},
    {CROP_ROOT_START, CROP_ROOT_DEPTH, true},
};

/* As every grower may have written it: "stall (11 C, 51.8 F)". */
static void figure_write(const struct crop *c, enum crop_figure i, struct text *t)
{
	const struct key *k = &crop_key[i];
	double x = crop_figure(c, i);

	if (k->kind == KEY_VALUE || k->kind == KEY_SPREAD)
		text_addf(t, "%s (%.4g %s, %.4g %s)", k->name, unit_outside(k->family, UNIT_METRIC, x),
			  unit_label(k->family, UNIT_METRIC), unit_outside(k->family, UNIT_US, x),
			  unit_label(k->family, UNIT_US));
	else
		text_addf(t, "%s (%.4g)", k->name, x);
}

static enum fault_code out_of_order(const struct crop *c, const struct order *o, struct fault *f)
{
	char mem[FAULT_TEXT_SIZE];
	struct text t;

	text_over(&t, mem, sizeof mem);
	figure_write(c, o->lower, &t);
	text_add(&t, " is not under ");
	figure_write(c, o->upper, &t);
	text_add(&t, o->may_equal ? "; less than that, or as much" : "; less than that");
	return fault_set(f, FAULT_CONFIG, "%s", t.at);
}

static bool in_order(double lower, double upper, bool may_equal)
{
	return isnan(lower) || isnan(upper) || lower < upper || (may_equal && lower == upper);
}

enum fault_code crop_check(const struct crop *c, struct fault *f)
{
	for (size_t i = 0; i < CROP_FIGURES; i++)
		if (crop_key[i].required && crop_key[i].kind == KEY_VALUE && isnan(crop_figure(c, (enum crop_figure)i)))
			return fault_set(f, FAULT_CONFIG, "%s is missing; as %s = %s", crop_key[i].name,
					 crop_key[i].name, crop_key[i].example);
	for (size_t i = 0; i < sizeof ORDER / sizeof *ORDER; i++)
		if (!in_order(crop_figure(c, ORDER[i].lower), crop_figure(c, ORDER[i].upper), ORDER[i].may_equal))
			return out_of_order(c, &ORDER[i], f);
	if (isnan(c->emerge_base_c) != isnan(c->emerge_dd))
		return fault_set(f, FAULT_CONFIG, "emerge_base and emerge go together; both of them, or neither");
	if (!degree_rule_ok(&c->rule))
		return fault_set(f, FAULT_CONFIG,
				 "cutoff does not go with method; a simple average knows none and horizontal");
	return FAULT_NONE;
}
