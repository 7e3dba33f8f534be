#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/text.h"
#include "garden/diaryline.h"
#include "garden/diaryverb.h"
#include "lib/harness.h"

/* Lines of an invented garden, and what they are understood as; amounts by the definitions in base/unit. */

enum { SAID_SIZE = 1024 };

static struct garden garden;

static struct planting *planting(const char *name, const char *crop, const char *in, int sowing)
{
	struct planting *p = &garden.planting[garden.plantings++];
	(void)snprintf(p->name, sizeof p->name, "%s", name);
	(void)snprintf(p->crop, sizeof p->crop, "%s", crop);
	(void)snprintf(p->in, sizeof p->in, "%s", in);
	p->sowing = sowing;
	return p;
}

static void set_up(void)
{
	garden = (struct garden){.units = UNIT_US, .beds = 2, .tubs = 1};
	(void)snprintf(garden.bed[0].name, sizeof garden.bed[0].name, "south");
	(void)snprintf(garden.bed[1].name, sizeof garden.bed[1].name, "north");
	(void)snprintf(garden.tub[0].name, sizeof garden.tub[0].name, "patio");
	(void)snprintf(planting("green-1", "gourdlet", "south", GARDEN_SOWN_INDOORS)->variety, KEY_WORD_SIZE,
		       "striped");
	planting("green-2", "gourdlet", "patio", GARDEN_SOWN_INDOORS);
	planting("tom-1", "redberry", "north", GARDEN_SOWN_OUTDOORS);
}

static struct date day_of(const char *text)
{
	struct date d = date_none();
	struct fault f;
	ck_assert_int_eq(date_parse(text, &d, &f), FAULT_NONE);
	return d;
}

/* "2026-05-19 planted out green-1/south; ..." or what is wrong. */
static const char *said(const char *line, const char *today)
{
	static char mem[SAID_SIZE];
	char day[DATE_TEXT_SIZE];
	struct diaryline read;
	struct fault f = {0};
	struct text t;
	text_over(&t, mem, sizeof mem);
	if (diaryline_read(line, &garden, day_of(today), &read, &f) != FAULT_NONE) {
		ck_assert_int_eq(f.code, FAULT_DATA);
		text_add(&t, f.text);
		return mem;
	}
	ck_assert_uint_gt(read.n, 0);
	for (size_t i = 0; i < read.n; i++) {
		const struct entry *e = &read.entry[i];
		text_addf(&t, "%s%s %s", i > 0 ? "; " : "", date_text(e->date, day), e->verb);
		if (e->planting[0] != '\0' || e->bed[0] != '\0')
			text_addf(&t, " %s/%s", e->planting, e->bed);
		if (!isnan(e->amount))
			text_addf(&t, " %.4g", e->amount);
	}
	return mem;
}

/* ---- what is understood: all as if written on Tue 19 May 2026 ---- */

