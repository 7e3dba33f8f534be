#include <cjson/cJSON.h>
#include <stdio.h>
#include <string.h>

#include "base/instant.h"
#include "base/mem.h"
#include "cli/compose.h"
#include "cli/json.h"
#include "cli/screen.h"
#include "lib/bed.h"
#include "lib/harness.h"
#include "lib/scratchrecord.h"
#include "record/hourstore.h"
#include "record/outbox.h"
#include "record/stationstore.h"
#include "source/answer.h"

/*
 * An invented record of two mornings: issues that say the same of every hour, so
 * that the low of a night tells which issue it is from.
 */

enum { OFFSET = -5 * HOUR_S, AHEAD_H = 8 * 24, MORNING_S = 5 * HOUR_S + 17 * 60 };

static struct scratchrecord scratch;
static struct options options;
static struct context *c;
static struct composed *m;
static struct fault f;

/* Second s of the day n days after 19 May, by the garden's clock. */
static int64_t at(int n, int s)
{
	return instant_at(bed_day(n), s, OFFSET);
}

static void setup(void)
{
	f = (struct fault){0};
	answer_init();
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
}

static void teardown(void)
{
	compose_free(m);
	m = NULL;
	c->record = NULL; /* the scratch's own */
	context_free(c);
	scratchrecord_close(&scratch);
}

/* An issue received at t: every hour from then on at one temperature. */
static void issue_at(int64_t t, double air_f)
{
	struct issue i;
	issue_init(&i);
	i.received = t;
	snprintf(i.source, sizeof i.source, "vale");
	ck_assert_int_eq(hours_init(&i.hours, instant_hour(t), AHEAD_H, &f), FAULT_NONE);
	for (size_t k = 0; k < AHEAD_H; k++)
		hours_set(&i.hours, VAR_AIR_TEMPERATURE, i.hours.first + (int64_t)k * HOUR_S, bed_c(air_f),
			  ORIGIN_FORECAST);
	ck_assert_msg(hourstore_ingest(c->record, c->place, &i, &f) == FAULT_NONE, "%s", f.text);
	issue_free(&i);
}

static void composed_at(int64_t cut)
{
	compose_free(m);
	ck_assert_msg(compose(c, cut, &m, &f) == FAULT_NONE, "%s", f.text);
}

static double tonight_f(const struct season_state *s)
{
	return season_tonight(s)->low_c * 1.8 + 32;
}

static void letter_at(int64_t cut, int n)
{
	struct letter l = {.date = bed_day(n), .way = "screen", .cut = cut, .state = LETTER_SENT, .changed = cut};
	snprintf(l.garden, sizeof l.garden, "%s", c->garden.id);
	ck_assert_int_eq(outbox_put(c->record, &l, "a note\n", &f), FAULT_NONE);
}

START_TEST(nothing_known)
{
	bed_planting(&c->garden, &c->crops, "green-1", "gourdlet", "2026-04-20", "2026-05-18");
	composed_at(at(0, MORNING_S));
	ck_assert(!m->state.forecast.any && !m->any_before);
	ck_assert(isnan(tonight_f(&m->state)));
	ck_assert_uint_eq(m->changes.n, 0);
	ck_assert_uint_eq(m->lines.n, 1);
	ck_assert_int_eq(m->lines.at[0].lead->verdict, VERDICT_LOOK);
}
END_TEST

START_TEST(without_a_record)
{
	c->record = NULL;
	c->placed = false;
	composed_at(at(0, MORNING_S));
	ck_assert(!m->state.forecast.any);
	ck_assert_uint_eq(m->lines.n, 0);
}
END_TEST

/* The issue of this morning came in after the cut of the morning before: that one has the older issue alone. */
START_TEST(each_morning_its_own_issue)
{
	bed_planting(&c->garden, &c->crops, "green-1", "gourdlet", "2026-04-20", "2026-05-10");
	issue_at(at(-1, 4 * HOUR_S), 40);
	issue_at(at(0, 4 * HOUR_S), 33);
	composed_at(at(0, MORNING_S));
	ck_assert(m->any_before);
	ROW_NEAR("today", tonight_f(&m->state), 33, 1e-9);
	ROW_NEAR("the morning before", tonight_f(&m->before), 40, 1e-9);
	ck_assert_int_eq(m->before.today.n, bed_day(-1).n);
	ck_assert_int_eq(m->before.cut, at(-1, 6 * HOUR_S));
	ck_assert_uint_gt(m->changes.n, 0);
	ck_assert_int_eq(m->changes.at[0].kind, CHANGE_NIGHT);
	ROW_NEAR("was", m->changes.at[0].was_c, bed_c(40), 1e-9);
	ROW_NEAR("now", m->changes.at[0].now_c, bed_c(33), 1e-9);
}
END_TEST

