#include <math.h>
#include <string.h>

#include "lib/morning.h"
#include "note/soilline.h"
#include "note/tellme.h"

/* Soil of every morning, reckoned; a reading of the planting's bed so many days ago, or none. */
static void soil(double reckoned_c, double read_c, int days_ago)
{
	for (int i = 0; i < STATE_NIGHTS; i++)
		morning.state.soil_c[i] = reckoned_c;
	if (!isnan(read_c))
		morning.state.planting[0].soil =
		    (struct soil){read_c, SOIL_READ, date_add(morning.state.today, -days_ago)};
}

static void tray(int units)
{
	bed_planting(&morning.garden, &morning.crops, "a", "gourdlet", "2026-05-01", "");
	strcpy(morning.garden.planting[0].in, "south");
	morning.garden.units = units;
	morning_compose((const double[]){60, 60, 60, 60, 60}, 5, NULL);
	morning.state.planting[0].soil = (struct soil){(double)NAN, SOIL_UNKNOWN, date_none()};
}

static const struct {
	const char *name;
	double reckoned_c, read_c;
	int days_ago, units;
	const char *line, *ask; /* "": none */
} rows[] = {
    {"reckoned", 10, NAN, 0, UNIT_US, "Soil 50 F at 4 in, south at 8 am (reckoned for bare soil, no reading of yours).",
     "Tell me the soil at 8 am, 4 in (10 cm) down, as: dewpost diary add \"soil 50 F at south\""},
    {"metric", 10, NAN, 0, UNIT_METRIC, "Soil 10 C at 10 cm, south at 8 am",
     "dewpost diary add \"soil 10 C at south\""},
    {"read today", 10, 15, 0, UNIT_US, "Soil 59 F at 4 in, south at 8 am (your reading).", ""},
    {"read on Sunday", 10, 15, 2, UNIT_US, "(your reading of Sun 17, carried forward).", ""},
    {"nobody knows", NAN, NAN, 0, UNIT_US, "", ""},
    {"warm enough for all", 21.2, NAN, 0, UNIT_US, "", ""},
    {"not quite", 21, NAN, 0, UNIT_US, "Soil 70 F at 4 in", "dewpost diary add \"soil 70 F at south\""},
};

START_TEST(soil_line)
{
	tray(rows[_i].units);
	soil(rows[_i].reckoned_c, rows[_i].read_c, rows[_i].days_ago);
	text_clear(&morning.t);
	soilline_write(&morning.facts, &morning.t);
	if (rows[_i].line[0] == '\0')
		ROW_STR(rows[_i].name, morning.t.at, "");
	else
		HAS(rows[_i].name, rows[_i].line);
	text_clear(&morning.t);
	tellme_write(&morning.facts, &morning.t);
	if (rows[_i].ask[0] == '\0')
		ROW_STR(rows[_i].name, morning.t.at, "");
	else
		HAS(rows[_i].name, rows[_i].ask);
}
END_TEST

/* What grows in its bed by now asks for no soil; nor does a planting that has no bed. */
START_TEST(nothing_waits)
{
	tray(UNIT_US);
	soil(10, (double)NAN, 0);
	ck_assert_ptr_eq(soilline_of(&morning.facts), &morning.garden.planting[0]);
	morning.state.planting[0].where = PLANTING_OUT;
	ck_assert_ptr_null(soilline_of(&morning.facts));
	morning.state.planting[0].where = PLANTING_TO_COME;
	ck_assert_ptr_nonnull(soilline_of(&morning.facts));
	morning.garden.planting[0].in[0] = '\0';
	ck_assert_ptr_null(soilline_of(&morning.facts));
}
END_TEST

/* One request a day, the weightiest: a date, a stage, a cold night, the soil. */
START_TEST(one_a_day)
{
	tray(UNIT_US);
	bed_planting(&morning.garden, &morning.crops, "b", "gourdlet", "2026-04-01", "2026-05-01");
	bed_planting(&morning.garden, &morning.crops, "c", "gourdlet", "2026-05-01", "");
	strcpy(morning.garden.planting[1].in, "north");
	morning_compose((const double[]){34, 60, 60, 60, 60}, 5, NULL);
	soil(10, (double)NAN, 0);
	morning.state.planting[2].where = PLANTING_UNDATED;
	for (size_t i = 0; i < 3; i++)
		morning.state.planting[i].stage.ask = VERBS;
	morning.state.planting[0].stage.ask = VERB_UP;

	text_clear(&morning.t);
	tellme_write(&morning.facts, &morning.t);
	ck_assert_str_eq(morning.t.at, "Tell me when you sowed or planted out c. If today:\n"
				       "  dewpost diary add \"planted out c\"\n");

	morning.state.planting[2].where = PLANTING_IN_TRAY;
	text_clear(&morning.t);
	tellme_write(&morning.facts, &morning.t);
	ck_assert_str_eq(morning.t.at, "Tell me: has a come up? If so:\n  dewpost diary add \"up a\"\n");

	morning.state.planting[0].stage.ask = VERBS;
	text_clear(&morning.t);
	tellme_write(&morning.facts, &morning.t);
	ck_assert_str_eq(morning.t.at, "Tell me tomorrow how cold it was in the bed, as:\n"
				       "  dewpost diary add \"low 34 F at north\"\n");

	morning.lines.n = 0;
	text_clear(&morning.t);
	tellme_write(&morning.facts, &morning.t);
	ck_assert_str_eq(morning.t.at, "Tell me the soil at 8 am, 4 in (10 cm) down, as:\n"
				       "  dewpost diary add \"soil 50 F at south\"\n");
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("tellme");
	TCase *c = tcase_create("tellme");
	tcase_add_checked_fixture(c, morning_setup, NULL);
	tcase_add_loop_test(c, soil_line, 0, sizeof rows / sizeof *rows);
	tcase_add_test(c, nothing_waits);
	tcase_add_test(c, one_a_day);
	suite_add_tcase(s, c);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
