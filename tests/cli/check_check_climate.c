#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/instant.h"
#include "cli/check_climate.h"
#include "lib/bed.h"
#include "lib/harness.h"
#include "lib/scratchrecord.h"
#include "record/stationstore.h"

/* Places made up of a wave a year: coldest on 20 January, in the south on 21 July. */

enum { OFFSET = -6 * HOUR_S, FIRST_YEAR = 1996, SIZE = 16 * 1024, DAYS_MAX = 31 * 366 };

static struct scratchrecord scratch;
static struct options options;
static struct context *c;
static struct findings found;
static struct fault f;
static char mem[SIZE];
static struct station_day day[DAYS_MAX];

static void setup(void)
{
	f = (struct fault){0};
	scratchrecord_open(&scratch);
	options = (struct options){.command = COMMAND_CHECK,
				   .date = date_none(),
				   .since = date_none(),
				   .until = date_none(),
				   .at = instant_at(bed_day(0), 6 * HOUR_S, OFFSET)};
	ck_assert_int_eq(context_new(&options, &c, &f), FAULT_NONE);
	bed_crops(&c->crops);
	bed_garden(&c->garden, UNIT_US);
	zone_fixed("Test/Lane", OFFSET, &c->zone);
	c->record = scratch.rec;
	c->place = scratch.place;
	c->placed = true;
	found.code = FAULT_NONE;
	text_over(&found.lines, mem, sizeof mem);
}

static void teardown(void)
{
	c->record = NULL; /* the scratch's own */
	context_free(c);
	scratchrecord_close(&scratch);
}

/* Lows of `mean` and half a wave of `swing`, with a little that differs from year to year. */
static void years(int first, int last, double mean_c, double swing_c, bool south)
{
	size_t n = 0;
	struct date d, end;
	ck_assert(date_of(first, 1, 1, &d) && date_of(last + 1, 1, 1, &end));
	for (; date_diff(end, d) > 0; d = date_add(d, 1)) {
		int year, month, dom;
		date_parts(d, &year, &month, &dom);
		double wave = cos(2 * M_PI * (date_day_of_year(d) - 20) / 365);
		double low_c = mean_c + (south ? swing_c : -swing_c) * wave + (year % 5 - 2) / 2.0;
		day[n] = (struct station_day){.date = d,
					      .tmin_c = round(low_c * 10) / 10,
					      .tmax_c = low_c + 10,
					      .rain_mm = (double)NAN,
					      .observed_hhmm = -1};
		snprintf(day[n++].station, STATION_ID_SIZE, "USC00000000");
	}
	ck_assert_int_eq(stationstore_put(c->record, c->place, day, n, &f), FAULT_NONE);
	c->garden.latitude = south ? -44.31 : 44.31;
}

static const char *said(void)
{
	check_climate(c, &found);
	ck_assert_int_eq(found.code, FAULT_NONE);
	return found.lines.at;
}

#define SAYS(row, what)                                                                                                \
	ck_assert_msg(strstr(found.lines.at, what) != NULL, "%s: no \"%s\" in\n%s", row, what, found.lines.at)
#define NEVER(row, what)                                                                                               \
	ck_assert_msg(strstr(found.lines.at, what) == NULL, "%s: \"%s\" in\n%s", row, what, found.lines.at)

START_TEST(no_years)
{
	said();
	SAYS("none", "climate   no past years of a station: dewpost import FILE");
	c->placed = false;
	text_clear(&found.lines);
	said();
	ck_assert_uint_eq(found.lines.len, 0);
}
END_TEST

/* A file of three years says too little; of seven roughly. */
START_TEST(few_years)
{
	bed_planting(&c->garden, &c->crops, "a", "gourdlet", "2026-04-20", "");
	years(2023, 2025, 8, 12, false);
	said();
	SAYS("three", "3 years of station USC00000000: too few for chances, from 5 on they are told\n");
	NEVER("three", "frost ");
	NEVER("three", "nights ");
	years(2019, 2025, 8, 12, false);
	text_clear(&found.lines);
	said();
	SAYS("seven", "7 years of station USC00000000: dates are rough");
	SAYS("seven", "frost     last 32 F: half the years by");
}
END_TEST