/* A morning without a forecast said nothing that today could contradict. */
START_TEST(no_forecast_the_morning_before)
{
	bed_planting(&c->garden, &c->crops, "green-1", "gourdlet", "2026-04-20", "2026-05-10");
	issue_at(at(-1, 7 * HOUR_S), 50);
	issue_at(at(0, 4 * HOUR_S), 33);
	composed_at(at(0, MORNING_S));
	ck_assert(!m->any_before);
	ck_assert_uint_eq(m->changes.n, 0);
	ck_assert(m->lines.at[0].lead->news);
}
END_TEST

/* A note that went out at eight is the morning before, not six o'clock. */
START_TEST(the_letter_gives_the_cut)
{
	issue_at(at(-1, 7 * HOUR_S), 50);
	issue_at(at(-1, 9 * HOUR_S), 60);
	issue_at(at(0, 4 * HOUR_S), 55);
	letter_at(at(-1, 8 * HOUR_S), -1);
	composed_at(at(0, MORNING_S));
	ck_assert(m->any_before);
	ck_assert_int_eq(m->before.cut, at(-1, 8 * HOUR_S));
	ROW_NEAR("the morning before", tonight_f(&m->before), 50, 1e-9);
}
END_TEST

/* What comes in later leaves a past note as it was. */
START_TEST(a_past_note_stays)
{
	static char first[NOTE_SIZE], again[NOTE_SIZE];
	struct text t;
	bed_planting(&c->garden, &c->crops, "green-1", "gourdlet", "2026-04-20", "2026-05-10");
	issue_at(at(-1, 4 * HOUR_S), 44);
	issue_at(at(0, 4 * HOUR_S), 34);
	composed_at(at(0, MORNING_S));
	text_over(&t, first, sizeof first);
	note_write(&m->facts, &t);
	issue_at(at(0, 6 * HOUR_S), 70);
	issue_at(at(1, 4 * HOUR_S), 20);
	composed_at(at(0, MORNING_S));
	text_over(&t, again, sizeof again);
	note_write(&m->facts, &t);
	ck_assert_str_eq(first, again);
	ck_assert_ptr_nonnull(strstr(first, "34 F"));
}
END_TEST

/* ---- the cut ---- */

static const struct {
	const char *name;
	int date;        /* days after 19 May; 99: --date is not given */
	int letter;      /* second of that day's clock at which its note went out; -1: none */
	int want, clock; /* the cut: day and second */
} CUTS[] = {
    {"now", 99, -1, 0, MORNING_S},
    {"a day with a note", -3, 5 * HOUR_S + 60, -3, 5 * HOUR_S + 60},
    {"a day without one", -3, -1, -3, 6 * HOUR_S},
    {"today, note gone out", 0, 5 * HOUR_S, 0, 5 * HOUR_S},
    {"today, six still to come", 0, -1, 0, MORNING_S},
};

START_TEST(cuts)
{
	int64_t cut;
	const char *name = CUTS[_i].name;
	if (CUTS[_i].date != 99)
		options.date = bed_day(CUTS[_i].date);
	if (CUTS[_i].letter >= 0)
		letter_at(at(CUTS[_i].date, CUTS[_i].letter), CUTS[_i].date);
	ck_assert_msg(context_cut(c, &cut, &f) == FAULT_NONE, "%s: %s", name, f.text);
	ROW_INT(name, cut, at(CUTS[_i].want, CUTS[_i].clock));
	ROW_INT(name, context_replay(c), CUTS[_i].date != 99);
}
END_TEST

START_TEST(no_note_of_tomorrow)
{
	int64_t cut;
	options.date = bed_day(1);
	ck_assert_int_eq(context_cut(c, &cut, &f), FAULT_USAGE);
	ck_assert_str_eq(f.text, "--date: 2026-05-20 is still to come; a note of today or of a past day is right");
}
END_TEST

/* ---- ways out ---- */