static const struct {
	const char *line, *want;
} LINES[] = {
    {"planted out green-1", "2026-05-19 planted out green-1/south"},
    {"set out green-1", "2026-05-19 planted out green-1/south"},
    {"Planted Out GREEN-1", "2026-05-19 planted out green-1/south"},
    {"green-1 planted out in south", "2026-05-19 planted out green-1/south"},
    {"green-1 and green-2 planted out", "2026-05-19 planted out green-1/south; 2026-05-19 planted out green-2/patio"},
    {"picked green-1, green-2 and green-1", "2026-05-19 picked green-1/south; 2026-05-19 picked green-2/patio"},
    {"picked 3 from green-1", "2026-05-19 picked green-1/south 3"},
    {"picked redberry", "2026-05-19 picked tom-1/north"},
    {"green-1 is up", "2026-05-19 up green-1/south"},
    {"sown green-1 indoors", "2026-05-19 sown green-1/south"},
    {"watered south 20 gal", "2026-05-19 watered /south 75.71"},
    {"watered south 20gal", "2026-05-19 watered /south 75.71"},
    {"watered south with 75 litres", "2026-05-19 watered /south 75"},
    {"watered green-1 2 quarts", "2026-05-19 watered green-1/south 1.893"},
    {"watered south and patio", "2026-05-19 watered /south; 2026-05-19 watered /patio"},
    {"low 3.5 C at south", "2026-05-19 low /south 3.5"},
    {"low 38 at south", "2026-05-19 low /south 3.333"},
    {"low 38F", "2026-05-19 low 3.333"},
    {"low -2 deg C", "2026-05-19 low -2"},
    {"soil 17 C at south", "2026-05-19 soil /south 17"},
    {"soil 17 C at green-1", "2026-05-19 soil /south 17"},
    {"rain 8 mm", "2026-05-19 rain 8"},
    {"rain 0.9 in", "2026-05-19 rain 22.86"},
    {"rain 0.9 in in south", "2026-05-19 rain /south 22.86"},
    {"rain 0.9 in at south", "2026-05-19 rain /south 22.86"},
    {"sprouted 7 of 10", "2026-05-19 sprouted 7"},
    {"sprouted 14 of 20 tom-1", "2026-05-19 sprouted tom-1/north 7"},
    {"sprouted 6/8", "2026-05-19 sprouted 7.5"},
    {"found mildew on green-1", "2026-05-19 found green-1/south"},
    {"saw slugs, and holes, on green-1 and green-2 yesterday",
     "2026-05-18 found green-1/south; 2026-05-18 found green-2/patio"},
    {"found watered and picked beetles in south", "2026-05-19 found /south"},
    {"tom-1: found one hornworm on 12 May", "2026-05-12 found tom-1/north"},
    {"found on 12 May mildew on green-1", "2026-05-12 found green-1/south"},
    {"found mildew Mon 11 May on green-1", "2026-05-11 found green-1/south"},
    {"picked 3 green-1 May 12", "2026-05-12 picked green-1/south 3"},
    {"watered south 3 May 12 gal", "2026-05-03 watered /south 45.42"},
    {"covered green-1 with the old picked fleece on Sunday", "2026-05-17 covered green-1/south"},
    {"note watered south 20 gal, low 3 C tomorrow", "2026-05-19 note"},
    {"12 May: note: all is well", "2026-05-12 note"},
    {"  potted\ton green-2  ", "2026-05-19 potted on green-2/patio"},
    {"away 20-27 July", "2026-07-20 away 8"},
    {"away 20\xe2\x80\x93"
     "27 July",
     "2026-07-20 away 8"},
    {"away July 20 - 27", "2026-07-20 away 8"},
    {"away from 20 July to 3 August", "2026-07-20 away 15"},
    {"away 2026-07-20 to 2026-07-27", "2026-07-20 away 8"},
    {"away 2026-07-20-2026-07-27", "2026-07-20 away 8"},
    {"away until 27 May", "2026-05-19 away 9"},
    {"away tomorrow to 27 May", "2026-05-20 away 8"},
    {"away 20 July", "2026-07-20 away 1"},
    {"away 1-10 May", "2026-05-01 away 10"},
    {"away 28 Dec to 3 Jan", "2026-12-28 away 7"},
};

START_TEST(understood)
{
	ROW_STR(LINES[_i].line, said(LINES[_i].line, "2026-05-19"), LINES[_i].want);
}
END_TEST

/* Every phrase of every verb, before and behind what it is about. */
START_TEST(every_phrase)
{
	enum verb v = (enum verb)_i;
	const struct diaryverb *row = diaryverb_row(v);
	ck_assert_msg(strstr(said(row->example, "2026-05-19"), "2026-") != NULL, "%s: %s", row->example,
		      said(row->example, "2026-05-19"));
	for (size_t k = 0; row->phrase[k] != NULL; k++) {
		char line[SAID_SIZE];
		const char *behind = v == VERB_FOUND                        ? "mites on tom-1"
				     : v == VERB_AWAY                       ? "20 July"
				     : v == VERB_RAIN                       ? "8 mm"
				     : v == VERB_SPROUTED                   ? "7 of 10 tom-1"
				     : v == VERB_NOTE                       ? "that"
				     : row->figure == DIARYVERB_TEMPERATURE ? "7 C at north"
									    : "tom-1";
		struct diaryline read;
		struct fault f = {0};
		(void)snprintf(line, sizeof line, "%s %s", row->phrase[k], behind);
		ck_assert_msg(diaryline_read(line, &garden, day_of("2026-05-19"), &read, &f) == FAULT_NONE, "%s: %s",
			      line, f.text);
		ROW_STR(line, read.entry[0].verb, verb_word(v));
		ROW_STR(line, read.entry[0].text, line);
	}
}
END_TEST

/* ---- days ---- */

