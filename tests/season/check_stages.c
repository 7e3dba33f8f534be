#include <stdio.h>
#include <string.h>

#include "base/instant.h"
#include "lib/bed.h"
#include "lib/harness.h"
#include "season/stages.h"

enum { OFFSET = -5 * HOUR_S, BEFORE = 60, HOURS = 24 * 90 };

static struct crops crops;
static struct garden garden;
static struct zone zone;
static struct hours air;
static struct entry entries[8];
static size_t entry_count;
static double soil_c[HOURS];
static struct soil_hours soil;
static struct soil reading;
static struct dates dates;
static struct stage_state now;
static struct fault fault;

/* Base 10 C and 60 degree days to emergence; flowers and pick at 200, 300 and 350 from planting out. */
static void setup(void)
{
	bed_crops(&crops);
	struct crop *c = &crops.at[0];
	c->emerge_base_c = 10;
	c->emerge_dd = 60;
	c->tray_most_days = 35;
	c->male_planted_dd = (struct spread){200, 150, 260};
	c->female_planted_dd = (struct spread){300, 250, 360};
	c->pick_planted_dd = (struct spread){350, 300, 420};
	bed_garden(&garden, UNIT_US);
	zone_fixed("Test/Lane", OFFSET, &zone);
	entry_count = 0;
	reading = (struct soil){(double)NAN, SOIL_UNKNOWN, date_none()};
	soil = (struct soil_hours){instant_at(bed_day(-BEFORE), 0, OFFSET), HOURS, soil_c};
	for (int i = 0; i < HOURS; i++)
		soil_c[i] = (double)NAN;
	ck_assert_int_eq(hours_init(&air, soil.first, HOURS, &fault), FAULT_NONE);
}

static void teardown(void)
{
	hours_free(&air);
}

static void steady_soil(int from, int to, double c)
{
	for (int i = (from + BEFORE) * 24; i < (to + BEFORE) * 24; i++)
		soil_c[i] = c;
}

static void steady_air(int from, int to, double c)
{
	for (int64_t t = instant_at(bed_day(from), 0, OFFSET); t < instant_at(bed_day(to), 0, OFFSET); t += HOUR_S)
		hours_set(&air, VAR_AIR_TEMPERATURE, t, c, ORIGIN_ANALYSED);
}

static void told(int day, enum verb v)
{
	struct entry *e = &entries[entry_count++];
	memset(e, 0, sizeof *e);
	e->date = bed_day(day);
	snprintf(e->planting, sizeof e->planting, "a");
	snprintf(e->verb, sizeof e->verb, "%s", verb_word(v));
}

/* Stages on a day of a planting sown that many days before or after 19 May. */
static void stages_on(int day, int sown, int planted, enum garden_sowing how, double so_far, double pace)
{
	struct planting *p = &garden.planting[0];
	garden.plantings = 0;
	bed_planting(&garden, &crops, "a", "gourdlet", "", "");
	p->sown = bed_day(sown);
	p->planted = planted == 9999 ? date_none() : bed_day(planted);
	p->sowing = (int)how;
	dates_of(&garden, 0, &(struct diary){entries, entry_count}, bed_day(day), &dates);
	const struct stages_in in = {.garden = &garden,
				     .zone = &zone,
				     .hours = &air,
				     .seed = &soil,
				     .reading = &reading,
				     .dates = &dates,
				     .today = bed_day(day),
				     .so_far_dd = so_far,
				     .pace_dd = pace};
	stages_at(&in, &now);
}

static int day_n(struct date d)
{
	return date_is(d) ? date_diff(d, bed_day(0)) : 9999;
}

#define DUE(name, due, a, b, c)                                                                                        \
	do {                                                                                                           \
		ROW_INT(name, day_n((due).least), a);                                                                  \
		ROW_INT(name, day_n((due).likely), b);                                                                 \
		ROW_INT(name, day_n((due).most), c);                                                                   \
	} while (0)