START_TEST(verbs_in_bold)
{
	static char mem[NOTE_SIZE];
	struct text t;
	bed_planting(&c->garden, &c->crops, "COVER", "gourdlet", "2026-04-20", "2026-05-10");
	bed_planting(&c->garden, &c->crops, "green-1", "gourdlet", "2026-04-20", "");
	issue_at(at(0, 4 * HOUR_S), 33);
	composed_at(at(0, MORNING_S));
	text_over(&t, mem, sizeof mem);
	screen_note(&m->facts, "Head\n\n1 COVER COVER tonight\n  2 WAIT\n2 WAIT with green-1\nDays\n", &t);
	ck_assert_str_eq(mem, "Head\n\n1 \033[1mCOVER\033[m COVER tonight\n  2 WAIT\n2 \033[1mWAIT\033[m with green-1\n"
			      "Days\n");
}
END_TEST

/* Want of memory anywhere on the way from the record: a fault, nothing handed out, nothing lost. */
START_TEST(composing_short_of_memory)
{
	bool ended = false;
	bed_planting(&c->garden, &c->crops, "green-1", "gourdlet", "2026-04-20", "2026-05-10");
	issue_at(at(-1, 4 * HOUR_S), 40);
	issue_at(at(0, 4 * HOUR_S), 33);
	for (long n = 0; !ended; n++) {
		struct composed *got = NULL;
		mem_fail_after(n, false);
		enum fault_code code = compose(c, at(0, MORNING_S), &got, &f);
		ended = mem_refused() == 0;
		mem_fail_after(-1, false);
		ck_assert_msg(code == FAULT_NONE || code == FAULT_MEMORY, "after %ld: %s", n, f.text);
		ck_assert((got != NULL) == (code == FAULT_NONE));
		ck_assert(!ended || code == FAULT_NONE);
		/* The database does without some of its memory; then nothing may be missing here. */
		if (got != NULL) {
			ck_assert(got->any_before);
			ROW_NEAR("tonight", tonight_f(&got->state), 33, 1e-9);
			ROW_NEAR("the morning before", tonight_f(&got->before), 40, 1e-9);
			ck_assert_uint_eq(got->changes.n, ADVICE_COVER_AHEAD); /* each of these nights fell */
		}
		compose_free(got);
	}
}
END_TEST

static const cJSON *at_key(const cJSON *o, const char *key)
{
	const cJSON *item = cJSON_GetObjectItemCaseSensitive(o, key);
	ck_assert_msg(item != NULL, "no key %s", key);
	return item;
}

/* What the JSON says is what the note was made of. */
START_TEST(json_says_the_same)
{
	static char mem[JSON_SIZE];
	struct text t;
	bed_planting(&c->garden, &c->crops, "green-1", "gourdlet", "2026-04-20", "2026-05-10");
	bed_planting(&c->garden, &c->crops, "green-2", "gourdlet", "2026-04-20", "");
	issue_at(at(-1, 4 * HOUR_S), 40);
	issue_at(at(0, 4 * HOUR_S), 33);
	composed_at(at(0, MORNING_S));
	text_over(&t, mem, sizeof mem);
	ck_assert_int_eq(json_morning(m, false, &t, &f), FAULT_NONE);
	cJSON *root = cJSON_Parse(mem);
	ck_assert_ptr_nonnull(root);
	ck_assert_str_eq(at_key(root, "date")->valuestring, "2026-05-19");
	ck_assert_str_eq(at_key(root, "cut")->valuestring, "2026-05-19T10:17:00Z");
	ck_assert_str_eq(at_key(at_key(root, "garden"), "id")->valuestring, "test-lane");
	ROW_NEAR("age", at_key(at_key(root, "forecast"), "age_h")->valuedouble, 1 + 17 / 60.0, 1e-9);
	const cJSON *list = at_key(root, "lines"), *first = cJSON_GetArrayItem(list, 0);
	ck_assert_int_eq(cJSON_GetArraySize(list), (int)m->lines.n);
	ck_assert_int_eq(cJSON_GetArraySize(at_key(root, "advice")), (int)m->advice.n);
	ck_assert_int_eq(cJSON_GetArraySize(at_key(root, "changes")), (int)m->changes.n);
	ck_assert_int_eq(cJSON_GetArraySize(at_key(root, "nights")), STATE_AHEAD);
	ck_assert_str_eq(at_key(first, "verdict")->valuestring, "COVER");
	ck_assert_str_eq(at_key(first, "line_of")->valuestring, "kill");
	ck_assert_str_eq(cJSON_GetArrayItem(at_key(first, "plantings"), 0)->valuestring, "green-1");
	/* Neither humidity nor wind nor cloud in this issue: the class of calm, clear nights, 2.5 K on the leaf. */
	ROW_NEAR("number", at_key(first, "number_c")->valuedouble, bed_expected(0, 33) - 2.5, 1e-9);
	ROW_NEAR("line", at_key(first, "line_c")->valuedouble, 0, 1e-9);
	/* The issue ends before the last nights: null, no number. */
	const cJSON *last = cJSON_GetArrayItem(at_key(root, "nights"), STATE_AHEAD - 1);
	ck_assert(cJSON_IsNull(at_key(last, "low_c")));
	cJSON_Delete(root);
}
END_TEST