static const struct {
	const char *day, *today, *want;
} DAYS[] = {
    {"today", "2026-05-19", "2026-05-19"},
    {"yesterday", "2026-05-19", "2026-05-18"},
    {"yesterday", "2026-01-01", "2025-12-31"},
    {"yesterday", "2028-03-01", "2028-02-29"},
    {"Mon", "2026-05-19", "2026-05-18"},
    {"Tue 12 May", "2026-05-19", "2026-05-12"},
    {"Tue 19 May", "2026-05-19", "2026-05-19"},
    {"Mon 11 May", "2026-05-19", "2026-05-11"},
    {"Monday, May 11, 2026", "2026-05-19", "2026-05-11"},
    {"Mon 28 Dec", "2027-01-03", "2026-12-28"},
    {"Wed", "2026-05-19", "2026-05-13"},
    {"Sunday", "2026-05-19", "2026-05-17"},
    {"last Tue", "2026-05-19", "2026-05-12"},
    {"last Mon", "2026-05-19", "2026-05-18"},
    {"Wed", "2026-01-01", "2025-12-31"},
    {"3 days ago", "2026-05-19", "2026-05-16"},
    {"a week ago", "2026-05-19", "2026-05-12"},
    {"2 weeks ago", "2026-05-19", "2026-05-05"},
    {"12 May", "2026-05-19", "2026-05-12"},
    {"12. May", "2026-05-19", "2026-05-12"},
    {"12th May", "2026-05-19", "2026-05-12"},
    {"May 12", "2026-05-19", "2026-05-12"},
    {"May 12, 2026", "2026-05-19", "2026-05-12"},
    {"12 May 2024", "2026-05-19", "2024-05-12"},
    {"19 May", "2026-05-19", "2026-05-19"},
    {"28 Dec", "2027-01-03", "2026-12-28"},
    {"31 December", "2027-01-01", "2026-12-31"},
    {"29 Feb", "2028-03-02", "2028-02-29"},
    {"Sept 30", "2026-10-02", "2026-09-30"},
    {"2026-05-12", "2026-05-19", "2026-05-12"},
    {"2025-12-31", "2026-05-19", "2025-12-31"},
    /* the days on which clocks change there are days as others */
    {"8 March", "2026-03-09", "2026-03-08"},
    {"yesterday", "2026-11-02", "2026-11-01"},
};

START_TEST(days)
{
	static const char *const forms[] = {"%s: picked tom-1", "%s picked tom-1", "picked tom-1 %s",
					    "picked tom-1 on %s", "picked %s tom-1"};
	char want[SAID_SIZE];
	(void)snprintf(want, sizeof want, "%s picked tom-1/north", DAYS[_i].want);
	for (size_t i = 0; i < sizeof forms / sizeof *forms; i++) {
		char line[SAID_SIZE];
		int at = (int)strcspn(forms[i], "%");
		(void)snprintf(line, sizeof line, "%.*s%s%s", at, forms[i], DAYS[_i].day, forms[i] + at + 2);
		ROW_STR(line, said(line, DAYS[_i].today), want);
	}
}
END_TEST

/* ---- what is refused, and what is said to be right ---- */

