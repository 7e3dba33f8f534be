#include <stdio.h>
#include <string.h>

#include "base/instant.h"
#include "cli/compose.h"
#include "lib/bed.h"
#include "lib/harness.h"
#include "lib/scratchrecord.h"
#include "record/hourstore.h"
#include "source/answer.h"

/*
 * What becomes of each decision as one forecast ages: the table of season/trust, from the record to the words.
 * The service was heard of once, `age` before the note, and then no more.  Its invented issue has sixteen days
 * of one temperature, of which the source says nothing how long it holds.
 */

enum { OFFSET = -5 * HOUR_S, AHEAD_H = 16 * 24, MORNING_S = 5 * HOUR_S + 17 * 60 };

static struct scratchrecord scratch;
static struct options options;
static struct context *c;
static struct composed *m;
static struct fault f;
static char note[NOTE_SIZE], degrees[NOTE_SIZE];

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
	bed_planting(&c->garden, &c->crops, "out", "gourdlet", "2026-04-01", "2026-05-05");
	bed_planting(&c->garden, &c->crops, "tray", "gourdlet", "2026-04-01", "");
}

static void teardown(void)
{
	compose_free(m);
	m = NULL;
	c->record = NULL; /* the scratch's own */
	context_free(c);
	scratchrecord_close(&scratch);
}

/* The issue of so long ago: `air_f`, and from the coming night's evening on `later_f`. */
static void issue_before(int age_h, double air_f, double later_f)
{
	struct issue i;
	int64_t t = at(0, MORNING_S) - (int64_t)age_h * HOUR_S;
	issue_init(&i);
	i.received = t;
	snprintf(i.source, sizeof i.source, "vale");
	ck_assert_int_eq(hours_init(&i.hours, instant_hour(t), AHEAD_H, &f), FAULT_NONE);
	for (size_t k = 0; k < AHEAD_H; k++) {
		int64_t h = i.hours.first + (int64_t)k * HOUR_S;
		hours_set(&i.hours, VAR_AIR_TEMPERATURE, h, bed_c(h >= at(0, 18 * HOUR_S) ? later_f : air_f),
			  ORIGIN_FORECAST);
	}
	ck_assert_msg(hourstore_ingest(c->record, c->place, &i, &f) == FAULT_NONE, "%s", f.text);
	issue_free(&i);
}

/* Breaks and indents become one blank. */
static void flatten(char *s)
{
	size_t n = 0;
	for (const char *p = s; *p != '\0'; p++) {
		bool blank = *p == '\n' || *p == ' ';
		if (!blank || (n > 0 && s[n - 1] != ' '))
			s[n++] = blank ? ' ' : *p;
	}
	s[n] = '\0';
}

static void write_all(void)
{
	struct text t;
	ck_assert_msg(compose(c, at(0, MORNING_S), &m, &f) == FAULT_NONE, "%s", f.text);
	text_over(&t, note, sizeof note);
	note_write(&m->facts, &t);
	text_over(&t, degrees, sizeof degrees);
	degrees_write(&m->facts, "out", &t);
	flatten(note);
	flatten(degrees);
}

static int count_of(const struct advice_list *list, enum verdict v)
{
	int n = 0;
	for (size_t i = 0; i < list->n; i++)
		n += list->at[i].verdict == v;
	return n;
}

static struct advice first(enum decision d)
{
	for (size_t i = 0; i < m->advice.n; i++)
		if (m->advice.at[i].decision == d)
			return m->advice.at[i];
	ck_abort_msg("no such advice");
}

#define SAYS(row, in, what)  ROW_MSG(strstr(in, what) != NULL, "%s: \"%s\" is not in\n%s", row, what, in)
#define NEVER(row, in, what) ROW_MSG(strstr(in, what) == NULL, "%s: \"%s\" is in\n%s", row, what, in)

#define AS_OF "As it was forecast on "

/* Printed 33; with neither humidity nor wind nor cloud known bed and leaf are 1.5 and 2.5 K under it, 30.4 and 28.6 F.
 */
#define FROST_F 33.1