/* Want of memory anywhere: said, or all of it is there; never a shorter list. */
START_TEST(json_whole_or_none)
{
	struct text whole, t;
	bool ended = false;
	bed_planting(&c->garden, &c->crops, "green-1", "gourdlet", "2026-04-20", "2026-05-10");
	issue_at(at(0, 4 * HOUR_S), 33);
	composed_at(at(0, MORNING_S));
	text_init(&whole, JSON_SIZE);
	ck_assert_int_eq(json_morning(m, false, &whole, &f), FAULT_NONE);
	ck_assert_int_eq(text_ok(&whole, "it", &f), FAULT_NONE);
	for (long n = 0; !ended; n += n < 50 ? 1 : 17) {
		text_init(&t, JSON_SIZE);
		mem_fail_after(n, true);
		enum fault_code code = json_morning(m, false, &t, &f);
		if (code == FAULT_NONE)
			code = text_ok(&t, "it", &f);
		ended = mem_refused() == 0;
		mem_fail_after(-1, false);
		ck_assert_msg(code == FAULT_NONE || code == FAULT_MEMORY, "%s", f.text);
		ck_assert_msg(code == FAULT_MEMORY || strcmp(t.at, whole.at) == 0, "shorter after %ld", n);
		ck_assert(ended || code == FAULT_MEMORY);
		text_free(&t);
	}
	text_free(&whole);
}
END_TEST

/* Three days out, of which the record has no hours: an invented station has two of them, and a week before. */
static void station_days_put(void)
{
	struct station_day days[10];
	size_t n = 0;
	for (int i = -10; i < 0; i++) {
		if (i == -2)
			continue;
		days[n] = (struct station_day){
		    .date = bed_day(i), .tmin_c = 12, .tmax_c = 28, .rain_mm = (double)NAN, .observed_hhmm = -1};
		snprintf(days[n].station, sizeof days[n].station, "INV00000001");
		n++;
	}
	ck_assert_msg(stationstore_put(c->record, c->place, days, n, &f) == FAULT_NONE, "%s", f.text);
}

/* The station's days come from the record to the words and to the JSON. */
START_TEST(degrees_beside_a_station)
{
	static char mem[JSON_SIZE];
	struct text t;
	bed_planting(&c->garden, &c->crops, "green-1", "gourdlet", "2026-04-20", "2026-05-16");
	issue_at(at(0, 4 * HOUR_S), 68);
	station_days_put();
	composed_at(at(0, MORNING_S));
	text_over(&t, mem, sizeof mem);
	degrees_write(&m->facts, NULL, &t);
	ck_assert_str_eq(mem, "green-1, gourdlet, planted out Sat 16 May\n"
			      "Warmth since then, to yesterday: cannot tell; the 2 days known make 36\n"
			      "F-days (base 50, no more counted above 86, hour by hour; 3 days: 2 from\n"
			      "lows and highs of station INV00000001, 1 missing)\n"
			      "Pace    last 3 days: 18 F-days a day (1 missing); next 7 days: 18 F-days\n"
			      "        a day by the forecast\n"
			      "Stage   set out since Sat 16\n"
			      "\n"
			      "Forecast of 4 am today.\n");
	text_clear(&t);
	ck_assert_int_eq(json_degrees(m, "green-1", &t, &f), FAULT_NONE);
	cJSON *root = cJSON_Parse(mem);
	ck_assert_ptr_nonnull(root);
	const cJSON *one = cJSON_GetArrayItem(at_key(root, "plantings"), 0);
	ck_assert_str_eq(at_key(one, "extremes_from")->valuestring, "INV00000001");
	ck_assert_int_eq(at_key(at_key(one, "warmth"), "days_from_extremes")->valueint, 2);
	ck_assert_int_eq(at_key(at_key(one, "warmth"), "days_missing")->valueint, 1);
	ck_assert(cJSON_IsNull(at_key(at_key(one, "warmth"), "degree_days_c")));
	ROW_NEAR("of the days known", at_key(at_key(one, "warmth"), "degree_days_known_c")->valuedouble, 20, 1e-9);
	cJSON_Delete(root);
}
END_TEST

