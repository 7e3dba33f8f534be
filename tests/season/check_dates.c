#include <string.h>

#include "lib/bed.h"
#include "lib/harness.h"
#include "season/dates.h"

static struct crops crops;
static struct garden garden;
static struct entry entries[4];

/* "green-1" stands in south, "green-2" in north; both were sown on 20 April and planted out on 15 May by the file. */
static void setup(void)
{
	bed_crops(&crops);
	bed_garden(&garden, UNIT_US);
	bed_planting(&garden, &crops, "green-1", "gourdlet", "2026-04-20", "2026-05-15");
	bed_planting(&garden, &crops, "green-2", "gourdlet", "2026-04-20", "2026-05-15");
	strcpy(garden.planting[0].in, "south");
	strcpy(garden.planting[1].in, "north");
}

struct line {
	const char *planting, *bed, *verb, *date;
};

static const struct {
	const char *name;
	struct line line[4];
	enum verb verb;
	const char *first, *last; /* of green-1; "" for none */
	bool told;
} rows[] = {
    {"the file's", {{0}}, VERB_PLANTED_OUT, "2026-05-15", "2026-05-15", false},
    {"the diary's first beats it, later",
     {{"green-1", "", "planted out", "2026-05-17"}},
     VERB_PLANTED_OUT,
     "2026-05-17",
     "2026-05-17",
     true},
    {"and earlier", {{"green-1", "", "sown", "2026-04-18"}}, VERB_SOWN, "2026-04-18", "2026-04-18", true},
    {"first and last of several",
     {{"green-1", "", "picked", "2026-05-18"},
      {"green-1", "", "picked", "2026-05-16"},
      {"green-1", "", "picked", "2026-05-17"}},
     VERB_PICKED,
     "2026-05-16",
     "2026-05-18",
     true},
    {"another planting's", {{"green-2", "", "picked", "2026-05-18"}}, VERB_PICKED, "", "", false},
    {"its bed's", {{"", "south", "watered", "2026-05-18"}}, VERB_WATERED, "2026-05-18", "2026-05-18", true},
    {"another bed's", {{"", "north", "watered", "2026-05-18"}}, VERB_WATERED, "", "", false},
    {"a planting of another bed", {{"green-2", "south", "watered", "2026-05-18"}}, VERB_WATERED, "", "", false},
    {"of nobody", {{"", "", "watered", "2026-05-18"}}, VERB_WATERED, "", "", false},
    {"of today", {{"green-1", "", "up", "2026-05-19"}}, VERB_UP, "2026-05-19", "2026-05-19", true},
    {"of tomorrow", {{"green-1", "", "up", "2026-05-20"}}, VERB_UP, "", "", false},
    {"a word of a later version", {{"green-1", "", "grafted", "2026-05-18"}}, VERB_UP, "", "", false},
};

static struct date day_of_text(const char *text)
{
	struct date d = date_none();
	struct fault f;
	ck_assert(*text == '\0' || date_parse(text, &d, &f) == FAULT_NONE);
	return d;
}

START_TEST(dates)
{
	struct diary diary = {entries, 0};
	struct dates d;
	memset(entries, 0, sizeof entries);
	for (size_t i = 0; i < 4 && rows[_i].line[i].verb != NULL; i++, diary.n++) {
		struct entry *e = &entries[i];
		strncpy(e->planting, rows[_i].line[i].planting, sizeof e->planting - 1);
		strncpy(e->bed, rows[_i].line[i].bed, sizeof e->bed - 1);
		strncpy(e->verb, rows[_i].line[i].verb, sizeof e->verb - 1);
		e->date = day_of_text(rows[_i].line[i].date);
	}
	dates_of(&garden, 0, &diary, day_of_text("2026-05-19"), &d);
	ROW_INT(rows[_i].name, d.first[rows[_i].verb].n, day_of_text(rows[_i].first).n);
	ROW_INT(rows[_i].name, d.last[rows[_i].verb].n, day_of_text(rows[_i].last).n);
	ROW_TRUE(rows[_i].name, d.told[rows[_i].verb] == rows[_i].told);
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("dates");
	TCase *c = tcase_create("dates");
	tcase_add_checked_fixture(c, setup, NULL);
	tcase_add_loop_test(c, dates, 0, (int)(sizeof rows / sizeof *rows));
	suite_add_tcase(s, c);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