static const struct {
	const char *line, *want;
} WRONG[] = {
    {"", "nothing is written; as \"planted out green-1\" is right"},
    {"   ", "nothing is written; as \"planted out green-1\" is right"},
    {"plnted out green-1", "\"plnted\" is not understood; did you mean \"planted out\"?"},
    {"wattered south", "\"wattered\" is not understood; did you mean \"watered\"?"},
    {"planted green-1", "\"planted\" is not clear; \"sown\" or \"planted out\" is right"},
    {"flower on green-1", "\"flower\" is not clear; \"male flower\" or \"female flower\" is right"},
    {"mulched south", "\"mulched\" is not clear; \"strawed\" is right"},
    {"hello world", "\"hello\" is not understood; a line begins as"},
    {"green-1", "what was done, seen or measured is missing; as"},
    {"planted out gren-1", "\"gren-1\" is not understood; did you mean \"green-1\"?"},
    {"planted out everything",
     "\"everything\" is not understood; the garden file has green-1, green-2, tom-1, south, north or patio"},
    {"picked gourdlet", "\"gourdlet\": which of them? \"green-1\" or \"green-2\" is right"},
    {"planted out green-1 in north", "green-1 stands in south by the garden file; in = north there is right"},
    {"sown green-1 outdoors", "green-1 is sown indoors by the garden file; start = outdoors there is right"},
    {"watered green-1 and fed green-1", "\"watered\" and \"fed\": one thing a line; two lines are right"},
    {"picked", "picked what? \"picked 3 from green-1\" is right"},
    {"picked south", "picked which planting? \"picked 3 from green-1\" is right"},
    {"watered", "watered what? \"watered south 20 gal\" is right"},
    {"found mildew", "found on what? \"found mildew on green-1\" is right"},
    {"found on green-1", "found what? \"found mildew on green-1\" is right"},
    {"note", "note what? \"note anything you like\" is right"},
    {"watered south and north 20 gal", "watered: one number for 2 names; a line for each is right"},
    {"watered south 20", "watered 20: the unit is missing; gal or l is right"},
    {"watered south 20 pints", "watered 20 pints: \"pints\" is not a unit of volume; gal or l is right"},
    {"watered south 20 gal 30 gal", "\"30\" is a second number; one a line is right"},
    {"watered south -3 gal", "watered -3: no such volume; 0 to 2.642e+04 gal is right"},
    {"rain", "rain how much? \"rain 0.9 in\" is right"},
    {"rain 8", "rain 8: the unit is missing; in or mm is right"},
    {"rain 8 in south", "8 in: inches, or the place? \"8 mm in south\" or \"8 in at south\" is right"},
    {"rain 8 C", "rain 8 C: \"C\" is not a unit of water depth; in or mm is right"},
    {"low", "low how much? \"low 38 F at south\" is right"},
    {"low 300 F", "low 300: no such temperature; -76 to 113 F is right"},
    {"soil 8 mm", "soil 8 mm: \"mm\" is not a unit of temperature; F or C is right"},
    {"low 3,5 C", "low 3,5: \",5\" is not a unit of temperature; F or C is right"},
    {"sprouted", "sprouted how much? \"sprouted 7 of 10\" is right"},
    {"sprouted 7", "sprouted: how many of how many? \"sprouted 7 of 10\" is right"},
    {"sprouted 12 of 10", "sprouted: how many of how many? \"sprouted 7 of 10\" is right"},
    {"picked 2.5 green-1", "picked \"2.5\": a count is right, as \"picked 3 from green-1\""},
    {"put out green-1 2 h", "\"2\": no number belongs to \"put out\"; \"put out green-1\" is right"},
    /* days */
    {"tomorrow picked tom-1", "2026-05-20 is still to come; today or a day before it is right"},
    {"2026-05-20 picked tom-1", "2026-05-20 is still to come; today or a day before it is right"},
    {"tomorrow: note rain", "2026-05-20 is still to come; today or a day before it is right"},
    {"20 May picked tom-1", "20 May is still to come; \"20 May 2025\" is right if that is meant"},
    {"20 July picked tom-1", "20 Jul is still to come; \"20 Jul 2025\" is right if that is meant"},
    {"1 June 2026 picked tom-1", "2026-06-01 is still to come; today or a day before it is right"},
    {"Tue picked tom-1", "\"Tue\" is today, or a week ago; \"today\" or \"last Tue\" is right"},
    {"Wed 12 May picked tom-1", "2026-05-12 is a Tuesday; one of the two is right"},
    {"Wed 12 May 2026 picked tom-1", "2026-05-12 is a Tuesday; one of the two is right"},
    {"picked green-1 3 May 12", "\"3 May 12\" can be read in two ways; the day first"},
    {"found slugs tomorrow on green-1", "2026-05-20 is still to come; today or a day before it is right"},
    {"found slugs 20 May on green-1", "20 May is still to come; \"20 May 2025\" is right if that is meant"},
    {"fed green-1 with fish on 20 May", "20 May is still to come; \"20 May 2025\" is right if that is meant"},
    {"5/12 picked tom-1", "\"5/12\": which is the month? \"12 May\" or 2026-05-12 is right"},
    {"12.5.2026 picked tom-1", "\"12.5.2026\": which is the month? \"12 May\" or 2026-05-12 is right"},
    {"31 April picked tom-1", "there is no 31 April 2026; a day of that month is right"},
    {"29 Feb picked tom-1", "there is no 29 February 2026; a day of that month is right"},
    {"29 Feb 2025 picked tom-1", "there is no 29 February 2025; a day of that month is right"},
    {"2026-02-30 picked tom-1", "\"2026-02-30\" is not a date: February 2026 has the days 01 to 28"},
    {"Mon picked tom-1 yesterday and Sunday", "two days are named; one a line is right"},
    {"away", "away when? \"away 20-27 July\""},
    {"away Fri to Sun", "away when? \"away 20-27 July\""},
    {"away 20-27", "away when? \"away 20-27 July\""},
    {"away next week", "away when? \"away 20-27 July\""},
    {"away 20 July 27 July", "away when? \"away 20-27 July\""},
    {"12 May away 20-27 July", "away: the days come after it; \"away 20-27 July\" is right"},
    {"away 2026-07-27 to 2026-07-20", "away from"},
    {"away 27-20 July", "away from 27 Jul on is not a time of a day to a year"},
    {"away 31 June", "there is no 31 June 2026"},
    /* no line at all */
    {"note \xff", "is not UTF-8; save it as UTF-8"},
    {"note \x01", "has a control character in it"},
};

