#include <math.h>
#include <stdio.h>
#include <string.h>

#include "advice/calendar.h"
#include "advice/harden.h"
#include "base/instant.h"
#include "lib/bed.h"
#include "lib/harness.h"

static struct crops crops;
static struct garden garden;
static struct season_state state;
static struct advice_list list;

/* gourdlet: out from 55 F by day, in under 50 F at night.  Sown 27 April: old enough for the bed on 18 May. */
static void setup(void)
{
	bed_crops(&crops);
	bed_harden(&crops, "gourdlet", 55, 50);
	bed_harden(&crops, "redberry", 58, 55);
	bed_garden(&garden, UNIT_US);
	bed_planting(&garden, &crops, "a", "gourdlet", "2026-04-27", "");
	bed_state(&garden, &state);
}

static const struct bed_weather MILD = {50, 65, 5, 5, 0, 0, 0, 0, 0, 0.3}, COLD = {38, 51, 5, 5, 0, 0, 0, 0, 0, 0.3},
				GUSTY = {50, 65, 25, 25, 0, 0, 0, 0, 0, 0.3}, WET = {50, 65, 5, 5, 0, 0, 4, 0, 24, 0.3},
				SUNNY = {50, 70, 5, 5, 0, 0, 0, 0, 0, 0.95},
				SCORCHING = {91, 100, 5, 5, 0, 0, 0, 0, 0, 1};

static void weather(int from, int to, const struct bed_weather *w)
{
	for (int d = from; d < to; d++)
		bed_hours(&state, d, w);
}

/* The likely day is so many days ahead: nights of 45 F before it, of 62 F from it on. */
static void likely(int ahead)
{
	double low_f[STATE_AHEAD];
	for (int i = 0; i < STATE_AHEAD; i++)
		low_f[i] = i < ahead ? 45 : 62;
	bed_nights(&state, 0, low_f, STATE_AHEAD);
}

static const struct advice *advise(void)
{
	list.n = 0;
	struct advice *a = advice_add(&list, DECISION_PLANT_OUT, VERDICT_WAIT, 0);
	for (int i = 0; i < STATE_AHEAD && !date_is(a->day); i++)
		if (season_tonight(&state)[i].low_c > bed_c(60))
			a->day = bed_day(i);
	harden_advise(&garden, &state, 0, &list);
	return list.n > 1 ? &list.at[1] : NULL;
}

static double step_of(const struct advice *a, enum step_kind kind)
{
	return advice_step_of(a, kind, 0).value;
}

#define NOTHING (-1)

/* One day's weather, and days that the diary has. */
static const struct {
	const char *name;
	const struct bed_weather *w;
	int done, ahead;
	int verdict, hours;
	enum step_kind why;
} rows[] = {
    {"the first day", &MILD, 1, 9, VERDICT_PUT_OUT, 3, STEPS},
    {"the second", &MILD, 2, 8, VERDICT_PUT_OUT, 4, STEPS},
    {"the seventh", &MILD, 6, 4, VERDICT_PUT_OUT, 9, STEPS},
    {"done: all the hours of it", &MILD, 7, 3, VERDICT_PUT_OUT, 12, STEPS},
    {"cold", &COLD, 2, 8, VERDICT_KEEP_IN, 0, STEPS},
    {"cold, and hardened", &COLD, 9, 8, VERDICT_KEEP_IN, 0, STEPS},
    {"gusty", &GUSTY, 2, 8, VERDICT_KEEP_IN, 0, STEP_OUT_GUST},
    {"hail or hard rain", &WET, 2, 8, VERDICT_KEEP_IN, 0, STEP_OUT_RAIN},
    {"sun: in shade, or early and late", &SUNNY, 1, 9, VERDICT_PUT_OUT, 3, STEPS},
    {"sun, for hours that cannot miss it", &SUNNY, 3, 9, VERDICT_PUT_OUT, 5, STEPS},
    {"scorching from nine to four: after that", &SCORCHING, 1, 9, VERDICT_PUT_OUT, 3, STEPS},
    {"the same on a long day: what is left of it", &SCORCHING, 6, 9, VERDICT_PUT_OUT, 4, STEPS},
    {"through, to be planted today", &MILD, 7, 0, NOTHING, 0, STEPS},
    {"to be planted today, and not through", &MILD, 4, 0, VERDICT_PUT_OUT, 6, STEPS},
    {"the day of planting is far off, but begun", &MILD, 2, 15, VERDICT_PUT_OUT, 4, STEPS},
};

