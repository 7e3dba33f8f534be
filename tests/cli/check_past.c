#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/instant.h"
#include "base/mem.h"
#include "cli/compose.h"
#include "cli/past.h"
#include "lib/bed.h"
#include "lib/harness.h"
#include "lib/scratchrecord.h"
#include "record/diary.h"
#include "record/hourstore.h"
#include "record/outbox.h"
#include "record/stationstore.h"

/* An invented record: every issue says one temperature of all its hours, so a night's low is that. */

enum { OFFSET = -6 * HOUR_S, AHEAD_H = 4 * 24, MORNING_S = 5 * HOUR_S + 17 * 60, LOOK_BACK = 40 };

static struct scratchrecord scratch;
static struct options options;
static struct context *c;
static struct fault f;
static struct past past;

static int64_t at(int n, int s)
{
	return instant_at(bed_day(n), s, OFFSET);
}

static void setup(void)
{
	f = (struct fault){0};
	scratchrecord_open(&scratch);
	options = (struct options){.command = COMMAND_MORNING,
				   .date = date_none(),
				   .since = date_none(),
				   .until = date_none(),
				   .at = at(0, MORNING_S)};
	ck_assert_int_eq(context_new(&options, &c, &f), FAULT_NONE);
	bed_crops(&c->crops);
	bed_garden(&c->garden, UNIT_US);
	c->garden.place = place_at(44.31, -89.90, 330);
	zone_fixed("Test/Lane", OFFSET, &c->zone);
	c->record = scratch.rec;
	c->place = scratch.place;
	c->placed = true;
	past = (struct past){0};
}

static void teardown(void)
{
	past_free(&past);
	c->record = NULL; /* the scratch's own */
	context_free(c);
	scratchrecord_close(&scratch);
}

static void hours_at(struct hours *h, int64_t first, size_t n, double air_c, enum origin origin)
{
	ck_assert_int_eq(hours_init(h, instant_hour(first), n, &f), FAULT_NONE);
	for (size_t k = 0; k < n; k++)
		hours_set(h, VAR_AIR_TEMPERATURE, h->first + (int64_t)k * HOUR_S, air_c, (uint8_t)origin);
}

static void issue_at(int64_t t, double air_c)
{
	struct issue i;
	issue_init(&i);
	i.received = t;
	snprintf(i.source, sizeof i.source, "vale");
	hours_at(&i.hours, t, AHEAD_H, air_c, ORIGIN_FORECAST);
	ck_assert_msg(hourstore_ingest(c->record, c->place, &i, &f) == FAULT_NONE, "%s", f.text);
	issue_free(&i);
}

/* The night of an evening at one temperature, by a station or the grower's own logger. */
static void night_at(int evening, double air_c, enum rank rank)
{
	struct hours h;
	hours_at(&h, at(evening, 17 * HOUR_S), 18, air_c,
		 rank == RANK_READING    ? ORIGIN_READING
		 : rank == RANK_OBSERVED ? ORIGIN_OBSERVED
					 : ORIGIN_ANALYSED);
	ck_assert_int_eq(hourstore_put(c->record, c->place, &h, rank, at(evening + 1, 12 * HOUR_S), &f), FAULT_NONE);
	hours_free(&h);
}

/* "low" of the morning after. */
static void low_at(int evening, double low_c)
{
	struct entry e = {.date = bed_day(evening + 1), .written = at(evening + 1, 8 * HOUR_S), .amount = low_c};
	snprintf(e.verb, sizeof e.verb, "%s", verb_word(VERB_LOW));
	snprintf(e.text, sizeof e.text, "low %.1f C of evening %d", low_c, evening);
	ck_assert_msg(diary_append(c->record, c->garden.id, &e, &f) == FAULT_NONE, "%s", f.text);
}

static struct correction learned(int today)
{
	struct season_known k = {.hours = NULL};
	struct entry *entries = NULL;
	size_t n = 0;
	ck_assert_int_eq(diary_list(c->record, c->garden.id, DIARY_STANDING, &entries, &n, &f), FAULT_NONE);
	past_free(&past);
	struct diary diary = {entries, n};
	ck_assert_msg(past_learn(c, &diary, at(0, MORNING_S), &past, &f) == FAULT_NONE, "%s", f.text);
	mem_free(entries);
	past_at(&past, bed_day(today), &k);
	return k.past.correction;
}

/* A day's note, at 06:00. */
static void note_at(int day)
{
	int64_t cut = at(day, 6 * HOUR_S);
	struct letter l = {.date = bed_day(day), .way = "screen", .cut = cut, .state = LETTER_SENT, .changed = cut};
	snprintf(l.garden, sizeof l.garden, "%s", c->garden.id);
	ck_assert_int_eq(outbox_put(c->record, &l, "a note\n", &f), FAULT_NONE);
}

static void issues(double air_c)
{
	for (int day = -LOOK_BACK; day < 0; day++) {
		issue_at(at(day, 4 * HOUR_S), air_c);
		note_at(day);
	}
}