/* Of frost to come, tonight and after: what each line says at each age. */
static const struct {
	const char *name;
	int age_h;
	int covers, looks; /* advice for `out` */
	const char *head, *line, *rows, *pace, *foot;
} frost[] = {
    {"1 h", 1, 4, 0, "19 May frost likely tonight, 33 F 1", "1 COVER out today by 7 pm: 33 F forecast for tonight",
     " Nights Tue 33 Wed 33", "a day by the forecast", "Forecast of 4:17 am today."},
    {"17 h", 17, 4, 0, "19 May frost likely tonight, 33 F 1", "1 COVER out today by 7 pm", " Nights Tue 33 Wed 33",
     "a day by the forecast", "Forecast of Mon 18, 12:17 pm."},
    {"19 h", 19, 4, 0, "frost likely tonight, 33 F; forecast 19 hours old 1", "1 COVER out today by 7 pm",
     " Nights Tue 33 Wed 33", "by a forecast 19 hours old", "Forecast of Mon 18, 10:17 am, 19 hours old."},
    {"35 h", 35, 4, 0, "frost likely tonight, 33 F; forecast 35 hours old 1", "1 COVER out today by 7 pm",
     " Nights Tue 33 Wed 33", "by a forecast 35 hours old", "Forecast of Sun 17, 6:17 pm, 35 hours old."},
    {"37 h", 37, 0, 1, "19 May the forecast is 37 hours old 1",
     "I cannot judge tonight, the forecast is 37 hours old. It said 33 F, 30 in the bed, 28 on the leaf, and 9 in "
     "10 to freeze: cover out unless it is cloudy or windy at dusk, nothing touching the leaves.",
     AS_OF "Sun 17 May: Nights Tue 33 Wed 33", "by a forecast 37 hours old",
     "Forecast of Sun 17, 4:17 pm, 37 hours old."},
    {"3 d", 72, 0, 1, "19 May the forecast is 3 days old 1",
     "I cannot judge tonight, the forecast is 3 days old. It said 33 F, 30 in the bed, 28 on the leaf, and 9 in 10",
     AS_OF "Sat 16 May: Nights Tue 33 Wed 33", "by a forecast 3 days old", "Forecast of Sat 16, 5:17 am, 3 days old."},
    {"8 d", 192, 0, 1, "19 May the forecast is 8 days old 1",
     "I cannot judge tonight, the forecast is 8 days old. If it is clear and calm, cover out, nothing touching the "
     "leaves.",
     NULL, NULL, "Forecast of Mon 11, 5:17 am, 8 days old, too old to go by."},
};

START_TEST(frost_to_come)
{
	const char *row = frost[_i].name;
	issue_before(frost[_i].age_h, 60, FROST_F);
	write_all();
	ROW_INT(row, count_of(&m->advice, VERDICT_COVER), frost[_i].covers);
	ROW_INT(row, count_of(&m->advice, VERDICT_LOOK), frost[_i].looks);
	SAYS(row, note, frost[_i].head);
	SAYS(row, note, frost[_i].line);
	SAYS(row, degrees, "Warmth since then, to yesterday: ");
	if (frost[_i].rows != NULL) {
		SAYS(row, note, frost[_i].rows);
		SAYS(row, degrees, frost[_i].pace);
	} else {
		NEVER(row, note, "Nights");
		NEVER(row, note, "Days");
		NEVER(row, note, "33");
		NEVER(row, degrees, "next ");
	}
	if (frost[_i].age_h <= 36)
		NEVER(row, note, AS_OF);
	SAYS(row, note, frost[_i].foot);
	ck_assert((strstr(note, "No newer forecast has come") != NULL) == (frost[_i].age_h > 36));
	NEVER(row, note, "nothing to do");
}
END_TEST

/* Of nights fit for planting, today's among them or not before Saturday. */
static const struct {
	const char *name;
	int age_h;
	enum verdict now;
	bool dated; /* a later day is named */
	const char *line;
} plant[] = {
    {"1 h", 1, VERDICT_PLANT, true, "PLANT OUT tray today"},
    {"17 h", 17, VERDICT_PLANT, true, "PLANT OUT tray today"},
    {"19 h", 19, VERDICT_WAIT, true, "WAIT with tray till Wed 20: I cannot tell, the forecast is 19 hours old; then"},
    {"35 h", 35, VERDICT_WAIT, true, "WAIT with tray till Wed 20: I cannot tell, the forecast is 35 hours old; then"},
    {"37 h", 37, VERDICT_WAIT, false, "WAIT with tray: I cannot tell, the forecast is 37 hours old."},
    {"3 d", 72, VERDICT_WAIT, false, NULL},
    {"8 d", 192, VERDICT_WAIT, false, NULL},
};

START_TEST(planting_out)
{
	const char *row = plant[_i].name;
	issue_before(plant[_i].age_h, 66, 66);
	write_all();
	struct advice a = first(DECISION_PLANT_OUT);
	ROW_INT(row, a.verdict, plant[_i].now);
	ROW_TRUE(row, a.cannot_tell == (plant[_i].now == VERDICT_WAIT));
	ROW_TRUE(row, date_is(a.day) == plant[_i].dated);
	/* What was said yesterday already is not said again. */
	if (plant[_i].line != NULL)
		SAYS(row, note, plant[_i].line);
	else
		NEVER(row, note, "WAIT");
}
END_TEST