enum { NONE = 9999 };

/* At 20 C six days to emergence, ten more to the true leaf. */
static const struct {
	const char *name;
	int today; /* sown on day 0 */
	enum verb told;
	int told_on;
	enum stage stage;
	enum stage_basis basis;
	int since;
	enum verb ask;
} rows[] = {
    {"on the day", 0, VERBS, 0, STAGE_SOWN, STAGE_FILED, 0, VERBS},
    {"before its day", 5, VERBS, 0, STAGE_SOWN, STAGE_FILED, 0, VERBS},
    {"at the likely day", 6, VERBS, 0, STAGE_UP, STAGE_RECKONED, 6, VERBS},
    {"half as long again", 9, VERBS, 0, STAGE_UP, STAGE_RECKONED, 6, VERBS},
    {"overdue", 10, VERBS, 0, STAGE_UP, STAGE_RECKONED, 6, VERB_UP},
    {"asked for the last time", 12, VERBS, 0, STAGE_UP, STAGE_RECKONED, 6, VERB_UP},
    {"silence", 13, VERBS, 0, STAGE_UP, STAGE_RECKONED, 6, VERBS},
    {"told early", 5, VERB_UP, 4, STAGE_UP, STAGE_TOLD, 4, VERBS},
    {"told late", 11, VERB_UP, 11, STAGE_UP, STAGE_TOLD, 11, VERBS},
    {"told of what it must be up for", 11, VERB_POTTED_ON, 10, STAGE_UP, STAGE_RECKONED, 6, VERBS},
    {"leaf by the calendar", 16, VERBS, 0, STAGE_TRUE_LEAF, STAGE_RECKONED, 16, VERBS},
    {"leaf after what was told", 16, VERB_UP, 4, STAGE_TRUE_LEAF, STAGE_RECKONED, 14, VERBS},
    {"not yet, for it was late", 16, VERB_UP, 11, STAGE_UP, STAGE_TOLD, 11, VERBS},
    {"leaf told", 15, VERB_TRUE_LEAF, 13, STAGE_TRUE_LEAF, STAGE_TOLD, 13, VERBS},
    {"stood out", 20, VERB_PUT_OUT, 19, STAGE_HARDENING, STAGE_TOLD, 19, VERBS},
    {"ended", 8, VERB_ENDED, 8, STAGE_ENDED, STAGE_TOLD, 8, VERBS},
};

START_TEST(in_a_tray)
{
	if (rows[_i].told != VERBS)
		told(rows[_i].told_on, rows[_i].told);
	stages_on(rows[_i].today, 0, NONE, GARDEN_SOWN_INDOORS, (double)NAN, (double)NAN);
	ROW_STR(rows[_i].name, stage_word(now.now), stage_word(rows[_i].stage));
	ROW_INT(rows[_i].name, now.basis, rows[_i].basis);
	ROW_INT(rows[_i].name, day_n(now.since), rows[_i].since);
	ROW_INT(rows[_i].name, now.ask, rows[_i].ask);
}
END_TEST

START_TEST(what_warms_a_tray)
{
	stages_on(0, 0, NONE, GARDEN_SOWN_INDOORS, (double)NAN, (double)NAN);
	DUE("room", now.up, 4, 6, 9);
	DUE("leaf", now.true_leaf, 11, 16, 23);
	ROW_NEAR("room", now.seed_c, 20, 0);
	ROW_INT("fit", day_n(now.fit), 21);
	ROW_INT("full", day_n(now.full), 35);
	garden.heat_mat_c = 25;
	stages_on(0, 0, NONE, GARDEN_SOWN_INDOORS, (double)NAN, (double)NAN);
	DUE("mat", now.up, 3, 4, 6);
	ROW_NEAR("mat", now.seed_c, 25, 0);
	garden.heat_mat_c = garden.indoor_c = (double)NAN;
	stages_on(30, 0, NONE, GARDEN_SOWN_INDOORS, (double)NAN, (double)NAN);
	DUE("nobody says how warm it is", now.up, NONE, NONE, NONE);
	ROW_INT("so it stays sown", now.now, STAGE_SOWN);
	ROW_INT("and nothing is asked", now.ask, VERBS);
}
END_TEST