START_TEST(nothing_there)
{
	struct correction prior, none;
	correct_prior(&prior);
	none = learned(0);
	ck_assert_int_eq(none.lead[0].pairs, 0);
	ROW_NEAR("the prior", none.lead[0].bias_c, prior.lead[0].bias_c, 0);
	struct season_known k;
	past_at(&past, bed_day(0), &k);
	ck_assert(k.past.climate == NULL && k.frost == NULL);
	c->record = NULL;
	c->placed = false;
	ck_assert_int_eq(past_learn(c, &(struct diary){NULL, 0}, at(0, MORNING_S), &past, &f), FAULT_NONE);
	c->record = scratch.rec;
}
END_TEST

/* A forecast of 8 that came out at 6: 2 too warm, whoever saw it; what a service analysed is no witness. */
static const struct {
	const char *name;
	enum rank rank; /* of nights by the hour; 0: by the diary */
	int nights;     /* up to yesterday's */
	bool own;
	double bias_c;
} witness[] = {
    {"a station by the hour", RANK_OBSERVED, 30, true, 2},
    {"an own logger", RANK_READING, 30, true, 2},
    {"the diary", 0, 30, true, 2},
    {"too few nights", RANK_OBSERVED, 14, false, -0.15},
    {"analysed is not seen", RANK_ANALYSED, 30, false, -0.15},
};

START_TEST(who_saw_it)
{
	issues(8);
	for (int i = 1; i <= witness[_i].nights; i++) {
		/* Last night still runs at the cut. */
		if (witness[_i].rank == 0)
			low_at(-i, 6);
		else
			night_at(-i - 1, 6, witness[_i].rank);
	}
	struct correction k = learned(0);
	ROW_INT(witness[_i].name, k.lead[0].own, witness[_i].own);
	ROW_NEAR(witness[_i].name, k.lead[0].bias_c, witness[_i].bias_c, 1e-9);
	ROW_INT(witness[_i].name, k.lead[0].pairs, witness[_i].rank == RANK_ANALYSED ? 0 : witness[_i].nights);
	/* Each issue reaches three whole nights. */
	ROW_INT(witness[_i].name, k.lead[3].pairs, 0);
	ROW_TRUE(witness[_i].name, (k.lead[2].pairs > 0) == (k.lead[0].pairs > 0));
}
END_TEST

/* The grower's own nights and a station's are never thrown together: enough own ones go alone. */
START_TEST(own_before_station)
{
	issues(8);
	for (int i = 2; i <= 31; i++)
		night_at(-i, 7, RANK_OBSERVED);
	for (int i = 1; i <= 14; i++)
		low_at(-i, 4);
	ROW_NEAR("fourteen own nights: the station's", learned(0).lead[0].bias_c, 1, 1e-9);
	low_at(-15, 4);
	struct correction k = learned(0);
	ROW_NEAR("fifteen: the own", k.lead[0].bias_c, 4, 1e-9);
	ROW_INT("and these alone", k.lead[0].pairs, 15);
}
END_TEST

/* Only what had come in by the morning teaches. */
START_TEST(later_issues_teach_nothing)
{
	for (int day = -LOOK_BACK; day < 0; day++) {
		issue_at(at(day, 7 * HOUR_S), 8 + (day == -1 ? 5 : 0));
		note_at(day);
	}
	for (int i = 1; i <= 30; i++)
		low_at(-i, 6);
	struct correction k = learned(0);
	/* At 06:00 the newest was yesterday's of 07:00, whose first night is the one before: tonight is its second. */
	ROW_INT("first night", k.lead[0].pairs, 0);
	ROW_INT("second night", k.lead[1].pairs, 30);
	ROW_NEAR("second night", k.lead[1].bias_c, 2, 1e-9);
}
END_TEST

/* A day without a note may have lost its issue when the record was pruned: it is not asked. */
START_TEST(days_without_a_note)
{
	for (int day = -LOOK_BACK; day < 0; day++) {
		issue_at(at(day, 4 * HOUR_S), 8);
		if (day % 2 == 0)
			note_at(day);
	}
	for (int i = 1; i <= 30; i++)
		low_at(-i, 6);
	ck_assert_int_eq(learned(0).lead[0].pairs, 15);
}
END_TEST

/* The morning before knew a night less. */
START_TEST(the_morning_before)
{
	issues(8);
	for (int i = 1; i <= 20; i++)
		low_at(-i, 6);
	ck_assert_int_eq(learned(0).lead[0].pairs, 20);
	ck_assert_int_eq(learned(-1).lead[0].pairs, 19);
}
END_TEST

/* Of two beds read one morning the colder goes. */
START_TEST(coldest_of_several)
{
	issues(8);
	for (int i = 1; i <= 20; i++) {
		low_at(-i, 7);
		low_at(-i, 5);
		low_at(-i, 6);
	}
	ROW_NEAR("colder", learned(0).lead[0].bias_c, 3, 1e-9);
}
END_TEST