START_TEST(planting_out_later)
{
	const char *row = plant[_i].name;
	issue_before(plant[_i].age_h, 70, 70);
	c->garden.planting[1].sown = bed_day(-18); /* fit for the bed on Friday */
	write_all();
	struct advice a = first(DECISION_PLANT_OUT);
	ROW_INT(row, a.verdict, VERDICT_WAIT);
	ROW_TRUE(row, date_is(a.day) == plant[_i].dated);
	ROW_TRUE(row, a.cannot_tell == !plant[_i].dated);
	NEVER(row, note, "no fit day");
}
END_TEST

/* Of mild nights only the age is against an all-clear. */
static const struct {
	const char *name;
	int age_h;
	bool look, number;
} mild[] = {
    {"1 h", 1, false, false}, {"17 h", 17, false, false}, {"19 h", 19, true, true},  {"35 h", 35, true, true},
    {"37 h", 37, true, true}, {"3 d", 72, true, true},    {"8 d", 192, true, false},
};

START_TEST(mild_nights)
{
	const char *row = mild[_i].name;
	issue_before(mild[_i].age_h, 48, 48);
	c->garden.plantings = 1;
	write_all();
	ROW_INT(row, count_of(&m->advice, VERDICT_LOOK), mild[_i].look ? 1 : 0);
	ROW_INT(row, count_of(&m->advice, VERDICT_COVER), 0);
	ROW_TRUE(row, (strstr(note, "If it is clear and calm, cover out") != NULL) == mild[_i].look);
	ROW_TRUE(row, (strstr(note, "(it said 48)") != NULL) == mild[_i].number);
	ROW_TRUE(row, (strstr(note, "nothing to do today") != NULL) == !mild[_i].look);
}
END_TEST

/* What the morning before had said to cover, and this one no more for the age alone, is lost and never off. */
static const struct {
	const char *name;
	int age_h;
	const char *want; /* NULL: no change to own up to */
} lost[] = {
    {"1 h", 1, NULL},
    {"17 h", 17, NULL},
    {"19 h", 19, NULL},
    {"35 h", 35, NULL},
    {"37 h", 37,
     "CHANGED since yesterday: tonight can no longer be judged (was 28 F on the leaf): be ready to cover out; tomorrow "
     "night can no longer be judged (was 28 F on the leaf): be ready to cover out;"},
    {"3 d", 72, NULL},
    {"8 d", 192, NULL},
};

START_TEST(news)
{
	const char *row = lost[_i].name;
	issue_before(lost[_i].age_h, 60, FROST_F);
	c->garden.plantings = 1;
	write_all();
	NEVER(row, note, "no longer needs a cover");
	if (lost[_i].want != NULL)
		SAYS(row, note, lost[_i].want);
	else
		NEVER(row, note, "CHANGED");
}
END_TEST

/* Degree days do not stop with the forecast: the hours that it told of stand, and are said to be its. */
START_TEST(degree_days_go_on)
{
	issue_before(192, 68, 68);
	write_all();
	/* Fourteen days out; the issue is of the morning of the eleventh, whose first five hours nobody knows. */
	SAYS("8 d", degrees, "14 days: 7 with all hours, 7 missing; 7 of them on forecast hours)");
	SAYS("8 d", degrees, "cannot tell; the 7 days known make 126 F-days");
	SAYS("8 d", degrees, "Pace last 7 days: 18 F-days a day Stage growing since Sat 16 Forecast of");
	ROW_INT("8 d", m->state.planting[0].coming.days, 0);
	ROW_INT("a tray needs no forecast", m->state.planting[1].coming.days, STATE_PACE_DAYS);
}
END_TEST

#define LOOP(c, test, rows) tcase_add_loop_test(c, test, 0, (int)(sizeof(rows) / sizeof *(rows)))

static Suite *suite(void)
{
	Suite *s = suite_create("compose_age");
	TCase *tc = tcase_create("a forecast ages");
	tcase_add_checked_fixture(tc, setup, teardown);
	LOOP(tc, frost_to_come, frost);
	LOOP(tc, planting_out, plant);
	LOOP(tc, planting_out_later, plant);
	LOOP(tc, mild_nights, mild);
	LOOP(tc, news, lost);
	tcase_add_test(tc, degree_days_go_on);
	suite_add_tcase(s, tc);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