/* Lows of 8 +- 12 C: 0 C where cos is 2/3, 48.8 days from the coldest, so about 9 March and 2 December; a year is half
 * a degree warmer or colder than the one before, which is 3.4 days. */
START_TEST(thirty_years)
{
	bed_planting(&c->garden, &c->crops, "a", "gourdlet", "2026-04-20", "");
	bed_planting(&c->garden, &c->crops, "b", "redberry", "2026-04-20", "");
	bed_planting(&c->garden, &c->crops, "c", "gourdlet", "2026-04-20", "");
	years(FIRST_YEAR, 2025, 8, 12, false);
	said();
	SAYS("years", "climate   30 years of station USC00000000\n");
	SAYS("frost", "frost     last 32 F: half the years by 9 Mar, nine in ten by");
	SAYS("frost", "first 32 F: one year in ten by");
	SAYS("low ground", "low ground has it more often");
	SAYS("lines", "nights    60 F and over, 5 in a row: from about");
	SAYS("lines", "(30 of 30 reach it); a and c\n");
	SAYS("lines", "nights    55 F and over, 5 in a row: from about");
	SAYS("lines", "; b\n");
	NEVER("in time", "seldom");
}
END_TEST

/* A cool place: 60 F in the bed wants 16.3 C at the station (15.6 and 0.7), 55 F 13.5. */
START_TEST(seldom_reached)
{
	bed_planting(&c->garden, &c->crops, "a", "gourdlet", "2026-04-20", "");
	years(FIRST_YEAR, 2025, 5, 10.6, false);
	said();
	SAYS("line", "nights    60 F and over, 5 in a row: in 6 of 30 years; a\n");
	SAYS("proposal", "that is seldom or late; night_line = 55 F in the planting comes from about");
	text_clear(&found.lines);
	c->garden.planting[0].figures.night_line_c = bed_c(55);
	years(FIRST_YEAR, 2025, 5, 8.5, false);
	said();
	SAYS("55 itself", "that is seldom or late\n");
}
END_TEST

START_TEST(without_frost)
{
	bed_planting(&c->garden, &c->crops, "a", "gourdlet", "2026-04-20", "");
	years(FIRST_YEAR, 2025, 20, 6, false);
	said();
	SAYS("none", "frost     none in 30 years\n");
	SAYS("nights", "(30 of 30 reach it); a\n");
}
END_TEST

START_TEST(frost_in_every_month)
{
	bed_planting(&c->garden, &c->crops, "a", "gourdlet", "2026-04-20", "");
	years(FIRST_YEAR, 2025, -12, 10, false);
	said();
	SAYS("frost", "frost     in every month of half the years: no season lies between");
	SAYS("nights", "in 0 of ");
	NEVER("no proposal that is never reached", "night_line = 55");
}
END_TEST

/* The same wave upside down: half a year later, 7 September. */
START_TEST(southern)
{
	bed_planting(&c->garden, &c->crops, "a", "redberry", "2025-10-20", "");
	years(FIRST_YEAR, 2025, 8, 12, true);
	said();
	SAYS("south", "frost     last 32 F: half the years by 7 Sep");
	SAYS("south", "first 32 F: one year in ten by");
	SAYS("south", "(29 of 29 reach it); a\n");
}
END_TEST

static Suite *suite(void)
{
	Suite *s = suite_create("climate");
	TCase *t = tcase_create("climate");
	tcase_add_checked_fixture(t, setup, teardown);
	tcase_add_test(t, no_years);
	tcase_add_test(t, few_years);
	tcase_add_test(t, thirty_years);
	tcase_add_test(t, seldom_reached);
	tcase_add_test(t, without_frost);
	tcase_add_test(t, frost_in_every_month);
	tcase_add_test(t, southern);
	suite_add_tcase(s, t);
	return s;
}

int main(void)
{
	return harness_run(suite());
}