START_TEST(refused)
{
	const char *got = said(WRONG[_i].line, "2026-05-19");
	ck_assert_msg(strncmp(got, WRONG[_i].want, strlen(WRONG[_i].want)) == 0, "\"%s\": is\n%s\nwant\n%s",
		      WRONG[_i].line, got, WRONG[_i].want);
}
END_TEST

START_TEST(what_it_was_when_written)
{
	struct diaryline read;
	struct fault f;
	ck_assert_int_eq(diaryline_read("picked green-1", &garden, day_of("2026-05-19"), &read, &f), FAULT_NONE);
	ck_assert_str_eq(read.entry[0].crop, "gourdlet");
	ck_assert_str_eq(read.entry[0].variety, "striped");
	ck_assert_str_eq(read.entry[0].bed, "south");
	ck_assert(read.entry[0].id == 0 && read.entry[0].undoes == 0);
}
END_TEST

/* By the garden file green-1 was sown on 20 April and tom-1 planted on 15 May. */
static const struct {
	const char *line, *want;
} ORDER[] = {
    {"sown green-1 1 April", "2026-04-01 sown green-1/south"},
    {"up green-1 20 April", "2026-04-20 up green-1/south"},
    {"planted out green-1 19 April",
     "2026-04-19 is before 2026-04-20, the day green-1 was sown by the garden file; a later day is right"},
    {"ended tom-1 14 May",
     "2026-05-14 is before 2026-05-15, the day tom-1 was planted by the garden file; a later day is right"},
    {"ended tom-1 15 May", "2026-05-15 ended tom-1/north"},
    {"up tom-1 1 April", "2026-04-01 up tom-1/north"},
    {"note green-1 19 April", "2026-05-19 note"},
};

START_TEST(order)
{
	garden.planting[0].sown = day_of("2026-04-20");
	garden.planting[2].sown = date_none();
	garden.planting[2].planted = day_of("2026-05-15");
	ROW_STR(ORDER[_i].line, said(ORDER[_i].line, "2026-05-19"), ORDER[_i].want);
}
END_TEST

START_TEST(units_of_the_garden)
{
	garden.units = UNIT_METRIC;
	ck_assert_str_eq(said("low 3.5", "2026-05-19"), "2026-05-19 low 3.5");
	ck_assert_str_eq(said("low 38 F", "2026-05-19"), "2026-05-19 low 3.333");
	ck_assert_str_eq(said("low 100", "2026-05-19"), "low 100: no such temperature; -60 to 45 C is right");
}
END_TEST

/* The longest that a line may be, and one more; more names than entries. */
START_TEST(edges)
{
	char line[2 * ENTRY_TEXT_SIZE];
	memset(line, 'x', sizeof line);
	memcpy(line, "note ", 5);
	line[ENTRY_TEXT_SIZE - 1] = '\0';
	ck_assert_str_eq(said(line, "2026-05-19"), "2026-05-19 note");
	line[ENTRY_TEXT_SIZE - 1] = 'x';
	line[ENTRY_TEXT_SIZE] = '\0';
	ck_assert_str_eq(said(line, "2026-05-19"), "200 bytes in one line; up to 199 are right");
	(void)snprintf(line, sizeof line, "picked");
	for (int i = 0; i <= DIARYLINE_ENTRIES; i++) {
		char name[KEY_WORD_SIZE];
		(void)snprintf(name, sizeof name, "p%d", i);
		planting(name, "gourdlet", "", 0);
		(void)snprintf(line + strlen(line), sizeof line - strlen(line), " %s", name);
	}
	ck_assert_str_eq(said(line, "2026-05-19"), "more than 16 names in one line; two lines are right");
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("garden/diaryline");
	TCase *t = tcase_create("lines");
	tcase_add_checked_fixture(t, set_up, NULL);
	tcase_add_loop_test(t, understood, 0, sizeof LINES / sizeof *LINES);
	tcase_add_loop_test(t, every_phrase, 0, VERBS);
	tcase_add_loop_test(t, days, 0, sizeof DAYS / sizeof *DAYS);
	tcase_add_loop_test(t, refused, 0, sizeof WRONG / sizeof *WRONG);
	tcase_add_loop_test(t, order, 0, sizeof ORDER / sizeof *ORDER);
	tcase_add_test(t, what_it_was_when_written);
	tcase_add_test(t, units_of_the_garden);
	tcase_add_test(t, edges);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