START_TEST(a_day)
{
	const char *row = rows[_i].name;
	weather(0, STATE_AHEAD, rows[_i].w);
	likely(rows[_i].ahead);
	bed_done(&state, 0, VERB_PUT_OUT, -rows[_i].done, -1, rows[_i].done);
	const struct advice *a = advise();
	ROW_INT(row, a != NULL ? (int)a->verdict : NOTHING, rows[_i].verdict);
	if (a == NULL)
		return;
	ROW_INT(row, a->day.n, state.today.n);
	ROW_INT(row, a->decision, DECISION_HARDEN);
	ROW_NEAR(row, step_of(a, STEP_HARDEN_DAYS), rows[_i].done, 0);
	ROW_INT(row, harden_day_number(a), rows[_i].done + 1);
	if (rows[_i].why != STEPS)
		ROW_TRUE(row, !isnan(step_of(a, rows[_i].why)));
	else
		ROW_TRUE(row, isnan(step_of(a, STEP_OUT_GUST)) && isnan(step_of(a, STEP_OUT_RAIN)));
	if (a->verdict == VERDICT_PUT_OUT)
		ROW_NEAR(row, (step_of(a, STEP_OUT_TO) - step_of(a, STEP_OUT_FROM)) / HOUR_S, rows[_i].hours, 0);
	else
		ROW_TRUE(row, isnan(step_of(a, STEP_OUT_FROM)));
}
END_TEST

/* The nights are fit before the tray is: said, and why. */
START_TEST(planted_too_soon)
{
	weather(0, STATE_AHEAD, &MILD);
	likely(0);
	bed_done(&state, 0, VERB_PUT_OUT, -4, -1, 4);
	ROW_NEAR("three days short", step_of(advise(), STEP_HARDEN_SHORT), 3, 0);
	likely(1);
	ROW_TRUE("not to be planted today", isnan(step_of(advise(), STEP_HARDEN_SHORT)));
}
END_TEST

/* Seed that is not up is not hardened. */
START_TEST(in_seed)
{
	weather(-STATE_HOURS_BEFORE, STATE_AHEAD, &MILD);
	likely(5);
	ck_assert_ptr_nonnull(advise());
	state.planting[0].stage.now = STAGE_SOWN;
	state.planting[0].stage.up.likely = bed_day(2);
	ck_assert_ptr_null(advise());
}
END_TEST

/* Today's own entry is of a day that is not over. */
START_TEST(put_out_this_morning)
{
	weather(0, STATE_AHEAD, &MILD);
	likely(8);
	bed_done(&state, 0, VERB_PUT_OUT, -2, 0, 3);
	ROW_INT("today counts today", harden_day_number(advise()), 3);
}
END_TEST

/* Without a diary the days that were fit count, from the plan's first day on: ten before the likely one. */
static const struct {
	const char *name;
	int ahead, cold_from, cold_to; /* days before today */
	int done;                      /* NOTHING: no advice */
} planned[] = {
    {"on the first day", 10, 0, 0, 0}, {"a day too early", 11, 0, 0, NOTHING},
    {"three days on", 7, 0, 0, 3},     {"three days on, two of them cold", 7, -2, 0, 1},
    {"seven on", 3, 0, 0, 7},          {"eight on, three cold", 2, -5, -2, 5},
    {"all cold so far", 5, -10, 0, 0},
};

START_TEST(by_plan)
{
	const char *row = planned[_i].name;
	weather(-STATE_HOURS_BEFORE, STATE_AHEAD, &MILD);
	weather(planned[_i].cold_from, planned[_i].cold_to, &COLD);
	likely(planned[_i].ahead);
	const struct advice *a = advise();
	if (planned[_i].done == NOTHING) {
		ROW_TRUE(row, a == NULL);
		return;
	}
	ROW_TRUE(row, a != NULL);
	ROW_NEAR(row, step_of(a, STEP_HARDEN_PLANNED), planned[_i].done, 0);
	ROW_TRUE(row, isnan(step_of(a, STEP_HARDEN_DAYS)));
}
END_TEST

/* Nobody keeps in what was never out. */
START_TEST(not_begun)
{
	weather(-STATE_HOURS_BEFORE, STATE_AHEAD, &COLD);
	likely(6);
	ck_assert_ptr_null(advise());
}
END_TEST

/* When it ends: `kept_in` days from tomorrow on are cold. */
static const struct {
	const char *name;
	int done, cold_from, cold_to, ends;
} ends[] = {
    {"a day each", 2, 0, 0, 4},
    {"two cold ones between", 2, 2, 4, 6},
    {"the last day", 6, 0, 0, 0},
    {"cold today", 6, 0, 1, 1},
    {"cold as far as can be seen", 3, 0, STATE_AHEAD, STATE_AHEAD + 3},
};