/* Thirty calm clear nights at 8 C, of which the way to the bed takes something off: a thermometer there is not
 * corrected for it twice. */
START_TEST(thermometer_in_the_bed)
{
	issues(8);
	for (int i = 1; i <= 30; i++)
		low_at(-i, 6);
	c->garden.thermometer = GARDEN_AT_BED;
	double bias_c = learned(0).lead[0].bias_c;
	/* Nothing is known of sky and wind: the bed is taken 1.5 under the air, so that is left to be learned. */
	ROW_NEAR("what is left", bias_c, 0.5, 1e-9);
}
END_TEST

static void years(int first, int last, double low_c)
{
	static struct station_day day[40 * 366];
	size_t n = 0;
	struct date d, end;
	ck_assert(date_of(first, 1, 1, &d) && date_of(last + 1, 1, 1, &end));
	for (; date_diff(end, d) > 0; d = date_add(d, 1)) {
		day[n] = (struct station_day){
		    .date = d, .tmin_c = low_c, .tmax_c = low_c + 10, .rain_mm = (double)NAN, .observed_hhmm = -1};
		snprintf(day[n++].station, STATION_ID_SIZE, "USC00000000");
	}
	ck_assert_int_eq(stationstore_put(c->record, c->place, day, n, &f), FAULT_NONE);
}

START_TEST(years_of_the_station)
{
	struct season_known k = {.hours = NULL};
	years(1988, 2027, 5);
	learned(0);
	/* 1996 to the day before 19 May 2026. */
	ck_assert_int_eq(past.years, 31);
	past_at(&past, bed_day(0), &k);
	struct runs_night n = climate_night(k.past.climate, bed_day(20));
	ROW_NEAR("mean", n.low_c, 5, 1e-9);
	ck_assert_int_eq(k.frost->at[FROSTDATE_32F].kind, FROSTDATE_NEVER);
	ck_assert_int_eq(k.frost->at[FROSTDATE_32F].spring.years, 30);
}
END_TEST

/* What the state makes of it: beyond the forecast the years, with bed and leaf under them. */
START_TEST(into_the_state)
{
	struct composed *m;
	years(2010, 2025, 11);
	issue_at(at(0, 4 * HOUR_S), 8);
	ck_assert_msg(compose(c, at(0, MORNING_S), &m, &f) == FAULT_NONE, "%s", f.text);
	ck_assert_int_eq(m->state.outlook[0].basis, OUTLOOK_FORECAST);
	ck_assert_int_eq(m->state.outlook[5].basis, OUTLOOK_YEARS);
	ROW_NEAR("bed", m->state.outlook[5].bed.low_c, 11 - 0.7, 1e-9);
	ROW_NEAR("leaf", m->state.outlook[5].leaf[0].low_c, 11 - 1.3, 1e-9);
	struct outlook_night far = season_expect(&m->state, bed_day(24));
	ck_assert_int_eq(far.basis, OUTLOOK_YEARS);
	ck_assert_int_eq(far.evening.n, bed_day(24).n);
	ck_assert_int_eq(season_expect(&m->state, bed_day(0)).basis, OUTLOOK_FORECAST);
	ck_assert_int_eq(m->state.frost.at[FROSTDATE_32F].kind, FROSTDATE_NEVER);
	compose_free(m);
}
END_TEST

/* Night 1 is the first that begins after the forecast was made. */
static const struct {
	const char *name;
	int made_h; /* of 19 May by local standard time */
	int evening, number;
} numbers[] = {
    {"a morning's: tonight", 4, 0, 1},
    {"a morning's: tomorrow night", 4, 1, 2},
    {"a morning's: the night that runs", 4, -1, 1},
    {"an afternoon's: tonight", 16, 0, 1},
    {"an evening's: the night that runs", 20, 0, 1},
    {"an evening's: the next", 20, 1, 1},
    {"a night that is over", 16, -1, 0},
};

START_TEST(number_in_an_issue)
{
	ROW_INT(numbers[_i].name,
		outlook_number(at(0, numbers[_i].made_h * HOUR_S), bed_day(numbers[_i].evening), c->garden.longitude),
		numbers[_i].number);
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("past");
	TCase *t = tcase_create("past");
	tcase_add_checked_fixture(t, setup, teardown);
	tcase_add_test(t, nothing_there);
	tcase_add_loop_test(t, who_saw_it, 0, sizeof witness / sizeof *witness);
	tcase_add_test(t, own_before_station);
	tcase_add_test(t, later_issues_teach_nothing);
	tcase_add_test(t, days_without_a_note);
	tcase_add_test(t, the_morning_before);
	tcase_add_test(t, coldest_of_several);
	tcase_add_test(t, thermometer_in_the_bed);
	tcase_add_test(t, years_of_the_station);
	tcase_add_test(t, into_the_state);
	tcase_add_loop_test(t, number_in_an_issue, 0, sizeof numbers / sizeof *numbers);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