/*
 * Of a round the next garden at a place takes what was read for the one before.  Nothing of it shows, wherever the
 * two seasons begin, at another place and in another hour.
 */
START_TEST(a_round_composes_the_same)
{
	static const struct {
		const char *row, *planted;
		bool elsewhere;
		int later_s;
	} turns[] = {
	    {"the first", "2026-05-14", false, 0},       {"began earlier", "2026-05-10", false, 0},
	    {"began later", "2026-05-17", false, 0},     {"elsewhere", "2026-05-14", true, 0},
	    {"elsewhere, later", "2026-05-16", true, 0}, {"back again", "2026-05-12", false, 0},
	    {"the same hour", "2026-05-12", false, 60},  {"the next hour", "2026-05-12", false, HOUR_S},
	};
	struct round round;
	struct place other = place_at(45, -90, 300);
	int64_t places[2] = {c->place};
	round_begin(&round, 0);
	ck_assert_int_eq(record_place(c->record, &other, &places[1], &f), FAULT_NONE);
	for (int i = 0; i < 2; i++) {
		c->place = places[i];
		for (int n = -9; n <= 0; n++)
			issue_at(at(n, 4 * HOUR_S), 40 + 10 * i + n);
	}
	/* What was measured in the running hour counts from its end on. */
	struct hours measured;
	ck_assert_int_eq(hours_init(&measured, instant_hour(at(0, MORNING_S)), 1, &f), FAULT_NONE);
	hours_set(&measured, VAR_AIR_TEMPERATURE, measured.first, bed_c(10), ORIGIN_OBSERVED);
	ck_assert_int_eq(hourstore_put(c->record, places[0], &measured, RANK_OBSERVED, measured.first, &f), FAULT_NONE);
	hours_free(&measured);
	for (size_t i = 0; i < sizeof turns / sizeof *turns; i++) {
		struct composed *alone;
		int64_t cut = at(0, MORNING_S) + turns[i].later_s;
		c->place = places[turns[i].elsewhere];
		c->garden.plantings = 0;
		bed_planting(&c->garden, &c->crops, "green-1", "gourdlet", "2026-04-20", turns[i].planted);
		ck_assert_int_eq(compose(c, cut, &alone, &f), FAULT_NONE);
		c->round = &round;
		composed_at(cut);
		c->round = NULL;
		ROW_TRUE(turns[i].row, isfinite(alone->state.planting[0].warmth.dd_c));
		ROW_INT(turns[i].row, memcmp(&m->state, &alone->state, sizeof m->state), 0);
		ROW_INT(turns[i].row, memcmp(&m->before, &alone->before, sizeof m->before), 0);
		compose_free(alone);
	}
	round_free(&round);
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("compose");
	TCase *tc = tcase_create("compose");
	tcase_add_checked_fixture(tc, setup, teardown);
	tcase_add_test(tc, nothing_known);
	tcase_add_test(tc, without_a_record);
	tcase_add_test(tc, each_morning_its_own_issue);
	tcase_add_test(tc, a_round_composes_the_same);
	tcase_add_test(tc, no_forecast_the_morning_before);
	tcase_add_test(tc, the_letter_gives_the_cut);
	tcase_add_test(tc, a_past_note_stays);
	tcase_add_loop_test(tc, cuts, 0, (int)(sizeof CUTS / sizeof CUTS[0]));
	tcase_add_test(tc, no_note_of_tomorrow);
	tcase_add_test(tc, verbs_in_bold);
	tcase_set_timeout(tc, 60); /* hundreds of notes that run short of memory */
	tcase_add_test(tc, composing_short_of_memory);
	tcase_add_test(tc, json_says_the_same);
	tcase_add_test(tc, json_whole_or_none);
	tcase_add_test(tc, degrees_beside_a_station);
	suite_add_tcase(s, tc);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