START_TEST(its_end)
{
	weather(0, STATE_AHEAD, &MILD);
	weather(ends[_i].cold_from, ends[_i].cold_to, &COLD);
	likely(8);
	bed_done(&state, 0, VERB_PUT_OUT, -ends[_i].done, -1, ends[_i].done);
	const struct advice *a = advise();
	struct date end = advice_step_of(a, STEP_HARDEN_WANTED, 0).date;
	ROW_INT(ends[_i].name, date_diff(end, state.today), ends[_i].ends);
	/* The days told: hours where it is out, 0 where it is in. */
	for (size_t i = 0; i < HARDEN_SHOWN - 1; i++) {
		struct step s = advice_step_of(a, STEP_HARDEN_HOURS, i);
		int ahead = (int)i + 1;
		bool in = ahead >= ends[_i].cold_from && ahead < ends[_i].cold_to;
		ROW_INT(ends[_i].name, date_diff(s.date, state.today), ahead);
		ROW_TRUE(ends[_i].name, in ? s.value <= 0 : s.value >= HARDEN_LEAST);
	}
}
END_TEST

/* Nights count from the sixth day on. */
static const struct {
	const char *name;
	double low_f;
	enum night_answer want;
} nights[] = {
    {"at the line", 50, NIGHT_YES},
    {"a hair under, read as 50", 49.6, NIGHT_YES},
    {"under it", 49.4, NIGHT_NO},
    {"not known", (double)NAN, NIGHT_CANNOT_TELL},
};

START_TEST(the_night)
{
	weather(0, STATE_AHEAD, &MILD);
	likely(5);
	bed_done(&state, 0, VERB_PUT_OUT, -5, -1, 5);
	struct night *n = &state.night[STATE_NIGHTS_BEFORE];
	n->low_c = n->lowest_seen_c = bed_c(nights[_i].low_f);
	double stays = step_of(advise(), STEP_OUT_STAYS);
	enum night_answer got = isnan(stays) ? NIGHT_CANNOT_TELL : stays > 0 ? NIGHT_YES : NIGHT_NO;
	ROW_INT(nights[_i].name, got, nights[_i].want);
}
END_TEST

/* As the forecast ages: season/trust. */
static const struct {
	const char *name;
	int age_h;
	int verdict;
	bool cannot_tell;
} ages[] = {
    {"this morning's", 1, VERDICT_PUT_OUT, false},
    {"yesterday's", 30, VERDICT_PUT_OUT, false},
    {"two days old", 50, VERDICT_KEEP_IN, true},
    {"a week old", 170, VERDICT_KEEP_IN, true},
};

START_TEST(old_forecasts)
{
	weather(0, STATE_AHEAD, &MILD);
	likely(5);
	bed_done(&state, 0, VERB_PUT_OUT, -3, -1, 3);
	bed_age(&state, (int64_t)ages[_i].age_h * HOUR_S);
	const struct advice *a = advise();
	ROW_INT(ages[_i].name, a->verdict, ages[_i].verdict);
	ROW_INT(ages[_i].name, a->cannot_tell, ages[_i].cannot_tell);
}
END_TEST

START_TEST(hours_missing)
{
	likely(5);
	bed_done(&state, 0, VERB_PUT_OUT, -3, -1, 3);
	const struct advice *a = advise();
	ROW_INT("no hours", a->verdict, VERDICT_KEEP_IN);
	ROW_TRUE("no hours", a->cannot_tell && isnan(a->number_c) && isnan(step_of(a, STEP_HARDEN_HOURS)));
}
END_TEST

/* A crop without lines is not hardened by guess; after dark nothing is said. */
START_TEST(silence)
{
	weather(0, STATE_AHEAD, &MILD);
	likely(5);
	bed_done(&state, 0, VERB_PUT_OUT, -3, -1, 3);
	state.cut = instant_at(state.today, 20 * HOUR_S, -5 * HOUR_S);
	ROW_TRUE("after dark", advise() == NULL);
	setup();
	weather(0, STATE_AHEAD, &MILD);
	likely(5);
	garden.planting[0].figures.harden_day_c = (double)NAN;
	ROW_TRUE("no line", advise() == NULL);
}
END_TEST

/* The plan's hours never shrink, begin with two and end with the day. */
START_TEST(hours_grow)
{
	ck_assert_int_eq(harden_hours(0), 2);
	ck_assert_int_eq(harden_hours(1), 2);
	for (int day = 1; day < 20; day++)
		ROW_MSG(harden_hours(day + 1) >= harden_hours(day), "day %d: %d, then %d", day, harden_hours(day),
			harden_hours(day + 1));
	ck_assert_int_ge(harden_hours(HARDEN_WANTED), 8);
}
END_TEST