START_TEST(in_the_soil)
{
	steady_soil(-10, 4, 15);
	stages_on(2, 0, NONE, GARDEN_SOWN_OUTDOORS, (double)NAN, (double)NAN);
	DUE("5 a day, and so on", now.up, 8, 12, 18);
	ROW_INT("by soil alone", now.air_days, 0);
	steady_soil(4, 12, 20);
	stages_on(2, 0, NONE, GARDEN_SOWN_OUTDOORS, (double)NAN, (double)NAN);
	DUE("warmth to come", now.up, 6, 8, 12);
	/* Read five degrees over what was reckoned: all days are so much warmer. */
	reading = (struct soil){20, SOIL_READ, bed_day(1)};
	stages_on(2, 0, NONE, GARDEN_SOWN_OUTDOORS, (double)NAN, (double)NAN);
	DUE("a reading", now.up, 4, 5, 8);
	reading = (struct soil){(double)NAN, SOIL_UNKNOWN, date_none()};
	/* Two days before the soil has settled: the air's stand for them. */
	steady_soil(-10, 2, (double)NAN);
	stages_on(2, 0, NONE, GARDEN_SOWN_OUTDOORS, (double)NAN, (double)NAN);
	DUE("nothing known of two past days", now.up, NONE, NONE, NONE);
	steady_air(0, 2, 25);
	stages_on(2, 0, NONE, GARDEN_SOWN_OUTDOORS, (double)NAN, (double)NAN);
	ROW_INT("by air", now.air_days, 2);
	DUE("30 by air, 10 by cool soil, 20 by warm", now.up, 4, 6, 9);
}
END_TEST

START_TEST(long_in_the_soil)
{
	steady_soil(-40, 2, 15);
	stages_on(0, -STAGES_SOIL_DAYS - 1, NONE, GARDEN_SOWN_OUTDOORS, (double)NAN, (double)NAN);
	DUE("not reckoned on", now.up, NONE, NONE, NONE);
	struct planting *p = &garden.planting[0];
	ROW_TRUE("nor asked for", !date_is(stages_soil_from(p, &dates, bed_day(0))));
	stages_on(0, -20, NONE, GARDEN_SOWN_OUTDOORS, (double)NAN, (double)NAN);
	ROW_INT("soil from", day_n(stages_soil_from(p, &dates, bed_day(0))), -31);
	told(-2, VERB_UP);
	stages_on(0, -20, NONE, GARDEN_SOWN_OUTDOORS, (double)NAN, (double)NAN);
	ROW_TRUE("up", !date_is(stages_soil_from(p, &dates, bed_day(0))));
}
END_TEST

/* Planted out on day -20 with ten degree days a day. */
static const struct {
	const char *name;
	double so_far, pace;
	enum verb told;
	int told_on;
	enum stage stage;
	enum stage_basis basis;
	int female, pick; /* likely */
	enum verb ask;
} bed[] = {
    {"growing", 200, 10, VERBS, 0, STAGE_GROWING, STAGE_FILED, 10, 15, VERBS},
    {"flowers by the model", 300, 10, VERBS, 0, STAGE_FLOWERING, STAGE_RECKONED, 0, 5, VERBS},
    {"males told", 200, 10, VERB_MALE, -1, STAGE_FLOWERING, STAGE_TOLD, 10, 15, VERBS},
    {"females told early", 200, 10, VERB_FEMALE, -2, STAGE_FLOWERING, STAGE_TOLD, -2, 15, VERBS},
    {"pick by the model", 350, 10, VERBS, 0, STAGE_PICKING, STAGE_RECKONED, -5, 0, VERBS},
    {"flowers overdue", 380, 10, VERBS, 0, STAGE_PICKING, STAGE_RECKONED, -8, -3, VERB_FEMALE},
    {"pick overdue", 440, 10, VERB_FEMALE, -9, STAGE_PICKING, STAGE_RECKONED, -9, -9, VERB_PICKED},
    {"silence", 460, 10, VERBS, 0, STAGE_PICKING, STAGE_RECKONED, -16, -11, VERBS},
    {"picked", 440, 10, VERB_PICKED, -1, STAGE_PICKING, STAGE_TOLD, -14, -1, VERBS},
    {"warmth not known", (double)NAN, 10, VERBS, 0, STAGE_GROWING, STAGE_FILED, 9999, 9999, VERBS},
};

