#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/text.h"
#include "base/unit.h"
#include "lib/harness.h"
#include "note/entrywords.h"

/* What is said back of an entry; amounts by the definitions in base/unit. */

enum { SAID_SIZE = 512 };

static const struct {
	const char *verb, *planting, *crop, *bed, *text;
	double amount;
	int units;
	const char *want;
} ROWS[] = {
    {"planted out", "green-1", "gourdlet", "south", "", NAN, UNIT_US, "planted out green-1 (gourdlet) in south"},
    {"planted out", "green-1", "gourdlet", "", "", NAN, UNIT_US, "planted out green-1 (gourdlet)"},
    {"picked", "gourdlet", "gourdlet", "south", "", NAN, UNIT_US, "picked gourdlet"},
    {"picked", "green-1", "", "south", "", 3, UNIT_US, "picked 3 from green-1"},
    {"up", "green-1", "gourdlet", "south", "", NAN, UNIT_US, "green-1 (gourdlet) is up"},
    {"male flower", "green-1", "", "south", "", NAN, UNIT_US, "male flower on green-1"},
    {"watered", "", "", "south", "", 75.70823568, UNIT_US, "watered south 20 gal"},
    {"watered", "", "", "south", "", 75.70823568, UNIT_METRIC, "watered south 75.7 l"},
    {"watered", "", "", "south", "", NAN, UNIT_US, "watered south"},
    {"low", "", "", "south", "", 3.5, UNIT_METRIC, "low 3.5 C at south"},
    {"low", "", "", "south", "", 3.5, UNIT_US, "low 38.3 F at south"},
    {"low", "", "", "", "", 20, UNIT_US, "low 68 F"},
    {"low", "", "", "", "", -0.01, UNIT_METRIC, "low 0 C"},
    {"rain", "", "", "", "", 22.86, UNIT_US, "rain 0.9 in"},
    {"rain", "", "", "", "", 22.86, UNIT_METRIC, "rain 22.9 mm"},
    {"rain", "", "", "", "", 0, UNIT_METRIC, "rain 0 mm"},
    {"sprouted", "", "", "", "", 7, UNIT_US, "sprouted 7 of 10"},
    {"sprouted", "green-1", "", "", "", 7.5, UNIT_US, "sprouted 7.5 of 10, green-1"},
    {"away", "", "", "", "", 8, UNIT_US, "away until Tue 26 May, 8 days"},
    {"away", "", "", "", "", 1, UNIT_US, "away, 1 day"},
    {"found", "green-1", "", "", "found mites on green-1", NAN, UNIT_US,
     "found on green-1: \"found mites on green-1\""},
    {"note", "", "", "", "12 May: Note the bees", NAN, UNIT_US, "Note the bees"},
    {"grafted", "", "", "", "grafted it", NAN, UNIT_US, "grafted it"}, /* a later version's */
};

static struct entry entry_of(size_t i)
{
	struct entry e = {.amount = ROWS[i].amount};
	struct fault f;
	ck_assert_int_eq(date_parse("2026-05-19", &e.date, &f), FAULT_NONE);
	ck_assert(text_copy(e.verb, sizeof e.verb, ROWS[i].verb));
	ck_assert(text_copy(e.planting, sizeof e.planting, ROWS[i].planting));
	ck_assert(text_copy(e.crop, sizeof e.crop, ROWS[i].crop));
	ck_assert(text_copy(e.bed, sizeof e.bed, ROWS[i].bed));
	ck_assert(text_copy(e.text, sizeof e.text, ROWS[i].text));
	return e;
}

START_TEST(said_back)
{
	char mem[SAID_SIZE];
	struct text t;
	struct entry e = entry_of((size_t)_i);
	text_over(&t, mem, sizeof mem);
	entrywords(&e, ROWS[_i].units, &t);
	ROW_STR(ROWS[_i].want, mem, ROWS[_i].want);
}
END_TEST

START_TEST(with_its_day)
{
	char mem[SAID_SIZE];
	struct text t;
	struct entry e = entry_of(0);
	text_over(&t, mem, sizeof mem);
	entrywords_dated(&e, UNIT_US, date_add(e.date, 3), &t);
	ck_assert_str_eq(mem, "Tue 19 May: planted out green-1 (gourdlet) in south");
	text_clear(&t);
	entrywords_dated(&e, UNIT_US, date_add(e.date, 300), &t);
	ck_assert_str_eq(mem, "Tue 19 May 2026: planted out green-1 (gourdlet) in south");
	text_clear(&t);
	e.undoes = 4;
	entrywords(&e, UNIT_US, &t);
	ck_assert_str_eq(mem, "takes back 4");
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("note/entrywords");
	TCase *t = tcase_create("entries");
	tcase_add_loop_test(t, said_back, 0, sizeof ROWS / sizeof *ROWS);
	tcase_add_test(t, with_its_day);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