/* Whatever the weather: out only in hours at or over the line (as read), never in gusts over 9 m/s or hard rain, by
 * daylight, after the cut, and for no longer than the plan. */
START_TEST(never_under_the_line)
{
	unsigned seed = 11;
	for (int round = 0; round < 3000; round++) {
		struct dayhours *d = &state.hours[STATE_HOURS_BEFORE];
		int done = 1 + round % 9;
		weather(0, STATE_AHEAD, &MILD);
		likely(8);
		bed_done(&state, 0, VERB_PUT_OUT, -done, -1, done);
		for (int i = 0; i < d->n; i++) {
			seed = seed * 1103515245u + 12345u;
			d->hour[i].air_c = 8 + (seed >> 16) % 140 / 10.0;
			seed = seed * 1103515245u + 12345u;
			d->hour[i].gust_ms = (seed >> 16) % 110 / 10.0;
			seed = seed * 1103515245u + 12345u;
			d->hour[i].rain_mm = (seed >> 16) % 6 == 0 ? 3 : 0;
		}
		const struct advice *a = advise();
		if (a == NULL || a->verdict != VERDICT_PUT_OUT)
			continue;
		int64_t from = (int64_t)step_of(a, STEP_OUT_FROM), to = (int64_t)step_of(a, STEP_OUT_TO);
		ROW_MSG(from >= state.cut && to - from <= (int64_t)harden_hours(done + 1) * HOUR_S &&
			    to - from >= 2 * HOUR_S,
			"round %d: a wrong span", round);
		for (int64_t t = from; t < to; t += HOUR_S) {
			const struct dayhour *h = &d->hour[(t - d->first) / HOUR_S];
			ROW_MSG(h->light && h->air_c >= bed_c(54.5) && h->gust_ms <= 9 && h->rain_mm < 2.5,
				"round %d: %g C, gust %g m/s, %g mm", round, h->air_c, h->gust_ms, h->rain_mm);
		}
	}
}
END_TEST

/* Where PLANT OUT names no day: old enough, past the nights that are known, and in the middle of
 * the calendar's days. */
START_TEST(a_likely_day)
{
	list.n = 0;
	ROW_INT("old enough, nothing known", date_diff(harden_likely(&garden, &state, 0, &list), state.today), 1);
	bed_nights(&state, 0, (const double[]){45, 45, 45, 45, 45, 45, 45, 45, 45, 45}, 10);
	ROW_INT("ten nights known", date_diff(harden_likely(&garden, &state, 0, &list), state.today), 6);
	state.planting[0].age_days = 8;
	ROW_INT("young", date_diff(harden_likely(&garden, &state, 0, &list), state.today), 13);
	struct frostdate_line *at = &state.frost.at[FROSTDATE_32F];
	at->kind = FROSTDATE_DATED;
	yeardate_start(&at->spring, YEARDATE_LAST);
	for (int i = 0; i < 11; i++)
		yeardate_add(&at->spring, 150 + i); /* 4 June the middle */
	yeardate_close(&at->spring);
	struct calendar_out out = calendar_planting_out(&garden, &state, 0);
	struct date likely_day = harden_likely(&garden, &state, 0, &list);
	ROW_TRUE("late frosts", date_diff(out.early, state.today) > 16);
	ROW_TRUE("late frosts", date_diff(likely_day, out.early) == date_diff(out.late, out.early) / 2);
	struct advice *a = advice_add(&list, DECISION_PLANT_OUT, VERDICT_WAIT, 0);
	a->day = bed_day(4);
	ROW_INT("as PLANT OUT says", date_diff(harden_likely(&garden, &state, 0, &list), state.today), 4);
}
END_TEST

/* From hours of real places, on days on which the clock is changed and others, north and south. */
static const struct {
	const char *name, *zone;
	double lat, lon;
	int month, day;
} places[] = {
    {"Chicago, May", "America/Chicago", 44.31, -89.90, 5, 12},
    {"Chicago, the clock goes forward", "America/Chicago", 44.31, -89.90, 3, 8},
    {"Chicago, and back", "America/Chicago", 44.31, -89.90, 11, 1},
    {"Hobart, November", "Australia/Hobart", -42.88, 147.33, 11, 12},
    {"Hobart, the clock goes forward", "Australia/Hobart", -42.88, 147.33, 10, 4},
    {"Lord Howe, by half an hour", "Australia/Lord_Howe", -31.55, 159.08, 10, 4},
    {"Kolkata, a zone of half hours", "Asia/Kolkata", 22.57, 88.36, 2, 3},
};