START_TEST(in_the_bed)
{
	if (bed[_i].told != VERBS)
		told(bed[_i].told_on, bed[_i].told);
	stages_on(0, -50, -20, GARDEN_SOWN_INDOORS, bed[_i].so_far, bed[_i].pace);
	ROW_STR(bed[_i].name, stage_word(now.now), stage_word(bed[_i].stage));
	ROW_INT(bed[_i].name, now.basis, bed[_i].basis);
	ROW_INT(bed[_i].name, day_n(now.female.likely), bed[_i].female);
	ROW_INT(bed[_i].name, day_n(now.pick.likely), bed[_i].pick);
	ROW_INT(bed[_i].name, now.ask, bed[_i].ask);
	ROW_INT(bed[_i].name, day_n(now.fit), NONE);
}
END_TEST

START_TEST(first_days_out)
{
	stages_on(0, -30, 0, GARDEN_SOWN_INDOORS, 0, 10);
	ROW_INT("the day", now.now, STAGE_SET_OUT);
	stages_on(10, -30, 0, GARDEN_SOWN_INDOORS, 100, 10);
	ROW_INT("ten days", now.now, STAGE_SET_OUT);
	stages_on(11, -30, 0, GARDEN_SOWN_INDOORS, 110, 10);
	ROW_INT("eleven", now.now, STAGE_GROWING);
	ROW_INT("since", day_n(now.since), 11);
}
END_TEST

START_TEST(what_comes_next)
{
	enum stage next;
	stages_on(0, 1, NONE, GARDEN_SOWN_INDOORS, (double)NAN, (double)NAN);
	ROW_INT("not sown", now.now, STAGE_NONE);
	ROW_TRUE("nothing", stages_next(&now, &next) == NULL);
	stages_on(0, 0, NONE, GARDEN_SOWN_INDOORS, (double)NAN, (double)NAN);
	ROW_TRUE("up", stages_next(&now, &next) == &now.up && next == STAGE_UP);
	stages_on(7, 0, NONE, GARDEN_SOWN_INDOORS, (double)NAN, (double)NAN);
	ROW_TRUE("leaf", stages_next(&now, &next) == &now.true_leaf && next == STAGE_TRUE_LEAF);
	stages_on(0, -50, -20, GARDEN_SOWN_INDOORS, 200, 10);
	ROW_TRUE("flowers", stages_next(&now, &next) == &now.female && next == STAGE_FLOWERING);
	stages_on(0, -50, -20, GARDEN_SOWN_INDOORS, 320, 10);
	ROW_TRUE("pick", stages_next(&now, &next) == &now.pick && next == STAGE_PICKING);
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("stages");
	TCase *t = tcase_create("stages");
	tcase_add_checked_fixture(t, setup, teardown);
	tcase_add_loop_test(t, in_a_tray, 0, sizeof rows / sizeof *rows);
	tcase_add_test(t, what_warms_a_tray);
	tcase_add_test(t, in_the_soil);
	tcase_add_test(t, long_in_the_soil);
	tcase_add_loop_test(t, in_the_bed, 0, sizeof bed / sizeof *bed);
	tcase_add_test(t, first_days_out);
	tcase_add_test(t, what_comes_next);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