/* Mild days, warmest two hours after the sun's noon, coldest twelve hours from that. */
static void fill_hours(struct hours *h, double lon)
{
	for (size_t i = 0; i < h->n; i++) {
		int64_t t = h->first + (int64_t)i * HOUR_S;
		double solar_h = fmod((double)t / HOUR_S + lon / 15, 24);
		hours_set(h, VAR_AIR_TEMPERATURE, t, 14 + 5 * cos((solar_h - 14) / 12 * M_PI), ORIGIN_FORECAST);
		hours_set(h, VAR_WIND, t, 2, ORIGIN_FORECAST);
		hours_set(h, VAR_CLOUD, t, 0.9, ORIGIN_FORECAST);
		hours_set(h, VAR_PRECIPITATION, t, 0, ORIGIN_FORECAST);
	}
}

START_TEST(real_places)
{
	const char *row = places[_i].name;
	static struct hours hours;
	static struct zone zone;
	struct fault f = {0};
	struct date d;
	ck_assert(date_of(2026, places[_i].month, places[_i].day, &d));
	int64_t noon = instant_at(d, 12 * HOUR_S, 0);
	ck_assert_int_eq(zone_load(places[_i].zone, noon - 40 * DAY_S, noon + 40 * DAY_S, &zone, &f), FAULT_NONE);
	ck_assert_int_eq(hours_init(&hours, noon - 20 * DAY_S, 40 * 24, &f), FAULT_NONE);
	fill_hours(&hours, places[_i].lon);
	garden.latitude = places[_i].lat;
	garden.longitude = places[_i].lon;
	garden.planting[0].sown = date_add(d, -30);
	struct entry put_out[2] = {{.date = date_add(d, -2), .planting = "a", .verb = "put out"},
				   {.date = date_add(d, -1), .planting = "a", .verb = "put out"}};
	struct issue issue;
	issue_init(&issue);
	snprintf(issue.source, sizeof issue.source, "invented");
	issue.received = zone_instant(&zone, d, 4 * HOUR_S);
	struct season_known known = {.hours = &hours, .newest = &issue, .diary = {put_out, 2}};
	correct_prior(&known.past.correction);
	season_state_at(&garden, &zone, &known, zone_instant(&zone, d, 5 * HOUR_S), &state);
	const struct advice *a = advise();
	ROW_TRUE(row, a != NULL && a->verdict == VERDICT_PUT_OUT);
	ROW_INT(row, harden_day_number(a), 3);
	int64_t from = (int64_t)step_of(a, STEP_OUT_FROM), to = (int64_t)step_of(a, STEP_OUT_TO);
	ROW_INT(row, to - from, 4 * HOUR_S);
	ROW_INT(row, zone_date(&zone, from).n, d.n);
	ROW_TRUE(row, zone_second(&zone, from) >= 7 * HOUR_S && zone_second(&zone, to) <= 20 * HOUR_S);
	/* The four warmest hours lie round two hours past the sun's noon, of the day that is meant. */
	double middle_h = fmod((double)(from + to) / 2 / HOUR_S + places[_i].lon / 15, 24);
	ROW_NEAR(row, middle_h, 14, 1.01);
	for (size_t i = 0; i < HARDEN_SHOWN - 1; i++)
		ROW_TRUE(row, advice_step_of(a, STEP_HARDEN_HOURS, i).value >= 5);
	hours_free(&hours);
	issue_free(&issue);
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("harden");
	TCase *t = tcase_create("harden");
	tcase_add_checked_fixture(t, setup, NULL);
	tcase_add_loop_test(t, a_day, 0, sizeof rows / sizeof *rows);
	tcase_add_test(t, planted_too_soon);
	tcase_add_test(t, in_seed);
	tcase_add_test(t, put_out_this_morning);
	tcase_add_loop_test(t, by_plan, 0, sizeof planned / sizeof *planned);
	tcase_add_test(t, not_begun);
	tcase_add_loop_test(t, its_end, 0, sizeof ends / sizeof *ends);
	tcase_add_loop_test(t, the_night, 0, sizeof nights / sizeof *nights);
	tcase_add_loop_test(t, old_forecasts, 0, sizeof ages / sizeof *ages);
	tcase_add_test(t, hours_missing);
	tcase_add_test(t, silence);
	tcase_add_test(t, hours_grow);
	tcase_add_test(t, never_under_the_line);
	tcase_add_test(t, a_likely_day);
	tcase_add_loop_test(t, real_places, 0, sizeof places / sizeof *places);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
